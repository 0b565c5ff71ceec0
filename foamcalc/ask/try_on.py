"""The try-on record: what was predicted, what happened, and which assumed number was off.

A record is a table that a maker fills in after gluing. Each row is compared with the plan of the
same job sheet; where they differ, the number that the plan assumed is solved for anew.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil, degrees, tau
from pathlib import Path

import numpy as np

from foamcalc.ask.answer import Say
from foamcalc.ask.faults import near, shown
from foamcalc.ask.filled import Column, Faults, Row, Table
from foamcalc.ask.form import FROM_0
from foamcalc.ask.lines import clipped, wrapped
from foamcalc.ask.output import csv_bytes
from foamcalc.ask.plan import Plan, PlannedJoint, PlannedShell
from foamcalc.ask.rules import UNLIKELY, bare_beside_inches
from foamcalc.ask.sheet.findings import heading, overlay_heading
from foamcalc.fit.limits import tape_reading
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.rest import Rest, at_rest
from foamcalc.tables import look_up
from foamcalc.units import Reading, System, format_length

_NEXT_DAY = " next day"
_RECORD = Table(
    what="a record",
    columns=(
        Column(name="piece", must=True),
        Column(name="what", must=True),
        Column(name="predicted"),
        Column(name="happened", must=True),
        Column(name="note"),
    ),
    remarks=False,
)
_FARTHEST = 10.0
"""Mouth predicted over mouth that happened past which the reading is taken for a slip."""


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
    error: float
    """How far the reading may be off, either way [mm]."""
    note: str = ""
    """The maker's own words."""
    agrees: bool = False
    """Whether the plan was right, as far as the reading can tell."""
    assumption: str = ""
    """The number it speaks about: fibre, turn, shrink on cooling, formed, relaxes, most stretch."""
    assumed: float = 0.0
    """What the plan took it to be; a turn in degrees, all others as a share."""
    basis: str = ""
    """What that rests on."""
    implied: float | None = None
    """What would have made the prediction right, derived from the reading; None: no such value."""
    low: float | None = None
    high: float | None = None
    """What the error of the reading, either way, makes of it."""
    sentence: str = ""
    """The same in a maker's words, with what to write in the job sheet."""

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
    say = Say(plan.sheet.system)
    return _RECORD.blank(
        {
            "piece": thing.piece,
            "what": thing.what,
            "predicted": say(thing.predicted),
            "note": "standing on its end" if thing.what.startswith("mouth") else "",
        }
        for thing in _things(plan)
        if thing.offered
    )


def read_record(path: str | Path, plan: Plan) -> tuple[Finding, ...]:
    r"""What a filled record says about the plan.

    Parameters
    ----------
    path : path
        A CSV of at most 1 MB and 500 rows, in UTF-8, as a spreadsheet saves it: commas,
        semicolons or tabs between the cells.
    plan : Plan
        The plan of the same job sheet.

    Returns
    -------
    tuple of Finding
        In the order of the file; several readings of one thing are each judged.

    Raises
    ------
    TableFault
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
    >>> print(f"{found.predicted:.1f} mm predicted; {found.assumption} {found.implied:.2f}")
    195.9 mm predicted; fibre 0.64
    """
    file = Path(path)
    faults, say, things = Faults(file), Say(plan.sheet.system), _things(plan)
    rows = [row for row in _RECORD.read(file, faults) if row["happened"]]
    taken = [(row, _thing_of(row, things), _reading_of(row)) for row in rows]
    _refuse_bare([row for row, _, reading in taken if reading and reading.value], say.system)
    for row, thing, reading in taken:
        if thing and reading and (wrong := _slip(thing, reading.value, say)):
            row.fault("happened", f"{shown(row['happened'])} {wrong}")
    faults.raise_any()
    return _judged([(r, t, x) for r, t, x in taken if t and x], say)


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
    wide, finest = 28, {"mm": 0.5, "in": 1 / 32}[system]
    lines = [
        "Tried on: predicted by the plan, happened as you measured it",
        f"{'':2}{'piece':{wide}}{'what':16}{'predicted':>14}{'happened':>14}{'off':>14}",
    ]
    for one in findings:
        sizes = [
            format_length(mm, system=system, resolution=finest, signed=signed)
            for mm, signed in ((one.predicted, False), (one.happened, False), (one.off, True))
        ]
        cells = "".join(f"{size:>14}" for size in sizes)
        lines.append(f"  {clipped(one.piece, wide)}{one.what:16}{cells}")
        lines += wrapped(one.sentence, first=" " * 4, then=" " * 4)
    return lines


