"""What the glue must carry at the end of a stretched overlay, and in a hollow."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.foam.answers import WIDTHS, Law, Width, a_law
from foamcalc.foam.end_figures import FIGURES, SOFTNESS, THICKNESS_RATIOS
from foamcalc.guards import finite, non_negative, one_of, positive, together

Floats = NDArray[np.float64]

_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(12)
_LOGS, _SIGNS = np.log(np.abs(FIGURES)), np.sign(np.array(FIGURES)[:, 0, 0])

_LEAST_RADIUS = 3.0
"""Radius of a bend over the thickness, from which the figures hold (derived)."""

__all__ = [
    "EndFactors",
    "end_factors",
    "end_opening",
    "end_reach",
    "end_shear",
    "hollow_pull",
    "peel_demand",
    "stored_energy",
]


class EndFactors(NamedTuple):
    """What an end carries, as multiples; the first two of the stress of the overlay's stretch.

    `bend_shear` and `bend_opening` are multiples of ``E t/(12 R)``, `reach` of the thickness.
    """

    shear: Floats
    opening: Floats
    bend_shear: Floats
    bend_opening: Floats
    reach: Floats


def end_factors(*, softness: ArrayLike = 0.0, thickness_ratio: ArrayLike = 1.0) -> EndFactors:
    """Multiples for the end of an overlay, by how far the base under it gives.

    Derived: our own finite elements, small strain, plane, side strain over strain 1/3 (a wide
    sheet of ratio 0.25); the base is held at its underside, as on a form. Shear and opening are
    means over the last half thickness of the overlay; they grow without end at the very corner.
    Reach is where 90 % of the pull has built up. Between the figures: straight lines for their
    logarithms, over the root of `softness` and the logarithm of `thickness_ratio`; within 3 % of
    further elements. With a side strain of 0.1 of the strain shear and opening are up to 7 % more
    and the reach 10 % less; the default foam pulled 20 % reaches 18 % farther (`End.reach` adds
    it). A base that is let go yields, and its ends carry less.
    """
    soft = non_negative(softness, "softness", "1")
    ratio = positive(thickness_ratio, "thickness ratio", "1")
    for value, name, low, high in (
        (soft, "softness", SOFTNESS[0], SOFTNESS[-1]),
        (ratio, "thickness ratio", THICKNESS_RATIOS[0], THICKNESS_RATIOS[-1]),
    ):
        bad = value[(value < low) | (value > high)]
        if bad.size:
            raise ValueError(
                f"{name} must be from {low:g} to {high:g}, got {bad.flat[0]:g}; outside nothing "
                "is known. A softness of 0 (a base that does not give) puts the load too high"
            )
    together(softness=soft, thickness_ratio=ratio)
    soft, ratio = np.broadcast_arrays(soft, ratio)
    row, across = _between(np.sqrt(SOFTNESS), np.sqrt(soft))
    column, along = _between(np.log(THICKNESS_RATIOS), np.log(ratio))
    near = _LOGS[:, row, column] * (1 - along) + _LOGS[:, row, column + 1] * along
    far = _LOGS[:, row + 1, column] * (1 - along) + _LOGS[:, row + 1, column + 1] * along
    sizes = np.exp(near * (1 - across) + far * across)
    return EndFactors(*(np.asarray(s * x) for s, x in zip(_SIGNS, sizes, strict=True)))


def _between(nodes: Floats, value: Floats) -> tuple[NDArray[np.intp], Floats]:
    """Number of the node below, and how far on to the next one."""
    below = np.clip(np.searchsorted(nodes, value, side="right") - 1, 0, nodes.size - 2)
    return below, (value - nodes[below]) / (nodes[below + 1] - nodes[below])


def end_shear(
    *,
    stress: ArrayLike,
    modulus: ArrayLike,
    thickness: ArrayLike,
    curvature: ArrayLike = 0.0,
    softness: ArrayLike = 0.0,
    thickness_ratio: ArrayLike = 1.0,
) -> Floats:
    """Shear of the glue at an overlay's end, mean over the last half thickness [MPa].

    ``0.80 stress - 1.59 E t/(12 R)`` on a base that does not give. The bend takes away from the
    pull because it squeezes the face that is glued. Radius from 3 t up; tighter is refused.
    """
    factors = end_factors(softness=softness, thickness_ratio=thickness_ratio)
    bend, pull = _bend_stress(modulus, thickness, curvature), finite(stress, "stress", "MPa")
    together(stress=pull, bend=bend, base=factors.shear)
    return np.asarray(factors.shear * pull + factors.bend_shear * bend)


def end_opening(
    *,
    stress: ArrayLike,
    modulus: ArrayLike,
    thickness: ArrayLike,
    curvature: ArrayLike = 0.0,
    softness: ArrayLike = 0.0,
    thickness_ratio: ArrayLike = 1.0,
) -> Floats:
    """Stress that pulls an overlay's end off its base, mean over the last half thickness [MPa].

    ``0.57 stress + 1.33 E t/(12 R)`` on a base that does not give: the pull, and the overlay's
    own wish to spring flat. Radius from 3 t up; tighter is refused.
    """
    factors = end_factors(softness=softness, thickness_ratio=thickness_ratio)
    bend, pull = _bend_stress(modulus, thickness, curvature), finite(stress, "stress", "MPa")
    together(stress=pull, bend=bend, base=factors.opening)
    return np.asarray(factors.opening * pull + factors.bend_opening * bend)


def _bend_stress(modulus: ArrayLike, thickness: ArrayLike, curvature: ArrayLike) -> Floats:
    """The stress ``E t/(12 R)``: moment of the bend over the square of the thickness [MPa]."""
    stiff, thick = positive(modulus, "modulus", "MPa"), positive(thickness, "thickness")
    bend = finite(curvature, "curvature", "1/mm")
    together(modulus=stiff, thickness=thick, curvature=bend)
    tight = np.abs(thick * bend)
    if (tight > (1 + 1e-9) / _LEAST_RADIUS).any():
        raise ValueError(
            f"an overlay must be bent to a radius of {_LEAST_RADIUS:g} times its thickness at "
            f"least, got {1 / float(tight.max()):.3g} times; nothing is known of its ends tighter "
            "than that: form it warm first"
        )
    return np.asarray(stiff * thick * bend / 12)


def end_reach(
    *, thickness: ArrayLike, softness: ArrayLike = 0.0, thickness_ratio: ArrayLike = 1.0
) -> Floats:
    """Length from the end over which 90 % of an overlay's pull builds up [mm]."""
    factors = end_factors(softness=softness, thickness_ratio=thickness_ratio)
    thick = positive(thickness, "thickness")
    together(thickness=thick, base=factors.reach)
    return np.asarray(factors.reach * thick)


