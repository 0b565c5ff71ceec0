"""Points of a measured curve from a CSV file: header with unit, one point a line."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamcalc.ask.filled import LENGTHS, Column, Faults, Table, read_text
from foamcalc.units import format_length

_SMALLEST, _LARGEST = 10.0, 5000.0
"""Size of a curve across [mm]; anything else is taken for a wrong unit."""
_FARTHEST = 1e6
"""How far from 0 a point may lie [mm]."""
_POINTS = Table(
    what="a measured curve",
    columns=[
        Column(name=name, units=LENGTHS, must=True, sign="any", empty="measure it, or take the "
               "line out")
        for name in ("x", "y")
    ],
    most=5000,
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class Points:
    """Measured points in order along a curve."""

    x: NDArray[np.float64]
    """To the right [mm], shape (n,)."""
    y: NDArray[np.float64]
    """Up [mm], shape (n,)."""
    unit: str
    """The unit they were written in: mm, cm, m or in."""

    @property
    def xy(self) -> NDArray[np.float64]:
        """Pairs of x and y [mm], shape (n, 2)."""
        return np.column_stack([self.x, self.y])

    def size_text(self) -> str:
        """The size in millimetres and inches, to be compared with the thing itself."""
        wide, high = (
            f"{format_length(s)} ({format_length(s, system='in')})" for s in np.ptp(self.xy, axis=0)
        )
        return f"{wide} wide, {high} high"


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
    faults = Faults(file)
    rows = _POINTS.read(file, faults)
    values: list[Any] = [(row.number("x"), row.number("y")) for row in rows]
    lines = read_text(file, faults).rstrip().splitlines()
    if empty := [n for n, line in enumerate(lines, 1) if not line.strip()]:
        faults.add(empty[0], "", "is empty; take it out (one file holds one curve)")
    faults.raise_any()
    if len(rows) < 2:
        raise faults.stop(f": has {len(rows)} point(s); a curve has two at least")
    (written, factor), (other, second) = rows[0].units["x"], rows[0].units["y"]
    if factor != second:
        said = f": x is in [{written}] and y in [{other}]; write both in one unit"
        raise faults.stop(said)
    unit = next(u for u, mm in LENGTHS.items() if mm == factor)
    for row, pair in zip(rows, values, strict=True):
        for name, place in zip("xy", pair, strict=True):
            if abs(place) > _FARTHEST:
                faults.add(
                    row.line,
                    name,
                    f"{row[name]} {unit} is farther out than any curve of a costume; check the "
                    "number and the unit",
                )
    faults.raise_any()
    x, y = np.array(values, dtype=float).T
    points = Points(x, y, unit)
    if not _SMALLEST <= np.ptp(points.xy, axis=0).max() <= _LARGEST:
        raise faults.stop(
            f": the points are {points.size_text()}, which no curve of a costume is; the unit "
            f"[{unit}] is probably wrong"
        )
    return points