def _judged(taken: Sequence[tuple[Row, _Thing, Reading]], say: Say) -> tuple[Finding, ...]:
    """Every reading compared with the plan; nights last, for they begin where letting go ended."""
    tape = tape_reading()
    found: dict[int, Finding] = {}
    released: dict[int, Finding] = {}
    for i in sorted(range(len(taken)), key=lambda i: taken[i][1].what.endswith(_NEXT_DAY)):
        row, thing, reading = taken[i]
        one = Finding(
            piece=thing.piece,
            what=thing.what,
            predicted=thing.predicted,
            happened=reading.value,
            error=max(tape, reading.tolerance),
            note=row["note"],
        )
        about = thing.about
        if isinstance(about, PlannedJoint):
            judge = _judge_lift if thing.what == "lift" else _judge_length
            found[i] = judge(one, about, say)
        elif thing.what.endswith(_NEXT_DAY):
            found[i] = _judge_night(one, about, released.get(id(about)), say)
        else:
            found[i] = released[id(about)] = _judge_release(one, about, say)
    return tuple(found[i] for i in range(len(taken)))


# What can be noted, and which of it a row is about ----------------------------------------------


@dataclass(frozen=True, kw_only=True, eq=False)
class _Thing:
    """Something of a piece that can be noted."""

    piece: str
    what: str
    predicted: float
    about: PlannedJoint | _Body
    offered: bool = True
    """Whether the blank record has a row for it."""

    @property
    def kind(self) -> str:
        """What the piece is."""
        if isinstance(self.about, _Body):
            closed = self.about.rest.closed
            return "a ring" if closed else "a shell that is open at its ends"
        shell = self.about.joint.shell
        return f"an overlay on {shell!r}" if shell else "an overlay"

    @cached_property
    def names(self) -> tuple[str, str]:
        """The piece as the sheet has it, and as it comes back from the blank record."""
        text = csv_bytes((self.piece,), ()).decode("utf-8-sig")
        return self.piece, next(csv.reader([text])).pop().strip()


def _things(plan: Plan) -> list[_Thing]:
    """All that can be noted, in the order of the sheet: overlays, then shells."""
    joints = {p.joint.name: p for p in plan.joints}
    shells = {p.job.name: p for p in plan.shells}
    found = []
    for joint in plan.sheet.joints:
        planned = joints[joint.name]
        flat = _needed_flat(planned)
        found.append(_Thing(piece=joint.name, what="length", predicted=flat, about=planned))
        found.append(_Thing(piece=joint.name, what="lift", predicted=0.0, about=planned))
        if joint.shell is None:
            found += _sizes(joint.name, _taped(planned))
    for job in plan.sheet.shells:
        found += _sizes(job.name, _shell(shells[job.name]))
    return found


def _sizes(piece: str, body: _Body) -> list[_Thing]:
    night, offered = body.word + _NEXT_DAY, body.relaxes is not None
    return [
        _Thing(piece=piece, what=body.word, predicted=body.size, about=body),
        _Thing(piece=piece, what=night, predicted=body.next_size, about=body, offered=offered),
    ]


def _thing_of(row: Row, things: Sequence[_Thing]) -> _Thing | None:
    """The thing that a row is about; None, with a fault, if there is none."""
    piece, what = row["piece"], " ".join(re.split(r"[\s_-]+", row["what"].casefold()))
    mine = [t for t in things if piece in t.names]
    mine = mine or [t for t in things if piece.casefold() in map(str.casefold, t.names)]
    found = [t for t in mine if t.what == what]
    if len(found) == 1:
        return found[0]
    if not mine:
        said = f"{shown(piece)} is not in the plan; {_hint(piece, [t.piece for t in things])}"
        row.fault("piece", said)
    elif found:
        either = " or ".join(dict.fromkeys(repr(t.piece) for t in found))
        row.fault("piece", f"{shown(piece)} may be {either}; write it as in the sheet")
    else:
        hint = f"{mine[0].kind}; {_hint(what, [t.what for t in mine])}"
        row.fault("what", f"{shown(row['what'])} cannot be noted of {mine[0].piece!r}, {hint}")
    return None


