"""The convex, straight and hollow runs of drawn segments and of the corners between them."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import numpy as np

from foamcalc.shape.drawn_way import SLIGHT, Way
from foamcalc.shape.plane import Floats, Run
from foamcalc.shape.track import Track

_LEVEL = 1e-9
"""Turn below which there is none [rad]."""
_SHORT = 1e-3
"""Share of the whole up to which a straight run is joined to its neighbours."""


class _Bit(NamedTuple):
    """A stretch or a corner, and to which side it counts: 1 convex, 0 straight, -1 hollow."""

    start: float
    end: float
    turn: float
    side: int


def runs_of(way: Way) -> tuple[Run, ...]:
    """Runs of segments that bend to one side, from the start to the end."""
    track, jumps = way.track, way.jumps.copy()
    if way.closed:
        jumps[[0, -1]] /= 2  # one corner, half of it at either end
    runs = _merged(_bits(*_stretches(track, way.sign, jumps)))
    level = [r._replace(turn=0.0, side=0) if abs(r.turn) < SLIGHT else r for r in runs]
    kept = _merged(_without_short(_merged(level), _SHORT * track.length))
    return tuple(Run(r.start, r.end, r.turn if r.side else 0.0) for r in kept)


def _stretches(track: Track, sign: float, jumps: Floats) -> tuple[Floats, Floats, Floats]:
    """Stretches that bend to one side each: edges [mm], turns, and the turn at each edge."""
    every, change = np.arange(len(track.batch)), track.batch.inflections()
    inner = ~np.isnan(change)
    segment = np.concatenate([np.repeat(every, inner.sum(axis=1)), every])
    t = np.concatenate([change[inner], np.zeros(every.size)])
    order = np.lexsort((t, segment))
    segment, t = segment[order], t[order]
    turned = track.turned[segment] + track.batch.turned(segment, t)
    edges = np.append(track.place(segment, t), track.length)
    turns = sign * np.diff(np.append(turned, track.turned[-1]))
    at = np.append(np.where(t == 0, jumps[segment], 0.0), jumps[-1])
    turns, at = (np.where(np.abs(v) < _LEVEL, 0.0, v) for v in (turns, at))
    # Straight stretches in one line are one.
    kept = np.ones(edges.size, dtype=bool)
    kept[1:-1] = (turns[1:] != 0) | (turns[:-1] != 0) | (at[1:-1] != 0)
    return edges[kept], turns[kept[:-1]], at[kept]


def _bits(edges: Floats, turns: Floats, jumps: Floats) -> list[_Bit]:
    """Stretches and corners in order; a straight one belongs to the corners at its ends."""
    bits = []
    edge, turn, corner = edges.tolist(), turns.tolist(), jumps.tolist()
    side, bend = np.sign(jumps).astype(int).tolist(), np.sign(turns).astype(int).tolist()
    for i, (start, end) in enumerate(pairwise(edge)):
        if side[i]:
            bits.append(_Bit(start, start, corner[i], side[i]))
        left, right = side[i], side[i + 1]
        if bend[i]:
            bits.append(_Bit(start, end, turn[i], bend[i]))
        elif left * right < 0:
            middle = (start + end) / 2
            bits += [_Bit(start, middle, 0.0, left), _Bit(middle, end, 0.0, right)]
        else:
            bits.append(_Bit(start, end, 0.0, left or right))
    if side[-1]:
        bits.append(_Bit(edge[-1], edge[-1], corner[-1], side[-1]))
    return bits


def _merged(bits: list[_Bit]) -> list[_Bit]:
    """Neighbours that count to one side as one."""
    runs = bits[:1]
    for bit in bits[1:]:
        last = runs[-1]
        if bit.side == last.side:
            runs[-1] = last._replace(end=bit.end, turn=last.turn + bit.turn)
        else:
            runs.append(bit)
    return runs


def _without_short(runs: list[_Bit], short: float) -> list[_Bit]:
    """Straight runs that are short joined to the run before them, the first to the next."""
    kept: list[_Bit] = []
    start = 0.0
    for run in runs:
        if run.side or run.end - run.start > short:
            kept.append(run._replace(start=min(start, run.start)) if not kept else run)
        elif kept:
            kept[-1] = kept[-1]._replace(end=run.end)
    return kept
