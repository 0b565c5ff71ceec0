"""Faults and notes of one job sheet, and a table of it checked key by key."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from typing import Any

from foamcalc.job.faults import MOST_FAULTS, SheetFault, near, shown
from foamcalc.job.rules import bare_beside_inches
from foamcalc.job.sheet.fields import Got, Key, Wrong
from foamcalc.job.sheet.keys import NOT_TAPED, STOCK, TABLES, TableKeys
from foamcalc.units import format_length, is_inch


class Findings:
    """Faults and notes of one sheet, in the order in which they are found."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[str] = []
        self.places: list[str] = []
        """The table of each fault."""
        self.notes: list[str] = []
        self.inches = False
        """Whether a tape reading was in inches."""

    def line(self, table: str, key: str, text: str) -> str:
        """A text with its place before it."""
        return f"{', '.join([self.file, ' '.join(filter(None, (table, key)))]).strip(', ')}: {text}"

    def fault(self, table: str, key: str, text: str) -> None:
        """Add a fault; SheetFault when there are too many to be of use."""
        self.faults.append(self.line(table, key, " ".join(text.split())))
        self.places.append(table)
        if len(self.faults) >= MOST_FAULTS:
            self.faults.append(f"{self.file}: more faults may follow; put these right first")
            raise SheetFault(self.faults)

    def tape(self, mm: float) -> str:
        """A length as the maker's tape shows it."""
        return format_length(mm, system="in") if self.inches else f"{mm:.5g} mm"

    def in_order(self, heads: Iterable[str]) -> list[str]:
        """The faults in the order in which the heads of their tables stand in the sheet."""
        rank: dict[str, int] = {}
        for number, head in enumerate(heads):
            rank.setdefault(head, number)
        order = sorted(range(len(self.faults)), key=lambda i: rank.get(self.places[i], -1))
        return [self.faults[i] for i in order]

    def note(self, table: str, key: str, text: str) -> None:
        """Add a note: something to know that is no fault."""
        self.notes.append(self.line(table, key, text))


class Table:
    """One table of the sheet: the values that are sound, by key."""

    def __init__(self, found: Findings, place: str) -> None:
        self.found = found
        self.place = place
        self.values: dict[str, Any] = {}
        self.written: set[str] = set()
        """Keys that were written, sound or not, and those that a misspelt key was meant for."""
        self.sound = True

    def fault(self, key: str, text: str) -> None:
        """Add a fault of this table."""
        self.sound = False
        self.found.fault(self.place, key, text)

    def faults_of(self, key: str, error: Exception) -> None:
        """Add the faults that another part found, one a line."""
        for line in str(error).splitlines() or ["cannot be used"]:
            self.fault(key, line)

    def get(self, key: str, default: Any = None) -> Any:
        """The sound value of a key."""
        return self.values.get(key, default)


def heading(kind: str, name: str | None = None) -> str:
    """The head of a table as the maker wrote it."""
    if name is None:
        return f"[{kind}]"
    bare = re.fullmatch(r"[A-Za-z0-9_-]+", name)
    return f"[{kind}.{name if bare else _quoted(name)}]"


def _quoted(name: str) -> str:
    text = "".join(c if c.isprintable() else "?" for c in name[:60])
    return f'"{text}"'


def overlay_heading(name: object, number: int) -> str:
    """The head of an overlay, with its name, or its number where it has none."""
    return list_heading("overlay", name, number)


def list_heading(kind: str, name: object, number: int) -> str:
    """The head of one table of several of a kind, with its name, or its number where it has none.

    Examples
    --------
    >>> list_heading("seam", " knee cup ", 1), list_heading("seam", None, 2)
    ('[[seam]] "knee cup"', '[[seam]] number 2')
    """
    said = name.strip() if isinstance(name, str) else ""
    return f"[[{kind}]] {_quoted(said)}" if said else f"[[{kind}]] number {number}"


def check_table(found: Findings, kind: str, raw: Mapping[str, object], place: str) -> Table:
    """Read every key of a table and say what is wrong with it."""
    keys = TABLES[kind]
    table = Table(found, place)
    lengths: dict[str, Any] = {}
    for name, value in raw.items():
        key = next((key for key in keys.keys if key.name == name), None)
        if key is None:
            _unknown(table, keys, name, raw)
            continue
        table.written.add(name)
        got = _read(table, key, value)
        if got is not None:
            table.values[name] = got.value
            lengths |= _texts(name, got)
            _note_tolerances(table, name, got)
    mixed = bare_beside_inches(lengths)
    if mixed is not None:
        table.fault(*mixed)
    found.inches |= kind not in NOT_TAPED and any(
        is_inch(text) for name, text in lengths.items() if name.partition(" ")[0] not in STOCK
    )
    for key in keys.keys:
        if key.required and key.name not in table.written:
            table.fault(
                key.name, f"is missing: {key.what}; write for example {key.name} = {key.example}"
            )
    return table


def _read(table: Table, key: Key, value: object) -> Got | None:
    """The meaning of a value; None if it has none, and the fault is added."""
    try:
        return key.kind.read(value, key.name)
    except Wrong as fault:
        table.fault(key.name, f"{fault}; write for example {key.name} = {key.example}")
    except (ValueError, TypeError) as fault:
        table.fault(key.name, str(fault))
    return None


def _texts(name: str, got: Got) -> dict[str, str]:
    """The lengths of a key as typed; an exact 0 is 0 in every unit and is left out."""
    many = len(got.lengths) > 1
    return {
        f"{name} entry {number}" if many else name: reading.text
        for number, reading in enumerate(got.lengths, 1)
        if reading.value or reading.tolerance
    }


def _note_tolerances(table: Table, name: str, got: Got) -> None:
    for reading in got.lengths:
        if reading.tolerance:
            table.found.note(table.place, name, f"± {reading.tolerance:.4g} mm read, not used yet")
    for reading in got.angles:
        if reading.tolerance:
            degrees = math.degrees(reading.tolerance)
            table.found.note(table.place, name, f"± {degrees:.4g}° read, not used yet")


def _unknown(table: Table, keys: TableKeys, name: str, raw: Mapping[str, object]) -> None:
    """A key that this table does not have: the near one, or the table it belongs to."""
    known = [key.name for key in keys.keys]
    guess = near(name, [key for key in known if key not in raw])
    label = name if re.fullmatch(r"[A-Za-z0-9_-]{1,60}", name) else shown(name)
    if guess is not None:
        table.written.add(guess)
        table.fault(label, f"is no key here; did you mean {guess}?")
        return
    others = [t.head for t in TABLES.values() if name in (key.name for key in t.keys)]
    if others:
        table.fault(label, f"is no key here; it belongs to {' or '.join(others)}")
        return
    table.fault(label, f"is no key here; known are {', '.join(known)}")
