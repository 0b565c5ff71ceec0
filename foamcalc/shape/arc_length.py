"""How long drawn segments are: Gauss on pieces that are cut with foresight."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from foamcalc.shape.plane import Floats
from foamcalc.shape.segments import Segment
from foamcalc.shape.speed import Numbers, Points, Speeds

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


def lengths(segments: Sequence[Segment]) -> Floats:
    """Length of each segment.

    Parameters
    ----------
    segments : sequence of Bezier or EllipseArc
        Any number of them, in any order.

    Returns
    -------
    ndarray, shape (n,)
        Lengths [mm], within 1e-9 of themselves.

    Raises
    ------
    TypeError
        For something that is no segment, with its number, counted from 1.

    Notes
    -----
    The length is the integral of the speed, by Gauss's rule with 16 nodes on pieces of each
    segment. The speed of a Bezier curve is ``|c| |t - z1| |t - z2|`` with z1 and z2 complex, that
    of an arc vanishes once in each half turn, at a complex angle as well. How well the rule works
    depends only on how far these places lie from the piece, so each segment is cut beforehand,
    the finer the nearer it comes to one of them. A segment that stands still or doubles back on
    the way is as long as the way of a pen that follows it.

    Examples
    --------
    A straight line, and a quarter of a circle of radius 50:

    >>> from foamcalc.shape.segments import Bezier, EllipseArc
    >>> line = Bezier([(0, 0), (30, 40)])
    >>> arc = EllipseArc(centre=(0, 0), u=(50, 0), v=(0, 50), start=0, sweep=np.pi / 2)
    >>> print(lengths([line, arc]).round(9))
    [50.         78.53981634]
    """
    speeds = Speeds(segments)
    found = np.zeros(len(speeds))
    for part in _parts(speeds):
        found += np.bincount(part.segment, part.length, minlength=found.size)
    return found


def pieces(speeds: Speeds) -> Pieces:
    """Cut segments into pieces on which one rule of Gauss gives the length."""
    parts = _parts(speeds)
    return Pieces(
        np.concatenate([p.segment for p in parts]),
        np.concatenate([p.begin for p in parts]),
        np.concatenate([p.end for p in parts]),
        np.concatenate([p.length for p in parts]),
    )


def _parts(speeds: Speeds) -> list[Pieces]:
    """Pieces of the straight lines, of the other Bezier curves and of the arcs."""
    straight, bent, arcs = (
        np.flatnonzero(those) for those in (speeds.size == 2, speeds.size > 2, speeds.arc)
    )
    zero, one = np.zeros(straight.size), np.ones(straight.size)
    found = [Pieces(straight, zero, one, speeds.speed(straight, zero))]
    for numbers, stops in ((bent, speeds.roots[bent]), (arcs, speeds.stops_of(arcs))):
        row, begin, end = _cut(stops)
        segment = numbers[row]
        found.append(Pieces(segment, begin, end, piece_lengths(speeds, segment, begin, end)))
    return found


def _cut(stops: Points) -> tuple[Numbers, Floats, Floats]:
    """Cut segments until each piece is clear of all stops: row of the segment, begin and end."""
    row = np.arange(len(stops))
    begin, end = np.zeros(row.size), np.ones(row.size)
    done = []
    while True:
        cut = _cuts(begin, end, stops[row])
        clear = np.isnan(cut)
        done.append((row[clear], begin[clear], end[clear]))
        if clear.all():
            break
        row, begin, end, cut = row[~clear], begin[~clear], end[~clear], cut[~clear]
        row = np.concatenate([row, row])
        begin, end = np.concatenate([begin, cut]), np.concatenate([cut, end])
    return (
        np.concatenate([d[0] for d in done]),
        np.concatenate([d[1] for d in done]),
        np.concatenate([d[2] for d in done]),
    )


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


def piece_lengths(speeds: Speeds, segment: Numbers, begin: Floats, end: Floats) -> Floats:
    """Length from `begin` to `end` on each of these segments, within one piece [mm]."""
    length = np.empty(segment.size)
    for first in range(0, segment.size, _BLOCK):
        part = slice(first, first + _BLOCK)
        wide = end[part] - begin[part]
        speed = speeds.speed(segment[part], begin[part] + wide * _NODES[:, None])
        length[part] = wide * (_WEIGHTS @ speed)
    return length
