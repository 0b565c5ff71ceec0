"""What ties the ends of a chain of arcs together, with its slopes over every length and turn."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_SMALL = 1e-4
"""Turn [rad] under which the slope of a chord is taken from its series."""


class Tie(NamedTuple):
    """Measures of a chain of arcs that something holds; first axis: measure."""

    value: Floats
    """The measures; a distance in mm, a turn in rad."""
    by_length: Floats
    """Slope over the length of each arc; last axis: arc."""
    by_turn: Floats
    """Slope over the turn of each arc; last axis: arc."""


def reach(lengths: Floats, turns: Floats) -> Tie:
    """Where a chain ends, seen from its start: along and up [mm].

    Parameters
    ----------
    lengths, turns : ndarray, shape (..., n)
        Length [mm] and turn [rad] of each arc. The chain sets out along x and falls where it is
        convex, as `foamcalc.shape.profile.chain` does.

    Returns
    -------
    Tie
        Two measures.

    Notes
    -----
    An arc has the chord ``l s(a)``, ``s(a) = sin(a/2)/(a/2)``, at half its turn. One more radian
    in an arc turns all that follows about the arc's end, and half of its own chord.
    """
    start = -np.cumsum(turns, axis=-1) + turns
    along = start - turns / 2
    shape = np.sinc(turns / (2 * np.pi))
    ahead = np.stack([np.cos(along), np.sin(along)])
    chord = lengths * shape * ahead
    safe = np.where(np.abs(turns) < _SMALL, 1.0, turns)
    slope = np.where(np.abs(turns) < _SMALL, -turns / 12, (np.cos(turns / 2) - shape) / safe)
    total = chord.sum(-1, keepdims=True)
    swung = total - np.cumsum(chord, axis=-1) + chord / 2
    by_turn = lengths * slope * ahead + np.stack([swung[1], -swung[0]])
    return Tie(total[..., 0], shape * ahead, by_turn)


def between(lengths: Floats, turns: Floats, *, start: int, stop: int) -> Tie:
    """Where one joint of a chain lies, seen from an earlier one: along and up [mm]."""
    part = slice(start, stop)
    end = reach(lengths[..., part], turns[..., part])
    slopes = []
    for inside in (end.by_length, end.by_turn):
        whole = np.zeros((2, *turns.shape))
        whole[..., part] = inside
        slopes.append(whole)
    return Tie(end.value, *slopes)


def distance(lengths: Floats, turns: Floats, *, start: int, stop: int) -> Tie:
    """Straight distance between two joints of a chain [mm]: what a strap holds."""
    end = between(lengths, turns, start=start, stop=stop)
    apart = np.hypot(*end.value)
    unit = (end.value / apart)[..., None]
    return Tie(apart[None], *((unit * x).sum(0)[None] for x in (end.by_length, end.by_turn)))


def closure(lengths: Floats, turns: Floats) -> Tie:
    """What a closed ring holds: where its end lies [mm] and how much it turns [rad]."""
    end = reach(lengths, turns)
    return Tie(
        np.concatenate([end.value, turns.sum(-1)[None]]),
        np.concatenate([end.by_length, np.zeros_like(turns)[None]]),
        np.concatenate([end.by_turn, np.ones_like(turns)[None]]),
    )
