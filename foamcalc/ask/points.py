"""Points of a measured curve from a CSV file: header with unit, one point a line."""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from foamcalc.ask.filled import cell_number, comma_fault, has_number
from foamcalc.units import format_length, read_length

Floats = NDArray[np.float64]

_BIGGEST = 1_000_000
_MOST = 5000
_SHOWN = 10
"""Faults told in one go."""
_SMALLEST, _LARGEST = 10.0, 5000.0
"""Size of a curve across [mm]; anything else is taken for a wrong unit."""
_FARTHEST = 1e6
"""How far from 0 a point may lie [mm]."""
_UNITS = {1.0: "mm", 10.0: "cm", 1000.0: "m", 25.4: "in"}
_SEPARATORS = (",", ";", "\t")
_LONGEST_HEAD = 60
_HEAD = re.compile(r"(?P<name>[A-Za-z]+)\s*(?:[\[(]\s*(?P<unit>[^\])]*?)\s*[\])])?")
_EXAMPLE = "x [mm],y [mm]"


@dataclass(frozen=True, eq=False)
class Points:
    """Measured points in order along a curve."""

    x: Floats
    """To the right [mm], shape (n,)."""
    y: Floats
    """Up [mm], shape (n,)."""
    unit: str
    """The unit they were written in: mm, cm, m or in."""

    @property
    def xy(self) -> Floats:
        """Pairs of x and y [mm], shape (n, 2)."""
        return np.column_stack([self.x, self.y])

    @property
    def size(self) -> tuple[float, float]:
        """How wide and how high the curve is [mm]."""
        return float(np.ptp(self.x)), float(np.ptp(self.y))

    def size_text(self) -> str:
        """The size in millimetres and inches, to be compared with the thing itself."""
        wide, high = (f"{format_length(s)} ({format_length(s, system='in')})" for s in self.size)
        return f"{wide} wide, {high} high"


class _Fault(Exception):
    """What is wrong and its remedy, before the name of the file is added."""


def read_points(path: str | Path) -> Points:
    r"""Read the points of a measured curve.

    Parameters
    ----------
    path : path
        A CSV file of at most 1 MB. The first line names both columns and their unit, as in
        ``x [mm],y [mm]`` (mm, cm, m or in); each line after it is one point, in order along the
        curve, at most 5000. Commas, semicolons or tabs stand between; numbers have a decimal
        point. Lines that begin with # are notes.

    Returns
    -------
    Points
        In mm, whatever the file says.

    Raises
    ------
    ValueError
        With file, line, column, value and remedy; faults of several lines are told together.
        Also if the curve is larger than 5 m or smaller than 10 mm across, for then the unit is
        wrong.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = Path(folder) / "back_contour.csv"
    ...     _ = file.write_text("x [in],y [in]\n0,0\n5,2.5\n10,0\n")
    ...     points = read_points(file)
    >>> points.x
    array([  0., 127., 254.])
    >>> print(points.size_text())
    254 mm (10 in) wide, 64 mm (2 1/2 in) high
    """
    file = Path(path)
    try:
        return _points(_rows(_text(file)))
    except _Fault as fault:
        name = "".join(c if c.isprintable() else "?" for c in file.name or str(file))
        raise ValueError("\n".join(f"{name}{line}" for line in str(fault).split("\n"))) from None


