"""The files of a plan that are tables: joints, shells, seams, trims, and the record to fill in."""

from __future__ import annotations

from typing import Any

from foamcalc.ask.output import csv_bytes
from foamcalc.ask.plan import Plan
from foamcalc.ask.try_on import blank_record

DECIMALS = 2
"""Decimals of a table that is read by people."""


def plan_files(plan: Plan) -> dict[str, bytes]:
    """The tables of a plan by file name, safe to open in a spreadsheet.

    Parameters
    ----------
    plan : Plan
        From `foamcalc.ask.plan.plan`.

    Returns
    -------
    dict of str to bytes
        Joints, shells, seams and trims (if there are any), and the blank record.
    """
    found = {f"{plan.name}_joints.csv": table_csv(plan.table())}
    if plan.shells:
        found[f"{plan.name}_shells.csv"] = table_csv(plan.shells_table())
    if plan.seams:
        found[f"{plan.name}_seams.csv"] = table_csv(plan.seams_table())
    if plan.trims:
        found[f"{plan.name}_trims.csv"] = table_csv(plan.trims_table())
    found[f"{plan.name}_try_on_blank.csv"] = blank_record(plan)
    return found


def table_csv(table: Any) -> bytes:
    """A table (pandas) as CSV, its numbers rounded to `DECIMALS`."""
    rounded = table.round(DECIMALS)
    return csv_bytes(list(table.columns), rounded.itertuples(index=False, name=None))
