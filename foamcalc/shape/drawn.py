"""An edge as it is drawn: straight lines, Bezier curves and elliptical arcs, end to end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import finite, single
from foamcalc.shape.arc_length import Numbers, Points, cross
from foamcalc.shape.corner_turns import Corners
from foamcalc.shape.outline import Side, outside_sign
from foamcalc.shape.plane import FULL_TURN, Corner, Curve, Extreme, Floats, Run, check_fold
from foamcalc.shape.segments import Segment
from foamcalc.shape.track import Track

MOST_SEGMENTS = 100_000
JOINS = 1e-6
"""How far the end of a segment may lie from the start of the next one [mm]."""
SLIGHT = np.radians(0.1)
"""Turn up to which segments join smoothly, and a run counts as straight [rad]."""
_NOTHING = 1e-9
"""Share of the whole length up to which a segment is left out."""
_TIP = 1e-6
"""How near to half a turn a joint may come before the way goes back on itself [rad]."""
_OPEN_END = np.radians(1.0)
"""Turning beside an end at which a segment stands still, where no fold is looked for [rad]."""
_TIGHTEST = 1e9
"""Curvature that stands for an infinite one [1/mm]."""
_LEVEL = 1e-9
"""Turn below which there is none [rad]."""
_SHORT = 1e-3
"""Share of the whole up to which a straight run is joined to its neighbours."""
_LOOKS, _REFINED, _CLOSER = 8, 16, 28
"""Steps in which each piece is looked at for the tightest bend, how many of the tightest places
are closed in on, and how often."""
_MEETING_LOOKS, _MEETING_CLOSER = 64, 20
"""The same for the place beside a hollow corner where the parallel curves of its sides meet."""
_HALVED = 40
"""How often the depth at which a part is used up is closed in on."""


class Nearest(NamedTuple):
    """A place on a curve and how far a point lies from it."""

    place: float
    """Length along the curve from its start [mm]."""
    distance: float
    """Straight distance from the point [mm]."""


class Chain(Curve):
    """Segments end to end, with corners between them: what `Drawn` and `Polyline` have in common.

    Both say what they are made of, and which side is the outside.
    """

    segments: Sequence[Segment]
    outside: Side
    _smallest: ClassVar[float] = SLIGHT
    """Turn above which there is a corner [rad]."""
    _track: Track
    _sign: float
    """1 where a bend to the left is convex, -1 where one to the right is."""
    _jumps: Floats
    """Turn at the start, at the joints and at the end [rad], positive where convex."""
    _slight: Corners
    """Those of them that are smooth, but for rounding in the drawing."""
    _corners: Corners
    """The others."""

    def _follow(self, segments: Sequence[Segment]) -> None:
        """Take up the segments, in a dataclass that says whether they are closed."""
        given = tuple(segments)
        if not 0 < len(given) <= MOST_SEGMENTS:
            raise ValueError(
                f"segments must be 1 to {MOST_SEGMENTS}, got {len(given)}; "
                + ("draw a line" if not given else "give the curve in parts")
            )
        track = Track(given)
        _check_joined(track, self.closed)
        long = np.diff(track.joints) > _NOTHING * track.length
        if not long.any():
            x, y = given[0].point(0.0)
            raise ValueError(
                f"the segments have no length: all of them lie at ({x:g}, {y:g}); draw a line "
                "there or leave them out"
            )
        if not long.all():
            given = tuple(s for s, kept in zip(given, long, strict=True) if kept)
            track = Track(given)
        sign, jumps = _turns(track, self.closed, self.outside)
        sharp = np.abs(jumps) > self._smallest
        held = sharp.copy()
        held[[0, -1]] = True
        kept = {
            "segments": given,
            "outside": "right" if sign > 0 else "left",
            "_track": track,
            "_sign": sign,
            "_jumps": jumps,
            "_slight": Corners(track.joints, np.where(sharp, 0.0, jumps)),
            "_corners": Corners(track.joints[held], np.where(sharp, jumps, 0.0)[held]),
        }
        for name, value in kept.items():
            object.__setattr__(self, name, value)

    @property
    def length(self) -> float:
        """Length along the curve [mm]."""
        return self._track.length

    @property
    def turn(self) -> float:
        """Total turning between the ends [rad]; more than a full turn on a spiral."""
        if self.closed:
            return FULL_TURN
        return float(self._sign * self._track.turn + self._jumps.sum())

    @property
    def corners(self) -> tuple[Corner, ...]:
        """The corners, from the start on; that of a closed curve's start comes first, once."""
        return self._corners.listed(self.closed)

    @property
    def joints(self) -> tuple[float, ...]:
        """Places between the ends where the curvature is another before and behind [mm]."""
        k = self._track.strokes.end_curvatures
        before, behind = k[1, :-1], k[0, 1:]
        with np.errstate(invalid="ignore"):
            size = np.maximum(np.maximum(np.abs(before), np.abs(behind)), 1 / self.length)
            other = (before != behind) & ~(np.abs(behind - before) <= 1e-6 * size)
        return tuple(self._track.joints[1:-1][other].tolist())

    def _located(self, place: ArrayLike) -> tuple[Floats, Numbers, Floats]:
        """Lengths along the curve, and segment and `t` of each in one row."""
        s = np.clip(self.on_curve(place), 0.0, self.length)
        n, t = self._track.locate(s.ravel())
        return s, self._track.pieces.segment[n], t

    def point(self, place: ArrayLike) -> Floats:
        """Points x and y [mm] at lengths along the curve; shape of `place` with 2 behind it."""
        s, i, t = self._located(place)
        return _pairs(self._track.strokes.values(i, t), s)

    def direction(self, place: ArrayLike) -> Floats:
        """Way of travel as x and y, of length 1; at a corner, that behind it."""
        s, i, t = self._located(place)
        return _pairs(self._track.strokes.headed(i, t), s)

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the curve; infinite at a corner.

        At a joint without a corner it is that of the segment that begins there.
        """
        s, i, t = self._located(place)
        smooth = self._sign * self._track.strokes.curvature(i, t).reshape(s.shape)
        corner = self._corners.curvature(s)
        return np.where(np.isinf(corner), corner, smooth)

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the curve; half of a corner at it."""
        s = np.clip(self.on_curve(place), 0.0, self.length)
        return self._smooth(s) + self._corners.turned(s)

    def _smooth(self, place: Floats) -> Floats:
        """Turning since the start [rad], that of corners left out."""
        turned = self._track.turned(*self._track.locate(place.ravel())).reshape(place.shape)
        return np.asarray(self._sign * turned + self._slight.turned(place))

    # How it bends ---------------------------------------------------------------------------------

    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place between two places along the curve [mm].

        A corner has infinite curvature, and so has an end of a segment that stands still there.
        """
        first, last = self.between(start, end)
        low, high = self._corners.extremes(first, last)
        smooth = self._tightest(first, last)
        return low or smooth[0], high or smooth[1]

    def _tightest(
        self, first: float, last: float, *, open_ends: bool = True
    ) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place, corners left out.

        Beside an end that stands still the curvature may be left out.
        """
        track = self._track
        segment, begin, end, _ = track.pieces
        level = Extreme(0.0, (first + last) / 2)
        within = (track.places[1:] > first) & (track.places[:-1] < last)
        line = track.strokes.size[segment] == 2
        n, some_line = np.flatnonzero(within & ~line), bool((within & line).any())
        if not n.size:
            return level, level
        (m_first, m_last), t = track.locate(np.array([first, last]))
        low = np.where(n == m_first, t[0], begin[n])
        high = np.where(n == m_last, t[1], end[n])  # else it ends at a joint

        def bend(n: Numbers, t: Floats) -> Floats:
            k = self._sign * track.strokes.curvature(segment[n], t)
            if not open_ends and track.strokes.still[:, segment[n]].any():
                k[self._by_open_end(n, t)] = 0.0
            return k

        share = np.linspace(0.0, 1.0, _LOOKS + 1)[:, None]
        places = low + (high - low) * share
        looked, step = bend(n, places), (high - low) / _LOOKS
        found = []
        for way in (-1.0, 1.0):
            top = np.argsort(-way * looked.ravel(), kind="stable")[:_REFINED]
            row, t = top % n.size, places.ravel()[top]
            i, reach = n[row], step[row]
            best = way * looked.ravel()[top]
            for _ in range(_CLOSER if looked.max() > looked.min() else 0):
                near = np.clip(t + reach * np.array([[-0.5], [0.5]]), low[row], high[row])
                value = way * bend(i, near)
                for side in (0, 1):
                    better = value[side] > best
                    t, best = np.where(better, near[side], t), np.where(better, value[side], best)
                reach = reach / 2
            one, seen = int(np.argmax(best)), way * looked.T.ravel()
            same = best[one] * (1 - np.copysign(1e-9, best[one]))
            first_seen = int(np.argmax(seen >= same))
            if seen[first_seen] >= same:  # the first place of an even bend
                i[one], t[one] = np.repeat(n, _LOOKS + 1)[first_seen], places.T.ravel()[first_seen]
            bent = (best[one] if some_line else np.abs(best[one])) * track.length > _LEVEL
            place = track.place(segment[i[one : one + 1]], t[one : one + 1])
            found.append(Extreme(float(way * best[one]), float(place[0])) if bent else level)
        return found[0], found[1]

    def _by_open_end(self, n: Numbers, t: Floats) -> Floats:
        """Whether places lie by an end where their segment stands still."""
        track = self._track
        segment = track.pieces.segment[n]
        still, turned = track.strokes.still[:, segment], track.turned(n, t)
        ends = track.turned_before
        early = np.abs(turned - ends[segment]) < _OPEN_END
        late = np.abs(turned - ends[segment + 1]) < _OPEN_END
        return np.asarray((still[0] & early) | (still[1] & late))

    def runs(self) -> tuple[Run, ...]:
        """The convex, straight and hollow runs, from the start to the end of the curve."""
        runs = [
            run if abs(run.turn) >= SLIGHT else run._replace(turn=0.0, side=0)
            for run in _merged(self._bits())
        ]
        kept: list[_Bit] = []
        for run in _merged(runs):
            if run.side or run.end - run.start > _SHORT * self.length:
                kept.append(run if kept else run._replace(start=0.0))
            elif kept:
                kept[-1] = kept[-1]._replace(end=run.end)
        return tuple(Run(r.start, r.end, r.turn if r.side else 0.0) for r in _merged(kept))

    def _bits(self) -> list[_Bit]:
        """Stretches that bend to one side and corners, in order."""
        track, strokes = self._track, self._track.strokes
        change = strokes.inflections()
        own, column = np.nonzero(~np.isnan(change))
        segment = np.append(own, np.arange(len(strokes)))
        t = np.append(change[own, column], np.zeros(len(strokes)))
        order = np.lexsort((t, segment))
        segment, t = segment[order], t[order]
        n = track.piece_at(segment, t)
        edges = np.append(track.place(segment, t), self.length)
        turns = self._sign * np.diff(np.append(track.turned(n, t), track.turn))
        jumps = self._jumps.copy()
        if self.closed:
            jumps[[0, -1]] /= 2  # one corner, half of it at either end
        at = np.append(np.where(t == 0, jumps[segment], 0.0), jumps[-1])
        turns, at = (np.where(np.abs(v) < _LEVEL, 0.0, v) for v in (turns, at))
        kept = np.ones(edges.size, dtype=bool)  # straight stretches in one line are one
        kept[1:-1] = (turns[1:] != 0) | (turns[:-1] != 0) | (at[1:-1] != 0)
        edge, bend, turn = edges[kept].tolist(), turns[kept[:-1]].tolist(), at[kept].tolist()
        corner = np.sign(turn).astype(int).tolist()
        bits = [_Bit(0.0, 0.0, turn[0], corner[0])]
        for i, own_turn in enumerate(bend):
            start, end, left, right = edge[i], edge[i + 1], corner[i], corner[i + 1]
            if own_turn:
                bits.append(_Bit(start, end, own_turn, int(np.sign(own_turn))))
            elif left * right < 0:
                middle = (start + end) / 2
                bits += [_Bit(start, middle, 0.0, left), _Bit(middle, end, 0.0, right)]
            else:
                bits.append(_Bit(start, end, 0.0, left or right))
            bits.append(_Bit(end, end, turn[i + 1], right))
        return [bit for bit in bits if bit.side or bit.end > bit.start]

    # Beside it ------------------------------------------------------------------------------------

    def length_at(
        self, offset: ArrayLike, *, start: float = 0.0, end: float | None = None
    ) -> Floats:
        """Length of the parallel curve, of all of it or between two places."""
        distance = finite(offset, "offset")
        first, last = self.between(start, end)
        check_fold(distance, self._tightest(first, last, open_ends=False))
        self._check_slight(distance, first, last)
        turned = np.diff(self._smooth(np.array([first, last])))[0]
        weight, turns = self._corners.weights(first, last), self._corners.turns
        length = np.array((last - first) + distance * turned)
        for side in (1.0, -1.0):
            there = side * distance > 0
            if there.any():
                depths, back = np.unique(distance[there], return_inverse=True)
                rounded = depths * float(weight @ np.where(side * turns > 0, turns, 0.0))
                try:
                    lost = self._lost(depths, first, last)
                except _UsedUp:
                    raise self._folded(float(side * np.abs(depths).max()), first, last) from None
                length[there] += (rounded - lost)[back]
        return length

    def _folded(self, offset: float, first: float, last: float) -> ValueError:
        """The error for what is used up by its corners, with the depth at which it is."""
        low, high, piece = 0.0, 1.0, (first, last)
        for _ in range(_HALVED):
            middle = (low + high) / 2
            try:
                self._lost(np.array([middle * offset]), first, last)
                low = middle
            except _UsedUp as used:
                high, piece = middle, used.args
        return ValueError(
            f"an offset of {offset:g} mm folds the layer over itself: the part from "
            f"{piece[0]:.1f} to {piece[1]:.1f} mm along the curve is used up by its corners at a "
            f"depth of {high * abs(offset):.2f} mm; use an offset below that or an easier curve"
        )

    def _check_slight(self, distance: Floats, first: float, last: float) -> None:
        """Raise ValueError if bends drawn as many short lines would fold.

        The length of the parallel curve up to a place must not fall on the way, but for what a
        slight turn at one joint may do.
        """
        if not self._slight.turns.any():
            return
        joints = self._track.joints
        places = np.concatenate([[first], joints[(joints > first) & (joints < last)], [last]])
        turned = self._smooth(places)
        for d in (float(distance.min()), float(distance.max())):
            up_to = places + d * turned
            back = np.maximum.accumulate(up_to) - up_to > abs(d) * _OPEN_END
            if back.any():
                raise ValueError(
                    f"an offset of {d:g} mm folds the layer over itself: the bend before "
                    f"{places[back][0]:.1f} mm along the curve, drawn in many short segments, is "
                    "tighter than that; use a smaller offset or an easier curve"
                )

    def _lost(self, depths: Floats, first: float, last: float) -> Floats:
        """What a layer loses at the corners hollow on its side [mm], at each depth [mm]."""
        at, turns = self._corners.places, self._corners.turns
        slack = 1e-9 * self.length
        within = self._corners.weights(first, last) > 0
        lost = np.zeros(depths.size)
        used = np.zeros((at.size + 1, depths.size))  # of what lies before each corner and the end
        hollow = np.flatnonzero(within & (np.sign(depths[0]) * turns < 0))
        tight, easy = np.tan(np.abs(turns[hollow]) / 2), self._between_lines(hollow, depths)
        inner = at[hollow] > first + slack, at[hollow] < last - slack
        for piece, counts in ((hollow, inner[0] & easy), (hollow + 1, inner[1] & easy)):
            used[piece[counts]] += tight[counts, None] * np.abs(depths)
        lost += used.sum(axis=0)
        for n in hollow[~easy].tolist():
            before, behind = self._meeting(n, depths)
            for length, begin, piece, counts in (
                (before, at[n] - before, n, at[n] > first + slack),
                (behind, np.full(depths.size, at[n]), n + 1, at[n] < last - slack),
            ):
                if counts:
                    lost += length + depths * (self._smooth(begin + length) - self._smooth(begin))
                    used[piece] += length
        ends = np.concatenate([[first], np.clip(at, first, last), [last]])
        over = (used >= np.diff(ends)[:, None] * (1 - 1e-9)) & (used > 0)
        if over.any():
            i = int(np.argwhere(over)[0][0])
            raise _UsedUp(ends[i], ends[i + 1])
        return lost

    def _between_lines(self, corners: Numbers, depths: Floats) -> NDArray[np.bool_]:
        """Whether the parallel curves at corners meet beside the straight lines that end there."""
        own, line = np.diff(self._track.joints), self._track.strokes.size == 2
        joint = np.searchsorted(self._track.joints, self._corners.places[corners])
        reach = np.abs(depths).max() * np.tan(np.abs(self._corners.turns[corners]) / 2)
        before, behind = (joint - 1) % own.size, joint % own.size
        short = np.minimum(own[before], own[behind])
        return np.asarray(line[before] & line[behind] & (reach < short))

    def _meeting(self, corner: int, depths: Floats) -> tuple[Floats, Floats]:
        """How far before and behind a hollow corner the parallel curves of its sides meet [mm].

        Between straight lines that is ``d tan(a/2)`` either way. Newton's steps begin where the
        two are seen to cross the middle between them.
        """
        at = self._corners.places
        one = self.closed and corner in (0, at.size - 1)
        ends = (at.size - 1, 0) if one else (corner, corner)
        place = at[ends[0]], at[ends[1]]
        free = place[0] - at[ends[0] - 1], at[ends[1] + 1] - place[1]
        free = free[0] * (1 - 1e-9), free[1] * (1 - 1e-9)  # short of the next corners
        away = min(free) * np.linspace(0.0, 1.0, _MEETING_LOOKS + 1) ** 3
        many, offset = np.tile(away, depths.size), np.repeat(depths, away.size)
        p, along_p = self._beside(place[0] - many, offset, ending=True)
        q, along_q = self._beside(place[1] + many, offset)
        apart = cross(along_q[0] - along_p[0], p - q).reshape(depths.size, -1)
        other = np.sign(apart) != np.sign(apart[:, :1])
        straight = np.abs(depths) * np.tan(np.abs(self._corners.turns[corner]) / 2)
        seen = away[np.argmax(other, axis=1)]
        before = behind = np.where(other.any(axis=1), seen, np.minimum(straight, min(free)))
        for _ in range(_MEETING_CLOSER):
            p, along_p = self._beside(place[0] - before, depths, ending=True)
            q, along_q = self._beside(place[1] + behind, depths)
            gap, across = p - q, cross(along_p, along_q)
            if (np.abs(gap) <= 1e-13 * self.length).all():
                break
            across = np.where(across == 0, np.inf, across)
            before = np.clip(before + cross(gap, along_q) / across, 0.0, free[0])
            behind = np.clip(behind + cross(along_p, gap) / across, 0.0, free[1])
        missed = ~(np.abs(gap) <= 2 * SLIGHT * np.abs(depths) + 1e-9 * self.length)
        if missed.any():
            raise _UsedUp(place[0] - free[0], place[1] + free[1])
        return before, behind

    def _beside(
        self, place: Floats, offset: Floats, *, ending: bool = False
    ) -> tuple[Points, Points]:
        """Points of the parallel curve, and how they move along with the place.

        At a corner it is that of the segment behind it, or of the one before it if asked for.
        """
        n, t = self._track.locate(place, ending=ending)
        strokes, i = self._track.strokes, self._track.pieces.segment[n]
        way = strokes.headed(i, t)
        k = self._sign * np.clip(strokes.curvature(i, t), -_TIGHTEST, _TIGHTEST)
        out = -1j * self._sign * way
        return strokes.values(i, t) + offset * out, (1 + offset * k) * way

    def place_of(self, point: ArrayLike) -> Nearest:
        """The place nearest to a point, x and y [mm], and how far it is from there [mm].

        Of several that are equally near, the first along the curve.
        """
        return Nearest(*self._track.nearest(_point(point, "point")))

    def crossed_by(self, start: ArrayLike, end: ArrayLike) -> tuple[float, ...]:
        """Places where a straight line crosses the curve."""
        a, b = _point(start, "start"), _point(end, "end")
        if abs(b - a) <= JOINS:
            raise ValueError(
                f"start and end of the line must lie apart, got ({a.real:g}, {a.imag:g}) twice"
            )
        places = self._track.crossings(a, b, open_ends=not self.closed, reach=JOINS)
        if self.closed and places.size and places[-1] >= self.length - JOINS:
            places = np.unique(np.append(0.0, places[:-1][places[:-1] > JOINS]))
        return tuple(places.tolist())

    # Made from it ---------------------------------------------------------------------------------

    def part(self, start: float, end: float) -> Drawn:
        """The part between two places, as an open curve."""
        first, last = (single(self.on_curve(v), n) for v, n in ((start, "start"), (end, "end")))
        over = self.closed and last < first
        legs = [(first, self.length), (0.0, last)] if over else [self.between(first, last)]
        return Drawn([s for leg in legs for s in self._cut(*leg)], outside=self.outside)

    def _cut(self, first: float, last: float) -> list[Segment]:
        """The segments, and parts of segments, between two places [mm]."""
        joints = self._track.joints
        low, high = np.maximum(joints[:-1], first), np.minimum(joints[1:], last)
        held = np.flatnonzero(high - low > 1e-12 * self.length).tolist()
        _, i, t = self._located([first, last])
        begin = {int(i[0]): float(t[0])}
        end = {int(i[1]): float(t[1])}
        return [
            self.segments[n].cut(begin.get(n, 0.0), end.get(n, 1.0))
            if n in begin or n in end
            else self.segments[n]
            for n in held
        ]

    def reversed(self) -> Drawn:
        """The same curve from its end to its start, with its outside where it was."""
        turned = [s.reversed() for s in reversed(self.segments)]
        return Drawn(turned, self.closed, _OTHER[self.outside])

    def mirrored(self) -> Drawn:
        """The curve of the same piece turned over: x becomes -x.

        The way runs in the same order, so every place keeps its length along the curve. The
        outside changes from left to right, so what is convex stays convex.
        """
        over = [s.transformed([[-1, 0, 0], [0, 1, 0]]) for s in self.segments]
        return Drawn(over, self.closed, _OTHER[self.outside])


