"""Places on drawn segments: those nearest to a point, and those where a line crosses."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from foamcalc.shape.batch import cross
from foamcalc.shape.plane import Floats
from foamcalc.shape.speed import Numbers, Points
from foamcalc.shape.track import Track

_LOOKS = 8
"""Steps in which each span that comes into question is looked at."""
_CLOSER = 80
_ROUNDING = 1e-12
Function = Callable[[Numbers, Floats], tuple[Floats, Floats]]
"""Of segment and `t`: a value and the rate at which it changes with `t`."""


class Nearest(NamedTuple):
    """A place on a curve and how far a point lies from it."""

    place: float
    """Length along the curve from its start [mm]."""
    distance: float
    """Straight distance from the point [mm]."""


def nearest(track: Track, point: complex, tie: float) -> tuple[Floats, Floats]:
    """Places at the least distance from a point, and those distances [mm], in order.

    Parameters
    ----------
    track : Track
        The segments.
    point : complex
        The point, x + iy.
    tie : float
        Distances that differ by no more than that are the same [mm].

    Notes
    -----
    Each span of the track keeps near its chord; only spans that may come as near as the nearest
    end of any of them are looked at. In them the distance is least where the way is square to
    the direction of the point, or at a joint.
    """
    spans, batch = track.spans, track.batch
    bound = np.minimum(np.abs(spans.first - point), np.abs(spans.last - point)).min()
    seen = _from_chord(spans.first, spans.last, point) - spans.rise <= bound + tie
    segment, begin, end = spans.segment[seen], spans.begin[seen], spans.end[seen]

    def square(i: Numbers, t: Floats) -> tuple[Floats, Floats]:
        """Half the rate of the squared distance, and the rate of that."""
        gap, first = batch.values(i, t) - point, batch.values(i, t, 1)
        value = (np.conj(gap) * first).real
        value[np.abs(value) <= _ROUNDING * np.abs(gap) * np.abs(first)] = 0.0
        return value, np.abs(first) ** 2 + (np.conj(gap) * batch.values(i, t, 2)).real

    i, low, high = _steps(square, segment, begin, end)
    before, after = square(i, low)[0], square(i, high)[0]
    least = (before <= 0) & (after >= 0)
    i, low, high = i[least], low[least], high[least]
    t = _closed_in(square, i, low, high, np.ones(i.size))
    ends = np.unique(segment)
    i = np.concatenate([i, ends, ends])
    t = np.concatenate([t, 0.0 * ends, 0.0 * ends + 1.0])
    return _best(track, i, t, point, tie)


def _best(track: Track, i: Numbers, t: Floats, point: complex, tie: float) -> tuple[Floats, Floats]:
    """The nearest of some places, each once; of an end and a place beside it the nearer."""
    distance = np.abs(track.batch.values(i, t) - point)
    kept = distance <= distance.min() + tie
    place, distance = track.place(i[kept], t[kept]), distance[kept]
    order = np.lexsort((distance, place))
    place, distance = place[order], distance[order]
    same = np.append(False, np.diff(place) <= 1e-6 * track.length)
    group = np.cumsum(~same) - 1
    order = np.lexsort((distance, group))
    first = np.searchsorted(group, np.arange(group[-1] + 1))
    return place[order][first], distance[order][first]


def crossings(track: Track, start: complex, end: complex, *, closed: bool, reach: float) -> Floats:
    """Places where a straight line from start to end crosses the segments [mm], in order.

    A line that ends within `reach` of the way crosses it there, and so does one that passes as
    near to an end of an open way. Where the way only touches it, it does not.
    """
    spans, batch = track.spans, track.batch
    along = (end - start) / abs(end - start)

    def above(i: Numbers, t: Floats) -> tuple[Floats, Floats]:
        """Height above the line, and the rate of it."""
        return cross(along, batch.values(i, t) - start), cross(along, batch.values(i, t, 1))

    size = max(float(np.abs(spans.first - start).max()), abs(start), abs(end))
    level = _ROUNDING * size
    heights = np.stack([cross(along, v - start) for v in (spans.first, spans.last)])
    seen = (heights.min(axis=0) - spans.rise <= level) & (
        heights.max(axis=0) + spans.rise >= -level
    )
    i, low, high = _steps(above, spans.segment[seen], spans.begin[seen], spans.end[seen])
    before, after = above(i, low)[0] < -level, above(i, high)[0] < -level  # on it is above it
    change = before != after
    i, low, high = i[change], low[change], high[change]
    t = _closed_in(above, i, low, high, np.where(before[change], 1.0, -1.0))
    off = np.conj(along) * (batch.values(i, t) - start)
    kept = (off.real >= -reach) & (off.real <= abs(end - start) + reach)
    found = track.place(i[kept], t[kept])
    if not closed:
        ends = batch.values(np.array([0, len(batch) - 1]), np.array([0.0, 1.0]))
        off = np.conj(along) * (ends - start)
        met = (off.real >= -reach) & (off.real <= abs(end - start) + reach)
        met &= np.abs(off.imag) <= reach
        found = np.append(found, np.array([0.0, track.length])[met])
    place = np.sort(found)
    return place[np.append(True, np.diff(place) > 2 * reach)] if place.size else place


def _from_chord(first: Points, last: Points, point: complex) -> Floats:
    """Distance of a point from straight chords [mm]."""
    chord, gap = last - first, point - first
    square = np.abs(chord) ** 2
    share = (np.conj(chord) * gap).real / np.where(square > 0, square, 1.0)
    return np.abs(gap - np.clip(share, 0.0, 1.0) * chord)


def _steps(
    of: Function, segment: Numbers, begin: Floats, end: Floats
) -> tuple[Numbers, Floats, Floats]:
    """Spans cut into steps, and once more where a function turns: segment, from and to."""
    share = np.linspace(0.0, 1.0, _LOOKS + 1)
    edges = begin[:, None] * (1 - share) + end[:, None] * share
    i, low, high = np.repeat(segment, _LOOKS), edges[:, :-1].ravel(), edges[:, 1:].ravel()
    before, after = of(i, low)[1], of(i, high)[1]
    turns = before * after < 0

    def rate(n: Numbers, t: Floats) -> tuple[Floats, Floats]:
        return of(n, t)[1], np.full(t.shape, np.nan)

    top = _closed_in(rate, i[turns], low[turns], high[turns], np.sign(after[turns]))
    i, low = np.concatenate([i, i[turns]]), np.concatenate([low, top])
    ends = np.concatenate([high, high[turns]])
    ends[np.flatnonzero(turns)] = top
    return i, low, ends


def _closed_in(
    of: Function,
    segment: Numbers,
    low: Floats,
    high: Floats,
    way: Floats,
) -> Floats:
    """Where a function that rises (way 1) or falls (way -1) from low to high is 0.

    Newton's steps, halved where they would leave what is known to hold the place.
    """
    low, high = low.copy(), high.copy()
    t = (low + high) / 2
    for _ in range(_CLOSER):
        value, rate = of(segment, t)
        high, low = np.where(way * value >= 0, t, high), np.where(way * value <= 0, t, low)
        with np.errstate(divide="ignore", invalid="ignore"):
            new = t - value / rate
        new = np.where((new >= low) & (new <= high), new, (low + high) / 2)
        still = np.abs(new - t) <= 1e-16
        t = new
        if still.all():
            break
    return t
