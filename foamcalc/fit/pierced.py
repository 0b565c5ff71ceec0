"""Pierced pieces under stretch: their thin bars take most of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.limits import Check, Limit
from foamcalc.foam.law import WIDTHS, Law, Width, a_law
from foamcalc.foam.section import NoEquilibrium
from foamcalc.guards import non_negative, one_of, positive

Floats = NDArray[np.float64]

__all__ = ["Bars", "bar_check", "pierced"]

_MOST_STEPS = 60
_FARTHEST = 0.3
"""Most that a stretch may change in one step, as a share of itself."""
_DONE = 1e-12
"""Change of a stretch, as a share of itself, that is none."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Bars:
    """What the bars of a pierced piece take; the last axis of `strains` goes along the pull.

    Cases without an answer are masked, and `failed` there.
    """

    strains: Any
    """Strain of each stretch of bars [1]."""
    pull: Any
    """Pull of the whole piece [N]."""
    largest: Any
    """Largest of the strains [1]."""
    failed: NDArray[np.bool_] = field(repr=False)


def pierced(
    law: Law,
    *,
    lengths: ArrayLike | Sequence[float],
    widths: ArrayLike | Sequence[float],
    thickness: ArrayLike,
    strain: ArrayLike,
    sides: Width = "free",
) -> Bars:
    """How a pierced piece shares out its stretch: most of it goes into the thin bars.

    Parameters
    ----------
    law : Law
        Foam law.
    lengths : array_like, shape (n,)
        Lengths along the pull over which the width of foam stays the same [mm], above 0.
    widths : array_like, shape (n,)
        Width of foam that is left across there, all bars together [mm], above 0.
    thickness : array_like
        Thickness as cut [mm], above 0; one number, or one a case.
    strain : array_like
        Strain of the whole piece, end to end [1], 0 or more; the cases.
    sides : {"free", "held"}
        Whether the bars may draw in.

    Returns
    -------
    Bars

    Raises
    ------
    NoEquilibrium
        If a single case has no answer: the bars would be pulled past the law's stable range.

    Notes
    -----
    The pull ``P(stretch) t w`` is the same all along, and the stretches add up to the whole.
    Newton's method on all of them together. Good for bars longer than they are wide: where a bar
    runs into full width the foam there gives a little, which eases the bar.

    Examples
    --------
    30 % of the length has 0.3 of the width left; 5 % in all:

    >>> from foamcalc.foam.law import HyperFoam, Linear
    >>> piece = {"lengths": [70, 30], "widths": [100, 30], "thickness": 5, "strain": 0.05}
    >>> print(f"{pierced(Linear(1.5), **piece).largest:.1%}")
    9.8%
    >>> print(f"{pierced(HyperFoam(0.6, 2.0, 0.25), **piece).largest:.1%}")
    10.0%
    """
    one_of(sides, "sides", WIDTHS)
    a_law(law)
    long, wide = positive(lengths, "lengths"), positive(widths, "widths")
    if long.ndim != 1 or long.shape != wide.shape:
        raise ValueError(
            "lengths and widths must be two flat lists, one number a stretch of bars, got shapes "
            f"{long.shape} and {wide.shape}"
        )
    mean = 1 + non_negative(strain, "strain", "1")
    thick = positive(thickness, "thickness")
    mean, thick = np.broadcast_arrays(mean, thick)
    stretch, pull, failed = _share_out(law, long / long.sum(), wide, mean, sides)
    top = law.stable_range(sides)[1]
    failed = failed | ~(stretch.max(-1) <= top)
    if failed.ndim == 0:
        if failed:
            raise NoEquilibrium(
                f"no sharing out found for a strain of {float(mean) - 1:.1%}: the thinnest bars "
                f"would pass the law's range of stretches, up to {top:.3g}; pull less, or leave "
                "wider bars"
            )
        return Bars(
            strains=stretch - 1, pull=pull * thick, largest=stretch.max(-1) - 1, failed=failed
        )
    hidden = np.broadcast_to(failed[..., None], stretch.shape)
    return Bars(
        strains=np.ma.MaskedArray(stretch - 1, hidden),
        pull=np.ma.MaskedArray(pull * thick, failed),
        largest=np.ma.MaskedArray(stretch.max(-1) - 1, failed),
        failed=failed,
    )


def _share_out(
    law: Law, share: Floats, wide: Floats, mean: Floats, sides: Width
) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Stretches, pull for each mm of thickness, and which cases were not found."""
    give = 1 / (wide * law.modulus)
    pull = (mean - 1) / (share * give).sum()
    stretch = 1 + pull[..., None] * give
    moving = np.ones(mean.shape, dtype=bool)
    for _ in range(_MOST_STEPS):
        answer = law.unchecked(stretch, sides)
        off = answer.stress * wide - pull[..., None]
        give = 1 / (wide * answer.tangent)
        missing = mean - (share * stretch).sum(-1)
        more = (missing + (share * off * give).sum(-1)) / (share * give).sum(-1)
        step = (more[..., None] - off) * give
        size = np.abs(step / stretch).max(-1)
        with np.errstate(divide="ignore", invalid="ignore"):
            part = np.where(size > _FARTHEST, _FARTHEST / size, 1.0)
        stretch, pull = stretch + part[..., None] * step, pull + part * more
        moving = ~(size <= _DONE)
        if not moving.any():
            break
    return stretch, pull, moving


def bar_check(bars: Bars, limit: Limit) -> Check:
    """The largest bar strain of one case against the limit for a pull of this foam."""
    if np.ndim(bars.largest):
        raise ValueError(f"one case can be checked at a time, got {np.shape(bars.largest)}")
    return Check("stretch of the thin bars", float(bars.largest), limit)
