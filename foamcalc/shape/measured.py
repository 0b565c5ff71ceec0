"""A smooth curve from measured points: a contour gauge, a traced outline, a ruler on paper."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import non_negative, single
from foamcalc.shape.outline import (
    Side,
    bends,
    check_open_turn,
    checked_points,
    crossing,
    outside_sign,
    steps,
)
from foamcalc.shape.plane import FULL_TURN, Curve, Extreme, Floats, Run
from foamcalc.shape.profile import Profile
from foamcalc.shape.smoothing import Smooth, grouped, scatter, smooth
from foamcalc.shape.through import Through

_FEWEST = 8
_CLEAR = 5
"""Groups of points that must stand clear of each other."""
_STRAY = 6.0
"""Standard errors from the curve past which a point is taken for a slip."""
_THOUSAND = float(np.log(1000))
"""How much better another noise must explain the points before the stated one is refused."""
_FINEST = 1e-6
"""The least noise, as a share of the size; below it, it is nothing."""
_LOOKS = 1024


@dataclass(frozen=True)
class MeasuredCurve(Curve):
    """The smooth curve behind points that were measured with some noise.

    Parameters
    ----------
    points : array_like, shape (n, 2)
        x and y of each point [mm], in order along the curve; 8 to 5000.
    noise : float
        Standard error of each point, in each direction [mm]: about two thirds of the readings
        are nearer than that. 0 takes the points as exact and goes through every one.
    closed : bool
        Whether the last point is joined to the first. A first point repeated at the end is
        dropped.
    outside : {"left", "right"}
        Which side of the way is the outside, seen along the order of the points with x to the
        right and y up. A closed curve finds it by itself: where it encloses nothing.

    Raises
    ------
    ValueError
        For too few points, two that are the same, points that are not finite, not in order, or
        far off the curve through the others; for a curve that crosses itself, or an open one
        that makes more than a full turn; for noise that leaves no curve to be seen, or that a
        larger one explains a thousand times better. Points are counted from 1.

    Notes
    -----
    The curvature is a cubic spline with one piece for each point (100 at most). It keeps as near
    to the points as their noise asks (squares of the distances to the curve over the noise), and
    swings as little as it can (square of the second derivative of the curvature, which an arc
    has none of). How dear a swing is, the points decide: all prices are tried, each counts as
    much as it explains the points (its marginal likelihood), and the curve and its standard
    errors are the mean over them. The first and the last 15 in 100 of the length may swing ten
    times more freely, for shells are often flared at the rim; whether they do, the points decide
    likewise. The end directions are the weakest part. Neither a lip within the last three or four
    points nor a bend tighter than the distance between points is seen, and the standard errors
    do not count them: measure closer together there. Corners belong in a `Polyline`. Where
    the curvature jumps, as where an arc runs straight into another, the curve smooths the jump over
    and the turn near there may be off by several standard errors.

    With noise 0 the curve is a cubic spline over the chords and the standard errors are 0: they
    say nothing of what the curve does between the points.

    Examples
    --------
    Twenty points on half a circle of radius 50, read to half a millimetre (invented):

    >>> angle = np.linspace(np.pi, 0, 20)
    >>> reading = 50 * np.column_stack([np.cos(angle), np.sin(angle)])
    >>> curve = MeasuredCurve(np.round(2 * reading) / 2, 0.3)
    >>> print(f"length {curve.length:.1f} ± {2 * curve.length_error:.1f} mm")
    length 157.5 ± 0.9 mm
    >>> print(f"turn {np.degrees(curve.turn):.0f} ± {2 * np.degrees(curve.turn_error):.0f} deg")
    turn 180 ± 2 deg
    """

    points: ArrayLike
    noise: float
    closed: bool = False
    outside: Side = "left"
    _way: Smooth | Through = field(init=False, repr=False, compare=False)
    _mirrored: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        noise = single(non_negative(self.noise, "noise"), "noise")
        xy = checked_points(
            self.points,
            fewest=_FEWEST,
            remedy="for a smooth curve measure more; three points make an arc only: its chord and "
            "rise go into Arc.from_chord",
            closed=self.closed,
        )
        object.__setattr__(self, "points", tuple(tuple(p) for p in xy.tolist()))
        object.__setattr__(self, "noise", noise)
        turning = _checked_order(xy, noise, self.closed)
        # Seen so that the outside lies to the left of the way, as everywhere in this room.
        mirrored = -outside_sign(turning, self.closed, self.outside)
        object.__setattr__(self, "_mirrored", mirrored)
        seen = xy * [1.0, mirrored]
        if noise == 0:
            object.__setattr__(self, "_way", Through(seen, self.closed))
        else:
            object.__setattr__(self, "_way", _fitted(seen, noise, self.closed))
        self._check_way(xy)

    def _check_way(self, xy: Floats) -> None:
        """Raise ValueError for a curve that crosses itself or turns too far."""
        drawn = self.profile(max(240, min(2 * len(xy), 2000)))
        track = np.column_stack([drawn.x, drawn.y])
        met = crossing(track[:-1] if self.closed else track, self.closed)
        if met is not None:
            at = [self.length * i / (len(track) - 1) for i in (met.first, met.second)]
            near = [int(np.argmin(np.abs(self._way.stations - place))) + 1 for place in at]
            loop = abs(near[1] - near[0]) <= 2
            remedy = "measure them again" if loop else "put the points in order along the curve"
            raise ValueError(
                f"the curve crosses itself at ({met.x:.1f}, {self._mirrored * met.y:.1f}): "
                f"{at[0]:.0f} and {at[1]:.0f} mm along it, near points {near[0]} and "
                f"{near[1] + (near[0] == near[1])}; {remedy}"
            )
        if not self.closed:
            check_open_turn(self.turn, self.turn_error)

    @property
    def length(self) -> float:
        """Length along the curve [mm]."""
        return self._way.length

    @property
    def length_error(self) -> float:
        """Standard error of the length [mm]."""
        return self._way.length_error

    @property
    def turn(self) -> float:
        """Total turning between the ends [rad]."""
        return FULL_TURN if self.closed else float(self.heading(self.length))

    @property
    def turn_error(self) -> float:
        """Standard error of the turn [rad]; none where the curve is closed."""
        return 0.0 if self.closed else self.turn_error_between()

    def turn_error_between(self, start: float = 0.0, end: float | None = None) -> float:
        """Standard error of the turn between two places along the curve [rad]."""
        return self._way.turn_error(*self.between(start, end))

    @property
    def residual(self) -> float:
        """Distance of the points from the curve, root of the mean square [mm]."""
        return float(np.sqrt(np.mean(self._way.residuals**2)))

    @property
    def size(self) -> tuple[float, float]:
        """How wide and how high the points lie [mm], to be compared with the thing itself."""
        wide, high = np.ptp(np.asarray(self.points), axis=0)
        return float(wide), float(high)

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the curve."""
        return -self._way.curvature(self.on_curve(place))

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the curve."""
        return np.asarray(self._first_direction - self._way.heading(self.on_curve(place)))

    @cached_property
    def _first_direction(self) -> float:
        return float(self._way.heading(np.zeros(1))[0])

    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place between two places along the curve [mm]."""
        first, last = self.between(start, end)
        places = np.linspace(first, last, max(_LOOKS, 4 * len(np.asarray(self.points))) + 1)
        k = self.curvature(places)
        low, high = (Extreme(float(k[i]), float(places[i])) for i in (k.argmin(), k.argmax()))
        return low, high

    def runs(self) -> tuple[Run, ...]:
        """The convex, straight and hollow runs that can be told from the noise.

        Returns
        -------
        tuple of Run
            A run whose turn is below twice its standard error is joined to the runs beside it.
            If nothing else is left, the curve is one straight run of turn 0.
        """
        return self._runs

    @cached_property
    def _runs(self) -> tuple[Run, ...]:
        edges = [0.0, *(run.end for run in super().runs())]
        while True:
            pairs = list(pairwise(edges))
            turn = np.diff(self.heading(edges))
            error = np.array([self.turn_error_between(*pair) for pair in pairs])
            doubt = np.abs(turn) - 2 * error
            worst = int(np.argmin(np.where(doubt < 0, np.abs(turn), np.inf)))
            if doubt[worst] >= 0:
                break
            if len(pairs) == 1:
                return (Run(0.0, self.length, 0.0),)
            edges = [
                at
                for i, at in enumerate(edges)
                if i in (0, len(pairs)) or i not in (worst, worst + 1)
            ]
        return tuple(Run(*pair, float(t)) for pair, t in zip(pairs, turn, strict=True))

    def profile(self, count: int = 120) -> Profile:
        """Points along the curve, evenly spaced.

        Parameters
        ----------
        count : int
            Steps between the points, 1 or more.

        Returns
        -------
        Profile
            With ``count + 1`` points [mm], where they were measured; mirrored in the x axis if
            the outside lay to the right, for a profile is travelled with it on the left.
        """
        if isinstance(count, bool) or count != int(count) or count < 1:
            raise ValueError(f"count must be a whole number, 1 or more, got {count!r}")
        places = np.linspace(0.0, self.length, count + 1)
        x, y = self._way.place(places).T
        return Profile(x, y, self._way.heading(places))


