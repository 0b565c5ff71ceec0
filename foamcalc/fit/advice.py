"""A choice in a maker's words: the answer in one sentence, the reasons, the order of work."""

from __future__ import annotations

from math import isfinite
from typing import NamedTuple

from foamcalc.fit.choice import Choice
from foamcalc.fit.detail_words import hole_words
from foamcalc.fit.end_words import hang_words
from foamcalc.fit.ends import both_ends
from foamcalc.fit.holes import MOST_STRAIN
from foamcalc.fit.limits import Check, tape_reading
from foamcalc.fit.local import even_marks
from foamcalc.fit.release import Outcome
from foamcalc.foam.adhesives import adhesive
from foamcalc.tables import look_up
from foamcalc.units import System, format_length


class Step(NamedTuple):
    """One step of work, with its caution where hands or lungs are at risk."""

    what: str
    caution: str = ""


_WHAT = {"mouth": "the mouth", "girth": "the girth inside"}

_SPRINGS = {"mouth": "opens the mouth", "girth": "changes the girth"}

_KNIFE = "Fresh blade, cutting mat, the other hand behind the blade, cut away from you."
_HEAT = (
    "Heat gun: hot nozzle and hot foam burn; keep it moving, stop before the foam shines or "
    "smokes, air the room: overheated foam gives off harmful fumes."
)


def sentence(choice: Choice, system: System = "mm") -> str:
    """The answer in plain words, to the nearest millimetre or 1/16 in.

    Parameters
    ----------
    choice : Choice
        From `choose`.
    system : {"mm", "in"}
        Units to speak in.

    Returns
    -------
    str
        How short the piece is, what to do, and what the mouth does.
    """
    answer = (
        f"{how_short(choice, system)}: {what_to_do(choice, system)}; "
        f"{what_happens(choice, system)}."
    )
    if choice.joint.gap > 0 and choice.choice not in ("stretch", "as cut"):
        answer += f" {_instead(choice, system)}"
    return answer


def how_short(choice: Choice, system: System = "mm") -> str:
    """How short the piece is, or that it fits, without a full stop."""
    gap = choice.joint.gap
    size = format_length(abs(gap), system=system)
    if gap < -tape_reading():
        return f"{size} too long, not short"
    if choice.choice == "as cut":
        return "It fits"
    if gap <= tape_reading():
        return f"It is long enough, but its spring {_SPRINGS[choice.chosen.outcome.what]}"
    return f"{size} short ({choice.joint.strain:.1%} of its length)"


def what_to_do(choice: Choice, system: System = "mm") -> str:
    """What to do, without a full stop."""
    way = choice.chosen
    if choice.choice == "as cut":
        verb = "trim it to" if choice.situation.already_cut else "cut it"
        return f"{verb} {_long(choice, system)}" if _too_long(choice) else "glue it as it is"
    if choice.choice == "stretch":
        return "stretch it cold as you glue"
    if choice.choice == "let in a piece":
        return f"let in a piece {format_length(_let_in(choice), system=system)} long"
    if choice.choice == "cut longer":
        return f"cut it {_long(choice, system)}"
    if choice.choice == "divide":
        return "no way keeps every limit, so divide the overlay or take a thinner one"
    both = "base and overlay" if way.glued.base.formed > choice.joint.base.formed else "the overlay"
    warm = f"form {both} warm on the curve, hold till cool, then glue"
    if _cut_again(choice):
        return f"cut it {_long(choice, system)}, {warm}"
    return f"trim it to {_long(choice, system)}, {warm}" if _too_long(choice) else warm


def _long(choice: Choice, system: System) -> str:
    """How long to cut, with the spare said apart."""
    net = _net_length(choice)
    spare = _spare(choice)
    if not spare or not _cut_again(choice):
        return f"{format_length(net, system=system)} long"
    each = format_length(spare / choice.situation.free_ends, system=system)
    where = "at each end" if choice.situation.free_ends == 2 else "at the free end"
    return (
        f"{format_length(net + spare, system=system)} long "
        f"({format_length(net, system=system)}, and {each} {where} to trim after gluing)"
    )


