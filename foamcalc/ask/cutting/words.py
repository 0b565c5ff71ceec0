"""The cut list of a build in words: what to buy, how good that is, where each piece lies."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from foamcalc.ask.cutlist import CutList, Panel, Placed, Strip
from foamcalc.ask.cutlist.result import money, thick
from foamcalc.ask.cutting.build import BuildCut, Needed
from foamcalc.ask.cutting.sizes import (
    alike,
    area,
    own_size,
    row_place,
    row_words,
    sheets_name,
    size,
)
from foamcalc.ask.lines import SAFE, listed, many, noted, stepped, wrapped
from foamcalc.fit.order import KNIFE, Step
from foamcalc.units import System, format_length

MOST_ROWS = 60
"""Rows told on the terminal; the files have all of them."""
LONG_CUT = (
    f"{KNIFE} On a long cut clamp the straightedge or have it held, keep all fingers off its "
    "cutting side, let the cut run past your body and make several light passes. Close or cap the "
    "knife before you move the sheet."
)
SAW = (
    "A saw, hot knife or hot wire in its place: guard on, dust mask, fresh air; overheated foam "
    "gives off harmful fumes."
)
_AGAIN = "Knife as in the first step: away from you, fingers off the cutting side."
_SPOKEN = 2
"""Sizes of sheets named in the first sentence; more are counted."""


def sentence(cut: BuildCut) -> str:
    """What to buy and how good that is, in one sentence.

    Parameters
    ----------
    cut : BuildCut
        From `foamcalc.ask.cutting.cut_build`.
    """
    if not cut.items:
        return "Nothing is to be cut: no base, overlay or further piece of the sheet is uncut."
    if cut.found is None:
        pieces = sum(one.count for one in cut.needed)
        whole = area(sum(one.area for one in cut.needed), cut.plan.sheet.system)
        return (
            f"{many(pieces, 'piece')} to cut, {whole}, but the job sheet names no [[stock]] for "
            "them, so no sheets are counted."
        )
    found, system = cut.found, cut.plan.sheet.system
    total = sum(sheet.area for m in found.materials for sheet in m.sheets)
    waste = sum(m.waste for m in found.materials) / total
    wasted = f"{waste:.0%} waste, what may be kept counted in"
    parts = [_taken(found, system), wasted, _least(cut, found)]
    if found.cost:
        parts.append(money(found.cost, found.currency))
    more = " Not counted: what no stock is named for." if cut.needed else ""
    return f"{'; '.join(parts)}.{more}"


def _taken(found: CutList, system: System) -> str:
    """The sheets of every foam."""
    sheets = [sheet for material in found.materials for sheet in material.sheets]
    taken = Counter(sheet.stock for sheet in sheets)
    if len(taken) > _SPOKEN:
        offcuts = sum(sheet.stock.offcut for sheet in sheets)
        also = f" and {many(offcuts, 'offcut')}" if offcuts else ""
        return (
            f"{many(len(sheets) - offcuts, 'sheet')}{also}, of {len(found.materials)} foams and "
            "thicknesses"
        )
    said = [
        f"{many(number, 'offcut' if stock.offcut else 'sheet')} of {stock.foam} "
        f"{thick(stock.thickness, system)}, {size(stock.length, stock.width, system)}"
        for stock, number in taken.items()
    ]
    return ", and ".join(filter(None, ["; ".join(said[:-1]), said[-1]]))


def _least(cut: BuildCut, found: CutList) -> str:
    """Whether less would do."""
    bought = sum(m.bought for m in found.materials)
    if not bought:
        return "nothing to buy"
    rows = " cut in rows" if any(m.least_in_rows for m in found.materials) else ""
    sizes = Counter(s.material for s in set(cut.plan.sheet.stocks) if not s.free)
    costs = [m.least_cost for m in found.materials]
    priced = [cost for cost in costs if cost is not None]
    if max(sizes.values()) > 1 and len(priced) == len(costs):
        least, now = sum(priced), found.cost or 0.0
        said = f"no list{rows} costs less than {money(least, found.currency)}"
        return said if now <= least * (1 + 1e-9) else f"{said}, which may not be had"
    fewest = sum(m.least_bought for m in found.materials)
    said = f"no list{rows} needs fewer than {fewest}"
    return said if bought == fewest else f"{said}, and whether that would do is not known"


def how_found(cut: BuildCut) -> list[str]:
    """By what rule the pieces were laid out, and what is not promised."""
    if cut.found is None:
        return []
    laid = set(_materials(cut.found))
    items = [item for item in cut.items if item.material in laid]
    said = []
    if not all(m.proven for m in cut.found.materials):
        said.append(
            "The best of many tries by plain rules; where nothing else is said, a better one may "
            "be there."
        )
    if any(isinstance(item, Strip) for item in items):
        said.append(
            "Overlays and strips are slit in rows of one width, and the rows are cut to lengths."
        )
    if any(isinstance(item, Panel) for item in items):
        said.append(
            "Bases and further pieces count as the rectangle round each; curved ones may nest "
            "closer by hand."
        )
    if not all(m.finished for m in cut.found.materials):
        said.append(
            "The time ran out before all was tried, so another run may find another list: "
            "--seconds 120 gives it more."
        )
    return said


def _materials(found: CutList) -> Iterator[tuple[str, int]]:
    return (m.sheets[0].stock.material for m in found.materials)


def joins(cut: BuildCut) -> list[str]:
    """Strips that are joined from parts, with the lengths of the parts."""
    if cut.found is None:
        return []
    laps = {item.name: item.lap for item in cut.items if isinstance(item, Strip)}
    system = cut.plan.sheet.system
    parts: dict[tuple[str, int], list[Placed]] = {}
    for material in cut.found.materials:
        for sheet in material.sheets:
            for piece in sheet.placed:
                if piece.parts > 1:
                    parts.setdefault((piece.name, piece.number), []).append(piece)
    said = []
    for (name, number), found in sorted(parts.items()):
        lengths = [
            format_length(own_size(one)[0], system=system)
            for one in sorted(found, key=lambda one: one.part)
        ]
        lap = laps[name]
        how = f"lapped by {format_length(lap, system=system)}" if lap else "butted"
        said.append(f"{name} number {number}: {' + '.join(lengths)}, {how}")
    return said


def needed_lines(cut: BuildCut) -> list[str]:
    """What there is no stock for: how much, the longest piece, and what would help."""
    return [_needed_said(one, cut.plan.sheet.system) for one in cut.needed]


def _needed_said(one: Needed, system: System) -> str:
    longest = one.longest
    said = (
        f"{one.foam} {thick(one.thickness, system)}: {many(one.count, 'piece')}, "
        f"{area(one.area, system)}, the longest "
        f"{size(longest.cut_length, longest.width, system)} ({longest.name})"
    )
    if one.other:
        there = " and ".join(thick(other, system) for other in one.other)
        said += f"; there is stock of it in {there}: write one thickness in both places"
    return said


def cut_steps(cut: BuildCut) -> list[Step]:
    """The order of cutting, with the cautions where they belong."""
    rules, system = cut.plan.sheet.cutting, cut.plan.sheet.system
    steps = []
    if rules.edge_trim:
        trim = format_length(rules.edge_trim, system=system)
        steps.append(Step(f"Cut {trim} off all round each sheet.", LONG_CUT))
    blade = "A knife takes nothing away."
    if rules.kerf:
        taken = format_length(rules.kerf, system=system, resolution=_FINE[system])
        blade = f"The blade takes {taken} away between two rows and between two pieces."
    first = _AGAIN if steps else LONG_CUT
    steps.append(
        Step(
            "Mark the largest piece left, if you keep it, and cut round it. Slit each sheet into "
            "its rows along a straightedge, from edge to edge of what is there, in the order of "
            f"the list. {blade}",
            f"{first} {SAW}" if rules.kerf else first,
        )
    )
    steps.append(Step("Cut the rows to lengths. Write the name on each piece at once.", _AGAIN))
    if any(isinstance(item, Panel) for item in cut.items):
        steps.append(Step("Lay each pattern into its rectangle and cut along its outline.", _AGAIN))
    return steps


_FINE: dict[System, float] = {"mm": 0.1, "in": 1 / 32}


def cut_lines(cut: BuildCut) -> list[str]:
    """The cut list as a maker reads it on the terminal.

    Parameters
    ----------
    cut : BuildCut
        From `foamcalc.ask.cutting.cut_build`.

    Returns
    -------
    list of str
        The answer in one sentence first; then what to buy, where each piece lies, how it was
        found, the order of cutting, and what is not in the list.
    """
    system = cut.plan.sheet.system
    lines = wrapped(sentence(cut))
    for note in cut.plan.sheet.shown_first:
        lines += noted(note)
    if cut.found is not None:
        lines += ["", "What to take"]
        for line in cut.found.summary_lines(system):
            indent = "    " if line.startswith(" ") else "  "
            lines += wrapped(line.strip(), first=indent, then=f"{indent}  ")
        lines += ["", "Where each piece lies (rows from the side of the sheet, or from its end)"]
        lines += _rows_told(cut.found, system)
        lines += ["", "How it was found", *listed(how_found(cut))]
        lines += ["", "Order of cutting", *stepped(cut_steps(cut))]
    for head, texts in (
        ("Joins", joins(cut)),
        ("No stock is named for", needed_lines(cut)),
        ("What the list holds", cut.said),
    ):
        lines += ["", head, *listed(texts)] if texts else []
    return [*lines, "", *wrapped(SAFE)]


def _rows_told(found: CutList, system: System) -> list[str]:
    lines: list[str] = []
    told = 0
    groups = [(material, sheets) for material in found.materials for sheets in alike(material)]
    total = sum(len(sheets[0].rows) for _, sheets in groups)
    for material, sheets in groups:
        if told >= MOST_ROWS:
            more = f"  … and {total - told} more rows; --out FOLDER writes all of them down"
            return [*lines, more]
        lines.append(f"  {sheets_name(material, sheets, system)}")
        for number, row in enumerate(sheets[0].rows, 1):
            said = f"row {number} {row_place(row, system, found.trim)}: {row_words(row, system)}"
            lines += wrapped(said, first="    ", then="      ")
        told += len(sheets[0].rows)
    return lines
