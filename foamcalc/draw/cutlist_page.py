"""The cut list on paper: what to take, the order of cutting, each sheet with its pieces."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from itertools import groupby
from typing import TYPE_CHECKING

from foamcalc.ask.cutlist import CutSheet, Material, Panel, Placed
from foamcalc.ask.cutting import BuildCut
from foamcalc.ask.cutting.sizes import alike, own_size, row_place, sheets_name, size
from foamcalc.ask.cutting.words import cut_steps, how_found, joins, needed_lines, sentence
from foamcalc.ask.lines import SAFE
from foamcalc.draw.blocks import Beside, Column, Picture, Rule, Space
from foamcalc.draw.cutlist_sheet import draw_sheet, drawn_size, scale_for
from foamcalc.draw.flow import Part, Story, flow
from foamcalc.draw.footed import FOOT, MARGIN, continued, footed_pages
from foamcalc.draw.lettering import own_style
from foamcalc.draw.paper import Paper, paper_size
from foamcalc.draw.setter import LARGE, SMALL, TITLE, Setter
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_TALLEST = 104.0
"""Height that a drawn sheet may take [mm on paper]."""
_SCALED = (
    "Drawn to the scale that stands at each sheet, not to true size: measure with a tape. Hatched "
    "is left over. Each piece has a number, in the order of cutting."
)


def cutlist_pages(cut: BuildCut, *, paper: Paper = "A4") -> list[Figure]:
    """Make the pages of a cut list, to hang up where it is cut.

    Sheets that are cut alike are drawn once.
    """
    across, up = paper_size(paper)
    if cut.found is None:
        raise ValueError("the cut list has no sheets to draw; name [[stock]] in the job sheet")
    setter = Setter(across - 2 * MARGIN, cut.plan.sheet.system)
    outlined = frozenset(item.name for item in cut.items if isinstance(item, Panel))
    with own_style():
        stories = [
            _front(setter, cut),
            *(
                _sheet(setter, material, sheets, cut.found.trim, outlined)
                for material in cut.found.materials
                for sheets in alike(material)
            ),
            *_grounds(setter, cut),
        ]
        pages, _ = flow(stories, tall=up - MARGIN - FOOT, divider=Rule(setter.wide), apart=3.5)
        return footed_pages((across, up), pages, foot=_title(cut), title="Cut list")


def _title(cut: BuildCut) -> str:
    return f"Cut list: {cut.plan.sheet.title}"


def _front(setter: Setter, cut: BuildCut) -> Story:
    """What to take, how good that is, and the order of cutting."""
    assert cut.found is not None  # asked before
    title = _title(cut)
    head = (
        setter.words(title, TITLE, bold=True),
        setter.words(sentence(cut), LARGE, bold=True),
        setter.words(_SCALED),
        Rule(setter.wide, 2.2),
    )
    parts = [
        Part(Column(head, 1.6), 0.0),
        *setter.listed("What to take", _grouped(cut.found.summary_lines(setter.system))),
        *setter.listed("Joins", joins(cut)),
        *setter.steps(cut_steps(cut)),
    ]
    return Story("cut list", tuple(parts), continued(setter, title))


def _grouped(lines: Sequence[str]) -> list[str]:
    """Lines of a summary, those set in put behind the one they belong to."""
    found: list[str] = []
    for line in lines:
        if line.startswith(" ") and found:
            found[-1] = f"{found[-1]}; {line.strip()}"
        else:
            found.append(line)
    return found


def _sheet(
    setter: Setter,
    material: Material,
    sheets: Sequence[CutSheet],
    trim: float,
    outlined: frozenset[str],
) -> Story:
    """Sheets that are cut alike: their name, one of them drawn, row after row."""
    sheet, system = sheets[0], setter.system
    name = sheets_name(material, sheets, system)
    scale = scale_for(sheet, wide=setter.wide, tall=_TALLEST)
    draw = partial(
        draw_sheet, sheet=sheet, scale=scale, trim=trim, outlined=outlined, system=system
    )
    picture = Picture(*drawn_size(sheet, scale), draw)
    head = Column((setter.words(name, bold=True), setter.words(f"drawn 1 : {scale:g}", SMALL)), 0.3)
    parts = [Part(Column((head, picture), 1.5), 0.0)]
    first = 1
    for number, row in enumerate(sheet.rows, 1):
        lead = setter.words(f"row {number}", SMALL, bold=True)
        said = f"{row_place(row, system, trim)}: {_numbered(row.placed, first, system)}"
        inner = setter.narrow(16.0).words(said, SMALL)
        parts.append(Part(Beside(lead, inner, 16.0), 0.8))
        first += len(row.placed)
    parts.append(Part(Space(1.0), 0.0))
    return Story(name, tuple(parts), continued(setter, name))


def _numbered(placed: Sequence[Placed], first: int, system: System) -> str:
    """The pieces of a row with the numbers that they have in the drawing."""
    told = []
    for (name, part, sizes), same in groupby(
        placed, key=lambda p: (p.name, (p.part, p.parts), own_size(p))
    ):
        last = first + len(list(same)) - 1
        which = f"{first}" if first == last else f"{first} to {last}"
        parts = f", part {part[0]} of {part[1]}" if part[1] > 1 else ""
        told.append(f"({which}) {name}{parts}, {size(*sizes, system)}")
        first = last + 1
    return "; ".join(told)


def _grounds(setter: Setter, cut: BuildCut) -> list[Story]:
    """How it was found, what is not in it, what it rests on."""
    parts = [
        *setter.listed("How it was found", how_found(cut)),
        *setter.listed("No stock is named for", needed_lines(cut)),
        *setter.listed("What the list holds", cut.said),
        *setter.rests_on((*cut.plan.sheet.shown_first, SAFE)),
    ]
    return [Story("grounds", tuple(parts), continued(setter, "What the list rests on"))]
