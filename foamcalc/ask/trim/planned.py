"""Strips along edges of a whole build: each answered, in words, as a table, and as pieces."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from foamcalc.ask.answer import Answer
from foamcalc.ask.lines import numbered
from foamcalc.ask.trim.answer import Trim, answer
from foamcalc.units import System


@dataclass(frozen=True, kw_only=True)
class PlannedTrim:
    """One strip along an edge of the build, and its answer."""

    job: Trim
    answer: Answer

    @property
    def sentence(self) -> str:
        """The name, how many of it, and what to cut for each."""
        alike = "" if self.job.count == 1 else f", {self.job.count} alike, for each"
        return f"{self.job.name}{alike}: {self.answer.sentence}"


def planned_trim(job: Trim, system: System) -> PlannedTrim:
    """Answer a strip of a job sheet."""
    alike = f"the sheet asks for {job.count} alike: cut all of it {job.count} times"
    found = answer(replace(job, notes=(*([alike] if job.count > 1 else []), *job.notes)), system)
    return PlannedTrim(job=job, answer=found)


def trims_lines(trims: Sequence[PlannedTrim]) -> list[str]:
    """The strips of a plan as a maker reads them: a sentence each, in the order of the sheet."""
    if not trims:
        return []
    lines = ["Trims"]
    for number, trim in enumerate(trims, 1):
        lines += numbered(number, trim.sentence)
    return [*lines, ""]


def trims_table(trims: Sequence[PlannedTrim]) -> Any:
    """One row for equal strips (pandas, units in the column heads), trim after trim."""
    import pandas as pd

    return pd.DataFrame([row for trim in trims for row in _rows(trim)])


def _rows(trim: PlannedTrim) -> Iterator[dict[str, object]]:
    job = trim.job
    for row in trim.answer.result.rows():
        yield {
            "trim": job.name,
            "kind": job.kind,
            "foam": job.stuff.foam,
            "thickness [mm]": job.strip.thickness,
            "strips": row.name,
            "count": row.number * job.count,
            "length [mm]": row.length,
            "width [mm]": row.width,
            "inner edge [mm]": row.edges[0],
            "outer edge [mm]": row.edges[1],
            "what to do": trim.answer.sentence,
        }