@dataclass(frozen=True, eq=False)
class Drawn(Chain):
    """Segments of a drawing, each beginning where the one before it ends.

    Parameters
    ----------
    segments : sequence of Bezier or EllipseArc
        In order along the way; at most 100 000. Those without length are left out.
    closed : bool
        Whether the last one ends where the first one begins.
    outside : {"left", "right"}
        Which side of the way is the outside, seen along the way with x to the right and y up. A
        closed curve finds it by itself, where it encloses nothing, and says it here.

    Lengths are within 1e-9 of themselves, see `lengths`.

    Where the directions of two segments differ by 0.1 deg or more there is a corner; less is
    taken for rounding in the drawing, and is part of the turn only. A layer at the distance d
    takes a corner of turn a as in a `Polyline`: it goes round in an arc on the convex side, and
    on the hollow one it ends where the two parallel curves meet. Between straight lines it loses
    ``2 d tan(a/2)`` there, beside bends a little more or less.

    A tip where the way turns back is a corner of half a turn, to the other side than the curve
    bends beside it. The curvature is infinite at every corner, with the sign of its turn. It also
    grows beyond all bounds towards the end of a cubic curve whose handle is drawn in; there it is
    infinite as well. A fold within the first degree of turning from such an end is not looked
    for, nor whether parts far apart along the curve run into each other or cross.
    """

    segments: Sequence[Segment]
    closed: bool = False
    outside: Side = "left"

    def __post_init__(self) -> None:
        self._follow(self.segments)


