"""A seam on paper, for the bench: what to do, both edges, why, in which order, as a PDF."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING

from foamcalc.ask.lines import SAFE
from foamcalc.ask.seam import SeamAnswer
from foamcalc.ask.seam.dome import dome_words
from foamcalc.draw.blocks import Column, Rule
from foamcalc.draw.flow import Part, Story, flow
from foamcalc.draw.footed import FOOT, MARGIN, continued, fitted_picture, footed_pages, on_one_page
from foamcalc.draw.lettering import own_style
from foamcalc.draw.paper import Paper, paper_size
from foamcalc.draw.seam import seam_chart, seam_drawing
from foamcalc.draw.setter import LARGE, Setter
from foamcalc.fit.seam.words import between_head, how_far_out, interval_lines, reasons, what_to_do

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_CHART, _DRAWING = 84.0, 96.0
"""Heights of the two pictures [mm]."""


def seam_pages(
    seams: Mapping[str, SeamAnswer], *, title: str = "Seams", paper: Paper = "A4"
) -> list[Figure]:
    """Make the pages of seams, to hang up where they are glued.

    Each seam begins on a new page.
    """
    across, up = paper_size(paper)
    if not seams:
        raise ValueError("seams must hold at least one seam, got none")
    tall = up - MARGIN - FOOT
    with own_style():
        wide = across - 2 * MARGIN
        stories = [
            on_one_page(
                Setter(wide, answer.system),
                tall,
                partial(_story, name=name, answer=answer),
            )
            for name, answer in seams.items()
        ]
        rule = Rule(wide, 2.2)
        pages, _ = flow(stories, tall=tall, divider=rule, apart=5.0)
        return footed_pages((across, up), pages, foot=title, title="Seam")


def _story(setter: Setter, name: str, answer: SeamAnswer) -> Story:
    """One seam: what to do, both edges, the order of work, why, what it rests on."""
    choice, system = answer.choice, answer.system
    said = [setter.named(name, _pieces(answer))]
    said += [setter.words(how_far_out(choice.seam, system), LARGE, bold=True)]
    said += [setter.words(what_to_do(choice.chosen, system), LARGE)]
    parts = [Part(Column(tuple(said), 1.6), 0.0), *_pictures(setter, answer)]
    shape = dome_words(choice.seam, choice.chosen)
    if shape:
        parts.append(setter.part(setter.words(shape), 3.0))
    parts += setter.steps(answer.steps)
    parts += setter.listed(between_head(choice), interval_lines(choice, system))
    parts += setter.listed("Why", reasons(choice, system))
    parts += setter.rests_on((*answer.rests_on, *answer.notes, SAFE))
    return Story(f"seam {name!r}", tuple(parts), continued(setter, name), True)


def _pieces(answer: SeamAnswer) -> str:
    """How thick both pieces are."""
    seam = answer.choice.seam
    thick = [f"{edge.piece.thickness:g}" for edge in (seam.a, seam.b)]
    return f"{' and '.join(dict.fromkeys(thick))} mm foam"


def _pictures(setter: Setter, answer: SeamAnswer) -> list[Part]:
    """The edges laid out straight, and as they are drawn where they come from a drawing."""
    seam, system, drawn = answer.choice.seam, answer.system, answer.drawn

    def chart(ax: Axes, fontsize: float) -> None:
        seam_chart(ax, seam=seam, system=system, order=True, fontsize=fontsize)

    parts = [setter.part(fitted_picture((setter.wide, setter.high(_CHART)), chart), 4.0)]
    if drawn is not None:
        edges = drawn.a.walked, drawn.b.walked
        wholes = [drawn.pattern.outline(e.name, outside=e.curve.outside) for e in edges]

        def drawing(ax: Axes, fontsize: float) -> None:
            seam_drawing(
                ax, edges=edges, seam=seam, outlines=wholes, system=system, fontsize=fontsize
            )

        parts.append(
            setter.part(fitted_picture((setter.wide, setter.high(_DRAWING)), drawing), 4.0)
        )
    return parts
