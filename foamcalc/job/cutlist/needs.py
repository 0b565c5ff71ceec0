"""What must be cut, in thousandths of a millimetre: kinds of parts, and where they may lie."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamcalc.job.cutlist.items import Grain, Item, Stock, Strip, thousandths


@dataclass(frozen=True, order=True)
class Kind:
    """Parts of one size: all that may lie in each other's place."""

    width: int
    length: int
    grain: Grain


@dataclass(frozen=True, kw_only=True)
class Place:
    """A rectangle of foam that strips can be cut from: the inside of a sheet, or what is left."""

    stock: int
    """Which of the stocks it belongs to."""
    sheet: int | None
    """Which of the sheets that are begun it lies on; None for a new one."""
    x: int
    y: int
    length: int
    width: int
    cost: int
    """What taking a new one costs, in whatever is counted."""
    most: int | None
    """How many there are; None for as many as wanted."""
    grained: bool

    @property
    def area(self) -> int:
        """Length times width."""
        return self.length * self.width


@dataclass(frozen=True, kw_only=True)
class Way:
    """A place with its rows laid along or across it."""

    place: int
    across: bool
    length: int
    """How long a row can be."""
    width: int
    """How wide all rows together can be, the kerfs between them included."""
    grained: bool

    def takes(self, kind: Kind) -> bool:
        """Whether a part of this kind fits in, its grain the right way."""
        wrong = "along" if self.across else "across"
        if self.grained and kind.grain == wrong:
            return False
        return kind.length <= self.length and kind.width <= self.width


@dataclass(frozen=True, kw_only=True)
class Need:
    """A kind of strip, with the ways in which it can be made from parts."""

    item: int
    count: int
    divisions: tuple[tuple[int, ...], ...]
    """Each the kinds of its parts, end to end; the first is taken if nothing speaks against it."""


@dataclass(frozen=True, kw_only=True)
class Needs:
    """All the strips of one material."""

    kinds: tuple[Kind, ...]
    strips: tuple[Need, ...]

    def fixed(self) -> list[int]:
        """How many of each kind are needed whatever is chosen."""
        found = [0] * len(self.kinds)
        for need in self.strips:
            if len(need.divisions) == 1:
                for kind in need.divisions[0]:
                    found[kind] += need.count
        return found

    def most(self) -> list[int]:
        """How many of each kind can be needed at most."""
        found = [0] * len(self.kinds)
        for need in self.strips:
            for kind in set().union(*need.divisions):
                most = max(division.count(kind) for division in need.divisions)
                found[kind] += need.count * most
        return found


def ways_of(places: Sequence[Place]) -> list[Way]:
    """Both ways of laying rows in each place; one where they are the same."""
    found = []
    for number, place in enumerate(places):
        sides = [(False, place.length, place.width)]
        if place.grained or place.length != place.width:
            sides.append((True, place.width, place.length))
        found += [
            Way(place=number, across=a, length=length, width=width, grained=place.grained)
            for a, length, width in sides
        ]
    return found


def sheet_places(stocks: Sequence[Stock], trim: int, costs: Sequence[int]) -> list[Place]:
    """The inside of a sheet of each stock."""
    return [
        Place(
            stock=number,
            sheet=None,
            x=trim,
            y=trim,
            length=thousandths(stock.length) - 2 * trim,
            width=thousandths(stock.width) - 2 * trim,
            cost=cost,
            most=stock.at_hand,
            grained=stock.grain == "along",
        )
        for number, (stock, cost) in enumerate(zip(stocks, costs, strict=True))
    ]


def needs_of(items: Sequence[Item], places: Sequence[Place]) -> Needs:
    """The strips among the items, with their parts.

    Raises
    ------
    ValueError
        If a strip fits nowhere, or cannot be joined from parts that do.
    """
    kinds: dict[Kind, int] = {}
    strips = []
    grained = any(place.grained for place in places)
    for number, item in enumerate(items):
        if isinstance(item, Strip):
            divisions = []
            for parts in _divisions(item, places):
                grain = item.grain if grained else "any"
                found = [Kind(thousandths(item.width), part, grain) for part in parts]
                divisions.append(tuple(kinds.setdefault(kind, len(kinds)) for kind in found))
            strips.append(Need(item=number, count=item.count, divisions=tuple(divisions)))
    return Needs(kinds=tuple(kinds), strips=tuple(strips))


def _divisions(strip: Strip, places: Sequence[Place]) -> list[tuple[int, ...]]:
    """Lengths of the parts of a strip, in each way worth trying; joins only where needed."""
    width = thousandths(strip.width)
    rows = [
        (way.length, places[way.place].most is None)
        for way in ways_of(places)
        if way.takes(Kind(width, 1, strip.grain))
    ]
    whole = thousandths(strip.cut_length)
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
        widest = max(way.width for way in ways_of(places)) / 1000
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
