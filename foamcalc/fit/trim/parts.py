"""An edge as a trim meets it: parts without a corner, and what is summed up along them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import finite
from foamcalc.shape.plane import Curve, Extreme, Floats
from foamcalc.shape.travel import travel

_PANELS = 128
_NODES, _SHARES = np.polynomial.legendre.leggauss(6)
_BESIDE = 1e-7
"""How far from a corner its part is looked at, as a share of the curve's length."""
_LOOKS = 1024
"""Steps in which a part is searched for its tight runs."""
_EVEN = 1e-9
"""Change of the curvature, as a share of it, below which a curve is a piece of a circle."""


_SHORTEST, _FARTHEST = 0.01, 1e6
"""Lengths at a bench [mm]: assumed; what lies outside is a slip of the unit."""


def within_reason(**lengths: float) -> None:
    """Raise ValueError for a length that no edge and no strip has [mm]; 0 is left to others."""
    for name, value in lengths.items():
        if value and not _SHORTEST <= value <= _FARTHEST:
            raise ValueError(
                f"{name.replace('_', ' ')} must be from 0.01 mm to 1 km, got {value:.4g} mm; check "
                "the unit"
            )


@dataclass(frozen=True)
class Part:
    """A stretch of an edge from one corner to the next, or all of it where there are none."""

    curve: Curve
    start: float
    """Where it begins, as a length along the edge [mm]."""
    end: float
    """Where it ends [mm]; past the length of a closed edge where it runs over its joint."""
    before: float = 0.0
    """Turn of the corner at its start [rad]; 0 where there is none."""
    after: float = 0.0
    """Turn of the corner at its end [rad]."""

    @property
    def length(self) -> float:
        """Length along the edge [mm]."""
        return self.end - self.start

    @property
    def turn(self) -> float:
        """Turning between its corners, without them [rad]."""
        ends = self.heading([self.start, self.end])
        return float(ends[1] - ends[0]) - (self.before + self.after) / 2

    @property
    def ring(self) -> bool:
        """Whether it is a whole closed edge without a corner."""
        return self.curve.closed and not self.curve.corners

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start of the edge [rad]; half of a corner at it."""
        s = np.asarray(place, dtype=float)
        over = s > self.curve.length * (1 + 1e-12)
        wrapped = np.where(over, s - self.curve.length, s)
        return self.curve.heading(wrapped) + np.where(over, self.curve.turn, 0.0)

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature of the edge [1/mm]."""
        s = np.asarray(place, dtype=float)
        return self.curve.curvature(np.where(s > self.curve.length, s - self.curve.length, s))

    def way(self, place: ArrayLike) -> tuple[Floats, Floats]:
        """How far the edge has gone since its start, ahead and aside, as `travel` has it [mm]."""
        s, length = np.asarray(place, dtype=float), self.curve.length
        over = s > length * (1 + 1e-12)
        ahead, aside = travel(self.curve, np.where(over, s - length, s))
        round_once = travel(self.curve, length)
        return ahead + np.where(over, round_once[0], 0), aside + np.where(over, round_once[1], 0)

    @property
    def spans(self) -> tuple[tuple[float, float], ...]:
        """Itself as pieces from a lower to a higher place of the edge [mm]."""
        whole = self.curve.length
        ends = (self.start, min(self.end, whole)), (0.0, self.end - whole)
        return tuple((a, b) for a, b in ends if b - a > 1e-9 * whole)

    def length_at(self, offset: float) -> float:
        """Length of the parallel curve at an offset, with half of what the corners take [mm]."""
        return sum(float(self.curve.length_at(offset, start=a, end=b)) for a, b in self.spans)

    def between(self, start: float, end: float) -> Part:
        """The part of it between two of its places [mm]."""
        slack = 1e-9 * self.curve.length
        return Part(
            self.curve,
            start,
            end,
            self.before if start <= self.start + slack else 0.0,
            self.after if end >= self.end - slack else 0.0,
        )

    def extremes(self) -> tuple[Extreme, Extreme]:
        """Its most hollow and its most convex place, the corners at its ends left out."""
        beside = _BESIDE * self.curve.length
        first = self.start + (beside if self.before else 0.0)
        last = self.end - (beside if self.after else 0.0)
        spans = Part(self.curve, first, last).spans
        found = [e for a, b in spans for e in self.curve.extremes(a, b)]
        return min(found, key=_curvature), max(found, key=_curvature)

    def upto(self, density: Callable[[Floats], Floats], places: ArrayLike) -> Floats:
        """Sum of a density from its start up to places along the edge."""
        s = finite(places, "places")
        knots = [x for x in (*self.curve.joints, self.curve.length) if self.start < x < self.end]
        knots += [x + self.curve.length for x in self.curve.joints]
        within = [x for x in knots if self.start < x < self.end]
        edges = np.unique([*np.linspace(self.start, self.end, _PANELS + 1), *within, *s.ravel()])
        width = np.diff(edges)[:, None]
        k = self.curvature(edges[:-1, None] + width * (_NODES + 1) / 2)
        panel = (density(k) * width * _SHARES / 2).sum(axis=1)
        sums = np.append(0.0, np.cumsum(panel))
        return np.asarray(
            sums[np.searchsorted(edges, s)] - sums[np.searchsorted(edges, self.start)]
        )


