"""Drawn segments side by side in arrays: points, directions, bends, and how long they are.

Points are complex numbers here, x + iy: the cross product of a and b is then the imaginary part
of ``conj(a) b``, their dot product its real part.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from operator import attrgetter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.shape.plane import Floats
from foamcalc.shape.segments import PACKED, Segment

Points = NDArray[np.complex128]
Numbers = NDArray[np.intp]
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
_NODES, _WEIGHTS = (_NODES + 1) / 2, _WEIGHTS / 2
"""Gauss and Legendre's rule with 16 nodes, from 0 to 1."""
_CLEAR = 1.25
"""How far a place where the speed vanishes must be from both ends of a piece together, in pieces.

With r + 1/r = 2 * 1.25 the rule is then off by about a hundredth of r^-32, which is 2e-12.
"""
_CLOSE = 3e-7
"""Nearer to the way than this share of a segment, such a place is on it: an error of 1e-12."""
_NEAR = (_CLEAR - 1) / (_CLEAR + 1)
"""The share of a piece that is cut off towards such a place; the rest is then clear of it."""
_BLOCK = 768
"""Pieces that are worked on at a time, so few that the processor keeps them at hand."""
_STILL = 1e-9
"""Speed, as a share of the highest, below which an end gives no direction by itself."""
_CUSP = 1e-11
"""Speed, as a share of the highest, below which a segment stands still and turns round."""


class Pieces(NamedTuple):
    """Segments cut into pieces on which one rule of Gauss gives the length."""

    segment: Numbers
    """Which segment each belongs to."""
    begin: Floats
    """Where on the segment it begins, as `t`."""
    end: Floats
    """Where it ends."""
    length: Floats
    """How long it is [mm]."""

    def taken(self, n: Numbers) -> Pieces:
        """Some of them."""
        return Pieces(self.segment[n], self.begin[n], self.end[n], self.length[n])


def lengths(segments: Sequence[Segment]) -> Floats:
    """Length of each segment.

    The length is the integral of the speed, by Gauss's rule with 16 nodes on pieces of each
    segment. The speed of a Bezier curve is ``|c| |t - z1| |t - z2|`` with z1 and z2 complex, that
    of an arc vanishes once in each half turn, at a complex angle as well. How well the rule works
    depends only on how far these places lie from the piece, so each segment is cut beforehand,
    the finer the nearer it comes to one of them. A segment that stands still or doubles back on
    the way is as long as the way of a pen that follows it.
    """
    found = pieces(strokes := Strokes(segments))
    return np.bincount(found.segment, found.length, len(strokes)).astype(float, copy=False)


