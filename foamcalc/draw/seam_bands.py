"""How a seam is inked: bands along its edges, hatched where foam is stretched or squeezed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

from foamcalc.draw.ink import INK, TONES, Floats, size
from foamcalc.draw.lettering import FONT, POINT, elided, width
from foamcalc.fit.limits import tape_reading
from foamcalc.fit.seam.joined import SIDES, Seam, Side
from foamcalc.fit.seam.words import fine
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes

What = Literal["stretched", "squeezed", ""]

_STROKES: tuple[What, What] = ("stretched", "squeezed")
THICK, THIN = 11.0, 3.5
"""Height of a band where the edges disagree, and where they agree [pt]."""
PITCH = 3.2
"""Strokes across a squeezed band are this far apart [pt]."""
PLUS = "+ longer than the other edge there"
"""What the sign means."""
_SWATCH = 22.0
"""Length of a band in the key [pt]."""
_APART = 14.0
"""Room between the parts of the key [pt]."""
_BOLD = 1.2
"""How much wider than plain letters bold ones are at most."""
_LEVELS = (0.25, 0.5, 0.75)
"""Where strokes run along a stretched band, as shares of its height."""


class Numbers(NamedTuple):
    """What is written beside one edge of an interval that disagrees."""

    strain: str
    """Such as "2.9 %"; nothing for an edge that does not give."""
    longer: str
    """Such as "+3 mm", on the longer edge only."""

    @property
    def lines(self) -> tuple[str, ...]:
        """The words that there are."""
        return tuple(text for text in self if text)


def what_happens(seam: Seam, side: Side) -> tuple[What, ...]:
    """For each interval, what is done to one edge where the two disagree."""
    between = seam.intervals
    pairs = zip(between.strain(side), between.unequal, strict=True)
    return tuple(
        "stretched" if out and e > 0 else "squeezed" if out and e < 0 else "" for e, out in pairs
    )


def numbers(seam: Seam, side: Side, i: int, system: System) -> Numbers:
    """The words beside one edge of an interval."""
    between = seam.intervals
    strain = abs(float(between.strain(side)[i]))
    shown = f"{100 * strain:.1f} %" if strain >= 0.0005 else "under 0.1 %"
    d = float(between.difference[i])
    said = fine(abs(d), system)
    if said.startswith("0 "):
        said = {"mm": "under 0.5 mm", "in": "under 1/32 in"}[system]
    return Numbers(
        shown if strain else "",
        (f"+{said}" if said[0].isdigit() else said) if SIDES[int(d > 0)] == side else "",
    )


def disagreeing(seam: Seam) -> list[int]:
    """The intervals that disagree, the largest difference first."""
    between = seam.intervals
    return [int(i) for i in between.by_difference if between.unequal[i]]


def edge_words(seam: Seam, side: Side, system: System, *, most: float, points: float) -> str:
    """Name and length of an edge in bold, its name cut short to fit in so many pt."""
    edge, total = seam.edge(side), seam.intervals.total
    said = f" {size(edge.length, system)}"
    if SIDES[int(total > 0)] == side and abs(total) > tape_reading():
        said += f", {fine(abs(total), system)} longer"
    said += ", held" if edge.held else ""
    room = max(most - wide(said, points, bold=True), 4 * points) / _BOLD
    return f"{elided(edge.name, wide=room * POINT, points=points)}{said}"


def wide(text: str, points: float, *, bold: bool = False) -> float:
    """Width of words on paper [pt]."""
    return width(text, points=points, bold=bold) / POINT


def band(ax: Axes, *, edge: Floats, inward: Floats, what: What, side: Side, gid: str = "") -> None:
    """Draw a band along an edge."""
    from matplotlib.collections import LineCollection
    from matplotlib.patches import Polygon

    corners = np.concatenate([edge, (edge + inward)[::-1]])
    ax.add_patch(
        Polygon(
            corners,
            facecolor=TONES[SIDES.index(side)],
            edgecolor=INK,
            linewidth=0.8,
            joinstyle="bevel",
            zorder=2,
            gid=gid,
        )
    )
    if what == "stretched":
        strokes = [edge + share * inward for share in _LEVELS]
    elif what == "squeezed":
        strokes = list(np.stack([edge, edge + inward], axis=1)[1:-1])
    else:
        return
    drawn = LineCollection(strokes, colors=INK, linewidths=0.8, zorder=2.5)
    drawn.set_gid(f"{gid} {what}")
    ax.add_collection(drawn, autolim=False)


def key_width(points: float, more: str) -> float:
    """Width of the key [pt]."""
    words = sum(wide(text, points) for text in (*_STROKES, more))
    return words + 2 * (_SWATCH + 4.0 + _APART)


def key(
    ax: Axes, *, at: tuple[float, float], per_pt: tuple[float, float], points: float, more: str
) -> None:
    """Say what the strokes mean."""
    (x, y), (across, up) = at, per_pt
    for what in _STROKES:
        edge = np.column_stack([x + np.linspace(0, _SWATCH, 8) * across, np.full(8, y - 4.0 * up)])
        high = np.broadcast_to([0.0, 8.0 * up], edge.shape)
        band(ax, edge=edge, inward=high, what=what, side="a", gid="key")
        x += (_SWATCH + 4.0) * across
        write(ax, what, (x, y), points=points, ha="left")
        x += (wide(what, points) + _APART) * across
    write(ax, more, (x, y), points=points, ha="left")


def write(
    ax: Axes,
    text: str,
    at: tuple[float, float],
    *,
    points: float,
    bold: bool = False,
    upright: bool = False,
    ha: Literal["left", "center", "right"] = "center",
) -> None:
    """Write words on a white ground."""
    if not text:
        return
    ax.text(
        *at,
        text,
        fontsize=points,
        fontweight="bold" if bold else "normal",
        fontfamily=FONT,
        color=INK,
        ha=ha,
        va="center",
        rotation=90.0 if upright else 0.0,
        zorder=5,
        parse_math=False,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8},
    )
