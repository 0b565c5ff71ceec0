"""When a strip that is glued along one line puckers: buckling of a plate with a free edge."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import finite, positive, single

Floats = NDArray[np.float64]

_TERMS = 7
_WAVES = np.geomspace(0.7, 14.0, 81)
"""Wave numbers along the strip times its width; half a wave is pi over that."""
_SHEAR = 4.0
"""How fast a thick strip falls behind a thin plate: 0.8 of it at a quarter of the width."""


def pucker_constant(*, at_glue: float, at_free: float, poisson: float = 0.25) -> float:
    """The C in the rule that a strip puckers from the squeeze ``C (t/w)**2`` on.

    Parameters
    ----------
    at_glue, at_free : float
        Strains along the strip at its glued line and at its free edge [1], a straight line between
        them. Only their proportion counts, and their signs: below 0 is squeezed.
    poisson : float
        Side strain over strain [1], 0 to below 0.5.

    Returns
    -------
    float
        C, for the larger squeeze of the two; infinite where nothing is squeezed.

    Notes
    -----
    A thin plate, long, clamped at its glued line (glue that lies flat keeps it from turning) and
    free at the other edge, buckling in half waves of the length that gives way first: about
    1.65 widths where the free edge is squeezed. By Ritz with seven polynomials, within 0.1 %. At a
    ratio of 0.25: 1.17 squeezed all over, 1.47 from nothing at the glue, 1.96 from as much stretch
    at the glue. A line that can turn, as under tape, takes about a third.

    Examples
    --------
    >>> for glue in (-1, 0, 1):
    ...     print(f"{pucker_constant(at_glue=glue, at_free=-1):.2f}")
    1.17
    1.47
    1.96
    """
    given = {"at_glue": at_glue, "at_free": at_free}
    ends = np.array([single(finite(x, name, "1"), name) for name, x in given.items()])
    ratio = single(finite(poisson, "poisson", "1"), "poisson")
    if not 0 <= ratio < 0.5:
        raise ValueError(f"poisson must be from 0 to below 0.5, got {poisson}")
    most = float(-ends.min())
    if most <= 0:
        return float("inf")
    inverse, whole, sloped = _plates(ratio)
    glue, free = -ends / most
    load = glue * whole + (free - glue) * sloped
    squared = (_WAVES**2)[:, None, None]
    gains = np.linalg.eigvalsh(inverse @ (squared * load) @ inverse.transpose(0, 2, 1))[:, -1]
    return float(1 / gains.max() / (12 * (1 - ratio**2)))


def pucker_limit(
    *,
    thickness: ArrayLike,
    width: ArrayLike,
    at_glue: float,
    at_free: float,
    poisson: float = 0.25,
) -> Floats:
    """Squeeze from which a strip puckers that is glued along one line [1].

    Parameters
    ----------
    thickness : array_like
        Thickness of the strip [mm], above 0.
    width : array_like
        How far it stands beyond the glued line [mm], above 0.
    at_glue, at_free, poisson : float
        As in `pucker_constant`.

    Returns
    -------
    ndarray
        For the larger squeeze of the two edges; infinite where nothing is squeezed.

    Notes
    -----
    ``C x**2/(1 + 4 x**2)`` with x = t/w. The second part is for thick strips, which shear as they
    buckle: 0.8 at x = 0.25, where plates that can shear (Reissner and Mindlin) have 0.82 to 0.85
    with the free edge squeezed, and 0.5 at x = 0.5 against 0.58 to 0.64: on the safe side. With
    the glued edge alone squeezed C is 5 or more, and foam is at its end before it puckers. Before
    the rest of its face is pressed down; glue all over holds it longer.

    Examples
    --------
    >>> both = dict(at_glue=1, at_free=-1)
    >>> print(pucker_limit(thickness=[2, 5], width=20, **both).round(3))
    [0.019 0.098]
    """
    ratio = positive(thickness, "thickness") / positive(width, "width")
    constant = pucker_constant(at_glue=at_glue, at_free=at_free, poisson=poisson)
    return np.asarray(constant * ratio**2 / (1 + _SHEAR * ratio**2))


@cache
def _plates(poisson: float) -> tuple[Floats, Floats, Floats]:
    """For each wave number the inverse Cholesky factor of the bending energy; two load matrices.

    Shapes y**2 times Legendre's polynomials over the width from 0 (glue) to 1. Energy
    ``(f'' - q f)**2 + 2 (1 - nu) q (f f'' + f'**2)``, q the wave number squared; loads of an even
    squeeze and of one that grows from nothing.
    """
    nodes, weights = np.polynomial.legendre.leggauss(2 * _TERMS + 4)
    x, w = (nodes + 1) / 2, weights / 2
    shape = np.polynomial.Polynomial([0.0, 0.0, 1.0])
    terms = [
        shape * np.polynomial.Polynomial(np.polynomial.legendre.leg2poly(row))(_FROM_UNIT)
        for row in np.eye(_TERMS)
    ]
    f, slope, bend = (np.array([p.deriv(n)(x) if n else p(x) for p in terms]) for n in range(3))
    mixed = (bend * w) @ f.T
    mixed = mixed + mixed.T
    q = (_WAVES**2)[:, None, None]
    energy = (
        (bend * w) @ bend.T
        - q * mixed
        + q**2 * ((f * w) @ f.T)
        + 2 * (1 - poisson) * q * (mixed / 2 + (slope * w) @ slope.T)
    )
    inverse = np.linalg.inv(np.linalg.cholesky(energy))
    return inverse, (f * w) @ f.T, (f * (w * x)) @ f.T


_FROM_UNIT = np.polynomial.Polynomial([-1.0, 2.0])
"""From 0 to 1 over the width to -1 to 1, where Legendre's polynomials live."""
