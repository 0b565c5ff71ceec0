"""The record of a swatch test: how it is read, what it changes in a job, and what is doubtful."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from foamcalc.ask.faults import shown
from foamcalc.ask.filled import FORCES, LENGTHS, TIMES, Column, Faults, Row, Table
from foamcalc.ask.lines import in_words
from foamcalc.fit.limits import Limit
from foamcalc.foam.swatch import Swatch
from foamcalc.foam.swatch.fit import LEAST_FOR_ALPHA, SIDE_WIDTH
from foamcalc.foam.swatch.recovery import unlikely
from foamcalc.foam.swatch.result import MEASURED
from foamcalc.foam.swatch.strips import (
    TESTS,
    WARMTHS,
    ReadingErrors,
    Strip,
    StripReading,
    odd_ones,
    strip_faults,
)

_AS_CUT = ("width", "thickness", "gauge")
_WEIGHED = ("clamp", "strip weight")
MEASURED_ONCE = (*_AS_CUT, *_WEIGHED)
"""Columns that belong to a strip and stay empty after its first row."""
_NOW = "write the time since the load was put on, or since the strip was let go"
RECORD = Table(
    what="a swatch record",
    columns=(
        Column(name="strip", must=True),
        Column(name="test", choices=TESTS),
        Column(name="warmth", choices=WARMTHS),
        *(Column(name=name, units=LENGTHS, must=True, sign="above 0") for name in _AS_CUT),
        *(Column(name=name, units=FORCES) for name in _WEIGHED),
        Column(
            name="load",
            units=FORCES,
            must=True,
            empty="write what hung on the strip, or 0 after it was let go",
        ),
        Column(name="length", units=LENGTHS, must=True, sign="above 0", empty="read it"),
        Column(name="width now", units=LENGTHS, sign="above 0"),
        Column(name="time", units=TIMES, must=True, empty=_NOW),
        Column(name="tore", choices=("no", "yes")),
        Column(name="note"),
    ),
    below_0="write how large it is, and pull or squeeze under test",
)
# The record -------------------------------------------------------------------------------------


def demo_swatch() -> Path:
    """The swatch record of the demo build, invented.

    Returns
    -------
    pathlib.Path
        Where the file lies.

    Examples
    --------
    >>> len(read_swatch(demo_swatch()))
    12
    """
    return Path(__file__).resolve().parent / "demo_build" / "swatch.csv"


def read_swatch(path: str | Path, *, errors: ReadingErrors | None = None) -> tuple[Strip, ...]:
    r"""The strips of a swatch record.

    Parameters
    ----------
    path : path
        A CSV of at most 1 MB and 500 rows, in UTF-8. The first line names the columns with
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
    TableFault
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
    file, errors = Path(path), errors or ReadingErrors()
    faults = Faults(file)
    groups: dict[str, list[Row]] = defaultdict(list)
    for row in RECORD.read(file, faults):
        if row["length"]:
            if not row["strip"]:
                row.fault("strip", "is empty; give every strip a name or a number")
            groups[row["strip"]].append(row)
        elif row["tore"].casefold() == "yes":
            row.fault("length", "is empty; write the last length you saw before it tore")
    faults.raise_any()  # a row that is lost would make its strip look wrong too
    built = [_strip(name, rows) for name, rows in groups.items()]
    faults.raise_any()
    strips = tuple(one for one in built if one is not None)
    if not strips:
        raise faults.stop(" has no row with a length: nothing was read yet")
    for strip in strips:
        for fault in strip_faults(strip, errors):
            row, column = groups[strip.name][fault.reading or 0], fault.what
            cell = f"{row[column]} {row.units[column][0]} of strip {shown(strip.name)}"
            row.fault(column, f"{cell}: {fault.text}")
    faults.raise_any()
    for warmth in WARMTHS:
        for strip, text in odd_ones([s for s in strips if s.warmth == warmth], errors):
            row = groups[strip.name][0]
            row.fault("load", f"{row['load']} {row.units['load'][0]}: {text}")
    faults.raise_any()
    return strips


