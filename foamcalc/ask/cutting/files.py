"""The files of a cut list that are tables: all pieces, where they lie, the sheets."""

from __future__ import annotations

from collections.abc import Sequence

from foamcalc.ask.cutlist import Item
from foamcalc.ask.cutting.build import BuildCut
from foamcalc.ask.files import DECIMALS, table_csv
from foamcalc.ask.output import csv_bytes

_PIECES = (
    "piece",
    "foam",
    "thickness [mm]",
    "length to cut [mm]",
    "width [mm]",
    "count",
    "grain",
    "stock named",
)


def cutting_files(cut: BuildCut) -> dict[str, bytes]:
    """The tables of a cut list by file name, safe to open in a spreadsheet."""
    if not cut.items:
        return {}
    name = cut.plan.name
    missing = {one.items[0].material for one in cut.needed}
    rows = [_row(item, item.material not in missing) for item in cut.items]
    files = {f"{name}_pieces.csv": csv_bytes(_PIECES, rows)}
    if cut.found is not None:
        files[f"{name}_cutlist.csv"] = table_csv(cut.found.table())
        files[f"{name}_sheets.csv"] = table_csv(cut.found.sheets_table())
    return files


def _row(item: Item, stocked: bool) -> Sequence[object]:
    return (
        item.name,
        item.foam,
        item.thickness,
        round(item.cut_length, DECIMALS),
        item.width,
        item.count,
        item.grain,
        stocked,
    )
