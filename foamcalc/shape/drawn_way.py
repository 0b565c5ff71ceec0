"""The way along drawn segments: its sides, its corners, its direction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamcalc.shape.corner_turns import Corners
from foamcalc.shape.drawn_chain import chained, turn_of_closed
from foamcalc.shape.outline import Side, outside_sign
from foamcalc.shape.plane import Floats
from foamcalc.shape.segments import Segment
from foamcalc.shape.speed import Points
from foamcalc.shape.track import Track

SLIGHT = np.radians(0.1)
"""Turn up to which segments join smoothly, and a run counts as straight [rad]."""
_TIGHTEST = 1e9
"""Curvature that stands for an infinite one [1/mm]."""


@dataclass(frozen=True, eq=False)
class Way:
    """Segments end to end, which of their sides is the outside, and the turns between them."""

    segments: tuple[Segment, ...]
    dropped: int
    track: Track
    closed: bool
    sign: float
    """1 where a bend to the left is convex, -1 where one to the right is."""
    jumps: Floats
    """Turn at the start, at the joints and at the end [rad], positive where convex."""
    slight: Corners
    """Those of them that are smooth, but for rounding in the drawing."""
    corners: Corners
    """The others."""

    @classmethod
    def along(cls, segments: Sequence[Segment], closed: bool, outside: Side) -> Way:
        """The way along segments; ValueError where they do not make one."""
        chain = chained(segments, closed)
        if closed:
            jumps, round_ = turn_of_closed(chain)
            sign = outside_sign(round_, True, outside)
        else:
            sign = outside_sign(0.0, False, outside)
            jumps = np.where(chain.unsure, sign * np.pi, chain.jumps)
        turns, joints = sign * jumps, chain.track.joints
        sharp = np.abs(turns) > SLIGHT
        held = sharp.copy()
        held[[0, -1]] = True
        return cls(
            chain.segments,
            chain.dropped,
            chain.track,
            closed,
            sign,
            turns,
            slight=Corners(joints, np.where(sharp, 0.0, turns)),
            corners=Corners(joints[held], np.where(sharp, turns, 0.0)[held]),
        )

    @property
    def curvature_jumps(self) -> Floats:
        """Places between the ends where the curvature is another before and behind [mm]."""
        k = self.track.batch.end_curvatures
        before, behind = k[:-1, 1], k[1:, 0]
        with np.errstate(invalid="ignore"):
            size = np.maximum(np.maximum(np.abs(before), np.abs(behind)), 1 / self.track.length)
            other = (before != behind) & ~(np.abs(behind - before) <= 1e-6 * size)
        return np.asarray(self.track.joints[1:-1][other])

    def part(self, first: float, last: float) -> list[Segment]:
        """The segments, and parts of segments, between two places [mm]."""
        joints = self.track.joints
        low, high = np.maximum(joints[:-1], first), np.minimum(joints[1:], last)
        held = np.flatnonzero(high - low > 1e-12 * self.track.length)
        if not held.size:
            return []
        found = [self.segments[i] for i in held.tolist()]
        i, t = self.track.locate(np.array([first, last]))
        begin = float(t[0]) if i[0] == held[0] else 0.0
        end = float(t[1]) if i[1] == held[-1] else 1.0
        if len(found) == 1:
            return [found[0].cut(begin, end)]
        return [found[0].cut(begin, 1.0), *found[1:-1], found[-1].cut(0.0, end)]

    def smooth(self, place: Floats) -> Floats:
        """Turning since the start [rad], that of corners left out."""
        i, t = self.track.locate(place.ravel())
        turned = self.track.turned[i] + self.track.batch.turned(i, t)
        return np.asarray(self.sign * turned.reshape(place.shape) + self.slight.turned(place))

    def turned(self, start: Floats, length: Floats) -> Floats:
        """Turning over lengths from places on [rad], that of corners left out."""
        return self.smooth(start + length) - self.smooth(start)

    def beside(
        self, place: Floats, offset: Floats, *, ending: bool = False
    ) -> tuple[Points, Points]:
        """Points of the parallel curve, and how they move along with the place.

        At a corner it is that of the segment behind it, or of the one before it if asked for.
        """
        i, t = self.track.locate(place, ending=ending)
        way = self.track.batch.headed(i, t)
        k = self.sign * np.clip(self.track.batch.curvature(i, t), -_TIGHTEST, _TIGHTEST)
        out = -1j * self.sign * way
        return self.track.batch.values(i, t) + offset * out, (1 + offset * k) * way