def _hint(word: str, known: Iterable[str]) -> str:
    names = list(dict.fromkeys(known))
    if (guess := near(word, names)) is not None:
        return f"did you mean {guess!r}?"
    more = f" and {len(names) - 12} more" if len(names) > 12 else ""
    return f"known are {', '.join(map(repr, names[:12]))}{more}"


def _reading_of(row: Row) -> Reading | None:
    """The length that was read off the tape; None, with a fault, if it is none."""
    try:
        return FROM_0.read(row["happened"], "happened").lengths[0]
    except ValueError as fault:
        row.fault("happened", str(fault))
        return None


def _refuse_bare(rows: Sequence[Row], system: System) -> None:
    """A bare number in a record or a sheet of inches is taken for nothing: it must be said."""
    texts = {f"line {row.line}": row["happened"] for row in rows}
    if system == "in":
        texts["the job sheet"] = "1 in"
    if mixed := bare_beside_inches(texts):
        next(row for row in rows if f"line {row.line}" == mixed[0]).fault("happened", mixed[1])


def _slip(thing: _Thing, value: float, say: Say) -> str:
    """What is wrong with a reading [mm] that no piece can have; nothing if it will do."""
    predicted, about = thing.predicted, thing.about
    if isinstance(about, PlannedJoint) and thing.what == "lift":
        longest = about.joint.overlay.needed_length
        told = f"is more than the overlay is long, {say(longest)}: read it again"
        return told if value > longest else ""
    if isinstance(about, _Body) and not about.rest.closed:  # a mouth may be shut
        longest = UNLIKELY * float(about.rest.lengths.sum())
        slipped = value > longest or 0 < value < predicted / _FARTHEST
    elif value == 0:
        return "must be a length above 0 mm; leave happened empty where nothing was measured"
    else:
        slipped = not 1 / UNLIKELY <= value / predicted <= UNLIKELY
    told = f"is far from the {say(predicted)} predicted: is it in inches, or mistyped?"
    return told if slipped else ""


# The length of an overlay, and its ends ---------------------------------------------------------

_AGREES = "It agrees to what a tape can tell: nothing to change."
_LIKELY_FIBRE = (0.3, 0.7)
"""Where the fibre of a foam may lie; past that it is the turn that was off."""
_STRAIGHT = 1e-6
"""Length that a bend adds where there is none [mm]."""
_STEP = 0.005
"""Stretches are written in halves of a per cent."""
_HUG = 0.01
"""Stretch that is no more than a piece cut to hug has: it pulls at no glue."""


def _needed_flat(planned: PlannedJoint) -> float:
    """How long the plan takes the overlay to have to be, lying flat [mm].

    A piece that is to be formed warm is longer by what it shrinks.
    """
    return planned.joint.overlay.needed_length * (1 + _shrink(planned))


def _warm(planned: PlannedJoint) -> bool:
    return planned.answer.choice.choice == "form warm"


def _shrink(planned: PlannedJoint) -> float:
    """Share that it shrinks when it is formed warm as advised; 0 where it stays cold."""
    if not _warm(planned):
        return 0.0
    return look_up("limits", "habit", "shrink_on_cooling").as_fraction()


def _most_shrink() -> float:
    row = look_up("limits", "habit", "shrink_on_cooling")
    return row.as_fraction() if row.high is None else row.high / 100


