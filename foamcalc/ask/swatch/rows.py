"""The rows of a swatch record: a CSV that a maker filled in, as any spreadsheet saves it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from foamcalc.ask.faults import SheetFault, near, shown
from foamcalc.ask.filled import (
    DECIMAL_COMMA,
    Faults,
    at_most_rows,
    by_head,
    cell_number,
    comma_fault,
    has_number,
    read_cells,
    read_text,
)
from foamcalc.units import GRAVITY

LENGTHS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4}
FORCES = {"N": 1.0, "g": GRAVITY / 1000, "kg": GRAVITY}
TIMES = {"s": 1 / 60, "min": 1.0, "h": 60.0, "d": 1440.0}
"""How many mm, N or minutes one of each unit is."""

UNITS: dict[str, dict[str, float] | None] = {
    "strip": None,
    "test": None,
    "warmth": None,
    "width": LENGTHS,
    "thickness": LENGTHS,
    "gauge": LENGTHS,
    "clamp": FORCES,
    "strip weight": FORCES,
    "load": FORCES,
    "length": LENGTHS,
    "width now": LENGTHS,
    "time": TIMES,
    "tore": None,
    "note": None,
}
"""Every column with the units that may stand in its head; None: no unit."""
NEEDED = ("strip", "width", "thickness", "gauge", "load", "length", "time")
EXAMPLE = "strip,width [mm],thickness [mm],gauge [mm],load [kg],length [mm],time [min]"

_HEAD = re.compile(r"(?P<name>[^\[(]*?)\s*(?:[\[(]\s*(?P<unit>[^\])]*?)\s*[\])])?")


class SwatchFault(SheetFault):
    """What is wrong with a swatch record: every fault of its content, or the one of its form.

    Parameters
    ----------
    faults : iterable of str
        One line each: file, line, column, value, remedy.
    """


@dataclass(frozen=True)
class Head:
    """One column: its name, its unit as written, and its factor to mm, N or minutes."""

    name: str
    unit: str
    factor: float


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row in which a length was read."""

    line: int
    texts: dict[str, str]
    """Cells by column, without blanks round them; columns that are not there are empty."""
    heads: dict[str, Head]

    def number(self, column: str, faults: Faults) -> float | None:
        """A cell in mm, N or minutes; None if it is empty or, with a fault, no number."""
        text = self.texts.get(column, "")
        if not text:
            return None
        head, value = self.heads[column], cell_number(text)
        if value is not None and value >= 0:
            return value * head.factor
        wrong = f"is not a finite number; write digits, the unit [{head.unit}] is in the head"
        if value is not None:
            wrong = "is below 0; write how large it is, and pull or squeeze under test"
        faults.add(self.line, column, f"{shown(text)} {comma_fault(text) or wrong}")
        return None


def read_rows(path: Path, faults: Faults) -> list[Row]:
    """The rows of a record in which a length, a load or a tear is noted."""
    table = read_cells(read_text(path, faults), faults, remarks=True)
    if not table:
        raise faults.stop(f" is empty: write {EXAMPLE} and a reading a line")
    _refuse_commas(table[1:], faults)
    heads = _heads(*table[0], faults)
    by_name = {head.name: head for head in heads}
    rows = []
    for line, texts in by_head(table[1:], list(by_name), faults):
        if texts.get("length"):
            rows.append(Row(line=line, texts=texts, heads=by_name))
        elif texts.get("tore", "").casefold() == "yes":
            faults.add(line, "length", "is empty; write the last length you saw before it tore")
    at_most_rows(rows, faults)
    return rows


def _refuse_commas(table: list[tuple[int, list[str]]], faults: Faults) -> None:
    """One fault for a table that is written with decimal commas throughout."""
    found = [
        (line, cell) for line, cells in table for cell in cells if DECIMAL_COMMA.fullmatch(cell)
    ]
    if len(found) > 1:
        line, cell = found[0]
        others = f"have {len(found) - 1} more cells" if len(found) > 2 else "has one more cell"
        raise faults.stop(
            f", line {line}: {shown(cell)} has a decimal comma, and so {others}; replace every "
            "comma in a number by a point"
        )


def _heads(line: int, cells: list[str], faults: Faults) -> list[Head]:
    """The columns; SwatchFault if they are not those of a record, or a unit is missing."""
    if has_number(cells):
        raise faults.stop(f", line {line}: there is no head; write {EXAMPLE}")
    heads = [_head(line, cell, faults) for cell in cells]
    names = [head.name for head in heads]
    for name in dict.fromkeys(names):
        if names.count(name) > 1:
            faults.add(line, name, f"stands {names.count(name)} times; keep one")
        elif name not in UNITS:
            guess = near(name, [known for known in UNITS if known not in names])
            known = ", ".join(UNITS)
            hint = f"did you mean {guess}?" if guess else f"known are {known}"
            faults.add(line, "", f"{shown(name)} is no column of a swatch record; {hint}")
    missing = [name for name in NEEDED if name not in names]
    if missing and not faults.found:
        faults.add(line, "", f"{' and '.join(missing)} missing; write {EXAMPLE}")
    faults.raise_any()
    return heads


def _head(line: int, cell: str, faults: Faults) -> Head:
    """One column's name and unit, with a fault where the unit is missing or not known."""
    found = _HEAD.fullmatch(cell)
    name = " ".join((found["name"] if found else cell).split()).casefold()
    unit = (found["unit"] if found else "") or ""
    known = UNITS.get(name)
    if known is None:
        if unit and name in UNITS:
            faults.add(line, name, f"has a unit, {shown(unit)}, but is a word; leave it out")
        return Head(name, "", 1.0)
    example = f"{name} [{next(iter(known))}]"
    if not unit:
        faults.add(line, name, f"has no unit; write {example} (one of {', '.join(known)})")
    elif unit not in known:
        right = next((u for u in known if u.casefold() == unit.casefold()), None)
        hint = f"write {right}" if right else f"write one of {', '.join(known)}"
        if right is None and known is FORCES:
            hint += "; 1 lb is 0.4536 kg and 1 oz is 28.35 g"
        faults.add(line, name, f"the unit {shown(unit)} is not known here; {hint}")
    return Head(name, unit, known.get(unit, 1.0))
