"""Where every piece lies on its sheet, by name, and the rows in which it is cut."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass

from foamcalc.ask.cutlist.items import Item, Panel, Stock, thousandths
from foamcalc.ask.cutlist.packing import Packing
from foamcalc.ask.cutlist.parts import Unit
from foamcalc.ask.cutlist.rows import Box, Cut, rows_of


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
    begin: float
    """Where its first piece begins, from the end of the sheet (from its side, if across) [mm]."""
    placed: tuple[Placed, ...]


@dataclass(frozen=True, kw_only=True)
class CutSheet:
    """One sheet of the cut list."""

    stock: Stock
    number: int
    """Which sheet of its material, from 1."""
    rows: tuple[Row, ...]
    rest: tuple[float, float]
    """Length and width of the largest piece left [mm]; zeros where nothing is."""

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


def lay_out(
    packing: Packing,
    units: Sequence[Unit],
    items: Sequence[Item],
    stocks: Sequence[Stock],
    *,
    kerf: int,
    trim: int,
) -> list[CutSheet]:
    """Every sheet with its rows, its pieces and the largest piece left of it."""
    placed: list[list[Placed]] = [[] for _ in packing.sheets]
    for lie in packing.lies:
        unit = units[lie.unit]
        parts = len(unit.ways[packing.ways.get(lie.unit, 0)])
        placed[lie.sheet] += _pieces(
            unit,
            items[unit.item],
            lie.part,
            parts,
            lie.length,
            lie.x + trim,
            lie.y + trim,
            lie.turned,
        )
    outlined = {item.name for item in items if isinstance(item, Panel)}
    order = sorted(range(len(placed)), key=lambda i: (packing.sheets[i], i))
    found = []
    for number, i in enumerate(order, 1):
        stock = stocks[packing.sheets[i]]
        found.append(
            CutSheet(
                stock=stock,
                number=number,
                rows=tuple(_rows(placed[i], outlined)),
                rest=_rest(stock, placed[i], kerf, trim),
            )
        )
    return found


def _pieces(
    unit: Unit, item: Item, part: int, parts: int, length: int, x: int, y: int, turned: bool
) -> Iterator[Placed]:
    """The pieces of a unit, each panel across from the one before by the nest's pitch."""
    pitch = thousandths(item.nest or 0.0) if isinstance(item, Panel) else 0
    width = thousandths(item.width)
    for i in range(unit.panels):
        yield Placed(
            name=item.name,
            number=unit.first + i,
            part=part + 1,
            parts=parts,
            x=(x + i * pitch * turned) / 1000,
            y=(y + i * pitch * (not turned)) / 1000,
            length=(width if turned else length) / 1000,
            width=(length if turned else width) / 1000,
            turned=turned,
            area=length * (min(pitch, width) if i else width) / 1e6,
        )


def _rows(placed: Sequence[Placed], outlined: Container[str]) -> Iterator[Row]:
    cuts = [Cut(_box(piece), piece.turned, piece.name in outlined) for piece in placed]
    for across, row in rows_of(cuts):
        yield _row([placed[i] for i in row], across=across)


def _row(placed: Sequence[Placed], *, across: bool) -> Row:
    boxes = [_box(piece) for piece in placed]
    starts, ends, begins = ((0, 1, 2), (2, 3, 0))[not across]
    start = min(box[starts] for box in boxes)
    return Row(
        across=across,
        start=start / 1000,
        width=(max(box[ends] for box in boxes) - start) / 1000,
        begin=min(box[begins] for box in boxes) / 1000,
        placed=tuple(placed),
    )


def _box(piece: Placed) -> Box:
    """From and to along the sheet, from and to across it."""
    x, y = thousandths(piece.x), thousandths(piece.y)
    return x, x + thousandths(piece.length), y, y + thousandths(piece.width)


def _rest(stock: Stock, placed: Sequence[Placed], kerf: int, trim: int) -> tuple[float, float]:
    """Length and width of the largest rectangle that no piece, with its kerf, lies in [mm]."""
    long, wide = thousandths(stock.length) - trim, thousandths(stock.width) - trim
    boxes = {
        (x - kerf, x_end + kerf, y - kerf, y_end + kerf)
        for x, x_end, y, y_end in (_box(piece) for piece in placed)
    }
    best, size = 0, (0, 0)
    for low in sorted({trim, *(box[1] for box in boxes)}):
        # a rectangle from here on: its end moves over the pieces, its sides close in on them
        gaps = [(trim, wide)]
        for box in sorted(box for box in boxes if box[1] > low):
            for bottom, top in gaps:
                if (area := (min(box[0], long) - low) * (top - bottom)) > best and box[0] > low:
                    best, size = area, (min(box[0], long) - low, top - bottom)
            gaps = [
                (b, t)
                for bottom, top in gaps
                for b, t in (
                    ((bottom, min(top, box[2])), (max(bottom, box[3]), top))
                    if box[2] < top and box[3] > bottom
                    else ((bottom, top),)
                )
                if b < t and long > low and (long - low) * (t - b) > best
            ]
        for bottom, top in gaps:
            if (area := (long - low) * (top - bottom)) > best:
                best, size = area, (long - low, top - bottom)
    return size[0] / 1000, size[1] / 1000