class Strokes:
    """Segments side by side, numbered from 0.

    In every method `i` of shape (k,) holds numbers of segments, `t` of shape (..., k) where on
    them, from 0 to 1.
    """

    def __init__(self, segments: Sequence[Segment]) -> None:
        try:
            packed = b"".join(map(attrgetter("packed"), segments))
        except AttributeError:
            raise _no_segment(segments) from None
        rows = np.frombuffer(packed).reshape(-1, PACKED)
        self.size: Numbers = rows[:, 0].astype(np.intp)
        """How many control points each has; 0 for an arc."""
        self.arc: NDArray[np.bool_] = self.size == 0
        pairs: Points = np.ascontiguousarray(rows[:, 1:]).view(complex).T
        step = np.diff(pairs, axis=0)
        one, two, three = np.array([[0, 0, 1, 2, 3], [0, 0, 0, 1, 3], [0, 0, 0, 0, 1]])[
            :, self.size
        ]
        # Of a Bezier curve the coefficients of 1, t, t² and t³. Of an arc the centre, the parts
        # that turn left, with exp(ia), and right, start and sweep.
        self._form: Points = np.zeros((5, len(rows)), complex)
        self._form[:4] = (
            pairs[0],
            one * step[0],
            two * (step[1] - step[0]),
            three * (step[2] - 2 * step[1] + step[0]),
        )
        # Bezier: coefficients of 1, t and t² of the derivative, as x and as y. Arc: start, counted
        # from a place of the least speed; sweep; size of the least speed and of the swing; size of
        # the parts that turn left and right.
        self._rates: Floats = np.empty((6, len(rows)))
        rates = self._form[1:4] * [[1], [2], [3]]
        self._rates[:3], self._rates[3:] = rates.real, rates.imag
        arcs = np.flatnonzero(self.arc)
        centre, u, v, angles = pairs[:, arcs]
        left, right, start, sweep = (u - 1j * v) / 2, (u + 1j * v) / 2, angles.real, angles.imag
        self._form[:, arcs] = centre, left, right, start, sweep
        size_left, size_right = np.abs(left), np.abs(right)
        least, swing = size_left - size_right, 2 * np.sqrt(size_left * size_right)
        slow = (np.angle(right) - np.angle(left)) / 2
        self._rates[:, arcs] = np.array(
            [start - slow, sweep, sweep * least, sweep * swing, size_left, size_right]
        )

    def __len__(self) -> int:
        return len(self.arc)

    def speed(self, i: Numbers, t: Floats) -> Floats:
        """Speed [mm]."""
        arcs = self.arc[i]
        if arcs.all():
            begin, sweep, least, most = self._rates[:4, i]
            swing = most * np.sin(begin + sweep * t)
            return np.asarray(np.sqrt(least * least + swing * swing))
        if not arcs.any():
            a, b, c, d, e, f = self._rates[:, i]
            x, y = (c * t + b) * t + a, (f * t + e) * t + d
            return np.asarray(np.sqrt(x * x + y * y))
        out = np.empty(t.shape)
        for those in (arcs, ~arcs):
            out[..., those] = self.speed(i[those], t[..., those])
        return out

    def values(self, i: Numbers, t: Floats, order: int = 0) -> Points:
        """Points, or their first or second derivative by `t` [mm]."""
        arcs = self.arc[i]
        if arcs.any() and not arcs.all():
            out = np.empty(t.shape, complex)
            for those in (arcs, ~arcs):
                out[..., those] = self.values(i[those], t[..., those], order)
            return out
        b0, b1, b2, b3, b4 = self._form[:, i]
        if arcs.any():
            spin, rate = np.exp(1j * (b3.real + b4.real * t)), 1j * b4.real
            swung = rate**order * b1 * spin + (-rate) ** order * b2 * np.conj(spin)
            return np.asarray(swung + (b0 if order == 0 else 0))
        if order == 0:
            return np.asarray(b0 + t * (b1 + t * (b2 + t * b3)))
        return np.asarray(b1 + t * (2 * b2 + 3 * t * b3) if order == 1 else 2 * b2 + 6 * t * b3)

    @cached_property
    def stops(self) -> Points:
        """Where the speed vanishes, as complex `t`, shape (n, 5); NaN fills the rows up.

        A Bezier curve has two such places, an arc one in each half turn; those from a quarter
        turn or more before its start to as far behind its end are given.
        """
        out = np.full((len(self), 5), np.nan, complex)
        bent, arcs = np.flatnonzero(self.size > 2), np.flatnonzero(self.arc)
        b1, b2, b3 = self._form[1:4, bent] * [[1], [2], [3]]
        begin, sweep, _, _, left, right = self._rates[:, arcs]
        with np.errstate(all="ignore"):
            root = np.sqrt(b2 * b2 - 4 * b1 * b3)
            q = -(b2 + np.where((np.conj(b2) * root).real < 0, -root, root)) / 2
            out[bent, 0], out[bent, 1] = q / b3, b1 / q
            step = np.pi / np.abs(sweep)
            first = -begin / sweep
            first -= step * np.floor((first + step / 2) / step)
            beside = np.log(right / left) / (2 * sweep)
            out[arcs] = (first + 1j * beside)[:, None] + step[:, None] * np.arange(5)
        out[~np.isfinite(out)] = np.nan
        return out

    @cached_property
    def highest(self) -> Floats:
        """A bound of the speed of each segment that it comes near [mm], shape (n,)."""
        _, b1, b2, b3, b4 = self._form
        bezier = np.abs([b1, b1 + b2, b1 + 2 * b2 + 3 * b3]).max(axis=0)
        return np.asarray(np.where(self.arc, (np.abs(b1) + np.abs(b2)) * np.abs(b4), bezier))

    def cusps(self) -> tuple[Numbers, Floats]:
        """Segments that stand still between their ends, and where, as `t`."""
        i, column = np.nonzero((self.stops.real > 0) & (self.stops.real < 1))
        t = self.stops[i, column].real
        kept = np.abs(self.values(i, t, 1)) <= _CUSP * self.highest[i]
        kept &= ~self.still[np.where(t < 0.5, 0, 1), i] | (np.abs(t - 0.5) < 0.5 - _CLOSE)
        return i[kept], t[kept]

    def inflections(self) -> Floats:
        """Where Bezier curves change the side they bend to, as `t`, shape (n, 2), or NaN."""
        b1, b2, b3 = self._form[1:4] * [[1], [2], [3]]
        a, b, c = cross(b2, b3), 2 * cross(b1, b3), cross(b1, b2)
        with np.errstate(all="ignore"):
            q = -(b + np.copysign(np.sqrt(b * b - 4 * a * c), b)) / 2
            found = np.stack([q / a, c / q], axis=1)
            found[~((found > 0) & (found < 1)) | self.arc[:, None]] = np.nan
        return np.asarray(found)

    @cached_property
    def still(self) -> NDArray[np.bool_]:
        """Whether each segment stands still at its start and at its end, shape (2, n)."""
        return np.asarray(np.abs(self._at_ends(1)) <= _STILL * self.highest)

    def _at_ends(self, order: int) -> Points:
        """Points or derivatives at both ends, shape (2, n)."""
        both = np.zeros((2, len(self)))
        both[1] = 1.0
        return self.values(np.arange(len(self)), both, order)

    @cached_property
    def ends(self) -> Points:
        """Where segments begin and end, shape (2, n)."""
        return self._at_ends(0)

    @cached_property
    def directions(self) -> Points:
        """Directions in which segments set out and come in, of length 1, shape (2, n).

        Where a segment stands still at an end, the direction it takes up there.
        """
        out = self._at_ends(1)
        if self.still.any():
            out = np.where(self.still, [[1.0], [-1.0]] * self._at_ends(2), out)
            third = self.still & (np.abs(out) <= _STILL * self.highest)
            out = np.where(third, np.where(self.arc, 0, self._form[3]), out)
        with np.errstate(all="ignore"):
            return np.asarray(out / np.abs(out))

    @cached_property
    def end_curvatures(self) -> Floats:
        """Curvature [1/mm] of each segment at its start and at its end, shape (2, n)."""
        both = np.zeros((2, len(self)))
        both[1] = 1.0
        return self.curvature(np.arange(len(self)), both)

    def headed(self, i: Numbers, t: Floats) -> Points:
        """Directions of length 1."""
        way = self.values(i, t, 1)
        speed = np.abs(way)
        still = speed <= _STILL * self.highest[i]
        if still.any():
            begin, end = self.directions[:, i]
            way = np.where(still, np.where(t < 0.5, begin, end), way)
            speed = np.where(still, 1.0, speed)
        return np.asarray(way / speed)

    def curvature(self, i: Numbers, t: Floats) -> Floats:
        """Curvature [1/mm], to the left positive; infinite where the segment stands still."""
        first, second = self.values(i, t, 1), self.values(i, t, 2)
        speed = np.abs(first)
        still = speed <= _STILL * self.highest[i]
        k = cross(first, second) / np.where(still, 1.0, speed) ** 3
        if still.any():
            inner = np.where(t < 0.5, 1e-5, 1 - 1e-5)
            beside = cross(self.values(i, inner, 1), self.values(i, inner, 2))
            level = np.abs(beside) <= 1e-12 * self.highest[i] ** 2
            k = np.where(still, np.where(level, 0.0, np.copysign(np.inf, beside)), k)
        return np.asarray(k)


