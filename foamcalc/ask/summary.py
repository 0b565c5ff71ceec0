"""A plan in words: the table on the terminal, and what each shell does."""

from __future__ import annotations

import numpy as np

from foamcalc.ask.lines import clipped, in_words, listed, many, noted, numbered, wrapped
from foamcalc.ask.plan import FormedLate, Plan, PlannedJoint, PlannedShell
from foamcalc.ask.rules import share_said
from foamcalc.ask.seam.planned import seams_lines
from foamcalc.ask.trim.planned import trims_lines
from foamcalc.fit.advice import how_short, what_happens, what_to_do
from foamcalc.fit.cutting import needed_shown
from foamcalc.fit.end_words import seam_words
from foamcalc.fit.rest import Rest
from foamcalc.fit.ring import widths
from foamcalc.foam.adhesives import adhesive
from foamcalc.foam.bond import BondCheck, foam_cap
from foamcalc.guards import one_of
from foamcalc.tables import look_up
from foamcalc.units import GRAVITY, System, format_length

_NAME = 24
_FACT = 38
_REMEDY = {
    False: "thinner overlays, or form base and overlays warm together, or a strap or a backing "
    "strip that stays on",
    True: "a wider base, or thinner overlays, or form base and overlays warm together",
}
_ARMS: dict[System, float] = {"mm": 100.0, "in": 4 * 25.4}
"""Arm that a moment is pictured on [mm]."""
_SECOND_RADII = (500, 300, 200)
"""Radii of a second bend for which limits.csv says what is left of an opening [mm]."""
_NO_MOMENT = 0.5
"""Moment that no hand feels [N mm]."""
_HEADS = (
    f"{'':4}{'piece':{_NAME}}{'needed':>11}{'cut':>11}{'short':>11}{'stretch':>9}{'limit used':>12}"
)


def plan_lines(plan: Plan) -> list[str]:
    """A plan as a maker reads it on the terminal, the widest trouble first."""
    sheet = plan.sheet
    lines = [sheet.title, ""]
    for note in sheet.shown_first:
        lines += noted(note)
    if sheet.shown_first:
        lines.append("")
    if plan.joints:
        lines += [
            "Joints, the widest trouble first (limit used: glued cold as cut, or cut to length if "
            "not cut yet)",
            _HEADS,
        ]
        lines += [_row(n, p, sheet.system) for n, p in enumerate(plan.joints, 1)]
        lines += ["", "What to do"]
        for number, joint in enumerate(plan.joints, 1):
            lines += numbered(number, joint_sentence(joint, sheet.system))
        lines.append("")
    lines += seams_lines(plan.seams, sheet.system)
    lines += trims_lines(plan.trims)
    for shell in plan.shells:
        lines += [*shell_lines(shell, sheet.system), ""]
    return lines


def piece_lines(plan: Plan, name: str) -> list[str]:
    """All that the plan says of one name: an overlay, a seam, a trim, a shell or a piece."""
    one_of(name, "piece", plan.sheet.names)
    system, lines = plan.sheet.system, []
    for shell in plan.shells:
        if shell.job.name == name:
            lines += [*shell_lines(shell, system), "", "Rests on", *listed(shell.job.rests_on), ""]
    for panel in plan.sheet.pieces:
        if panel.name == name:
            size = [format_length(x, system=system) for x in (panel.length, panel.width)]
            thick = format_length(panel.thickness, system=system)
            said = (
                f"{name}: cut {panel.count}, each {size[0]} long and {size[1]} wide, from "
                f"{panel.foam}, {thick} thick; the cut list says out of which sheet."
            )
            lines += [*wrapped(said), ""]
    names = [p.joint.name for p in plan.joints]
    names += [p.job.name for p in plan.seams] + [p.job.name for p in plan.trims]
    return lines + (plan.answer(name).lines() if name in names else [])


def _row(number: int, planned: PlannedJoint, system: System) -> str:
    joint = planned.joint.overlay
    needed, cut, short = joint.needed_length, "not cut", ""
    strain = planned.answer.choice.ways[0].outcome.strain
    if planned.joint.situation.already_cut:
        needed = needed_shown(joint, system)
        cut = format_length(joint.cut_length, system=system)
        short = format_length(joint.gap, system=system, signed=True)
    return (
        f"{number:2}. {clipped(planned.joint.name, _NAME)}"
        f"{format_length(needed, system=system):>11}{cut:>11}{short:>11}{strain:>9.1%}"
        f"{share_said(planned.trouble):>12}"
    )


def joint_sentence(planned: PlannedJoint, system: System) -> str:
    """The name, what to do with it, and what comes of it."""
    choice = planned.answer.choice
    short = how_short(choice, system)
    return (
        f"{planned.joint.name}: {short[:1].lower()}{short[1:]}; {what_to_do(choice, system)}; "
        f"{what_happens(choice, system)}."
    )


def shell_lines(planned: PlannedShell, system: System) -> list[str]:
    """What a shell does with all its overlays on it: one fact a line."""
    count = len(planned.job.joints)
    lines = [f"{planned.job.name}, with {many(count, 'overlay')}" if count else planned.job.name]
    for what, said in shell_facts(planned, system):
        lines += wrapped(said, first=f"  {what:{_FACT}}", then=" " * (_FACT + 2))
    return lines


