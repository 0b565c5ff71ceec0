"""Drawings of the swatch test: a strip that hangs with its bag, a block between two boards."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foamcalc.ask.swatch.guide import ASKED
from foamcalc.draw.blocks import Words
from foamcalc.draw.dimension import dimension_line
from foamcalc.draw.ink import INK, QUIET, TONES
from foamcalc.draw.lettering import width
from foamcalc.draw.page import say
from foamcalc.draw.swatch_table import TEXT
from foamcalc.units import System, format_length

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_WOOD = "#d8c3a0"
_TIGHT = 4.0
"""Length up to which the arrowheads of a dimension line stand outside it [mm]."""
_BEAM, _HOOK, _CLAMP, _BAG, _DROP, _MAT = 4.0, 5.0, 8.0, 22.0, 6.0, 5.0
"""Heights on paper, from the top down [mm]."""
_APART = 5.0
"""From what is measured to its dimension line [mm]."""


@dataclass(frozen=True)
class Hanging:
    """A wide strip with its marks, clamps, ruler and bag; a block of a page."""

    wide: float
    tall: float
    system: System

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]."""
        asked = ASKED[self.system]
        x, upper = left + 0.46 * self.wide, top - _BEAM - _HOOK - _CLAMP
        floor = top - self.tall
        lower = floor + _MAT + _DROP + _BAG + _HOOK + _CLAMP
        scale = (upper - lower) / asked.shortest
        wide, spare = asked.wide * scale, (asked.shortest - asked.gauge) / 2 * scale
        _box(page, (x, top - _BEAM), (0.6 * self.wide, _BEAM), _WOOD, "beam")
        _stroke(page, (x, x), (upper + _CLAMP, top - _BEAM), 2.2)
        _box(page, (x, lower), (wide, upper - lower), TONES[0], "strip")
        for low in (upper, lower - _CLAMP):
            _box(page, (x, low), (wide + 7.0, _CLAMP), QUIET, "clamp")
        marks = (lower + spare, upper - spare)
        for level in marks:
            _stroke(page, (x - wide / 2, x + wide / 2), (level, level), 1.8)
        self._upright(page, x - wide / 2, (lower, *marks, upper))
        _across(page, x, wide, (lower + upper) / 2)
        _ruler(page, x + wide / 2 + 3.0, (marks[0] - 5.0, marks[1] + 5.0))
        right = x + wide / 2 + 13.0
        strip = f"E and F:\n{format_length(asked.wide, system=self.system)} wide"
        _beside(page, right, upper + _CLAMP / 2, strip, ha="left")
        ruler = "ruler: read the\nlength between\nthe marks"
        _beside(page, right, marks[1] - 5.0, ruler, ha="left")
        _beside(page, right, lower - _CLAMP / 2, "clamp, weighed\nwith its hook", ha="left")
        self._bag(page, x, lower - _CLAMP, floor)

    def _upright(self, page: Axes, edge: float, levels: tuple[float, float, float, float]) -> None:
        """Gauge and ends, at the left of the strip."""
        lower, low, high, upper = levels
        at = edge - _APART
        for ends in ((lower, low), (low, high), (high, upper)):
            dimension_line(
                page, ends=ends, starts=(edge, edge), level=at, tight=_TIGHT, upright=True
            )
        gauge = format_length(ASKED[self.system].gauge, system=self.system)
        for middle, text in (
            ((low + high) / 2, f"gauge:\n{gauge} from\nmark to mark"),
            ((high + upper) / 2, "one width\nor more"),
            ((lower + low) / 2, "one width\nor more"),
        ):
            _beside(page, at - 2.0, middle, text, ha="right")

    def _bag(self, page: Axes, x: float, hook: float, floor: float) -> None:
        """Hook and bag, and what it may drop on."""
        from matplotlib.patches import Polygon

        neck, foot = hook - _HOOK, floor + _MAT + _DROP
        _stroke(page, (x, x), (neck - 1.0, hook), 2.2)
        half = ((3.0, neck), (13.0, foot + 3.0), (11.0, foot))
        outline = [(x + out, y) for out, y in half] + [(x - out, y) for out, y in half[::-1]]
        bag = Polygon(outline, facecolor=TONES[1], edgecolor=INK, linewidth=1.2, zorder=2)
        bag.set_gid("bag")
        page.add_patch(bag)
        _box(page, (x, floor), (38.0, _MAT), TONES[0], "mat")
        _stroke(page, (x - 0.4 * self.wide, x + 0.4 * self.wide), (floor, floor), 2.2)
        say(page, x, foot + 0.4 * _BAG, "load", points=TEXT, ha="center", middle=True, bold=True)
        ends, edge = (floor + _MAT, foot), x + 11.0
        dimension_line(
            page, ends=ends, starts=(edge, edge), level=edge + 4, tight=_TIGHT, upright=True
        )
        _beside(page, edge + 10.0, floor + _MAT + _DROP, "close over\nthe floor", ha="left")
        _beside(page, x - 21.0, floor + _MAT + 2.0, "may drop\non this", ha="right")


