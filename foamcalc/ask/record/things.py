"""What can be noted in a try-on record, and which of it each row is about."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from foamcalc.ask.faults import near, shown
from foamcalc.ask.filled import Faults
from foamcalc.ask.form import LONGEST
from foamcalc.ask.output import csv_bytes
from foamcalc.ask.plan import Plan, PlannedJoint
from foamcalc.ask.record.bodies import Body
from foamcalc.ask.record.overlay import needed_flat
from foamcalc.ask.record.rows import Row
from foamcalc.ask.rules import UNLIKELY
from foamcalc.units import Reading, System, format_length, is_bare, is_inch, read_length

NOTED = ("length", "lift", "mouth", "girth", "mouth next day", "girth next day")
"""What may be noted of a piece."""
NEXT_DAY = " next day"

_FARTHEST = 10.0
"""Mouth predicted over mouth that happened past which the reading is taken for a slip."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Thing:
    """Something of a piece that can be noted."""

    piece: str
    what: str
    predicted: float
    about: PlannedJoint | Body
    offered: bool = True
    """Whether the blank record has a row for it."""

    @cached_property
    def names(self) -> tuple[str, str]:
        """The piece as the sheet has it, and as it comes back from the blank record."""
        text = csv_bytes((self.piece,), ()).decode("utf-8-sig")
        return self.piece, next(csv.reader([text])).pop().strip()


def things_of(plan: Plan) -> list[Thing]:
    """All that can be noted, in the order of the sheet: overlays, then shells."""
    joints = {p.joint.name: p for p in plan.joints}
    shells = {p.job.name: p for p in plan.shells}
    found = []
    for joint in plan.sheet.joints:
        planned = joints[joint.name]
        found.append(
            Thing(piece=joint.name, what="length", predicted=needed_flat(planned), about=planned)
        )
        found.append(Thing(piece=joint.name, what="lift", predicted=0.0, about=planned))
        if joint.shell is None:
            found += _sizes(joint.name, Body.of_joint(planned))
    for job in plan.sheet.shells:
        found += _sizes(job.name, Body.of_shell(shells[job.name]))
    return found


def _sizes(piece: str, body: Body) -> list[Thing]:
    return [
        Thing(piece=piece, what=body.word, predicted=body.size, about=body),
        Thing(
            piece=piece,
            what=body.word + NEXT_DAY,
            predicted=body.next_size,
            about=body,
            offered=body.relaxes is not None,
        ),
    ]


# What a row says -------------------------------------------------------------------------------


def thing_of(row: Row, things: Sequence[Thing], faults: Faults) -> Thing | None:
    """The thing that a row is about; None, with a fault, if there is none."""
    mine = [t for t in things if row.piece in t.names]
    if not mine:
        small = row.piece.casefold()
        mine = [t for t in things if small in map(str.casefold, t.names)]
    what = " ".join(row.what.casefold().replace("_", " ").replace("-", " ").split())
    if not mine:
        names = list(dict.fromkeys(t.piece for t in things))
        faults.add(
            row.line, "piece", f"{shown(row.piece)} is not in the plan; {_hint(row.piece, names)}"
        )
        if what in NOTED:
            return None
    found = [t for t in mine if t.what == what]
    if len(found) == 1:
        return found[0]
    if found:
        names = list(dict.fromkeys(t.piece for t in found))
        text = (
            f"{shown(row.piece)} may be {' or '.join(map(repr, names))}; write it as in the sheet"
        )
        faults.add(row.line, "piece", text)
    elif what not in NOTED:
        known = list(dict.fromkeys(t.what for t in mine)) or list(NOTED)
        faults.add(row.line, "what", f"{shown(row.what)} cannot be noted; {_hint(what, known)}")
    else:
        faults.add(row.line, "what", _misplaced(what, mine))
    return None


def _hint(word: str, known: Sequence[str]) -> str:
    guess = near(word, known)
    if guess is not None:
        return f"did you mean {guess!r}?"
    more = f" and {len(known) - 12} more" if len(known) > 12 else ""
    return f"known are {', '.join(map(repr, known[:12]))}{more}"


def _misplaced(what: str, mine: Sequence[Thing]) -> str:
    """Why something cannot be noted of a piece, and what can."""
    piece, about = mine[0].piece, mine[0].about
    known = " or ".join(dict.fromkeys(t.what for t in mine))
    if isinstance(about, Body):
        is_ = "a ring" if about.rest.closed else "a shell that is open at its ends"
        return f"{what!r} does not go with {piece!r}, which is {is_}: write {known}"
    shell = about.joint.shell
    other = f", or note the {what} of its shell, {shell!r}" if shell else ""
    return f"{what!r} does not go with {piece!r}, which is an overlay: write {known}{other}"


def reading_of(row: Row, faults: Faults) -> Reading | None:
    """The length that was read off the tape; None, with a fault, if it is none."""
    try:
        reading = read_length(row.happened, name="happened")
    except ValueError as fault:
        faults.add(row.line, "happened", str(fault).removeprefix("happened: "))
        return None
    if not 0 <= reading.value <= LONGEST:
        text = f"{shown(row.happened)} must be a length of 0 mm or more, at most 100 m"
        faults.add(row.line, "happened", text)
        return None
    return reading


def refuse_bare(
    taken: Sequence[tuple[Row, Thing | None, Reading | None]], system: System, faults: Faults
) -> None:
    """A bare number in a record or a sheet of inches is taken for nothing: it must be said."""
    inches = [row.line for row, _, reading in taken if reading and is_inch(row.happened)]
    if not inches and system == "mm":
        return
    where = f"line {inches[0]}" if inches else "the job sheet"
    for row, _, reading in taken:
        if reading and reading.value and is_bare(row.happened):
            text = row.happened
            faults.add(
                row.line,
                "happened",
                f"{shown(text)} has no unit while {where} is in inches: write '{text} mm' or "
                f"'{text} in'",
            )


def slip(thing: Thing, reading: Reading, system: System) -> str:
    """What is wrong with a reading that no piece can have; nothing if it will do."""
    value, predicted = reading.value, thing.predicted
    size = format_length(predicted, system=system)
    zero = thing.what not in ("length", "girth", "girth next day")
    if value == 0 and not zero:
        return "must be a length above 0 mm; leave happened empty where nothing was measured"
    if isinstance(thing.about, PlannedJoint) and thing.what == "lift":
        longest = thing.about.joint.overlay.needed_length
        if value > longest:
            size = format_length(longest, system=system)
            return f"is more than the overlay is long, {size}: read it again"
        return ""
    if zero and isinstance(thing.about, Body):
        longest = UNLIKELY * float(thing.about.rest.lengths.sum())
        slipped = value > longest or 0 < value < predicted / _FARTHEST
    else:
        slipped = not 1 / UNLIKELY <= value / predicted <= UNLIKELY
    return f"is far from the {size} predicted: is it in inches, or mistyped?" if slipped else ""