def _judge_length(one: Finding, planned: PlannedJoint, say: Say) -> Finding:
    """What the length that an overlay really had to have says.

    The length is linear in the fibre, and in the turn when the bend is changed evenly:
    ``L = s + sum(height turn)``, s the length along the measured curve. A turn that was assumed
    is taken to be off; a turn that was given is taken to be off where no likely fibre explains
    the length. Of a piece that was formed warm one length cannot tell fibre and shrinking apart;
    the shrinking, which is from memory, is taken to be off, as far as foam shrinks.
    """
    joint = planned.joint.overlay
    fibre, lever = joint.overlay.fibre, _by_fibre(joint)
    one = replace(one, assumption="fibre", assumed=fibre, basis="assumed")
    if abs(one.off) <= one.error:
        return replace(one, agrees=True, sentence=_AGREES)
    if abs(joint.turn) < _STRAIGHT or abs(lever) < _STRAIGHT:
        where = "from and to" if planned.joint.shell else "needed, the tape over the base,"
        return replace(
            one,
            sentence=(
                "It lies straight, or turns back as much as it turns: neither fibre nor turn "
                f"changes its length. Measure {where} and the piece again."
            ),
        )
    warm = joint.turn_measured and _warm(planned)
    if warm and one.happened - one.error <= joint.needed_length * (1 + _most_shrink()):
        return _judge_shrink(one, joint.needed_length)
    implied, give = fibre + one.off / lever, abs(one.error / lever)
    low, high = _LIKELY_FIBRE
    if warm or not joint.turn_measured or not low <= implied <= high:
        return _judge_turn(one, planned)
    return _implied(
        one,
        implied,
        (implied - give, implied + give),
        f"Its fibre, the line that keeps its length, lies at {implied:.2f} of its thickness "
        f"({implied - give:.2f} to {implied + give:.2f} by your tape), not at {fibre:.2f} "
        f"(assumed). Write fibre = {implied:.2f} under its foam, {planned.joint.foam}. The next "
        f"one like it is cut {say(one.happened)} long.",
    )


def _implied(one: Finding, value: float, ends: tuple[float, float], sentence: str) -> Finding:
    return replace(one, implied=value, low=ends[0], high=ends[1], sentence=sentence)


def _by_fibre(joint: Overlay) -> float:
    """How much longer it must be with its fibre at the outer face than at the inner one [mm]."""
    shell, own = joint.shell, len(joint.under)
    inner, outer = (shell.length_over(own, joint.bead + x) for x in (0.0, joint.overlay.thickness))
    return outer - inner


def _judge_shrink(one: Finding, needed: float) -> Finding:
    row = look_up("limits", "habit", "shrink_on_cooling")
    assumed = row.as_fraction()
    one = replace(one, assumption="shrink on cooling", assumed=assumed, basis=row.basis)
    implied, give = one.happened / needed - 1, one.error / needed
    first = f"It was to be formed warm, with {assumed:.1%} lost on cooling ({row.basis}):"
    last = "Only a piece glued cold says anything about its fibre."
    if implied + give < 0:
        told = (
            "it was shorter than it is once it lies there, so it was stretched as well; measure "
            "it flat before it is warmed"
        )
        return replace(one, sentence=f"{first} {told}. {last}")
    shrunk = max(implied, 0.0)
    told = (
        f"it shrank by {shrunk:.1%} on cooling instead ({give:.1%} either way by your "
        "tape); cut the next one longer by that"
    )
    ends = (max(implied - give, 0.0), implied + give)
    return _implied(one, shrunk, ends, f"{first} {told}. {last}")


def _judge_turn(one: Finding, planned: PlannedJoint) -> Finding:
    joint, shell = planned.joint.overlay, planned.joint.shell
    known, turn = joint.turn_measured, degrees(joint.turn)
    basis = "measured" if known else "derived"
    basis = "assumed" if joint.turn_from.endswith("assumed") else basis
    one = replace(one, assumption="turn", assumed=turn, basis=basis)
    along = sum(end - start for start, end in joint.shell.runs(len(joint.under)))
    added = joint.needed_length - along
    share = float("nan")  # of the turn that there must have been
    if abs(added) >= _STRAIGHT:
        share = (one.happened / (1 + _shrink(planned)) - along) / added
    why = "The turn was not measured"
    if known and _warm(planned):
        why = f"Foam shrinks by {_most_shrink():.0%} at most on cooling, which is not enough"
    elif known:
        fibre = joint.overlay.fibre + one.off / _by_fibre(joint)
        low, high = _LIKELY_FIBRE
        why = f"Its fibre would have to lie at {fibre:.2f} of its thickness, not at {low} to {high}"
    if not 0 <= share <= degrees(tau) / abs(turn):
        again = "the curve" if shell else "needed, the tape over the base,"
        told = (
            f"{why}, and no turn makes up for it either: measure {again} and the thicknesses "
            "again, and the piece lying flat."
        )
        return replace(one, sentence=told)
    implied, give = turn * share, abs(turn * one.error / added)
    told = (
        f"{why}: where it lies the bend must turn {implied:.0f}° ({implied - give:.0f}° to "
        f"{implied + give:.0f}° by your tape), not {turn:.0f}° ({joint.turn_from})"
    )
    if shell:
        told += ". Measure the curve and the thicknesses again."
    else:
        first = "If measuring it again says the same, write" if known else "Write"
        head = overlay_heading(planned.joint.name, 0)
        told += f'. {first} turn = "{implied:.0f} deg" in {head}.'
    return _implied(one, implied, (implied - give, implied + give), told)


