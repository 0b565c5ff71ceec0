"""The length of a layer that runs beside drawn segments, round corners and into them."""

from __future__ import annotations

import numpy as np

from foamcalc.shape.batch import cross
from foamcalc.shape.drawn_bends import tightest
from foamcalc.shape.drawn_way import SLIGHT, Way
from foamcalc.shape.plane import Floats, check_fold

OPEN_END = np.radians(1.0)
"""Turning beside an end at which a segment stands still, where no fold is looked for [rad]."""
_LOOKS = 64
"""Steps in which the sides of a corner are looked at for the meeting of their parallel curves."""
_CLOSER = 20
_ROUNDING = 1e-9


def parallel_length(way: Way, distance: Floats, first: float, last: float) -> Floats:
    """Length of the parallel curve between two places [mm], at distances of any shape [mm]."""
    track = way.track
    check_fold(distance, tightest(track, first, last, way.sign, open_ends=OPEN_END))
    _check_slight(way, distance, first, last)
    turned = np.diff(way.smooth(np.array([first, last])))[0]
    weight, turns = way.corners.weights(first, last), way.corners.turns
    length = np.array((last - first) + distance * turned)
    for side in (1.0, -1.0):
        there = side * distance > 0
        if not there.any():
            continue
        round_corners = float(weight @ np.where(side * turns > 0, turns, 0.0))
        depths, back = np.unique(distance[there], return_inverse=True)
        lost = _lost(way, depths, first, last)
        length[there] += depths[back] * round_corners - lost[back]
    return length


def _lost(way: Way, depths: Floats, first: float, last: float) -> Floats:
    """What a layer loses at the corners that are hollow on its side [mm], at each depth [mm]."""
    at, turns = way.corners.places, way.corners.turns
    slack = 1e-9 * way.track.length
    hollow = np.flatnonzero(
        (way.corners.weights(first, last) > 0) & (np.sign(depths[0]) * turns < 0)
    )
    lost = np.zeros(depths.size)
    used = np.zeros((at.size + 1, depths.size))  # of what lies before each corner and the end
    for n in hollow.tolist():
        before, behind = _meeting(way, n, depths)
        if at[n] > first + slack:
            lost += before + depths * way.turned(at[n] - before, before)
            used[n] += before
        if at[n] < last - slack:
            lost += behind + depths * way.turned(np.full(depths.size, at[n]), behind)
            used[n + 1] += behind
    ends = np.concatenate([[first], np.clip(at, first, last), [last]])
    piece = np.diff(ends)
    over = (used >= piece[:, None] * (1 - 1e-12)) & (used > 0)
    if over.any():
        i, j = np.argwhere(over)[0]
        raise _used_up(depths[j], ends[i], ends[i + 1])
    return lost


def _meeting(way: Way, corner: int, depths: Floats) -> tuple[Floats, Floats]:
    """How far before and behind a hollow corner the parallel curves of its two sides meet [mm].

    Between straight lines that is ``d tan(a/2)`` either way.
    """
    at = way.corners.places
    ends = (at.size - 1, 0) if way.closed and corner in (0, at.size - 1) else (corner, corner)
    place = at[ends[0]], at[ends[1]]
    free = place[0] - at[ends[0] - 1], at[ends[1] + 1] - place[1]
    free = free[0] * (1 - _ROUNDING), free[1] * (1 - _ROUNDING)  # short of the next corners
    straight = np.abs(depths) * np.tan(np.abs(way.corners.turns[corner]) / 2)
    before = behind = _guess(way, place, min(free), depths, straight)
    for _ in range(_CLOSER):
        p, along_p = way.beside(place[0] - before, depths, ending=True)
        q, along_q = way.beside(place[1] + behind, depths)
        gap, across = p - q, cross(along_p, along_q)
        if (np.abs(gap) <= 1e-13 * way.track.length).all():
            break
        across = np.where(across == 0, np.inf, across)
        before = np.clip(before + cross(gap, along_q) / across, 0.0, free[0])
        behind = np.clip(behind + cross(along_p, gap) / across, 0.0, free[1])
    missed = ~(np.abs(gap) <= 2 * SLIGHT * np.abs(depths) + 1e-9 * way.track.length)
    if missed.any():
        raise _used_up(depths[missed][0], place[0] - free[0], place[1] + free[1])
    return before, behind


def _guess(
    way: Way, place: tuple[float, float], free: float, depths: Floats, straight: Floats
) -> Floats:
    """How far from a corner two parallel curves cross the middle between them [mm], about.

    Where they are not seen to cross it, as far as those of straight lines.
    """
    away = free * np.linspace(0.0, 1.0, _LOOKS + 1) ** 3
    many = np.tile(away, depths.size)
    offset = np.repeat(depths, away.size)
    p, along_p = way.beside(place[0] - many, offset, ending=True)
    q, along_q = way.beside(place[1] + many, offset)
    apart = cross(along_q[0] - along_p[0], p - q).reshape(depths.size, -1)
    other = np.sign(apart) != np.sign(apart[:, :1])
    seen = away[np.argmax(other, axis=1)]
    return np.where(other.any(axis=1), seen, np.minimum(straight, free))


def _used_up(depth: float, start: float, end: float) -> ValueError:
    """The error for what lies between corners and is used up by them."""
    return ValueError(
        f"an offset of {depth:g} mm folds the layer over itself: the part from {start:.1f} to "
        f"{end:.1f} mm along the curve is used up by its corners; use a smaller offset or an "
        "easier curve"
    )


def _check_slight(way: Way, distance: Floats, first: float, last: float) -> None:
    """Raise ValueError if bends drawn as many short lines would fold.

    The length of the parallel curve up to a place must not fall on the way, but for what a
    slight turn at one joint may do.
    """
    joints = way.track.joints
    places = np.concatenate([[first], joints[(joints > first) & (joints < last)], [last]])
    turned = way.smooth(places)
    for d in (float(distance.min()), float(distance.max())):
        up_to = places + d * turned
        back = np.maximum.accumulate(up_to) - up_to > abs(d) * OPEN_END
        if back.any():
            raise ValueError(
                f"an offset of {d:g} mm folds the layer over itself: the bend before "
                f"{places[back][0]:.1f} mm along the curve, drawn in many short segments, is "
                "tighter than that; use a smaller offset or an easier curve"
            )
