"""Where drawn segments bend most."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from foamcalc.shape.batch import Batch
from foamcalc.shape.plane import Extreme, Floats
from foamcalc.shape.speed import Numbers
from foamcalc.shape.track import Track

_LOOKS = 8
"""Steps in which each piece is looked at."""
_REFINED = 16
"""The tightest of the places looked at are closed in on."""
_CLOSER = 30
_GOLDEN = (np.sqrt(5.0) - 1) / 2


def tightest(
    track: Track, first: float, last: float, sign: float, *, open_ends: float = 0.0
) -> tuple[Extreme, Extreme]:
    """The most hollow and the most convex place between two places.

    Parameters
    ----------
    track : Track
        The segments.
    first, last : float
        Places along it [mm], in this order.
    sign : float
        1 where a bend to the left is convex, -1 where one to the right is.
    open_ends : float
        Where a segment stands still at an end, its curvature is infinite there. That much of
        its turning from there on is left out [rad].
    """
    batch = track.batch
    segment, t = _looks(track, first, last)

    def bend(i: Numbers, at: Floats) -> Floats:
        k = sign * batch.curvature(i, at)
        if open_ends and batch.still[i].any():
            k[_by_open_end(batch, i, at, open_ends)] = 0.0
        return k

    found = []
    for way in (-1.0, 1.0):
        best, place = _highest(bend, way, segment, t)
        level = not np.abs(best) * track.length > 1e-9
        middle = (first + last) / 2
        found.append(
            Extreme(0.0, middle) if level else Extreme(way * best, float(track.place(*place)[0]))
        )
    return found[0], found[1]


def _looks(track: Track, first: float, last: float) -> tuple[Numbers, Floats]:
    """Segment and `t` of places to look at, in order along the track."""
    own, ends = track.pieces, track.locate(np.array([first, last]))
    held = (track.places[1:] > first) & (track.places[:-1] < last)
    segment, begin, end = own.segment[held], own.begin[held].copy(), own.end[held].copy()
    if ends[0][0] == segment[0]:
        begin[0] = max(begin[0], ends[1][0])
    if ends[0][1] == segment[-1]:  # else it ends at a joint
        end[-1] = min(end[-1], ends[1][1])
    share = np.linspace(0.0, 1.0, _LOOKS + 1)
    t = begin[:, None] * (1 - share) + end[:, None] * share
    return np.repeat(segment, _LOOKS + 1), t.ravel()


def _by_open_end(batch: Batch, segment: Numbers, t: Floats, turn: float) -> Floats:
    """Whether places lie within that much turning of an end where their segment stands still."""
    still = batch.still[segment]
    turned, whole = batch.turned(segment, t), batch.turned(segment, np.ones(t.size))
    early, late = np.abs(turned) < turn, np.abs(whole - turned) < turn
    return np.asarray((still[:, 0] & early) | (still[:, 1] & late))


def _highest(
    of: Callable[[Numbers, Floats], Floats], way: float, segment: Numbers, t: Floats
) -> tuple[float, tuple[Numbers, Floats]]:
    """The highest value of a function (the lowest for way -1), and where: closed in on."""
    looked = way * of(segment, t)
    if looked.max() == looked.min():
        return float(looked[0]), (segment[:1], t[:1])
    top = np.argsort(-looked, kind="stable")[:_REFINED]
    i = segment[top]
    before, after = np.maximum(top - 1, 0), np.minimum(top + 1, t.size - 1)
    low = np.where(segment[before] == i, t[before], t[top])
    high = np.where(segment[after] == i, t[after], t[top])
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = way * of(i, left), way * of(i, right)
    for _ in range(_CLOSER):  # by the golden section
        rises = at_right > at_left
        low, high = np.where(rises, left, low), np.where(rises, high, right)
        new = np.where(rises, low + _GOLDEN * (high - low), high - _GOLDEN * (high - low))
        value = way * of(i, new)
        left, right = np.where(rises, right, new), np.where(rises, new, left)
        at_left, at_right = np.where(rises, at_right, value), np.where(rises, value, at_left)
    middle = (low + high) / 2
    places, numbers = np.concatenate([t[top], middle]), np.concatenate([i, i])
    value = np.concatenate([looked[top], way * of(i, middle)])
    n = int(np.argmax(value))
    return float(value[n]), (numbers[n : n + 1], places[n : n + 1])
