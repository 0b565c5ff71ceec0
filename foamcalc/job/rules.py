"""Rules on readings that hold wherever a maker states a joint: on one line or in a job sheet."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from foamcalc.fit.limits import Limit
from foamcalc.shape.curve import FULL_TURN
from foamcalc.units import is_bare, is_inch

UNLIKELY = 1.5
"""Needed over cut (or the other way round) past which one reading is taken for a slip."""


def bare_beside_inches(texts: Mapping[str, str]) -> tuple[str, str] | None:
    """A reading without a unit beside one in inches: its name, and what is wrong with it.

    A bare number beside a reading in inches is taken for nothing: it must be said.
    """
    inches = [name for name, text in texts.items() if is_inch(text)]
    bare = [name for name, text in texts.items() if is_bare(text)]
    if not (inches and bare):
        return None
    text = texts[bare[0]].strip()
    more = f"; say the unit of {', '.join(bare[1:])} too" if bare[1:] else ""
    return bare[0], (
        f"{text!r} has no unit while {inches[0]} is in inches: write '{text} mm' or "
        f"'{text} in'{more}"
    )


def slip(cut: float, needed: float) -> str:
    """What is wrong with two readings so far apart that it is a slip of units, not a gap."""
    if cut > 0 and needed > 0 and not 1 / UNLIKELY <= needed / cut <= UNLIKELY:
        return (
            f"needed {needed:.4g} mm is {needed / cut:.2g} times cut {cut:.4g} mm: no foam takes "
            "that; is one of them in inches, or was one mistyped?"
        )
    return ""


def turn_of(
    said: Mapping[str, float], texts: Mapping[str, str], *, needed: float, thickness: float
) -> dict[str, float]:
    """The one way in which the turn of a base was said, as an argument of `Overlay.from_tape`.

    Parameters
    ----------
    said : mapping
        At most one of turn [rad], radius (inside), mouth and inside [mm].
    texts : mapping
        The same as typed.
    needed : float
        Length over the outside of the base [mm].
    thickness : float
        Thickness of the base [mm].

    Raises
    ------
    ValueError
        For a reading that would make a bend of more than a full turn, with its name.
    """
    for name, value in said.items():
        if name == "radius":
            bend = _possible(needed / (value + thickness), name, texts[name])
            return {"turn": bend}
        if name == "inside":
            _possible((needed - value) / thickness, name, texts[name])
    return dict(said)


def _possible(turn: float, name: str, text: str) -> float:
    """The turn that follows from a reading [rad], if it is at most a full one."""
    if abs(turn) > FULL_TURN:
        raise ValueError(
            f"{name} {text!r} makes a bend of {np.degrees(turn):.0f} deg with the other readings, "
            "more than a full turn: read it again, and the thickness of the base"
        )
    return turn


def state(formed: float) -> str:
    """How the base was formed, in words."""
    kept = {0.0: "only held in the curve", 1.0: "formed: it keeps the curve by itself"}
    return f"base {kept.get(formed, f'formed by {formed:.0%}')}"


def own_limit(value: float, unit: str) -> Limit:
    """A limit as the maker said it, in mm or as a fraction."""
    return Limit(value=value, unit=unit, basis="your own", reason="As you said.")
