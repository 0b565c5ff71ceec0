"""The basic shapes of SVG as outlines: where each begins and which way it runs."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np

from foamcalc.shape.segments import Bezier, EllipseArc, Segment
from foamcalc.shape.svg.lengths import Viewport, in_units, numbers
from foamcalc.shape.svg.path_data import Outline, path_outlines
from foamcalc.shape.svg.tree import Node, shown

LENGTHS = ("x1", "y1", "x2", "y2", "x", "y", "width", "height", "cx", "cy", "r", "rx", "ry")
"""Attributes that hold lengths."""
_MOST_POINTS = 20_000
_QUARTER = math.pi / 2


class Reader:
    """Reads the lengths of one element; ValueError, without its place, for what is none.

    Parameters
    ----------
    node : Node
        The element.
    port : Viewport
        What percentages count in [user units].
    per_inch : float
        px to the inch.
    """

    def __init__(self, node: Node, port: Viewport, per_inch: float) -> None:
        self.node, self.port, self.per_inch = node, port, per_inch

    def value(self, name: str, default: float = 0.0) -> float:
        """A length of the element [user units]."""
        text = self.node.get(name)
        if not text or text == "auto":
            return default
        if name in ("x", "x1", "x2", "cx", "rx", "width"):
            whole = self.port.width
        else:
            whole = self.port.diagonal if name == "r" else self.port.height
        try:
            return in_units(text, whole=whole, per_inch=self.per_inch)
        except ValueError as fault:
            raise ValueError(f"{name}: {fault}") from None

    def size(self, name: str, default: float = 0.0) -> float:
        """A length that may not be negative [user units]."""
        value = self.value(name, default)
        if value < 0:
            raise ValueError(f"{name} must be 0 or more, got {shown(self.node.get(name))}")
        return value


def outlines(node: Node, port: Viewport, per_inch: float) -> list[Outline]:
    """What a shape draws, in its own user units.

    A rect begins at its upper left corner, rounded ones after it, and runs to the right; a
    circle and an ellipse begin at their right and run downwards: clockwise as it is seen.
    """
    try:
        return SHAPES[node.tag](Reader(node, port, per_inch))
    except ValueError as fault:
        raise node.fault(str(fault)) from None


def _path(read: Reader) -> list[Outline]:
    return path_outlines(read.node.get("d"))


def _chain(points: list[tuple[float, float]], closed: bool) -> list[Outline]:
    """Straight lines from point to point; those of no length left out."""
    if closed:
        points = [*points, points[0]]
    lines: list[Segment] = [Bezier(np.array([a, b])) for a, b in pairwise(points) if a != b]
    return [Outline(tuple(lines), closed)] if lines else []


def _line(read: Reader) -> list[Outline]:
    ends = [(read.value("x1"), read.value("y1")), (read.value("x2"), read.value("y2"))]
    return _chain(ends, closed=False)


def _points(read: Reader) -> list[tuple[float, float]]:
    """The points of a polyline or polygon."""
    try:
        flat = numbers(read.node.get("points"), 2 * _MOST_POINTS)
    except ValueError as fault:
        raise ValueError(f"points: {fault}") from None
    if len(flat) % 2:
        raise ValueError(f"points must be pairs of x and y, got {len(flat)} numbers")
    return list(zip(flat[::2], flat[1::2], strict=True))


def _polyline(read: Reader) -> list[Outline]:
    return _chain(_points(read), closed=False)


def _polygon(read: Reader) -> list[Outline]:
    points = _points(read)
    return _chain(points, closed=True) if points else []


def _arc(cx: float, cy: float, rx: float, ry: float, start: float, sweep: float) -> EllipseArc:
    return EllipseArc(np.array([cx, cy]), np.array([rx, 0.0]), np.array([0.0, ry]), start, sweep)


def _radii(read: Reader) -> tuple[float, float]:
    """Both radii of a rect or an ellipse; one that is not said is as the other."""
    auto_x, auto_y = (read.node.get(name) in ("", "auto") for name in ("rx", "ry"))
    rx, ry = read.size("rx"), read.size("ry")
    return (ry if auto_x else rx), (rx if auto_y else ry)


def _rect(read: Reader) -> list[Outline]:
    x, y = read.value("x"), read.value("y")
    wide, high = read.size("width"), read.size("height")
    if wide == 0 or high == 0:
        return []
    rx, ry = _radii(read)
    rx, ry = min(rx, wide / 2), min(ry, high / 2)  # neither may be over half the side
    right, low = x + wide, y + high
    if rx == 0 or ry == 0:
        return _chain([(x, y), (right, y), (right, low), (x, low)], closed=True)
    pieces: list[Segment] = []
    sides = (
        ((x + rx, y), (right - rx, y), (right - rx, y + ry)),
        ((right, y + ry), (right, low - ry), (right - rx, low - ry)),
        ((right - rx, low), (x + rx, low), (x + rx, low - ry)),
        ((x, low - ry), (x, y + ry), (x + rx, y + ry)),
    )
    for quarter, (begin, end, middle) in enumerate(sides):
        if begin != end and (rx < wide / 2 if quarter % 2 == 0 else ry < high / 2):
            pieces.append(Bezier(np.array([begin, end])))
        pieces.append(_arc(*middle, rx, ry, (quarter - 1) * _QUARTER, _QUARTER))
    return [Outline(tuple(pieces), closed=True)]


def _round(read: Reader, rx: float, ry: float) -> list[Outline]:
    """A whole circle or ellipse."""
    if rx == 0 or ry == 0:
        return []
    cx, cy = read.value("cx"), read.value("cy")
    return [Outline((_arc(cx, cy, rx, ry, 0.0, 4 * _QUARTER),), closed=True)]


def _circle(read: Reader) -> list[Outline]:
    r = read.size("r")
    return _round(read, r, r)


def _ellipse(read: Reader) -> list[Outline]:
    return _round(read, *_radii(read))


SHAPES: dict[str, Callable[[Reader], list[Outline]]] = {
    "path": _path,
    "line": _line,
    "polyline": _polyline,
    "polygon": _polygon,
    "rect": _rect,
    "circle": _circle,
    "ellipse": _ellipse,
}
