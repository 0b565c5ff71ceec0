"""Tables that a maker fills in, as any spreadsheet saves them: one list of columns a table.

From the columns of a `Table` come its head, the blank file, near words, and every fault at once.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from foamcalc.ask.faults import MOST_FAULTS, SheetFault, near, shown
from foamcalc.ask.lines import in_words
from foamcalc.ask.output import csv_bytes
from foamcalc.units import GRAVITY, read_length

LENGTHS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4}
FORCES = {"N": 1.0, "g": GRAVITY / 1000, "kg": GRAVITY}
TIMES = {"s": 1 / 60, "min": 1.0, "h": 60.0, "d": 1440.0}
"""How many mm, N or minutes one of each unit is."""
_OTHER = "; 1 lb is 0.4536 kg and 1 oz is 28.35 g"
"""What helps a maker whose unit of force is not known here."""

NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?"
"""A number as a maker writes it, with a decimal point and without a unit; for ASCII digits."""
DECIMAL_COMMA = re.compile(r"[+-]?\d+,\d+", re.ASCII)

_BIGGEST = 1_000_000
_SAVE = "save it as CSV, UTF-8"
_LONGEST_FRACTION = 20
"""Signs in a fraction that somebody wrote."""
_NUMBER = re.compile(NUMBER, re.ASCII)
_SEPARATORS = (",", ";", "\t")
_NAMED_SEPARATOR = re.compile(r'"?sep=([,;\t])"?[,;\t]*', re.IGNORECASE)
_HEAD = re.compile(r"(?P<name>[^\[(]*?)\s*(?:[\[(]\s*(?P<unit>[^\])]*?)\s*[\])])?")


class TableFault(SheetFault):
    """What is wrong with a table: every fault of its content, or the one of its form.

    Parameters
    ----------
    faults : iterable of str
        One line each: file, line, column, value, remedy.
    """


class Faults:
    """Faults of one file; they are told in the order of its lines."""

    def __init__(self, path: Path) -> None:
        self.name = "".join(c if c.isprintable() else "?" for c in path.name or str(path))
        self.found: list[tuple[int, str]] = []

    def add(self, line: int, column: str, text: str) -> None:
        """Add a fault; all are raised when there are too many to be of use."""
        where = f"line {line}, column {column}" if column else f"line {line}"
        self.found.append((line, f"{self.name}, {where}: {' '.join(text.split())}"))
        if len(self.found) >= MOST_FAULTS:
            self.found.append(
                (10**9, f"{self.name}: more faults may follow; put these right first")
            )
            self.raise_any()

    def stop(self, text: str) -> TableFault:
        """The one fault of a file that cannot be read at all, to be raised."""
        return TableFault([f"{self.name}{text}"])

    def raise_any(self) -> None:
        """Raise what was found."""
        if self.found:
            raise TableFault(text for _, text in sorted(self.found, key=lambda f: f[0]))


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column: what may stand in its head and in its cells."""

    name: str
    units: Mapping[str, float] | None = None
    """Units that may stand in its head, with what one of each is; None: its cells are words."""
    must: bool = False
    """Whether the table must have it."""
    sign: Literal["above 0", "from 0", "any"] = "from 0"
    empty: str = ""
    """What to do about an empty cell."""
    choices: Sequence[str] = ()
    """The words that may stand in its cells; the first of them holds where none does."""

    def head(self, units: Iterable[str] = ()) -> str:
        """Its head, with one of these units, else with the first that it knows."""
        if self.units is None:
            return self.name
        fit = next((u for u in units if u in self.units), next(iter(self.units)))
        return f"{self.name} [{fit}]"


