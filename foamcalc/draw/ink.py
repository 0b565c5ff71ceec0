"""What every picture is made of: layers in tones and strokes, outlines, words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from foamcalc.guards import one_of, positive
from foamcalc.shape.profile import Profile
from foamcalc.units import System, format_length

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]

INK = "#1b2730"
"""Lines and words."""
QUIET = "#5d6a73"
"""Lines that stand back: extension lines, the shape before."""
TONES = ("#ece7db", "#a8bcc8")
"""Base and every second layer; overlay and every other one. Far apart in grey as well."""

_POINTS = 180
"""Points drawn along a section, at least."""


def one_case(profile: Profile) -> Profile:
    """The profile with points close enough to draw it round."""
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


def layers(ax: Axes, *, profile: Profile, thicknesses: Sequence[float], first: int = 0) -> None:
    """Fill the layers over an inside profile [mm], from the inside out.

    Overlays (every second layer; the first one too where `first` is 1) carry slanted strokes,
    so that layers can be told apart without any colour.
    """
    from matplotlib.collections import LineCollection
    from matplotlib.patches import Polygon

    tops = np.cumsum(positive(thicknesses, "thicknesses"))
    for i, (top, thick) in enumerate(zip(tops, thicknesses, strict=True)):
        corners = band(profile, bottom=top - thick, top=top)
        ax.add_patch(
            Polygon(
                corners,
                facecolor=TONES[(first + i) % 2],
                edgecolor=INK,
                linewidth=1.0,
                joinstyle="miter",
                zorder=2,
                gid=f"layer {i}",
            )
        )
        if (first + i) % 2:
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


def arrow(ax: Axes, *, tip: Sequence[float], tail: Sequence[float], both: bool = False) -> None:
    """Draw a thin arrow whose heads end exactly on its points."""
    ax.annotate(
        "",
        (float(tip[0]), float(tip[1])),
        (float(tail[0]), float(tail[1])),
        arrowprops={
            "arrowstyle": "<|-|>" if both else "-|>",
            "color": INK,
            "linewidth": 0.9,
            "shrinkA": 0,
            "shrinkB": 0,
            "mutation_scale": 9,
        },
        zorder=4,
    )


def words(
    ax: Axes,
    text: str,
    *,
    at: tuple[float, float],
    shift: tuple[float, float] = (0.0, 0.0),
    ha: str = "center",
    va: str = "center",
    fontsize: float = 10.0,
    clear: bool = True,
) -> None:
    """Write on a white ground, moved from a point by some printer's points."""
    ax.annotate(
        text,
        at,
        shift,
        textcoords="offset points",
        ha=ha,
        va=va,
        color=INK,
        fontsize=fontsize,
        zorder=5,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0} if clear else None,
    )


def bare(ax: Axes) -> None:
    """Take the frame away and keep the proportions."""
    ax.set_axis_off()
    ax.set_aspect("equal", adjustable="box", anchor="C")


def stack_of(base: float, overlay: float, system: System) -> tuple[float, float]:
    """Base and overlay thickness [mm], checked, and the system with them."""
    one_of(system, "system", ("mm", "in"))
    return (
        float(positive(base, "base thickness")),
        float(positive(overlay, "overlay thickness")),
    )


def size(mm: float, system: System) -> str:
    """A length in words, as it is read off a tape."""
    return format_length(float(mm), system=system)


def thickness(mm: float, system: System) -> str:
    """A thickness in words, as it is read off a calliper, or to 1/16 in."""
    if system == "in":
        return size(mm, system)
    return format_length(mm, resolution=0.01).removesuffix(" mm").rstrip("0").rstrip(".") + " mm"


def from_to(before: float, after: float, system: System) -> str:
    """Two lengths [mm] with an arrow between and the unit once: "100 → 159 mm"."""
    return f"{size(before, system).removesuffix(' ' + system)} → {size(after, system)}"
