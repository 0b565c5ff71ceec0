"""The table of the swatch record on paper: the columns and rows of its CSV, to write in by hand."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from foamcalc.ask.swatch.guide import blank_swatch
from foamcalc.draw.blocks import Words
from foamcalc.draw.ink import INK
from foamcalc.draw.lettering import LINE, POINT, width, wrap
from foamcalc.draw.page import say
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes

TEXT, SMALL = 11.0, 9.0
"""Sizes of type [pt]: what is read at the bench, and what is read at the desk."""
_NARROWEST = 15.5
"""Width of a column that a number is written into by hand [mm]."""
_SIDE, _ABOVE = 1.5, 1.2
"""White room in a cell, at each side and above a head [mm]."""
_SLACK = 0.01
"""So that the widest word of a column still fits after rounding [mm]."""
_LINE = TEXT * LINE * POINT
"""Height of a line of a head [mm]."""
_AS_CUT = ("width", "thickness", "gauge", "clamp", "strip weight")
"""Columns that are filled in once for each strip."""
_GREY, _HEAD = "#d9d9d9", "#f0f0f0"


@dataclass(frozen=True)
class Line:
    """One row of the record: its line in the file, its cells, those that stay empty."""

    number: int
    cells: tuple[str, ...]
    closed: frozenset[int] = frozenset()
    """Columns that belong to the strip and stand in an earlier row."""


@dataclass(frozen=True)
class Record:
    """The blank record: heads of the columns, and rows."""

    heads: tuple[str, ...]
    lines: tuple[Line, ...]

    def column(self, name: str) -> int:
        """Where the column of a name stands."""
        return [head.partition(" [")[0] for head in self.heads].index(name)

    def where(self, **cells: str) -> tuple[Line, ...]:
        """The rows that have these texts in the columns of these names."""
        wanted = {self.column(name): text for name, text in cells.items()}
        return tuple(
            line for line in self.lines if all(line.cells[i] == t for i, t in wanted.items())
        )

    def spare(self, count: int) -> tuple[Line, ...]:
        """Empty rows to follow the last one."""
        after = self.lines[-1].number + 1
        return tuple(Line(after + i, ("",) * len(self.heads)) for i in range(count))


def blank_record(system: System) -> Record:
    """The record as `foamcalc.ask.swatch.guide.blank_swatch` writes it, to be printed.

    Parameters
    ----------
    system : {"mm", "in"}
        Unit of the lengths, in the heads and in the notes.

    Returns
    -------
    Record
        The same columns and rows in the same order.

    Examples
    --------
    >>> record = blank_record("in")
    >>> record.heads[3], record.lines[0].number, record.lines[0].cells[-1]
    ('width [in]', 2, '1 in wide')
    """
    text = blank_swatch(length_unit=system).decode("utf-8-sig")
    heads, *rows = csv.reader(io.StringIO(text))
    bare = Record(tuple(heads), ())
    name = bare.column("strip")
    once = frozenset(bare.column(c) for c in _AS_CUT)
    seen: set[str] = set()
    lines = []
    for number, cells in enumerate(rows, 2):
        lines.append(Line(number, tuple(cells), once if cells[name] in seen else frozenset()))
        seen.add(cells[name])
    return Record(bare.heads, tuple(lines))


@dataclass(frozen=True)
class Table:
    """Rows of the record under their heads; a block of a page."""

    record: Record
    lines: Sequence[Line]
    wide: float
    row: float
    """Height of a row [mm]."""

    @property
    def widths(self) -> tuple[float, ...]:
        """Widths of the columns [mm]; the last one takes what is left."""
        found = [
            max(
                _widest(head.split(), bold=True),
                _widest([line.cells[i] for line in self.record.lines], bold=False),
                _NARROWEST - 2 * _SIDE if "[" in head else 0.0,
            )
            + 2 * _SIDE
            for i, head in enumerate(self.record.heads[:-1])
        ]
        return (*found, self.wide - sum(found))

    @property
    def head(self) -> float:
        """Height of the heads [mm]."""
        return max(len(head) for head in self._heads()) * _LINE + 2 * _ABOVE

    @property
    def tall(self) -> float:
        """Height [mm]."""
        return self.head + len(self.lines) * self.row

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]; line numbers stand left of it."""
        edges = list(accumulate(self.widths, initial=left))
        floor = top - self.head
        _ground(page, (left, floor), (self.wide, self.head), _HEAD, "heads")
        for start, end, head in zip(edges[:-1], edges[1:], self._heads(), strict=True):
            for i, text in enumerate(head):
                across = (start + end - width(text, points=TEXT, bold=True)) / 2
                Words((text,), TEXT, bold=True).draw(page, across, top - _ABOVE - i * _LINE)
        where = (left - _SIDE, floor + _ABOVE + 0.5 * SMALL * LINE * POINT)
        say(page, *where, "line", points=SMALL, ha="right", middle=True)
        for i, line in enumerate(self.lines):
            self._line(page, line, edges, floor - i * self.row)
        self._rules(page, edges, top)

    def _heads(self) -> list[tuple[str, ...]]:
        """The heads, broken into lines."""
        return [
            wrap(head, wide=wide - 2 * _SIDE + _SLACK, points=TEXT, bold=True)
            for head, wide in zip(self.record.heads, self.widths, strict=True)
        ]

    def _line(self, page: Axes, line: Line, edges: Sequence[float], top: float) -> None:
        """One row: its number, what is printed in its cells, a ground on those that stay empty."""
        middle = top - self.row / 2
        say(page, edges[0] - _SIDE, middle, f"{line.number}", points=SMALL, ha="right", middle=True)
        for i, text in enumerate(line.cells):
            wide = edges[i + 1] - edges[i]
            if i in line.closed:
                _ground(page, (edges[i], top - self.row), (wide, self.row), _GREY, "stays empty")
            if text:
                words = Words.set(text, wide=wide - 2 * _SIDE, points=TEXT)
                words.draw(page, edges[i] + _SIDE, middle + words.tall / 2)

    def _rules(self, page: Axes, edges: Sequence[float], top: float) -> None:
        """Lines round all cells, stronger ones where another strip begins."""
        name = self.record.column("strip")
        names = [line.cells[name] for line in self.lines]
        strong = {0, len(names)} | {
            i for i, two in enumerate(pairwise(names), 1) if two[0] != two[1]
        }
        ends = (edges[0], edges[-1])
        _rule(page, ends, (top, top), 1.3)
        for i in range(len(names) + 1):
            level = top - self.head - i * self.row
            _rule(page, ends, (level, level), 1.3 if i in strong else 0.5)
        for x in edges:
            _rule(page, (x, x), (top, top - self.tall), 1.3 if x in ends else 0.5)


def _widest(texts: Iterable[str], *, bold: bool) -> float:
    """Width of the widest text [mm]."""
    return max(width(text, points=TEXT, bold=bold) for text in texts)


def _ground(
    page: Axes, corner: tuple[float, float], size: tuple[float, float], tone: str, name: str
) -> None:
    """A tone behind some cells, from the lower left corner."""
    from matplotlib.patches import Rectangle

    page.add_patch(Rectangle(corner, *size, facecolor=tone, linewidth=0, zorder=0.5, gid=name))


def _rule(page: Axes, x: tuple[float, float], y: tuple[float, float], thick: float) -> None:
    page.plot(x, y, color=INK, linewidth=thick, solid_capstyle="projecting")