def _judge_lift(one: Finding, planned: PlannedJoint, say: Say) -> Finding:
    """What an end that lifted, or held, says about the limit on cold stretch."""
    way, limit = planned.answer.choice.chosen, planned.joint.limits["stretch"]
    strain, held = way.glued.strain, one.happened <= one.error
    one = replace(
        one, agrees=held, assumption="most stretch", assumed=limit.value, basis=limit.basis
    )
    most = f"{100 * limit.value:g} % ({limit.basis})"
    if way.choice == "divide":
        said = "It was to be divided, so how far it was stretched is not known: nothing is learned."
    elif held and strain <= 0:
        said = f"It holds, but it was not stretched: nothing is learned about the {most}."
    elif held:
        upto = "up to there" if strain <= limit.value else "and more than"
        said = f"It holds at {strain:.1%} stretch: {upto} the limit, {most}, is confirmed."
    elif strain <= _HUG:
        said = (
            f"The glue let go although it was hardly stretched ({strain:.1%}), so the limit on "
            "stretch is not what was off: look at the glue, at dust, and at the spring of a flat "
            "piece on a bend."
        )
    else:
        below = (ceil(round(strain / _STEP, 9)) - 1) * _STEP
        one = replace(one, implied=below)
        said = (
            f"The glue let go at {strain:.1%} stretch; the limit was {most}. Write most_stretch = "
            f'"{100 * below:g} %" or less in {overlay_heading(planned.joint.name, 0)}.'
        )
    return replace(one, sentence=said)


# The mouth or girth of a shell ------------------------------------------------------------------

_TRIED = {"mouth": 9, "girth": 3}
"""Shares from 0 to 1 that are tried before the right one is closed in on; a girth hardly moves."""
_NEAR = 0.005
"""Shares so far to either side tell the slope."""


class Sizes:
    """The mouth or girth for every share from 0 to 1, to be asked which share gives a size."""

    def __init__(self, size_at: Callable[[float], float], assumed: float, tried: int) -> None:
        self._size_at, self._assumed = size_at, assumed
        self._shares = np.union1d(np.linspace(0.0, 1.0, tried), assumed)
        self._sizes = np.array([self.size_of(x) for x in self._shares])

    def size_of(self, share: float) -> float:
        """The size [mm]; NaN where the shell finds no rest."""
        try:
            return self._size_at(float(share))
        except (ValueError, ArithmeticError):
            return float("nan")

    @property
    def reach(self) -> tuple[float, float]:
        """Least and most that was found [mm]."""
        return float(np.nanmin(self._sizes)), float(np.nanmax(self._sizes))

    def share_of(self, size: float) -> float | None:
        """The share that gives a size [mm], the nearest to the assumed one; None if none does."""
        from scipy.optimize import brentq

        apart, shares = self._sizes - size, self._shares
        found = [float(x) for x in shares[apart == 0]]
        for i in np.flatnonzero(apart[:-1] * apart[1:] < 0):
            ends = shares[i : i + 2]
            try:
                found.append(float(brentq(lambda x: self.size_of(x) - size, *ends, xtol=1e-9)))
            except ValueError:  # no rest in between
                continue
        return min(found, key=lambda x: abs(x - self._assumed), default=None)

    def give(self, share: float, error: float) -> tuple[float, float]:
        """The shares that a reading so far off, either way, would make of it, 0 to 1."""
        ends = max(share - _NEAR, 0.0), min(share + _NEAR, 1.0)
        slope = abs(self.size_of(ends[1]) - self.size_of(ends[0])) / (ends[1] - ends[0])
        wide = error / slope if slope > error else 1.0
        return max(share - wide, 0.0), min(share + wide, 1.0)

    def said(self, say: Say) -> str:
        """What it would be, whatever the share."""
        least, most = map(say, self.reach)
        return f"would be {least}" if least == most else f"would be from {least} to {most}"


