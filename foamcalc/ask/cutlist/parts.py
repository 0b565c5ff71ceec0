"""What is put down on a sheet, in thousandths of a millimetre: strips, their parts, panels."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from foamcalc.ask.cutlist.items import Grain, Item, Panel, Stock, Strip, thousandths


@dataclass(frozen=True, kw_only=True)
class Place:
    """The inside of a sheet of one stock."""

    length: int
    width: int
    cost: int
    """What taking one costs, in whatever is counted."""
    most: int | None
    """How many there are; None for as many as wanted."""
    grained: bool

    @property
    def area(self) -> int:
        """Length times width."""
        return self.length * self.width

    def sides(self, length: int, width: int, grain: Grain) -> list[tuple[int, int, bool]]:
        """Along the sheet, across it and whether turned: each way a rectangle fits in."""
        found = []
        for turned in (False, True):
            against = "along" if turned else "across"
            x, y = (width, length) if turned else (length, width)
            if not (self.grained and grain == against) and x <= self.length and y <= self.width:
                found.append((x, y, turned))
        return found


@dataclass(frozen=True, kw_only=True)
class Unit:
    """One strip, one panel, or several panels that lie in each other."""

    item: int
    first: int
    """Its number among those of its name, from 1; of several panels that of the first."""
    panels: int
    """How many panels lie in each other; 1 for a strip."""
    ways: tuple[tuple[int, ...], ...]
    """Lengths of its parts in each way of making it; the first if nothing speaks against it."""
    width: int
    grain: Grain
    outlined: bool
    """Whether it is cut out by its outline, so that a gap is kept to others."""
    held: bool
    """Whether it fits only on sheets of which there is a number."""


def places_of(stocks: Sequence[Stock], trim: int, costs: Sequence[int]) -> list[Place]:
    """The inside of a sheet of each stock."""
    return [
        Place(
            length=thousandths(stock.length) - 2 * trim,
            width=thousandths(stock.width) - 2 * trim,
            cost=cost,
            most=stock.at_hand,
            grained=stock.grain == "along",
        )
        for stock, cost in zip(stocks, costs, strict=True)
    ]


def units_of(items: Sequence[Item], places: Sequence[Place]) -> list[Unit]:
    """Every piece of a list, nesting panels in as few lots as fit their sheets."""
    return [
        unit
        for number, item in enumerate(items)
        for unit in (
            _panels(number, item, places)
            if isinstance(item, Panel)
            else _strips(number, item, places)
        )
    ]


def _strips(number: int, strip: Strip, places: Sequence[Place]) -> Iterator[Unit]:
    ways = _divisions(strip, places)
    width = thousandths(strip.width)
    free = [p for p in places if p.most is None]
    held = not any(all(_fits(free, part, width, strip.grain) for part in way) for way in ways)
    for first in range(1, strip.count + 1):
        yield Unit(
            item=number,
            first=first,
            panels=1,
            ways=tuple(ways),
            width=width,
            grain=strip.grain,
            outlined=False,
            held=held,
        )


def _fits(places: Sequence[Place], length: int, width: int, grain: Grain) -> bool:
    return any(place.sides(length, width, grain) for place in places)


def _panels(number: int, panel: Panel, places: Sequence[Place]) -> Iterator[Unit]:
    length, width = thousandths(panel.length), thousandths(panel.width)
    if not _fits(places, length, width, panel.grain):
        raise ValueError(_too_large(panel, places))
    pitch = 0 if panel.nest is None else thousandths(panel.nest)
    free = [p for p in places if p.most is None]
    held = not _fits(free, length, width, panel.grain)
    most = 1
    while pitch and most < panel.count:
        if not _fits(places if held else free, length, width + most * pitch, panel.grain):
            break
        most += 1
    lots = -(-panel.count // most)
    first = 1
    for lot in range(lots):
        count = panel.count // lots + (lot < panel.count % lots)
        yield Unit(
            item=number,
            first=first,
            panels=count,
            ways=((length,),),
            width=width + (count - 1) * pitch,
            grain=panel.grain,
            outlined=True,
            held=held,
        )
        first += count


def _too_large(panel: Panel, places: Sequence[Place]) -> str:
    length, width = thousandths(panel.length), thousandths(panel.width)
    over = []
    for place in places:
        for turned in (False, True):
            if place.grained and panel.grain == ("along" if turned else "across"):
                continue
            x, y = (width, length) if turned else (length, width)
            long, wide = x - place.length, y - place.width
            over.append((max(long, 0) + max(wide, 0), long, wide, place.length, place.width))
    _, long, wide, x, y = min(over)
    by = [f"{d / 1000:g} mm too {what}" for d, what in ((long, "long"), (wide, "wide")) if d > 0]
    turned_so = "" if panel.grain == "any" else f" with its length {panel.grain} the grain"
    return (
        f"panel {panel.name!r}: {panel.length:g} × {panel.width:g} mm fits no sheet{turned_so}; "
        f"for the {x / 1000:g} × {y / 1000:g} mm inside the nearest it is "
        f"{' and '.join(by)}; divide it, or name a larger sheet"
    )


def _divisions(strip: Strip, places: Sequence[Place]) -> list[tuple[int, ...]]:
    """Lengths of the parts of a strip, in each way worth trying; joins only where needed."""
    width, whole = thousandths(strip.width), thousandths(strip.cut_length)
    rows = [
        (length, place.most is None)
        for place in places
        for length, across, grain in (
            (place.length, place.width, "across"),
            (place.width, place.length, "along"),
        )
        if width <= across and not (place.grained and strip.grain == grain)
    ]
    if any(whole <= length and unlimited for length, unlimited in rows):
        return [(whole,)]
    found: list[tuple[int, ...]] = []
    if any(whole <= length for length, _ in rows):
        found.append((whole,))
    if strip.joins:
        for length in sorted({length for length, _ in rows}, reverse=True):
            found += [d for d in _joined(strip, whole, length) if d not in found]
    if not found:
        raise ValueError(_no_room(strip, places, [length for length, _ in rows]))
    return found


def _joined(strip: Strip, whole: int, longest: int) -> list[tuple[int, ...]]:
    """Parts no longer than a row: all equally long, or all but the last as long as the row."""
    lap, clear = thousandths(strip.lap), thousandths(strip.join_from_end)
    if whole <= longest or longest <= lap:
        return []
    number = -(-(whole - lap) // (longest - lap))
    total = whole + (number - 1) * lap
    even = -(-total // number)
    last = total - (number - 1) * longest
    if last >= clear + lap:
        uneven = (*[longest] * (number - 1), last)
    else:  # the last but one gives of its length, to keep the join away from the end
        given = clear + lap - last
        uneven = (*[longest] * (number - 2), longest - given, clear + lap)
    candidates = dict.fromkeys([(even,) * number, uneven])
    return [parts for parts in candidates if _sound(parts, lap, clear)]


def _sound(parts: Sequence[int], lap: int, clear: int) -> bool:
    """Whether the joins keep away from the ends and laps from each other."""
    apart = all(part >= 2 * lap for part in parts[1:-1])
    return min(parts[0], parts[-1]) >= clear + lap and apart


def _no_room(strip: Strip, places: Sequence[Place], rows: Sequence[int]) -> str:
    where = f"strip {strip.name!r}"
    if not rows:
        widest = max(max(p.length, p.width) for p in places) / 1000
        if strip.width > widest:
            return (
                f"{where}: width must be at most {widest:g} mm, the widest that can be cut from "
                f"its sheets, got {strip.width:g} mm, {strip.width - widest:g} mm too wide; make "
                "it of several strips or name a wider sheet"
            )
        return (
            f"{where}: cut {strip.grain} the grain, its width of {strip.width:g} mm fits no sheet; "
            'give it grain = "any" or name another sheet'
        )
    longest = max(rows) / 1000
    way = "" if strip.grain == "any" else f" with its length {strip.grain} the grain"
    said = (
        f"{where}: it is {strip.cut_length:g} mm long{' with its spare' * (strip.spare > 0)}, "
        f"{strip.cut_length - longest:g} mm longer than the {longest:g} mm that can be cut from "
        f"its sheets{way}"
    )
    if strip.joins:
        return (
            f"{said}; it cannot be joined from parts whose joins lie {strip.join_from_end:g} mm "
            f"from its ends and lap {strip.lap:g} mm; lower join_from_end or lap, or name a longer "
            "sheet"
        )
    return f"{said}; allow joins, divide it, or name a longer sheet"
