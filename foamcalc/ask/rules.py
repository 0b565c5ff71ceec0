"""Rules on readings that hold wherever a maker states a joint: on one line or in a job sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from foamcalc.ask.swatch_record import stretch_limit
from foamcalc.fit.limits import Check, Limit, default_limits, tape_reading
from foamcalc.fit.overlay import Overlay
from foamcalc.foam.bond import BondTest
from foamcalc.foam.swatch import Swatch
from foamcalc.shape.curve import FULL_TURN
from foamcalc.tables import look_up
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


def doubted(cut: float, needed: float, texts: tuple[str, str], *, bend_said: bool) -> str:
    """What to ask about two readings that look swapped, or typed in inches without saying so."""
    if all(map(is_bare, texts)) and 0 < needed < look_up("limits", "habit", "shortest_bare").value:
        inches, mm = (" and ".join(f"'{t.strip()} {u}'" for t in texts) for u in ("in", "mm"))
        return f"is this in inches? Write {inches}, or {mm} if that is meant"
    if needed > 0 and cut - needed > tape_reading() and not bend_said:
        return (
            f"cut {texts[0]} is longer than needed {texts[1]}: were the two swapped? The piece as "
            "cut comes first. If it is too long indeed, say how the base bends, with --turn, "
            "--mouth, --inside or --radius"
        )
    return ""


def turn_of(
    said: Mapping[str, float], texts: Mapping[str, str], *, needed: float, thickness: float
) -> dict[str, float]:
    """The one way in which the turn of a base was said, as an argument of `Overlay.from_tape`."""
    for name, value in said.items():
        if name == "radius":
            bend = _possible(needed / (value + thickness), name, texts[name])
            return {"turn": bend}
        if name == "inside":
            bend = _possible((needed - value) / thickness, name, texts[name])
            if bend < 0:
                raise ValueError(
                    f"inside {texts[name]!r} is longer than the outside, {needed:g} mm: were the "
                    f"two swapped? For a hollow say its turn, {np.degrees(bend):.0f} deg"
                )
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
    said = f"turn of the base {format_angle(joint.curve.turn)} ({joint.turn_from})"
    return said if joint.turn_measured else f"{said}; better: add {better}"


def state(formed: float) -> str:
    """How the base was formed, in words."""
    kept = {0.0: ", only held in the curve", 1.0: ": it keeps the curve by itself"}
    return f"base formed by {100 * formed:.3g} %{kept.get(formed, '')}"


def narrower(joint: Overlay) -> str:
    """How far the sum is off for an overlay narrower than its base; nothing where it is not."""
    share = joint.overlay.width / joint.base.width
    if share >= 1:
        return ""
    half, quarter = (look_up("limits", "habit", f"{x}_as_wide") for x in ("half", "quarter"))
    return (
        f"overlay {share:.0%} as wide as its base: the sum takes it for about {half.printed} % "
        f"(half as wide) to {quarter.printed} % (a quarter) stronger than it is ({half.basis}), so "
        "the mouth moves less than it says"
    )


def peel_limit(*, held: float, width: float) -> Limit:
    """The limit on the ends that the maker's own glued offcut tells."""
    test = BondTest(kind="peel", forces=(held,), width=width, angle=np.pi / 2)
    return Limit(
        value=test.strength().value, unit="N/mm", basis="measured", reason="Your own peel test."
    )


def limits_of(
    joint: Overlay,
    *,
    swatch: Swatch | None,
    peel: Limit | None,
    most_stretch: float | None,
    most_opening: float | None,
) -> dict[str, Limit]:
    """The usual limits of an overlay, with what was tested or said in their place."""
    limits = default_limits(joint.overlay, joint.shell)
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
    """The limit most used [1]; infinite where a limit of nothing is passed."""
    used = [
        abs(c.found) / c.limit.value if c.limit.value > 0 else np.inf * bool(c.found)
        for c in checks
        if not np.isnan(c.found)
    ]
    return float(max(used, default=0.0))


def share_said(trouble: float) -> str:
    """How much of a limit is used, as it stands in a table."""
    return f"{100 * trouble:.0f} %" if trouble < 99.995 else "far past"
