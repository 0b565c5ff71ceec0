"""The whole build: every joint answered, every shell let go with its overlays as advised."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from foamcalc.ask.answer import Answer as TrimAnswer
from foamcalc.ask.bench import Answer
from foamcalc.ask.cutlist import Progress
from foamcalc.ask.rules import limit_used
from foamcalc.ask.seam import SeamAnswer
from foamcalc.ask.seam.planned import PlannedSeam, planned_seam, seams_table
from foamcalc.ask.sheet import Joint, Sheet, ShellJob
from foamcalc.ask.trim.planned import PlannedTrim, planned_trim, trims_table
from foamcalc.fit.advice import what_happens, what_to_do
from foamcalc.fit.choice import choose
from foamcalc.fit.limits import Check
from foamcalc.fit.own_weight import mouth_lying
from foamcalc.fit.rest import Rest, at_rest
from foamcalc.fit.ring import Seam, seam
from foamcalc.fit.shell import Cover, Shell
from foamcalc.foam.adhesives import MayFollow, adhesive
from foamcalc.guards import one_of
from foamcalc.units import System

_MOST_ROUNDS = 4
"""How often the joints of a shell are chosen for again."""


@dataclass(frozen=True, kw_only=True)
class PlannedJoint:
    """One joint of the build and its answer."""

    joint: Joint
    answer: Answer
    trouble: float
    """How far it is from going together as it is: the limit most used, 1 at the limit."""


@dataclass(frozen=True, kw_only=True)
class FormedLate:
    """Overlays of a shell that are to be formed warm before what the sheet has glued by then."""

    names: tuple[str, ...]
    after: MayFollow
    """Whether it may be done after gluing nevertheless."""


@dataclass(frozen=True, kw_only=True)
class PlannedShell:
    """One shell of the build with all its overlays on it."""

    job: ShellJob
    as_cut: Rest
    """With every overlay stretched to fit as it is cut; what is not cut yet is as advised."""
    as_advised: Rest
    """With every overlay as its answer says."""
    strapped: Rest | None
    """As advised, with the strap of the sheet."""
    next_day: Rest | None
    """As advised, after a night; held by the strap where the sheet says so."""
    check: Check
    """The opening of the mouth, or the change of the girth, as advised."""
    seam: Seam | None
    """What the butt seam of a ring carries, as advised."""
    formed_late: FormedLate | None
    """What would be formed warm when something is glued there already."""
    lying: float | None = None
    """The mouth as advised when it lies on its crown, opened by its own weight [mm]; NaN where it
    keeps no shape, None for a ring."""

    not_cut: tuple[str, ...] = ()
    """Overlays that are not cut yet."""

    @property
    def trouble(self) -> float:
        """The limit most used as advised, 1 at the limit."""
        return limit_used((self.check,))

    @cached_property
    def holding(self) -> tuple[float, float]:
        """Where it wants to open the most [mm along the curve], and the moment there [N mm]."""
        places, moments = self.as_advised.holding()
        worst = int(np.argmax(np.abs(moments)))
        return float(places[worst]), float(moments[worst])


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A build, worked out: joints, shells and seams, the widest trouble first, and trims."""

    sheet: Sheet
    joints: tuple[PlannedJoint, ...]
    shells: tuple[PlannedShell, ...]
    seams: tuple[PlannedSeam, ...] = ()
    trims: tuple[PlannedTrim, ...] = ()
    """In the order of the sheet."""

    @property
    def name(self) -> str:
        """What its files are called: the name of the sheet's file."""
        return self.sheet.path.stem if self.sheet.path else "job"

    def joint(self, name: str) -> PlannedJoint:
        """The joint of a piece; ValueError for a name that is not in the sheet."""
        names = [p.joint.name for p in self.joints]
        return self.joints[names.index(one_of(name, "piece", names))]

    def answer(self, name: str) -> Answer | SeamAnswer | TrimAnswer:
        """The answer to a piece, a seam or a trim; ValueError for a name not in the sheet."""
        answers: dict[str, Answer | SeamAnswer | TrimAnswer] = {
            p.joint.name: p.answer for p in self.joints
        }
        answers |= {p.job.name: p.answer for p in self.seams}
        answers |= {p.job.name: p.answer for p in self.trims}
        return answers[one_of(name, "piece", tuple(answers))]

    def table(self) -> Any:
        """One row a joint (pandas), the widest trouble first."""
        import pandas as pd

        system = self.sheet.system
        rows = [
            {
                "piece": p.joint.name,
                "on": p.joint.shell or "",
                "foam": p.joint.foam,
                "thickness [mm]": p.joint.overlay.overlay.thickness,
                "cut [mm]": _if_cut(p, p.joint.overlay.cut_length),
                "needed [mm]": p.joint.overlay.needed_length,
                "short [mm]": _if_cut(p, p.joint.overlay.gap),
                "stretch as cut [%]": _if_cut(p, 100 * p.joint.overlay.strain),
                "choice": p.answer.choice.choice,
                "what to do": what_to_do(p.answer.choice, system),
                "what happens": what_happens(p.answer.choice, system),
                "of the limit, as cut [%]": 100 * p.trouble,
            }
            for p in self.joints
        ]
        return pd.DataFrame(rows)

    def shells_table(self) -> Any:
        """One row a shell (pandas)."""
        import pandas as pd

        return pd.DataFrame([_shell_row(p) for p in self.shells])

    def seams_table(self) -> Any:
        """One row an interval between marks (pandas), seam after seam."""
        return seams_table(self.seams)

    def trims_table(self) -> Any:
        """One row for equal strips (pandas), trim after trim."""
        return trims_table(self.trims)


