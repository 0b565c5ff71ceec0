"""The swatch record on paper: how to test a foam, and the rows of the CSV to write in by hand."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, count, pairwise
from typing import TYPE_CHECKING

import numpy as np

from foamcalc.ask import swatch as guide
from foamcalc.ask.answer import Say
from foamcalc.ask.swatch import blank_heads, blank_rows
from foamcalc.ask.swatch_record import MEASURED_ONCE
from foamcalc.draw.blocks import Block, Column, Words
from foamcalc.draw.checkbar import HIGH, check_bars
from foamcalc.draw.dimension import dimension_line
from foamcalc.draw.ink import INK, QUIET, TONES
from foamcalc.draw.lettering import LINE, POINT, own_style, width, wrap
from foamcalc.draw.page import say as write
from foamcalc.draw.paper import Paper, blank_page, paper_size
from foamcalc.draw.setter import ticked_step
from foamcalc.fit.order import Step
from foamcalc.guards import one_of
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_LEFT, _RIGHT, _TOP = 16.0, 11.0, 11.0
"""White edges [mm]; the numbers of the lines stand in the left one."""
_FOOT = 10.0
"""Height of the foot line [mm]."""
_APART = 8.0
"""Between two columns of words [mm]."""
_TITLE, _HEAD, _TEXT, _SMALL = 20.0, 14.0, 11.0, 9.0
"""Sizes of type [pt]; small is what is read at the desk."""
_SPARE = 3
"""Empty rows for more strips."""

_Point = tuple[float, float]


def swatch_pages(
    *, paper: Paper = "A4", system: System = "mm", grade: str = "EVA medium"
) -> list[Figure]:
    """Make the record to print: how to do the test, and the rows of the blank CSV, in its order."""
    up, across = paper_size(paper)
    say = Say(one_of(system, "system", ("mm", "in")))
    number = count(1)

    def numbered(steps: Sequence[Step], wide: float) -> list[Block]:
        return [ticked_step(next(number), s, wide=wide, points=_TEXT, apart=1.2) for s in steps]

    with own_style():
        figures = [blank_page((across, up), title="Swatch test") for _ in range(4)]
        first, pull, let_go, squeeze = pages = [_Page(f.axes[0], across, up) for f in figures]
        half, rows = (pull.wide - _APART) / 2, _rows(system)
        _first_page(first, say, numbered, grade)

        top = pull.begin("Pull: while the strip hangs")
        one, *others = numbered(guide.READ, half)
        notes = [Words.set(note, wide=half, points=_TEXT) for note in guide.filling(say)]
        low = pull.columns([one], [*others, *notes], top=top)
        _Table(pull, system, [r for r in rows if r.test == "pull" and r.load == ""]).draw(low - 5.0)

        top = let_go.begin("Pull: after letting go")
        low = let_go.columns(*([step] for step in numbered(guide.LET_GO, half)), top=top)
        _Table(let_go, system, [r for r in rows if r.load == "0"]).draw(low - 5.0)

        top = squeeze.begin("Squeeze: between two boards")
        _draw_squeezed(squeeze.ax, _LEFT, top)
        left = _LEFT + _SQUEEZED[0] + _APART
        wide = across - _RIGHT - left
        low = squeeze.column(numbered(guide.squeeze(say, grade=grade), wide), left=left, top=top)
        spare = [_Row(rows[-1].number + i, {}) for i in range(1, _SPARE + 1)]
        table = _Table(squeeze, system, [r for r in rows if r.test == "squeeze"] + spare)
        low = table.draw(min(low, top - _SQUEEZED[1]) - 5.0)
        notes = [Words.set(note, wide=half, points=_TEXT) for note in guide.TYPING]
        squeeze.columns(numbered(guide.WARM, half), notes, top=low - 4.0)

        for i, page in enumerate(pages, 1):
            text = f"Product data sheets and local rules come first. · page {i} of {len(pages)}"
            write(page.ax, across - _RIGHT, _FOOT, text, points=_SMALL, ha="right", middle=True)
    return figures


def _first_page(
    page: _Page,
    say: Say,
    numbered: Callable[[Sequence[Step], float], list[Block]],
    grade: str,
) -> None:
    """What was tested, the strip that hangs, and how it comes to hang."""
    page.title("Swatch test: what your own foam does")
    page.fields(("Foam", "Sheet", "Date"), left=_LEFT, base=page.top - 18.0)
    label, base = f"Thickness in five places [{say.system}]", page.top - 28.0
    Words((label,), _TEXT).draw(page.ax, _LEFT, base + _TEXT * POINT)
    page.fields("12345", left=_LEFT + width(label, points=_TEXT) + 5.0, base=base)
    top, low = page.top - 35.0, _FOOT + HIGH + 5.0
    _draw_hanging(page.ax, _LEFT, top, low, say)
    left = _LEFT + _HANGING + _APART
    wide = page.across - _RIGHT - left
    blocks = [Words(("Get ready",), _HEAD, bold=True), *numbered(guide.prepare(say), wide)]
    blocks.append(Words(("Hang the strips",), _HEAD, bold=True))
    page.column([*blocks, *numbered(guide.hang(say, grade=grade), wide)], left=left, top=top)
    check_bars(page.ax, left=_LEFT, low=_FOOT - 1.5)
    text = "Printed at 100 %, not fitted to the page, these bars are true."
    right = page.across - _RIGHT
    write(page.ax, right, _FOOT + 6.0, text, points=_SMALL, ha="right", middle=True)


@dataclass(frozen=True)
class _Page:
    """A page to be filled, and its size [mm]."""

    ax: Axes
    across: float
    up: float

    @property
    def wide(self) -> float:
        """Width between the white edges [mm]."""
        return self.across - _LEFT - _RIGHT

    @property
    def top(self) -> float:
        """Upper edge of what is printed [mm]."""
        return self.up - _TOP

    def title(self, text: str) -> float:
        """Write what the page is for; returns where its words end [mm]."""
        Words((text,), _TITLE, bold=True).draw(self.ax, _LEFT, self.top)
        return _LEFT + width(text, points=_TITLE, bold=True)

    def begin(self, text: str) -> float:
        """Write what a further page is for, and what was tested; returns what is free [mm]."""
        end = self.title(text)
        self.fields(("Foam", "Date"), left=end + 2 * _APART, base=self.top - 8.0)
        return self.top - 14.0

    def fields(self, names: Sequence[str], *, left: float, base: float) -> None:
        """Names with lines to write on, side by side up to the right edge."""
        each = (self.across - _RIGHT - left + _APART) / len(names)
        for i, name in enumerate(names):
            start, end = left + i * each, left + (i + 1) * each - _APART
            Words((name,), _TEXT).draw(self.ax, start, base + _TEXT * POINT)
            line = (start + width(name, points=_TEXT) + 2.0, end)
            self.ax.plot(line, (base - 1.0,) * 2, color=INK, linewidth=0.8, gid="write here")

    def column(self, blocks: Sequence[Block], *, left: float, top: float) -> float:
        """Draw blocks one below the other; returns their lower edge [mm]."""
        column = Column(tuple(blocks), 3.0)
        column.draw(self.ax, left, top)
        return top - column.tall

    def columns(self, *columns: Sequence[Block], top: float) -> float:
        """Draw two columns side by side; returns the lower edge of the longer [mm]."""
        apart = (self.wide + _APART) / 2
        return min(self.column(b, left=_LEFT + i * apart, top=top) for i, b in enumerate(columns))


# The table --------------------------------------------------------------------------------------

_ROW = 10.5
"""Height of a row, for handwriting [mm]."""
_NARROWEST = 15.5
"""Width of a column that a number is written into by hand [mm]."""
_SIDE, _ABOVE = 1.5, 1.2
"""White room in a cell, at each side and above a head [mm]."""
_SLACK = 0.01
"""So that the widest word of a column still fits after rounding [mm]."""
_LINE = _TEXT * LINE * POINT
"""Height of a line of a head [mm]."""
_GREY, _GROUND = "#d9d9d9", "#f0f0f0"


@dataclass(frozen=True)
class _Row:
    """One row of the record: its line in the file, and what stands in it by column."""

    number: int
    cells: Mapping[str, str]
    closed: bool = False
    """Whether what is measured once stands in an earlier row."""

    @property
    def test(self) -> str:
        return self.cells.get("test", "")

    @property
    def load(self) -> str:
        return self.cells.get("load", "")


def _rows(system: System) -> list[_Row]:
    """The rows of the blank CSV."""
    rows, seen = [], set[object]()
    for number, cells in enumerate(blank_rows(system), 2):
        texts = {name: str(value) for name, value in cells.items()}
        rows.append(_Row(number, texts, cells["strip"] in seen))
        seen.add(cells["strip"])
    return rows


@dataclass(frozen=True)
class _Table:
    """Rows of the record under their heads, as wide as the page."""

    page: _Page
    system: System
    rows: Sequence[_Row]

    @property
    def names(self) -> list[str]:
        """The columns."""
        return [head.partition(" [")[0] for head in blank_heads(self.system)]

    def widths(self) -> list[float]:
        """Widths of the columns [mm]; the last one takes what is left."""
        cells = [row.cells for row in _rows(self.system)]
        found = []
        for head, name in zip(blank_heads(self.system)[:-1], self.names, strict=False):
            words = [width(word, points=_TEXT, bold=True) for word in head.split()]
            texts = [width(row.get(name, ""), points=_TEXT) for row in cells]
            number = _NARROWEST - 2 * _SIDE if "[" in head else 0.0
            found.append(max(*words, *texts, number) + 2 * _SIDE)
        return [*found, self.page.wide - sum(found)]

    def draw(self, top: float) -> float:
        """Draw it; line numbers stand left of it. Returns its lower edge [mm]."""
        ax, widths = self.page.ax, self.widths()
        edges = list(accumulate(widths, initial=_LEFT))
        heads = [
            wrap(head, wide=wide - 2 * _SIDE + _SLACK, points=_TEXT, bold=True)
            for head, wide in zip(blank_heads(self.system), widths, strict=True)
        ]
        floor = top - max(map(len, heads)) * _LINE - 2 * _ABOVE
        _box(ax, (_LEFT, floor), (self.page.wide, top - floor), _GROUND, "heads", 0.0)
        for (start, end), head in zip(pairwise(edges), heads, strict=True):
            for i, text in enumerate(head):
                across = (start + end - width(text, points=_TEXT, bold=True)) / 2
                Words((text,), _TEXT, bold=True).draw(ax, across, top - _ABOVE - i * _LINE)
        where = (_LEFT - _SIDE, floor + _ABOVE + 0.5 * _SMALL * LINE * POINT)
        write(ax, *where, "line", points=_SMALL, ha="right", middle=True)
        for i, row in enumerate(self.rows):
            self._row(row, edges, floor - i * _ROW)
        self._rules(edges, top, floor)
        return floor - len(self.rows) * _ROW

    def _row(self, row: _Row, edges: Sequence[float], top: float) -> None:
        """One row: its number, what is printed in its cells, a ground on those that stay empty."""
        ax, middle = self.page.ax, top - _ROW / 2
        number = (edges[0] - _SIDE, middle, f"{row.number}")
        write(ax, *number, points=_SMALL, ha="right", middle=True)
        for (start, end), name in zip(pairwise(edges), self.names, strict=True):
            if row.closed and name in MEASURED_ONCE:
                _box(ax, (start, top - _ROW), (end - start, _ROW), _GREY, "stays empty", 0.0)
            if text := row.cells.get(name, ""):
                words = Words.set(text, wide=end - start - 2 * _SIDE, points=_TEXT)
                words.draw(ax, start + _SIDE, middle + words.tall / 2)

    def _rules(self, edges: Sequence[float], top: float, floor: float) -> None:
        """Lines round all cells, stronger ones where another strip begins."""
        strips = [row.cells.get("strip", "") for row in self.rows]
        other = [True, *(a != b for a, b in pairwise(strips)), True]
        low, ends = floor - len(strips) * _ROW, (edges[0], edges[-1])
        rules = [(ends, (top, top), True)]
        rules += [(ends, (floor - i * _ROW,) * 2, strong) for i, strong in enumerate(other)]
        rules += [((x, x), (top, low), x in ends) for x in edges]
        for x, y, strong in rules:
            thick = 1.3 if strong else 0.5
            self.page.ax.plot(x, y, color=INK, linewidth=thick, solid_capstyle="projecting")


# The drawings -----------------------------------------------------------------------------------

_HANGING, _SQUEEZED = 96.0, (90.0, 52.0)
"""Width of the strip's drawing, and width and height of the block's [mm]."""
_WOOD = "#d8c3a0"
_TIGHT = 4.0
"""Length up to which the arrowheads of a dimension line stand outside it [mm]."""
_BEAM, _HOOK, _CLAMP, _BAG, _DROP, _MAT = 4.0, 5.0, 8.0, 22.0, 6.0, 5.0
"""Heights on paper, from the top down [mm]."""
_OUT = 5.0
"""From what is measured to its dimension line [mm]."""


def _draw_hanging(ax: Axes, left: float, top: float, floor: float, say: Say) -> None:
    """A wide strip with its marks, clamps, ruler and bag."""
    asked = guide.ASKED[say.system]
    x, upper = left + 0.46 * _HANGING, top - _BEAM - _HOOK - _CLAMP
    lower = floor + _MAT + _DROP + _BAG + _HOOK + _CLAMP
    scale = (upper - lower) / asked.shortest
    wide, spare = asked.wide * scale, (asked.shortest - asked.gauge) / 2 * scale
    marks = low, high = (lower + spare, upper - spare)
    _standing(ax, (x, top - _BEAM), (0.6 * _HANGING, _BEAM), _WOOD, "beam")
    _stroke(ax, (x, x), (upper + _CLAMP, top - _BEAM), 2.2)
    _standing(ax, (x, lower), (wide, upper - lower), TONES[0], "strip")
    for foot in (upper, lower - _CLAMP):
        _standing(ax, (x, foot), (wide + 7.0, _CLAMP), QUIET, "clamp")
    for level in marks:
        _stroke(ax, (x - wide / 2, x + wide / 2), (level, level), 1.8)
    edge = x - wide / 2
    for ends in pairwise((lower, *marks, upper)):
        _height(ax, ends, edge, edge - _OUT)
    for middle, text in (
        ((low + high) / 2, f"gauge:\n{say(asked.gauge)} from\nmark to mark"),
        ((high + upper) / 2, "one width\nor more"),
        ((lower + low) / 2, "one width\nor more"),
    ):
        _beside(ax, edge - _OUT - 2.0, middle, text, ha="right")
    level = (lower + upper) / 2
    ends = (edge, x + wide / 2)
    dimension_line(ax, ends=ends, starts=(level, level), level=level, tight=_TIGHT)
    write(ax, x, level - 4.0, "width", points=_TEXT, ha="center", middle=True)
    _ruler(ax, x + wide / 2 + 3.0, (low - 5.0, high + 5.0))
    right = x + wide / 2 + 13.0
    _beside(ax, right, upper + _CLAMP / 2, f"E and F:\n{say(asked.wide)} wide", ha="left")
    _beside(ax, right, high - 5.0, "ruler: read the\nlength between\nthe marks", ha="left")
    _beside(ax, right, lower - _CLAMP / 2, "clamp, weighed\nwith its hook", ha="left")
    _bag(ax, x, lower - _CLAMP, floor)


def _bag(ax: Axes, x: float, hook: float, floor: float) -> None:
    """Hook and bag, and what it may drop on."""
    from matplotlib.patches import Polygon

    neck, foot = hook - _HOOK, floor + _MAT + _DROP
    _stroke(ax, (x, x), (neck - 1.0, hook), 2.2)
    half = ((3.0, neck), (13.0, foot + 3.0), (11.0, foot))
    outline = [(x + out, y) for out, y in half] + [(x - out, y) for out, y in half[::-1]]
    bag = Polygon(outline, facecolor=TONES[1], edgecolor=INK, linewidth=1.2, zorder=2)
    bag.set_gid("bag")
    ax.add_patch(bag)
    _standing(ax, (x, floor), (38.0, _MAT), TONES[0], "mat")
    _stroke(ax, (x - 0.4 * _HANGING, x + 0.4 * _HANGING), (floor, floor), 2.2)
    write(ax, x, foot + 0.4 * _BAG, "load", points=_TEXT, ha="center", middle=True, bold=True)
    _height(ax, (floor + _MAT, foot), x + 11.0, x + 15.0)
    _beside(ax, x + 21.0, foot, "close over\nthe floor", ha="left")
    _beside(ax, x - 21.0, floor + _MAT + 2.0, "may drop\non this", ha="right")


def _draw_squeezed(ax: Axes, left: float, top: float) -> None:
    """A block of offcuts between two boards, with its load."""
    x, floor = left + 34.0, top - _SQUEEZED[1]
    side, board, heavy, layers = 28.0, 4.0, 15.0, 6
    low = floor + board
    _stroke(ax, (left, left + 0.75 * _SQUEEZED[0]), (floor, floor), 2.2)
    _standing(ax, (x, floor), (44.0, board), _WOOD, "board")
    for i in range(layers):
        _standing(ax, (x, low + i * side / layers), (side, side / layers), TONES[0], "offcut")
    _standing(ax, (x, low + side), (44.0, board), _WOOD, "board")
    _standing(ax, (x, low + side + board), (24.0, heavy), TONES[1], "load")
    middle = low + side + board + heavy / 2
    write(ax, x, middle, "load", points=_TEXT, ha="center", middle=True, bold=True)
    edge = x - side / 2
    _height(ax, (low, low + side), edge, edge - _OUT)
    _beside(ax, edge - _OUT - 2.0, low + side / 2, "gauge", ha="right")
    right = x + 24.0
    _beside(ax, right, low + side + board / 2, "clamp: the\nboard on top", ha="left")
    block = "block of offcuts:\nits face is width\ntimes thickness"
    _beside(ax, right, low + side / 2 - 3.0, block, ha="left")


def _ruler(ax: Axes, left: float, ends: _Point) -> None:
    """A ruler that stands upright, with its strokes towards the strip."""
    high = 8.0
    _box(ax, (left, ends[0]), (high, ends[1] - ends[0]), "white", "ruler")
    for i, level in enumerate(np.arange(ends[0] + 1.0, ends[1], 1.5)):
        reach = 2.0 if i % 5 else 4.0
        _stroke(ax, (left, left + reach), (level, level), 0.6)


def _standing(ax: Axes, foot: _Point, size: _Point, tone: str, name: str) -> None:
    """A filled rectangle that stands on a point."""
    _box(ax, (foot[0] - size[0] / 2, foot[1]), size, tone, name)


def _box(ax: Axes, corner: _Point, size: _Point, tone: str, name: str, edge: float = 1.2) -> None:
    """A filled rectangle from its lower left corner; without an edge it lies behind all."""
    from matplotlib.patches import Rectangle

    box = Rectangle(corner, *size, facecolor=tone, linewidth=edge, zorder=2 if edge else 0.5)
    if edge:
        box.set_edgecolor(INK)
    box.set_gid(name)
    ax.add_patch(box)


def _stroke(ax: Axes, x: _Point, y: _Point, thick: float) -> None:
    ax.plot(x, y, color=INK, linewidth=thick, solid_capstyle="butt", zorder=3)


def _height(ax: Axes, ends: _Point, edge: float, at: float) -> None:
    """An upright dimension line of what ends at an edge."""
    starts = (edge, edge)
    dimension_line(ax, ends=ends, starts=starts, level=at, tight=_TIGHT, upright=True)


def _beside(ax: Axes, x: float, middle: float, text: str, *, ha: str) -> None:
    """Lines of words about a height, right or left of a place."""
    words = [Words((line,), _TEXT) for line in text.split("\n")]
    top = middle + sum(w.tall for w in words) / 2
    for word in words:
        shift = width(word.lines[0], points=_TEXT) if ha == "right" else 0.0
        word.draw(ax, x - shift, top)
        top -= word.tall