def _net_length(choice: Choice) -> float:
    """Length to cut without the spare [mm]; to be formed warm it is cut for the shrinking."""
    warm = choice.choice == "form warm" and (_cut_again(choice) or _too_long(choice))
    return choice.chosen.outcome.cut_length if warm else choice.planned_length


def _too_long(choice: Choice) -> bool:
    """Whether it must be trimmed: by more than a tape reading."""
    return choice.joint.gap < -tape_reading()


def _cut_again(choice: Choice) -> bool:
    """Whether the overlay is cut new, so that spare can be left on."""
    longer = choice.chosen.outcome.cut_length > choice.joint.cut_length
    return longer and choice.choice in ("cut longer", "form warm")


def what_happens(choice: Choice, system: System = "mm") -> str:
    """What the mouth or the girth does the chosen way, without a full stop."""
    way = choice.chosen
    what = _WHAT[way.outcome.what]
    before, after = (
        format_length(x, system=system) for x in (way.outcome.size_before, way.outcome.size_after)
    )
    if way.choice == "divide":
        return f"in one piece {what} would still go from {before} to {after}"
    oval = _oval(way.outcome, system)
    if before == after:
        return f"let go, {what} stays at {before}{oval}"
    return f"let go, {what} goes from {before} to {after}{oval}"


def _oval(outcome: Outcome, system: System) -> str:
    """That a ring goes out of round, if it can be seen."""
    if outcome.out_of_round < tape_reading():
        return ""
    return f", {format_length(outcome.out_of_round, system=system)} out of round"


def _instead(choice: Choice, system: System) -> str:
    pulled = choice.outcomes[0]
    what = "it" if pulled.what == "mouth" else "the girth"
    return (
        f"Stretched cold as it is cut {what} would go to "
        f"{format_length(pulled.size_after, system=system)}{_oval(pulled, system)}."
    )


def _let_in(choice: Choice) -> float:
    """Length of the piece to let in [mm]."""
    return choice.planned_length - choice.joint.cut_length


def _spare(choice: Choice) -> float:
    """Length to leave on at the free ends [mm]."""
    each = look_up("limits", "habit", "spare_at_free_end").in_unit("mm")
    return choice.situation.free_ends * each


def reasons(choice: Choice, system: System = "mm") -> list[str]:
    """Why each way before the chosen one was passed over, and what the chosen one keeps.

    Returns
    -------
    list of str
        One line a way.
    """
    lines = []
    for way in choice.ways:
        if way.choice == "divide":
            continue
        verdict = "yes" if way.met else "no"
        shown = [c for c in way.checks if c.met == way.met]
        lines.append(f"{way.choice}: {verdict}; " + "; ".join(_check(c, system) for c in shown))
    return lines


def _check(check: Check, system: System) -> str:
    limit = check.limit
    if limit.unit == "1":
        found = f"{check.found:.1%}" if isfinite(check.found) else "without end"
        most = f"{100 * limit.value:.3g} %"
    elif limit.unit == "mm":
        found, most = (format_length(x, system=system) for x in (check.found, limit.value))
    else:
        digits = ".3f" if limit.unit == "N/mm" else ".0f"
        found, most = f"{check.found:{digits}} {limit.unit}", f"{limit.value:.3g} {limit.unit}"
    return f"{check.what} {found} (limit {most}, {limit.basis})"


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
        both = choice.chosen.glued.base.formed > choice.joint.base.formed
        steps.append(
            Step(
                f"Warm {'base and overlay' if both else 'the overlay'}, lay it over the curve "
                "with its end lines on the ends, hold it till it is cool. Try an offcut first. "
                "It springs back and shrinks a little: form it tighter than wanted.",
                _HEAT,
            )
        )
    what = _WHAT[choice.chosen.outcome.what]
    steps.append(Step(f"Dry fit: pin both ends, then the marks. Measure {what} now."))
    steps += _gluing(choice, system)
    if _spare(choice) and _cut_again(choice):
        steps.append(Step("Trim the spare when the glue has set.", _KNIFE))
    return steps