_OTHER: dict[Side, Side] = {"left": "right", "right": "left"}


class _Bit(NamedTuple):
    """A stretch or a corner, and to which side it counts: 1 convex, 0 straight, -1 hollow."""

    start: float
    end: float
    turn: float
    side: int


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


def _check_joined(track: Track, closed: bool) -> None:
    """Raise ValueError where a segment turns back, or does not begin where the last one ends."""
    begin, end = track.strokes.ends
    gap = np.abs(np.roll(begin, -1) - end)
    if not closed:
        gap[-1] = 0.0
    apart = np.flatnonzero(gap > JOINS)
    if apart.size:
        i = int(apart[0])
        after = (i + 1) % begin.size
        last = " (the last)" if after == 0 else ""
        whole = "a closed curve comes back to its start" if after == 0 else "join them"
        raise ValueError(
            f"segment {i + 1}{last} ends at ({end[i].real:.9g}, {end[i].imag:.9g}), but segment "
            f"{after + 1} begins at ({begin[after].real:.9g}, {begin[after].imag:.9g}), "
            f"{gap[i]:.3g} mm away; {whole}, or give them as curves of their own"
        )
    number, t = track.strokes.cusps()
    own = np.diff(track.joints)[number] > _NOTHING * track.length
    if own.any():
        number, t = number[own][:1], t[own][:1]
        at = complex(track.strokes.values(number, t)[0])
        raise ValueError(
            f"segment {number[0] + 1} stands still and turns back at ({at.real:.4g}, "
            f"{at.imag:.4g}); put a node there, so that one segment ends and the next one begins"
        )


