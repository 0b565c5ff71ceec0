"""What every picture is made of: layers in tones and strokes, outlines, dimension lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from foamcalc.guards import one_of, positive
from foamcalc.shape.profile import Profile
from foamcalc.units import format_length

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]
System = Literal["mm", "in"]

INK = "#1b2730"
"""Lines and words."""
QUIET = "#5d6a73"
"""Lines that stand back: extension lines, the shape before."""
TONES = ("#ece7db", "#a8bcc8")
"""Base and every second layer; overlay and every other one. Far apart in grey as well."""

_POINTS = 180
"""Points drawn along a section, at least."""


def one_case(profile: Profile) -> Profile:
    """The profile with points close enough to draw it round.

    Parameters
    ----------
    profile : Profile
        Joints of a chain of arcs, a single case.

    Returns
    -------
    Profile
        The same curve, exact at every point.

    Raises
    ------
    ValueError
        For an array of cases, or an arc whose ends meet: its size is not in its joints.
    """
    if profile.x.ndim != 1:
        raise ValueError(
            f"profile must hold one case to be drawn, got the shape {profile.x.shape}; "
            "take one entry of its arrays"
        )
    turn = -np.diff(profile.heading)
    chord = np.hypot(np.diff(profile.x), np.diff(profile.y))
    share = np.sinc(turn / (2 * np.pi))
    lost = np.flatnonzero(share < 1e-9)
    if lost.size:
        raise ValueError(
            f"arc {lost[0]} of the profile makes a full turn, so its two ends do not tell how "
            "large it is; make the profile with chain(..., points_per_arc=2)"
        )
    count = -(-_POINTS // turn.size)
    f = np.arange(count) / count
    run = (chord / share)[:, None] * f * np.sinc(turn[:, None] * f / (2 * np.pi))
    along = profile.heading[:-1, None] - turn[:, None] * f / 2
    x = profile.x[:-1, None] + run * np.cos(along)
    y = profile.y[:-1, None] + run * np.sin(along)
    heading = profile.heading[:-1, None] - turn[:, None] * f
    return Profile(
        np.append(x, profile.x[-1]),
        np.append(y, profile.y[-1]),
        np.append(heading, profile.heading[-1]),
    )


def band(profile: Profile, *, bottom: float, top: float) -> Floats:
    """Corners of a layer between two heights over the profile [mm], shape (n, 2).

    The first half runs along the lower face from the first end, the second half back along the
    upper face.
    """
    x0, y0 = profile.offset(bottom)
    x1, y1 = profile.offset(top)
    return np.column_stack([np.append(x0, x1[::-1]), np.append(y0, y1[::-1])])


def layers(ax: Axes, *, profile: Profile, thicknesses: Sequence[float]) -> None:
    """Fill the layers over an inside profile, from the inside out.

    The second layer and every other one carries slanted strokes, so that layers can be told
    apart without any colour.
    """
    from matplotlib.collections import LineCollection
    from matplotlib.patches import Polygon

    tops = np.cumsum(positive(thicknesses, "thicknesses"))
    for i, (top, thick) in enumerate(zip(tops, thicknesses, strict=True)):
        corners = band(profile, bottom=top - thick, top=top)
        ax.add_patch(
            Polygon(
                corners,
                facecolor=TONES[i % 2],
                edgecolor=INK,
                linewidth=1.0,
                joinstyle="miter",
                zorder=2,
                gid=f"layer {i}",
            )
        )
        if i % 2:
            strokes = _strokes(corners, thick)
            ax.add_collection(
                LineCollection(list(strokes), colors=INK, linewidths=0.5, zorder=2.5),
                autolim=False,
            )


def _strokes(corners: Floats, thick: float) -> Floats:
    """Slanted lines across a layer at an even pitch, shape (n, 2, 2)."""
    lower, upper = corners[: len(corners) // 2], corners[len(corners) // 2 :][::-1]
    steps = np.hypot(*np.diff((lower + upper) / 2, axis=0).T)
    place = np.append(0.0, np.cumsum(steps))
    pitch = max(0.7 * thick, place[-1] / 90)
    at = np.arange(pitch / 2, place[-1] - pitch, pitch)
    ends = [
        np.column_stack([np.interp(at + lean, place, face[:, k]) for k in (0, 1)])
        for face, lean in ((lower, 0.0), (upper, min(0.7 * thick, pitch)))
    ]
    return np.stack(ends, axis=1)


def outline(ax: Axes, *, profile: Profile, thickness: float) -> None:
    """Draw the edge of a layer that is no longer there as a thin dashed line."""
    from matplotlib.patches import Polygon

    ax.add_patch(
        Polygon(
            band(profile, bottom=0.0, top=thickness),
            fill=False,
            edgecolor=QUIET,
            linewidth=1.0,
            linestyle=(0, (4, 2.5)),
            zorder=3,
            gid="outline",
        )
    )


def dimension(
    ax: Axes, *, ends: tuple[float, float], level: float, start: float, text: str, tight: float
) -> None:
    """Draw a level dimension line with its words below.

    Parameters
    ----------
    ax : Axes
        Where.
    ends : tuple of float
        Where it ends, left and right [mm].
    level : float
        Height of the line [mm].
    start : float
        Height of what is measured [mm]; thin lines run from there.
    text : str
        The words.
    tight : float
        Length below which the arrowheads point inwards from outside [mm].
    """
    left, right = min(ends), max(ends)
    for x in (left, right):
        ax.plot([x, x], [start, level], color=QUIET, linewidth=0.7, zorder=1)
    arrow = {"color": INK, "linewidth": 0.9, "shrinkA": 0, "shrinkB": 0, "mutation_scale": 9}
    if right - left > tight:
        ax.annotate(
            "", (right, level), (left, level), arrowprops={"arrowstyle": "<|-|>", **arrow}, zorder=4
        )
    else:
        for tip, tail in ((left, left - tight), (right, right + tight)):
            ax.annotate(
                "", (tip, level), (tail, level), arrowprops={"arrowstyle": "-|>", **arrow}, zorder=4
            )
    ax.annotate(
        text,
        ((left + right) / 2, level),
        (0, -3),
        textcoords="offset points",
        ha="center",
        va="top",
        color=INK,
        fontsize=10,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.5},
        zorder=3.5,
    )


def bare(ax: Axes) -> None:
    """Take the frame away and keep the proportions."""
    ax.set_axis_off()
    ax.set_aspect("equal", adjustable="box", anchor="N")


def size(mm: float, system: System, *, resolution: float | None = None) -> str:
    """A length in words, as it is read off a tape."""
    return format_length(float(mm), system=system, resolution=resolution)


def from_to(before: float, after: float, system: System) -> str:
    """Two lengths [mm] with an arrow between and the unit once: "100 → 159 mm"."""
    one_of(system, "system", ("mm", "in"))
    return f"{size(before, system).removesuffix(' ' + system)} → {size(after, system)}"
