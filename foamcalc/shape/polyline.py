"""Straight pieces with corners between them: what a knife and a ruler make."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import positive, single
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.drawn import Chain
from foamcalc.shape.outline import (
    Side,
    bends,
    check_open_turn,
    checked_points,
    crossing,
)
from foamcalc.shape.segments import Bezier

_DOUBLED = 1e-6
"""How near to half a turn a corner may come before the way doubles back on itself [rad]."""


@dataclass(frozen=True)
class Polyline(Chain):
    """Straight pieces from point to point.

    Parameters
    ----------
    points : array_like, shape (n, 2)
        Corners and ends, x and y [mm], in order along the curve; 2 or more, at most 5000.
    closed : bool
        Whether the last point is joined to the first. A first point repeated at the end is
        dropped.
    outside : {"left", "right"}
        Which side of the way is the outside, seen along the order of the points with x to the
        right and y up. A closed curve finds it by itself: where it encloses nothing.

    Raises
    ------
    ValueError
        For points that are not finite, two that are the same, a way that doubles back or
        crosses itself, or more than a full turn on an open curve; with the number of the point,
        counted from 1.

    Notes
    -----
    A layer at the distance d goes round a convex corner of turn a in an arc and gets ``d a``
    longer; in a hollow corner it loses ``2 d tan(a/2)``, for it meets itself before the corner.
    On the inside (d below 0) the two change places. A piece that is used up by the corners at
    its two ends is a fold. Whether parts that are far apart along the curve run into each other
    is not looked at.

    A corner at the very end of a run counts half: two layers that meet there share it. So do
    `heading`, and the first corner of a closed curve, which lies at its start and its end. The
    curvature is 0 on a piece and infinite at a corner.

    Examples
    --------
    >>> square = Polyline([(0, 0), (100, 0), (100, 100), (0, 100)], closed=True)
    >>> print(f"{square.length_at(10) - square.length:.3f}, {square.length_at(-10):.3f}")
    62.832, 320.000
    """

    points: ArrayLike
    closed: bool = False
    outside: Side = "left"
    _smallest: ClassVar[float] = 1e-9

    def __post_init__(self) -> None:
        fewest = 3 if self.closed else 2
        xy = checked_points(
            self.points,
            fewest=fewest,
            remedy="a closed curve has three corners or more" if self.closed else "give both ends",
            closed=self.closed,
        )
        bent = bends(xy, self.closed)
        doubled = np.flatnonzero(np.abs(bent) > np.pi - _DOUBLED)
        if doubled.size:
            i = doubled[0] + (0 if self.closed else 1)
            raise ValueError(
                f"the way doubles back on itself at point {i + 1} ({xy[i, 0]:g}, {xy[i, 1]:g}); "
                "put the points in order along the curve"
            )
        met = crossing(xy, self.closed)
        if met is not None:
            raise ValueError(
                f"the curve crosses itself at ({met.x:g}, {met.y:g}): the piece after point "
                f"{met.first + 1} meets the piece after point {met.second + 1}; put the points "
                "in order along the curve"
            )
        if not self.closed:
            check_open_turn(float(bent.sum()))
        side = self.outside
        ends = np.append(xy, xy[:1], axis=0) if self.closed else xy
        self._follow([Bezier(np.array(pair)) for pair in pairwise(ends)])
        object.__setattr__(self, "points", tuple(tuple(p) for p in xy.tolist()))
        object.__setattr__(self, "outside", side)

    def rounded(self, radius: float) -> Arcs:
        """The same way with every corner rounded."""
        r = single(positive(radius, "radius"), "radius")
        cut = np.tan(np.abs(self._jumps) / 2)
        both, joints = cut[:-1] + cut[1:], self._track.joints
        piece = np.diff(joints)
        left = piece - r * both
        if (left < -1e-9 * piece).any():
            most = np.where(both > 0, piece / np.where(both > 0, both, 1.0), np.inf)
            i = int(np.argmin(most))
            raise ValueError(
                f"radius must be at most {most[i]:.4g} mm, got {r:g}: the straight piece from "
                f"{joints[i]:.1f} to {joints[i + 1]:.1f} mm along the curve is used up by "
                "the roundings at its ends"
            )
        share = np.ones(cut.size)
        if self.closed:
            share[[0, -1]] = 0.5
        turns = np.zeros(2 * cut.size - 1)
        lengths = turns.copy()
        turns[::2] = share * self._jumps
        lengths[::2], lengths[1::2] = np.abs(turns[::2]) * r, left
        kept = lengths > 1e-9 * self.length
        return Arcs(lengths[kept], turns[kept], closed=self.closed)
