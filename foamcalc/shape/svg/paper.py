"""Shapes at true size: outlines in mm, y up, and the way back into the drawing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from foamcalc.shape.drawn import Drawn
from foamcalc.shape.outline import Side
from foamcalc.shape.plane import Floats
from foamcalc.shape.segments import Bezier, Segment, is_straight
from foamcalc.shape.svg.lengths import INCH, real_mm, said
from foamcalc.shape.svg.path_data import Outline
from foamcalc.shape.svg.shapes import LENGTHS, outlines
from foamcalc.shape.svg.tree import Node
from foamcalc.shape.svg.walk import Placed

CLOSE: Final = 0.01
"""Ends of an outline that lie nearer together are one [mm]; a knife cannot tell (assumed)."""
_LOOKS = 33


@dataclass(frozen=True, eq=False)
class Line:
    """One outline of a drawing on paper."""

    node: Node
    """The shape that draws it."""
    segments: tuple[Segment, ...]
    """[mm], x to the right and y up from the lower left corner of the page."""
    closed: bool
    to_user: Floats
    """2 x 3 matrix from mm back to the user units in which the shape itself is written."""

    def curve(self, outside: Side = "left") -> Drawn:
        """Its course; ValueError for an outline that cannot be an edge."""
        return Drawn(self.segments, closed=self.closed, outside=outside)

    @cached_property
    def corners(self) -> Floats:
        """Lower left and upper right of a box round it [mm], shape (2, 2); maybe too wide."""
        boxes = np.array([_box(segment) for segment in self.segments])
        return np.array([boxes[:, 0].min(axis=0), boxes[:, 1].max(axis=0)])

    @cached_property
    def chords(self) -> Floats:
        """Points along it, near enough for a look [mm], shape (n, 2)."""
        steps = np.linspace(0, 1, _LOOKS)
        return np.concatenate(
            [s.points if is_straight(s) else s.point(steps) for s in self.segments]
        )

    @cached_property
    def slack(self) -> float:
        """How far the outline keeps within its chords at least [mm]; 0 where all is straight.

        A chord here turns by 0.2 rad as a rule and then lies within a fortieth of its length; ten
        times that is taken.
        """
        if all(is_straight(s) for s in self.segments):
            return 1e-9
        return 0.25 * float(np.hypot(*np.diff(self.chords, axis=0).T).max())


def _box(segment: Segment) -> Floats:
    """Two corners of a box that holds a segment [mm]."""
    if isinstance(segment, Bezier):
        return np.array([segment.points.min(axis=0), segment.points.max(axis=0)])
    reach = np.hypot(segment.u, segment.v)
    return np.array([segment.centre - reach, segment.centre + reach])


def on_paper(placed: Placed, per_inch: float) -> list[Line]:
    """The outlines of one shape, at true size.

    An outline whose ends lie within 0.01 mm of each other is closed, whether or not it says so.
    A closing line as short as that, which rounding leaves behind, is taken up by the segment
    before it: it would make two sharp corners where there are none.
    """
    a, b, c, d, e, f = placed.matrix
    matrix = np.array([[a, c, e], [b, d, f]])
    found = outlines(placed.node, placed.port, per_inch)
    if not found:
        return []
    area, size = abs(a * d - b * c), float(np.abs(matrix[:, :2]).max())
    if not np.isfinite(matrix).all() or not area > 1e-12 * size**2:
        raise placed.node.fault(
            "transforms flatten it to a line or a point, or throw it out of sight: take them out"
        )
    turned = np.linalg.inv(matrix[:, :2])
    back = np.column_stack([turned, -turned @ matrix[:, 2]])
    try:
        return [_line(placed.node, outline, matrix, back) for outline in found]
    except ValueError as fault:
        raise placed.node.fault(str(fault)) from None


def units_note(placed: Placed, per_inch: float) -> str:
    """A line for the maker where a length in mm or inches is not that long on paper."""
    a, b, c, d = placed.matrix[:4]
    scale = math.sqrt(abs(a * d - b * c)) * per_inch / INCH
    if abs(scale - 1) < 1e-6:
        return ""
    node = placed.node
    for name in LENGTHS:
        text = node.get(name)
        if text[-1:].isalpha() and text != "auto" and real_mm(said(text)) is not None:
            return (
                f"line {node.line}, {node.called}: its {name} of {text} is {scale:.4g} times as "
                "long on paper, for the drawing around it is scaled"
            )
    return ""


def _line(node: Node, outline: Outline, matrix: Floats, back: Floats) -> Line:
    """One outline put on paper and closed where its ends meet."""
    segments = [segment.transformed(matrix) for segment in outline.segments]
    closed = outline.closed
    start, end = segments[0].point(0), segments[-1].point(1)
    if closed and len(segments) > 1 and _short(segments[-1]):
        segments = _joined(segments[:-1], start)
    elif not closed and len(segments) > 1 and np.hypot(*(end - start)) <= CLOSE:
        closed, segments = True, _joined(segments, start)
    return Line(node, tuple(segments), closed, back)


def _short(segment: Segment) -> bool:
    """Whether a segment is a straight line that only closes a gap of rounding."""
    if not is_straight(segment):
        return False
    return bool(np.hypot(*(segment.points[1] - segment.points[0])) <= CLOSE)


def _joined(segments: Sequence[Segment], start: Floats) -> list[Segment]:
    """Segments whose last one ends at the start, its direction kept."""
    *before, last = segments
    shift = start - last.point(1)
    if isinstance(last, Bezier):
        points = last.points.copy()
        points[len(points) // 2 :] += shift
        return [*before, Bezier(points)]
    if not shift.any():
        return list(segments)
    return [*segments, Bezier(np.array([last.point(1), start]))]
