"""Points in order along a curve: what is refused, which way they turn, where they cross."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import finite, one_of
from foamcalc.shape.plane import FULL_TURN, Floats

Side = Literal["left", "right"]
MOST_POINTS = 5000
_SMALLEST = 1e-6
"""Least size of a curve [mm]."""
_SAME = 1e-9
"""Distance, as a share of the size, below which two points are one."""
_BLOCK = 250
"""Pieces that are compared with all others at a time."""


class Crossing(NamedTuple):
    """Where a chain of straight pieces meets itself; pieces are counted from 0."""

    first: int
    second: int
    x: float
    y: float


def checked_points(points: ArrayLike, *, fewest: int, remedy: str, closed: bool) -> Floats:
    """Points as an array of shape (n, 2), each apart from the one before it."""
    try:
        xy = finite(points, "points")
    except ValueError as fault:
        raise ValueError(_which_point(points) or str(fault)) from None
    if xy.ndim != 2 or xy.shape[1] != 2:
        raise ValueError(
            f"points must be pairs of x and y, an array of shape (n, 2), got shape {xy.shape}"
        )
    if len(xy) > MOST_POINTS:
        raise ValueError(
            f"points must be at most {MOST_POINTS}, got {len(xy)}; leave out every second one"
        )
    if closed and len(xy) > fewest and (xy[0] == xy[-1]).all():
        xy = xy[:-1]
    if len(xy) < fewest:
        raise ValueError(f"points must be at least {fewest}, got {len(xy)}; {remedy}")
    if not np.abs(xy).max() < 1e9:
        raise ValueError(
            f"points must lie within 1e9 mm of the origin, got {np.abs(xy).max():g}; check the unit"
        )
    extent = float(np.ptp(xy, axis=0).max())
    if 0 < extent < _SMALLEST:
        raise ValueError(f"points must reach over {_SMALLEST:g} mm, got {extent:g}; check the unit")
    pieces = np.hypot(*steps(xy, closed).T)
    if pieces.min() <= _SAME * extent:
        i = int(np.argmin(pieces))
        raise ValueError(
            f"points {i + 1} and {(i + 1) % len(xy) + 1} are the same ({xy[i, 0]:g}, "
            f"{xy[i, 1]:g}); leave one of them out"
        )
    if not closed and (xy[0] == xy[-1]).all():
        raise ValueError(
            f"the first and the last point are the same ({xy[0, 0]:g}, {xy[0, 1]:g}); a curve "
            "that comes back to its start is given with closed=True"
        )
    return xy


def _which_point(points: ArrayLike) -> str:
    """The fault of the first pair that holds NaN or infinity; empty where there is no such pair."""
    try:
        xy = np.asarray(points, dtype=float)
    except (TypeError, ValueError):
        return ""
    if xy.ndim != 2 or xy.shape[1] != 2 or np.isfinite(xy).all():
        return ""
    i, j = np.argwhere(~np.isfinite(xy))[0]
    return f"{'xy'[j]} of point {i + 1} must be a finite length in mm, got {xy[i, j]}; measure it"


def steps(xy: Floats, closed: bool) -> Floats:
    """From each point to the next, shape (pieces, 2) [mm]."""
    return np.diff(xy, axis=0, append=xy[:1]) if closed else np.diff(xy, axis=0)


def bends(xy: Floats, closed: bool) -> Floats:
    """Change of direction at each point that has two neighbours [rad], positive to the left.

    On a closed chain the first belongs to the first point, on an open one to the second.
    """
    step = steps(xy, closed)
    before = np.roll(step, 1, axis=0) if closed else step[:-1]
    after = step if closed else step[1:]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.asarray(np.arctan2(cross, (before * after).sum(axis=1)))


def outside_sign(turning: float, closed: bool, outside: Side) -> float:
    """What turns a bend to the left into one that is positive where the outside is convex.

    A closed curve has its outside where it encloses nothing; an open one where the caller says.
    """
    side = one_of(outside, "outside", ("left", "right"))
    if closed:
        return 1.0 if turning > 0 else -1.0
    return 1.0 if side == "right" else -1.0


def crossing(xy: Floats, closed: bool) -> Crossing | None:
    """The first place where two pieces that are no neighbours meet, or None."""
    a, d = (xy if closed else xy[:-1]), steps(xy, closed)
    low, high, every = np.minimum(a, a + d), np.maximum(a, a + d), np.arange(len(a))
    for start in range(0, len(a), _BLOCK):
        i = every[start : start + _BLOCK, None]
        near = every > i + 1
        if closed:
            near &= ~((i == 0) & (every == len(a) - 1))  # the last piece is a neighbour too
        for axis in (0, 1):
            near &= (low[every, axis] <= high[i, axis]) & (high[every, axis] >= low[i, axis])
        first, second = np.nonzero(near)
        first += start
        met, share = _met(a[first], d[first], a[second], d[second])
        if met.any():
            k = int(np.argmax(met))
            x, y = a[first[k]] + share[k] * d[first[k]]
            return Crossing(int(first[k]), int(second[k]), float(x), float(y))
    return None


def _met(a: Floats, along: Floats, b: Floats, other: Floats) -> tuple[NDArray[np.bool_], Floats]:
    """Whether pieces that begin at a and b meet, and at which share of the first."""
    gap = b - a
    cross = along[:, 0] * other[:, 1] - along[:, 1] * other[:, 0]
    long, wide = np.hypot(*along.T), np.hypot(*other.T)
    lies = np.abs(cross) > 1e-12 * long * wide
    safe = np.where(lies, cross, 1.0)
    t = (gap[:, 0] * other[:, 1] - gap[:, 1] * other[:, 0]) / safe
    s = (gap[:, 0] * along[:, 1] - gap[:, 1] * along[:, 0]) / safe
    met = lies & (t >= 0) & (t <= 1) & (s >= 0) & (s <= 1)
    # Pieces in one direction meet if they lie on one line and overlap.
    off = np.abs(gap[:, 0] * along[:, 1] - gap[:, 1] * along[:, 0]) / long
    size = np.abs(a).max(axis=1, initial=0.0) + np.abs(b).max(axis=1, initial=0.0) + long
    begin = (gap * along).sum(axis=1) / long**2
    end = begin + (other * along).sum(axis=1) / long**2
    over = (np.maximum(begin, end) >= 0) & (np.minimum(begin, end) <= 1)
    met |= ~lies & (off <= 1e-12 * size) & over
    return met, np.clip(np.where(lies, t, begin), 0.0, 1.0)


def check_open_turn(turn: float, error: float = 0.0) -> None:
    """Raise ValueError for an open chain of points that makes more than a full turn."""
    if abs(turn) > FULL_TURN + max(1e-9, 2 * error):
        raise ValueError(
            f"the points make {np.degrees(abs(turn)):.0f} deg, more than a full turn (360 deg), "
            "on an open curve; give it in parts, or with closed=True if its ends meet"
        )
