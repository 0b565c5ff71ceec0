"""One page for the wall over the bench: gap = turn x offset, read off instead of worked out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.draw.checkbar import check_bars
from foamcalc.draw.lettering import own_style
from foamcalc.draw.page import MARGIN, draw_offset, draw_turn, say, table
from foamcalc.draw.paper import INCH, Paper, blank_page, paper_size
from foamcalc.shape.curve import Arc
from foamcalc.units import format_length

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Floats = NDArray[np.float64]

TURNS = (15, 30, 45, 60, 75, 90, 120, 135, 150, 180, 225, 270, 300, 360)
"""Rows of both tables [deg]."""
OFFSETS_MM = (1, 2, 3, 4, 5, 6, 7.5, 8, 10, 12.5, 15)
"""Columns of the table in mm [mm]."""
OFFSETS_IN = tuple(k / 16 for k in (1, 2, 3, 4, 5, 6, 8, 10))
"""Columns of the table in inches [in]."""

_TITLE = "Gap = turn × offset"
_NAMES = {90: "quarter turn", 180: "half turn", 270: "three quarters", 360: "full turn"}
_ROWS = len(TURNS) + 2
_FOOT = 27.0
"""Height of the check bars and their margin [mm]."""
_EXAMPLE = (10.0, 5.0, 180)
"""Base, overlay [mm] and turn [deg] of the example: invented."""


def gaps(*, turn: ArrayLike, offset: ArrayLike) -> Floats:
    """How much longer a layer is than the one an offset below it.

    Length at the offset less length of the curve itself, by `Curve.length_at`. The radius does
    not matter.
    """
    turns = np.asarray(turn, dtype=float)
    rows = [Arc(1.0, float(t)) for t in turns.ravel()]
    found = np.stack([bend.length_at(offset) - bend.length for bend in rows])
    return found.reshape(turns.shape + np.shape(offset))


def gap_chart(*, paper: Paper = "A4") -> Figure:
    """Make the chart: two tables, how to find turn and offset, an example, a check bar."""
    wide, tall = size = paper_size(paper)
    with own_style():
        figure = blank_page(size, title=_TITLE)
        _fill(figure.axes[0], wide, tall, row=5.7 if paper == "A4" else 5.15)
    return figure


def _fill(ax: Axes, wide: float, tall: float, *, row: float) -> None:
    """All that stands on the page; `row` is the height of a row of the tables [mm]."""
    in_inches = _FOOT + _ROWS * row
    in_mm = in_inches + 3.5 + _ROWS * row
    _how_to(ax, wide, tall - 8.0)
    turns = np.radians(TURNS)
    rows = {turn: _NAMES.get(turn, "") for turn in TURNS}
    table(
        ax,
        wide,
        top=in_mm,
        row=row,
        title="GAP in mm",
        note="offset in mm across, turn down; to the nearest mm, below 10 mm to 0.5 mm",
        heads=[f"{d:g}" for d in OFFSETS_MM],
        cells=[[_in_mm(g) for g in line] for line in gaps(turn=turns, offset=OFFSETS_MM)],
        rows=rows,
        ringed=(TURNS.index(_EXAMPLE[2]), OFFSETS_MM.index((_EXAMPLE[0] + _EXAMPLE[1]) / 2)),
    )
    offsets = np.array(OFFSETS_IN) * INCH
    table(
        ax,
        wide,
        top=in_inches,
        row=row,
        title="GAP in inches",
        note="offset in inches across, turn down; to 1/16 in",
        heads=[_in_inches(d) for d in offsets],
        cells=[[_in_inches(g) for g in line] for line in gaps(turn=turns, offset=offsets)],
        rows=rows,
    )
    text = "Printed at 100 %, not fitted to the page, these bars are true. The tables always are."
    say(ax, MARGIN, 22.8, text, points=9, middle=True)
    check_bars(ax, left=MARGIN, low=9.5)


def _in_mm(gap: float) -> str:
    """A gap as it stands in the table: to the nearest mm, below 10 mm to half a mm."""
    step = 0.5 if gap < 9.75 else 1.0
    return format_length(float(gap), resolution=step).removesuffix(" mm").removesuffix(".0")


def _in_inches(gap: float) -> str:
    return format_length(float(gap), system="in").removesuffix(" in")


def _how_to(ax: Axes, wide: float, top: float) -> None:
    """Title, two drawings with their words, the rule and the example."""
    left, half = MARGIN, wide / 2 + 1
    say(ax, left, top, _TITLE, points=23, bold=True)
    text = "how much longer a layer must be than the one it goes over"
    say(ax, left, top - 10.5, text, points=10.5)
    for x, head in ((left, "Turn"), (half, "Offset")):
        say(ax, x, top - 17.5, head, points=12, bold=True)
    draw_turn(ax, left + 44, top - 40.5)
    draw_offset(ax, half + 22, top - 40.5)
    turn = (
        "Lay a straightedge along each end of the bend.\n"
        "Measure the marked angle where they cross.\n"
        "Or count: ends that point the same way, half a turn."
    )
    offset = (
        "Overlay cut like its base: half base + half overlay.\n"
        "Length taped over the base's outside: half overlay.\n"
        "Add the thickness of the glue bead to either."
    )
    say(ax, left, top - 44.0, turn)
    say(ax, half, top - 44.0, offset)
    base, overlay, degrees = _EXAMPLE
    off = (base + overlay) / 2
    per_mm = float(gaps(turn=np.pi, offset=1.0))
    gap = _in_mm(float(gaps(turn=np.radians(degrees), offset=off)))
    rule = f"Half a turn costs {per_mm:.2f} mm for each mm of offset."
    say(ax, left, top - 61.0, rule, middle=True, bold=True)
    say(ax, half, top - 61.0, "Rows add up: 105° = 90° + 15°. So do columns.", middle=True)
    example = (
        f"Example (invented): a scute of {overlay:g} mm, cut like its shell of {base:g} mm, goes "
        f"round half a turn.\nOffset {base / 2:g} + {overlay / 2:g} = {off:g} mm, so the scute is "
        f"{gap} mm short (ringed)."
    )
    say(ax, left, top - 64.0, example)
