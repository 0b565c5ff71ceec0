"""Ends and butt seams in a maker's words: they hold, or what to do."""

from __future__ import annotations

from math import ceil, inf

from foamcalc.fit.ends import End, check_end, cut_that_holds, worst_end
from foamcalc.fit.limits import Limit, end_strength
from foamcalc.fit.overlay import Overlay
from foamcalc.foam.adhesives import Adhesive
from foamcalc.foam.bond import BondCheck, peel_force
from foamcalc.guards import one_of
from foamcalc.units import GRAVITY, System, format_length

__all__ = [
    "end_words",
    "hang_words",
    "in_time",
    "joint_end_words",
    "seam_words",
    "till_words",
    "time_words",
    "warm_words",
]

_STRIP = {"mm": 25.0, "in": 25.4}
"""Width of a test strip [mm]."""
_OUNCE = 28.349523125
"""Grams."""
_BY_HAND = 10.0
"""Time that a hand holds an end [min]."""


def end_words(
    end: End,
    check: BondCheck,
    *,
    longer: float | None = None,
    glue: Adhesive | None = None,
    system: System = "mm",
) -> str:
    """Whether the ends of an overlay hold and what to do, in a maker's words.

    Parameters
    ----------
    end : End
        The end, of two different ones the worse (`worst_end`).
    check : BondCheck
        From `check_end`.
    longer : float, optional
        Length to cut it so that it holds [mm], from `cut_that_holds`; infinite where no length
        does.
    glue : Adhesive, optional
        Says for how long to hold, and what warmth does.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> import numpy as np
    >>> from foamcalc.foam.bond import BondTest
    >>> from foamcalc.foam.grades import foam
    >>> end = End(thickness=6, law=foam("EVA medium"), stretch=1.08, curvature=1 / 60, softness=1,
    ...           thickness_ratio=2)
    >>> test = BondTest(kind="peel", forces=(1.5,), width=25, angle=np.pi / 2)  # invented
    >>> print(end_words(end, check_end(end, test.strength())))
    The ends hold: they ask 57% of what your test carried; hold the last 42 mm of each till ...
    """
    if check.demand <= 0:
        return "The ends hold: nothing pulls them open."
    hold = f"the last {format_length(end.reach, system=system)} of each"
    keep = f"{_hold(glue)} {hold}{till_words(glue)}"
    asks = f"they ask {_times(check.ratio)} {_carried(check)}"
    if check.verdict == "wants to lift":
        said = f"want to lift: {asks}; {hold} would have to stay strapped; {_cut(longer, system)}"
    elif check.verdict == "holds":
        said = f"hold: {asks}; {keep}"
    elif check.strength.is_cap:
        said = f"may lift: {asks}, but no test of the glue is given; {keep}"
    else:
        said = f"may lift: {asks}, and those scatter; {keep}; {_cut(longer, system)}"
    return _with_warmth(f"The ends {said}.", glue, pulled=True)


def joint_end_words(
    joint: Overlay, limit: Limit, *, glue: Adhesive | None = None, system: System = "mm"
) -> str:
    """Whether the ends of a joint hold, as `end_words` says it of the worse one."""
    worst, strength = worst_end(joint), end_strength(limit)
    if worst is None:
        return ""
    check = check_end(worst, strength)
    longer = None
    if check.verdict != "holds" and not strength.is_cap:
        longer = cut_that_holds(joint, strength) or inf
    return end_words(worst, check, longer=longer, glue=glue, system=system)


def hang_words(end: End, *, system: System = "mm") -> str:
    """The weight to hang on a glued offcut, as a test of the end.

    Parameters
    ----------
    end : End
        The end.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> from foamcalc.foam.grades import foam
    >>> end = End(thickness=5, law=foam("EVA medium"), stretch=1.05, curvature=1 / 60)
    >>> print(hang_words(end))
    Try the glue: glue a strip 25 mm wide on an offcut and let it set; hold the offcut level, ...
    """
    width = _STRIP[one_of(system, "system", ("mm", "in"))]
    grams = 1000 * float(peel_force(demand=end.peel, width=width)) / GRAVITY
    weight = f"{_two_digits(grams / _OUNCE)} oz" if system == "in" else f"{_two_digits(grams)} g"
    return (
        f"Try the glue: glue a strip {format_length(width, system=system)} wide on an offcut and "
        f"let it set; hold the offcut level, strip underneath, and hang {weight} on the loose end "
        "overnight."
    )


