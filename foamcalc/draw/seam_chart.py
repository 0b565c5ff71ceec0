"""A seam laid out straight: both edges on one scale, mark to mark, and where they disagree."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from foamcalc.draw.dimension import dimension_line
from foamcalc.draw.ink import INK, QUIET
from foamcalc.draw.lettering import FONT
from foamcalc.draw.seam_bands import (
    PITCH,
    THICK,
    THIN,
    band,
    disagreeing,
    key,
    numbers,
    what_happens,
    wide,
    write,
)
from foamcalc.draw.seam_plan import EDGE, RING, Plan, places, plan, ring_step
from foamcalc.fit.limits import tape_reading
from foamcalc.fit.seam.joined import SIDES, Seam, Side
from foamcalc.guards import one_of, positive
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_UP: dict[Side, int] = {"a": 1, "b": -1}
"""Way from an edge into its piece."""


def seam_chart(
    ax: Axes, *, seam: Seam, system: System = "mm", order: bool = False, fontsize: float = 10.0
) -> Axes:
    """Draw a seam laid out straight, its edges one over the other on one scale.

    Parameters
    ----------
    ax : Axes
        Where; along the seam its data are mm. Its size on paper must be set.
    seam : Seam
        The seam.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.
    order : bool
        Whether the order in which the marks are glued stands beside them, in rings.
    fontsize : float
        Size of the words [pt], above 0.

    Returns
    -------
    Axes
        The one that was given.

    Raises
    ------
    TooSmall
        If the axes are too small for the words.

    Notes
    -----
    Both edges begin at the left, so a line between two marks leans where the second edge has run
    ahead or fallen behind. A thick band is an interval that disagrees by more than a tape
    reading: strokes along it where that edge is stretched, strokes across it where it is
    squeezed, with the strain; and on the longer edge by how much it is longer. Where there is no
    room for all numbers, the largest differences have theirs, and a note says so.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> from foamcalc.fit.seam import SeamEdge
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> eva = Piece(thickness=10, law=foam("EVA medium"))
    >>> seam = Seam(a=SeamEdge(name="front", piece=eva, places=(0, 50, 100)),
    ...             b=SeamEdge(name="back", piece=eva, places=(0, 53, 100)))
    >>> ax = Figure(figsize=(7, 3.5)).add_axes((0, 0, 1, 1))
    >>> seam_chart(ax, seam=seam) is ax
    True
    """
    one_of(system, "system", ("mm", "in"))
    points = float(positive(fontsize, "fontsize", "1"))
    room = plan(ax, seam=seam, system=system, order=order, points=points)
    for side in SIDES:
        _bands(ax, room, seam, side)
        _numbers(ax, room, seam, side, system)
        _length(ax, room, seam, side)
    _joins(ax, room, seam)
    _key(ax, room, seam)
    ax.set_xlim(-room.left * room.scale, (room.size[0] - room.left) * room.scale)
    ax.set_ylim(0, room.size[1])
    ax.set_axis_off()
    return ax


def _bands(ax: Axes, room: Plan, seam: Seam, side: Side) -> None:
    """One edge, interval by interval, and short lines at its marks."""
    marks, y, up = places(seam, side), room.edges[side], _UP[side]
    happens, out = what_happens(seam, side), seam.intervals.unequal
    for i, what in enumerate(happens):
        count = max(round((marks[i + 1] - marks[i]) / room.scale / PITCH), 2) + 1
        along = np.linspace(marks[i], marks[i + 1], count)
        edge = np.column_stack([along, np.full(count, y)])
        high = np.broadcast_to([0.0, up * (THICK if out[i] else THIN)], edge.shape)
        band(ax, edge=edge, inward=high, what=what, side=side, gid=f"{side} {i}")
    for x in marks:
        ax.plot([x, x], [y, y + up * THICK], color=INK, linewidth=1.2, zorder=3)


def _numbers(ax: Axes, room: Plan, seam: Seam, side: Side, system: System) -> None:
    """The numbers beyond a band, each with a thin line to its interval."""
    marks, up, edge = places(seam, side), _UP[side], room.edges[side]
    base = edge + up * room.levels(side)[0]
    for i, x in room.rows[side].items():
        said, middle = numbers(seam, side, i, system), (marks[i] + marks[i + 1]) / 2
        (lead,) = ax.plot([middle, x], [edge + up * THICK, base], color=QUIET, linewidth=0.7)
        lead.set(zorder=1, gid=f"lead {side} {i}")
        for n, text in enumerate(said.lines):
            y = base + up * (n + 0.5) * room.row
            write(ax, text, (x, y), points=room.points, bold=text == said.longer)


def _length(ax: Axes, room: Plan, seam: Seam, side: Side) -> None:
    """A dimension line along a whole edge, with its name."""
    length, up, y = seam.edge(side).length, _UP[side], room.edges[side]
    level, start = y + up * room.levels(side)[1], y + up * THICK
    dimension_line(
        ax,
        ends=(0.0, length),
        starts=(start, start),
        level=level,
        tight=2 * room.points * room.scale,
    )
    text = room.heads[side]
    least = (EDGE - room.left + wide(text, room.points, bold=True) / 2) * room.scale
    at = (max(length / 2, least), level + up * (2.0 + 0.5 * room.row))
    write(ax, text, at, points=room.points, bold=True)


def _joins(ax: Axes, room: Plan, seam: Seam) -> None:
    """Thin lines from mark to mark with their names, and dots straight down where one has run."""
    top, low = room.edges["a"], room.edges["b"]
    a, b = places(seam, "a"), places(seam, "b")
    rings = max((r for _, r in room.rings.values()), default=-1) + 1
    head = rings * ring_step(room.points)
    for i, (x, other) in enumerate(zip(a.tolist(), b.tolist(), strict=True)):
        ax.plot([x, other], [top, low], color=INK, linewidth=0.8, zorder=1.5, gid=f"mark {i}")
        if abs(other - x) > tape_reading():
            ax.plot([x, x], [top, low], color=QUIET, linewidth=0.8, linestyle=(0, (1, 2.2)),
                    zorder=1.2, gid=f"straight {i}")  # fmt: skip
        if i in room.rings:
            number, row = room.rings[i]
            down = (row + 0.5) * ring_step(room.points) / (top - low)
            _ring(ax, room, x + down * (other - x), top - down * (top - low), str(number))
        if i in room.names.shown:
            share = (head + (top - low - head) / 2) / (top - low)
            at = (x + share * (other - x), top - share * (top - low))
            write(ax, room.names.shown[i], at, points=room.points, upright=room.names.upright)


def _ring(ax: Axes, room: Plan, x: float, y: float, text: str) -> None:
    from matplotlib.patches import Ellipse

    across = 2 * RING * room.points
    ring = Ellipse((x, y), across * room.scale, across, facecolor="white", edgecolor=INK, zorder=4)
    ring.set(linewidth=0.9, gid=f"ring {text}")
    ax.add_patch(ring)
    ax.text(x, y, text, fontsize=min(room.points, 9.5), ha="center", va="center_baseline",
            color=INK, fontfamily=FONT, zorder=5)  # fmt: skip


def _key(ax: Axes, room: Plan, seam: Seam) -> None:
    """What strokes, signs and dots mean, and the notes."""
    left = (EDGE - room.left) * room.scale
    if disagreeing(seam):
        at, per_pt = (left, room.key), (room.scale, 1.0)
        key(ax, at=at, per_pt=per_pt, points=room.points, more=room.more)
    for n, line in enumerate(room.notes):
        y = EDGE + (len(room.notes) - n - 0.5) * room.row
        write(ax, line, (left, y), points=room.points, ha="left")
