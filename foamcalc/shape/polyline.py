"""Straight pieces with corners between them: what a knife and a ruler make."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import finite, positive, single
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.corner_turns import Corners
from foamcalc.shape.outline import (
    Side,
    bends,
    check_open_turn,
    checked_points,
    crossing,
    outside_sign,
    steps,
)
from foamcalc.shape.plane import FULL_TURN, Corner, Curve, Extreme, Floats, Run, runs_between

_LEVEL = 1e-9
"""Turn below which a point is no corner [rad]."""
_DOUBLED = 1e-6
"""How near to half a turn a corner may come before the way doubles back on itself [rad]."""


@dataclass(frozen=True)
class Polyline(Curve):
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
    _at: Corners = field(init=False, repr=False, compare=False)

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
        turn = float(bent.sum())
        if not self.closed:
            check_open_turn(turn)
        sign = outside_sign(turn, self.closed, self.outside)
        inner = sign * bent
        # A turn for each joint; a closed curve has its first corner at both of its ends.
        turns = np.append(inner, inner[0]) if self.closed else np.concatenate([[0], inner, [0]])
        run = np.hypot(*steps(xy, self.closed).T)
        object.__setattr__(self, "points", tuple(tuple(p) for p in xy.tolist()))
        turns = np.where(np.abs(turns) < _LEVEL, 0.0, turns)
        at = Corners(np.concatenate([[0.0], np.cumsum(run)]), turns)
        object.__setattr__(self, "_at", at)

    @property
    def length(self) -> float:
        """Length along the curve [mm]."""
        return float(self._at.places[-1])

    @property
    def turn(self) -> float:
        """Total turning between the ends [rad]."""
        return FULL_TURN if self.closed else float(self._at.turns.sum())

    @property
    def corners(self) -> tuple[Corner, ...]:
        """The corners, from the start on; that of a closed curve's start comes first, once."""
        return self._at.listed(self.closed)

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the curve: 0, or infinite at a corner."""
        return self._at.curvature(self.on_curve(place))

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the curve; half of a corner at it."""
        return self._at.turned(self.on_curve(place))

    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The sharpest hollow and convex corner, of infinite curvature; 0 where there is none."""
        first, last = self.between(start, end)
        level = Extreme(0.0, (first + last) / 2)
        low, high = self._at.extremes(first, last)
        return low or level, high or level

    def length_at(
        self, offset: ArrayLike, *, start: float = 0.0, end: float | None = None
    ) -> Floats:
        """Length of the parallel curve, of all of it or between two places.

        Parameters
        ----------
        offset : array_like
            Distance to the outside [mm]; negative to the inside.
        start, end : float
            Where the run begins and ends, as lengths along the curve itself [mm].

        Returns
        -------
        ndarray
            Length [mm], of the shape of `offset`.

        Raises
        ------
        ValueError
            Where a piece is used up by its corners, with the place and the depth at which it is.
        """
        distance = finite(offset, "offset")
        first, last = self.between(start, end)
        weight, turns = self._at.weights(first, last), self._at.turns
        tight = 2 * np.tan(turns / 2)
        gain = []
        for side in (1.0, -1.0):
            self._check_fold(side, float((side * distance).max()), first, last)
            gain.append(float(weight @ np.where(side * turns > 0, turns, tight)))
        return (last - first) + distance * np.where(distance > 0, *gain)

    def _check_fold(self, side: float, depth: float, first: float, last: float) -> None:
        """Raise ValueError if a piece of a run is used up within `depth` to one side."""
        if depth <= 0:
            return
        ends, turns = np.clip(self._at.places, first, last), self._at.turns
        piece = np.diff(ends)
        within = self._at.weights(first, last) > 0
        lost = np.where(within & (side * turns < 0), np.tan(np.abs(turns) / 2), 0.0)
        rate = lost[:-1] + lost[1:]
        used = (piece > 1e-9 * self.length) & (piece - depth * rate <= 1e-12 * piece)
        if used.any():
            most = np.where(used, piece / np.where(used, rate, 1.0), np.inf)
            i = int(np.argmin(most))
            raise ValueError(
                f"an offset of {side * depth:g} mm folds the layer over itself: the straight piece "
                f"from {ends[i]:.1f} to {ends[i + 1]:.1f} mm along the curve is used up by its "
                f"corners at a depth of {most[i]:.2f} mm; use an offset below that or an easier "
                "curve"
            )

    def runs(self) -> tuple[Run, ...]:
        """The convex and hollow runs: corners that bend the same way, one after the other.

        Returns
        -------
        tuple of Run
            Between a convex corner and a hollow one the run changes half-way. Without any
            corner the whole curve is one straight run.
        """
        at = np.flatnonzero(self._at.turns)
        swap = np.flatnonzero(np.sign(self._at.turns[at[1:]]) != np.sign(self._at.turns[at[:-1]]))
        middle = (self._at.places[at[swap]] + self._at.places[at[swap + 1]]) / 2
        edges = np.array([0.0, *middle, self.length])
        turns = np.diff(self.heading(edges))
        return runs_between(edges, turns)

    def rounded(self, radius: float) -> Arcs:
        """The same way with every corner rounded.

        Parameters
        ----------
        radius : float
            Radius of the curve at its corners [mm], above 0.

        Returns
        -------
        Arcs
            A closed curve sets out from the middle of its first corner.

        Raises
        ------
        ValueError
            If a piece is too short for the roundings at its ends.

        Examples
        --------
        >>> bent = Polyline([(0, 0), (0, 50), (80, 50)]).rounded(10)
        >>> print(f"{bent.length:.3f} mm, {np.degrees(bent.turn):.0f} deg")
        125.708 mm, 90 deg
        """
        r = single(positive(radius, "radius"), "radius")
        cut = np.tan(np.abs(self._at.turns) / 2)
        both, piece = cut[:-1] + cut[1:], np.diff(self._at.places)
        left = piece - r * both
        if (left < -1e-9 * piece).any():
            most = np.where(both > 0, piece / np.where(both > 0, both, 1.0), np.inf)
            i = int(np.argmin(most))
            raise ValueError(
                f"radius must be at most {most[i]:.4g} mm, got {r:g}: the straight piece from "
                f"{self._at.places[i]:.1f} to {self._at.places[i + 1]:.1f} mm along the curve is "
                "used up by the roundings at its ends"
            )
        share = np.ones(cut.size)
        if self.closed:
            share[[0, -1]] = 0.5
        turns = np.zeros(2 * cut.size - 1)
        lengths = turns.copy()
        turns[::2] = share * self._at.turns
        lengths[::2], lengths[1::2] = np.abs(turns[::2]) * r, left
        kept = lengths > 1e-9 * self.length
        return Arcs(lengths[kept], turns[kept], closed=self.closed)