def _cutting(choice: Choice, system: System) -> list[Step]:
    if choice.choice == "let in a piece":
        piece = format_length(_let_in(choice), system=system)
        return [
            Step(
                f"Cut the overlay across where the bend is easiest and glue in a piece {piece} "
                "long, edge to edge, on the flat.",
                _KNIFE,
            )
        ]
    if choice.choice in ("as cut", "form warm") and _too_long(choice):
        return [Step(f"Trim the overlay till it is {_long(choice, system)}.", _KNIFE)]
    if _cut_again(choice):
        return [Step(f"Cut the overlay {_long(choice, system)}.", _KNIFE)]
    if choice.choice == "divide":
        return [Step("Divide the overlay, and ask again for each piece.", _KNIFE)]
    return []


def _marking(choice: Choice, system: System) -> Step:
    joint = choice.joint
    length = choice.chosen.outcome.cut_length
    on_base, on_overlay = (
        ", ".join(format_length(x, system=system) for x in places)
        for places in even_marks(joint.with_cut(length))
    )
    spare = " (the spare lies outside)" if _spare(choice) and _cut_again(choice) else ""
    first = ""
    if joint.start > 0:
        place = format_length(joint.start, system=system)
        first = f" from its first line, which is {place} along the base,"
    return Step(
        f"Mark the base's outside{first} at {on_base}; the overlay at {on_overlay}{spare}. "
        "Mark meets mark: that shares the stretch out evenly."
    )


def _gluing(choice: Choice, system: System) -> list[Step]:
    glue = adhesive(choice.situation.adhesive)
    slip = " Lay paper between so that it cannot grab early." if glue.grabs else ""
    pulled = choice.choice == "stretch"
    if pulled:
        ends = both_ends(choice.chosen.glued)
        reach = max((end.reach for end in ends), default=0.0)
        hold = format_length(reach, system=system)
        how = (
            "Glue both ends on their marks, then the middle, then the quarters, then between: "
            f"each part takes its own share of the stretch.{slip} Press and hold the last {hold} "
            "at each end till it has set: a stretched end wants to lift."
        )
    elif choice.situation.free_ends == 1:
        how = f"Glue from the fixed end, mark by mark, towards the free end.{slip}"
    else:
        how = f"Glue the middle first, then mark by mark towards both ends.{slip}"
    if choice.situation.free_ends == 0:
        how += " Both ends must meet their neighbours: check them before the last part."
    if not glue.forms_after and glue.lets_go is not None:
        how += f" No heat gun on it afterwards and no hot car: it lets go near {glue.lets_go:g} °C."
    glued = Step(f"Glue with {glue.name}. {how}", glue.caution)
    return [*_trial(choice, system), glued, *_punching(choice, system)]


def _punching(choice: Choice, system: System) -> list[Step]:
    """What becomes of a hole in a piece that is stretched."""
    piece, pull = choice.chosen.glued.overlay, choice.chosen.outcome.strain
    if not piece.hole or not 0 < pull <= MOST_STRAIN or choice.choice != "stretch":
        return []
    words = hole_words(diameter=piece.hole, strain=pull, strip_width=piece.width, system=system)
    return [Step(words, _KNIFE)]


def _trial(choice: Choice, system: System) -> list[Step]:
    """What to hang on a glued offcut before a stretched overlay is trusted to its ends."""
    ends = [end for end in both_ends(choice.chosen.glued) if end.curvature >= 0]
    if choice.choice != "stretch" or not ends:
        return []
    worst = max(ends, key=lambda end: end.peel)
    return [Step(f"Try the glue on the ends. {hang_words(worst, system=system)}")]
