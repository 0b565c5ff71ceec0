"""A strip along an edge, answered: from what was said to a strip as it is cut, and its words."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from typing import Any, NamedTuple, TypeVar

import numpy as np

from foamcalc.ask.answer import Answer, Listed, Say
from foamcalc.ask.answer import Table as Rows
from foamcalc.ask.faults import SheetFault
from foamcalc.ask.form import Findings, Table
from foamcalc.ask.rules import own_limit
from foamcalc.ask.swatch_record import (
    modulus_spread,
    read_swatch,
    stretch_limit,
    swatch_notes,
    swatch_said,
)
from foamcalc.ask.trim import FORM
from foamcalc.fit.limits import Limit
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.band import Band
from foamcalc.fit.trim.band_choice import choose_band
from foamcalc.fit.trim.binding import Binding
from foamcalc.fit.trim.binding_cut import cut_binding
from foamcalc.fit.trim.ends import BUTT, Joining, StripEnd
from foamcalc.fit.trim.rim import Rim
from foamcalc.fit.trim.rim_cut import allowed_rim, rim_limits
from foamcalc.fit.trim.slit import Slits, SlitStrip, cut_slits
from foamcalc.fit.trim.strips import Ends
from foamcalc.fit.trim.toothed import Teeth, ToothedStrip, cut_teeth
from foamcalc.fit.trim.words import Cut, Told, cut_name, near_words, told
from foamcalc.foam.adhesives import adhesive
from foamcalc.foam.grades import foam, foam_entries
from foamcalc.foam.law import Law
from foamcalc.foam.swatch import Swatch, fit_swatch
from foamcalc.shape.curve import FULL_TURN, Arc, Curve, TurnedLength
from foamcalc.shape.opening import Opening
from foamcalc.shape.pattern import Pattern, read_pattern
from foamcalc.tables import look_up
from foamcalc.units import System, format_angle, format_length

_Pitched = TypeVar("_Pitched", Slits, Teeth)
_SHORTER, _STEPS = 0.8, 10
"""Steps in which a shorter pitch is looked for, and how many."""
_EQUAL = 0.5
"""Edges of a strip that differ by less are one length [mm]."""
USUAL_FOAM, USUAL_ADHESIVE = "EVA medium", "contact adhesive"


class NamedPlace(NamedTuple):
    """A mark on an edge."""

    name: str
    """Its name in a drawing; empty where it has none."""
    place: float
    """Length along the edge [mm]."""


@dataclass(frozen=True, eq=False)
class TrimEdge:
    """An edge, how it is known, and the marks that are drawn on it."""

    curve: Curve
    said: str
    """How it is known, with its length and its turn left out."""
    marks: tuple[NamedPlace, ...] = ()

    def describe(self, system: System = "mm") -> str:
        """Length, turn, and how they are known."""
        size = format_length(self.curve.length, system=system)
        once = ", closed" if self.curve.closed else ""
        return f"edge {size} long{once}, turn {format_angle(self.curve.turn)} ({self.said})"


def round_opening(edge: TrimEdge) -> TrimEdge:
    """A closed edge, or a part of one, as the edge of an opening in the foam."""
    return replace(edge, curve=Opening(edge.curve), said=f"round an opening; {edge.said}")


class Stuff(NamedTuple):
    """The foam and the glue of a strip."""

    foam: str
    """Name for the reader."""
    law: Law
    adhesive: str
    bead: float
    rests_on: tuple[str, ...]
    fibre: float = Piece.fibre
    swatch: Swatch | None = None


@dataclass(frozen=True, kw_only=True)
class Trim:
    """One strip along an edge, as it is cut."""

    name: str
    kind: str
    count: int
    """How many of it, all alike."""
    cut: Cut
    edge: TrimEdge
    strip: Piece
    stuff: Stuff
    marks: tuple[NamedPlace, ...]
    wanted_pitch: float | None
    """Pitch that was asked for [mm]."""
    first: tuple[str, ...]
    """How big the drawing is, if the edge is from one."""
    notes: tuple[str, ...]


def ask(*, pattern: Pattern | None = None, **said: object) -> Answer:
    """Answer one strip, its fields as on the command line."""
    found = Findings("", at_line=True)
    table = FORM.read(found, {k: v for k, v in said.items() if v is not None})
    stuff = _stuff(table)
    if pattern is None and table.way == "drawing" and table.sound:
        pattern = read_pattern(table.get("drawing"), per_inch=table.get("per_inch"))
    trim = None if stuff is None else cut_trim(table, stuff, pattern=pattern)
    if trim is None:
        check_ends(table)
        raise SheetFault(dict.fromkeys(found.faults))
    system: System = table.get("units") or ("in" if found.inches else "mm")
    trim = replace(trim, notes=(*found.notes, *trim.notes))
    return answer(trim, system, named=table.get("edge"))


def _stuff(said: Table) -> Stuff | None:
    """The foam and the glue that are named on the command line."""
    grade, glue = said.get("foam", USUAL_FOAM), said.get("adhesive", USUAL_ADHESIVE)
    key = "foam"
    try:
        rows, law = foam_entries(grade), foam(grade)
        key = "adhesive"
        bead = adhesive(glue).bead
        key, rests = "", []
        if "thickness" not in said.written:
            row = look_up("limits", "default", "default_overlay_thickness")
            rests.append(f"strip {row.printed} mm thick ({row.basis}); measure it: --thickness")
        if "swatch" not in said.values:
            rests += [f"foam {grade}: {row.describe()}" for row in rows]
            return Stuff(grade, law, glue, bead, tuple(rests))
        key = "swatch"
        tested = fit_swatch(read_swatch(said.get("swatch")), grade=grade)
    except (ValueError, ArithmeticError, OSError) as fault:
        said.faults_of(key, fault)
        return None
    rests += [f"your swatch: {line}" for line in swatch_said(tested)]
    return Stuff(grade, tested.law, glue, bead, tuple(rests), swatch=tested)


def answer(trim: Trim, system: System, *, named: str | None = None) -> Answer:
    """A strip in words and tables."""
    glue, names = trim.stuff.adhesive, {round(m.place, 6): m.name for m in trim.marks}
    found, say = told(trim.cut, adhesive=glue, wanted=trim.wanted_pitch, system=system), Say(system)
    own = re.sub(r"[^\w-]+", "_", named or "").strip("_")[:40]
    return Answer(
        name=f"{trim.kind}_{own}" if own else f"trim_{trim.kind}",
        first=trim.first,
        sentence=found.sentence,
        notes=tuple(dict.fromkeys(trim.notes)),
        blocks=(
            _strips(found, say),
            _marks(found, cut_name(trim.cut), names, say),
            Listed("Why", found.reasons),
            _corners(found, say),
            Listed("Order of work", found.steps),
        ),
        rests_on=(trim.edge.describe(system), *trim.stuff.rests_on),
        frames=lambda: _frames(found, trim.kind, trim.strip.thickness, names),
        result=found,
    )


def _strips(found: Told, say: Say) -> Rows:
    """Equal strips in one row; both edges where they differ."""
    rows = found.rows()
    both = any(abs(row.edges[1] - row.edges[0]) >= _EQUAL for row in rows)
    heads = ["count", "length", "width", *(["inner edge", "outer edge"] if both else [])]
    cells = [
        [
            row.name,
            str(row.number),
            say(row.length),
            say.small(row.width),
            *(map(say, row.edges) if both else ()),
        ]
        for row in rows
    ]
    return Rows("", heads, cells)


def _marks(found: Told, what: str, names: Mapping[float, str], say: Say) -> Rows:
    """Where every mark meets its strip."""
    near = {(m.strip, m.on_edge): near_words(m, what, say.system) for m in found.near}
    cells = []
    for strip in found.strips:
        for mark in strip.marks:
            where = f"strip {strip.number}" if len(found.strips) > 1 else ""
            name = ", ".join(filter(None, (names.get(round(mark.on_edge, 6), ""), where)))
            beside = near.get((strip.number, mark.on_edge), "")
            row = [name or "mark", say(mark.on_edge), say(mark.on_strip)]
            cells.append([*row, beside] if beside else row)
    return Rows("marks", ("on the edge", "on the strip"), cells)


def _corners(found: Told, say: Say) -> Rows:
    """The corners of the edge; what to do there stands in the order of work."""
    cells = [
        [
            f"at {say(c.place)}",
            format_angle(c.turn),
            say.small(c.takes),
            f"{np.degrees(c.mitre):.1f}°",
        ]
        for c in found.corners
    ]
    return Rows("corners", ("turn", "takes", "cut at"), cells)


def _frames(found: Told, kind: str, thickness: float, names: Mapping[float, str]) -> dict[str, Any]:
    """One row a strip, and one a mark (pandas, units in the column heads)."""
    from foamcalc.fit.trim.strips import marks_table, strips_table

    strips, marks = strips_table(found.strips), marks_table(found.strips)
    strips.insert(1, "kind", kind)
    strips[["inner edge [mm]", "outer edge [mm]"]] = np.array(found.edges)
    strips["width [mm]"] = found.width
    strips["thickness [mm]"] = thickness
    places = marks["mark on the edge [mm]"]
    marks.insert(0, "mark", [names.get(round(p, 6), "") for p in places])
    return {"strips": strips, "marks": marks} if len(marks) else {"strips": strips}


def cut_trim(
    said: Table,
    stuff: Stuff,
    *,
    name: str = "",
    line: TrimEdge | None = None,
    pattern: Pattern | None = None,
) -> Trim | None:
    """The strip that was asked for; None, with its faults, where it cannot be made."""
    check_ends(said)
    if not said.sound:
        return None
    key = said.way
    try:
        edge = _edge(said, line, pattern)
        key = ""
        own = [NamedPlace("", place) for place in said.get("marks", ())]
        if not _on_edge(said, edge):
            return None
        marks = tuple(sorted([*edge.marks, *own], key=lambda m: m.place))
        strip = _strip(said, stuff)
        cut = _cut(said, stuff, edge.curve, strip, [m.place for m in marks])
    except (ValueError, TypeError, ArithmeticError) as error:
        told = str(error) if said.found.at_line else str(error).replace("--", "")
        said.faults_of(key, ValueError(told))
        return None
    lifted: list[str] = []
    if said.get("kind") in ("slit", "toothed") and stuff.bead:
        lifted = [
            f"the bead of {stuff.adhesive} lifts the strip by {stuff.bead:g} mm; that "
            f"is not counted: {stuff.bead * edge.curve.turn:+.1f} mm more"
        ]
    return Trim(
        name=name,
        kind=said.get("kind"),
        count=said.get("count", 1),
        cut=cut,
        edge=edge,
        strip=strip,
        stuff=stuff,
        marks=marks,
        wanted_pitch=said.get("pitch"),
        first=() if pattern is None else pattern.size_said(),
        notes=(*lifted, *(() if stuff.swatch is None else swatch_notes(stuff.swatch))),
    )


def check_ends(said: Table) -> None:
    """Faults for a spare or a wrap without its end, and for a wrapped end without its wrap."""
    if "ends" in said.written and "ends" not in said.values:
        return
    ends, wrapped = said.get("ends", ()), "wrapped" in said.get("ends", ())
    how = said.found.spelled("ends")
    for name, kind in (("spare", "free"), ("wrap", "wrapped")):
        if name in said.written and kind not in ends:
            word = f"{how} {kind}" if said.found.at_line else f'{how} = "{kind}"'
            said.fault(name, f"goes with {word}; leave it out, or add that")
    if "edge_thickness" in said.written and said.get("kind") not in (None, "binding"):
        if not wrapped:
            said.fault("edge_thickness", "goes with binding or a wrapped end only; leave it out")
    if wrapped and "wrap" not in said.written:
        said.missing(FORM.key("wrap"))


def _on_edge(said: Table, edge: TrimEdge) -> bool:
    """Whether the marks that were said lie along the edge, one after the other."""
    places, whole = said.get("marks", ()), edge.curve.length
    say = said.found.tape
    if any(after <= before for before, after in pairwise(places)):
        said.fault("marks", "must go from the nearer to the farther place, none twice")
    elif places and places[-1] > whole * (1 + 1e-9):
        said.fault(
            "marks",
            f"{say(places[-1])} lies past the end of the edge, which is {say(whole)} long; write "
            "at most that",
        )
    return said.sound


def _strip(said: Table, stuff: Stuff) -> Piece:
    """Thickness, foam, and the width where it was said."""
    usual = look_up("limits", "default", "default_overlay_thickness").in_unit("mm")
    return Piece(
        thickness=said.get("thickness", usual),
        law=stuff.law,
        width=said.get("width", Piece.width),
        fibre=stuff.fibre,
        modulus_spread=modulus_spread(stuff.swatch),
    )


def _limits(said: Table, stuff: Stuff, strip: Piece) -> dict[str, Limit]:
    """Limits that were tested or said, in place of the usual ones."""
    most = said.get("most_stretch")
    if most is not None:
        return {"stretch": own_limit(most, "1")}
    usual = rim_limits(strip)["stretch"]
    tested = stretch_limit(stuff.swatch, usual)
    return {} if tested is usual else {"stretch": tested}


def _ends(said: Table) -> Ends | None:
    """What is done at the two ends; None where nothing was said."""
    made = [
        StripEnd(kind=kind, leg=said.get("wrap"), over=said.get("edge_thickness", 0.0))
        if kind == "wrapped"
        else StripEnd(kind=kind, spare=said.get("spare") if kind == "free" else None)
        for kind in said.get("ends", ())
    ]
    return (made[0], made[-1]) if made else None


def _cut(said: Table, stuff: Stuff, curve: Curve, strip: Piece, marks: Sequence[float]) -> Cut:
    """Cut the strip; ValueError where it cannot be made."""
    get = said.get
    laid: dict[str, Any] = {"ends": _ends(said), "marks": tuple(marks)}
    lap, longest = get("lap"), get("longest", np.inf)
    joining = BUTT
    if lap is not None or "longest" in said.values:
        joining = Joining(kind="butt" if lap is None else "lap", lap=lap or 0.0, longest=longest)
    if get("kind") in ("slit", "toothed"):
        own = {"piece": strip, "depth": get("depth"), "face": get("face", "outside")}
        how = {"longest": longest, **laid}
        if get("kind") == "slit":
            slit = SlitStrip(**own, kerf=get("slit_width", 0.0))
            return _untorn(partial(cut_slits, curve, slit, **how), get("pitch"), strip)
        return _untorn(partial(cut_teeth, curve, ToothedStrip(**own), **how), get("pitch"), strip)
    laid |= {"limits": _limits(said, stuff, strip), "joining": joining}
    if get("kind") == "band":
        band = Band(curve=curve, strip=strip, side=get("side", "inside"), pull=get("pull", 0.0))
        found = choose_band(band, **laid)
        if get("not_pulled") and found.choice == "straight, pulled":
            return replace(found, choice="cut to shape", pulled=None)
        return found
    if get("kind") == "rim":
        rim = Rim(curve=curve, strip=strip, bead=stuff.bead, cut=get("cut"))
        return allowed_rim(rim, at_corners=get("at_corners", "bent"), **laid)
    legs = get("legs")
    bound = Binding(
        curve=curve,
        strip=strip,
        edge=get("edge_thickness"),
        legs=(legs[0], legs[-1]),
        fold_radius=stuff.bead,
    )
    first = cut_binding(bound, **laid)
    return first if first.met else cut_binding(replace(bound, short=0.0), **laid)


def _untorn(cut: Callable[..., _Pitched], pitch: float, strip: Piece) -> _Pitched:
    """A strip at the pitch that was asked for, or at the next shorter one at which it holds."""
    found = wanted = cut(pitch=pitch)
    for step in range(1, _STEPS):
        if found.met:
            return found if found is wanted else replace(found, refused=wanted)
        found = cut(pitch=pitch * _SHORTER**step)
    check = wanted.checks[0]
    raise ValueError(
        f"a strip {strip.thickness:g} mm thick tears at the roots of its cuts at any pitch "
        f"on this edge: {check.found:.0%} of stretch there, and foam takes about "
        f"{check.limit.value:.0%} ({check.limit.basis}); take a thinner strip or a deeper cut"
    )


def _edge(said: Table, line: TrimEdge | None, pattern: Pattern | None) -> TrimEdge:
    """The edge, by the one way in which it is given."""
    turn, around = said.get("turn"), said.get("around")
    if line is not None:
        if around and not line.curve.closed:
            raise ValueError("--around goes with a closed edge only; leave it out")
        return round_opening(line) if around == "opening" else line
    if pattern is not None:
        return _drawn(said, pattern)
    if said.way == "radius":
        return TrimEdge(Arc(said.get("radius"), turn), "radius and angle")
    if said.way == "length":
        bent = TurnedLength(said.get("length"), turn)
        return TrimEdge(bent, f"tape and angle, taken as evenly curved; {_tape()}")
    if around is not None and turn is not None:
        raise ValueError("what the edge goes round must be said once: --around or --turn")
    turned = FULL_TURN if turn is None else turn
    if not np.isclose(abs(turned), FULL_TURN, rtol=1e-9):
        raise ValueError(
            f"turn of an edge that goes once round must be 360 deg, or -360 deg round a hole, "
            f"got {np.degrees(turned):.4g} deg; for a part of it give --length or --radius"
        )
    closed = Arc(said.get("round") / FULL_TURN, turned, closed=True)
    edge = TrimEdge(closed, f"once round by the tape, taken as a circle; {_tape()}")
    return round_opening(edge) if around == "opening" else edge


def _tape() -> str:
    """How good a tape reading is."""
    return f"a tape is good to ± {look_up('limits', 'habit', 'tape_reading').printed} mm"


def _drawn(said: Table, pattern: Pattern) -> TrimEdge:
    name, start, end, outside, around = map(said.get, ("edge", "from", "to", "outside", "around"))
    whole = pattern.outline(name, outside=outside or "left")
    if not whole.closed and outside is None:
        raise ValueError(
            f"{pattern.file}: {name!r} is an open line, so that no one knows where it is hollow: "
            "say with --outside on which side of it no foam lies, left or right, seen along it"
        )
    if whole.closed and outside is not None:
        raise ValueError(
            f"{pattern.file}: {name!r} is closed: leave --outside out, and say --around opening "
            "where it goes round an opening in the foam"
        )
    if not whole.closed and around is not None:
        raise ValueError(
            f"{pattern.file}: --around goes with a closed edge only, and {name!r} is an open line; "
            "say --outside"
        )
    ends: Sequence[str | None] = (start, end)
    if whole.closed and (start is None) != (end is None):
        raise ValueError(
            f"{pattern.file}: {name!r} is closed: name both marks, where the strip begins and "
            "where it ends, or none to go once round"
        )
    if whole.closed and start is None:
        edge, part = whole, f"{name} in {pattern.file}, once round"
    else:
        edge = pattern.edge(name, *ends, outside=outside or "left")
        part = f"{name} in {pattern.file}"
        if edge.between_marks is not None:
            part += f" from {' to '.join(edge.between_marks)}"
    marks = tuple(NamedPlace(m.name, m.place) for m in edge.marks)
    way = "" if not whole.closed or start is None else ", in the direction of drawing"
    found = TrimEdge(edge, f"{part}{way}; the cut edge is as good as the knife", marks)
    if around is None and whole.closed and pattern.is_opening(name):
        around = "opening"
    return round_opening(found) if around == "opening" else found
