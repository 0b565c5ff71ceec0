"""Upright pages with a foot line: what cards, seams and cut lists are printed on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from foamcalc.draw.blocks import Block, Column, Picture, Rule, Words
from foamcalc.draw.flow import Placed, Story
from foamcalc.draw.labels import TooSmall
from foamcalc.draw.lettering import elided, width
from foamcalc.draw.paper import blank_page
from foamcalc.draw.setter import BODY, SMALL, Setter

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MARGIN = 13.0
"""White edge at both sides and at the top [mm]."""
FOOT = 15.0
"""Height kept for the foot line [mm]."""
NOT_TRUE = "Nothing here is drawn to true size."
_SMALLER = (BODY, 11.0, 9.0)
"""Sizes of a picture's words, the next where the one before has no room [pt]."""


def footed_pages(
    size: tuple[float, float], pages: Sequence[Sequence[Placed]], *, foot: str, title: str
) -> list[Figure]:
    """Pages of a size [mm] with their blocks, words and numbers at their feet.

    `title` is that of the document; it is not printed.
    """
    across, up = size
    figures = []
    for i, blocks in enumerate(pages, 1):
        figure = blank_page(size, title=title)
        ax = figure.axes[0]
        for placed in blocks:
            placed.block.draw(ax, MARGIN, up - MARGIN - placed.down)
        number = f"page {i} of {len(pages)}"
        right = across - MARGIN - width(number, points=SMALL)
        said = elided(foot, wide=right - MARGIN - 75.0, points=SMALL)
        for x, text in ((MARGIN, f"{said} · {NOT_TRUE}"), (right, number)):
            Words((text,), SMALL).draw(ax, x, 13.0)
        figures.append(figure)
    return figures


def continued(setter: Setter, name: str) -> Block:
    """Head of a further page."""
    return Column((setter.words(f"{name}, continued", 15.0, bold=True), Rule(setter.wide, 1.0)))


def on_one_page(setter: Setter, tall: float, tell: Callable[[Setter], Story]) -> Story:
    """A story set roomy, or tight if only then it fits on one page [mm]."""
    roomy = tell(setter)
    if roomy.tall <= tall:
        return roomy
    tight = tell(replace(setter, tight=True))
    return tight if tight.tall <= tall else roomy


def fitted_picture(size: tuple[float, float], draw: Callable[[Axes, float], None]) -> Picture:
    """A picture [mm] whose words are as large as there is room for; `draw` gets their size [pt]."""

    def drawn(ax: Axes) -> None:
        for fontsize in _SMALLER:
            try:
                draw(ax, fontsize)
            except TooSmall:
                if fontsize == _SMALLER[-1]:
                    raise
            else:
                return

    return Picture(*size, drawn)