def hollow_pull(*, stress: ArrayLike, thickness: ArrayLike, curvature: ArrayLike) -> Floats:
    """Stress that lifts a stretched overlay off a hollow, all along it [MPa].

    ``-stress t/R``, from the balance of a taut strip. On a convex base it is negative: the
    overlay hugs its base.
    """
    pull, bend = finite(stress, "stress", "MPa"), finite(curvature, "curvature", "1/mm")
    thick = positive(thickness, "thickness")
    together(stress=pull, thickness=thick, curvature=bend)
    return np.asarray(-pull * thick * bend)


def stored_energy(law: Law, stretch: ArrayLike, width: Width = "free") -> Floats:
    """Work that stretching took, for each volume as cut [MPa, that is N mm per mm3].

    Parameters
    ----------
    law : Law
        Foam law.
    stretch : array_like
        Length now over length as cut [1], above 0.
    width : {"free", "held"}
        Whether the sides may draw in.

    Examples
    --------
    >>> from foamcalc.foam.law import Linear
    >>> print(f"{stored_energy(Linear(1.5), 1.1):.4f} MPa")
    0.0075 MPa
    """
    one_of(width, "width", WIDTHS)
    reach = (positive(stretch, "stretch", "1") - 1.0)[..., None]
    stress = a_law(law).stress(1.0 + reach * (_POINTS + 1.0) / 2.0, width)
    return np.asarray((stress * _WEIGHTS).sum(-1) * reach[..., 0] / 2.0)


def peel_demand(
    *,
    energy: ArrayLike,
    modulus: ArrayLike,
    thickness: ArrayLike,
    curvature: ArrayLike = 0.0,
    area: ArrayLike = 1.0,
) -> Floats:
    """What an overlay gives up for each area that comes off its base [N/mm].

    ``t energy/area + E t**3/(24 R**2)``: stretch and bend both come free behind the line where the
    overlay lets go, and are counted for each area that is glued. The first part is exact for a
    base that is held, of any foam, once the line is some thicknesses from the end (the first start
    of it asks for less); the second is for small strain, off by about the stretch of itself.
    """
    stored = non_negative(energy, "energy", "MPa")
    thick, stiff = positive(thickness, "thickness"), positive(modulus, "modulus", "MPa")
    bend, wide = finite(curvature, "curvature", "1/mm"), positive(area, "area", "1")
    together(energy=stored, modulus=stiff, thickness=thick, curvature=bend, area=wide)
    return np.asarray(thick * stored / wide + stiff * thick**3 * bend**2 / 24)
