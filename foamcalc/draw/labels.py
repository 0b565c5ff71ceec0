"""Words beside a drawing: where they find room, and how large the drawing can then be."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from foamcalc.draw import ink
from foamcalc.draw.dimension import dimension_line
from foamcalc.draw.ink import INK, Floats
from foamcalc.draw.lettering import LINE, POINT, width

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Point = tuple[float, float]

_EDGE = 4.0
"""White edge of a picture [pt]."""
_CLEAR = 4.0
"""White room between words and what they stand beside [pt]."""
_FARTHER = (0.0, 14.0, 28.0, 42.0)
"""How much farther away words may be moved to find room [pt]."""


class TooSmall(ValueError):
    """Axes have no room for the words of their picture."""

    @classmethod
    def by(cls, size: Point, what: str) -> TooSmall:
        """Axes of a size [pt] that are too small for something."""
        wide, high = (side * POINT for side in size)
        return cls(
            f"axes of {wide:.0f} x {high:.0f} mm are too small for {what}; make them larger, or "
            "the words smaller with fontsize"
        )


def on_paper(ax: Axes) -> Point:
    """Width and height of axes on paper [pt]."""
    box, dpi = ax.get_window_extent(), ax.figure.dpi
    return box.width * 72 / dpi, box.height * 72 / dpi


class Spot(NamedTuple):
    """A place that words may stand beside, and the point that a thin line leads to."""

    at: Point
    out: Point
    """Unit vector from the place to the words."""
    target: Point | None


@dataclass(frozen=True)
class Label:
    """Words with the places where they may stand, the best one first."""

    text: str
    bold: bool
    size: Point
    """Width and height [pt]."""
    target: Point | None = None
    spots: tuple[Spot, ...] = field(default=())

    @classmethod
    def wanted(
        cls, text: str, *, points: float, bold: bool = False, target: Point | None = None
    ) -> Label:
        """Words that have no place yet."""
        wide = width(text, points=points, bold=bold) / POINT
        return cls(text, bold, (wide + 2.0, 1.15 * points), target)

    def near(self, at: Sequence[float], out: Sequence[float], target: Point | None = None) -> Label:
        """The same with one more place."""
        spot = Spot(
            (float(at[0]), float(at[1])), (float(out[0]), float(out[1])), target or self.target
        )
        return replace(self, spots=(*self.spots, spot))


class Stand(NamedTuple):
    """Where a label stands: its middle [mm], and where its line leads."""

    at: Point
    target: Point | None


def placed(
    labels: Sequence[Label], obstacles: Floats, scale: float
) -> tuple[tuple[Label, Stand], ...]:
    """Find a place for every label."""
    boxes: list[Floats] = []
    stands = []
    for label in labels:
        best, stand, box = np.inf, Stand((0.0, 0.0), None), np.zeros(4)
        for farther in _FARTHER:
            for spot in label.spots:
                at = _middle(label, spot, farther, scale)
                tried = _box(at, label, scale)
                fault = 1e6 * sum(_overlap(tried, b) for b in boxes) + _inside(tried, obstacles)
                if fault < best:
                    best, stand, box = fault, Stand(at, spot.target), tried
        boxes.append(box)
        stands.append((label, stand))
    return tuple(stands)


def _middle(label: Label, spot: Spot, farther: float, scale: float) -> Point:
    half = np.array(label.size) / 2
    away = float(np.abs(spot.out) @ half) + _CLEAR + farther
    x, y = np.array(spot.at) + away * scale * np.array(spot.out)
    return float(x), float(y)


def _box(at: Point, label: Label, scale: float) -> Floats:
    """Left, lower, right and upper edge [mm]."""
    half = np.array(label.size) / 2 * scale
    return np.array([*(at - half), *(at + half)])


def _overlap(a: Floats, b: Floats) -> bool:
    return bool((np.minimum(a[2:], b[2:]) > np.maximum(a[:2], b[:2])).all())


def _inside(box: Floats, points: Floats) -> int:
    return int(((points > box[:2]) & (points < box[2:])).all(1).sum())


class View(NamedTuple):
    """The part of the plane that is shown, to scale, with room for all words."""

    low: Floats
    high: Floats
    """Corners that are shown [mm]."""
    scale: float
    """Data to a printer's point [mm]."""
    points: float
    """Size of the words [pt]."""
    labels: tuple[tuple[Label, Stand], ...]
    levels: tuple[float, ...]
    """Heights of the level dimension lines [mm]."""
    uprights: tuple[float, ...]
    """Where the upright dimension lines are, to the right [mm]."""

    def apply(self, ax: Axes) -> None:
        """Show this part, without a frame, to one scale both ways."""
        ax.set_xlim(float(self.low[0]), float(self.high[0]))
        ax.set_ylim(float(self.low[1]), float(self.high[1]))
        ink.bare(ax)

    def write(self, ax: Axes, label: Label, stand: Stand) -> None:
        """Write a label on a white ground, with a thin line to what it belongs to."""
        if stand.target is not None:
            ax.plot(*zip(stand.at, stand.target, strict=True), color=INK, linewidth=0.8, zorder=4.4)
            ax.plot(*stand.target, "o", color=INK, markersize=3.5, zorder=4.4)
        _text(ax, label.text, stand.at, points=self.points, bold=label.bold)

    def measure(
        self,
        ax: Axes,
        *,
        ends: Point,
        starts: Point,
        level: float,
        text: str,
        upright: bool,
    ) -> None:
        """Draw a dimension line with its words below, or to the right if it is upright."""
        tight = 2.2 * self.points * self.scale
        dimension_line(ax, ends=ends, starts=starts, level=level, tight=tight, upright=upright)
        shift = (0.25 * self.points + 2.0 + 0.5 * self.points) * self.scale
        middle = sum(ends) / 2
        at = (level + shift, middle) if upright else (middle, level - shift)
        _text(ax, text, at, points=self.points, rotation=90.0 if upright else 0.0)