def _strip(name: str, rows: Sequence[Row]) -> Strip | None:
    """One strip of its rows, measured once and looked at in each; None, with faults."""
    first, before = rows[0], len(rows[0].faults.found)
    sizes = {column: first.number(column) for column in MEASURED_ONCE}
    for column, size in sizes.items():
        if column in _AS_CUT and not first[column]:
            first.fault(column, f"is empty; measure strip {shown(name)} before it")
        for row in rows[1:]:
            if row[column] and row.number(column) != size:
                row.fault(
                    column,
                    f"{shown(row[column])} is not the {shown(first[column])} of line {first.line}; "
                    "a strip is measured once, before it is tested, and another strip has another "
                    "name",
                )
    words = {column: _same_word(rows, column) for column in ("test", "warmth")}
    tore = [row.word("tore") == "yes" for row in rows]
    looks = [[row.number(c) for c in ("load", "length", "time", "width now")] for row in rows]
    if len(first.faults.found) > before:
        return None
    return Strip(
        name=name,
        width=sizes["width"] or 0.0,
        thickness=sizes["thickness"] or 0.0,
        gauge=sizes["gauge"] or 0.0,
        hangs=sizes["clamp"] or 0.0,
        own=sizes["strip weight"] or 0.0,
        tore=any(tore),
        readings=[
            StripReading(load=load or 0.0, length=length or 0.0, time=time or 0.0, width_now=width)
            for load, length, time, width in looks
        ],
        **words,  # type: ignore[arg-type]
    )


def _same_word(rows: Sequence[Row], column: str) -> str:
    """The word that all rows of a strip have, or leave out."""
    found = ""
    for row in rows:
        text = row.word(column)
        if text and found and text != found:
            row.fault(
                column,
                f"{shown(row[column])} is not the {found} of the rows above; give another "
                "strip another name (cold and warm are never mixed)",
            )
        found = found or text
    return found or RECORD.column(column).choices[0]


# What it changes in a job -----------------------------------------------------------------------


def swatch_said(swatch: Swatch) -> tuple[str, ...]:
    """What an answer rests on: the stiffness with its 90 % interval and its kind."""
    e = swatch.modulus
    return (f"modulus {e.value:.2g} MPa ({e.low:.2g} to {e.high:.2g}; {e.basis})",)


def modulus_spread(swatch: Swatch | None) -> float:
    """How much stiffer the foam may be than its law says [1]; 0 where nothing was measured."""
    return 0.0 if swatch is None else swatch.modulus.high / swatch.modulus.value - 1


def stretch_limit(swatch: Swatch | None, usual: Limit) -> Limit:
    """The most that an overlay of this foam may be stretched cold.

    A strip that came back from more than the usual stretch lifts the limit only if it was held
    for half a day: what comes back from a minute may stay long after a night.
    """
    limit = None if swatch is None or swatch.warmth != "cold" else swatch.pull_limit
    if limit is None or (limit.stretch - 1 > usual.value and not limit.overnight):
        return usual
    return Limit(
        value=limit.stretch - 1,
        unit="1",
        basis="measured",
        reason=f"Your strip {limit.strip} came back from it.",
    )


def overnight(swatch: Swatch) -> float | None:
    """Share of a strain that is forgotten by the next day; None if no strip was watched so long."""
    told = swatch.forgets
    return told.share if told is not None and told.overnight else None


# What is doubtful -------------------------------------------------------------------------------

_TIMES_APART = 1.5
"""Reading times farther apart than this factor are spoken of (assumed)."""
_FEW = 3
"""Points below which no slip can be seen."""
_CHANCE = 0.05
"""Chance of a scatter below which it is spoken of."""
_DRIFT = 2.5
"""Standard deviations of a drift from which it is spoken of."""
_SOFT, _STIFF = 0.3, 6.0
"""Modulus [MPa] outside which no grade of foams.csv lies."""
_UNEVEN = 0.10
"""Spread of thickness from which it is spoken of."""
_WANTED = (0.5, 1.5)
"""Stretches between which a law ought to be stable."""