def _if_cut(planned: PlannedJoint, value: float) -> float | None:
    """A number that only a piece that is cut has."""
    return value if planned.joint.situation.already_cut else None


def _shell_row(planned: PlannedShell) -> dict[str, object]:
    rest, job = planned.as_advised, planned.job
    place, moment = planned.holding
    return {
        "shell": job.name,
        "measured": "girth" if rest.closed else "mouth",
        "meant [mm]": rest.size_before,
        "stretched as cut [mm]": float(planned.as_cut.size),
        "as advised [mm]": float(rest.size),
        "next day [mm]": None if planned.next_day is None else float(planned.next_day.size),
        "strap [N]": None if planned.strapped is None else float(planned.strapped.force),
        "wants to open most at [mm]": place,
        "held there by [N mm]": moment,
        "of the limit [%]": 100 * planned.trouble,
    }


def plan(sheet: Sheet, *, progress: Progress | None = None) -> Plan:
    """Work out a whole build.

    Parameters
    ----------
    sheet : Sheet
        As from `foamcalc.ask.sheet.read_sheet`.
    progress : callable, optional
        Called before each joint, shell, seam and trim with how many are done, how many there are,
        and the name of the next.

    Returns
    -------
    Plan

    Notes
    -----
    Each joint is chosen for on its own, as if the others fitted. Where all overlays of a shell
    then move it past its limit, each gets a smaller share of that limit and is chosen for again.
    """
    total = len(sheet.joints) + len(sheet.shells) + len(sheet.seams) + len(sheet.trims)
    steps = _Steps(total, progress)
    found: dict[str, PlannedJoint] = {}
    for joint in sheet.joints:
        with steps.next(joint.name):
            found[joint.name] = _planned_joint(joint, sheet.system)
    shells, seams, trims = [], [], []
    for job in sheet.shells:
        with steps.next(job.name):
            joints, rest = _together(job, [found[name] for name in job.joints], sheet.system)
            found.update({p.joint.name: p for p in joints})
            shells.append(_planned_shell(job, joints, rest))
    for edges in sheet.seams:
        with steps.next(edges.name):
            seams.append(planned_seam(edges, sheet.system))
    for strip in sheet.trims:
        with steps.next(strip.name):
            trims.append(planned_trim(strip, sheet.system))
    return Plan(
        sheet=sheet,
        joints=tuple(sorted(found.values(), key=lambda p: -p.trouble)),
        shells=tuple(sorted(shells, key=lambda p: -p.trouble)),
        seams=tuple(sorted(seams, key=lambda p: -p.trouble)),
        trims=tuple(trims),
    )


class _Steps:
    """The things of a build, one after another: each told before it is worked out."""

    def __init__(self, total: int, progress: Progress | None) -> None:
        self._done, self._total, self._progress = 0, total, progress

    @contextmanager
    def next(self, name: str) -> Iterator[None]:
        """Tell what comes next, and put its name before what is wrong with it."""
        if self._progress is not None:
            self._progress(self._done, self._total, name)
        self._done += 1
        try:
            yield
        except (ValueError, ArithmeticError) as fault:
            raise type(fault)(f"{name}: {fault}") from None


