"""The rows of a try-on record: a CSV that a maker filled in, as any spreadsheet saves it."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from pathlib import Path

from foamcalc.job.faults import MOST_FAULTS, SheetFault, near, shown

COLUMNS = ("piece", "what", "predicted", "happened", "note")
NEEDED = ("piece", "what", "happened")
"""Columns that must be there."""
MOST_ROWS = 500
"""Filled rows; more is no record that somebody wrote."""

_BIGGEST = 1_000_000
_SEPARATORS = (",", ";", "\t")
_NAMED_SEPARATOR = re.compile(r'"?sep=([,;\t])"?[,;\t]*', re.IGNORECASE)
_SAVE = "save it as CSV, UTF-8"


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


class Faults:
    """Faults of one record; they are told in the order of its lines."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.found: list[tuple[int, str]] = []

    def add(self, line: int, column: str, text: str) -> None:
        """Add a fault; RecordFault when there are too many to be of use."""
        where = f"line {line}, column {column}" if column else f"line {line}"
        self.found.append((line, f"{self.name}, {where}: {' '.join(text.split())}"))
        if len(self.found) >= MOST_FAULTS:
            more = f"{self.name}: more faults may follow; put these right first"
            raise RecordFault([*self._in_order(), more])

    def raise_any(self) -> None:
        """RecordFault if there is a fault."""
        if self.found:
            raise RecordFault(self._in_order())

    def _in_order(self) -> list[str]:
        return [text for _, text in sorted(self.found, key=lambda fault: fault[0])]


def read_rows(path: Path, faults: Faults) -> list[Row]:
    """The rows of a record whose happened is filled in.

    Parameters
    ----------
    path : Path
        A CSV file of at most 1 MB in UTF-8; commas, semicolons or tabs stand between.
    faults : Faults
        Takes the faults of single rows.

    Raises
    ------
    RecordFault
        For a file that is no such table.
    """
    table = _cells(_text(path, faults.name), faults)
    if not table:
        raise RecordFault(
            [f"{faults.name} is empty: begin with the blank record, its head is {_head()}"]
        )
    heads = _heads(*table[0], faults)
    filled = []
    for line, cells in table[1:]:
        row = dict(zip(heads, [*cells, *[""] * len(heads)], strict=False))
        spare = [cell for cell in cells[len(heads) :] if cell]
        if spare:
            faults.add(
                line,
                "",
                f"has more cells than heads, {shown(spare[0])} is over: put a text with a "
                "separator in it in double quotes, and write a decimal point",
            )
        elif row["happened"]:
            texts = {name: row.get(name, "") for name in ("piece", "what", "happened", "note")}
            filled.append(Row(line=line, **texts))
    if len(filled) > MOST_ROWS:
        raise RecordFault([f"{faults.name} has {len(filled)} filled rows, at most {MOST_ROWS}"])
    return filled


def _head() -> str:
    return ",".join(COLUMNS)


def _text(path: Path, name: str) -> str:
    """The text of a file that may come from anywhere."""
    if path.is_dir():
        raise RecordFault([f"{name} is a folder: name the record in it"])
    try:
        with path.open("rb") as stream:
            raw = stream.read(_BIGGEST + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "no file name"
        raise RecordFault(
            [f"{name} cannot be read ({why}): check its name, its folder and who may read it"]
        ) from None
    if len(raw) > _BIGGEST:
        raise RecordFault([f"{name} is over 1 MB: that is no record; name another file"])
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise RecordFault([f"{name} is saved as UTF-16 (Unicode text): {_SAVE}"])
    if b"\0" in raw or raw.startswith(b"PK\x03\x04"):
        raise RecordFault([f"{name} is no text file: {_SAVE}"])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = len(re.split(rb"\r\n|\n|\r", raw[: error.start]))
        raise RecordFault([f"{name}, line {line}: a letter there is not UTF-8: {_SAVE}"]) from None


def _cells(text: str, faults: Faults) -> list[tuple[int, list[str]]]:
    """Rows that say something, with the lines on which they begin."""
    lines = io.StringIO(text, newline="")
    first = 1
    if named := _NAMED_SEPARATOR.fullmatch(text[:20].splitlines()[0].strip() if text else ""):
        lines.readline()
        first = 2
    separator = named[1] if named else _separator(text)
    rows = []
    reader = csv.reader(lines, delimiter=separator, strict=True)
    begins = first
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
                rows.append((begins, stripped))
            begins = first + reader.line_num
    except csv.Error as error:
        faults.add(begins, "", f'cannot be read from there on ({error}): look for a lone "')
        faults.raise_any()
    return rows


def _separator(text: str) -> str:
    """What stands between the cells of the first line that says something."""
    head = next((line for line in text.splitlines() if line.strip()), "")
    return max(_SEPARATORS, key=head.count)


def _heads(line: int, cells: list[str], faults: Faults) -> list[str]:
    """Names of the columns; RecordFault if they are not those of a record."""
    while cells and not cells[-1]:
        cells = cells[:-1]
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
