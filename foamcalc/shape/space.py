"""A seam as a line in space, given by points close together."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import finite
from foamcalc.shape.outline import MOST_POINTS
from foamcalc.shape.plane import Floats, checked_place

_FEWEST = 8
_SHARPEST = np.pi / 3
"""Most that the way may turn from one point to the next [rad]."""
_REFITS = 3
_NODES, _SHARES = np.polynomial.legendre.leggauss(6)


@dataclass(frozen=True)
class SpaceCurve:
    """The smooth line through points in space.

    Parameters
    ----------
    points : array_like, shape (n, 3)
        x, y and z of each point [mm], in order along the line; 8 to 5000.
    closed : bool
        Whether the last point is joined to the first. A first point repeated at the end is
        dropped.

    Raises
    ------
    ValueError
        For too few points, two in a row that are the same, points that are not finite, or a
        way that turns by more than 60 deg from one point to the next.

    Notes
    -----
    A spline of the fifth degree over the length of the line; the length is worked out again from
    the spline three times, so that points may be spaced unevenly. It goes through every point.
    With 24 points on a circle the curvature is right to 1e-4, with 48 to 1e-5; at open ends about
    twenty times less. Measured points are too rough: an error e of points that are h apart
    spoils the curvature by up to 15 e/h**2, near open ends by 100 e/h**2.

    Examples
    --------
    A helix of radius 30 that climbs 40 mm for each radian:

    >>> t = np.linspace(0, 3, 40)
    >>> line = SpaceCurve(np.column_stack([30 * np.cos(t), 30 * np.sin(t), 40 * t]))
    >>> print(f"{line.length:.4f} {line.curvature(75):.6f} {line.torsion(75):.6f}")
    150.0000 0.012000 0.016000
    """

    points: ArrayLike
    closed: bool = False
    _spline: Any = field(init=False, repr=False, compare=False)
    _along: Floats = field(init=False, repr=False, compare=False)
    """Length along the line at each point [mm]: what the spline runs over."""

    def __post_init__(self) -> None:
        from scipy.interpolate import make_interp_spline

        xyz = _checked(self.points, self.closed)
        object.__setattr__(self, "points", tuple(tuple(p) for p in xyz.tolist()))
        if self.closed:
            xyz = np.vstack([xyz, xyz[:1]])
        ends = "periodic" if self.closed else None
        along = np.append(0.0, np.cumsum(np.linalg.norm(np.diff(xyz, axis=0), axis=1)))
        for _ in range(_REFITS + 1):
            spline = make_interp_spline(along, xyz, k=5, bc_type=ends)
            width = np.diff(along)[:, None]
            speed = np.linalg.norm(spline(along[:-1, None] + width * (_NODES + 1) / 2, 1), axis=-1)
            before, along = along, np.append(0.0, np.cumsum((speed * width * _SHARES / 2).sum(1)))
        object.__setattr__(self, "_spline", spline)
        object.__setattr__(self, "_along", before)

    @property
    def length(self) -> float:
        """Length along the line [mm]."""
        return float(self._along[-1])

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm], 0 or more, at lengths along the line [mm]."""
        first, second = (self._spline(self._on_line(place), k) for k in (1, 2))
        across = np.linalg.norm(np.cross(first, second), axis=-1)
        return np.asarray(across / np.linalg.norm(first, axis=-1) ** 3)

    def torsion(self, place: ArrayLike) -> Floats:
        """How fast the line leaves the plane it bends in [1/mm], at lengths along it [mm].

        Above 0 for a right-handed screw. Raises ValueError where the line is straight.
        """
        s = self._on_line(place)
        first, second, third = (self._spline(s, k) for k in (1, 2, 3))
        across = np.cross(first, second)
        square = (across**2).sum(axis=-1)
        straight = np.sqrt(square) * self.length < 1e-6
        if straight.any():
            raise ValueError(
                f"torsion has no meaning where the line is straight: {float(s[straight][0]):.1f} "
                "mm along"
            )
        return np.asarray((across * third).sum(axis=-1) / square)

    def _on_line(self, place: ArrayLike) -> Floats:
        """Lengths along the line [mm]; ValueError off the line."""
        return np.clip(checked_place(place, self.length, "line"), 0.0, self.length)


def _checked(points: ArrayLike, closed: bool) -> Floats:
    """Points as an array of shape (n, 3), in order along a smooth line."""
    xyz = finite(points, "points")
    if xyz.ndim != 2 or xyz.shape[1] != 3:
        raise ValueError(
            f"points must be x, y and z, an array of shape (n, 3), got shape {xyz.shape}"
        )
    if closed and (xyz[0] == xyz[-1]).all():
        xyz = xyz[:-1]
    if not _FEWEST <= len(xyz) <= MOST_POINTS:
        raise ValueError(f"points must be {_FEWEST} to {MOST_POINTS}, got {len(xyz)}")
    step = np.diff(xyz, axis=0, append=xyz[:1]) if closed else np.diff(xyz, axis=0)
    long = np.linalg.norm(step, axis=1)
    if long.min() <= 1e-9 * long.max():
        i = int(np.argmin(long))
        raise ValueError(f"points {i + 1} and {(i + 1) % len(xyz) + 1} are the same; leave one out")
    before = np.roll(step, 1, axis=0) if closed else step[:-1]
    after = step if closed else step[1:]
    across = np.linalg.norm(np.cross(before, after), axis=1)
    bend = np.arctan2(across, (before * after).sum(axis=1))
    if bend.max() > _SHARPEST:
        i = int(np.argmax(bend)) + (0 if closed else 1)
        raise ValueError(
            f"the line turns by {np.degrees(bend.max()):.0f} deg at point {i + 1}, and 60 is the "
            "most from one point to the next; put the points closer together, or give the line "
            "in two parts if that is a corner"
        )
    return xyz
