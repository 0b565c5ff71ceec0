"""An edge as it is drawn: straight lines, Bezier curves and elliptical arcs, end to end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import finite, single
from foamcalc.shape.drawn_bends import tightest
from foamcalc.shape.drawn_chain import JOINS
from foamcalc.shape.drawn_near import Nearest, crossings, nearest
from foamcalc.shape.drawn_offset import parallel_length
from foamcalc.shape.drawn_runs import runs_of
from foamcalc.shape.drawn_way import Way
from foamcalc.shape.outline import Side
from foamcalc.shape.plane import FULL_TURN, Corner, Curve, Extreme, Floats, Run
from foamcalc.shape.segments import Segment
from foamcalc.shape.speed import Numbers, Points
from foamcalc.shape.track import Track


@dataclass(frozen=True, eq=False)
class Drawn(Curve):
    """Segments of a drawing, each beginning where the one before it ends.

    Parameters
    ----------
    segments : sequence of Bezier or EllipseArc
        In order along the way; at most 100 000. Those without length are left out.
    closed : bool
        Whether the last one ends where the first one begins.
    outside : {"left", "right"}
        Which side of the way is the outside, seen along the way with x to the right and y up. A
        closed curve finds it by itself, where it encloses nothing, and says it here.

    Raises
    ------
    ValueError
        For segments that do not meet within 1e-6 mm, with their numbers, counted from 1; for
        nothing but segments without length; for a closed curve that does not go round once.

    Notes
    -----
    Lengths are within 1e-9 of themselves, see `lengths`.

    Where the directions of two segments differ by 0.1 deg or more there is a corner; less is
    taken for rounding in the drawing, and is part of the turn only. A layer at the distance d
    takes a corner of turn a as in a `Polyline`: it goes round in an arc on the convex side, and
    on the hollow one it ends where the two parallel curves meet. Between straight lines it loses
    ``2 d tan(a/2)`` there, beside bends a little more or less.

    A place where a segment stands still and turns back (a cusp, or a way that doubles back on
    itself) is a corner of half a turn, to the other side than the curve bends beside it. The
    curvature is infinite at every corner, with the sign of its turn. It also grows beyond all
    bounds towards a cusp and towards the end of a cubic curve whose handle is drawn in; there
    it is infinite as well. A fold within the first degree of turning from such an end is not
    looked for, nor whether parts far apart along the curve run into each other or cross.

    Examples
    --------
    The side of a scute (invented): a straight foot, then an arch.

    >>> from foamcalc.shape.segments import Bezier
    >>> side = Drawn([
    ...     Bezier([(0, 0), (40, 0)]), Bezier([(40, 0), (60, 0), (80, 15), (80, 40)])
    ... ])
    >>> print(f"{side.length:.3f} mm, turns {np.degrees(side.turn):.0f} deg")
    103.044 mm, turns -90 deg
    >>> print(f"{side.part(40, side.length).length:.3f} mm of arch")
    63.044 mm of arch
    """

    segments: Sequence[Segment]
    closed: bool = False
    outside: Side = "left"
    dropped: int = field(init=False)
    """How many of the segments given were left out because they have no length."""
    _way: Way = field(init=False, repr=False)

    def __post_init__(self) -> None:
        way = Way.along(self.segments, self.closed, self.outside)
        object.__setattr__(self, "_way", way)
        object.__setattr__(self, "segments", way.segments)
        object.__setattr__(self, "dropped", way.dropped)
        object.__setattr__(self, "outside", "right" if way.sign > 0 else "left")

    @property
    def _track(self) -> Track:
        return self._way.track

    @property
    def length(self) -> float:
        """Length along the curve [mm]."""
        return self._track.length

    @property
    def turn(self) -> float:
        """Total turning between the ends [rad]; more than a full turn on a spiral."""
        if self.closed:
            return FULL_TURN
        return float(self._way.sign * self._track.turned[-1] + self._way.jumps.sum())

    @property
    def corners(self) -> tuple[Corner, ...]:
        """The corners, from the start on; that of a closed curve's start comes first, once."""
        return self._way.corners.listed(self.closed)

    @property
    def joints(self) -> tuple[float, ...]:
        """Places between the ends where the curvature is another before and behind [mm]."""
        return tuple(self._way.curvature_jumps.tolist())

    def _located(self, place: ArrayLike) -> tuple[Floats, tuple[Numbers, Floats]]:
        """Lengths along the curve, and segment and `t` of each in one row."""
        s = np.clip(self.on_curve(place), 0.0, self.length)
        return s, self._track.locate(s.ravel())

    def point(self, place: ArrayLike) -> Floats:
        """Points x and y [mm] at lengths along the curve; shape of `place` with 2 behind it."""
        s, at = self._located(place)
        return _pairs(self._track.batch.values(*at), s)

    def direction(self, place: ArrayLike) -> Floats:
        """Way of travel as x and y, of length 1; at a corner, that behind it."""
        s, at = self._located(place)
        return _pairs(self._track.batch.headed(*at), s)

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the curve; infinite at a corner.

        At a joint without a corner it is that of the segment that begins there.
        """
        s, at = self._located(place)
        smooth = self._way.sign * self._track.batch.curvature(*at).reshape(s.shape)
        corner = self._way.corners.curvature(s)
        return np.where(np.isinf(corner), corner, smooth)

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the curve; half of a corner at it."""
        s, _ = self._located(place)
        return self._way.smooth(s) + self._way.corners.turned(s)

    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place between two places along the curve [mm].

        A corner has infinite curvature, and so has an end of a segment that stands still there.
        """
        first, last = self.between(start, end)
        low, high = self._way.corners.extremes(first, last)
        smooth = tightest(self._track, first, last, self._way.sign)
        return low or smooth[0], high or smooth[1]

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
            Where the parallel curve would fold over itself within the run, or what lies between
            two corners is used up by them, with the place and the depth at which it is.
        """
        return parallel_length(self._way, finite(offset, "offset"), *self.between(start, end))

    def runs(self) -> tuple[Run, ...]:
        """The convex, straight and hollow runs, from the start to the end of the curve.

        Returns
        -------
        tuple of Run
            A straight line belongs to the corners at its ends, and changes half-way between a
            convex and a hollow one; without corners beside it, it is a run of its own. A corner
            between two runs that bend the other way is a run of no length. What turns by less
            than 0.1 deg is straight, what is straight for less than a thousandth of the length
            belongs to its neighbours.
        """
        return runs_of(self._way)

    def places_of(self, point: ArrayLike) -> tuple[Nearest, ...]:
        """All places that are nearest to a point.

        Parameters
        ----------
        point : array_like, shape (2,)
            x and y [mm].

        Returns
        -------
        tuple of Nearest
            One place, or several in order along the curve where the distances are the same to a
            thousand-millionth of the curve's length. The start of a closed curve stands for its
            end too. Where a whole arc is equally far away, some places on it are named.
        """
        place, distance = nearest(self._track, _point(point, "point"), 1e-9 * self.length)
        if self.closed:
            slack = 1e-6 * self.length
            end = (place > self.length - slack) & bool((place < slack).any())
            place, distance = place[~end], distance[~end]
        return tuple(Nearest(*pair) for pair in zip(place.tolist(), distance.tolist(), strict=True))

    def place_of(self, point: ArrayLike) -> Nearest:
        """The place nearest to a point, x and y [mm], and how far it is from there [mm].

        Of several that are equally near, the first along the curve; see `places_of`.
        """
        return self.places_of(point)[0]

    def crossed_by(self, start: ArrayLike, end: ArrayLike) -> tuple[float, ...]:
        """Places where a straight line crosses the curve.

        Parameters
        ----------
        start, end : array_like, shape (2,)
            Ends of the line, x and y [mm].

        Returns
        -------
        tuple of float
            Lengths along the curve [mm], in order. A line that begins or ends on the curve,
            within 1e-6 mm, crosses it there. One that only touches it does not, nor does one
            that runs along a straight part of it.
        """
        a, b = _point(start, "start"), _point(end, "end")
        if abs(b - a) <= JOINS:
            raise ValueError(
                f"start and end of the line must lie apart, got ({a.real:g}, {a.imag:g}) twice"
            )
        places = crossings(self._track, a, b, closed=self.closed, reach=JOINS)
        if self.closed and places.size and places[-1] >= self.length - JOINS:
            places = np.unique(np.append(0.0, places[:-1][places[:-1] > JOINS]))
        return tuple(places.tolist())

    def part(self, start: float, end: float) -> Drawn:
        """The part between two places, as an open curve.

        Parameters
        ----------
        start, end : float
            Lengths along the curve [mm], in this order. On a closed curve the part may run over
            the joint: then `end` lies below `start`.

        Returns
        -------
        Drawn
            With the same side as its outside. A corner at one of its ends is gone.

        Raises
        ------
        ValueError
            For places that are off the curve, the same, or not in order on an open one.
        """
        first, last = (single(self.on_curve(v), n) for v, n in ((start, "start"), (end, "end")))
        if self.closed and last < first:
            legs = [(first, self.length), (0.0, last)]
        else:
            legs = [self.between(first, last)]
        segments = [s for leg in legs for s in self._way.part(*leg)]
        return Drawn(segments, outside=self.outside)

    def reversed(self) -> Drawn:
        """The same curve from its end to its start, with its outside where it was."""
        turned = [s.reversed() for s in reversed(self.segments)]
        return Drawn(turned, self.closed, _OTHER[self.outside])

    def mirrored(self) -> Drawn:
        """The curve of the same piece turned over: x becomes -x.

        The way runs in the same order, so every place keeps its length along the curve. The
        outside changes from left to right, so what is convex stays convex.
        """
        over = [s.transformed([[-1, 0, 0], [0, 1, 0]]) for s in self.segments]
        return Drawn(over, self.closed, _OTHER[self.outside])


_OTHER: dict[Side, Side] = {"left": "right", "right": "left"}


def _pairs(values: Points, places: Floats) -> Floats:
    """Points x + iy as pairs, one for each place."""
    return np.stack([values.real, values.imag], axis=-1).reshape(*places.shape, 2)


def _point(value: ArrayLike, name: str) -> complex:
    """A point x, y as x + iy."""
    xy = finite(value, name)
    if xy.shape != (2,):
        raise ValueError(f"{name} must be one pair of x and y, got shape {xy.shape}")
    return complex(xy[0], xy[1])