def _text(file: Path) -> str:
    """The text of a file that may come from anywhere."""
    if file.exists() and not (file.is_file() or file.is_dir()):
        raise _Fault(": is not a plain file; name a CSV file")
    try:
        with file.open("rb") as stream:
            raw = stream.read(_BIGGEST + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "no file name"
        raise _Fault(f": cannot be read ({reason}); check its name and folder") from None
    if len(raw) > _BIGGEST:
        raise _Fault(f": is over {_BIGGEST:,} bytes; a measured curve has {_MOST} points at most")
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff") or (b"\0" in raw and raw.count(b"\0") * 3 > len(raw)):
        raise _Fault(": is written in UTF-16 (Unicode text); save it as CSV, UTF-8")
    if b"\0" in raw:
        raise _Fault(": is no text; save the points as CSV, UTF-8")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = len(re.split(rb"\r\n|\n|\r", raw[: error.start]))
        raise _Fault(
            f", line {line}: byte {raw[error.start]:#04x} is no UTF-8 text; save the points as "
            "CSV, UTF-8"
        ) from None


def _rows(text: str) -> list[tuple[int, str]]:
    """Lines that say something, with their numbers; an empty line only at the end."""
    lines = re.split(r"\r\n|\n|\r", text)
    while lines and not lines[-1].strip():
        lines.pop()
    rows = [(i, line) for i, line in enumerate(lines, 1) if not line.lstrip().startswith("#")]
    empty = [i for i, line in rows if not line.strip()]
    if empty:
        raise _Fault(f", line {empty[0]}: is empty; take it out (one file holds one curve)")
    if not rows:
        raise _Fault(f": is empty; write {_EXAMPLE} and one point a line")
    return rows


def _points(rows: list[tuple[int, str]]) -> Points:
    """Points from numbered lines, the first of them the header."""
    separator, names, unit, factor = _header(*rows[0])
    if len(rows) - 1 > _MOST:
        raise _Fault(f", line {rows[_MOST + 1][0]}: is point {_MOST + 1}; {_MOST} are the most")
    values: dict[str, list[float]] = {name: [] for name in names}
    faults: list[str] = []
    for number, line in rows[1:]:
        try:
            for name, value in zip(names, _numbers(number, line, separator, names), strict=True):
                if abs(value * factor) > _FARTHEST:
                    raise _Fault(
                        f", line {number}, column {name}: {value:g} {unit} is farther out than any "
                        "curve of a costume; check the number and the unit"
                    )
                values[name].append(value * factor)
        except _Fault as fault:
            faults.append(str(fault))
    if faults:
        more = len(faults) - _SHOWN
        raise _Fault("\n".join(faults[:_SHOWN] + [f": and {more} more"] * (more > 0)))
    if len(rows) < 3:
        raise _Fault(f": has {len(rows) - 1} point(s); a curve has two at least")
    points = Points(np.array(values["x"]), np.array(values["y"]), unit)
    across = max(points.size)
    if not _SMALLEST <= across <= _LARGEST:
        raise _Fault(
            f", line {rows[0][0]}: the points are {points.size_text()}, which no curve of a "
            f"costume is; the unit [{unit}] is probably wrong"
        )
    return points


def _header(number: int, line: str) -> tuple[str, tuple[str, str], str, float]:
    """Separator, names in the order of the columns, unit, and millimetres in it."""
    for separator in _SEPARATORS:
        cells = _cells(number, line, separator)
        if len(cells) > 1:
            break
    where = f", line {number}"
    if has_number(cells):
        raise _Fault(f"{where}: there is no header; write {_EXAMPLE} above the first point")
    names, units = [], {}
    for column, cell in enumerate(cells, 1):
        head = _HEAD.fullmatch(cell) if len(cell) <= _LONGEST_HEAD else None
        name = head["name"].lower() if head else ""
        if head is None or name not in ("x", "y"):
            raise _Fault(
                f"{where}, column {column}: {_short(cell)} is neither x nor y; write two columns, "
                f"{_EXAMPLE}"
            )
        names.append(name)
        units[name] = head["unit"] or ""
    if sorted(names) != ["x", "y"]:
        raise _Fault(f"{where}: {_short(line)} must name x and y once each; write {_EXAMPLE}")
    factors = {name: _factor(where, name, unit) for name, unit in units.items()}
    if factors["x"] != factors["y"]:
        raise _Fault(
            f"{where}: x is in [{units['x']}] and y in [{units['y']}]; write both in one unit"
        )
    return separator, (names[0], names[1]), _UNITS[factors["x"]], factors["x"]


def _factor(where: str, name: str, unit: str) -> float:
    """Millimetres in a unit."""
    if not unit:
        raise _Fault(f"{where}, column {name}: has no unit; write {name} [mm] or {name} [in]")
    try:
        value = read_length(f"1 {unit}", name=name).value if unit.isalpha() else math.nan
    except ValueError:
        value = math.nan
    if value not in _UNITS:
        raise _Fault(
            f"{where}, column {name}: the unit {_short(unit)} is not known here; write one of "
            f"{', '.join(_UNITS.values())}"
        )
    return value


def _numbers(number: int, line: str, separator: str, names: tuple[str, str]) -> Iterator[float]:
    """The two numbers of one line."""
    cells = _cells(number, line, separator)
    where = f", line {number}"
    if len(cells) != 2:
        hint = (
            "; if its commas are decimal commas, write decimal points"
            if separator == "," and len(cells) in (3, 4)
            else ""
        )
        raise _Fault(
            f"{where}: {_short(line)} has {len(cells)} column(s) instead of 2 (x and y){hint}"
        )
    for name, cell in zip(names, cells, strict=True):
        value = cell_number(cell)
        if value is not None:
            yield value
            continue
        wrong = "is not a finite number; write digits with a decimal point, no unit"
        if not cell:
            wrong = "is empty; measure it, or take the line out"
        raise _Fault(f"{where}, column {name}: {_short(cell)} {comma_fault(cell) or wrong}")


def _cells(number: int, line: str, separator: str) -> list[str]:
    """The cells of one line, without blanks round them."""
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=separator, strict=True))]
    except (csv.Error, StopIteration) as error:
        raise _Fault(f", line {number}: {_short(line)}: {error}; check the quotes") from None


def _short(text: str) -> str:
    """A text in quotes, cut short so that the error stays readable."""
    return repr(text if len(text) <= 40 else text[:37] + "...")
