"""The reference tables: every number from outside, with its unit, source and basis.

The tables are plain CSV files in `reference_tables`, described in the README beside them. They are
checked whenever they are read: a faulty row is an error that says where and what to do, never a
number.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from foamcalc.table_rows import (
    COLUMNS,
    SOURCE_COLUMNS,
    TABLES,
    ground_faults,
    listed,
    name_faults,
    number_faults,
    read_rows,
    say,
    source_faults,
)

if TYPE_CHECKING:
    import pandas


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
    _source: Source | None = field(default=None, repr=False)

    @property
    def source(self) -> Source | None:
        """The source of the row, None where it has none."""
        return self._source

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
        if self._source is None:
            ground = self.basis if own else f"{self.basis}, no source"
        elif own or self.basis == "published":
            ground = f"{self.basis}: {self._source.short}, {self.locator}"
        else:
            ground = f"{self.basis}; compare {self._source.short}"
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
    return _shipped(folder(), table) if where is None else _load(Path(where), table)


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


def subjects(table: str, *, where: str | Path | None = None) -> tuple[str, ...]:
    """Subjects of a table, each once, in the order of the file."""
    return tuple(dict.fromkeys(entry.subject for entry in load(table, where=where)))


def sources(*, where: str | Path | None = None) -> dict[str, Source]:
    """All sources by their source_id; ValueError names every fault in sources.csv."""
    found, faults = _parse_sources(folder() if where is None else Path(where))
    if faults:
        raise ValueError("\n".join(faults))
    return found


def frame(table: str, *, where: str | Path | None = None) -> pandas.DataFrame:
    """One table as a pandas DataFrame, indexed by row_id, the unit in its own column."""
    import pandas as pd

    rows = [asdict(entry) for entry in load(table, where=where)]
    data = pd.DataFrame(rows, columns=list(COLUMNS)).set_index("row_id")
    return data.astype({"value": float, "low": float, "high": float})


def check(place: str | Path) -> list[str]:
    """Every fault in a folder of reference tables, one line each; empty if all is well."""
    place = Path(place)
    known, faults = _parse_sources(place)
    for path in sorted(place.glob("*.csv")):
        if path.stem not in TABLES and path.name != "sources.csv":
            faults.append(f"{path.name}: not a known table; known are {listed(TABLES)}")
    for table in TABLES:
        faults += _parse_table(place, table, known)[1]
    return faults


@cache
def _shipped(place: Path, table: str) -> tuple[Entry, ...]:
    return _load(place, table)


def _load(place: Path, table: str) -> tuple[Entry, ...]:
    entries, faults = _parse_table(place, table, sources(where=place))
    if faults:
        raise ValueError("\n".join(faults))
    return tuple(entries)


def _unknown(what: str, name: object, place: str, known: Iterable[str]) -> str:
    known = list(known)
    near = get_close_matches(str(name), known, n=1)
    hint = f"did you mean {near[0]!r}? " if near else ""
    return f"unknown {what} {name!r} in {place}; {hint}Known: {listed(known)}"


def _parse_sources(place: Path) -> tuple[dict[str, Source], list[str]]:
    found: dict[str, Source] = {}
    rows, faults = read_rows(place / "sources.csv", SOURCE_COLUMNS)
    for line, row in rows:
        wrong = list(source_faults(row))
        if row["source_id"] in found:
            wrong.append(("source_id", "stands twice; give each source its own id"))
        faults += [say("sources.csv", line, row, *one) for one in wrong]
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
    rows, faults = read_rows(place / f"{table}.csv", COLUMNS)
    for line, row in rows:
        wrong = [*name_faults(row, TABLES[table][0]), *number_faults(row)]
        wrong += ground_faults(row, {name: s.opened_as for name, s in known.items()})
        if row["row_id"] in ids:
            wrong.append(("row_id", "stands twice; give each row its own id"))
        unit = units.setdefault(row["quantity"], row["unit"])
        if unit != row["unit"]:
            wrong.append(("unit", f"differs: {row['quantity']} is in {unit!r} above; use one unit"))
        ids.add(row["row_id"])
        faults += [say(f"{table}.csv", line, row, *one) for one in wrong]
        if not wrong:
            entries.append(_entry(table, row, known))
    return entries, faults


def _entry(table: str, row: Mapping[str, str], known: Mapping[str, Source]) -> Entry:
    text = {name: row[name] for name in COLUMNS if name not in ("value", "low", "high")}
    return Entry(
        **text,
        table=table,
        value=float(row["value"]),
        low=float(row["low"]) if row["low"] else None,
        high=float(row["high"]) if row["high"] else None,
        printed=row["value"],
        _source=known.get(row["source_id"]),
    )
