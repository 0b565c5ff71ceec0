"""The pieces that drawn edges are made of: straight lines, Bezier curves and elliptical arcs."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import TypeGuard

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import finite, fraction, single
from foamcalc.shape.plane import FULL_TURN, Floats

FARTHEST = 1e9
"""How far from the origin a drawing may reach [mm]."""
PACKED = 9
"""Numbers that a packed segment has."""
_NAMES = {2: "straight line", 3: "quadratic Bezier curve", 4: "cubic Bezier curve"}


@dataclass(frozen=True, eq=False, slots=True)
class Bezier:
    """A straight line or a Bezier curve.

    Parameters
    ----------
    points : array_like, shape (2, 2), (3, 2) or (4, 2)
        Control points, x and y [mm], within 1e9 mm of the origin: 2 for a straight line, 3 for a
        quadratic curve, 4 for a cubic one.

    The way runs from the first point, at ``t = 0``, to the last, at ``t = 1``. It sets out
    towards the second point and comes in from the last but one. Two curves are equal only if
    they are one and the same.
    """

    points: Floats
    packed: bytes = field(init=False, repr=False)
    """Nine numbers in a row, so that thousands of segments are put side by side in no time.

    How many points there are, the points, and zeros.
    """

    def __post_init__(self) -> None:
        xy = _checked(self.points, "points")
        if xy.ndim != 2 or xy.shape[1] != 2 or len(xy) not in _NAMES:
            known = ", ".join(f"{count} for a {name}" for count, name in _NAMES.items())
            raise ValueError(
                f"points must be pairs of x and y, {known}; got an array of shape {xy.shape}"
            )
        object.__setattr__(self, "points", _kept(xy))
        row = np.zeros(PACKED)
        row[0], row[1 : 1 + xy.size] = len(xy), xy.ravel()
        object.__setattr__(self, "packed", row.tobytes())

    def point(self, t: ArrayLike) -> Floats:
        """Points x and y [mm] at `t` from 0 to 1; shape of `t` with 2 behind it."""
        return _bernstein(self.points, t)

    def derivative(self, t: ArrayLike) -> Floats:
        """First derivative by `t` [mm] at `t` from 0 to 1; shape of `t` with 2 behind it."""
        return _bernstein((len(self.points) - 1) * np.diff(self.points, axis=0), t)

    def transformed(self, matrix: ArrayLike) -> Bezier:
        """The curve moved by a 2 x 3 affine matrix: ``x, y -> matrix @ (x, y, 1)``."""
        m = _affine(matrix)
        return Bezier(self.points @ m[:, :2].T + m[:, 2])

    def reversed(self) -> Bezier:
        """The same curve from its end to its start."""
        return Bezier(self.points[::-1])

    def cut(self, t0: float, t1: float) -> Bezier:
        """The part from `t0` to `t1`, both from 0 to 1, `t0` below `t1`."""
        first, last = _in_order(t0, t1)
        degree = len(self.points) - 1
        # Control points of a part: the blossom at as many t1 as the number of the point.
        points = [
            _blossom(self.points, [first] * (degree - i) + [last] * i) for i in range(degree + 1)
        ]
        return Bezier(np.array(points))


@dataclass(frozen=True, eq=False, slots=True)
class EllipseArc:
    """An arc of an ellipse: ``centre + u cos a + v sin a``, a from start to start + sweep.

    Parameters
    ----------
    centre : array_like, shape (2,)
        Middle of the ellipse, x and y [mm].
    u, v : array_like, shape (2,)
        Two half diameters [mm]: from the centre to the ellipse at a = 0 and at a quarter turn.
        They need not stand square to each other, nor be the longest and the shortest.
    start : float
        Where the arc begins [rad].
    sweep : float
        How far it goes [rad], at most a full turn either way; from `u` towards `v` where
        positive.

    `start` and `sweep` count along a circle that is stretched into the ellipse; on the ellipse
    itself they are angles only where `u` and `v` are equally long and square to each other. In
    this form an arc stays an arc under any affine map, mirrored and sheared ones included. A
    `u` in line with `v` gives a straight line that doubles back.
    """

    centre: Floats
    u: Floats
    v: Floats
    start: float
    sweep: float
    packed: bytes = field(init=False, repr=False)
    """See `Bezier`: 0, then centre, u, v, start and sweep."""

    def __post_init__(self) -> None:
        for name in ("centre", "u", "v"):
            xy = _checked(getattr(self, name), name)
            if xy.shape != (2,):
                raise ValueError(f"{name} must be one pair of x and y, got shape {xy.shape}")
            object.__setattr__(self, name, _kept(xy))
        for name in ("start", "sweep"):
            object.__setattr__(self, name, single(finite(getattr(self, name), name, "rad"), name))
        if abs(self.sweep) > FULL_TURN * (1 + 1e-12):
            raise ValueError(
                f"sweep must be at most a full turn (360 deg), got {np.degrees(self.sweep):g} deg"
            )
        row = [0.0, *self.centre, *self.u, *self.v, self.start, self.sweep]
        object.__setattr__(self, "packed", np.array(row).tobytes())

    def _turned(self, t: ArrayLike, quarters: int) -> Floats:
        """Derivative by the angle, `quarters` times over, seen from the centre."""
        a = self.start + self.sweep * fraction(t, "t")[..., None] + quarters * np.pi / 2
        return np.asarray(self.u * np.cos(a) + self.v * np.sin(a))

    def point(self, t: ArrayLike) -> Floats:
        """Points x and y [mm] at `t` from 0 to 1; shape of `t` with 2 behind it."""
        return self.centre + self._turned(t, 0)

    def derivative(self, t: ArrayLike) -> Floats:
        """First derivative by `t` [mm] at `t` from 0 to 1; shape of `t` with 2 behind it."""
        return self.sweep * self._turned(t, 1)

    def transformed(self, matrix: ArrayLike) -> EllipseArc:
        """The arc moved by a 2 x 3 affine matrix: ``x, y -> matrix @ (x, y, 1)``."""
        m = _affine(matrix)
        centre = m[:, :2] @ self.centre + m[:, 2]
        return EllipseArc(centre, m[:, :2] @ self.u, m[:, :2] @ self.v, self.start, self.sweep)

    def reversed(self) -> EllipseArc:
        """The same arc from its end to its start."""
        return EllipseArc(self.centre, self.u, self.v, self.start + self.sweep, -self.sweep)

    def cut(self, t0: float, t1: float) -> EllipseArc:
        """The part from `t0` to `t1`, both from 0 to 1, `t0` below `t1`."""
        first, last = _in_order(t0, t1)
        begin = self.start + first * self.sweep
        return EllipseArc(self.centre, self.u, self.v, begin, (last - first) * self.sweep)


Segment = Bezier | EllipseArc


def is_straight(segment: Segment) -> TypeGuard[Bezier]:
    """Whether a segment is drawn as a straight line, by its two ends alone."""
    return isinstance(segment, Bezier) and len(segment.points) == 2


def _checked(value: ArrayLike, name: str) -> Floats:
    """Finite numbers near enough to the origin to be a drawing."""
    xy = finite(value, name)
    if not np.abs(xy).max() < FARTHEST:
        raise ValueError(
            f"{name} must lie within {FARTHEST:g} mm of the origin, got {np.abs(xy).max():g}; "
            "check the unit"
        )
    return xy


def _kept(xy: Floats) -> Floats:
    """The same array, safe from being written into."""
    xy.setflags(write=False)
    return xy


def _bernstein(points: Floats, t: ArrayLike) -> Floats:
    """Point of a Bezier curve by de Casteljau's steps; its ends are met exactly."""
    share = fraction(t, "t")[..., None]
    level = list(points)
    while len(level) > 1:
        level = [(1 - share) * a + share * b for a, b in pairwise(level)]
    return np.asarray(level[0] + np.zeros_like(share))


def _blossom(points: Floats, shares: list[float]) -> Floats:
    """De Casteljau's steps with a share of its own for each step."""
    level = points
    for share in shares:
        level = (1 - share) * level[:-1] + share * level[1:]
    return np.asarray(level[0])


def _affine(matrix: ArrayLike) -> Floats:
    """A 2 x 3 affine matrix."""
    m = finite(matrix, "matrix", "1")
    if m.shape != (2, 3):
        raise ValueError(f"matrix must be of shape (2, 3), got {m.shape}")
    return m


def _in_order(t0: float, t1: float) -> tuple[float, float]:
    """Start and end of a part, from 0 to 1."""
    first, last = single(fraction(t0, "t0"), "t0"), single(fraction(t1, "t1"), "t1")
    if not first < last:
        raise ValueError(f"t0 must be below t1, got t0 {first:g} and t1 {last:g}")
    return first, last
