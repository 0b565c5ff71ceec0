"""Seams of a whole build: each answered, the widest trouble first, in words and as a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from foamcalc.ask.lines import clipped, numbered
from foamcalc.ask.rules import limit_used, share_said
from foamcalc.ask.seam.answer import SeamAnswer
from foamcalc.ask.seam.dome import doming
from foamcalc.fit.seam import choose_seam
from foamcalc.fit.seam.words import fine
from foamcalc.units import System

if TYPE_CHECKING:
    from foamcalc.ask.sheet.seams import SeamJob

_NAME = 24
_HEADS = (
    f"{'':4}{'seam':{_NAME}}{'first':>11}{'second':>11}{'longer by':>11}{'most':>11}"
    f"{'limit used':>12}"
)


@dataclass(frozen=True, kw_only=True)
class PlannedSeam:
    """One seam of the build and its answer."""

    job: SeamJob
    answer: SeamAnswer
    trouble: float
    """How far it is from going together as it is: the limit most used, 1 at the limit."""


def planned_seam(job: SeamJob, system: System) -> PlannedSeam:
    """Answer a seam of a job sheet."""
    choice = choose_seam(job.seam, job.situation, job.limits)
    answer = SeamAnswer(
        choice=choice,
        system=system,
        rests_on=job.rests_on,
        notes=job.notes,
        bevels=job.bevels,
        drawn=job.drawn,
    )
    cold = [c for way in choice.ways if way.choice == "stretch and squeeze" for c in way.checks]
    return PlannedSeam(job=job, answer=answer, trouble=limit_used(cold))


def seams_lines(seams: Sequence[PlannedSeam], system: System) -> list[str]:
    """The seams of a plan as a maker reads them: a table, and what to do about each."""
    if not seams:
        return []
    lines = ["Seams, the widest trouble first (limit used: glued cold as they are)", _HEADS]
    lines += [_row(number, seam, system) for number, seam in enumerate(seams, 1)]
    lines += ["", "What to do at the seams"]
    for number, seam in enumerate(seams, 1):
        said = f"{seam.job.name}: {seam.answer.sentence}"
        lines += numbered(number, said)
    return [*lines, ""]


def _row(number: int, seam: PlannedSeam, system: System) -> str:
    between = seam.job.seam.intervals
    most = float(between.difference[between.by_difference[0]])
    sizes = (float(between.a.sum()), float(between.b.sum()))
    return (
        f"{number:2}. {clipped(seam.job.name, _NAME)}"
        + "".join(f"{fine(size, system):>11}" for size in sizes)
        + "".join(f"{fine(by, system, signed=True):>11}" for by in (between.total, most))
        + f"{share_said(seam.trouble):>12}"
    )


def seams_table(seams: Sequence[PlannedSeam]) -> Any:
    """One row an interval (pandas, units in the column heads), seam after seam."""
    import pandas as pd

    rows = [row for seam in seams for row in _rows(seam)]
    return pd.DataFrame(rows)


def _rows(seam: PlannedSeam) -> Iterator[dict[str, object]]:
    between, by = seam.job.seam.intervals, doming(seam.job.seam)
    for i in range(len(between.a)):
        yield {
            "seam": seam.job.name,
            "first edge": between.names[0],
            "second edge": between.names[1],
            "from": between.starts[i],
            "to": between.ends[i],
            "first [mm]": float(between.a[i]),
            "second [mm]": float(between.b[i]),
            "second longer by [mm]": float(between.difference[i]),
            "strain of first, glued cold [%]": 100 * float(between.strain_a[i]),
            "strain of second, glued cold [%]": 100 * float(between.strain_b[i]),
            "domes the sheet by [deg]": None if by is None else float(np.degrees(by[i])),
            "choice": seam.answer.choice.choice,
            "what to do": seam.answer.sentence,
            "of the limit, as it is [%]": 100 * seam.trouble,
        }