@dataclass(frozen=True, eq=False, kw_only=True)
class _Body:
    """A shell with its overlays as advised, or a taped base with its one overlay."""

    rest: Rest
    """When let go."""
    night: Rest | None
    """The next day as the plan has it; None: it says nothing about it."""
    relaxes: float | None
    strap: tuple[float, float] | None
    """Places that a strap holds overnight; None: left free."""
    key: str
    """Key of the job sheet that says how far the base is formed."""
    place: str
    """Table of the sheet in which it stands."""
    foam: str
    unmeasured: str = ""
    """How the turn of its curve is known, where nobody measured it."""

    @property
    def word(self) -> str:
        """What is measured: mouth or girth."""
        return "girth" if self.rest.closed else "mouth"

    @property
    def formed(self) -> float:
        """How far the plan takes the base to keep its curve."""
        return self.rest.shell.base.formed

    @property
    def size(self) -> float:
        """When let go [mm]."""
        return float(self.rest.size)

    @property
    def next_size(self) -> float:
        """The next day [mm]; where the sheet has no share that relaxes, nothing is forgotten."""
        return self.size if self.night is None else float(self.night.size)

    def with_formed(self, formed: float) -> _Body:
        """The same with a base that keeps its curve so far."""
        shell = self.rest.shell
        return replace(self, rest=at_rest(replace(shell, base=replace(shell.base, formed=formed))))

    @cached_property
    def by_formed(self) -> Sizes:
        """Its size when let go, for every `formed`."""
        return Sizes(lambda formed: self.with_formed(formed).size, self.formed, _TRIED[self.word])

    @cached_property
    def by_relaxes(self) -> Sizes:
        """Its size the next day, for every share that is forgotten."""
        held = self.rest if self.strap is None else self.rest.strapped(places=self.strap)
        assumed = self.relaxes or 0.0
        return Sizes(lambda share: float(held.next_day(share).size), assumed, _TRIED[self.word])


def _shell(planned: PlannedShell) -> _Body:
    """A shell of the plan."""
    job = planned.job
    return _Body(
        rest=planned.as_advised,
        night=planned.next_day,
        relaxes=job.relaxes,
        strap=job.strap if job.held_overnight else None,
        key="formed",
        place=heading("shell", job.name),
        foam=job.foam,
    )


def _taped(planned: PlannedJoint) -> _Body:
    """A joint known by two tape readings: its base is the shell."""
    joint = planned.joint
    rest = at_rest(planned.answer.choice.chosen.glued.shell)
    return _Body(
        rest=rest,
        night=None if joint.relaxes is None else rest.next_day(joint.relaxes),
        relaxes=joint.relaxes,
        strap=None,
        key="base_formed",
        place=overlay_heading(joint.name, 0),
        foam=joint.foam,
        unmeasured="" if joint.overlay.turn_measured else joint.overlay.turn_from,
    )


def _judge_release(one: Finding, body: _Body, say: Say) -> Finding:
    """What the mouth or girth when let go says about how far the base keeps its curve."""
    basis = "assumed" if body.formed in (0.0, 1.0) else "your own"  # the ends of its range
    one = replace(one, assumption="formed", assumed=body.formed, basis=basis)
    if abs(one.off) <= one.error:
        return replace(one, agrees=True, sentence=_AGREES)
    if body.unmeasured:
        return replace(
            one,
            assumption="turn",
            assumed=degrees(body.rest.shell.curve.turn),
            basis="assumed" if body.unmeasured.endswith("assumed") else "derived",
            sentence=(
                f"The turn of the base was not measured ({body.unmeasured}), so its mouth before "
                "gluing was not known: nothing is learned about how far it keeps its curve. Write "
                f"turn, or mouth as it was before gluing, in {body.place}."
            ),
        )
    implied = body.by_formed.share_of(one.happened)
    if implied is None:
        return replace(
            one,
            sentence=(
                f"However far its base keeps its curve, the {body.word} "
                f"{body.by_formed.said(say)}: that is not what was off. Measure the overlays as "
                f"cut, and what the {body.word} was before gluing, again."
            ),
        )
    low, high = body.by_formed.give(implied, one.error)
    return _implied(
        one,
        implied,
        (low, high),
        f"Its base keeps {implied:.0%} of its curve by itself ({low:.0%} to {high:.0%} by your "
        f"tape), not {body.formed:.0%} ({basis}). Write {body.key} = {implied:.2f} in "
        f"{body.place}.",
    )