def _checked_order(xy: Floats, noise: float, closed: bool) -> float:
    """Turning to the left of points that follow each other along a curve [rad]."""
    size = float(np.ptp(xy, axis=0).max())
    if 0 < noise < _FINEST * size:
        raise ValueError(
            f"noise must be 0, or at least a millionth of the size of the curve ({_FINEST * size:g}"
            f" mm), got {noise:g}"
        )
    middle, number, many = grouped(xy, noise, closed)
    if len(middle) < _CLEAR:
        raise ValueError(
            f"noise must leave a curve to be seen: at {noise:g} mm only {len(middle)} groups of "
            f"the {len(xy)} points, {size:.4g} mm across, stand clear of each other, and "
            f"{_CLEAR} are needed; measure more points, or measure them better"
        )
    bend, step = bends(middle, closed), 1 / np.hypot(*steps(middle, closed).T)
    before, after = (np.roll(step, 1), step) if closed else (step[:-1], step[1:])
    own = slice(None) if closed else slice(1, -1)
    doubt = noise * np.sqrt((before + after) ** 2 + before**2 + after**2) / np.sqrt(many[own])
    back = np.abs(bend) - 4 * doubt - np.pi / 2
    if (back > 0).any():
        i = int(np.argmax(back))
        at = round(float(number[own][i])) + 1
        x, y = middle[own][i]
        raise ValueError(
            f"the way turns back by {np.degrees(abs(bend[i])):.0f} deg at point {at} ({x:.4g}, "
            f"{y:.4g}); put the points in order along the curve, or measure closer together there"
        )
    turning = float(bend.sum())
    if closed and not np.isclose(abs(turning), FULL_TURN, atol=1e-6):
        raise ValueError(
            "the points of a closed curve go round once, got "
            f"{abs(turning) / FULL_TURN:.0f} times; put them in order along the curve, without a "
            "loop"
        )
    return turning


