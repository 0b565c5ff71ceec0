"""Segments joined end to end: what is refused, what is left out, and how they turn at joints."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.shape.arc_length import lengths
from foamcalc.shape.batch import Batch
from foamcalc.shape.plane import FULL_TURN, Floats
from foamcalc.shape.segments import Bezier, Segment
from foamcalc.shape.track import Track

MOST_SEGMENTS = 100_000
JOINS = 1e-6
"""How far the end of a segment may lie from the start of the next one [mm]."""
_NOTHING = 1e-9
"""Share of the whole length up to which a segment is left out."""
_TIP = 1e-6
"""How near to half a turn a joint may come before the way goes back on itself [rad]."""


class Chain(NamedTuple):
    """Segments that follow each other, cut where they stand still on the way."""

    segments: tuple[Segment, ...]
    dropped: int
    """How many of the segments given were left out because they have no length."""
    track: Track
    jumps: Floats
    """Change of direction before each segment and after the last [rad], to the left positive.

    On an open curve the first and the last are 0, on a closed one they are the same.
    """
    unsure: NDArray[np.bool_]
    """Where the way goes back over itself, so that it might turn either way."""


def chained(segments: Sequence[Segment], closed: bool) -> Chain:
    """Join segments end to end; ValueError where they do not meet."""
    given = tuple(segments)
    if not 0 < len(given) <= MOST_SEGMENTS:
        raise ValueError(
            f"segments must be 1 to {MOST_SEGMENTS}, got {len(given)}; "
            + ("draw a line" if not given else "give the curve in parts")
        )
    batch = Batch(given)
    _check_joined(batch, closed)
    parts = _without_cusps(given, batch)
    track = Track(batch if len(parts) == len(given) else Batch(parts))
    long = np.diff(track.joints) > _NOTHING * track.length
    if not long.any():
        x, y = given[0].point(0.0)
        raise ValueError(
            f"the segments have no length: all of them lie at ({x:g}, {y:g}); draw a line there "
            "or leave them out"
        )
    own = np.diff(track.joints) if len(parts) == len(given) else lengths(given)
    dropped = int((own <= _NOTHING * track.length).sum())
    if not long.all():
        parts = tuple(s for s, kept in zip(parts, long, strict=True) if kept)
        track = Track(Batch(parts))
    return Chain(parts, dropped, track, *_jumps(track, closed))


def _check_joined(batch: Batch, closed: bool) -> None:
    """Raise ValueError where a segment does not begin where the one before it ends."""
    every = np.arange(len(batch))
    begin, end = (batch.values(every, np.full(every.size, t)) for t in (0.0, 1.0))
    gap = np.abs(np.roll(begin, -1) - end)
    if not closed:
        gap[-1] = 0.0
    apart = np.flatnonzero(gap > JOINS)
    if apart.size:
        i = int(apart[0])
        after = (i + 1) % len(batch)
        last = " (the last)" if after == 0 else ""
        whole = "a closed curve comes back to its start" if after == 0 else "join them"
        raise ValueError(
            f"segment {i + 1}{last} ends at ({end[i].real:.9g}, {end[i].imag:.9g}), but segment "
            f"{after + 1} begins at ({begin[after].real:.9g}, {begin[after].imag:.9g}), "
            f"{gap[i]:.3g} mm away; {whole}, or give them as curves of their own"
        )


def _without_cusps(segments: tuple[Segment, ...], batch: Batch) -> tuple[Segment, ...]:
    """The same way with every segment cut where it stands still on the way."""
    places = batch.cusps()
    some = np.asarray(~np.isnan(places).all(axis=1))
    if not some.any():
        return segments
    parts: list[Segment] = []
    for number, segment in enumerate(segments):
        if not some[number]:
            parts.append(segment)
            continue
        cuts = np.unique(places[number][~np.isnan(places[number])])
        edges = [0.0, *cuts.tolist(), 1.0]
        for i in range(len(edges) - 1):
            part = segment.cut(edges[i], edges[i + 1])
            if isinstance(part, Bezier):  # arcs stand still there as exactly as they can
                part = _stood_still(part, i > 0, i < len(edges) - 2)
            parts.append(part)
    return tuple(parts)


def _stood_still(part: Bezier, at_start: bool, at_end: bool) -> Bezier:
    """The same curve with its handles at the cusps drawn in all the way."""
    xy = part.points.copy()
    if at_start:
        xy[1] = xy[0]
    if at_end:
        xy[-2] = xy[-1]
    return Bezier(xy)


def _jumps(track: Track, closed: bool) -> tuple[Floats, NDArray[np.bool_]]:
    """Change of direction at each joint, and where it might be either way.

    At a tip, where the way turns by half a turn, the curvatures of its two flanks tell on which
    side they lie of each other: the tip turns to the other side.
    """
    ends, k = track.batch.directions, track.batch.end_curvatures
    jumps = np.angle(np.append(ends[:, 0], ends[0, 0]) / np.append(ends[-1, 1], ends[:, 1]))
    with np.errstate(invalid="ignore"):
        bend = np.append(k[:, 0], k[0, 0]) + np.append(k[-1, 1], k[:, 1])
    level = ~(np.abs(bend) * track.length > 1e-9)  # or two infinite ones against each other
    tip = np.abs(jumps) > np.pi - _TIP
    jumps = np.where(tip, -np.copysign(np.pi, bend), jumps)
    if not closed:
        jumps[[0, -1]], tip[[0, -1]] = 0.0, False
    return jumps, tip & level


def turn_of_closed(chain: Chain) -> tuple[Floats, float]:
    """Jumps of a closed curve, with what is unsure settled, and the way it goes round.

    Raises
    ------
    ValueError
        If it does not go round once.
    """
    smooth = float(chain.track.turned[-1])
    for way in (1.0, -1.0):
        jumps = np.where(chain.unsure, way * np.pi, chain.jumps)
        total = smooth + float(jumps[:-1].sum())
        if abs(abs(total) - FULL_TURN) < 1e-6:
            return jumps, float(np.sign(total))
    raise ValueError(
        f"a closed curve goes round once, got {abs(total) / FULL_TURN:.0f} times; take out loops "
        "and places where it crosses itself"
    )