@dataclass(frozen=True)
class Row:
    """One row that says something, its numbers in mm, N or minutes."""

    line: int
    texts: Mapping[str, str]
    """Cells by column, without blanks round them; those of columns that are not there missing."""
    table: Table
    units: Mapping[str, tuple[str, float]]
    faults: Faults

    def __getitem__(self, column: str) -> str:
        return self.texts.get(column, "")

    def fault(self, column: str, text: str) -> None:
        """Add a fault of one cell."""
        self.faults.add(self.line, column, text)

    def number(self, column: str) -> float | None:
        """The number of a cell; None if it is empty where it may be, or, with a fault, none."""
        text, kind = self[column], self.table.column(column)
        if not text:
            if kind.empty:
                self.fault(column, f"is empty; {kind.empty}")
            return None
        unit, factor = self.units[column]
        value = _cell_number(text)
        if value is None:
            wrong = f"is not a finite number; write digits, the unit [{unit}] is in the head"
            if DECIMAL_COMMA.fullmatch(_plain(text)):
                wrong = f"has a decimal comma; write {text.replace(',', '.')}"
            self.fault(column, f"{shown(text)} {wrong}")
        elif value < 0 and kind.sign != "any":
            self.fault(column, f"{shown(text)} is below 0; {self.table.below_0}")
        elif value == 0 and kind.sign == "above 0":
            self.fault(column, f"{shown(text)} must be above 0")
        else:
            return value * factor
        return None

    def word(self, column: str) -> str:
        """The word of a cell, in small letters; empty if nothing or, with a fault, another is."""
        text, choices = self[column].casefold(), self.table.column(column).choices
        if text and text not in choices:
            guess = near(text, choices)
            hint = f"did you mean {guess}?" if guess else f"write {' or '.join(choices)}"
            self.fault(column, f"{shown(self[column])} is not known; {hint}")
            return ""
        return text


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table that a maker fills in."""

    what: str
    """What it is, in a sentence."""
    columns: Sequence[Column]
    most: int = 500
    """Most filled rows; more is nothing that somebody wrote."""
    remarks: bool = True
    """Whether lines that begin with # are notes."""
    below_0: str = "write how large it is"

    def column(self, name: str) -> Column:
        """The column of that name."""
        return next(c for c in self.columns if c.name == name)

    def blank(self, rows: Iterable[Mapping[str, object]], units: Iterable[str] = ()) -> bytes:
        """The file to fill in (CSV), with what stands in it already."""
        cells = [[row.get(c.name) for c in self.columns] for row in rows]
        return csv_bytes([c.head(list(units)) for c in self.columns], cells)

    def read(self, path: Path, faults: Faults) -> list[Row]:
        """The rows that say something; TableFault for a file that is no such table."""
        cells = self._cells(read_text(path, faults), faults)
        example = ",".join(c.head() for c in self.columns if c.must)
        if not cells:
            raise faults.stop(f" is empty: write {example} and a reading a line")
        (line, heads), *rows = cells
        while not heads[-1]:
            heads.pop()
        if len(rows) > self.most:
            raise faults.stop(f" has {len(rows)} filled rows, at most {self.most}")
        self._refuse_commas(rows, faults)
        if any(_is_number(head) for head in heads):
            raise faults.stop(f", line {line}: there is no head; write {example}")
        units = self._units(line, heads, faults, example)
        return [self._row(*row, units, faults) for row in rows]

    def _row(
        self, line: int, cells: list[str], units: Mapping[str, tuple[str, float]], faults: Faults
    ) -> Row:
        if spare := next(filter(None, cells[len(units) :]), None):
            faults.add(
                line,
                "",
                f"has more cells than heads, {shown(spare)} is over: put a text with a separator "
                "in it in double quotes, and write a decimal point",
            )
        return Row(line, dict(zip(units, cells, strict=False)), self, units, faults)

    def _cells(self, text: str, faults: Faults) -> list[tuple[int, list[str]]]:
        """Rows that say something, with the lines on which they begin."""

        def noted(first: str) -> bool:
            return self.remarks and first.startswith("#")

        said = (x for x in text.splitlines() if x.strip() and not noted(x.lstrip(' "')))
        head = next(said, "")
        named = _NAMED_SEPARATOR.fullmatch(head.strip())
        separator = named[1] if named else max(_SEPARATORS, key=head.count)
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
        rows, begins = [], 1
        try:
            for row in reader:
                cells = [cell.strip() for cell in row]
                if any(cells) and not noted(cells[0]):
                    if not _NAMED_SEPARATOR.fullmatch(separator.join(cells)):
                        rows.append((begins, cells))
                begins = 1 + reader.line_num
        except csv.Error as error:
            faults.add(begins, "", f'cannot be read from there on ({error}): look for a lone "')
            faults.raise_any()
        return rows

    def _refuse_commas(self, rows: Sequence[tuple[int, list[str]]], faults: Faults) -> None:
        """One fault for a table that is written with decimal commas throughout."""
        if all(c.units is None for c in self.columns):
            return
        found = [(n, cell) for n, cells in rows for cell in cells if DECIMAL_COMMA.fullmatch(cell)]
        if len(found) > 1:
            line, cell = found[0]
            others = f"have {len(found) - 1} more cells" if len(found) > 2 else "has one more cell"
            raise faults.stop(
                f", line {line}: {shown(cell)} has a decimal comma, and so {others}; replace every "
                "comma in a number by a point"
            )

    def _units(
        self, line: int, heads: Sequence[str], faults: Faults, example: str
    ) -> dict[str, tuple[str, float]]:
        """Columns as they stand, with their units; TableFault where the head is not theirs."""
        pairs = [_split(head) for head in heads]
        names = [name for name, _ in pairs]
        known = {c.name: c for c in self.columns}
        units: dict[str, tuple[str, float]] = {}
        for name, unit in pairs:
            if name in units:
                continue  # told where it stands first
            units[name] = unit, 1.0
            if names.count(name) > 1:
                faults.add(line, name, f"stands {names.count(name)} times; keep one")
            elif name not in known:
                guess = near(name, [c for c in known if c not in names])
                hint = f"did you mean {guess}?" if guess else f"known are {', '.join(known)}"
                faults.add(line, "", f"{shown(name)} is no column of {self.what}; {hint}")
            elif known[name].units is not None and (factor := _factor(known[name], unit)):
                units[name] = unit, factor
            elif wrong := _unit_fault(known[name], unit):
                faults.add(line, name, wrong)
        missing = [c.name for c in self.columns if c.must and c.name not in names]
        if missing and not faults.found:
            faults.add(line, "", f"{in_words(missing)} missing; write {example}")
        faults.raise_any()
        return units


