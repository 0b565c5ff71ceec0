"""The files of a strip along an edge: its strips and its marks as tables."""

from __future__ import annotations

import re
from typing import Any

import numpy as np

from foamcalc.job.output import csv_bytes
from foamcalc.job.trim.answer import TrimAnswer

_DECIMALS = 2
"""Decimals of a table that is read by people."""


def file_stem(answer: TrimAnswer, name: str | None = None) -> str:
    """What the files of a strip are called, without their endings.

    Parameters
    ----------
    answer : TrimAnswer
        The strip.
    name : str, optional
        The edge it follows; signs that a file name cannot hold become "_".
    """
    own = re.sub(r"[^\w-]+", "_", name or "").strip("_")[:40]
    return f"{answer.kind}_{own}" if own else f"trim_{answer.kind}"


def trim_files(answer: TrimAnswer, *, stem: str) -> dict[str, bytes]:
    """Strips, marks, and slits or teeth, by file name, safe to open in a spreadsheet.

    Parameters
    ----------
    answer : TrimAnswer
        The strip.
    stem : str
        From `file_stem`.
    """
    found = {f"{stem}_strips.csv": _csv(strips_frame(answer))}
    marks = marks_frame(answer)
    if len(marks):
        found[f"{stem}_marks.csv"] = _csv(marks)
    return found


def strips_frame(answer: TrimAnswer) -> Any:
    """One row a strip (pandas, units in the column heads)."""
    from foamcalc.fit.trim.strips import strips_table

    table = strips_table(answer.told.strips)
    table.insert(1, "kind", answer.kind)
    table[["inner edge [mm]", "outer edge [mm]"]] = np.array(answer.told.edges)
    table["width [mm]"] = answer.told.width
    table["thickness [mm]"] = answer.strip.thickness
    return table


def marks_frame(answer: TrimAnswer) -> Any:
    """One row a mark (pandas, units in the column heads)."""
    from foamcalc.fit.trim.strips import marks_table

    table = marks_table(answer.told.strips)
    table.insert(0, "mark", [answer.mark_name(p) for p in table["mark on the edge [mm]"]])
    return table


def _csv(table: Any) -> bytes:
    rounded = table.round(_DECIMALS)
    numbers = rounded.select_dtypes("number").columns
    rounded[numbers] += 0  # no minus before a nought
    return csv_bytes(list(rounded.columns), rounded.itertuples(index=False, name=None))
