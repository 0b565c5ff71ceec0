"""A sheet of the cut list drawn to scale: pieces named and measured, the rest hatched."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foamcalc.ask.cutlist import CutSheet, Material, Placed
from foamcalc.ask.cutting.sizes import own_size, size
from foamcalc.draw.dimension import dimension_line
from foamcalc.draw.ink import INK, QUIET, TONES, Floats
from foamcalc.draw.lettering import FONT, LINE, POINT, printable, width
from foamcalc.draw.paper import INCH
from foamcalc.guards import positive, single
from foamcalc.units import System, format_length

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_APART = 2.2
"""Between the strokes over what is left, on paper [mm]."""
SCALES = (
    1,
    2,
    3,
    4,
    5,
    6,
    8,
    10,
    12,
    15,
    20,
    25,
    30,
    40,
    50,
    60,
    80,
    100,
    150,
    200,
    300,
    500,
    1000,
)
"""How many times smaller a sheet may be drawn."""
LEFT, BELOW, AROUND = 9.0, 9.0, 1.0
"""Room for the dimension lines, and at the other two sides [mm on paper]."""
_WORDS = (10.0, 9.0, 8.0, 7.0)
"""Sizes of the name and the size of a piece, the first that fits [pt]."""
_NUMBER = (9.0, 7.0, 5.5)
"""Sizes of its number alone [pt]."""
_PAD = 0.8
"""Room between words and the edge of a piece [mm on paper]."""


def scale_for(sheet: CutSheet, *, wide: float, tall: float) -> float:
    """How many times smaller a sheet is drawn so that it has room."""
    room = wide - LEFT - AROUND, tall - BELOW - AROUND
    least = max(sheet.stock.length / room[0], sheet.stock.width / room[1])
    return float(next((scale for scale in SCALES if scale >= least), least))


def drawn_size(sheet: CutSheet, scale: float) -> tuple[float, float]:
    """Width and height of a drawn sheet with its dimension lines [mm on paper]."""
    stock = sheet.stock
    return stock.length / scale + LEFT + AROUND, stock.width / scale + BELOW + AROUND


def _strokes(long: float, wide: float, apart: float) -> Floats:
    """Slanted lines all over a sheet [mm], shape (n, 2, 2)."""
    foot = np.arange(-wide + apart, long, apart)
    low = np.column_stack([np.maximum(foot, 0), np.maximum(-foot, 0)])
    high = np.column_stack([np.minimum(foot + wide, long), np.minimum(long - foot, wide)])
    return np.stack([low, high], axis=1)


def draw_sheet(
    ax: Axes,
    sheet: CutSheet,
    *,
    scale: float,
    trim: float = 0.0,
    outlined: Set[str] = frozenset(),
    system: System = "mm",
) -> Axes:
    """Draw a sheet with its pieces.

    What is left over is hatched. Each piece has its number, in the order of cutting, and its name
    and size where there is room.
    """
    from matplotlib.collections import LineCollection
    from matplotlib.patches import Rectangle

    scale = single(positive(scale, "scale", "1"), "scale")
    long, wide = sheet.stock.length, sheet.stock.width
    ax.set_xlim(-LEFT * scale, long + AROUND * scale)
    ax.set_ylim(-BELOW * scale, wide + AROUND * scale)
    ax.set_axis_off()
    strokes = _strokes(long, wide, _APART * scale)
    rest = LineCollection(list(strokes), colors=QUIET, linewidths=0.35, zorder=1)
    rest.set_gid("left over")
    ax.add_collection(rest, autolim=False)
    for number, piece in enumerate(sheet.placed, 1):
        tone = TONES[0] if piece.name in outlined else TONES[1]
        corner = (piece.x, piece.y)
        box = Rectangle(corner, piece.length, piece.width, facecolor=tone, edgecolor=INK, zorder=3)
        box.set(linewidth=0.9, joinstyle="miter", gid=f"piece {number}")
        ax.add_patch(box)
        _name_piece(ax, piece, number, scale, system)
    if trim > 0:
        inside = (long - 2 * trim, wide - 2 * trim)
        ax.add_patch(
            Rectangle(
                (trim, trim),
                *inside,
                fill=False,
                edgecolor=INK,
                linewidth=0.6,
                linestyle=(0, (4, 3)),
            )
        )
    frame = Rectangle((0, 0), long, wide, fill=False, edgecolor=INK, linewidth=1.5, zorder=4)
    frame.set_gid("sheet")
    ax.add_patch(frame)
    _measure(ax, sheet, scale, system)
    return ax


def _measure(ax: Axes, sheet: CutSheet, scale: float, system: System) -> None:
    """Length and width of the sheet, and its grain."""
    stock = sheet.stock
    level = -3.0 * scale
    for end, upright in ((stock.length, False), (stock.width, True)):
        text = format_length(end, system=system)
        dimension_line(
            ax, ends=(0, end), starts=(0, 0), level=level, tight=8 * scale, upright=upright
        )
        at = (2 * level, end / 2) if upright else (end / 2, 2 * level)
        grain = ", the grain runs along it" if stock.grain == "along" and not upright else ""
        ax.text(
            *at,
            text + grain,
            rotation=90 if upright else 0,
            ha="center",
            va="center",
            fontsize=9,
            fontfamily=FONT,
            color=INK,
        )


@dataclass(frozen=True)
class _Label:
    """Words that have room in a rectangle."""

    lines: tuple[str, ...]
    points: float
    upright: bool
    bold: bool = False


def _name_piece(ax: Axes, piece: Placed, number: int, scale: float, system: System) -> None:
    part = f", part {piece.part} of {piece.parts}" if piece.parts > 1 else ""
    name = f"{number}  {printable(piece.name)}{part}"
    label = _fitting(
        name, size(*own_size(piece), system), str(number), piece.length / scale, piece.width / scale
    )
    if label is None:
        return
    ax.text(
        piece.x + piece.length / 2,
        piece.y + piece.width / 2,
        "\n".join(label.lines),
        rotation=90 if label.upright else 0,
        ha="center",
        va="center",
        multialignment="center",
        fontsize=label.points,
        fontweight="bold" if label.bold else "normal",
        fontfamily=FONT,
        linespacing=LINE,
        color=INK,
        zorder=5,
        gid=f"words {number}",
    )


def _fitting(name: str, sizes: str, number: str, wide: float, tall: float) -> _Label | None:
    """The fullest words that have room in a rectangle of this size [mm on paper]."""
    tries = [(lines, _WORDS, False) for lines in ((name, sizes), (f"{name}  {sizes}",))]
    for lines, points, bold in [*tries, ((number,), _NUMBER, True)]:
        for upright, room in ((False, (wide, tall)), (True, (tall, wide))):
            for point in points:
                high = len(lines) * point * LINE * POINT + _PAD
                long = max(width(line, points=point, bold=bold) for line in lines) + 2 * _PAD
                if long <= room[0] and high <= room[1]:
                    return _Label(lines, point, upright, bold)
    return None


def draw_sheets(
    figure: Figure,
    material: Material,
    *,
    trim: float = 0.0,
    outlined: Set[str] = frozenset(),
    system: System = "mm",
    above: float = 0.0,
) -> Figure:
    """Draw all sheets of a material one below the other, to one scale.

    Parameters
    ----------
    figure : Figure
        Drawn into; its size gives the scale.
    material : Material
        Of the cut list.
    trim : float
        What is cut off all round first [mm].
    outlined : set of str
        Names of pieces that are rectangles round an outline.
    system : {"mm", "in"}
        Units to speak in.
    above : float
        Room to keep free at the top [mm on paper].

    Returns
    -------
    Figure
        The same one, with an Axes for each sheet.
    """
    across, up = (float(side) * INCH for side in figure.get_size_inches())
    each = (up - above) / len(material.sheets)
    scale = max(scale_for(sheet, wide=across, tall=each) for sheet in material.sheets)
    for rank, sheet in enumerate(material.sheets):
        wide, tall = drawn_size(sheet, scale)
        low = up - above - rank * each - tall
        place = ((across - wide) / 2 / across, low / up, wide / across, tall / up)
        draw_sheet(
            figure.add_axes(place),
            sheet,
            scale=scale,
            trim=trim,
            outlined=outlined,
            system=system,
        )
    return figure
