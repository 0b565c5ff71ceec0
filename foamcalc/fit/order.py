"""The order of work for a choice: cut, mark, form, dry fit, glue, trim, with their cautions."""

from __future__ import annotations

from typing import NamedTuple

from foamcalc.fit.choice import Choice
from foamcalc.fit.cutting import cut_again, let_in_words, long_words, spare, too_long, warmed
from foamcalc.fit.detail_words import hole_words
from foamcalc.fit.end_words import hang_words, in_time, joint_end_words, till_words, warm_words
from foamcalc.fit.ends import worst_end
from foamcalc.fit.holes import MOST_STRAIN
from foamcalc.fit.limits import end_strength
from foamcalc.fit.local import even_marks
from foamcalc.foam.adhesives import Adhesive, adhesive
from foamcalc.units import System, format_length

MEASURED = {"mouth": "the mouth", "girth": "the girth inside"}
"""What is measured of a shell, as `Outcome.what` has it, in words."""


STANDING = "Stand it on its end: lying, it opens under its own weight."
"""How a shell is held while its mouth is measured."""


class Step(NamedTuple):
    """One step of work, with its caution where hands or lungs are at risk."""

    what: str
    caution: str = ""


KNIFE = "Fresh blade, cutting mat, the other hand behind the blade, cut away from you."
HEAT = (
    "Heat gun: hot nozzle and hot foam burn; keep it moving, stop before the foam shines or "
    "smokes, air the room: overheated foam gives off harmful fumes."
)


def order_of_work(choice: Choice, system: System = "mm") -> list[Step]:
    """The steps from the knife to the trim, with cautions where they belong.

    Parameters
    ----------
    choice : Choice
        From `choose`.
    system : {"mm", "in"}
        Units to speak in.

    Returns
    -------
    list of Step
        In order: cut, mark, form, dry fit, glue, trim.
    """
    steps = [*_cutting(choice, system), _marking(choice, system)]
    if choice.choice == "form warm":
        steps.append(
            Step(
                f"Warm {warmed(choice)}, lay it over the curve "
                "with its end lines on the ends, hold it till it is cool. Try an offcut first. "
                "It springs back and shrinks a little: form it tighter than wanted.",
                HEAT,
            )
        )
    what = MEASURED[choice.chosen.outcome.what]
    stand = "" if choice.chosen.outcome.what == "girth" else f" {STANDING}"
    steps.append(Step(f"Dry fit: pin both ends, then the marks.{stand} Measure {what} now."))
    steps += _gluing(choice, system)
    if spare(choice):
        steps.append(Step("Trim the spare when the glue has set.", KNIFE))
    return steps


def _cutting(choice: Choice, system: System) -> list[Step]:
    if choice.choice == "let in a piece":
        piece = let_in_words(choice, system)
        return [
            Step(
                f"Cut the overlay across where the bend is easiest and glue in a piece {piece}, "
                "edge to edge, on the flat.",
                KNIFE,
            )
        ]
    if choice.choice in ("as cut", "form warm") and too_long(choice):
        return [Step(f"Trim the overlay till it is {long_words(choice, system)}.", KNIFE)]
    if cut_again(choice):
        which = "a new" if choice.situation.already_cut else "the"
        return [Step(f"Cut {which} overlay {long_words(choice, system)}.", KNIFE)]
    if choice.choice == "divide":
        return [Step("Divide the overlay, and ask again for each piece.", KNIFE)]
    return []


def _marking(choice: Choice, system: System) -> Step:
    joint = choice.joint
    length = choice.chosen.outcome.cut_length
    on_base, on_overlay = (
        ", ".join(format_length(x, system=system) for x in places)
        for places in even_marks(joint.with_cut(length))
    )
    outside = " (the spare lies outside)" if spare(choice) else ""
    first = ""
    if joint.start > 0:
        lift = joint.base.thickness if joint.face == "inside" else 0.0
        place = format_length(float(joint.curve.length_at(lift, end=joint.start)), system=system)
        first = f" from its first line, which is {place} along the base's outside,"
    return Step(
        f"Mark the base's outside{first} at {on_base}; the overlay at {on_overlay}{outside}. "
        "Mark meets mark: that shares the stretch out evenly."
    )


def _gluing(choice: Choice, system: System) -> list[Step]:
    glue = adhesive(choice.situation.adhesive)
    pulled = choice.choice == "stretch"
    if pulled:
        how = (
            "Glue both ends on their marks, then the middle, then the quarters, then between: "
            "each part takes its own share of the stretch."
        )
    elif choice.situation.free_ends == 1:
        how = "Glue from the fixed end, mark by mark, towards the free end."
    else:
        how = "Glue the middle first, then mark by mark towards both ends."
    said = [f"Glue with {glue.name}: {in_time(glue)}.", how]
    if glue.grabs:
        said.append("Lay paper between so that it cannot grab early.")
    if choice.situation.free_ends == 0:
        meet = "each other" if choice.joint.ring_all_round else "their neighbours"
        said.append(f"Both ends must meet {meet}: check them before the last part.")
    said.append(_ends(choice, glue, system) if pulled else warm_words(glue, pulled=False))
    glued = Step(" ".join(filter(None, said)), glue.caution)
    return [*_trial(choice, system), glued, *_punching(choice, system)]


def _ends(choice: Choice, glue: Adhesive, system: System) -> str:
    """Whether the ends of a stretched overlay hold, and what to do till the glue is strong."""
    said = joint_end_words(choice.chosen.glued, choice.limits["end"], glue=glue, system=system)
    if said:
        return said
    what = "the seam where they meet" if choice.joint.ring_all_round else "both ends"
    return f"Hold {what}{till_words(glue)}. {warm_words(glue, pulled=True)}".rstrip()


def _punching(choice: Choice, system: System) -> list[Step]:
    """What becomes of a hole in a piece that is stretched."""
    piece, pull = choice.chosen.glued.overlay, choice.chosen.outcome.strain
    if not piece.hole or not 0 < pull <= MOST_STRAIN or choice.choice != "stretch":
        return []
    words = hole_words(diameter=piece.hole, strain=pull, strip_width=piece.width, system=system)
    return [Step(words, KNIFE)]


def _trial(choice: Choice, system: System) -> list[Step]:
    """What to hang on a glued offcut before a stretched overlay is trusted to its ends."""
    worst = worst_end(choice.chosen.glued)
    if choice.choice != "stretch" or worst is None or not end_strength(choice.limits["end"]).is_cap:
        return []
    longer = format_length(choice.planned_length, system=system)
    return [
        Step(
            f"{hang_words(worst, system=system)} If it comes off, do not stretch: cut a new "
            f"overlay {longer} long."
        )
    ]
