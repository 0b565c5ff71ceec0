"""The swatch record on paper: how to test a foam, and the rows of the CSV to write in by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count
from typing import TYPE_CHECKING

from foamcalc.draw.blocks import Block, Column, Words
from foamcalc.draw.checkbar import HIGH, check_bars
from foamcalc.draw.ink import INK
from foamcalc.draw.lettering import POINT, own_style, width
from foamcalc.draw.page import say
from foamcalc.draw.paper import Paper, blank_page, paper_size
from foamcalc.draw.setter import ticked_step
from foamcalc.draw.swatch_rig import Hanging, Squeezed
from foamcalc.draw.swatch_table import SMALL, TEXT, Line, Record, Table, blank_record
from foamcalc.draw.swatch_words import TYPING, filling_notes, swatch_steps
from foamcalc.fit.advice import Step
from foamcalc.guards import one_of
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LEFT, RIGHT, TOP = 16.0, 11.0, 11.0
"""White edges [mm]; the numbers of the lines stand in the left one."""
_ROW = 10.5
"""Height of a row, for handwriting [mm]."""
_HANGING, _SQUEEZED = 96.0, 90.0
"""Widths of the drawings [mm]."""
_FOOT = 10.0
"""Height of the foot line [mm]."""
_SPARE = 3
"""Empty rows for more strips."""
_APART = 8.0
"""Between two columns of words [mm]."""
_TITLE, _HEAD = 20.0, 14.0
"""Sizes of type [pt]."""

_Numbered = Sequence[tuple[int, Step]]


def swatch_pages(
    *, paper: Paper = "A4", system: System = "mm", grade: str = "EVA medium"
) -> list[Figure]:
    """Make the record to print: how to do the test, and the rows of the blank CSV.

    Columns and rows are those of `foamcalc.ask.swatch.guide.blank_swatch`, in its order.
    """
    up, across = paper_size(paper)
    record = blank_record(one_of(system, "system", ("mm", "in")))
    number = count(1)
    steps = [[(next(number), step) for step in part] for part in swatch_steps(system, grade=grade)]
    with own_style():
        figures = [blank_page((across, up), title="Swatch test") for _ in range(4)]
        pages = [_Page(figure.axes[0], across, up) for figure in figures]
        _prepare(pages[0], steps[0], steps[1], system)
        _hang(pages[1], steps[2], record, system)
        _let_go(pages[2], steps[3], record)
        _squeeze(pages[3], steps[4], steps[5], record)
        for i, page in enumerate(pages, 1):
            page.foot(f"page {i} of {len(pages)}")
    return figures


@dataclass(frozen=True)
class _Page:
    """A page to be filled, and its size [mm]."""

    ax: Axes
    across: float
    up: float

    @property
    def wide(self) -> float:
        """Width between the white edges [mm]."""
        return self.across - LEFT - RIGHT

    @property
    def top(self) -> float:
        """Upper edge of what is printed [mm]."""
        return self.up - TOP

    def title(self, text: str) -> float:
        """Write what the page is for; returns where its words end [mm]."""
        Words((text,), _TITLE, bold=True).draw(self.ax, LEFT, self.top)
        return LEFT + width(text, points=_TITLE, bold=True)

    def begin(self, text: str) -> float:
        """Write what a further page is for, and what was tested; returns what is free [mm]."""
        end = self.title(text)
        self.fields(("Foam", "Date"), left=end + 2 * _APART, base=self.top - 8.0)
        return self.top - 14.0

    def fields(self, names: Sequence[str], *, left: float, base: float) -> None:
        """Names with lines to write on, side by side up to the right edge."""
        each = (self.across - RIGHT - left + _APART) / len(names)
        for i, name in enumerate(names):
            start, end = left + i * each, left + (i + 1) * each - _APART
            Words((name,), TEXT).draw(self.ax, start, base + TEXT * POINT)
            line = (start + width(name, points=TEXT) + 2.0, end)
            self.ax.plot(line, (base - 1.0,) * 2, color=INK, linewidth=0.8, gid="write here")

    def column(self, blocks: Sequence[Block], *, left: float, top: float) -> float:
        """Draw blocks one below the other; returns their lower edge [mm]."""
        column = Column(tuple(blocks), 3.0)
        column.draw(self.ax, left, top)
        return top - column.tall

    def columns(self, *columns: Sequence[Block], wide: float, top: float) -> float:
        """Draw columns of a width side by side; returns the lower edge of the longest [mm]."""
        places = [LEFT + i * (wide + _APART) for i in range(len(columns))]
        return min(
            self.column(blocks, left=x, top=top) for x, blocks in zip(places, columns, strict=True)
        )

    def table(self, record: Record, lines: Sequence[Line], top: float) -> float:
        """Draw rows of the record; returns their lower edge [mm]."""
        table = Table(record, lines, self.wide, _ROW)
        table.draw(self.ax, LEFT, top)
        return top - table.tall

    def foot(self, number: str) -> None:
        """The last line: what comes first, and which page this is."""
        end = self.across - RIGHT
        text = f"Product data sheets and local rules come first. · {number}"
        say(self.ax, end, _FOOT, text, points=SMALL, ha="right", middle=True)


def _stepwise(steps: _Numbered, wide: float) -> list[Block]:
    """Numbered steps with boxes to tick, each with its caution in a frame."""
    return [ticked_step(n, step, wide=wide, points=TEXT, apart=1.2) for n, step in steps]


def _prepare(page: _Page, prepare: _Numbered, hang: _Numbered, system: System) -> None:
    """What was tested, the strip that hangs, and how it comes to hang."""
    page.title("Swatch test: what your own foam does")
    page.fields(("Foam", "Sheet", "Date"), left=LEFT, base=page.top - 18.0)
    label, base = f"Thickness in five places [{system}]", page.top - 28.0
    Words((label,), TEXT).draw(page.ax, LEFT, base + TEXT * POINT)
    page.fields("12345", left=LEFT + width(label, points=TEXT) + 5.0, base=base)
    top, low = page.top - 35.0, _FOOT + HIGH + 5.0
    Hanging(_HANGING, top - low, system).draw(page.ax, LEFT, top)
    left = LEFT + _HANGING + _APART
    wide = page.across - RIGHT - left
    heads = [Words((text,), _HEAD, bold=True) for text in ("Get ready", "Hang the strips")]
    blocks = [heads[0], *_stepwise(prepare, wide), heads[1], *_stepwise(hang, wide)]
    page.column(blocks, left=left, top=top)
    check_bars(page.ax, left=LEFT, low=_FOOT - 1.5)
    text = "Printed at 100 %, not fitted to the page, these bars are true."
    say(page.ax, page.across - RIGHT, _FOOT + 6.0, text, points=SMALL, ha="right", middle=True)


def _hang(page: _Page, steps: _Numbered, record: Record, system: System) -> None:
    """Strips under their loads."""
    top = page.begin("Pull: while the strip hangs")
    wide = (page.wide - _APART) / 2
    notes = [Words.set(note, wide=wide, points=TEXT) for note in filling_notes(system)]
    first, *others = _stepwise(steps, wide)
    low = page.columns([first], [*others, *notes], wide=wide, top=top)
    page.table(record, record.where(test="pull", load=""), low - 5.0)


def _let_go(page: _Page, steps: _Numbered, record: Record) -> None:
    """Strips after they were let go."""
    top = page.begin("Pull: after letting go")
    wide = (page.wide - _APART) / 2
    low = page.columns(*(_stepwise([step], wide) for step in steps), wide=wide, top=top)
    page.table(record, record.where(test="pull", load="0"), low - 5.0)


def _squeeze(page: _Page, steps: _Numbered, warm: _Numbered, record: Record) -> None:
    """Blocks between two boards, rows for more strips, and how the record is typed in."""
    top = page.begin("Squeeze: between two boards")
    drawing = Squeezed(_SQUEEZED)
    drawing.draw(page.ax, LEFT, top)
    left = LEFT + _SQUEEZED + _APART
    low = page.column(_stepwise(steps, page.across - RIGHT - left), left=left, top=top)
    lines = (*record.where(test="squeeze"), *record.spare(_SPARE))
    low = page.table(record, lines, min(low, top - drawing.tall) - 5.0)
    wide = (page.wide - _APART) / 2
    notes = [Words.set(note, wide=wide, points=TEXT) for note in TYPING]
    page.columns(_stepwise(warm, wide), notes, wide=wide, top=low - 4.0)
