"""CSV files that a maker filled in, as any spreadsheet saves them: text, cells, faults."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from foamcalc.ask.faults import MOST_FAULTS, SheetFault, shown
from foamcalc.units import read_length

_BIGGEST = 1_000_000
_MOST_ROWS = 500
"""Filled rows; more is no record that somebody wrote."""
_SEPARATORS = (",", ";", "\t")
_NAMED_SEPARATOR = re.compile(r'"?sep=([,;\t])"?[,;\t]*', re.IGNORECASE)
_SAVE = "save it as CSV, UTF-8"

_LONGEST_FRACTION = 20
"""Signs in a fraction that somebody wrote."""
NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?"
"""A number as a maker writes it, with a decimal point and without a unit; for ASCII digits."""
DECIMAL_COMMA = re.compile(r"[+-]?\d+,\d+", re.ASCII)
_NUMBER = re.compile(NUMBER, re.ASCII)


class Faults:
    """Faults of one file; they are told in the order of its lines.

    Parameters
    ----------
    name : str
        Of the file.
    kind : type
        What is raised.
    """

    def __init__(self, name: str, kind: type[SheetFault]) -> None:
        self.name = name
        self.kind = kind
        self.found: list[tuple[int, str]] = []

    def add(self, line: int, column: str, text: str) -> None:
        """Add a fault; the fault is raised when there are too many to be of use."""
        where = f"line {line}, column {column}" if column else f"line {line}"
        self.found.append((line, f"{self.name}, {where}: {' '.join(text.split())}"))
        if len(self.found) >= MOST_FAULTS:
            more = f"{self.name}: more faults may follow; put these right first"
            raise self.kind([*self._in_order(), more])

    def stop(self, text: str) -> SheetFault:
        """The one fault of a file that cannot be read at all, to be raised."""
        return self.kind([f"{self.name}{text}"])

    def raise_any(self) -> None:
        """Raise what was found."""
        if self.found:
            raise self.kind(self._in_order())

    def _in_order(self) -> list[str]:
        return [text for _, text in sorted(self.found, key=lambda fault: fault[0])]


def read_text(path: Path, faults: Faults) -> str:
    """The text of a file that may come from anywhere."""
    if path.is_dir():
        raise faults.stop(" is a folder: name the record in it")
    if path.exists() and not path.is_file():
        raise faults.stop(" is not a plain file: name a record, a text file")
    try:
        with path.open("rb") as stream:
            raw = stream.read(_BIGGEST + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "no file name"
        said = f" cannot be read ({why}): check its name, its folder and who may read it"
        raise faults.stop(said) from None
    if len(raw) > _BIGGEST:
        raise faults.stop(" is over 1 MB: that is no record; name another file")
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise faults.stop(f" is saved as UTF-16 (Unicode text): {_SAVE}")
    if b"\0" in raw or raw.startswith(b"PK\x03\x04"):
        raise faults.stop(f" is no text file: {_SAVE}")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = len(re.split(rb"\r\n|\n|\r", raw[: error.start]))
        raise faults.stop(f", line {line}: a letter there is not UTF-8: {_SAVE}") from None


def read_cells(text: str, faults: Faults, *, remarks: bool) -> list[tuple[int, list[str]]]:
    """Rows that say something, with the lines on which they begin."""
    lines = text.splitlines()
    said = (x for x in lines if x.strip() and not (remarks and x.lstrip(' "').startswith("#")))
    head = next(said, "")
    named = _NAMED_SEPARATOR.fullmatch(head.strip())
    separator = named[1] if named else max(_SEPARATORS, key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows, begins = [], 1
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            told = any(stripped) and not (remarks and stripped[0].startswith("#"))
            if told and not _NAMED_SEPARATOR.fullmatch(separator.join(stripped)):
                rows.append((begins, stripped))
            begins = 1 + reader.line_num
    except csv.Error as error:
        faults.add(begins, "", f'cannot be read from there on ({error}): look for a lone "')
        faults.raise_any()
    if rows:
        _, heads = rows[0]
        while not heads[-1]:
            heads.pop()
    return rows


def by_head(
    rows: Sequence[tuple[int, list[str]]], heads: Sequence[str], faults: Faults
) -> Iterator[tuple[int, dict[str, str]]]:
    """Rows as cells by head, with their lines; a fault for one with more cells than heads."""
    for line, cells in rows:
        spare = next(filter(None, cells[len(heads) :]), None)
        if spare is None:
            yield line, dict(zip(heads, cells, strict=False))
            continue
        faults.add(
            line,
            "",
            f"has more cells than heads, {shown(spare)} is over: put a text with a separator in it "
            "in double quotes, and write a decimal point",
        )


def at_most_rows(rows: Sequence[object], faults: Faults) -> None:
    """Stop at more filled rows than a record has."""
    if len(rows) > _MOST_ROWS:
        raise faults.stop(f" has {len(rows)} filled rows, at most {_MOST_ROWS}")


def has_number(cells: Sequence[str]) -> bool:
    """Whether one of the cells is a number, so that they are no heads."""
    return any(_NUMBER.fullmatch(cell) or DECIMAL_COMMA.fullmatch(cell) for cell in cells)


def number_of(cell: str) -> float | None:
    """The finite number that a cell is; None if it is none. A long minus is a minus."""
    plain = _plain(cell)
    value = float(plain) if _NUMBER.fullmatch(plain) else math.inf
    return value if math.isfinite(value) else None


def cell_number(cell: str) -> float | None:
    """The number that a whole cell is, also a fraction as makers write it; None if it is none."""
    plain = number_of(cell)
    if plain is not None or len(cell) > _LONGEST_FRACTION or any(s.isalpha() for s in cell):
        return plain
    try:
        read = read_length(f"{cell} m")  # as everywhere else; the unit stands in the head
    except ValueError:
        return None
    return None if read.tolerance else read.value / 1000


def comma_fault(cell: str) -> str:
    """That a cell has a decimal comma, with the remedy; nothing if it has none."""
    if not DECIMAL_COMMA.fullmatch(_plain(cell)):
        return ""
    return f"has a decimal comma; write {cell.replace(',', '.')}"


def _plain(cell: str) -> str:
    return cell.replace("\N{MINUS SIGN}", "-")
