"""Rules on readings that hold wherever a maker states a joint: on one line or in a job sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from foamcalc.fit.limits import Check, Limit, default_limits
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.stack import Piece
from foamcalc.foam.bond_strength import BondTest
from foamcalc.foam.swatch import Swatch
from foamcalc.job.swatch.words import stretch_limit
from foamcalc.shape.curve import FULL_TURN
from foamcalc.units import format_angle, is_bare, is_inch

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


def turn_said(joint: Overlay, better: str) -> str:
    """The turn of a base and how it is known, with what would be better if nobody measured it."""
    said = f"turn of the base {format_angle(joint.turn)} ({joint.turn_from})"
    return said if joint.turn_measured else f"{said}; better: add {better}"


def state(formed: float) -> str:
    """How the base was formed, in words."""
    kept = {0.0: "only held in the curve", 1.0: "formed: it keeps the curve by itself"}
    return f"base {kept.get(formed, f'formed by {formed:.0%}')}"


def peel_limit(*, held: float, width: float) -> Limit:
    """The limit on the ends that the maker's own glued offcut tells.

    Parameters
    ----------
    held : float
        Weight that a strip peeled straight off just held [N].
    width : float
        Width of that strip [mm].
    """
    test = BondTest(kind="peel", forces=(held,), width=width, angle=np.pi / 2)
    return Limit(
        value=test.strength().value, unit="N/mm", basis="measured", reason="Your own peel test."
    )


def limits_of(
    overlay: Piece,
    *,
    swatch: Swatch | None,
    peel: Limit | None,
    most_stretch: float | None,
    most_opening: float | None,
) -> dict[str, Limit]:
    """The usual limits of an overlay, with what was tested or said in their place.

    Parameters
    ----------
    overlay : Piece
        The overlay.
    swatch : Swatch or None
        The maker's own test of its foam.
    peel : Limit or None
        The maker's own test of the glue, from `peel_limit`.
    most_stretch : float or None
        Most that it may stretch cold [1], as the maker said it.
    most_opening : float or None
        Most that the mouth may open [mm], as the maker said it.
    """
    limits = default_limits(overlay)
    own = {
        "stretch": stretch_limit(swatch, limits["stretch"])
        if most_stretch is None
        else own_limit(most_stretch, "1"),
        "end": peel,
        "mouth": None if most_opening is None else own_limit(most_opening, "mm"),
    }
    return limits | {name: limit for name, limit in own.items() if limit is not None}


def own_limit(value: float, unit: str) -> Limit:
    """A limit as the maker said it, in mm or as a fraction."""
    return Limit(value=value, unit=unit, basis="your own", reason="As you said.")


def limit_used(checks: Iterable[Check]) -> float:
    """The limit most used [1]; infinite where a limit of nothing is passed.

    Parameters
    ----------
    checks : iterable of Check
        What was found, against each limit; what is not known does not count.

    Examples
    --------
    >>> most = Limit(value=0.08, unit="1", basis="your own", reason="")
    >>> limit_used([Check("stretch", 0.04, most), Check("stretch", -0.06, most)])
    0.75
    """
    used = [
        abs(c.found) / c.limit.value if c.limit.value > 0 else np.inf * bool(c.found)
        for c in checks
        if not np.isnan(c.found)
    ]
    return float(max(used, default=0.0))


def share_said(trouble: float) -> str:
    """How much of a limit is used, as it stands in a table.

    Examples
    --------
    >>> share_said(0.754), share_said(float("inf"))
    ('75 %', 'far past')
    """
    return f"{100 * trouble:.0f} %" if trouble < 99.995 else "far past"