def shell_facts(planned: PlannedShell, system: System) -> list[tuple[str, str]]:
    """What a shell does, as pairs of what is said and its value."""
    rest, job = planned.as_advised, planned.job
    what = "girth inside" if rest.closed else "mouth"

    def size(state: Rest) -> str:
        return format_length(float(state.size), system=system)

    facts = [(f"{what} as it was meant", format_length(rest.size_before, system=system))]
    if job.joints:
        facts += _as_cut(planned, what, system)
    advised = f"{what}, done as above" if job.joints else f"{what} when let go"
    keeps = "keeps" if planned.check.met else "passes"
    most = format_length(job.most_opening.value, system=system)
    facts.append((advised, f"{size(rest)} ({keeps} its limit of {most}, {job.most_opening.basis})"))
    if not planned.check.met and job.joints:
        facts.append(("what else helps", _REMEDY[rest.closed]))
    if planned.next_day is not None and job.relaxes is not None:
        how = "strapped overnight, strap off" if _held(planned) else "left free overnight"
        facts.append((f"{what}, {how}", f"{size(planned.next_day)} (forgets {job.relaxes:.0%})"))
    if planned.strapped is not None and job.strap is not None:
        places = " to ".join(format_length(x, system=system) for x in job.strap)
        pull = _pull(float(planned.strapped.force))
        where = f"from {places} along its {job.face}"
        facts.append(("strap that holds it as meant", f"{where}: {pull}"))
    if rest.closed:
        facts += _ring_facts(planned, system)
    else:
        if abs(planned.holding[1]) > _NO_MOMENT:
            facts.append(("it wants to open most at", _backing(planned, system)))
        facts += _lying(planned, system)
        if job.joints:
            facts.append(("if it also bends the other way", second_bend(system)))
    if planned.formed_late is not None:
        facts.append(("form warm before gluing", _formed_first(planned.formed_late)))
    return facts


def _as_cut(planned: PlannedShell, what: str, system: System) -> list[tuple[str, str]]:
    """The size with all that is cut stretched on; nothing where nothing is cut yet."""
    if planned.as_cut is planned.as_advised:
        return []
    new = planned.not_cut
    without = f" ({in_words(new)}, not cut yet, as advised)" if new else ""
    size = format_length(float(planned.as_cut.size), system=system)
    return [(f"{what}, stretched as cut", f"{size}{without}")]


def second_bend(system: System) -> str:
    """What is left of an opening where the base also bends the other way, with its figures."""
    rows = [look_up("limits", "habit", f"opening_left_at_{r}_mm") for r in _SECOND_RADII]
    *radii, last = (format_length(r, system=system) for r in _SECOND_RADII)
    short = ", ".join([*(r.removesuffix(f" {system}") for r in radii), last])
    left = ", ".join(r.printed for r in rows)
    return f"it opens less: {left} % of that at a second radius of {short} ({rows[0].basis})"


def _lying(planned: PlannedShell, system: System) -> list[tuple[str, str]]:
    """That it must stand while it is measured, where its own weight is more than its limit."""
    lies, job = planned.lying, planned.job
    if lies is None:
        return []
    more = lies - float(planned.as_advised.size)
    if more <= job.most_opening.value:
        return []
    opens = f"opens by about {format_length(more, system=system)}"
    does = "loses its shape" if np.isnan(more) else opens
    weight = f"{job.densities[0]:g} kg/m³, {'your own' if job.density_said else 'assumed'}"
    said = f"lying on its crown it {does} under its own weight ({weight})"
    return [("measure it standing on its end", said)]


def _formed_first(late: FormedLate) -> str:
    """What must be formed warm first, and what speaks against doing it later."""
    later = "not later" if late.after.answer == "no" else "later only with care"
    return f"{in_words(late.names)}; {later}: {late.after.reason}"


def _held(planned: PlannedShell) -> bool:
    return planned.job.held_overnight and planned.strapped is not None


def newtons(force: float) -> str:
    """The size of a force, as finely as it can be felt."""
    return f"{abs(force):.0f} N" if abs(force) >= 9.5 else f"{abs(force):.1f} N"


def _pull(force: float) -> str:
    """A force in newtons, and the weight that pulls as hard."""
    if abs(force) < 0.05:
        return "no pull"
    way = "pull" if force > 0 else "push"
    return f"{newtons(force)} {way}, as the weight of {_weight(force)}"


def _weight(force: float) -> str:
    grams = 1000 * abs(force) / GRAVITY
    return f"{grams / 1000:.1f} kg" if grams >= 999.5 else f"{grams:.0f} g"


def _backing(planned: PlannedShell, system: System) -> str:
    place, moment = planned.holding
    arm = format_length(_ARMS[system], system=system)
    return (
        f"{format_length(place, system=system)} along its {planned.job.face}: a backing strip "
        f"glued inside there must carry {abs(moment):.0f} N mm, "
        f"as {_weight(moment / _ARMS[system])} on an arm of {arm}"
    )


def _seam_said(worst: float, glue: str) -> str:
    """Whether the butt seam holds, against what tears the foam itself."""
    row = look_up("limits", "limit", "seam_pull")
    strength = foam_cap("pull", row.in_unit("MPa"), basis=row.basis)
    return seam_words(BondCheck(demand=worst, strength=strength), glue=adhesive(glue))


def _ring_facts(planned: PlannedShell, system: System) -> list[tuple[str, str]]:
    least, most = widths(planned.as_advised)
    facts = [
        (
            "width across, least and most",
            f"{format_length(least, system=system)} and {format_length(most, system=system)}",
        )
    ]
    seam = planned.seam
    if seam is not None:
        worst = max(seam.inner_stress, seam.outer_stress)
        face = "inner" if seam.inner_stress >= seam.outer_stress else "outer"
        facts.append(
            (
                "butt seam of the base",
                f"pulled open at its {face} face with {worst:.2f} N/mm²"
                if worst > 0
                else "pressed together on both faces",
            )
        )
        facts.append(("", _seam_said(max(worst, 0.0), planned.job.adhesive)))
    return facts
