"""The files of a plan that are tables: joints, shells, and the record to fill in."""

from __future__ import annotations

from typing import Any

from foamcalc.job.output import csv_bytes
from foamcalc.job.plan import Plan
from foamcalc.job.record import blank_record

_DECIMALS = 2
"""Decimals of a table that is read by people."""


def plan_files(plan: Plan) -> dict[str, bytes]:
    """The tables of a plan by file name, safe to open in a spreadsheet.

    Parameters
    ----------
    plan : Plan
        From `foamcalc.job.plan.plan`.

    Returns
    -------
    dict of str to bytes
        Joints, shells (if there are any), and the blank record.
    """
    found = {f"{plan.name}_joints.csv": _csv(plan.table())}
    if plan.shells:
        found[f"{plan.name}_shells.csv"] = _csv(plan.shells_table())
    found[f"{plan.name}_try_on_blank.csv"] = blank_record(plan)
    return found


def _csv(table: Any) -> bytes:
    rounded = table.round(_DECIMALS)
    return csv_bytes(list(table.columns), rounded.itertuples(index=False, name=None))