def swatch_notes(swatch: Swatch) -> tuple[str, ...]:
    """What is doubtful about a swatch, and what to measure again, a sentence or two each."""
    about = (_about_points, _about_ways, _about_scatter, _about_bench, _about_law, _about_time)
    return tuple(note for part in about for note in part(swatch))


def _about_points(swatch: Swatch) -> Iterator[str]:
    """Too few strips, strips too narrow, and what the table had to say instead."""
    if len(swatch.points) < _FEW:
        yield (
            f"Only {len(swatch.points)} loads: a slip could not be seen. Hang three more fresh "
            "strips with other loads."
        )
    if len(swatch.alpha) == 1 and swatch.alpha[0].basis != MEASURED:
        yield (
            "How the foam stiffens as it is pulled is from the table; the strips do not tell it. "
            f"Hang {LEAST_FOR_ALPHA} fresh strips at least, to about 5, 10, 15 and 20 % stretch."
        )
    if any(p.basis.startswith("from the table") for p in swatch.poisson):
        again = (
            f"Hang strips at least {SIDE_WIDTH * swatch.errors.width:.0f} mm wide and read the "
            "width as cut and now."
        )
        wide = [s for s in swatch.strips if s.width >= SIDE_WIDTH * swatch.errors.width]
        if any(r.width_now is not None for s in wide for r in s.points(swatch.errors)):
            again = "Read the widths of wide strips at 15 % stretch or more, several times."
        yield f"How much it narrows is from the table, because the widths do not tell it. {again}"


def _about_ways(swatch: Swatch) -> Iterator[str]:
    """Strips that were pulled only, or squeezed only, or too few of one."""
    tests = {strip.test for strip in swatch.strips if strip.loaded}
    if tests == {"pull"}:
        way, test = "squeezed", "Squeeze a block between two boards"
    else:
        way, test = "pulled", "Hang strips"
    if len(tests) == 1:
        yield (
            f"Nothing was {way}: on that side the law is only carried over, and foam may well be "
            f"otherwise there. {test}, with three loads at least."
        )
        return
    yield (
        "The intervals take the foam to be alike along the sheet, where strips are pulled, and "
        "through it, where blocks are squeezed. With blocks 30 % softer they hold the truth one "
        "time in three at best (derived): if only its pull counts, leave the blocks out."
    )
    if len(swatch.alpha) == 1:
        yield (
            "Too few pulls or squeezes for a law with two terms; three of each are wanted. One "
            "term was fitted to all."
        )


def _about_scatter(swatch: Swatch) -> Iterator[str]:
    """Strips that differ more than they may, and strips that drift."""
    off = np.array([p.off for p in swatch.points])
    size = np.log([p.stretch for p in swatch.points])
    if unlikely(swatch.scatter, swatch.left_over, _CHANCE):
        worst = int(np.argmax(np.abs(off)))
        word = "stiffer" if off[worst] * size[worst] > 0 else "softer"
        yield (
            f"The strips scatter {swatch.scatter:.1f} times as much as the stated errors allow; "
            f"the intervals are wider for it. Strip {swatch.points[worst].strip} is farthest off, "
            f"{word} than the others: measure its thickness and its marks again, and do a fresh "
            "one beside it."
        )
    order = np.arange(off.size) - (off.size - 1) / 2
    size = np.abs(size)
    if off.size < 5 or np.ptp(size) == 0 or abs(np.corrcoef(order, size)[0, 1]) > 0.8:
        return
    signs = {strip.name: strip.sign for strip in swatch.strips}
    stiffer = off * [signs[p.strip] for p in swatch.points]
    drift = float(order @ stiffer / np.sqrt(order @ order))
    if abs(drift) > _DRIFT:
        word = "stiffer" if drift > 0 else "softer"
        yield (
            f"Strips look {word} the later they stand in the record. The scale, the room or the "
            "reading time drifted: weigh the bag again, and do the first strip's load once more "
            "with a fresh strip."
        )


