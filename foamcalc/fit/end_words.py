"""Ends and butt seams in a maker's words: they hold, or what to do."""

from __future__ import annotations

from foamcalc.fit.ends import End
from foamcalc.foam.adhesives import Adhesive
from foamcalc.foam.bond_strength import BondCheck, peel_force
from foamcalc.guards import one_of
from foamcalc.units import GRAVITY, System, format_length

__all__ = ["end_words", "hang_words", "seam_words"]

_STRIP = {"mm": 25.0, "in": 25.4}
"""Width of a test strip [mm]."""
_OUNCE = 28.349523125
"""Grams."""


def end_words(
    end: End,
    check: BondCheck,
    *,
    longer: float | None = None,
    glue: Adhesive | None = None,
    system: System = "mm",
) -> str:
    """Whether the end holds and what to do, in a maker's words.

    Parameters
    ----------
    end : End
        The end.
    check : BondCheck
        From `check_end`.
    longer : float, optional
        Length to cut it so that it holds [mm], from `cut_that_holds`.
    glue : Adhesive, optional
        Says for how long to hold, and what warmth does.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> import numpy as np
    >>> from foamcalc.foam.bond_strength import BondTest
    >>> from foamcalc.fit.ends import check_end
    >>> from foamcalc.foam.grades import foam
    >>> end = End(thickness=6, law=foam("EVA medium"), stretch=1.08, curvature=1 / 60, softness=1,
    ...           thickness_ratio=2)
    >>> test = BondTest(kind="peel", forces=(0.5,), width=25, angle=np.pi / 2)  # invented
    >>> print(end_words(end, check_end(end, test.strength())))
    The end wants to lift: pin it first and hold the last 39 mm, or cut longer.
    """
    asks = f"it asks {check.ratio:.0%} of what "
    if check.verdict == "holds":
        known = "nothing pulls it open" if check.demand <= 0 else f"{asks}your test carried"
        return f"The end holds: {known}.{_warmth(glue, check)}"
    hold = format_length(end.reach, system=system)
    more = "" if longer is None else f" ({format_length(longer, system=system)} or more)"
    todo = f"pin it first and hold the last {hold}{_till(glue)}, or cut longer{more}."
    if check.verdict == "wants to lift":
        return f"The end wants to lift: {todo}{_warmth(glue, check)}"
    if not check.strength.is_cap:
        return (
            f"The end may lift: {asks}your tests carried on the whole, and they scatter: "
            f"{todo}{_warmth(glue, check)}"
        )
    test = f" {hang_words(end, system=system)}" if check.strength.kind == "peel" else ""
    return (
        f"The end may lift: the foam would hold ({asks}tears it), but the glue was not tested: "
        f"{todo}{test}{_warmth(glue, check)}"
    )


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
    >>> print(hang_words(end))  # doctest: +ELLIPSIS
    To test it, glue a strip 25 mm wide on an offcut and let it set; hold the offcut level, ...
    """
    width = _STRIP[one_of(system, "system", ("mm", "in"))]
    grams = 1000 * float(peel_force(demand=end.peel, width=width)) / GRAVITY
    weight = f"{grams / _OUNCE:.2g} oz" if system == "in" else f"{grams:.2g} g"
    return (
        f"To test it, glue a strip {format_length(width, system=system)} wide on an offcut and let "
        f"it set; hold the offcut level, strip underneath, and hang {weight} on the loose end "
        "overnight."
    )


def seam_words(check: BondCheck, *, glue: Adhesive | None = None) -> str:
    """Whether the butt seam of a tube rolled cold holds and what to do, in a maker's words.

    Parameters
    ----------
    check : BondCheck
        The stress at the seam's face (`butt_seam_stress`, or the seam of a ring at rest) against a
        pull test: two blocks glued face to face.
    glue : Adhesive, optional
        Says for how long to strap, and what warmth does.

    Raises
    ------
    ValueError
        For another kind of test.

    Examples
    --------
    >>> from foamcalc.foam.bond_strength import BondTest
    >>> test = BondTest(kind="pull", forces=(60,), width=30, length=30)  # invented
    >>> print(seam_words(BondCheck(demand=0.083, strength=test.strength())))
    The butt seam wants to open: form the tube warm before you glue it, or take thinner foam.
    """
    if check.strength.kind != "pull":
        raise ValueError(
            f"a butt seam is pulled open; hold it against a pull test, not a {check.strength.kind} "
            "test"
        )
    if check.verdict == "holds":
        known = "nothing pulls it open"
        if check.demand > 0:
            known = f"it asks {check.ratio:.0%} of what your test carried"
        return f"The butt seam holds: {known}.{_warmth(glue, check)}"
    if check.verdict == "wants to lift":
        todo = "form the tube warm before you glue it, or take thinner foam"
        return f"The butt seam wants to open: {todo}.{_warmth(glue, check)}"
    why = (
        "the foam would hold, but the glue was not tested"
        if check.strength.is_cap
        else "your tests scatter"
    )
    return (
        f"The butt seam may open ({why}): strap the tube{_till(glue)}, or form it warm before you "
        f"glue it.{_warmth(glue, check)}"
    )


def _till(glue: Adhesive | None) -> str:
    """For how long to hold."""
    if glue is None:
        return ""
    minutes = glue.set_time
    if minutes < 1:
        return " for a minute"
    return f" for {minutes / 60:.0f} hours" if minutes >= 90 else f" for {minutes:.0f} minutes"


def _warmth(glue: Adhesive | None, check: BondCheck) -> str:
    """What warmth does to a loaded end."""
    if glue is None or check.demand <= 0:
        return ""
    if glue.lets_go is not None:
        return f" Keep it below {glue.lets_go:g} °C: no heat gun afterwards, no hot car."
    return " On a warm day it lifts slowly: keep it cool." if glue.creeps_warm else ""
