"""Alignment marks in a drawing: small circles, short lines and crosses with a name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from foamcalc.shape.plane import Floats
from foamcalc.shape.segments import EllipseArc, is_straight
from foamcalc.shape.svg.paper import Line

CIRCLE: Final = 5.0
"""Largest radius of a circle that is a mark [mm] (assumed: larger ones are holes or discs)."""
STROKE: Final = 20.0
"""Longest line that is a mark [mm] (assumed: a notch as long as a thumb is wide)."""
TOUCH: Final = 1.0
"""How far a mark may be from its edge [mm] (assumed: a pen's width either way)."""
_LOOKS = 41
"""Places of a line that are looked at to find out whether it comes near an edge."""


@dataclass(frozen=True, eq=False)
class Sign:
    """A mark as it is drawn, before it is known to which edge it belongs.

    Parameters
    ----------
    name : str
        Its title, else its id.
    lines : tuple of Line
        What it draws.
    points : ndarray, shape (n, 2)
        Places that may touch an edge [mm]: the middle of a circle or a cross; the ends and the
        middle of a line.
    stroke : bool
        Whether it is a line, which marks where it crosses an edge.
    """

    name: str
    lines: tuple[Line, ...]
    points: Floats
    stroke: bool

    def of(self, line: Line) -> bool:
        """Whether it is drawn by an outline itself, which it cannot mark."""
        return any(line is own for own in self.lines)

    def gap(self, line: Line, most: float = np.inf) -> float:
        """How far it lies from an outline, seen as chords [mm]; inf if further than most."""
        share = np.linspace(0, 1, _LOOKS)[:, None]
        looks = self.points[0] + share * (self.points[-1] - self.points[0])
        points = looks if self.stroke else self.points
        low, high = points.min(axis=0) - most, points.max(axis=0) + most
        first, last = line.chords[:-1], line.chords[1:]
        close = (np.minimum(first, last) <= high) & (np.maximum(first, last) >= low)
        begin, run = first[close.all(axis=1)], (last - first)[close.all(axis=1)]
        square = np.maximum((run**2).sum(axis=1), 1e-300)
        least = np.inf
        for point in points if begin.size else ():
            t = (((point - begin) * run).sum(axis=1) / square).clip(0, 1)
            least = min(least, float(np.hypot(*(begin + t[:, None] * run - point).T).min()))
        return least


class Signs:
    """All marks of a drawing, quick to be asked which of them may touch an outline."""

    def __init__(self, signs: Iterable[Sign]) -> None:
        self.all = tuple(signs)
        boxes = [(sign.points.min(axis=0), sign.points.max(axis=0)) for sign in self.all]
        self._boxes = np.array(boxes).reshape(-1, 2, 2)

    def near(self, line: Line) -> tuple[Sign, ...]:
        """Those that may touch an outline; its own is no mark of it."""
        low, high = line.corners
        most = TOUCH + line.slack + STROKE / _LOOKS
        near = (self._boxes[:, 0] - TOUCH <= high) & (self._boxes[:, 1] + TOUCH >= low)
        found = (self.all[i] for i in np.flatnonzero(near.all(axis=1)).tolist())
        return tuple(sign for sign in found if not sign.of(line) and sign.gap(line, most) <= most)


def sign_of(name: str, lines: tuple[Line, ...]) -> Sign | None:
    """The mark that a named element draws, or None if it draws something else.

    A mark is a closed curve without straight parts, at most 10 mm across; or one straight line of
    at most 20 mm; or two such lines that cross.
    """
    if len(lines) == 1:
        only = lines[0]
        ends = _stroke(only)
        if ends is not None:
            return Sign(name, lines, np.array([ends[0], ends.mean(axis=0), ends[1]]), True)
        middle = _dot(only)
        if middle is not None:
            return Sign(name, lines, middle[None], False)
    elif len(lines) == 2:
        first, second = _stroke(lines[0]), _stroke(lines[1])
        if first is not None and second is not None:
            met = _crossing(first, second)
            if met is not None:
                return Sign(name, lines, met[None], False)
    return None


def _dot(line: Line) -> Floats | None:
    """The middle of a closed curve small and round enough for a mark, or None."""
    if not line.closed or any(is_straight(s) for s in line.segments):
        return None
    around = np.concatenate([segment.point(np.linspace(0, 1, 33)) for segment in line.segments])
    low, high = around.min(axis=0), around.max(axis=0)
    if (high - low).max() > 2 * CIRCLE * (1 + 1e-9):
        return None
    first = line.segments[0]  # arcs of one circle share their middle
    return first.centre if isinstance(first, EllipseArc) else (low + high) / 2


def _stroke(line: Line) -> Floats | None:
    """Both ends of a single straight line short enough for a mark, or None."""
    if len(line.segments) != 1 or line.closed or not is_straight(line.segments[0]):
        return None
    points = line.segments[0].points
    if np.hypot(*(points[1] - points[0])) > STROKE * (1 + 1e-9):
        return None
    return points


def _crossing(first: Floats, second: Floats) -> Floats | None:
    """Where two straight lines cross, or None."""
    along, other = first[1] - first[0], second[1] - second[0]
    cross = float(along[0] * other[1] - along[1] * other[0])
    if abs(cross) <= 1e-9 * float(np.hypot(*along) * np.hypot(*other)):
        return None
    gap = second[0] - first[0]
    t = float(gap[0] * other[1] - gap[1] * other[0]) / cross
    s = float(gap[0] * along[1] - gap[1] * along[0]) / cross
    return first[0] + t * along if 0 <= t <= 1 and 0 <= s <= 1 else None
