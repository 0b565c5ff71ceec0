"""Files that a job sheet names: beside it, and nowhere else."""

from __future__ import annotations

import re
from pathlib import Path

from foamcalc.ask.form import Table


def beside(table: Table, key: str, folder: Path) -> Path | None:
    """The file that a key names, if it lies in the folder of the sheet."""
    name = table.values[key]
    try:
        place = (folder / name).resolve()
        inside = place.is_relative_to(folder.resolve())
        there = place.is_file()
    except (OSError, RuntimeError, ValueError):
        inside, there = True, False
    if not inside:
        table.fault(
            key, f"{name!r} leads out of the folder of the sheet: put the file itself beside it"
        )
    elif not there:
        table.fault(key, f"there is no file {name!r} beside the sheet; put it there")
    return place if inside and there else None


def named_files(sheet: Path) -> list[Path]:
    """A sheet and the files that its text names: what a maker writes into."""
    names = re.findall(
        r"""["']([^"'\n]+\.(?:csv|svg))["']""", sheet.read_text("utf-8"), re.IGNORECASE
    )
    return [path.resolve() for path in (sheet, *(sheet.parent / name for name in names))]
