"""What a try-on teaches about an overlay: which assumed number was off, and by how much."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, degrees, tau

from foamcalc.ask.plan import PlannedJoint
from foamcalc.ask.sheet.findings import overlay_heading
from foamcalc.fit.overlay import Overlay
from foamcalc.tables import look_up
from foamcalc.units import System, format_length

LIKELY_FIBRE = (0.3, 0.7)
"""Where the fibre of a foam may lie; past that it is the turn that was off."""

_STRAIGHT = 1e-6
"""Length that a bend adds where there is none [mm]."""
_STEP = 0.005
"""Stretches are written in halves of a per cent."""
_HUG = 0.01
"""Stretch that is no more than a piece cut to hug has: it pulls at no glue."""


@dataclass(frozen=True, kw_only=True)
class Judgement:
    """Which number a reading speaks about, and what it says about it."""

    agrees: bool
    """Whether the plan was right, as far as the reading can tell."""
    default: str
    """The number: fibre, turn, shrink on cooling, formed, relaxes, most stretch."""
    value: float
    """What the plan took it to be."""
    unit: str
    """Unit of value, implied, low and high: 1 or deg."""
    basis: str
    """What the value rests on."""
    implied: float | None = None
    """What would have made the prediction right, derived from the reading; None: no such value."""
    low: float | None = None
    high: float | None = None
    """What the error of the reading, either way, makes of it."""
    sentence: str
    """The same in a maker's words, with what to write in the job sheet."""


def needed_flat(planned: PlannedJoint) -> float:
    """How long the plan takes the overlay to have to be, lying flat [mm].

    A piece that is to be formed warm is longer by what it shrinks.
    """
    return planned.joint.overlay.needed_length * (1 + _shrink(planned))


def _warm(planned: PlannedJoint) -> bool:
    return planned.answer.choice.choice == "form warm"


def _shrink(planned: PlannedJoint) -> float:
    """Share that it shrinks when it is formed warm as advised; 0 where it stays cold."""
    if not _warm(planned):
        return 0.0
    return look_up("limits", "habit", "shrink_on_cooling").as_fraction()


def _most_shrink() -> float:
    """Most that foam shrinks on cooling [1]."""
    row = look_up("limits", "habit", "shrink_on_cooling")
    return row.as_fraction() if row.high is None else row.high / 100


def judge_length(
    planned: PlannedJoint, happened: float, *, error: float, system: System
) -> Judgement:
    """What the length that an overlay really had to have says.

    The length is linear in the fibre, and in the turn when the bend is changed evenly:
    ``L = s + sum(height turn)``, s the length along the measured curve. A turn that was assumed
    is taken to be off; a turn that was given is taken to be off where no likely fibre explains
    the length. Of a piece that was formed warm one length cannot tell fibre and shrinking apart;
    the shrinking, which is from memory, is taken to be off, as far as foam shrinks.
    """
    joint = planned.joint.overlay
    off = happened - needed_flat(planned)
    fibre, lever = joint.overlay.fibre, _by_fibre(joint)
    if abs(off) <= error:
        return Judgement(
            agrees=True,
            default="fibre",
            value=fibre,
            unit="1",
            basis="assumed",
            sentence="It agrees to what a tape can tell: nothing to change.",
        )
    known = joint.turn_measured
    if abs(joint.turn) < _STRAIGHT or abs(lever) < _STRAIGHT:
        return _straight(planned, fibre)
    warm = known and _warm(planned)
    if warm and happened - error <= joint.needed_length * (1 + _most_shrink()):
        return _judge_shrink(planned, happened, error)
    implied = fibre + off / lever
    low, high = LIKELY_FIBRE
    if warm or not known or not low <= implied <= high:
        return _judge_turn(planned, happened, error, known)
    give = abs(error / lever)
    return Judgement(
        agrees=False,
        default="fibre",
        value=fibre,
        unit="1",
        basis="assumed",
        implied=implied,
        low=implied - give,
        high=implied + give,
        sentence=(
            f"Its fibre, the line that keeps its length, lies at {implied:.2f} of its thickness "
            f"({implied - give:.2f} to {implied + give:.2f} by your tape), not at {fibre:.2f} "
            f"(assumed). Write fibre = {implied:.2f} under its foam, "
            f"{planned.joint.foam}. The next one like it is cut "
            f"{format_length(happened, system=system)} long."
        ),
    )


def _by_fibre(joint: Overlay) -> float:
    """How much longer it must be with its fibre at the outer face than at the inner one [mm]."""
    shell, own = joint.shell, len(joint.under)
    inner, outer = (shell.length_over(own, joint.bead + x) for x in (0.0, joint.overlay.thickness))
    return outer - inner


def _straight(planned: PlannedJoint, fibre: float) -> Judgement:
    where = "from and to" if planned.joint.shell else "needed, the tape over the base,"
    return Judgement(
        agrees=False,
        default="fibre",
        value=fibre,
        unit="1",
        basis="assumed",
        sentence=(
            "It lies straight, or turns back as much as it turns: neither fibre nor turn changes "
            f"its length. Measure {where} and the piece again."
        ),
    )


