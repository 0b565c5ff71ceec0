"""The mouth of a section against the length its overlay is cut to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.draw import ink
from foamcalc.draw.ink import INK, QUIET
from foamcalc.fit.limits import Limit, default_limits
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.release import released, shortest_cut
from foamcalc.guards import one_of
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]

_SAME = 0.3
"""Cut lengths closer than this are one mark [mm]."""
_SHORTEST = "shortest inside the limits"


class _Mark(NamedTuple):
    """A cut length worth a name."""

    name: str
    cut: float
    opens: float


def mouth_against_cut(
    ax: Axes,
    *,
    joint: Overlay,
    limits: Mapping[str, Limit] | None = None,
    system: System = "mm",
) -> Axes:
    """Draw how far the mouth opens against the length the overlay is cut to."""
    unit = {"mm": 1.0, "in": 25.4}[one_of(system, "system", ("mm", "in"))]
    if joint.curve.closed:
        raise ValueError("a closed ring has no mouth to draw; its gap and stretch can be asked")
    known = {**default_limits(joint.overlay, joint.shell), **(limits or {})}
    marks = _marks(joint, known)
    hardest = joint.cut_at(known["stretch"].value)
    low, high = min(hardest, *(m.cut for m in marks)), max(m.cut for m in marks)
    margin = 0.06 * max(high - low, 0.02 * high)
    cuts, opens = _openings(joint, np.linspace(low - margin, high + margin, 161))
    ax.plot(cuts / unit, opens / unit, color=INK, linewidth=1.8, zorder=3, gid="opening")
    most = known["mouth"].value
    limit = f"limit {ink.size(most, system)}"
    if not joint.over_hollow and not any(_SHORTEST in m.name for m in marks):
        limit += ": no cut length keeps every limit"
    _limit_line(ax, cuts / unit, opens / unit, most / unit, limit)
    bottom, top = min(float(opens.min()), 0.0), max(float(opens.max()), 1.3 * most)
    step = 0.09 * (top - bottom)
    for mark, rank, side in _flags(marks, (low + high) / 2):
        level = top + step * (rank + 0.6)
        _flag(
            ax,
            point=(mark.cut / unit, mark.opens / unit),
            level=level / unit,
            text=_flag_words(mark, system),
            side=side,
        )
    ax.set_xlim((low - margin) / unit, (high + margin) / unit)
    ax.set_ylim((bottom - 0.5 * step) / unit, (top + step * (len(marks) + 0.3)) / unit)
    ax.set_xlabel(f"overlay cut to [{system}]")
    ax.set_ylabel(f"mouth opens by [{system}]")
    for spine in ("top", "right"):
        ax.spines[spine].set_visible(False)
    return ax


def _openings(joint: Overlay, cuts: Floats) -> tuple[Floats, Floats]:
    """Cut lengths at which the section has a rest, and how far its mouth opens there [mm]."""
    rest = released(joint, cuts)
    opens = rest.size - rest.size_before
    good = np.isfinite(opens)
    if not good.any():
        raise ValueError(
            f"no overlay length from {cuts[0]:.1f} to {cuts[-1]:.1f} mm leaves the foam inside "
            "the range of its law; use a cut length nearer the length needed, "
            f"{joint.needed_length:.1f} mm"
        )
    return cuts[good], opens[good]


def _marks(joint: Overlay, limits: Mapping[str, Limit]) -> list[_Mark]:
    """As cut, the needed length, and the shortest inside the limits; near ones as one."""
    found = [("as cut", joint.cut_length), ("needed length", joint.needed_length)]
    if not joint.over_hollow:
        shortest = shortest_cut(
            joint,
            strain=limits["stretch"].value,
            opening=limits["mouth"].value,
            force=limits["force"].value,
        )
        if shortest is not None:
            found.append((_SHORTEST, shortest))
    names: dict[float, str] = {}
    for name, cut in found:
        near = next((c for c in names if abs(c - cut) < _SAME), None)
        if near is None:
            names[cut] = name
        else:
            names[near] += f", {name}"
    return [
        _Mark(name, cut, float(_openings(joint, np.array([cut]))[1][0]))
        for cut, name in names.items()
    ]


def _flags(marks: Sequence[_Mark], middle: float) -> list[tuple[_Mark, int, str]]:
    """Each mark with the rank of its words and the side they are tied to, so that none cross.

    Words in the right half run to the left, the farthest right on top; words in the left half
    run to the right over all of these, the farthest left on top.
    """
    right = sorted((m for m in marks if m.cut > middle), key=lambda m: m.cut)
    left = sorted((m for m in marks if m.cut <= middle), key=lambda m: -m.cut)
    sides = ["right"] * len(right) + ["left"] * len(left)
    return [(m, i, side) for i, (m, side) in enumerate(zip(right + left, sides, strict=True))]


def _flag(ax: Axes, *, point: tuple[float, float], level: float, text: str, side: str) -> None:
    """A dot on the curve, a thin line up, and words beside its upper end."""
    x, y = point
    ax.plot([x, x], [y, level], color=QUIET, linewidth=0.8, zorder=2)
    ax.plot([x], [y], "o", color=INK, markersize=6, zorder=4)
    ink.words(ax, text, at=(x, level), shift=(5 if side == "left" else -5, 0), ha=side)


def _limit_line(ax: Axes, cuts: Floats, opens: Floats, most: float, text: str) -> None:
    """The room that is allowed, its upper edge, and words at the end away from the curve."""
    ax.axhspan(-most, most, color="#ebefed", linewidth=0, zorder=0)
    ax.axhline(most, color=INK, linewidth=1.0, linestyle=(0, (6, 3)), zorder=1, gid="limit")
    left = abs(opens[0] - most) > abs(opens[-1] - most)
    ink.words(
        ax,
        text,
        at=(float(cuts[0] if left else cuts[-1]), most),
        shift=(2 if left else -2, 3),
        ha="left" if left else "right",
        va="bottom",
    )


def _flag_words(mark: _Mark, system: System) -> str:
    way = "opens" if mark.opens >= 0 else "closes"
    return f"{mark.name} {ink.size(mark.cut, system)}: {way} {ink.size(abs(mark.opens), system)}"
