"""Pieces cut to the curve: ring sectors, their boxes, and how closely they lie on the sheet."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from foamcalc.guards import non_negative, positive, single
from foamcalc.shape.plane import FULL_TURN, Floats

_DIRECTIONS = 180
"""Directions in which the smallest box round an outline is looked for: half a turn in degrees."""


class Nest(NamedTuple):
    """How much sheet a piece takes."""

    box: tuple[float, float]
    """Length and breadth of the smallest box round it [mm]."""
    pitch: float
    """How far apart equal ones lie behind each other across that box [mm]."""
    area: float
    """Area of the piece itself [mm2]."""

    def sheet(self, count: int = 1) -> float:
        """Sheet that so many equal ones take, one behind the other [mm2]."""
        return self.box[0] * (self.box[1] + (count - 1) * self.pitch)

    def waste(self, count: int = 1) -> float:
        """What of that sheet is left over [mm2]."""
        return self.sheet(count) - count * self.area


class RingSector(NamedTuple):
    """A piece of a flat ring."""

    inner_radius: float
    """Radius of its shorter edge [mm]."""
    outer_radius: float
    """Radius of its longer edge [mm]."""
    angle: float
    """Angle between its ends [rad]."""

    @property
    def inner_length(self) -> float:
        """Length along its shorter edge [mm]."""
        return self.angle * self.inner_radius

    @property
    def outer_length(self) -> float:
        """Length along its longer edge [mm]."""
        return self.angle * self.outer_radius

    @property
    def chord(self) -> float:
        """Straight distance between the ends of its longer edge [mm]."""
        return 2 * self.outer_radius * abs(float(np.sin(self.angle / 2)))

    @property
    def nest(self) -> Nest:
        """How much sheet it takes, lying with its middle ahead.

        Pushed ahead by the pitch an equal one clears it: the greatest depth of the sector ahead.
        Up to half a turn that is at the ends of its shorter edge,
        ``sqrt(Ra**2 - Ri**2 sin(a/2)**2) - Ri cos(a/2)``.
        """
        ri, ro = self.inner_radius, self.outer_radius
        half = self.angle / 2
        sin, cos = abs(float(np.sin(half))), float(np.cos(half))
        wide = 2 * ro if half > np.pi / 2 else 2 * ro * sin
        high = ro - (ri if cos > 0 else ro) * cos
        x = float(np.clip(-cos * ro, ri * sin, ro * sin)) if sin > 0 else 0.0
        pitch = np.sqrt(ro**2 - x**2) - (x * cos / sin if sin > 1e-12 else -ro)
        return Nest((wide, high), float(pitch), self.angle / 2 * (ro**2 - ri**2))


def ring_sector(*, radius: float, width: float, inside: float, angle: float) -> RingSector:
    """The ring sector that lies along an arc without strain."""
    line, wide = (
        single(positive(x, name), name) for x, name in ((radius, "radius"), (width, "width"))
    )
    share = single(non_negative(inside, "inside", "1"), "inside")
    turn = single(positive(angle, "angle", "rad"), "angle")
    if share > 1:
        raise ValueError(f"inside must be from 0 to 1, got {share:g}")
    if turn > FULL_TURN * (1 + 1e-9):
        raise ValueError(
            f"angle of a ring sector must be at most a full turn (6.2832 rad), got {turn:g}; cut "
            "it in parts"
        )
    if share * wide >= line:
        raise ValueError(
            f"a band {wide:g} mm wide folds over itself on a radius of {line:g} mm: "
            f"{share * wide:g} mm of it lie towards the centre; take a narrower band"
        )
    return RingSector(line - share * wide, line + (1 - share) * wide, turn)


def outline_nest(points: Floats, area: float) -> Nest:
    """How much sheet a piece of any outline takes.

    The pitch is the greatest depth of the outline across the box: so far apart equal ones clear
    each other for certain. Some outlines would go closer.
    """
    boxes = []
    for angle in np.arange(_DIRECTIONS) * np.pi / _DIRECTIONS:
        cos, sin = np.cos(angle), np.sin(angle)
        turned = points @ np.array([[cos, -sin], [sin, cos]])
        wide, high = np.ptp(turned, axis=0).tolist()
        boxes.append((round(wide * high, 9), -wide, high, turned))
    _, long, high, turned = min(boxes, key=lambda box: box[:2])  # lengthwise where two are equal
    return Nest((-long, high), _depth(turned), area)


def _depth(points: Floats) -> float:
    """The greatest distance from the bottom to the top of an outline in one column."""
    x0, y0 = points.T
    x1, y1 = np.roll(points, -1, axis=0).T
    columns = np.unique(x0)[:, None]
    low, high = np.minimum(x0, x1), np.maximum(x0, x1)
    run = np.where(x1 == x0, 1.0, x1 - x0)
    at = np.where(x1 == x0, y0, y0 + (y1 - y0) * (columns - x0) / run)
    here = (columns >= low) & (columns <= high)
    top = np.where(here, at, -np.inf).max(axis=1)
    bottom = np.where(here, at, np.inf).min(axis=1)
    return float((top - bottom).max())
