"""The swatch record: strips that a maker tested, read from a CSV and checked line by line."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from foamcalc.ask.faults import near, shown
from foamcalc.ask.filled import Faults
from foamcalc.ask.swatch.guide import blank_swatch, loads_for, swatch_instructions
from foamcalc.ask.swatch.rows import Row, SwatchFault, read_rows
from foamcalc.foam.swatch.checks import odd_ones, strip_faults
from foamcalc.foam.swatch.strips import TESTS, WARMTHS, ReadingErrors, Strip, StripReading

__all__ = [
    "SwatchFault",
    "blank_swatch",
    "demo_swatch",
    "loads_for",
    "read_swatch",
    "swatch_instructions",
]

_AS_CUT = ("width", "thickness", "gauge", "clamp", "strip weight")
"""Columns that belong to a strip and may be left empty after its first row."""


def demo_swatch() -> Path:
    """The swatch record of the demo build, invented.

    Examples
    --------
    >>> len(read_swatch(demo_swatch()))
    12
    """
    return Path(__file__).resolve().parents[1] / "demo_build" / "swatch.csv"


def read_swatch(path: str | Path, *, errors: ReadingErrors | None = None) -> tuple[Strip, ...]:
    r"""The strips of a swatch record.

    Parameters
    ----------
    path : path
        A CSV of at most 1 MB and 500 filled rows, in UTF-8. The first line names the columns with
        their units (mm, cm, m, in; N, g, kg; s, min, h, d); each line after it is one look at one
        strip. Load 0: after it was let go. Lines that begin with # are notes; rows without a
        length have not been read yet.
    errors : ReadingErrors, optional
        How far readings may be off, for what cannot be right.

    Returns
    -------
    tuple of Strip
        In the order of the file, cold and warm.

    Raises
    ------
    SwatchFault
        With every fault of its content, one line each, or with the one fault of its form.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = Path(folder) / "swatch.csv"
    ...     _ = file.write_text("strip,width [mm],thickness [mm],gauge [mm],load [kg],length [mm],"
    ...                         "time [min]\nA,60,4.9,150,3.5,159,1\nA,,,,0,150.5,60\n")
    ...     (strip,) = read_swatch(file)
    >>> print(f"{strip.stress(strip.readings[0]):.4f} MPa")
    0.1167 MPa
    """
    file = Path(path)
    faults = Faults(file.name or str(file), SwatchFault)
    groups: dict[str, list[Row]] = {}
    for row in read_rows(file, faults):
        name = row.texts.get("strip", "")
        if not name:
            faults.add(row.line, "strip", "is empty; give every strip a name or a number")
        groups.setdefault(name, []).append(row)
    faults.raise_any()  # a row that is lost would make its strip look wrong too
    built = [_strip(name, rows, faults) for name, rows in groups.items()]
    faults.raise_any()
    strips = [one for one in built if one is not None]
    if not strips:
        raise faults.stop(" has no row with a length: nothing was read yet")
    _check(strips, groups, errors or ReadingErrors(), faults)
    return tuple(strips)


def _check(
    strips: list[Strip], groups: dict[str, list[Row]], errors: ReadingErrors, faults: Faults
) -> None:
    """SwatchFault for what cannot be right, each with its line."""
    for strip in strips:
        rows = groups[strip.name]
        for fault in strip_faults(strip, errors):
            row = rows[fault.reading or 0]
            cell = f"{row.texts[fault.what]} {row.heads[fault.what].unit}"
            faults.add(row.line, fault.what, f"{cell} of strip {shown(strip.name)}: {fault.text}")
    faults.raise_any()
    for warmth in WARMTHS:
        for strip, text in odd_ones([s for s in strips if s.warmth == warmth], errors):
            row = groups[strip.name][0]
            faults.add(row.line, "load", f"{row.texts['load']} {row.heads['load'].unit}: {text}")
    faults.raise_any()


def _strip(name: str, rows: list[Row], faults: Faults) -> Strip | None:
    """One strip of its rows; None, with faults, where something is missing."""
    before = len(faults.found)
    first = rows[0]
    as_cut: dict[str, float] = {}
    for column in _AS_CUT:
        value = first.number(column, faults)
        if value is None and column in ("width", "thickness", "gauge"):
            if not first.texts.get(column):
                faults.add(first.line, column, f"is empty; measure strip {shown(name)} before it")
        elif value == 0 and column in ("width", "thickness", "gauge"):
            faults.add(first.line, column, f"{shown(first.texts[column])} must be above 0")
        else:
            as_cut[column] = value or 0.0
        _same(rows, column, value, faults)
    words = {
        column: _word(rows, column, choices, faults)
        for column, choices in (("test", TESTS), ("warmth", WARMTHS), ("tore", ("no", "yes")))
    }
    readings = [_reading(row, faults) for row in rows]
    if len(faults.found) > before:
        return None
    return Strip(
        name=name,
        width=as_cut["width"],
        thickness=as_cut["thickness"],
        gauge=as_cut["gauge"],
        hangs=as_cut["clamp"],
        own=as_cut["strip weight"],
        test=words["test"],  # type: ignore[arg-type]
        warmth=words["warmth"],  # type: ignore[arg-type]
        tore=words["tore"] == "yes",
        readings=tuple(r for r in readings if r is not None),
    )


def _same(rows: list[Row], column: str, first: float | None, faults: Faults) -> None:
    """Faults where a strip as cut is another one in a later row."""
    told = rows[0].texts.get(column, "")
    for row in rows[1:]:
        text = row.texts.get(column, "")
        if text and row.number(column, faults) != first:
            faults.add(
                row.line,
                column,
                f"{shown(text)} is not the {shown(told)} of line {rows[0].line}; a strip is "
                "measured once, before it is tested, and another strip has another name",
            )


def _word(rows: list[Row], column: str, choices: Sequence[str], faults: Faults) -> str:
    """One of a few words; the first of them where nothing is written."""
    found: list[str] = []
    for row in rows:
        text = row.texts.get(column, "").casefold()
        if not text:
            continue
        if text not in choices:
            guess = near(text, choices)
            hint = f"did you mean {guess}?" if guess else f"write {' or '.join(choices)}"
            faults.add(row.line, column, f"{shown(row.texts[column])} is not known; {hint}")
        elif column != "tore" and found and text != found[0]:
            faults.add(
                row.line,
                column,
                f"{shown(row.texts[column])} is not the {found[0]} of the rows above; give another "
                "strip another name (cold and warm are never mixed)",
            )
        else:
            found.append(text)
    return "yes" if "yes" in found else found[0] if found else choices[0]


def _reading(row: Row, faults: Faults) -> StripReading | None:
    """One look; None, with faults, where a cell is missing."""
    values = {}
    for column, empty in (
        ("load", "write what hung on the strip, or 0 after it was let go"),
        ("length", "read it"),
        ("time", "write the time since the load was put on, or since the strip was let go"),
    ):
        value = row.number(column, faults)
        if value is not None:
            values[column] = value
        elif not row.texts.get(column):
            faults.add(row.line, column, f"is empty; {empty}")
    width = row.number("width now", faults)
    for column, value in (("length", values.get("length")), ("width now", width)):
        if value == 0:
            faults.add(row.line, column, f"{shown(row.texts[column])} must be above 0")
            return None
    if len(values) < 3:
        return None
    return StripReading(
        load=values["load"], length=values["length"], time=values["time"], width_now=width
    )
