"""One page for the wall over the bench: gap = turn x offset, read off instead of worked out."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.draw import ink
from foamcalc.draw.ink import INK
from foamcalc.guards import one_of
from foamcalc.shape.curve import Arc
from foamcalc.shape.profile import Profile, chain
from foamcalc.units import format_length

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Paper = Literal["A4", "Letter"]
Floats = NDArray[np.float64]

INCH = 25.4
"""One inch [mm]."""
PAPERS = {"A4": (210.0, 297.0), "Letter": (8.5 * INCH, 11.0 * INCH)}
"""Width and height of the page [mm]."""

TURNS = (15, 30, 45, 60, 75, 90, 120, 135, 150, 180, 225, 270, 300, 360)
"""Rows of both tables [deg]."""
OFFSETS_MM = (1, 2, 3, 4, 5, 6, 7.5, 8, 10, 12.5, 15)
"""Columns of the table in mm [mm]."""
OFFSETS_IN = tuple(k / 16 for k in (1, 2, 3, 4, 5, 6, 8, 10))
"""Columns of the table in inches [in]."""

_PARTS = {90: "¼ turn", 180: "½ turn", 270: "¾ turn", 360: "full turn"}
_MARGIN = 12.0
_FIRST_COLUMN = 30.0
_ROWS = len(TURNS) + 2
_FOOT = 27.0
"""Height of the check bars and their margin [mm]."""
_BAND = "#ececec"
_FONT = "DejaVu Sans"
_EXAMPLE = (10.0, 5.0, 180)
"""Base, overlay [mm] and turn [deg] of the example: invented."""


def gaps(*, turn: ArrayLike, offset: ArrayLike) -> Floats:
    """How much longer a layer is than the one an offset below it.

    Parameters
    ----------
    turn : array_like
        Turn of the bend [rad], above 0, at most a full turn.
    offset : array_like
        Distance between the two fibres [mm].

    Returns
    -------
    ndarray
        Gap [mm]; first axes: turns, last axes: offsets.

    Notes
    -----
    Length at the offset less length of the curve itself, by `Curve.length_at`. The radius does
    not matter.

    Examples
    --------
    >>> print(gaps(turn=[np.pi / 2, np.pi], offset=[5, 7.5]).round(2))
    [[ 7.85 11.78]
     [15.71 23.56]]
    """
    turns = np.asarray(turn, dtype=float)
    rows = [Arc(1.0, float(t)) for t in turns.ravel()]
    found = np.stack([bend.length_at(offset) - bend.length for bend in rows])
    return found.reshape(turns.shape + np.shape(offset))


def gap_chart(*, paper: Paper = "A4") -> Figure:
    """Make the chart: two tables, how to find turn and offset, an example, a check bar.

    Parameters
    ----------
    paper : {"A4", "Letter"}
        The page, upright.

    Returns
    -------
    Figure
        Of the page's size; its only Axes covers the page, its data are mm from the lower left
        corner. Save it with `save_gap_chart`, at true size.

    Raises
    ------
    ValueError
        For another paper.

    Examples
    --------
    >>> page = gap_chart(paper="A4")
    >>> print((page.get_size_inches() * 25.4).round(3))
    [210. 297.]
    """
    from matplotlib.figure import Figure

    wide, tall = PAPERS[one_of(paper, "paper", tuple(PAPERS))]
    figure = Figure(figsize=(wide / INCH, tall / INCH), facecolor="white")
    ax = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    ax.set_xlim(0, wide)
    ax.set_ylim(0, tall)
    ax.set_axis_off()
    row = 5.6 if paper == "A4" else 5.2
    in_inches = _FOOT + _ROWS * row
    in_mm = in_inches + 3.5 + _ROWS * row
    _how_to(ax, wide, tall - 9.0)
    turns = np.radians(TURNS)
    _table(
        ax,
        wide,
        top=in_mm,
        row=row,
        unit="mm",
        heads=[f"{d:g}" for d in OFFSETS_MM],
        cells=[[_in_mm(g) for g in line] for line in gaps(turn=turns, offset=OFFSETS_MM)],
        ringed=(TURNS.index(_EXAMPLE[2]), OFFSETS_MM.index((_EXAMPLE[0] + _EXAMPLE[1]) / 2)),
    )
    offsets = np.array(OFFSETS_IN) * INCH
    _table(
        ax,
        wide,
        top=in_inches,
        row=row,
        unit="in",
        heads=[_in_inches(d) for d in offsets],
        cells=[[_in_inches(g) for g in line] for line in gaps(turn=turns, offset=offsets)],
    )
    _check_bars(ax)
    return figure


def save_gap_chart(
    figure: Figure, file: str | Path | BinaryIO, *, overwrite: bool = False
) -> bytes:
    """Write the chart as a PDF page of its true size; the same chart gives the same bytes.

    Parameters
    ----------
    figure : Figure
        From `gap_chart`.
    file : path or binary file
        Where to; a file open for writing bytes is written to as it is.
    overwrite : bool
        Whether a file of this name may be replaced.

    Returns
    -------
    bytes
        What was written.

    Raises
    ------
    OutputError
        If the file exists already or cannot be written; nothing is left half written.
    """
    from io import BytesIO

    from matplotlib.transforms import Bbox

    from foamcalc.job.output import write_files

    page = BytesIO()
    # The whole page by name: a user's own setting for saved figures could trim or grow it.
    figure.savefig(
        page,
        format="pdf",
        bbox_inches=Bbox([[0.0, 0.0], list(figure.get_size_inches())]),
        facecolor="white",
        metadata={"Title": "Gap = turn × offset", "CreationDate": None},
    )
    data = page.getvalue()
    if isinstance(file, str | Path):
        write_files(Path(file).parent, {Path(file).name: data}, overwrite=overwrite)
    else:
        file.write(data)
    return data


def _say(
    ax: Axes,
    x: float,
    y: float,
    text: str,
    *,
    points: float = 9.5,
    ha: str = "left",
    va: str = "baseline",
    bold: bool = False,
    colour: str = INK,
) -> None:
    ax.text(
        x,
        y,
        text,
        fontsize=points,
        ha=ha,
        va=va,
        color=colour,
        fontfamily=_FONT,
        fontweight="bold" if bold else "normal",
        linespacing=1.3,
    )


def _in_mm(gap: float) -> str:
    """A gap as it stands in the table: to the nearest mm, below 10 mm to half a mm."""
    step = 0.5 if gap < 9.75 else 1.0
    return format_length(float(gap), resolution=step).removesuffix(" mm").removesuffix(".0")


def _in_inches(gap: float) -> str:
    return format_length(float(gap), system="in").removesuffix(" in")


def _table(
    ax: Axes,
    wide: float,
    *,
    top: float,
    row: float,
    unit: Literal["mm", "in"],
    heads: Sequence[str],
    cells: Sequence[Sequence[str]],
    ringed: tuple[int, int] | None = None,
) -> None:
    """One table: two lines of heads, then a row a turn, every second row on a light ground."""
    from matplotlib.patches import Rectangle

    left, right = _MARGIN, wide - _MARGIN
    column = (right - left - _FIRST_COLUMN) / len(heads)
    middles = [left + _FIRST_COLUMN + column * (i + 0.5) for i in range(len(heads))]
    middle = top - 0.5 * row
    step = "to the nearest mm, below 10 mm to ½ mm" if unit == "mm" else "to 1/16 in"
    _say(ax, left + 1, middle, f"GAP [{unit}]", points=11, va="center", bold=True)
    text = f"offset [{unit}] across, turn down; {step}"
    _say(ax, left + _FIRST_COLUMN + 2, middle, text, va="center")
    _say(ax, left + 13, middle - row, "turn", points=10.5, ha="right", va="center", bold=True)
    for x, head in zip(middles, heads, strict=True):
        _say(ax, x, middle - row, head, points=10.5, ha="center", va="center", bold=True)
    for i, (turn, line) in enumerate(zip(TURNS, cells, strict=True)):
        y = top - (i + 2.5) * row
        if i % 2 == 0:
            ground = Rectangle((left, y - row / 2), right - left, row, color=_BAND, linewidth=0)
            ax.add_patch(ground)
        _say(ax, left + 13, y, f"{turn}°", points=10.5, ha="right", va="center", bold=True)
        _say(ax, left + 15, y, _PARTS.get(turn, ""), va="center")
        for x, cell in zip(middles, line, strict=True):
            _say(ax, x, y, cell, points=10.5, ha="center", va="center")
    for y, weight in ((top - 2 * row, 1.2), (top - _ROWS * row, 1.2)):
        ax.plot([left, right], [y, y], color=INK, linewidth=weight, solid_capstyle="butt")
    if ringed is not None:
        corner = (middles[ringed[1]] - 5.5, top - (ringed[0] + 3) * row + 0.35)
        ring = Rectangle(corner, 11.0, row - 0.7, fill=False, edgecolor=INK, linewidth=1.6)
        ring.set_gid("ring")
        ax.add_patch(ring)


def _how_to(ax: Axes, wide: float, top: float) -> None:
    """Title, two drawings with their words, the rule and the example."""
    left, half = _MARGIN, wide / 2 + 3
    _say(ax, left, top - 7.0, "Gap = turn × offset", points=23, bold=True)
    text = "how much longer a layer must be than the one it goes over"
    _say(ax, left, top - 13.0, text, points=10.5)
    y = top - 20.5
    _say(ax, left, y, "Turn", points=12, bold=True)
    _say(ax, half, y, "Offset", points=12, bold=True)
    _draw_turn(ax, left + 42, y - 22.5)
    _draw_offset(ax, half + 20, y - 20.5)
    turn = (
        "Lay a straightedge along each end of the bend.\n"
        "Read the turn where they cross, by protractor.\n"
        "Or count: ends that point the same way, ½ turn."
    )
    offset = (
        "Cut like its base: ½ base + ½ overlay.\n"
        "Taped over the base's outside: ½ overlay.\n"
        "Add the glue bead, if it is thick."
    )
    _say(ax, left, y - 26.0, turn, va="top")
    _say(ax, half, y - 26.0, offset, va="top")
    base, overlay, degrees = _EXAMPLE
    off = (base + overlay) / 2
    per_mm = float(gaps(turn=np.pi, offset=1.0))
    gap = _in_mm(float(gaps(turn=np.radians(degrees), offset=off)))
    _say(
        ax,
        left,
        y - 45.0,
        f"Half a turn costs {per_mm:.2f} mm for each mm of offset. Rows add up (105° = 90° + 15°); "
        "so do columns.",
        bold=False,
    )
    _say(
        ax,
        left,
        y - 49.7,
        f"Example (invented): a scute of {overlay:g} mm, cut like its shell of {base:g} mm, goes "
        f"round half a turn.\nOffset {base / 2:g} + {overlay / 2:g} = {off:g} mm, so the scute is "
        f"{gap} mm short (ringed).",
        va="baseline",
    )


def _shifted(profile: Profile, x: float, y: float) -> Profile:
    return Profile(profile.x + x, profile.y + y, profile.heading)


def _draw_turn(ax: Axes, x: float, y: float) -> None:
    """A bend with a straightedge on each end; the turn is marked where they cross."""
    turn, radius, stack = np.radians(100.0), 12.0, (3.0, 2.0)
    bend = chain([radius * turn], [turn])
    ends = radius * np.cos(turn / 2)
    ink.layers(
        ax,
        profile=ink.one_case(_shifted(bend, x - bend.x[-1] / 2, y)),
        thicknesses=stack,
    )
    crossing = np.array([x, y - ends + (radius + sum(stack)) / np.cos(turn / 2)])
    for way in (1.0, -1.0):
        along = np.array([way * np.cos(turn / 2), np.sin(turn / 2)])
        points = np.array([crossing - 27.0 * along, crossing + 9.0 * along])
        ax.plot(*points.T, color=INK, linewidth=1.6, solid_capstyle="butt", zorder=4)
    sweep = np.linspace(-turn / 2, turn / 2, 60)
    arc = crossing[:, None] + 7.0 * np.array([np.cos(sweep), np.sin(sweep)])
    ax.plot(*arc, color=INK, linewidth=1.0, zorder=4)
    _say(ax, crossing[0] + 8.5, crossing[1], "turn", points=10.5, va="center", bold=True)


def _draw_offset(ax: Axes, x: float, y: float) -> None:
    """A stack cut across, the middles of its layers dashed, the offset between them."""
    base, overlay, length = 9.0, 5.0, 34.0
    flat = ink.one_case(_shifted(chain([length], [0.0]), x, y))
    ink.layers(ax, profile=flat, thicknesses=(base, overlay))
    low, high = y + base / 2, y + base + overlay / 2
    for level, name in ((low, "base"), (high, "overlay")):
        ax.plot([x, x + length + 5], [level] * 2, color=INK, linewidth=1.1, linestyle=(0, (4, 2.5)))
        _say(ax, x - 2, level, name, ha="right", va="center")
    ink.arrow(ax, tip=(x + length + 3.5, high), tail=(x + length + 3.5, low), both=True)
    _say(ax, x + length + 6.5, (low + high) / 2, "offset", points=10.5, va="center", bold=True)


def _check_bars(ax: Axes) -> None:
    """A bar of 100 mm and one of 4 in: filled, for a stroked line has ends of its own."""
    from matplotlib.patches import Rectangle

    text = (
        "These bars are true when printed at 100 %, not fitted to the page. The tables always are."
    )
    _say(ax, _MARGIN, 22.0, text, points=9)
    for low, length, name in ((15.5, 100.0, "100 mm"), (9.5, 4 * INCH, "4 in")):
        bar = Rectangle((_MARGIN, low), length, 4.0, facecolor="black", linewidth=0)
        bar.set_gid(f"bar {name}")
        ax.add_patch(bar)
        where = (_MARGIN + 4 * INCH + 3.0, low + 2.0)
        _say(ax, *where, f"{name} – measure me", points=10.5, va="center", bold=True)