@dataclass(frozen=True)
class Squeezed:
    """A block of offcuts between two boards, with its load; a block of a page."""

    wide: float
    tall: float = 52.0

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]."""
        x, floor = left + 34.0, top - self.tall
        side, board, heavy, layers = 28.0, 4.0, 15.0, 6
        _stroke(page, (left, left + 0.75 * self.wide), (floor, floor), 2.2)
        low = floor + board
        _box(page, (x, floor), (44.0, board), _WOOD, "board")
        for i in range(layers):
            _box(page, (x, low + i * side / layers), (side, side / layers), TONES[0], "offcut")
        _box(page, (x, low + side), (44.0, board), _WOOD, "board")
        _box(page, (x, low + side + board), (24.0, heavy), TONES[1], "load")
        middle = low + side + board + heavy / 2
        say(page, x, middle, "load", points=TEXT, ha="center", middle=True, bold=True)
        edge = x - side / 2
        dimension_line(
            page,
            ends=(low, low + side),
            starts=(edge, edge),
            level=edge - _APART,
            tight=_TIGHT,
            upright=True,
        )
        _beside(page, edge - _APART - 2.0, low + side / 2, "gauge", ha="right")
        right = x + 24.0
        _beside(page, right, low + side + board / 2, "clamp: the\nboard on top", ha="left")
        _beside(
            page,
            right,
            low + side / 2 - 3.0,
            "block of offcuts:\nits face is width\ntimes thickness",
            ha="left",
        )


def _box(
    page: Axes, foot: tuple[float, float], size: tuple[float, float], tone: str, name: str
) -> None:
    """A filled rectangle that stands on a point."""
    from matplotlib.patches import Rectangle

    corner = (foot[0] - size[0] / 2, foot[1])
    box = Rectangle(corner, *size, facecolor=tone, edgecolor=INK, linewidth=1.2, zorder=2)
    box.set_gid(name)
    page.add_patch(box)


def _stroke(page: Axes, x: tuple[float, float], y: tuple[float, float], thick: float) -> None:
    page.plot(x, y, color=INK, linewidth=thick, solid_capstyle="butt", zorder=3)


def _beside(page: Axes, x: float, middle: float, text: str, *, ha: str) -> None:
    """Lines of words about a height, right or left of a place."""
    words = [Words((line,), TEXT) for line in text.split("\n")]
    top = middle + sum(w.tall for w in words) / 2
    for word in words:
        shift = width(word.lines[0], points=TEXT) if ha == "right" else 0.0
        word.draw(page, x - shift, top)
        top -= word.tall


def _across(page: Axes, x: float, wide: float, level: float) -> None:
    """The width, half way between the marks."""
    ends = (x - wide / 2, x + wide / 2)
    dimension_line(page, ends=ends, starts=(level, level), level=level, tight=_TIGHT)
    say(page, x, level - 4.0, "width", points=TEXT, ha="center", middle=True)


def _ruler(page: Axes, left: float, ends: tuple[float, float]) -> None:
    """A ruler that stands upright, with its strokes towards the strip."""
    high = 8.0
    _box(page, (left + high / 2, ends[0]), (high, ends[1] - ends[0]), "white", "ruler")
    for i, level in enumerate(np.arange(ends[0] + 1.0, ends[1], 1.5)):
        reach = 4.0 if i % 5 == 0 else 2.0
        _stroke(page, (left, left + reach), (level, level), 0.6)
