"""The reference tables: every number from outside, with its unit, source and basis.

The tables are plain CSV files in `reference_tables`, described in the README beside them. They are
checked whenever they are read: a faulty row is an error that says where and what to do, never a
number.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import cache
from pathlib import Path

__all__ = ["Entry", "Source", "check", "folder", "load", "look_up", "sources", "subjects"]

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
_NUMBERS = ("value", "low", "high")
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?([eE][+-]?\d+)?", re.ASCII)
_DASHED = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+")
_SNAKE = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")
_YEAR = re.compile(r"[12]\d{3}", re.ASCII)


@dataclass(frozen=True, kw_only=True)
class Source:
    """One row of sources.csv: where a number came from and how it was read.

    `opened_as` is "primary" (read in the source itself), "secondary" (read where others cite
    it) or "memory" (not opened); `note` says which part.
    """

    source_id: str
    kind: str
    authors: str
    year: int
    title: str
    container: str
    identifier: str
    licence: str
    opened_as: str
    note: str

    @property
    def short(self) -> str:
        """Names and year, such as "Gibson and Ashby 1997"."""
        names = [author.split(",")[0].strip() for author in self.authors.split(";")]
        if len(names) > 2:
            return f"{names[0]} et al. {self.year}"
        return f"{' and '.join(names)} {self.year}"


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One row of a reference table: a number with unit, range, basis and reason.

    `low` and `high` are the range that can be believed, None where nobody gave one. `printed`
    keeps the digits of `value` as they stand in the table.
    """

    row_id: str
    table: str
    subject: str
    quantity: str
    value: float
    low: float | None
    high: float | None
    unit: str
    basis: str
    condition: str
    source_id: str
    locator: str
    note: str
    printed: str
    source: Source | None = field(default=None, repr=False)

    def as_fraction(self) -> float:
        """Value as a plain fraction [1], so 5 % gives 0.05; ValueError unless the unit is %."""
        return self.in_unit("%") / 100.0

    def in_unit(self, unit: str) -> float:
        """Value [unit]; ValueError if the row has another unit. Nothing is converted."""
        if unit != self.unit:
            raise ValueError(
                f"{self.quantity} ({self.row_id} in {self.table}.csv) is in {self.unit!r}, "
                f"not in {unit!r}; ask for {self.unit!r}"
            )
        return self.value

    def describe(self) -> str:
        """The row in one plain line: quantity, number, unit and what the number rests on."""
        number = self.printed if self.unit == "1" else f"{self.printed} {self.unit}"
        own = self.basis in ("measured", "derived")
        if self.source is None:
            ground = self.basis if own else f"{self.basis}, no source"
        elif own or self.basis == "published":
            ground = f"{self.basis}: {self.source.short}, {self.locator}"
        else:
            ground = f"{self.basis}; compare {self.source.short}"
        return f"{self.quantity} {number} ({ground})"


def folder() -> Path:
    """Folder of the tables that came with foamcalc; ValueError if they are not there.

    An installed foamcalc carries them inside the package, a checkout has them beside it. The
    inside is looked at first.
    """
    package = Path(__file__).resolve().parent
    places = [package / "reference_tables", package.parent / "reference_tables"]
    for place in places:
        if (place / "sources.csv").is_file():
            return place
    raise ValueError(
        f"no reference tables (sources.csv) in {places[0]} or {places[1]}; "
        "install foamcalc again, or put the folder reference_tables back"
    )


def load(table: str, *, where: str | Path | None = None) -> tuple[Entry, ...]:
    """All rows of one table, in the order of the file."""
    if table not in TABLES:
        raise ValueError(_unknown("table", table, "the reference tables", TABLES))
    return _shipped(folder(), table) if where is None else _read(Path(where), table)


def look_up(table: str, subject: str, quantity: str, *, where: str | Path | None = None) -> Entry:
    """The row for one quantity of one subject; the lowest in the file if there are several."""
    entries = load(table, where=where)
    rows = [entry for entry in entries if entry.subject == subject]
    if not rows:
        known = dict.fromkeys(entry.subject for entry in entries)
        raise ValueError(_unknown(TABLES[table][1], subject, f"{table}.csv", known))
    by_quantity = {entry.quantity: entry for entry in rows}
    if quantity not in by_quantity:
        place = f"{table}.csv for {subject!r}"
        raise ValueError(_unknown("quantity", quantity, place, by_quantity))
    return by_quantity[quantity]


def subjects(table: str) -> tuple[str, ...]:
    """Subjects of a table, each once, in the order of the file."""
    return tuple(dict.fromkeys(entry.subject for entry in load(table)))


def sources(*, where: str | Path | None = None) -> dict[str, Source]:
    """All sources by their source_id; ValueError names every fault in sources.csv."""
    found, faults = _parse_sources(folder() if where is None else Path(where))
    if faults:
        raise ValueError("\n".join(faults))
    return found


def check(place: str | Path) -> list[str]:
    """Every fault in a folder of reference tables, one line each; empty if all is well."""
    place = Path(place)
    known, faults = _parse_sources(place)
    for path in sorted(place.glob("*.csv")):
        if path.stem not in TABLES and path.name != "sources.csv":
            faults.append(f"{path.name}: not a known table; known are {_listed(TABLES)}")
    for table in TABLES:
        faults += _parse_table(place, table, known)[1]
    return faults


@cache
def _shipped(place: Path, table: str) -> tuple[Entry, ...]:
    return _read(place, table)


def _read(place: Path, table: str) -> tuple[Entry, ...]:
    entries, faults = _parse_table(place, table, sources(where=place))
    if faults:
        raise ValueError("\n".join(faults))
    return tuple(entries)