def cross(a: Points | complex, b: Points | complex) -> Floats:
    """Cross product of vectors in the plane."""
    return np.asarray((np.conj(a) * b).imag)


def pieces(strokes: Strokes) -> Pieces:
    """Cut segments until each piece is clear of all places where the speed vanishes."""
    straight, stops = np.flatnonzero(strokes.size == 2), strokes.stops
    done = [(straight, np.zeros(straight.size), np.ones(straight.size))]
    for row, wide in ((np.flatnonzero(strokes.size > 2), 2), (np.flatnonzero(strokes.arc), 5)):
        begin, end = np.zeros(row.size), np.ones(row.size)
        while row.size:
            cut = _cuts(begin, end, stops[row, :wide])
            clear = np.isnan(cut)
            done.append((row[clear], begin[clear], end[clear]))
            row, begin, end, cut = row[~clear], begin[~clear], end[~clear], cut[~clear]
            row = np.concatenate([row, row])
            begin, end = np.concatenate([begin, cut]), np.concatenate([cut, end])
    found = [np.concatenate(column) for column in zip(*done, strict=True)]
    segment, begin, end = found
    length = np.empty(segment.size)
    length[: straight.size] = strokes.speed(straight, begin[: straight.size])
    bent = slice(straight.size, None)
    length[bent] = piece_lengths(strokes, segment[bent], begin[bent], end[bent])
    return Pieces(segment, begin, end, length)


