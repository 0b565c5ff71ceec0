"""What of a build is to be cut: its bases, overlays, trims, and further pieces."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from foamcalc.ask.cutlist import Item, Panel, Strip
from foamcalc.ask.cutting.trims import trim_items
from foamcalc.ask.faults import LONGEST_NAME, cut_short
from foamcalc.ask.lines import in_words
from foamcalc.ask.plan import Plan, PlannedJoint
from foamcalc.ask.sheet import ShellJob
from foamcalc.ask.sheet.stock import foam_name
from foamcalc.fit.choice import Choice
from foamcalc.fit.cutting import cut_again, let_in, net_length, spare, too_long

_BASES = (
    "Bases are listed flat: as long as the line that keeps its length when they are bent, as wide "
    "as the sheet says, with nothing added and no taper. Where a base is cut already, write "
    "already_cut = true under its shell."
)


@dataclass(frozen=True)
class ToCut:
    """What is to be cut, and what is to be said of it."""

    items: tuple[Item, ...] = ()
    said: tuple[str, ...] = ()


def items_of(plan: Plan) -> tuple[Item, ...]:
    """Everything of a build that is to be cut out of sheets."""
    return to_cut(plan).items


def to_cut(plan: Plan) -> ToCut:
    """What is to be cut, and what is to be said of it: left out, assumed, added.

    Each kind of piece is one function of `_SOURCES`, which takes the plan and gives a `ToCut`.
    """
    found = [source(plan) for source in _SOURCES]
    return ToCut(
        items=_own_names([item for one in found for item in one.items]),
        said=tuple(line for one in found for line in one.said),
    )


def _own_names(items: Sequence[Item]) -> tuple[Item, ...]:
    """The items, none with the name of another."""
    taken: set[str] = set()
    found = []
    for item in items:
        name, number = item.name, 1
        while name in taken:
            number += 1
            end = f" ({number})"
            name = f"{item.name[: LONGEST_NAME - len(end)]}{end}"
        taken.add(name)
        found.append(replace(item, name=name))
    return tuple(found)


def _bases(plan: Plan) -> ToCut:
    """Bases of the shells, flat."""
    items, said = [], []
    for job in plan.sheet.shells:
        if job.already_cut:
            continue
        if not job.width_said:
            said.append(f"Not in the list: the base of {job.name}, for its width is not said.")
            continue
        items.append(
            Panel(
                name=cut_short(f"{job.name}, base"),
                foam=foam_name(job.foam),
                thickness=job.base.thickness,
                length=flat_length(job),
                width=job.base.width,
                gap=plan.sheet.cutting.gap,
            )
        )
    return ToCut(tuple(items), (*([_BASES] if items else []), *said))


def flat_length(job: ShellJob) -> float:
    """Length of a base when it lies flat: its curve at its fibre [mm]."""
    base = job.base
    height = base.fibre if job.face == "inside" else base.fibre - 1
    return float(job.curve.length_at(height * base.thickness))


def _overlays(plan: Plan) -> ToCut:
    """Overlays that are not cut yet or to be cut again, and pieces to let in."""
    by_name = {p.joint.name: p for p in plan.joints}
    items: list[Item] = []
    cut, divided, no_width = [], [], []
    for joint in plan.sheet.joints:
        planned = by_name[joint.name]
        choice = planned.answer.choice
        if choice.choice == "divide":
            divided.append(joint.name)
        elif (length := _length_to_cut(choice)) is None:
            cut.append(joint.name)
        elif not joint.width_said:
            no_width.append(joint.name)
        else:
            items.append(_strip(planned, length))
    said = []
    if no_width:
        said.append(f"Not in the list, for the width is not said: {in_words(no_width)}.")
    if divided:
        said.append(
            f"Not in the list, for no way keeps every limit: {in_words(divided)}. Divide it "
            "or take thinner foam, then write what is to be cut as [[piece]]."
        )
    if cut:
        said.append(f"Not in the list, for it is cut and stays as it is: {in_words(cut)}.")
    return ToCut(tuple(items), tuple(said))


def _length_to_cut(choice: Choice) -> float | None:
    """Length of what is cut new, without spare [mm]; None if nothing is."""
    if choice.choice == "let in a piece":
        return let_in(choice)
    if choice.situation.already_cut and not cut_again(choice):
        return None
    if choice.choice == "as cut" and not too_long(choice):
        return choice.joint.cut_length
    return net_length(choice)


def _strip(planned: PlannedJoint, length: float) -> Strip:
    joint, choice = planned.joint, planned.answer.choice
    piece = joint.overlay.overlay
    let = choice.choice == "let in a piece"
    return Strip(
        name=cut_short(f"{joint.name}, piece to let in") if let else joint.name,
        foam=foam_name(joint.foam),
        thickness=piece.thickness,
        length=length,
        width=piece.width,
        spare=0.0 if let else spare(choice),
    )


def _trims(plan: Plan) -> ToCut:
    """Strips along edges."""
    rules = plan.sheet.cutting
    apart = max(rules.gap, rules.kerf)
    found = [item for trim in plan.trims for item in trim_items(trim, gap=rules.gap, apart=apart)]
    return ToCut(tuple(replace(item, name=cut_short(item.name)) for item in found))


def _pieces(plan: Plan) -> ToCut:
    """What the sheet lists beside bases and overlays."""
    sheet = plan.sheet
    seams = (
        "Pieces known by their seams only are not in the list, for their size is not said: write "
        "them as [[piece]]."
    )
    return ToCut(
        tuple(replace(piece, gap=sheet.cutting.gap) for piece in sheet.pieces),
        (seams,) if plan.seams and not sheet.pieces else (),
    )


_SOURCES: tuple[Callable[[Plan], ToCut], ...] = (_bases, _overlays, _trims, _pieces)
"""Where pieces to cut come from; each kind of piece is one of them."""
