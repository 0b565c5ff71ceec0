"""Pieces of a printed page: words, a banded table, small drawings; data units are mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from foamcalc.draw import ink
from foamcalc.draw.ink import INK
from foamcalc.draw.lettering import FONT
from foamcalc.shape.profile import chain

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MARGIN = 12.0
"""White edge of the page, left and right [mm]."""
FIRST_COLUMN = 40.0
"""Width of a table's first column [mm]."""

_BAND = "#ececec"
_HALF_FIGURE = 0.129
"""Half the height of a figure over the size of its type [mm per point]."""


def say(
    ax: Axes,
    x: float,
    y: float,
    text: str,
    *,
    points: float = 9.5,
    ha: str = "left",
    middle: bool = False,
    bold: bool = False,
) -> None:
    """Write lines whose top is at a height [mm], or one line with its figures about it."""
    ax.text(
        x,
        y - _HALF_FIGURE * points if middle else y,
        text,
        fontsize=points,
        ha=ha,
        va="baseline" if middle else "top",
        color=INK,
        fontfamily=FONT,
        fontweight="bold" if bold else "normal",
        linespacing=1.3,
    )


def table(
    ax: Axes,
    wide: float,
    *,
    top: float,
    row: float,
    title: str,
    note: str,
    heads: Sequence[str],
    cells: Sequence[Sequence[str]],
    rows: Mapping[int, str],
    ringed: tuple[int, int] | None = None,
) -> None:
    """Draw a table: two lines of heads, then a row a turn, every second one on a light ground."""
    from matplotlib.patches import Rectangle

    left, right = MARGIN, wide - MARGIN
    column = (right - left - FIRST_COLUMN) / len(heads)
    middles = [left + FIRST_COLUMN + column * (i + 0.5) for i in range(len(heads))]
    first = top - 0.5 * row
    say(ax, left + 1, first, title, points=11, middle=True, bold=True)
    say(ax, left + FIRST_COLUMN, first, note, middle=True)
    say(ax, left + 13, first - row, "turn", points=10.5, ha="right", middle=True, bold=True)
    for x, head in zip(middles, heads, strict=True):
        say(ax, x, first - row, head, points=10.5, ha="center", middle=True, bold=True)
    for i, ((turn, name), line) in enumerate(zip(rows.items(), cells, strict=True)):
        y = top - (i + 2.5) * row
        if i % 2 == 0:
            ground = Rectangle((left, y - row / 2), right - left, row, color=_BAND, linewidth=0)
            ax.add_patch(ground)
        say(ax, left + 13, y, f"{turn}°", points=10.5, ha="right", middle=True, bold=True)
        say(ax, left + 15, y, name, middle=True)
        for x, cell in zip(middles, line, strict=True):
            say(ax, x, y, cell, points=10.5, ha="center", middle=True)
    for y in (top - 2 * row, top - (len(rows) + 2) * row):
        ax.plot([left, right], [y, y], color=INK, linewidth=1.2, solid_capstyle="butt")
    if ringed is not None:
        corner = (middles[ringed[1]] - 5.5, top - (ringed[0] + 3) * row + 0.3)
        ring = Rectangle(corner, 11.0, row - 0.6, fill=False, edgecolor=INK, linewidth=1.6)
        ring.set_gid("ring")
        ax.add_patch(ring)


def draw_turn(ax: Axes, x: float, y: float) -> None:
    """A bend with a straightedge on each end; the turn is marked where they cross."""
    turn, radius, stack = np.radians(100.0), 10.0, (2.6, 1.8)
    bend = chain([radius * turn], [turn])
    ends = radius * np.cos(turn / 2)
    ink.layers(
        ax,
        profile=ink.one_case(bend.shifted(x - bend.x[-1] / 2, y)),
        thicknesses=stack,
    )
    crossing = np.array([x, y - ends + (radius + sum(stack)) / np.cos(turn / 2)])
    for way in (1.0, -1.0):
        along = np.array([way * np.cos(turn / 2), np.sin(turn / 2)])
        points = np.array([crossing - 23.0 * along, crossing + 7.0 * along])
        ax.plot(*points.T, color=INK, linewidth=1.6, solid_capstyle="butt", zorder=4)
    sweep = np.linspace(-turn / 2, turn / 2, 60)
    arc = crossing[:, None] + 5.5 * np.array([np.cos(sweep), np.sin(sweep)])
    ax.plot(*arc, color=INK, linewidth=1.0, zorder=4)
    say(ax, crossing[0] + 7.0, crossing[1], "turn", points=10.5, middle=True, bold=True)


def draw_offset(ax: Axes, x: float, y: float) -> None:
    """A stack cut across, the middles of its layers dashed, the offset between them."""
    base, overlay, length = 9.0, 5.0, 34.0
    flat = ink.one_case(chain([length], [0.0]).shifted(x, y))
    ink.layers(ax, profile=flat, thicknesses=(base, overlay))
    low, high = y + base / 2, y + base + overlay / 2
    for level, name in ((low, "base"), (high, "overlay")):
        ax.plot([x, x + length + 5], [level] * 2, color=INK, linewidth=1.1, linestyle=(0, (4, 2.5)))
        say(ax, x - 2, level, name, ha="right", middle=True)
    ink.arrow(ax, tip=(x + length + 3.5, high), tail=(x + length + 3.5, low), both=True)
    say(ax, x + length + 6.5, (low + high) / 2, "offset", points=10.5, middle=True, bold=True)
