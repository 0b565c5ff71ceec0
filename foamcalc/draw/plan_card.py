"""The bench card of a plan: its answers in a maker's words, its shells as pictures."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence, Set

import numpy as np

from foamcalc.ask.plan import Plan, PlannedJoint, PlannedShell
from foamcalc.ask.summary import newtons, shell_facts
from foamcalc.draw.card_data import Card, DrawnCover, JointCard, Mark, Section, ShellCard, Strap
from foamcalc.draw.ink import Floats
from foamcalc.fit.advice import how_short, order_of_work, reasons, what_happens, what_to_do
from foamcalc.fit.rest import Rest, at_rest
from foamcalc.fit.shell import Shell
from foamcalc.units import System, format_length

_JOINTS = 120
"""Arcs of a drawn profile, at least."""


def plan_card(plan: Plan) -> Card:
    """What the bench card of a plan says."""
    system = plan.sheet.system
    every = [p.answer.rests_on for p in plan.joints] + [p.job.rests_on for p in plan.shells]
    count = Counter(line for lines in every for line in dict.fromkeys(lines))
    shared = {line for line, times in count.items() if times > 1}
    return Card(
        title=plan.sheet.title,
        joints=tuple(_joint(p, shared, system) for p in plan.joints),
        shells=tuple(_shell(p, shared, system) for p in plan.shells),
        notes=plan.sheet.shown_first,
        rests_on=tuple(line for line in count if line in shared),
        system=system,
    )


def _own(lines: Sequence[str], shared: Set[str]) -> tuple[str, ...]:
    """What only this answer rests on, and where the rest is told."""
    own = tuple(line for line in lines if line not in shared)
    return own if len(own) == len(lines) else (*own, "what the last page lists")


def _joint(planned: PlannedJoint, shared: Set[str], system: System) -> JointCard:
    choice = planned.answer.choice
    thick = format_length(choice.joint.overlay.thickness, system=system)
    return JointCard(
        name=planned.joint.name,
        headline=_sentence(what_to_do(choice, system)),
        foam=f"{planned.joint.foam}, {thick} thick",
        by_how_much=_sentence(how_short(choice, system)),
        what_happens=_sentence(what_happens(choice, system)),
        reasons=tuple(reasons(choice, system)),
        steps=tuple(order_of_work(choice, system)),
        rests_on=_own(planned.answer.rests_on, shared),
        picture=section(at_rest(choice.chosen.glued.shell)),
    )


def _shell(planned: PlannedShell, shared: Set[str], system: System) -> ShellCard:
    rest, job = planned.as_advised, planned.job
    what = "Girth inside" if rest.closed else "Mouth"
    sizes = [format_length(float(x), system=system) for x in (rest.size_before, rest.size)]
    thick = format_length(job.base.thickness, system=system)
    return ShellCard(
        name=job.name,
        headline=f"{what} {sizes[0]} → {sizes[1]}"
        if sizes[0] != sizes[1]
        else (f"{what} stays at {sizes[0]}"),
        foam=f"{job.foam}, {thick} thick",
        facts=tuple(shell_facts(planned, system)),
        layers=job.joints,
        rests_on=_own(job.rests_on, shared),
        picture=section(rest, next_day=planned.next_day, strapped=planned.strapped, seam=job.seam),
    )


def section(
    rest: Rest,
    *,
    next_day: Rest | None = None,
    strapped: Rest | None = None,
    seam: float | None = None,
) -> Section:
    """A shell at rest as a picture: `foamcalc.draw.shellview.shell_profile` draws it.

    Parameters
    ----------
    rest : Rest
        Let go.
    next_day : Rest, optional
        The same shell the next day.
    strapped : Rest, optional
        The same shell with a strap; the strap is drawn.
    seam : float, optional
        Place of a ring's butt seam along the curve [mm].
    """
    places = _places(rest, next_day, strapped)
    before, after = rest.outlines(places)

    def joint(place: float) -> int:
        return int(np.argmin(np.abs(places - place)))

    strap = None
    if strapped is not None and strapped.strap is not None:
        near, far = (joint(x) for x in strapped.strap)
        strap = Strap(first=near, last=far, text=f"strap {newtons(float(strapped.force))}")
    return Section(
        before=before,
        after=after,
        thickness=rest.shell.base.thickness,
        covers=tuple(_covers(rest.shell, places)),
        next_day=None if next_day is None else next_day.outlines(places)[1],
        closed=rest.closed,
        strap=strap,
        marks=() if seam is None else (Mark(at=joint(seam), text="butt seam"),),
    )


def _places(*states: Rest | None) -> Floats:
    """Joints of all the states, and enough of them for a picture [mm]."""
    known = [s.sections.spans.places for s in states if s is not None]
    known += [np.array([a for a, _, _ in s.shell.pieces()]) for s in states[:1] if s is not None]
    ends = known[0]
    every = np.unique(np.concatenate([*known, np.linspace(ends[0], ends[-1], _JOINTS + 1)]))
    apart = np.append(True, np.diff(every) > 1e-6 * ends[-1])
    return np.asarray(every[apart])


def _covers(shell: Shell, places: Floats) -> list[DrawnCover]:
    """Each overlay, part by part where its height changes."""
    found = []
    for start, end, stack in shell.pieces():
        first, last = (int(np.argmin(np.abs(places - x))) for x in (start, end))
        height = shell.base.thickness
        for i in stack:
            piece = shell.covers[i].piece
            found.append(
                DrawnCover(
                    first=first, last=last, thickness=piece.thickness, height=height, number=i + 1
                )
            )
            height += piece.thickness
    return sorted(found, key=lambda c: c.number)


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