def _planned_joint(joint: Joint, system: System) -> PlannedJoint:
    choice = choose(joint.overlay, joint.situation, joint.limits)
    answer = Answer(
        choice=choice,
        system=system,
        rests_on=joint.rests_on,
        forgets=joint.relaxes if joint.shell is None else None,
    )
    return PlannedJoint(joint=joint, answer=answer, trouble=limit_used(choice.ways[0].checks))


def _together(
    job: ShellJob, joints: list[PlannedJoint], system: System
) -> tuple[list[PlannedJoint], Rest]:
    """The joints of a shell, chosen so that together they keep its limit if they can, and it."""
    share, planned = 1.0, joints
    rest = at_rest(_shell(job, planned, advised=True))
    for _ in range(_MOST_ROUNDS):
        check = _check(job, rest)
        if check.met or len(joints) < 2:
            break
        share *= 0.9 * job.most_opening.value / abs(check.found)
        planned = [_with_share(p, job, share, system) for p in joints]
        rest = at_rest(_shell(job, planned, advised=True))
    return planned, rest


def _with_share(planned: PlannedJoint, job: ShellJob, share: float, system: System) -> PlannedJoint:
    """A joint chosen for again with a share of its shell's limit."""
    name = "girth" if job.curve.closed else "mouth"
    own = replace(
        job.most_opening,
        value=share * job.most_opening.value,
        basis="derived",
        reason="Its share of what all overlays of the shell may do together.",
    )
    kept = planned.answer.choice.chosen
    if kept.met and abs(kept.outcome.size_after - kept.outcome.size_before) <= own.value:
        return planned  # with less to spend it would be chosen again
    joint = replace(planned.joint, limits={**planned.joint.limits, name: own})
    return replace(_planned_joint(joint, system), trouble=planned.trouble)


def _check(job: ShellJob, rest: Rest) -> Check:
    what = "change of the girth" if rest.closed else "opening of the mouth"
    return Check(what, float(rest.size) - rest.size_before, job.most_opening)


def _planned_shell(job: ShellJob, joints: list[PlannedJoint], rest: Rest) -> PlannedShell:
    strapped = None if job.strap is None else rest.strapped(places=job.strap)
    not_cut = tuple(p.joint.name for p in joints if not p.joint.situation.already_cut)
    held = strapped if strapped is not None and job.held_overnight else rest
    return PlannedShell(
        job=job,
        as_cut=at_rest(_shell(job, joints, advised=False)) if len(not_cut) < len(joints) else rest,
        as_advised=rest,
        strapped=strapped,
        next_day=None if job.relaxes is None else held.next_day(job.relaxes),
        check=_check(job, rest),
        seam=None if job.seam is None else seam(rest, place=job.seam),
        formed_late=_formed_late(job, joints),
        lying=None if rest.closed else mouth_lying(rest, job.densities),
        not_cut=not_cut,
    )


def _formed_late(job: ShellJob, joints: list[PlannedJoint]) -> FormedLate | None:
    """Overlays formed warm after a first thing was glued, a ring's butt seam or an overlay."""
    first = 0 if job.seam is not None else 1
    names = tuple(p.joint.name for p in joints[first:] if p.answer.choice.choice == "form warm")
    after = adhesive(job.adhesive).warmed("warm forming")
    return FormedLate(names=names, after=after) if names and after.answer != "yes" else None


def _shell(job: ShellJob, joints: list[PlannedJoint], *, advised: bool) -> Shell:
    """The shell with its overlays as cut, or as their answers say; longer ones are trimmed."""
    covers, formed = [], job.base.formed
    for p in joints:
        glued = p.answer.choice.chosen.glued
        if advised:
            formed = max(formed, glued.base.formed)
        elif p.joint.situation.already_cut:
            glued = p.joint.overlay
        covers.append(
            Cover(
                name=p.joint.name,
                piece=glued.overlay,
                start=glued.start,
                end=glued.end,
                cut_length=glued.cut_length,
            )
        )
    return Shell(
        base=replace(job.base, formed=formed),
        curve=job.curve,
        face=job.face,
        covers=tuple(covers),
        bead=job.bead,
    )
