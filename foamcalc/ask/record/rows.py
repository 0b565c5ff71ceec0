"""The rows of a try-on record: a CSV that a maker filled in, as any spreadsheet saves it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from foamcalc.ask.faults import SheetFault, near, shown
from foamcalc.ask.filled import Faults, at_most_rows, by_head, read_cells, read_text

COLUMNS = ("piece", "what", "predicted", "happened", "note")
NEEDED = ("piece", "what", "happened")
"""Columns that must be there."""


class RecordFault(SheetFault):
    """What is wrong with a try-on record: every fault of its content, or the one of its form.

    Parameters
    ----------
    faults : iterable of str
        One line each: file, line, column, value, remedy.
    """


@dataclass(frozen=True, kw_only=True)
class Row:
    """One filled row, its cells without blanks round them."""

    line: int
    piece: str
    what: str
    happened: str
    note: str


def read_rows(path: Path, faults: Faults) -> list[Row]:
    """The rows of a record whose happened is filled in."""
    table = read_cells(read_text(path, faults), faults, remarks=False)
    if not table:
        raise faults.stop(f" is empty: begin with the blank record, its head is {_head()}")
    heads = _heads(*table[0], faults)
    filled = []
    for line, row in by_head(table[1:], heads, faults):
        if row.get("happened"):
            texts = {name: row.get(name, "") for name in ("piece", "what", "happened", "note")}
            filled.append(Row(line=line, **texts))
    at_most_rows(filled, faults)
    return filled


def _head() -> str:
    return ",".join(COLUMNS)


def _heads(line: int, cells: list[str], faults: Faults) -> list[str]:
    """Names of the columns; RecordFault if they are not those of a record."""
    heads = [cell.casefold() for cell in cells]
    for head in dict.fromkeys(heads):
        if head not in COLUMNS:
            guess = near(head, [name for name in COLUMNS if name not in heads])
            hint = f"did you mean {guess}?" if guess else f"the head is {_head()}"
            faults.add(line, "", f"{shown(head)} is no column of a record; {hint}")
        elif heads.count(head) > 1:
            faults.add(line, "", f"{head} stands {heads.count(head)} times; keep one")
    missing = [name for name in NEEDED if name not in heads]
    if missing and not faults.found:
        faults.add(line, "", f"{' and '.join(missing)} missing; the head is {_head()}")
    faults.raise_any()
    return heads