def parts_of(curve: Curve) -> tuple[Part, ...]:
    """The parts of an edge between its corners, from the start on."""
    corners = curve.corners
    if not corners:
        return (Part(curve, 0.0, curve.length),)
    at, turns = [c.place for c in corners], [c.turn for c in corners]
    if curve.closed:
        ends = [*at[1:], at[0] + curve.length]
        return tuple(
            Part(curve, a, b, before, after)
            for a, b, before, after in zip(at, ends, turns, [*turns[1:], turns[0]], strict=True)
        )
    return tuple(
        Part(curve, a, b, before, after)
        for a, b, before, after in zip(
            [0.0, *at], [*at, curve.length], [0.0, *turns], [*turns, 0.0], strict=True
        )
    )


def offset_upto(curve: Curve, offset: float) -> Callable[[Floats], Floats]:
    """What measures the parallel curve at an offset from the start of an edge up to places.

    All the way it is `Curve.length_at`. At a corner it stands at the middle of what the corner
    takes; beside a corner that loses length, places that are cut off all lie at the corner.
    """
    parts = parts_of(curve)
    taken = np.array([_taken(offset, part.before) / 2 for part in parts])
    bases = np.append(0.0, np.cumsum([part.length_at(offset) for part in parts]))
    starts, ends = np.array([(p.start, p.end) for p in parts]).T
    begins = parts[0].heading(starts) + np.array([p.before / 2 for p in parts])

    def open_upto(s: Floats) -> Floats:
        """From the start of the first part."""
        i = np.clip(np.searchsorted(starts, s, side="right") - 1, 0, len(parts) - 1)
        turned = parts[0].heading(s) - begins[i]
        gone = bases[i] + taken[i] + (s - starts[i]) + offset * turned
        gone = np.where(s <= starts[i], bases[i], np.where(s >= ends[i], bases[i + 1], gone))
        return np.clip(gone, bases[i], bases[i + 1])

    def round_upto(s: Floats) -> Floats:
        """The same on a closed edge, from the first corner on, any number of times round."""
        rounds = np.floor((s - starts[0]) / curve.length)
        return np.asarray(open_upto(s - rounds * curve.length) + rounds * bases[-1])

    if not curve.closed:
        return open_upto
    start = round_upto(np.zeros(1))
    return lambda places: round_upto(places) - start


def _taken(offset: float, corner: float) -> float:
    """What a corner adds to the length of a parallel curve [mm]; below 0 where it loses some."""
    return offset * (corner if offset * corner > 0 else 2 * float(np.tan(corner / 2)))


def tightest(curve: Curve) -> tuple[Extreme, Extreme]:
    """The most hollow and the most convex place of an edge, its corners left out."""
    found = [e for part in parts_of(curve) for e in part.extremes()]
    return min(found, key=_curvature), max(found, key=_curvature)


def tighter_runs(curve: Curve, *, hollow: float, convex: float) -> tuple[tuple[float, float], ...]:
    """Where an edge is tighter than a hollow and a convex curvature, corners left out.

    Looked at in 1024 steps a part, the ends closed in on by halving.
    """
    found: list[tuple[float, float]] = []
    for part in parts_of(curve):
        beside = _BESIDE * curve.length

        def side(places: Floats, part: Part = part) -> Floats:
            k = part.curvature(places)
            return np.where(k > convex, 1.0, np.where(k < hollow, -1.0, 0.0))

        grid = np.linspace(part.start + beside, part.end - beside, _LOOKS + 1)
        seen = side(grid)
        change = np.flatnonzero(seen[1:] != seen[:-1])
        low, high = grid[change], grid[change + 1]
        for _ in range(50 if change.size else 0):
            middle = (low + high) / 2
            before = side(middle) == seen[change]
            low, high = np.where(before, middle, low), np.where(before, high, middle)
        edges = [part.start, *high.tolist(), part.end]
        sides = seen[np.append(0, change + 1)].tolist()
        pieces = zip(edges[:-1], edges[1:], sides, strict=True)
        found += [(a, b) for a, b, bend in pieces if bend]
    return tuple(found)


def checked_bends(curve: Curve) -> tuple[Extreme, Extreme]:
    """The tightest places of an edge; ValueError where one has no radius at all."""
    found = tightest(curve)
    for extreme in found:
        if not np.isfinite(extreme.curvature):
            raise ValueError(
                f"the edge turns without a radius at {extreme.place:.1f} mm along it, as it does "
                "beside a handle that is drawn in; draw a small radius or a corner there"
            )
    return found


def even_curvature(curve: Curve) -> float | None:
    """Curvature of an edge that is straight or a piece of a circle [1/mm]; else None."""
    if curve.corners:
        return None
    low, high = tightest(curve)
    size = max(abs(low.curvature), abs(high.curvature))
    return high.curvature if high.curvature - low.curvature <= _EVEN * size else None


def _curvature(extreme: Extreme) -> float:
    return extreme.curvature
