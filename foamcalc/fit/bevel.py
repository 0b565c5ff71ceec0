"""Bevels: how far a face stands back, and which bevel a fold between two pieces wants."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.limits import Check, Limit
from foamcalc.guards import finite, positive, single, together

Floats = NDArray[np.float64]

__all__ = [
    "bevel_check",
    "bevels_for_fold",
    "checked_bevel",
    "face_difference",
    "set_back",
]

_STRAIGHT_BACK = np.pi / 2


def checked_bevel(bevel: ArrayLike) -> Floats:
    """A bevel from square [rad]; ValueError unless it is from 0 to below a quarter turn."""
    angle = finite(bevel, "bevel", "rad")
    bad = (angle < 0) | (angle >= _STRAIGHT_BACK)
    if bad.any():
        worst = float(angle[bad].flat[0])
        hint = f"; if {worst:g} was meant in degrees, write angle('{worst:g} deg')"
        raise ValueError(
            f"bevel must be from 0 (cut square) to below 90 deg, got {np.degrees(worst):.4g} deg"
            f"{hint if worst > 2 else ''}"
        )
    return angle


def set_back(*, thickness: ArrayLike, bevel: ArrayLike) -> Floats:
    """How far one face of a bevelled edge stands back from the other [mm].

    Parameters
    ----------
    thickness : array_like
        Thickness of the sheet [mm], above 0.
    bevel : array_like
        Angle of the cut from square [rad], 0 to below a quarter turn.

    Notes
    -----
    ``t tan(bevel)``.

    Examples
    --------
    >>> print(f"{set_back(thickness=10, bevel=np.radians(22.5)):.2f} mm")
    4.14 mm
    """
    t, lean = positive(thickness, "thickness"), checked_bevel(bevel)
    together(thickness=t, bevel=lean)
    return np.asarray(t * np.tan(lean))


def face_difference(*, thickness: ArrayLike, bevel: ArrayLike, turn: ArrayLike) -> Floats:
    """How much longer the full face of a bevelled edge is than the face that is set back [mm].

    Parameters
    ----------
    thickness : array_like
        Thickness of the sheet [mm], above 0.
    bevel : array_like
        Angle of the cut from square [rad], 0 to below a quarter turn.
    turn : array_like
        How much the edge turns in the flat piece [rad]: positive where the outline is convex,
        negative in a hollow, where the face that is set back is the longer one.

    Notes
    -----
    ``t tan(bevel) turn``: the two faces are parallel curves.

    Examples
    --------
    10 mm, half a turn:

    >>> longer = face_difference(thickness=10, bevel=np.radians(22.5), turn=np.pi)
    >>> print(f"{longer:.1f} mm")
    13.0 mm
    """
    back, turns = set_back(thickness=thickness, bevel=bevel), finite(turn, "turn", "rad")
    together(thickness_and_bevel=back, turn=turns)
    return np.asarray(back * turns)


def bevels_for_fold(
    *, fold: ArrayLike, thickness_a: ArrayLike, thickness_b: ArrayLike
) -> tuple[Floats, Floats]:
    """The bevels of two pieces that meet at a fold, so that their cut faces cover each other.

    Parameters
    ----------
    fold : array_like
        How much the surface turns at the seam [rad]: 0 for two pieces in one plane, 90 deg for
        the corner of a box; 0 to below half a turn.
    thickness_a, thickness_b : array_like
        Thicknesses [mm], above 0.

    Returns
    -------
    tuple of ndarray
        Bevel of each piece from square [rad]. Together they make the fold; half each where the
        pieces are equally thick.

    Raises
    ------
    ValueError
        Where one piece is so much thicker that the cut of the thinner one would lean the other
        way: ``t2/t1`` below ``cos(fold)``.

    Notes
    -----
    ``tan(bevel_a) = (t_b/t_a - cos fold)/sin fold``: the cut runs from the corner of the outer
    faces to that of the inner faces. At a ridge the inside is set back, in a valley the outside.

    Examples
    --------
    >>> one, two = bevels_for_fold(fold=np.pi / 2, thickness_a=10, thickness_b=10)
    >>> print(np.degrees([one, two]).round(1))
    [45. 45.]
    >>> one, two = bevels_for_fold(fold=np.pi / 2, thickness_a=10, thickness_b=5)
    >>> print(np.degrees([one, two]).round(1))
    [26.6 63.4]
    """
    angle = finite(fold, "fold", "rad")
    bad = (angle < 0) | (angle >= np.pi)
    if bad.any():
        worst = float(angle[bad].flat[0])
        raise ValueError(
            "fold must be from 0 (flat) to below 180 deg, got "
            f"{np.degrees(worst):.4g} deg; in a valley give its size and set the outside back"
        )
    a, b = positive(thickness_a, "thickness_a"), positive(thickness_b, "thickness_b")
    together(fold=angle, thickness_a=a, thickness_b=b)
    angle, a, b = np.broadcast_arrays(angle, a, b)
    sine, cosine = np.sin(angle), np.cos(angle)
    flat = sine < 1e-12
    lean_a, lean_b = b / a - cosine, a / b - cosine
    bad_cut = (np.minimum(lean_a, lean_b) < -1e-12) & ~(flat & (a == b))
    if bad_cut.any():
        i = tuple(np.argwhere(bad_cut)[0])
        raise ValueError(
            f"at a fold of {np.degrees(angle[i]):.4g} deg pieces of {a[i]:g} and {b[i]:g} mm have "
            "no common cut: the thinner one would lean the other way. Glue the thinner edge "
            "square on the face of the thicker one, or take sheets nearer in thickness"
        )
    safe = np.where(flat, 1.0, sine)
    first = np.where(flat, 0.0, np.arctan(np.maximum(lean_a, 0.0) / safe))
    return np.asarray(first), np.asarray(np.where(flat, 0.0, angle - first))


def bevel_check(bevel: float, limit: Limit | None = None) -> Check:
    """A bevel against the steepest that can be cut by hand [rad]."""
    most = Limit.from_table("bevel_steepest") if limit is None else limit
    return Check("bevel", single(checked_bevel(bevel), "bevel"), most)
