"""Where seams meet: the angle that is missing from a full turn."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import positive
from foamcalc.shape.plane import FULL_TURN, Floats


def corner_curvature(angles: ArrayLike, *, on_rim: bool = False) -> float:
    """Gauss curvature of the corner where several pieces meet, or its turn on an open rim.

    Parameters
    ----------
    angles : array_like, shape (n,)
        Inside angle of each piece at the corner [rad], above 0, at most a full turn.
    on_rim : bool
        Whether the corner lies on an open rim.

    Returns
    -------
    float
        Missing from a full turn [rad], or on a rim from half a turn. Below 0 for a saddle.

    Raises
    ------
    ValueError
        For an angle of 0 or less, more than a full turn, or NaN.

    Notes
    -----
    ``2 pi - sum(angles)``, on a rim ``pi - sum(angles)``.

    Examples
    --------
    Three right angles, as at the corner of a box:

    >>> print(f"{np.degrees(corner_curvature([np.pi / 2] * 3)):.0f} deg")
    90 deg
    """
    meeting = checked_angles(angles)
    return float((np.pi if on_rim else FULL_TURN) - meeting.sum())


def checked_angles(angles: ArrayLike) -> Floats:
    """Inside angles as a flat array [rad]; ValueError for one that no piece can have."""
    inside = positive(angles, "angles", "rad")
    if inside.ndim != 1:
        raise ValueError(f"angles must be a flat list, got an array of shape {inside.shape}")
    if (inside > FULL_TURN + 1e-9).any():
        i = int(np.argmax(inside))
        raise ValueError(
            f"angles must be at most a full turn (6.2832 rad), got {inside[i]:g} at index {i}; "
            "angles are in radians"
        )
    return inside
