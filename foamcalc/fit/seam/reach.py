"""How far a strained edge reaches into its piece, and when a squeezed edge puckers."""

from __future__ import annotations

from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import finite, fraction, non_negative, one_of, positive

Floats = NDArray[np.float64]
Pattern = Literal["lone", "alternating"]

PATTERNS = ("lone", "alternating")
CLAMPED = 4.0
"""How many times more a run takes before it puckers when its ends cannot turn."""


def faded(
    depth: ArrayLike, *, pattern: Pattern, poisson: float = 0.25, lean: float = 0.0
) -> Floats:
    """Strain along the seam under the middle of an interval, over the strain at the edge [1].

    Wide sheets, plane stress. Each sine fades as ``(1 - g k y) exp(-k y)``, with
    ``g = (1 + nu)(1 - b)/(2 - (1 - nu) b)``. Summed, with the depth y and the length a:
    alternating ``4/pi (arctan(exp(-z)) - g z/(2 cosh z))``, z = pi y/a; lone
    ``2/pi (arctan(a/(2 y)) - g (y/a)/(2 ((y/a)**2 + 1/4)))``.
    """
    one_of(pattern, "pattern", PATTERNS)
    y = non_negative(depth, "depth", "1")
    v, b = float(fraction(poisson, "poisson")), float(finite(lean, "lean", "1"))
    g = (1 + v) * (1 - b) / (2 - (1 - v) * b)
    if pattern == "alternating":
        z = np.minimum(np.pi * y, 700.0)  # past that both terms are 0 in any case
        return np.asarray(4 / np.pi * (np.arctan(np.exp(-z)) - g * z / (2 * np.cosh(z))))
    return np.asarray(2 / np.pi * (np.arctan2(0.5, y) - g * y / (2 * (y**2 + 0.25))))


@cache
def reach(pattern: Pattern, *, poisson: float = 0.25, lean: float = 0.0) -> float:
    """Depth at which the strain has faded to a tenth, in lengths of the interval [1].

    Parameters
    ----------
    pattern : {"lone", "alternating"}
        As in `faded`.
    poisson, lean : float
        As in `faded`.

    Examples
    --------
    >>> print(f"{reach('alternating'):.2f} {reach('lone'):.2f}")
    0.39 1.30
    """
    from scipy.optimize import brentq

    def left(depth: float) -> float:
        return float(faded(depth, pattern=pattern, poisson=poisson, lean=lean)) - 0.1

    return float(brentq(left, 0.0, 4.0, xtol=1e-12))


def pucker_strain(*, thickness: ArrayLike, spacing: ArrayLike) -> Floats:
    """Least squeeze at which a run between two pins puckers [1].

    Parameters
    ----------
    thickness : array_like
        Thickness of the sheet [mm], above 0.
    spacing : array_like
        Distance between the marks [mm], above 0.

    Returns
    -------
    ndarray
        Squeeze as a strain, for ends that are free to turn; `CLAMPED` times that where they
        cannot turn.

    Notes
    -----
    ``pi**2 t**2/(12 a**2)`` (Euler): a strip that is pinned at its marks only. Neighbouring foam
    that is already glued holds it, so this is the least. Counts from the bench decide in between.

    Examples
    --------
    Marks 50 mm apart:

    >>> print((100 * pucker_strain(thickness=[10, 5, 2], spacing=50)).round(2))
    [3.29 0.82 0.13]
    """
    ratio = positive(thickness, "thickness") / positive(spacing, "spacing")
    return np.asarray(np.pi**2 / 12 * ratio**2)