def _unknown(what: str, name: object, place: str, known: Iterable[str]) -> str:
    known = list(known)
    near = get_close_matches(str(name), known, n=1)
    hint = f"did you mean {near[0]!r}? " if near else ""
    return f"unknown {what} {name!r} in {place}; {hint}Known: {_listed(known)}"


def _parse_sources(place: Path) -> tuple[dict[str, Source], list[str]]:
    found: dict[str, Source] = {}
    rows, faults = _read_rows(place / "sources.csv", SOURCE_COLUMNS)
    for line, row in rows:
        wrong = list(_source_faults(row))
        if row["source_id"] in found:
            wrong.append(("source_id", "stands twice; give each source its own id"))
        faults += [_say("sources.csv", line, row, *one) for one in wrong]
        if not wrong:
            year = int(row["year"])
            found[row["source_id"]] = Source(**{**row, "year": year})  # type: ignore[arg-type]
    return found, faults


def _parse_table(
    place: Path, table: str, known: Mapping[str, Source]
) -> tuple[list[Entry], list[str]]:
    entries: list[Entry] = []
    ids: set[str] = set()
    units: dict[str, str] = {}
    rows, faults = _read_rows(place / f"{table}.csv", COLUMNS)
    for line, row in rows:
        wrong = [*_name_faults(row, TABLES[table][0]), *_number_faults(row)]
        wrong += _ground_faults(row, known)
        if row["row_id"] in ids:
            wrong.append(("row_id", "stands twice; give each row its own id"))
        unit = units.setdefault(row["quantity"], row["unit"])
        if unit != row["unit"]:
            wrong.append(("unit", f"differs: {row['quantity']} is in {unit!r} above; use one unit"))
        ids.add(row["row_id"])
        faults += [_say(f"{table}.csv", line, row, *one) for one in wrong]
        if not wrong:
            number = {name: float(row[name]) if row[name] else None for name in _NUMBERS}
            more = {"table": table, "printed": row["value"], "source": known.get(row["source_id"])}
            entries.append(Entry(**{**row, **number, **more}))  # type: ignore[arg-type]
    return entries, faults


# The rules that every row must keep ---------------------------------------------------------------


def _listed(names: Iterable[str]) -> str:
    """Names in quotes, with commas."""
    return ", ".join(repr(name) for name in names)


def _say(name: str, line: int, row: Mapping[str, str], column: str, wrong: str) -> str:
    """One fault with its file, line, column and value."""
    return f"{name}, line {line}, column {column}: {row[column]!r} {wrong}"


def _source_faults(row: Mapping[str, str]) -> Iterator[tuple[str, str]]:
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
            yield column, f"is not known; write one of {_listed(allowed)}"


def _name_faults(row: Mapping[str, str], prefix: str) -> Iterator[tuple[str, str]]:
    """What is wrong with the id, subject, quantity and unit of a row, by column."""
    if not (_DASHED.fullmatch(row["row_id"]) and row["row_id"].startswith(prefix + "-")):
        yield "row_id", f"is no id here; write {prefix}- and then small letters, digits and dashes"
    if not row["subject"]:
        yield "subject", "is empty; say what the number belongs to"
    if not _SNAKE.fullmatch(row["quantity"]):
        yield "quantity", "is no quantity; write small letters, digits and underscores"
    if row["unit"] not in UNITS:
        yield "unit", f"is not known; write one of {_listed(UNITS)} (1 for a plain number)"


def _number_faults(row: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What is wrong with the numbers of a row, by column."""
    numbers = {}
    for column in _NUMBERS:
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


def _ground_faults(
    row: Mapping[str, str], known: Mapping[str, Source]
) -> Iterator[tuple[str, str]]:
    """What is wrong with the basis and the source of a row, by column."""
    basis, source_id = row["basis"], row["source_id"]
    if basis not in BASES:
        yield "basis", f"is not known; write one of {_listed(BASES)}"
    if basis != "published" and not row["note"]:
        yield "note", "is empty; say why the number can be believed, or how it was got"
    if basis == "published" and not source_id:
        yield "source_id", "is empty; a published number needs its source"
    if basis == "common practice" and source_id:
        yield "source_id", "does not belong to common practice; leave it empty or change the basis"
    if source_id and source_id not in known:
        yield (
            "source_id",
            f"is not in sources.csv; add it there, or use one of {_listed(known)}",
        )
    if source_id and not row["locator"]:
        yield "locator", "is empty; say where in the source (page, table, figure)"
    if basis == "published" and source_id in known and known[source_id].opened_as == "memory":
        yield "basis", f"but {source_id} was not opened; open it, or write 'from memory'"


def _cell_faults(row: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for column, cell in row.items():
        if cell[:1] in tuple("=+-@") and not _NUMBER.fullmatch(cell):
            yield column, "looks like a spreadsheet formula; begin with a letter or a digit"
        if cell != cell.strip() or "\n" in cell:
            yield column, "has blanks at an end or a line break; take them out"


def _file_text(path: Path) -> str:
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


def _read_rows(
    path: Path, columns: tuple[str, ...]
) -> tuple[list[tuple[int, dict[str, str]]], list[str]]:
    """Rows with their line numbers, and the faults in the form of the file."""
    rows: list[tuple[int, dict[str, str]]] = []
    faults: list[str] = []
    reader = csv.reader(io.StringIO(""))
    try:
        reader = csv.reader(io.StringIO(_file_text(path), newline=""), strict=True)
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
            faults += [_say(path.name, reader.line_num, row, *one) for one in wrong]
            rows.append((reader.line_num, row))
    except csv.Error as error:
        faults.append(f"{path.name}, line {reader.line_num}: {error}; check the double quotes")
    except ValueError as error:
        faults.append(f"{path.name}: {error}")
    return rows, faults