def _judge_shrink(planned: PlannedJoint, happened: float, error: float) -> Judgement:
    needed = planned.joint.overlay.needed_length
    row = look_up("limits", "habit", "shrink_on_cooling")
    implied, give = happened / needed - 1, error / needed
    possible = implied + give >= 0
    told = (
        f"it shrank by {max(implied, 0.0):.1%} on cooling instead ({give:.1%} either way by your "
        "tape); cut the next one longer by that"
        if possible
        else "it was shorter than it is once it lies there, so it was stretched as well; measure "
        "it flat before it is warmed"
    )
    return Judgement(
        agrees=False,
        default="shrink on cooling",
        value=row.as_fraction(),
        unit="1",
        basis=row.basis,
        implied=max(implied, 0.0) if possible else None,
        low=max(implied - give, 0.0) if possible else None,
        high=implied + give if possible else None,
        sentence=(
            f"It was to be formed warm, with {row.as_fraction():.1%} lost on cooling "
            f"({row.basis}): {told}. Only a piece glued cold says anything about its fibre."
        ),
    )


def _judge_turn(planned: PlannedJoint, happened: float, error: float, known: bool) -> Judgement:
    joint = planned.joint.overlay
    along = _along(joint)
    added = joint.needed_length - along
    flat = happened / (1 + _shrink(planned))
    turn = degrees(joint.turn)
    implied = turn * (flat - along) / added if abs(added) >= _STRAIGHT else None
    if implied is not None and not 0 <= implied / turn <= degrees(tau) / abs(turn):
        implied = None
    give = abs(turn * error / added) if implied is not None else 0.0
    return Judgement(
        agrees=False,
        default="turn",
        value=turn,
        unit="deg",
        basis=_turn_basis(joint, known),
        implied=implied,
        low=None if implied is None else implied - give,
        high=None if implied is None else implied + give,
        sentence=_turn_sentence(planned, happened - needed_flat(planned), implied, give, known),
    )


def _along(joint: Overlay) -> float:
    """Length of its run along the measured curve [mm]."""
    return sum(end - start for start, end in joint.shell.runs(len(joint.under)))


def _turn_basis(joint: Overlay, known: bool) -> str:
    if joint.turn_from.endswith("assumed"):
        return "assumed"
    return "measured" if known else "derived"


def _turn_sentence(
    planned: PlannedJoint, off: float, implied: float | None, give: float, known: bool
) -> str:
    joint = planned.joint.overlay
    why = "The turn was not measured"
    if known and _warm(planned):
        why = f"Foam shrinks by {_most_shrink():.0%} at most on cooling, which is not enough"
    elif known:
        fibre = joint.overlay.fibre + off / _by_fibre(joint)
        low, high = LIKELY_FIBRE
        why = f"Its fibre would have to lie at {fibre:.2f} of its thickness, not at {low} to {high}"
    again = "the curve" if planned.joint.shell else "needed, the tape over the base,"
    if implied is None:
        return (
            f"{why}, and no turn makes up for it either: measure {again} and the thicknesses "
            "again, and the piece lying flat."
        )
    told = (
        f"{why}: where it lies the bend must turn {implied:.0f}° ({implied - give:.0f}° to "
        f"{implied + give:.0f}° by your tape), not {degrees(joint.turn):.0f}° ({joint.turn_from})"
    )
    if planned.joint.shell:
        return f"{told}. Measure the curve and the thicknesses again."
    first = "If measuring it again says the same, write" if known else "Write"
    return (
        f'{told}. {first} turn = "{implied:.0f} deg" in {overlay_heading(planned.joint.name, 0)}.'
    )


def judge_lift(planned: PlannedJoint, happened: float, *, error: float) -> Judgement:
    """What an end that lifted, or held, says about the limit on cold stretch."""
    way, limit = planned.answer.choice.chosen, planned.joint.limits["stretch"]
    strain, held = way.glued.strain, happened <= error
    below = (ceil(round(strain / _STEP, 9)) - 1) * _STEP
    most = f"{100 * limit.value:g} % ({limit.basis})"
    where = overlay_heading(planned.joint.name, 0)
    implied = None
    if way.choice == "divide":
        said = "It was to be divided, so how far it was stretched is not known: nothing is learned."
    elif held and strain <= 0:
        said = f"It holds, but it was not stretched: nothing is learned about the {most}."
    elif held:
        upto = "up to there" if strain <= limit.value else "and more than"
        said = f"It holds at {strain:.1%} stretch: {upto} the limit, {most}, is confirmed."
    elif strain <= _HUG:
        said = (
            f"The glue let go although it was hardly stretched ({strain:.1%}), so the limit on "
            "stretch is not what was off: look at the glue, at dust, and at the spring of a flat "
            "piece on a bend."
        )
    else:
        implied = below
        said = (
            f"The glue let go at {strain:.1%} stretch; the limit was {most}. Write "
            f'most_stretch = "{100 * below:g} %" or less in {where}.'
        )
    return Judgement(
        agrees=held,
        default="most stretch",
        value=limit.value,
        unit="1",
        basis=limit.basis,
        implied=implied,
        sentence=said,
    )
