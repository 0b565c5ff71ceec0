"""Bars of known length, to be measured on the printed page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from foamcalc.draw.page import say
from foamcalc.draw.paper import INCH

if TYPE_CHECKING:
    from matplotlib.axes import Axes

HIGH = 10.0
"""Height of both bars and the room between them [mm]."""
_THICK, _APART = 4.0, 6.0


def check_bars(ax: Axes, *, left: float, low: float) -> None:
    """Draw a bar of 100 mm over one of 4 in, with their names.

    The bars are filled, for a stroked line has ends of its own.
    """
    from matplotlib.patches import Rectangle

    for floor, length, name in ((low + _APART, 100.0, "100 mm"), (low, 4 * INCH, "4 in")):
        bar = Rectangle((left, floor), length, _THICK, facecolor="black", linewidth=0)
        bar.set_gid(f"bar {name}")
        ax.add_patch(bar)
        where = (left + 4 * INCH + 3.0, floor + _THICK / 2)
        say(ax, *where, f"{name} – measure me", points=10.5, middle=True, bold=True)