def _two_digits(weight: float) -> str:
    return f"{float(f'{weight:.2g}'):g}"


def seam_words(check: BondCheck, *, glue: Adhesive | None = None) -> str:
    """Whether the butt seam of a tube rolled cold holds and what to do, in a maker's words."""
    if check.strength.kind != "pull":
        raise ValueError(
            f"a butt seam is pulled open; hold it against a pull test, not a {check.strength.kind} "
            "test"
        )
    if check.verdict == "holds":
        known = "nothing pulls it open"
        if check.demand > 0:
            known = f"it asks {check.ratio:.0%} of what your test carried"
        return _with_warmth(f"The butt seam holds: {known}.", glue, pulled=check.demand > 0)
    if check.verdict == "wants to lift":
        todo = "form the tube warm before you glue it, or take thinner foam"
        return _with_warmth(f"The butt seam wants to open: {todo}.", glue, pulled=True)
    why = (
        "the foam would hold, but the glue was not tested"
        if check.strength.is_cap
        else "your tests scatter"
    )
    todo = f"strap the tube{till_words(glue)}, or form it warm before you glue it"
    return _with_warmth(f"The butt seam may open ({why}): {todo}.", glue, pulled=True)


def warm_words(glue: Adhesive, *, pulled: bool) -> str:
    """What warmth does to a glued joint, in a maker's words; nothing where it stands it."""
    day, heat = glue.warmed("hot car"), glue.warmed("warm forming")
    if day.answer == "no":
        return f"No heat gun on it afterwards, no hot car: {_small(day.reason)}"
    if heat.answer == "no":
        return f"No heat gun on it afterwards: {_small(heat.reason)}"
    return f"Keep it cool: {_small(day.reason)}" if pulled and day.answer != "yes" else ""


def _with_warmth(verdict: str, glue: Adhesive | None, *, pulled: bool) -> str:
    said = "" if glue is None else warm_words(glue, pulled=pulled)
    return f"{verdict} {said}".rstrip()


def _small(sentence: str) -> str:
    return f"{sentence[:1].lower()}{sentence[1:]}"


def _times(ratio: float) -> str:
    """A demand over a strength, before the words for the strength."""
    if ratio >= 10:
        return f"{ratio:.0f} times"
    return "less than 1% of" if ratio < 0.01 else f"{ratio:.0%} of"


def _carried(check: BondCheck) -> str:
    if check.strength.is_cap:
        return f"the {check.basis}"
    return f"what your {'test' if check.strength.low is None else 'tests'} carried"


def _cut(longer: float | None, system: System) -> str:
    """What helps in place of holding: a longer piece, or a formed one."""
    if longer is None:
        return "cut it longer, or form it warm"
    if longer == inf:
        return "even cut to length they lift: form it warm"
    return f"with the overlay cut {_at_least(longer, system)} or longer they hold"


def _at_least(mm: float, system: System) -> str:
    """A length rounded up, so that it is not too short as it is read."""
    step = {"mm": 1.0, "in": 25.4 / 16}[system]
    return format_length(step * ceil(mm / step - 1e-9), system=system)


def _hold(glue: Adhesive | None) -> str:
    """How an end is held: by hand, or by something that stays on."""
    return "hold" if glue is None or glue.set_time < _BY_HAND else "strap"


def till_words(glue: Adhesive | None) -> str:
    """For how long to hold a joint, with a blank before it."""
    if glue is None:
        return " till the glue is at full strength"
    return f" for {time_words(max(glue.set_time, 1.0))} ({glue.basis('set_time')})"


def time_words(minutes: float) -> str:
    """A time as it is said at the bench."""
    if minutes < 1:
        return f"{max(10 * round(6 * minutes), 10)} seconds"
    if minutes < 1.5:
        return "a minute"
    return f"{minutes / 60:.0f} hours" if minutes >= 90 else f"{minutes:.0f} minutes"


def in_time(glue: Adhesive, faces: str = "faces") -> str:
    """How it is put on, and by when the faces must have met."""
    within = f"within about {time_words(glue.open_time)} of"
    basis = glue.basis("open_time")
    if glue.grabs:
        dry = f"coat both {faces}, let them dry to the touch"
        return f"{dry}, and join them {within} coating ({basis})"
    return f"join the {faces} {within} putting it on ({basis})"
