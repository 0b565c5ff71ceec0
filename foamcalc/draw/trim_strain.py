"""The strain across a band: from its inner to its outer edge, against its limits."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from foamcalc.draw import ink
from foamcalc.draw.ink import INK, QUIET, TONES
from foamcalc.fit.trim.band import PUCKER, Tight
from foamcalc.fit.trim.straight import StraightBand
from foamcalc.guards import one_of, positive
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def strain_chart(
    ax: Axes, *, band: StraightBand, system: System = "mm", fontsize: float = 10.0
) -> Axes:
    """Draw the strain across a straight band where it is bent the most.

    Parameters
    ----------
    ax : Axes
        Where; across the band its data are mm, upwards percent.
    band : StraightBand
        The band, as cut straight.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.
    fontsize : float
        Size of the words [pt], above 0.

    Returns
    -------
    Axes
        The one that was given.

    Raises
    ------
    ValueError
        For a band on a straight edge, where nothing is strained, and for one that folds.

    Notes
    -----
    A straight line: fibres at the distance y from the line are ``1 + y K`` times as long as on it.
    Dashed are the limits of stretch and, where an edge is squeezed, of the squeeze at which it
    puckers.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.fit.trim.band import Band
    >>> from foamcalc.fit.trim.straight import straight_band
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = Piece(thickness=5, width=20, law=foam("EVA medium"))
    >>> found = straight_band(Band(curve=Arc(250, 2.0), strip=strip))
    >>> ax = Figure(figsize=(5, 3)).add_axes((0.15, 0.15, 0.8, 0.8))
    >>> strain_chart(ax, band=found) is ax
    True
    """
    one_of(system, "system", ("mm", "in"))
    points = float(positive(fontsize, "fontsize", "1"))
    tight = _tightest(band)
    low, high = band.band.offsets
    ends = 100 * np.array([tight.inner, tight.outer])
    limits = _limits(band, tight)
    ax.axhline(0.0, color=INK, linewidth=0.8, zorder=1)
    ax.fill_between([low, high], ends, color=TONES[1], zorder=1.5)
    ax.plot([low, high], ends, color=INK, linewidth=2.0, zorder=3, gid="strain")
    for name, value in limits.items():
        ax.axhline(100 * value, color=INK, linewidth=1.0, linestyle=(0, (5, 3)), zorder=2, gid=name)
    reach = max(np.abs(ends).max(), *(100 * abs(x) for x in limits.values()))
    ax.set_ylim(-1.45 * reach, 1.45 * reach)
    wide = high - low
    ax.set_xlim(low - 0.3 * wide, high + 0.3 * wide)
    _words(ax, ends, limits, points, (low, high))
    ax.set_xticks([low, high], [ink.size(low, system), ink.size(high, system)], fontsize=points)
    ax.set_xlabel("distance from the line, to the outside", fontsize=points, color=INK)
    ax.set_ylabel("strain [%]", fontsize=points, color=INK)
    ax.tick_params(labelsize=points, colors=QUIET)
    ax.spines[["top", "right"]].set_visible(False)
    return ax


def _tightest(band: StraightBand) -> Tight:
    """The place with the most strain."""
    if not band.band.tight:
        raise ValueError("the edge is straight between its corners: nothing is strained there")
    if not band.strips:
        raise ValueError("the band folds where it is bent the most; take a narrower one")
    return max(band.band.tight, key=lambda t: max(t.stretch, t.squeeze))


def _limits(band: StraightBand, tight: Tight) -> dict[str, float]:
    """Limits by their words, with their signs [1]; a pucker that is out of reach left out."""
    found = {}
    for place, check in band.findings:
        if place != tight or check.limit.unit != "1" or check.limit.value >= 1:
            continue
        value = check.limit.value
        if check.what == PUCKER:
            found[f"puckers {100 * value:.1f} %"] = -value
        else:
            found[f"stretch limit {100 * value:.3g} %"] = value
    return found


def _words(
    ax: Axes, ends: ink.Floats, limits: dict[str, float], points: float, at: tuple[float, float]
) -> None:
    """The strains beside the ends of the line, the limits on theirs, none over another."""
    for x, value, side in zip(at, ends, ("right", "left"), strict=True):
        shift = (-5.0 if side == "right" else 5.0, 0.0)
        ink.words(ax, f"{value:+.1f} %", at=(x, value), shift=shift, ha=side, fontsize=points)
    for name, value in limits.items():
        above = 3.0 if value > 0 else -3.0
        ink.words(
            ax,
            name,
            at=(sum(at) / 2, 100 * value),
            shift=(0.0, above),
            va="bottom" if value > 0 else "top",
            fontsize=points,
        )
