"""Where every piece lies on its sheet, by name."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Sequence
from dataclasses import dataclass

from foamcalc.job.cutlist.filled import FilledSheet, Filling
from foamcalc.job.cutlist.items import Item, Panel, Stock, thousandths
from foamcalc.job.cutlist.needs import Kind, Needs, Place, Way, ways_of
from foamcalc.job.cutlist.shelves import Block, Shelved


@dataclass(frozen=True, kw_only=True)
class Placed:
    """One piece, or one part of a joined strip, on its sheet."""

    name: str
    number: int
    """Which of the pieces of this name, from 1."""
    part: int
    """Which part of it, from 1."""
    parts: int
    x: float
    """From the end of the sheet, along its length [mm]."""
    y: float
    """From the side of the sheet, along its width [mm]."""
    length: float
    """Along the length of the sheet [mm]."""
    width: float
    """Along the width of the sheet [mm]."""
    turned: bool
    """Whether its own length lies across the sheet."""
    area: float
    """Of it, or of the rectangle round it; where pieces lie in each other, what it adds [mm²]."""


@dataclass(frozen=True, kw_only=True)
class Row:
    """What is slit from the sheet in one go, then cut to lengths: a row of strips or of panels."""

    across: bool
    """Whether it runs across the sheet."""
    start: float
    """Where it begins, from the side of the sheet (from its end, if it runs across) [mm]."""
    width: float
    """How wide it is slit [mm]."""
    placed: tuple[Placed, ...]


@dataclass(frozen=True, kw_only=True)
class CutSheet:
    """One sheet of the cut list."""

    stock: Stock
    number: int
    """Which sheet of its material, from 1."""
    rows: tuple[Row, ...]
    rest: tuple[float, float]
    """Length and width of the larger of the two pieces left right along or across it [mm]."""

    @property
    def placed(self) -> tuple[Placed, ...]:
        """All pieces on it."""
        return tuple(piece for row in self.rows for piece in row.placed)

    @property
    def area(self) -> float:
        """Of the sheet [mm²]."""
        return self.stock.length * self.stock.width

    @property
    def waste(self) -> float:
        """Of the sheet less its pieces [mm²]; what may be kept is counted too."""
        return self.area - sum(piece.area for piece in self.placed)


class _Names:
    """Hands out the strips, and parts of strips, of each kind."""

    def __init__(self, items: Sequence[Item], needs: Needs, filling: Filling) -> None:
        self.waiting: dict[int, deque[tuple[str, int, int, int]]] = {}
        for need, chosen in zip(needs.strips, filling.chosen, strict=True):
            number = 0
            for division, count in zip(need.divisions, chosen, strict=True):
                for _ in range(count):
                    number += 1
                    for part, kind in enumerate(division, 1):
                        who = (items[need.item].name, number, part, len(division))
                        self.waiting.setdefault(kind, deque()).append(who)

    def take(self, kind: int) -> tuple[str, int, int, int]:
        """The next one: its name, number, part and parts."""
        return self.waiting[kind].popleft()


def lay_out(
    items: Sequence[Item],
    stocks: Sequence[Stock],
    shelved: tuple[Sequence[Shelved], Sequence[Place]],
    strips: tuple[Needs, Filling, Sequence[Place]],
    *,
    kerf: int,
    trim: int,
) -> list[CutSheet]:
    """Every sheet with its rows and pieces.

    Parameters
    ----------
    items : sequence of Strip or Panel
        All pieces of one material.
    stocks : sequence of Stock
        Its sheets.
    shelved : tuple
        Sheets with panels, and the places their numbers mean.
    strips : tuple
        The needs, the filling, and the places its numbers mean.
    kerf, trim : int
        Lost between two parts, and all round the sheet [thousandths of a mm].
    """
    needs, filling, places = strips
    names, ways = _Names(items, needs, filling), ways_of(places)
    begun: list[tuple[int, list[Row]]] = []
    for sheet in shelved[0]:
        place = shelved[1][sheet.place]
        begun.append((place.stock, _panel_rows(sheet, place, items)))
    for filled in sorted(filling.sheets, key=lambda f: _order(f, needs)):
        way = ways[filled.way]
        place = places[way.place]
        rows = _strip_rows(filled, way, place, needs, names, kerf)
        if place.sheet is None:
            begun.append((place.stock, rows))
        else:
            begun[place.sheet][1].extend(rows)
    order = sorted(range(len(begun)), key=lambda i: (begun[i][0], i))
    return [
        CutSheet(
            stock=stocks[begun[i][0]],
            number=number,
            rows=tuple(begun[i][1]),
            rest=_rest(stocks[begun[i][0]], begun[i][1], kerf / 1000, trim / 1000),
        )
        for number, i in enumerate(order, 1)
    ]


def _order(filled: FilledSheet, needs: Needs) -> tuple[object, ...]:
    """Sheets in one order, however they were found: by way, the widest and longest first."""
    rows = sorted(
        ((-row.width, *_longest_first(row.kinds, needs)) for row in filled.rows if row.kinds),
    )
    return filled.way, rows


def _longest_first(kinds: Counter[int], needs: Needs) -> list[tuple[int, int]]:
    return sorted((-needs.kinds[k].length, k) for k, n in kinds.items() for _ in range(n))


def _strip_rows(
    filled: FilledSheet, way: Way, place: Place, needs: Needs, names: _Names, kerf: int
) -> list[Row]:
    found, start = [], 0
    fullest = sorted(
        ((-row.width, _longest_first(row.kinds, needs)) for row in filled.rows),
    )
    for minus_width, parts in fullest:
        width, place_in_row, placed = -minus_width, 0, []
        for _, kind in parts:
            part = needs.kinds[kind]
            placed.append(_strip(names.take(kind), part, way, place, place_in_row, start))
            place_in_row += part.length + kerf
        at = (place.x if way.across else place.y) + start
        if placed:
            found.append(_row(way.across, at, width, placed))
            start += width + kerf
    return found


def _row(across: bool, start: int, width: int, placed: Sequence[Placed]) -> Row:
    return Row(across=across, start=start / 1000, width=width / 1000, placed=tuple(placed))


def _strip(
    who: tuple[str, int, int, int], part: Kind, way: Way, place: Place, along: int, start: int
) -> Placed:
    x, y, length, width = along, start, part.length, part.width
    if way.across:
        x, y, length, width = y, x, width, length
    name, number, which, parts = who
    return Placed(
        name=name,
        number=number,
        part=which,
        parts=parts,
        x=(place.x + x) / 1000,
        y=(place.y + y) / 1000,
        length=length / 1000,
        width=width / 1000,
        turned=way.across,
        area=length * width / 1e6,
    )


def _panel_rows(sheet: Shelved, place: Place, items: Sequence[Item]) -> list[Row]:
    found = []
    for shelf in sheet.shelves:
        placed: list[Placed] = []
        for block, along, turned in shelf.blocks:
            x, y = (shelf.start, along) if sheet.across else (along, shelf.start)
            placed += _block(block, items[block.item], place.x + x, place.y + y, turned)
        at = (place.x if sheet.across else place.y) + shelf.start
        found.append(_row(sheet.across, at, shelf.height, placed))
    return found


def _block(block: Block, item: Item, x: int, y: int, turned: bool) -> list[Placed]:
    """The panels of a block, each across from the one before by the nest's pitch."""
    assert isinstance(item, Panel)
    pitch = thousandths(item.nest or 0.0)
    length, width = thousandths(item.length), thousandths(item.width)
    found = []
    for i in range(block.count):
        adds = min(pitch, width) if i else width
        found.append(
            Placed(
                name=item.name,
                number=block.first + i,
                part=1,
                parts=1,
                x=(x + i * pitch * turned) / 1000,
                y=(y + i * pitch * (not turned)) / 1000,
                length=(width if turned else length) / 1000,
                width=(length if turned else width) / 1000,
                turned=turned,
                area=length * adds / 1e6,
            )
        )
    return found


def _rest(stock: Stock, rows: Sequence[Row], kerf: float, trim: float) -> tuple[float, float]:
    """The larger of what is left beyond all pieces, right along the sheet or right across it."""
    placed = [piece for row in rows for piece in row.placed]
    long = stock.length - trim - kerf - max(p.x + p.length for p in placed)
    wide = stock.width - trim - kerf - max(p.y + p.width for p in placed)
    along = (stock.length - 2 * trim, max(wide, 0.0))
    across = (max(long, 0.0), stock.width - 2 * trim)
    return max(along, across, key=lambda r: r[0] * r[1])