def _turns(track: Track, closed: bool, outside: Side) -> tuple[float, Floats]:
    """Which side is outside, and the turn at each joint, positive where convex.

    At a tip, where the way turns by half a turn, the curvatures of its two flanks tell on which
    side they lie of each other: the tip turns to the other side. Where they do not tell, a closed
    curve turns so that it goes round once, and an open one to the convex side.
    """
    ends, k = track.strokes.directions, track.strokes.end_curvatures
    jumps = np.angle(np.append(ends[0], ends[0, 0]) / np.append(ends[1, -1], ends[1]))
    with np.errstate(invalid="ignore"):
        bend = np.append(k[0], k[0, 0]) + np.append(k[1, -1], k[1])
    level = ~(np.abs(bend) * track.length > 1e-9)  # or two infinite ones against each other
    tip = np.abs(jumps) > np.pi - _TIP
    jumps = np.where(tip, -np.copysign(np.pi, bend), jumps)
    if not closed:
        sign = outside_sign(0.0, False, outside)
        jumps = np.where(tip & level, sign * np.pi, jumps)
        jumps[[0, -1]] = 0.0
        return sign, sign * jumps
    outside_sign(1.0, True, outside)
    for way in (1.0, -1.0):
        tried = np.where(tip & level, way * np.pi, jumps)
        total = track.turn + float(tried[:-1].sum())
        if abs(abs(total) - FULL_TURN) < 1e-6:
            return float(np.sign(total)), np.sign(total) * tried
    raise ValueError(
        f"a closed curve goes round once, got {abs(total) / FULL_TURN:.0f} times; take out loops "
        "and places where it crosses itself"
    )


class _UsedUp(Exception):
    """What lies between two places is used up by its corners."""


def _pairs(values: Points, places: Floats) -> Floats:
    """Points x + iy as pairs, one for each place."""
    return np.stack([values.real, values.imag], axis=-1).reshape(*places.shape, 2)


def _point(value: ArrayLike, name: str) -> complex:
    """A point x, y as x + iy."""
    xy = finite(value, name)
    if xy.shape != (2,):
        raise ValueError(f"{name} must be one pair of x and y, got shape {xy.shape}")
    return complex(xy[0], xy[1])