def _text(
    ax: Axes, text: str, at: Point, *, points: float, bold: bool = False, rotation: float = 0.0
) -> None:
    ax.text(
        *at,
        text,
        fontsize=points,
        fontweight="bold" if bold else "normal",
        color=INK,
        ha="center",
        va="center",
        rotation=rotation,
        zorder=5,
        parse_math=False,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0},
    )


def fitted(
    ax: Axes,
    shapes: Floats,
    *,
    labels: Callable[[float], tuple[tuple[Label, Stand], ...]],
    below: Sequence[tuple[str, float]],
    beside: Sequence[tuple[str, float]],
    points: float,
    room: float,
) -> View:
    """The largest scale at which shapes and words fit into axes of their size on paper."""
    size = on_paper(ax)
    paper = np.array(size)
    free = paper - 2 * _EDGE
    step = points * LINE + 9.0
    scale = max(float((np.ptp(shapes, axis=0) / free).max()), room / float(free[0]))
    for _ in range(80):
        found = labels(scale)
        boxes = [_box(s.at, label, scale) for label, s in found]
        corners = np.concatenate([shapes, *(b.reshape(2, 2) for b in boxes)])
        low, high = corners.min(0), corners.max(0)
        levels = tuple(float(low[1] - (9.0 + i * step) * scale) for i in range(len(below)))
        uprights = tuple(float(high[0] + (9.0 + i * step) * scale) for i in range(len(beside)))
        low[1] -= len(below) * step * scale + (5.0 * scale if below else 0.0)
        high[0] += len(beside) * step * scale + (5.0 * scale if beside else 0.0)
        for texts, axis in ((below, 0), (beside, 1)):
            for text, middle in texts:
                half = width(text, points=points) / POINT / 2 * scale
                low[axis] = min(low[axis], middle - half)
                high[axis] = max(high[axis], middle + half)
        needed = float(((high - low) / free).max())
        if needed <= scale * (1 + 1e-4):
            centre = (low + high) / 2
            half_paper = paper * scale / 2
            return View(
                centre - half_paper, centre + half_paper, scale, points, found, levels, uprights
            )
        scale = needed
    raise TooSmall.by(size, "the words of the picture")
