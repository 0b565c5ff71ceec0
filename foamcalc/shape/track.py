"""Segments one behind the other: what lies at which length, and where a point or a line meets."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.shape.arc_length import Numbers, Points, Strokes, cross, piece_lengths, pieces
from foamcalc.shape.plane import FULL_TURN, Floats
from foamcalc.shape.segments import Segment

_STEPS = 100
_FINE = 4
"""Spans that each piece is seen in when places are searched for."""
_LOOKS = 8
"""Steps in which each span that comes into question is looked at."""
_ROUNDING = 1e-12
Function = Callable[[Numbers, Floats], tuple[Floats, Floats]]
"""Of segment and `t`: a value and the rate at which it changes with `t`."""


class Spans(NamedTuple):
    """Short bits of a track with the chords under them."""

    segment: Numbers
    begin: Floats
    end: Floats
    first: Points
    last: Points
    rise: Floats
    """How far from its chord each may run [mm]: of length l over c, half the root of l² - c²."""


class Track:
    """Segments, each beginning where the one before it ends.

    In every method `t` of shape (..., k) says where on pieces of numbers `n`, of shape (k,).
    """

    def __init__(self, segments: Sequence[Segment]) -> None:
        self.strokes = Strokes(segments)
        found = pieces(self.strokes)
        order = np.lexsort((found.begin, found.segment))
        self.pieces = found.taken(order)
        self.places: Floats = np.append(0.0, np.cumsum(self.pieces.length))
        """Where pieces begin, and the last one ends [mm]."""
        self.first: Numbers = np.searchsorted(self.pieces.segment, np.arange(len(self.strokes) + 1))
        """The first piece of each segment, and how many there are in all."""
        self.joints: Floats = self.places[self.first]
        """Where segments begin, and the last one ends [mm]."""
        self.length = float(self.places[-1])

    def place(self, segment: Numbers, t: Floats) -> Floats:
        """Lengths along the track [mm] of places given as segment and `t`, all of shape (k,)."""
        n = self.piece_at(segment, t)
        along = piece_lengths(self.strokes, segment, self.pieces.begin[n], t)
        line = self.strokes.size[segment] == 2
        return np.asarray(self.places[n] + np.where(line, t * self.pieces.length[n], along))

    def piece_at(self, segment: Numbers, t: Floats) -> Numbers:
        """The piece of its segment in which each `t` lies."""
        # Segment and begin rise together, so their sum is in order too.
        key = self.pieces.segment + self.pieces.begin / 2
        n = np.searchsorted(key, segment + t / 2, side="right") - 1
        return np.clip(n, self.first[segment], self.first[segment + 1] - 1)

    def locate(self, place: Floats, *, ending: bool = False) -> tuple[Numbers, Floats]:
        """Piece and `t` at lengths along the track [mm], of shape (k,).

        At a joint it is the piece that begins there, or the one that ends there if asked for.
        """
        n = np.searchsorted(self.places, place, side="left" if ending else "right") - 1
        n = np.clip(n, 0, len(self.pieces.length) - 1)
        segment, begin, end, length = self.pieces.taken(n)
        low, high = begin.copy(), end.copy()
        wanted = np.clip(place - self.places[n], 0.0, length)
        t = np.where(wanted == length, end, begin + (end - begin) * (wanted / length))
        ends = (wanted == 0) | (wanted == length)
        active = np.flatnonzero(~ends & (self.strokes.size[segment] != 2))
        for _ in range(_STEPS):
            if not active.size:
                break
            i, at = segment[active], t[active]
            over = piece_lengths(self.strokes, i, begin[active], at) - wanted[active]
            high[active] = np.where(over > 0, at, high[active])
            low[active] = np.where(over > 0, low[active], at)
            with np.errstate(divide="ignore", invalid="ignore"):
                new = at - over / self.strokes.speed(i, at)
            outside = ~((new >= low[active]) & (new <= high[active]))
            new = np.where(outside, (low[active] + high[active]) / 2, new)
            close = np.abs(over) <= 1e-14 * length[active]
            t[active] = np.where(close, at, new)
            active = active[~close & (np.abs(new - at) > 1e-16)]
        return n, t

    # How it turns ---------------------------------------------------------------------------------

    @cached_property
    def _rough(self) -> Floats:
        """Turning from the start of its segment to that of each piece [rad], rounded."""
        bent = np.flatnonzero(self.strokes.size[self.pieces.segment] != 2)
        own = np.zeros(self.pieces.length.size + 1)
        own[bent + 1] = self._quarters(bent, self.pieces.end[bent])
        total = np.cumsum(own)
        return np.asarray(total - total[self.first[np.append(self.pieces.segment, 0)]])

    @cached_property
    def turned_before(self) -> Floats:
        """Turning of the segments before each joint [rad], to the left positive."""
        last = self.first[1:] - 1
        rough = self._rough[last] + self._quarters(last, self.pieces.end[last])
        way = self.strokes.directions
        return np.append(0.0, np.cumsum(_nearest_turn(np.angle(way[1] / way[0]), rough)))

    def _quarters(self, n: Numbers, t: Floats) -> Floats:
        """Turning from the start of a piece on [rad], not sharp to the last digits.

        A piece is clear of all places where its speed vanishes, so that each quarter of it turns
        by less than half a turn.
        """
        segment, begin, _, _ = self.pieces.taken(n)
        share = np.linspace(0.0, 1.0, _FINE + 1).reshape(-1, *[1] * t.ndim)
        way = self.strokes.headed(segment, begin + (t - begin) * share)
        return np.asarray(np.angle(way[1:] / way[:-1]).sum(axis=0))

    def turned(self, n: Numbers, t: Floats) -> Floats:
        """Turning of the segments since the start [rad], to the left positive."""
        i = self.pieces.segment[n]
        rough = self._rough[n] + self._quarters(n, t)
        exact = np.angle(self.strokes.headed(i, t) / self.strokes.directions[0, i])
        return np.asarray(self.turned_before[i] + _nearest_turn(exact, rough))

    @property
    def turn(self) -> float:
        """Turning of all segments [rad], to the left positive."""
        return float(self.turned_before[-1])

    # Places beside it -----------------------------------------------------------------------------

    @cached_property
    def spans(self) -> Spans:
        """Short bits, to search for places."""
        own = self.pieces
        share = np.linspace(0.0, 1.0, _FINE + 1)
        edges = own.begin[:, None] * (1 - share) + own.end[:, None] * share
        segment = np.repeat(own.segment, _FINE)
        begin, end = edges[:, :-1].ravel(), edges[:, 1:].ravel()
        first, last = self.strokes.values(segment, begin), self.strokes.values(segment, end)
        length = piece_lengths(self.strokes, segment, begin, end)
        over = np.maximum(length**2 - np.abs(last - first) ** 2, 0.0) + 1e-12 * length**2
        return Spans(segment, begin, end, first, last, np.sqrt(over) / 2)

    def nearest(self, point: complex) -> tuple[float, float]:
        """The first place at the least distance from a point x + iy, and that distance [mm].

        Each span keeps near its chord; only those that may come as near as the nearest end of any
        of them are looked at. In them the distance is least where the way is square to the
        direction of the point, or at a joint.
        """
        spans, strokes = self.spans, self.strokes
        bound = np.minimum(np.abs(spans.first - point), np.abs(spans.last - point)).min()
        chord, gap = spans.last - spans.first, point - spans.first
        share = (np.conj(chord) * gap).real / np.maximum(np.abs(chord) ** 2, 1e-300)
        away = np.abs(gap - np.clip(share, 0.0, 1.0) * chord)
        seen = np.flatnonzero(away - spans.rise <= bound + 1e-9 * self.length)

        def square(i: Numbers, t: Floats) -> tuple[Floats, Floats]:
            """Half the rate of the squared distance, and the rate of that."""
            gap, first = strokes.values(i, t) - point, strokes.values(i, t, 1)
            value = (np.conj(gap) * first).real
            value[np.abs(value) <= _ROUNDING * np.abs(gap) * np.abs(first)] = 0.0
            return value, np.abs(first) ** 2 + (np.conj(gap) * strokes.values(i, t, 2)).real

        i, t = self._zeros(square, seen)
        i = np.concatenate([i, spans.segment[seen], spans.segment[seen]])
        t = np.concatenate([t, spans.begin[seen], spans.end[seen]])
        distance = np.abs(strokes.values(i, t) - point)
        kept = distance <= distance.min() + 1e-9 * self.length
        place, distance = self.place(i[kept], t[kept]), distance[kept]
        here = place <= place.min() + 1e-6 * self.length  # of an end and a place beside it
        nearer = np.lexsort((place, np.where(here, distance, np.inf)))[0]
        return float(place[nearer]), float(distance[nearer])

    def crossings(self, start: complex, end: complex, *, open_ends: bool, reach: float) -> Floats:
        """Places where a straight line from start to end crosses the segments [mm], in order.

        A line that ends within `reach` of the way crosses it there, and so does one that passes as
        near to an end of an open way. Where the way only touches it, it does not.
        """
        spans, strokes = self.spans, self.strokes
        along = (end - start) / abs(end - start)

        def above(i: Numbers, t: Floats) -> tuple[Floats, Floats]:
            """Height above the line, and the rate of it."""
            height = cross(along, strokes.values(i, t) - start)
            return height, cross(along, strokes.values(i, t, 1))

        level = _ROUNDING * max(float(np.abs(spans.first - start).max()), abs(start), abs(end))
        heights = np.stack([cross(along, v - start) for v in (spans.first, spans.last)])
        seen = (heights.min(0) - spans.rise <= level) & (heights.max(0) + spans.rise >= -level)
        i, t = self._zeros(above, np.flatnonzero(seen), level)

        def met(points: Points) -> NDArray[np.bool_]:
            off = np.conj(along) * (points - start)
            beyond = np.maximum(-off.real, off.real - abs(end - start))
            return np.asarray((beyond <= reach) & (np.abs(off.imag) <= reach))

        kept = met(strokes.values(i, t))
        found = self.place(i[kept], t[kept])
        if open_ends:
            ends = np.array([strokes.ends[0, 0], strokes.ends[1, -1]])
            found = np.append(found, np.array([0.0, self.length])[met(ends)])
        place = np.sort(found)
        return place[np.append(True, np.diff(place) > 2 * reach)] if place.size else place

    def _zeros(
        self, of: Function, seen: Numbers, level: float | None = None
    ) -> tuple[Numbers, Floats]:
        """Segment and `t` where a function rises through 0 on some spans.

        With a level it may fall through 0 too; what is less than that below 0 counts as above.
        The spans are looked at in steps, which are cut once more where the function turns.
        """
        share = np.linspace(0.0, 1.0, _LOOKS + 1)
        begin, end = self.spans.begin[seen, None], self.spans.end[seen, None]
        t = begin * (1 - share) + end * share
        i = np.repeat(self.spans.segment[seen], _LOOKS)
        low, high = t[:, :-1].ravel(), t[:, 1:].ravel()
        before, after = of(i, low)[1], of(i, high)[1]
        turns = before * after < 0

        def rate(i: Numbers, t: Floats) -> tuple[Floats, Floats]:
            return of(i, t)[1], np.full(t.shape, np.nan)

        top = _closed_in(rate, i[turns], low[turns], high[turns], np.sign(after[turns]))
        low, until = np.concatenate([low, top]), np.concatenate([high, high[turns]])
        until[np.flatnonzero(turns)] = top
        i = np.concatenate([i, i[turns]])
        before, after = of(i, low)[0], of(i, until)[0]
        if level is None:
            kept, way = (before <= 0) & (after >= 0), np.ones(i.size)
        else:
            kept, way = (before < -level) != (after < -level), np.where(before < -level, 1.0, -1.0)
        return i[kept], _closed_in(of, i[kept], low[kept], until[kept], way[kept])


def _nearest_turn(angle: Floats, rough: Floats) -> Floats:
    """An angle with as many full turns as come nearest to a rough one [rad]."""
    return np.asarray(angle + FULL_TURN * np.round((rough - angle) / FULL_TURN))


def _closed_in(of: Function, i: Numbers, low: Floats, high: Floats, way: Floats) -> Floats:
    """Where a function that rises (way 1) or falls (way -1) from low to high is 0.

    Newton's steps, halved where they would leave what is known to hold the place.
    """
    t = (low + high) / 2
    for _ in range(_STEPS):
        value, rate = of(i, t)
        high, low = np.where(way * value >= 0, t, high), np.where(way * value <= 0, t, low)
        with np.errstate(divide="ignore", invalid="ignore"):
            new = t - value / rate
        new = np.where((new >= low) & (new <= high), new, (low + high) / 2)
        still = np.abs(new - t) <= 1e-16
        t = new
        if still.all():
            break
    return t