def _judge_night(one: Finding, body: _Body, released: Finding | None, say: Say) -> Finding:
    """What the mouth or girth on the next day says about the share that is forgotten."""
    basis = "assumed" if body.relaxes is None else "measured"
    one = replace(one, assumption="relaxes", assumed=body.relaxes or 0.0, basis=basis)
    if body.strap is None:
        return _free_night(one, body, released, say)
    start = body
    if released is not None and not released.agrees:
        if released.implied is None or released.assumption != "formed":
            return replace(
                one,
                sentence=(
                    f"The {body.word} was not as predicted when it was let go, and it is not known "
                    "why: what it did overnight cannot be told apart from that."
                ),
            )
        start = body.with_formed(released.implied)
    return _strapped_night(one, body, start, say)


def _strapped_night(one: Finding, body: _Body, start: _Body, say: Say) -> Finding:
    """A night with a strap, from the shell as it was when let go."""
    word = body.word
    try:
        nights = start.by_relaxes
    except (ValueError, ArithmeticError):
        told = (
            f"With its {word} as it was when let go no strap brings it back: nothing can be "
            "told about the night."
        )
        return replace(one, sentence=told)
    least, most = nights.reach
    if most - least <= one.error:
        told = f"The strap hardly changes this {word}: nothing is learned about relaxes."
        return replace(one, agrees=abs(one.off) <= one.error, sentence=told)
    if abs(one.happened - nights.size_of(one.assumed)) <= one.error:
        since = "" if start is body else f", from the {word} as it was when let go"
        told = _AGREES.replace(":", f"{since}:")
        return replace(one, agrees=True, sentence=told)
    implied = nights.share_of(one.happened)
    if implied is None:
        told = (
            f"However much the foam forgets, the {word} {nights.said(say)}: that is not "
            "what was off. See whether the strap held and the glue crept, and note the "
            f"{word} when let go as well."
        )
        return replace(one, sentence=told)
    low, high = nights.give(implied, one.error)
    percent = min(round(100 * implied), 99)  # a sheet takes less than all of it
    instead = "nothing (the sheet has no relaxes)"
    if body.relaxes is not None:
        instead = f"{body.relaxes:.0%} (your sheet)"
    return _implied(
        one,
        implied,
        (low, high),
        f"Strapped overnight the foam forgets {implied:.0%} of its stress ({low:.0%} to {high:.0%} "
        f'by your tape), not {instead}. Write relaxes = "{percent} %" at its foam, {body.foam}.',
    )


def _free_night(one: Finding, body: _Body, released: Finding | None, say: Say) -> Finding:
    """Left free overnight all strains fade alike, and the shape hardly tells how much."""
    nothing = "Left free overnight its shape hardly depends on relaxes: nothing is learned about it"
    if released is None:
        agrees = abs(one.off) <= one.error
        more = (
            f". Note the {body.word} when let go as well: without it nobody can tell whether "
            "it moved overnight."
        )
        return replace(one, agrees=agrees, sentence=nothing + ("." if agrees else more))
    moved = one.off - released.off
    if abs(moved) <= one.error:
        told = f"{nothing}. It did not move overnight by more than a tape tells."
        return replace(one, agrees=True, sentence=told)
    words = ("grew", "shrank") if body.rest.closed else ("opened", "closed")
    return replace(
        one,
        sentence=(
            f"{nothing}. It {words[moved < 0]} by {say(abs(moved))} overnight, which foam alone "
            "does not do: the glue crept, or a piece slipped. Look at the ends and the seams."
        ),
    )