def _split(head: str) -> tuple[str, str]:
    """Name and unit of a head."""
    found = _HEAD.fullmatch(head)
    name, unit = (found["name"], found["unit"]) if found else (head, "")
    return " ".join(name.split()).casefold(), unit or ""


def _factor(column: Column, unit: str) -> float | None:
    """What one of a unit is, by its sign or, of a length, by its name; None if it is not known."""
    known = column.units or {}
    if unit in known or known is not LENGTHS or not unit.isalpha():
        return known.get(unit)
    try:
        value = read_length(f"1 {unit}").value
    except ValueError:
        return None
    return value if value in known.values() else None


def _unit_fault(column: Column, unit: str) -> str:
    """What is wrong with the unit in a head of which no factor is known."""
    known = column.units
    if known is None:
        return f"has a unit, {shown(unit)}, but is a word; leave it out" if unit else ""
    if not unit:
        return f"has no unit; write {column.head()} (one of {', '.join(known)})"
    right = next((u for u in known if u.casefold() == unit.casefold()), None)
    hint = right or f"one of {', '.join(known)}{_OTHER if known is FORCES else ''}"
    return f"the unit {shown(unit)} is not known here; write {hint}"


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


def number_of(cell: str) -> float | None:
    """The finite number that a cell is; None if it is none. A long minus is a minus."""
    plain = _plain(cell)
    value = float(plain) if _NUMBER.fullmatch(plain) else math.inf
    return value if math.isfinite(value) else None


def _cell_number(cell: str) -> float | None:
    """The number that a whole cell is, also a fraction as makers write it; None if it is none."""
    plain = number_of(cell)
    if plain is not None or len(cell) > _LONGEST_FRACTION or any(s.isalpha() for s in cell):
        return plain
    try:
        read = read_length(f"{cell} m")  # as everywhere else; the unit stands in the head
    except ValueError:
        return None
    return None if read.tolerance else read.value / 1000


def _is_number(cell: str) -> bool:
    return bool(_NUMBER.fullmatch(cell) or DECIMAL_COMMA.fullmatch(cell))


def _plain(cell: str) -> str:
    return cell.replace("\N{MINUS SIGN}", "-")