def _about_bench(swatch: Swatch) -> Iterator[str]:
    """How the strips were cut, hung and read."""
    strips, errors = swatch.strips, swatch.errors
    times = [max(r.time, 0.1) for s in strips for r in s.points(errors)]
    if max(times) > _TIMES_APART * min(times):
        yield (
            f"First readings were taken from {min(times):g} to {max(times):g} min after loading. "
            "Foam creeps while you look: read every strip at the same minute."
        )
    if stairs := [s.name for s in strips if len(s.points(errors)) > 1]:
        yield (
            f"Strip {in_words(stairs)} carried several loads one after another, so the creep of "
            "the earlier ones is in the later readings. Take a fresh strip for each load."
        )
    if short := [s.name for s in strips if s.sign > 0 and s.gauge < s.width]:
        yield (
            f"Strip {in_words(short)} has its marks closer together than it is wide; its clamps "
            "hold its width and it looks too stiff. Mark at least one width, one width from each "
            "clamp."
        )
    thick = [s.thickness for s in strips if s.test == "pull"]
    if thick and max(thick) > (1 + _UNEVEN) * min(thick):
        yield (
            f"The strips are from {min(thick):g} to {max(thick):g} mm thick: this sheet is "
            "uneven, or they are of two sheets. Do not mix sheets."
        )
    if bare := [s.name for s in strips if s.loaded and s.hangs == 0]:
        yield (
            "No weight of a clamp or a board was given for "
            f"{'any strip' if len(bare) == len(strips) else in_words(bare)}: it was "
            "taken to be in the loads; weigh it if it is not."
        )


def _about_law(swatch: Swatch) -> Iterator[str]:
    """A stiffness unlike any grade, and where the law stops."""
    if swatch.warmth == "warm":
        yield (
            "This is the law of warm foam at the moment of reading. How warm it was is not in the "
            "record; cool foam is stiffer, so never use it for a cold joint."
        )
    if not _SOFT <= swatch.modulus.value <= _STIFF:
        yield (
            f"A modulus of {swatch.modulus.value:.2g} MPa is outside all grades of the table "
            f"({_SOFT:g} to {_STIFF:g}). Check that the load is in the unit the record says: kg "
            "taken for N is 10 times off."
        )
    for width, how in (("free", "With free sides"), ("held", "With its width held")):
        low, high = swatch.law.stable_range(width)  # type: ignore[arg-type]
        if low > _WANTED[0] or high < _WANTED[1]:
            yield (
                f"{how} the law is stable from stretch {low:.2f} to {high:.2f} only; "
                "outside it would take less force for more stretch, and no answer is given there."
            )


def _about_time(swatch: Swatch) -> Iterator[str]:
    """Creep, coming back, and tearing."""
    if swatch.forgets is None:
        yield (
            "What the foam forgets was not tested. Leave one strip hanging under its load and read "
            "it after an hour and after a day."
        )
    elif not swatch.forgets.overnight:
        yield (
            f"What the foam forgets was read over {swatch.forgets.end:g} min only; glue sets "
            "overnight. Leave one strip hanging for a day."
        )
    limit = swatch.pull_limit
    if limit is None:
        yield (
            "There is no working limit: no pulled strip was let go and came back. Let strips go, "
            "and read them at once, after an hour and after a day."
        )
    elif limit.open_end:
        yield (
            f"No strip failed: the working limit may lie above stretch {limit.stretch:.2f}. Pull "
            "some farther, till one tears or stays long."
        )
    if limit is not None and not limit.overnight:
        yield (
            f"Strip {limit.strip} came back from {limit.stretch - 1:.0%} after {limit.held:g} min "
            "under load; glue holds overnight, after which foam comes back less: the usual limit "
            "is not raised for it. To raise it, leave a fresh strip under that load overnight, let "
            "it go, and read it a day later."
        )
    unsure = [
        r.strip
        for r in swatch.recovery
        if r.left and not r.tore and abs(r.left[-1].share - swatch.most_left) < r.left[-1].error
    ]
    if unsure:
        yield (
            f"Whether strip {in_words(unsure)} came back is within the error of reading. Mark a "
            "longer length, and read finer."
        )
