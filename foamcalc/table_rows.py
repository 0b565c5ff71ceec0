"""The form of the reference tables: columns, and the rules that every row must keep."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

TABLES = {
    "adhesives": ("adh", "adhesive"),
    "foams": ("foam", "foam"),
    "limits": ("lim", "subject"),
    "stock": ("stock", "sheet"),
}
"""Each table with the prefix of its row ids and the word for one of its subjects."""

BASES = ("published", "measured", "derived", "common practice", "assumed", "from memory")
UNITS = ("%", "mm", "N", "deg", "1", "min", "degC", "MPa", "N/mm", "kg/m3")
OPENED = ("primary", "secondary", "memory")
KINDS = ("article", "book", "data set", "preprint", "web reference")
SOURCE_COLUMNS = tuple(
    "source_id kind authors year title container identifier licence opened_as note".split()
)
COLUMNS = tuple(
    "row_id subject quantity value low high unit basis condition source_id locator note".split()
)

_BIGGEST = 1_000_000
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?([eE][+-]?\d+)?", re.ASCII)
_DASHED = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+")
_SNAKE = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")
_YEAR = re.compile(r"[12]\d{3}", re.ASCII)


def listed(names: Iterable[str]) -> str:
    """Names in quotes, with commas."""
    return ", ".join(repr(name) for name in names)


def say(name: str, line: int, row: Mapping[str, str], column: str, wrong: str) -> str:
    """One fault with its file, line, column and value."""
    return f"{name}, line {line}, column {column}: {row[column]!r} {wrong}"


def source_faults(row: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What is wrong with a row of sources.csv, by column."""
    for column in SOURCE_COLUMNS:
        if not row[column] and column != "identifier":
            yield column, "is empty; fill it in ('not checked' will do for a licence)"
    if not _DASHED.fullmatch(row["source_id"]):
        yield "source_id", "is no id; write small letters, digits and dashes, as in name-1986"
    if not _YEAR.fullmatch(row["year"]):
        yield "year", "is no year; write four digits"
    for column, allowed in (("kind", KINDS), ("opened_as", OPENED)):
        if row[column] not in allowed:
            yield column, f"is not known; write one of {listed(allowed)}"


def name_faults(row: Mapping[str, str], prefix: str) -> Iterator[tuple[str, str]]:
    """What is wrong with the id, subject, quantity and unit of a row, by column."""
    if not (_DASHED.fullmatch(row["row_id"]) and row["row_id"].startswith(prefix + "-")):
        yield "row_id", f"is no id here; write {prefix}- and then small letters, digits and dashes"
    if not row["subject"]:
        yield "subject", "is empty; say what the number belongs to"
    if not _SNAKE.fullmatch(row["quantity"]):
        yield "quantity", "is no quantity; write small letters, digits and underscores"
    if row["unit"] not in UNITS:
        yield "unit", f"is not known; write one of {listed(UNITS)} (1 for a plain number)"


def number_faults(row: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What is wrong with the numbers of a row, by column."""
    numbers = {}
    for column in ("value", "low", "high"):
        text = row[column]
        if not text and column != "value":
            continue
        if not (_NUMBER.fullmatch(text) and math.isfinite(float(text))):
            yield column, "is not a finite number; write digits with a decimal point, no unit"
        else:
            numbers[column] = float(text)
    ordered = [numbers[column] for column in ("low", "value", "high") if column in numbers]
    if ordered != sorted(ordered):
        yield "value", f"is out of order; keep low {row['low']} ≤ value ≤ high {row['high']}"


def ground_faults(
    row: Mapping[str, str], opened_as: Mapping[str, str]
) -> Iterator[tuple[str, str]]:
    """What is wrong with the basis and the source of a row, by column."""
    basis, source_id = row["basis"], row["source_id"]
    if basis not in BASES:
        yield "basis", f"is not known; write one of {listed(BASES)}"
    if basis != "published" and not row["note"]:
        yield "note", "is empty; say why the number can be believed, or how it was got"
    if basis == "published" and not source_id:
        yield "source_id", "is empty; a published number needs its source"
    if basis == "common practice" and source_id:
        yield "source_id", "does not belong to common practice; leave it empty or change the basis"
    if source_id and source_id not in opened_as:
        yield "source_id", f"is not in sources.csv; add it there, or use one of {listed(opened_as)}"
    if source_id and not row["locator"]:
        yield "locator", "is empty; say where in the source (page, table, figure)"
    if basis == "published" and opened_as.get(source_id) == "memory":
        yield "basis", f"but {source_id} was not opened; open it, or write 'from memory'"


def _cell_faults(row: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for column, cell in row.items():
        if cell[:1] in tuple("=+-@") and not _NUMBER.fullmatch(cell):
            yield column, "looks like a spreadsheet formula; begin with a letter or a digit"
        if cell != cell.strip() or "\n" in cell:
            yield column, "has blanks at an end or a line break; take them out"


def _text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            raw = file.read(_BIGGEST + 1)
    except OSError as error:
        problem = f"cannot be read ({error.strerror}) in {path.parent}; put it there"
        raise ValueError(problem) from error
    if len(raw) > _BIGGEST:
        raise ValueError(f"is over {_BIGGEST} bytes; that is no table of this kind")
    if b"\r" in raw or raw.startswith(b"\xef\xbb\xbf"):
        raise ValueError("has foreign line ends or a byte order mark; save it as plain UTF-8, LF")
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        raise ValueError(f"is not UTF-8 at byte {error.start}; save it as UTF-8") from error


def read_rows(
    path: Path, columns: tuple[str, ...]
) -> tuple[list[tuple[int, dict[str, str]]], list[str]]:
    """Rows with their line numbers, and the faults in the form of the file."""
    rows: list[tuple[int, dict[str, str]]] = []
    faults: list[str] = []
    reader = csv.reader(io.StringIO(""))
    try:
        reader = csv.reader(io.StringIO(_text(path), newline=""), strict=True)
        head = next(reader, [])
        if sorted(head) != sorted(columns):
            missing, extra = set(columns) - set(head), set(head) - set(columns)
            raise ValueError(
                f"line 1: missing columns {sorted(missing)}, unknown columns {sorted(extra)}; "
                f"write each of {', '.join(columns)} once"
            )
        for cells in reader:
            if len(cells) != len(head):
                faults.append(
                    f"{path.name}, line {reader.line_num}: {len(cells)} cells instead of "
                    f"{len(head)}; put cells with a comma in double quotes, leave no line empty"
                )
                continue
            row = dict(zip(head, cells, strict=True))
            wrong = list(_cell_faults(row))
            faults += [say(path.name, reader.line_num, row, *one) for one in wrong]
            rows.append((reader.line_num, row))
    except csv.Error as error:
        faults.append(f"{path.name}, line {reader.line_num}: {error}; check the double quotes")
    except ValueError as error:
        faults.append(f"{path.name}: {error}")
    return rows, faults
