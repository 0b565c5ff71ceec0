"""Dimension lines, and the part of the plane that is shown with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foamcalc.draw import ink
from foamcalc.guards import non_negative
from foamcalc.shape.profile import Profile

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def dimension_line(
    ax: Axes,
    *,
    ends: tuple[float, float],
    starts: tuple[float, float],
    level: float,
    tight: float,
    upright: bool = False,
) -> None:
    """Draw a dimension line without words."""

    def point(along: float, across: float) -> tuple[float, float]:
        return (across, along) if upright else (along, across)

    for end, start in zip(ends, starts, strict=True):
        line = zip(point(end, start), point(end, level), strict=True)
        ax.plot(*line, color=ink.QUIET, linewidth=0.7, zorder=1)
    low, high = (point(e, level) for e in ends)
    if ends[1] - ends[0] > tight:
        ink.arrow(ax, tip=high, tail=low, both=True)
    else:
        ink.arrow(ax, tip=low, tail=point(ends[0] - tight, level))
        ink.arrow(ax, tip=high, tail=point(ends[1] + tight, level))


def dimension(
    ax: Axes, *, ends: tuple[float, float], start: float, level: float, tight: float, text: str
) -> None:
    """Draw a level dimension line with its words below."""
    left, right = min(ends), max(ends)
    dimension_line(ax, ends=(left, right), starts=(start, start), level=level, tight=tight)
    ink.words(ax, text, at=((left + right) / 2, level), shift=(0, -4), va="top")


@dataclass(frozen=True, kw_only=True)
class Frame:
    """The part of the plane that is shown: sections, and dimension lines below them [mm]."""

    left: float
    right: float
    floor: float
    """Lowest point of the sections, at most 0."""
    top: float
    levels: int
    """How many dimension lines there are room for."""

    @classmethod
    def around(
        cls, bands: Sequence[tuple[Profile, float]], *, levels: int, room: float = 0.0
    ) -> Frame:
        """The frame round sections, each an inside profile and a whole thickness [mm].

        It is at least `room` wide [mm].
        """
        points = np.concatenate([ink.band(p, bottom=0.0, top=t) for p, t in bands])
        low, high = points.min(0), points.max(0)
        spare = max(float(non_negative(room, "room")) - (high[0] - low[0]), 0.0) / 2
        return cls(
            left=float(low[0] - spare),
            right=float(high[0] + spare),
            floor=min(float(low[1]), 0.0),
            top=float(high[1]),
            levels=levels,
        )

    @property
    def step(self) -> float:
        """Distance between dimension lines [mm]."""
        return 0.11 * (self.right - self.left)

    @property
    def wide(self) -> float:
        """Width shown [mm]."""
        return 1.08 * (self.right - self.left)

    @property
    def bottom(self) -> float:
        """Height of the lower edge [mm]."""
        return self.floor - (self.levels + 0.4) * self.step

    @property
    def tall(self) -> float:
        """Height shown [mm]."""
        return self.top + 0.2 * self.step - self.bottom

    def measure(self, ax: Axes, profile: Profile, *, level: int, text: str) -> None:
        """Measure the mouth of a levelled profile on the first, second … dimension line."""
        dimension(
            ax,
            ends=(float(profile.x[0]), float(profile.x[-1])),
            start=float(profile.y[0]),
            level=self.floor - (level - 0.4) * self.step,
            tight=0.6 * self.step,
            text=text,
        )

    def apply(self, ax: Axes) -> None:
        """Show this part, without a frame, to one scale both ways."""
        middle = (self.left + self.right) / 2
        ax.set_xlim(middle - self.wide / 2, middle + self.wide / 2)
        ax.set_ylim(self.bottom, self.bottom + self.tall)
        ink.bare(ax)