def _fitted(seen: Floats, noise: float, closed: bool) -> Smooth:
    """The curve behind the points; ValueError if a point lies far off it."""
    try:
        way = smooth(seen, noise, closed)
        sound = bool(np.isfinite(way.state).all() and np.isfinite(way.covariance).all())
    except np.linalg.LinAlgError:
        sound = False
    if not sound:
        raise ValueError(
            "no smooth curve was found behind the points; put them in order along the curve, and "
            f"check the noise, {noise:g} mm"
        )
    rough = scatter(seen, closed)
    doubtful = rough > 2 * noise and len(grouped(seen, rough, closed)[0]) >= _CLEAR
    if doubtful and smooth(seen, rough, closed).credit - way.credit > _THOUSAND:
        raise ValueError(
            f"the points scatter by about {rough:.2g} mm round any smooth curve, but the noise is "
            f"given as {noise:g} mm; state the noise that the readings have, or measure closer "
            "together where the bends are tight"
        )
    off = np.abs(way.residuals)
    if off.max() > _STRAY * noise:
        i = int(np.argmax(off))
        raise ValueError(
            f"point {i + 1} lies {off[i]:.3g} mm off the smooth curve through the others, "
            f"{off[i] / noise:.0f} times the noise of {noise:g} mm; measure it again, or state a "
            "larger noise; a corner belongs in a Polyline"
        )
    return way