def _cuts(begin: Floats, end: Floats, stops: Points) -> Floats:
    """Where pieces must be cut once more; NaN where they are clear of all stops.

    Places as far from both ends together as `_CLEAR` lengths of the piece lie on an ellipse
    round it with its ends as the foci.
    """
    x, y = stops.real, stops.imag
    half, middle = (end - begin) / 2, (begin + end) / 2
    inside = (x > begin[:, None]) & (x < end[:, None])
    with np.errstate(over="ignore"):  # farther than any number is far enough
        off = (x - middle[:, None]) ** 2 / _CLEAR**2 + y**2 / (_CLEAR**2 - 1)
    off[np.isnan(off) | ((np.abs(y) < _CLOSE) & ~inside)] = np.inf
    row, worst = np.arange(begin.size), np.argmin(off, axis=1)
    cut = np.where(x[row, worst] <= begin, begin + 2 * _NEAR * half, end - 2 * _NEAR * half)
    cut = np.where(inside[row, worst], x[row, worst], cut)
    return np.where(off[row, worst] < half**2, cut, np.nan)


def piece_lengths(strokes: Strokes, segment: Numbers, begin: Floats, end: Floats) -> Floats:
    """Length from `begin` to `end` on each of these segments, within one piece [mm]."""
    length = np.empty(segment.size)
    for first in range(0, segment.size, _BLOCK):
        part = slice(first, first + _BLOCK)
        wide = end[part] - begin[part]
        speed = strokes.speed(segment[part], begin[part] + wide * _NODES[:, None])
        length[part] = wide * (_WEIGHTS @ speed)
    return length


def _no_segment(segments: Sequence[Segment]) -> TypeError:
    """The error for the first thing that is no segment."""
    number = next(i for i, s in enumerate(segments) if not hasattr(s, "packed"))
    return TypeError(
        f"segment {number + 1} must be a Bezier or an EllipseArc, got "
        f"{type(segments[number]).__name__}"
    )
