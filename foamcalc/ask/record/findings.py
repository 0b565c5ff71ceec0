"""A record read and judged, row by row, and written out blank."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from foamcalc.ask.faults import shown
from foamcalc.ask.filled import Faults
from foamcalc.ask.lines import clipped, wrapped
from foamcalc.ask.output import csv_bytes
from foamcalc.ask.plan import Plan, PlannedJoint
from foamcalc.ask.record.overlay import Judgement, judge_length, judge_lift
from foamcalc.ask.record.rows import COLUMNS, RecordFault, Row, read_rows
from foamcalc.ask.record.shell import Released, judge_night, judge_release
from foamcalc.ask.record.things import (
    NEXT_DAY,
    Thing,
    reading_of,
    refuse_bare,
    slip,
    thing_of,
    things_of,
)
from foamcalc.fit.limits import tape_reading
from foamcalc.units import Reading, System, format_length

_PIECE = 28
_HEAD = f"{'':2}{'piece':{_PIECE}}{'what':16}{'predicted':>14}{'happened':>14}{'off':>14}"


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing that was noted after gluing, against what the plan predicted."""

    piece: str
    what: str
    """length, lift, mouth, girth, mouth next day or girth next day."""
    predicted: float
    """In mm; derived, from the plan."""
    happened: float
    """In mm; measured, by the maker."""
    note: str
    """The maker's own words."""
    judgement: Judgement

    @property
    def off(self) -> float:
        """Happened minus predicted [mm]."""
        return self.happened - self.predicted


def record_path(sheet: str | Path) -> Path:
    """The record that belongs to a job sheet, beside it."""
    path = Path(sheet)
    return path.with_name(f"{path.stem}_try_on.csv")


def blank_record(plan: Plan) -> bytes:
    """The record to fill in after gluing.

    Parameters
    ----------
    plan : Plan
        From `foamcalc.ask.plan.plan`.

    Returns
    -------
    bytes
        CSV as from `foamcalc.ask.output.csv_bytes`; one row for each thing worth noting, with
        what is predicted, and happened left empty.

    Notes
    -----
    happened is a reading with its unit, as on a tape: ``268 mm``, ``10 1/2 in``. Rows where it
    stays empty are skipped, and what stands under predicted is worked out again. A row may stand
    twice for two readings.
    """
    system = plan.sheet.system
    rows = [
        (
            t.piece,
            t.what,
            format_length(t.predicted, system=system),
            "",
            "standing on its end" if t.what.startswith("mouth") else "",
        )
        for t in things_of(plan)
        if t.offered
    ]
    return csv_bytes(COLUMNS, rows)


def read_record(path: str | Path, plan: Plan) -> tuple[Finding, ...]:
    r"""What a filled record says about the plan.

    Parameters
    ----------
    path : path
        A CSV of at most 1 MB and 500 filled rows, in UTF-8, as a spreadsheet saves it: commas,
        semicolons or tabs between the cells.
    plan : Plan
        The plan of the same job sheet.

    Returns
    -------
    tuple of Finding
        In the order of the file; several readings of one thing are each judged.

    Raises
    ------
    RecordFault
        With every fault of its content, one line each, or with the one fault of its form.

    Notes
    -----
    A reading that is off by no more than a tape reading, or than the ± written beside it, agrees.
    The night of a shell starts from its mouth as it was noted when let go (the last reading of
    it), so that one error is not blamed on two numbers.

    Examples
    --------
    5 mm over half a turn; the piece had to be longer than with its fibre in the middle:

    >>> import tempfile
    >>> from foamcalc.ask.plan import plan
    >>> from foamcalc.ask.sheet import parse_sheet
    >>> build = plan(parse_sheet('''
    ... [[overlay]]
    ... name = "knee cup cover"
    ... needed = 188
    ... base = 10
    ... thickness = 5
    ... turn = "180 deg"
    ... ''', "."))
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = record_path(Path(folder) / "knee.toml")
    ...     _ = file.write_text("piece,what,happened\nknee cup cover,length,198 mm\n")
    ...     (found,) = read_record(file, build)
    >>> print(f"{found.predicted:.1f} mm predicted; fibre {found.judgement.implied:.2f}")
    195.9 mm predicted; fibre 0.64
    """
    file = Path(path)
    faults = Faults(file.name or str(file), RecordFault)
    rows = read_rows(file, faults)
    things = things_of(plan)
    taken = [(row, thing_of(row, things, faults), reading_of(row, faults)) for row in rows]
    refuse_bare(taken, plan.sheet.system, faults)
    for row, thing, reading in taken:
        if thing and reading and (wrong := slip(thing, reading, plan.sheet.system)):
            faults.add(row.line, "happened", f"{shown(row.happened)} {wrong}")
    faults.raise_any()
    return _judged([(r, t, x) for r, t, x in taken if t and x], plan.sheet.system)


def _judged(taken: Sequence[tuple[Row, Thing, Reading]], system: System) -> tuple[Finding, ...]:
    tape = tape_reading()
    found: dict[int, Judgement] = {}
    released: dict[int, Released] = {}
    at_once = [i for i, (_, thing, _) in enumerate(taken) if not thing.what.endswith(NEXT_DAY)]
    later = [i for i in range(len(taken)) if i not in at_once]
    for i in (*at_once, *later):
        _, thing, reading = taken[i]
        error, about = max(tape, reading.tolerance), thing.about
        if isinstance(about, PlannedJoint):
            if thing.what == "lift":
                found[i] = judge_lift(about, reading.value, error=error)
            else:
                found[i] = judge_length(about, reading.value, error=error, system=system)
        elif i in at_once:
            found[i] = judge_release(about, reading.value, error=error, system=system)
            released[id(about)] = Released(size=reading.value, judgement=found[i])
        else:
            first = released.get(id(about))
            found[i] = judge_night(about, reading.value, first, error=error, system=system)
    return tuple(
        Finding(
            piece=thing.piece,
            what=thing.what,
            predicted=thing.predicted,
            happened=reading.value,
            note=row.note,
            judgement=found[i],
        )
        for i, (row, thing, reading) in enumerate(taken)
    )


def record_lines(findings: Sequence[Finding], system: System) -> list[str]:
    """A record as a maker reads it on the terminal.

    Parameters
    ----------
    findings : sequence of Finding
        From `read_record`.
    system : {"mm", "in"}
        Units to speak in.

    Returns
    -------
    list of str
        Each thing with what was predicted, what was measured, how far it was off, and under it
        what that says; at most 96 signs wide.
    """
    if not findings:
        return ["Nothing is noted in the record yet: fill in happened after gluing."]
    lines = ["Tried on: predicted by the plan, happened as you measured it", _HEAD]
    for finding in findings:
        finest = {"mm": 0.5, "in": 1 / 32}[system]
        sizes = [
            format_length(x, system=system, resolution=finest)
            for x in (finding.predicted, finding.happened)
        ]
        off = format_length(finding.off, system=system, resolution=finest, signed=True)
        lines.append(
            f"  {clipped(finding.piece, _PIECE)}{finding.what:16}{sizes[0]:>14}{sizes[1]:>14}"
            f"{off:>14}"
        )
        lines += wrapped(finding.judgement.sentence, first=" " * 4, then=" " * 4)
    return lines
