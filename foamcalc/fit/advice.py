"""A choice in a maker's words: the answer in one sentence, the reasons, the order of work."""

from __future__ import annotations

from math import isfinite

from foamcalc.fit.checks import OPENING, PEEL
from foamcalc.fit.choice import Choice, Way
from foamcalc.fit.cutting import (
    cut_again,
    let_in_words,
    long_words,
    too_long,
    warmed,
)
from foamcalc.fit.end_words import joint_end_words
from foamcalc.fit.limits import Check, tape_reading
from foamcalc.fit.order import MEASURED, Step, order_of_work
from foamcalc.fit.release import Outcome, released
from foamcalc.foam.section import NoEquilibrium
from foamcalc.units import System, format_angle, format_length

__all__ = [
    "Step",
    "how_short",
    "next_day",
    "order_of_work",
    "reasons",
    "sentence",
    "what_happens",
    "what_to_do",
]

_SPRINGS = {"mouth": "opens the mouth", "girth": "changes the girth"}


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
    short = _short(choice, system)
    if choice.joint.turn_measured:
        return short
    bend = format_angle(choice.joint.curve.turn)
    return f"If the base bends about {bend}, {short[0].lower()}{short[1:]}"


def _short(choice: Choice, system: System) -> str:
    gap = choice.joint.gap
    size = format_length(abs(gap), system=system)
    if gap < -tape_reading():
        return f"{size} too long, not short"
    if choice.choice == "as cut":
        return "It fits"
    if gap <= tape_reading():
        return f"It is long enough, but its spring {_SPRINGS[choice.chosen.outcome.what]}"
    return f"{size} short ({choice.joint.rigid_strain:.1%} of its length)"


def what_to_do(choice: Choice, system: System = "mm") -> str:
    """What to do, without a full stop."""
    if choice.choice == "as cut":
        verb = "trim it to" if choice.situation.already_cut else "cut it"
        return f"{verb} {long_words(choice, system)}" if too_long(choice) else "glue it as it is"
    if choice.choice == "stretch":
        return "stretch it cold as you glue"
    if choice.choice == "let in a piece":
        return f"let in a piece {let_in_words(choice, system)}"
    it = "a new one" if choice.situation.already_cut else "it"
    if choice.choice == "cut longer":
        return f"cut {it} {long_words(choice, system)}"
    if choice.choice == "divide":
        return "no way keeps every limit, so divide the overlay or take a thinner one"
    warm = f"form {warmed(choice)} warm on the curve, hold till cool, then glue"
    if cut_again(choice):
        return f"cut {it} {long_words(choice, system)}, {warm}"
    return f"trim it to {long_words(choice, system)}, {warm}" if too_long(choice) else warm


def what_happens(choice: Choice, system: System = "mm") -> str:
    """What the mouth or the girth does the chosen way, without a full stop."""
    way = choice.chosen
    what = MEASURED[way.outcome.what]
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


def next_day(choice: Choice, forgets: float, system: System = "mm") -> str:
    """What the mouth or the girth is after a night, left free, of a foam that forgets a share."""
    glued = choice.chosen.glued
    later = released(glued, glued.cut_length).next_day(forgets)
    size = format_length(float(later.size), system=system)
    what = MEASURED[choice.chosen.outcome.what]
    return f"Left free overnight {what} goes to {size} (the foam forgets {forgets:.0%})."


def _instead(choice: Choice, system: System) -> str:
    pulled = choice.outcomes[0]
    what = "it" if pulled.what == "mouth" else "the girth"
    return (
        f"Stretched cold as it is cut {what} would go to "
        f"{format_length(pulled.size_after, system=system)}{_oval(pulled, system)}."
    )


def reasons(choice: Choice, system: System = "mm") -> list[str]:
    """Why each way before the chosen one was passed over, and what the chosen one keeps.

    Returns
    -------
    list of str
        One line a way.
    """
    return [_reason(choice, way, system) for way in choice.ways if way.choice != "divide"]


def _named(choice: Choice, way: Way) -> str:
    """A way by its name, with what tells it from the others of that name."""
    if way.choice != "form warm":
        return way.choice
    cut, asked = way.outcome.cut_length, choice.joint.cut_length
    both = ", base and overlay" if way.glued.base.formed > choice.joint.base.formed else ""
    return f"{'form warm' if cut == asked else 'cut again and form warm'}{both}"


def _reason(choice: Choice, way: Way, system: System) -> str:
    """What speaks for or against a way; ends that lift with what would hold them."""
    lifting = next((c for c in way.checks if c.what == PEEL and not c.met), None)
    shown = [c for c in way.checks if c.met == way.met and c is not lifting]
    line = "; ".join(
        [f"{_named(choice, way)}: {'yes' if way.met else 'no'}"]
        + [_check(c, system) for c in shown]
        + _strap(way)
    )
    if lifting is None:
        return line
    return f"{line}. {joint_end_words(way.glued, lifting.limit, system=system)}"


def _strap(way: Way) -> list[str]:
    """What a strap left on would pull where a piece as cut opens the mouth too far."""
    opens = any(c.what == OPENING and not c.met for c in way.checks)
    if way.choice != "stretch" or not opens:
        return []
    try:
        force = float(released(way.glued, way.glued.cut_length).strapped().force)
    except NoEquilibrium:  # far past its limit; then nothing is said of a strap
        return []
    return [f"a strap that stays on and holds the mouth would pull {force:.0f} N"]


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
    line = f"{check.what} {found} (limit {most}, {limit.basis})"
    if not check.unsure or check.between is None:
        return line
    low, high = (format_length(x, system=system) for x in check.between)
    return f"{line}, {low} to {high} as foam shrinks and springs back (from memory): try an offcut"
