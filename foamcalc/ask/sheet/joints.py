"""Overlays of a job sheet: each one joint, on a shell of the sheet or by two tape readings."""

from __future__ import annotations

from dataclasses import dataclass, replace

from foamcalc.ask.form import END, Table
from foamcalc.ask.rules import limits_of, narrower, slip, state, turn_of, turn_said
from foamcalc.ask.sheet.keys import ONLY_WITH_NEEDED, ONLY_WITH_SHELL
from foamcalc.ask.sheet.parts import USUAL_ADHESIVE, USUAL_FOAM, Adhesive, Foam, Parts
from foamcalc.ask.sheet.shells import Base, assumed_width, on_curve, said
from foamcalc.ask.swatch_record import modulus_spread
from foamcalc.fit.choice import Situation
from foamcalc.fit.limits import Limit
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.shell import Cover
from foamcalc.fit.stack import Piece, needed_lengths

_TURNS = ("turn", "radius", "mouth", "inside")


@dataclass(frozen=True, kw_only=True)
class Joint:
    """One overlay of the sheet, and what the maker said about it."""

    name: str
    overlay: Overlay
    situation: Situation
    limits: dict[str, Limit]
    rests_on: tuple[str, ...]
    foam: str
    """The overlay's foam, for the reader."""
    shell: str | None
    """The shell it goes over; None: known by two tape readings."""
    relaxes: float | None = None
    """Share of the overlay's stress that is gone by the next day; None: not known."""
    width_said: bool = True
    """Whether the width of the overlay was said, not assumed."""


def read_joint(
    table: Table,
    name: str,
    shells: Parts[Base],
    foams: Parts[Foam],
    adhesives: Parts[Adhesive],
) -> Joint | None:
    """The joint of a checked table; None if it, or what it refers to, has a fault."""
    on_shell = _on_shell(table)
    if table.get("already_cut") and "cut" not in table.written:
        table.fault(
            "cut",
            "is missing although already_cut = true; measure the overlay lying flat and write "
            "cut = 160, or write already_cut = false",
        )
    if on_shell is None:
        return None
    if on_shell:
        return _over_shell(table, name, shells, foams)
    return _by_tape(table, name, foams, adhesives)


def _on_shell(table: Table) -> bool | None:
    """Whether the overlay goes over a shell of the sheet; None, with a fault, if neither."""
    shell, needed = "shell" in table.written, "needed" in table.written
    if shell and needed:
        table.fault("needed", "does not go with shell, which gives the length; keep one of the two")
        return None
    if not (shell or needed):
        lost = [key for key in (*ONLY_WITH_SHELL, *ONLY_WITH_NEEDED) if key in table.written]
        also = f" (it would go with {', '.join(lost)})" if lost else ""
        table.fault(
            "",
            'where it goes is not said: write shell = "back", or two tape readings, cut and '
            f"needed{also}",
        )
        return None
    wrong, with_ = (ONLY_WITH_NEEDED, "needed") if shell else (ONLY_WITH_SHELL, "shell")
    for key in wrong:
        if key in table.written:
            more = (
                "; it is set at the shell" if shell and key in ("adhesive", "most_opening") else ""
            )
            table.fault(key, f"goes with {with_} only; leave it out{more}")
    return shell


def _over_shell(table: Table, name: str, shells: Parts[Base], foams: Parts[Foam]) -> Joint | None:
    """A joint over a shell of the sheet, or over a part of it."""
    base = shells.refer(table, "shell")
    foam = None if base is None else base.foam
    if "foam" in table.written:
        foam = foams.refer(table, "foam")
    if base is not None:
        start, end = _run(table, base)
        ring = base.line.curve.closed and start == 0 and end is None
        free_ends = _free_ends(table, ring)
    if not table.sound or base is None or foam is None:
        return None
    piece = _piece(table, foam, base.piece.width)
    cut = table.get("cut")
    try:
        joint = Overlay.from_curve(
            base.line.curve,
            face=base.line.face,
            base=base.piece,
            overlay=piece,
            start=start,
            end=end,
            cut=cut,
            bead=base.adhesive.bead,
            under=tuple(base.covers),
        )
        wrong = slip(joint.cut_length, joint.needed_length)
    except (ValueError, ArithmeticError) as error:
        table.faults_of("", error)
        return None
    if wrong:
        table.fault("cut", wrong)
        return None
    by_face = _by_face(table, base, start, end)
    base.covers.append(Cover(piece=piece, start=start, end=end, cut_length=cut, name=name))
    base.densities.append(foam.density)
    limits = _limits(table, joint, foam, base.adhesive)
    if base.most_opening is not None:
        limits["girth" if base.line.curve.closed else "mouth"] = base.most_opening
    own = said(table, foam) if "foam" in table.values else ()
    under = [cover.name for cover in joint.below()]
    below = [f"lies over {', '.join(under)}, taken to fit"] if under else []
    return Joint(
        name=name,
        overlay=joint,
        situation=_situation(table, free_ends, base.adhesive),
        limits=limits,
        rests_on=tuple(
            filter(None, dict.fromkeys((*base.rests_on, *by_face, *below, narrower(joint), *own)))
        ),
        foam=foam.shown,
        shell=base.name,
        relaxes=foam.relaxes,
        width_said="width" in table.written or base.width_said,
    )


def _run(table: Table, base: Base) -> tuple[float, float | None]:
    """Where the overlay lies along the curve; faults for a run that cannot be."""
    start, to = table.get("from", 0.0), table.get("to", END)
    curve = base.line.curve
    start = curve.length if start == END else start
    end = None if to == END else to
    inside = all(
        on_curve(table, key, place, base.line)
        for key, place in (("from", start), ("to", end))
        if place is not None
    )
    last = curve.length if end is None else end
    say = table.found.tape
    if inside and (start == last or (start > last and not curve.closed)):
        table.fault("from", f"must come before to, got {say(start)} and {say(last)}")
    return start, end


def _by_face(table: Table, base: Base, start: float, end: float | None) -> tuple[str, ...]:
    """Where an overlay begins and ends on both faces, if its places were measured inside."""
    if base.line.face == "outside" or not {"from", "to"} & table.written:
        return ()
    curve, say = base.line.curve, table.found.tape
    places = (start, curve.length if end is None else end)
    over = [float(curve.length_at(base.piece.thickness, end=x)) if x else 0.0 for x in places]
    inside, outside = (f"from {say(a)} to {say(b)}" for a, b in (places, over))
    if all(cover.start == 0 and cover.end is None for cover in base.covers):
        table.found.note(
            table.place,
            "from" if "from" in table.written else "to",
            f"taken along the inside, where {base.line.head} was measured: {inside}; by a tape "
            f"over the outside {outside}",
        )
    return (f"lies {inside} along the inside, {outside} along the outside",)


def _free_ends(table: Table, ring: bool) -> int:
    """Ends that may run past; an overlay all round a ring has none."""
    ends = int(table.get("free_ends", 0 if ring else 2))
    if ring and ends:
        table.fault(
            "free_ends", f"an overlay all round a ring has no free ends, got {ends}; leave it out"
        )
    return ends


def _piece(table: Table, foam: Foam, width: float) -> Piece:
    wide, hole = table.get("width", width), table.get("hole", 0.0)
    if hole > wide / 2:
        table.fault(
            "hole",
            f"must be at most half the width of the piece ({wide:g} mm), got {hole:g} mm; what is "
            "left beside it is bars, which stretch more",
        )
        hole = 0.0
    return Piece(
        thickness=table.values["thickness"],
        law=foam.law,
        width=wide,
        formed=table.get("formed", 0.0),
        fibre=foam.fibre,
        modulus_spread=modulus_spread(foam.swatch),
        hole=hole,
    )


def _situation(table: Table, free_ends: int, adhesive: Adhesive) -> Situation:
    return Situation(
        already_cut=table.get("already_cut", "cut" in table.values),
        free_ends=free_ends,
        adhesive=adhesive.kind,
    )


def _limits(table: Table, joint: Overlay, foam: Foam, adhesive: Adhesive) -> dict[str, Limit]:
    """The usual limits, with what was tested or said in their place."""
    return limits_of(
        joint,
        swatch=foam.swatch,
        peel=adhesive.peel,
        most_stretch=table.get("most_stretch"),
        most_opening=table.get("most_opening"),
    )


def _by_tape(
    table: Table, name: str, foams: Parts[Foam], adhesives: Parts[Adhesive]
) -> Joint | None:
    """A joint known by two tape readings."""
    foam = foams.refer(table, "foam", USUAL_FOAM)
    base_foam = foams.refer(table, "base_foam") if "base_foam" in table.written else foam
    adhesive = adhesives.refer(table, "adhesive", USUAL_ADHESIVE)
    if "base" not in table.written:
        table.fault("base", "is missing beside needed: measure the base and write base = 10")
    _turn_faults(table)
    if not table.sound or foam is None or base_foam is None or adhesive is None:
        return None
    width = table.get("width", table.get("base_width"))
    overlay = _piece(table, foam, Piece.width if width is None else width)
    base = Piece(
        thickness=table.values["base"],
        law=base_foam.law,
        width=table.get("base_width", overlay.width),
        formed=table.get("base_formed", 1.0),
        fibre=base_foam.fibre,
    )
    joint = _taped(table, base, overlay, adhesive.bead)
    if joint is None:
        return None
    limits = _limits(table, joint, foam, adhesive)
    return Joint(
        name=name,
        overlay=joint,
        situation=_situation(table, table.get("free_ends", 2), adhesive),
        limits=limits,
        rests_on=tuple(
            filter(
                None,
                dict.fromkeys(
                    (
                        turn_said(joint, "turn, mouth, inside or radius"),
                        "taken to cover the base from end to end; if it covers a part, write its "
                        "[shell.NAME]",
                        narrower(joint),
                        state(base.formed),
                        *assumed_width(width),
                        *said(table, foam),
                        *base_foam.rests_on,
                    )
                ),
            )
        ),
        foam=foam.shown,
        shell=None,
        relaxes=foam.relaxes,
        width_said=width is not None,
    )


def _turn_faults(table: Table) -> None:
    """Faults for a turn said in two ways, or in none where nothing was cut yet."""
    said_turns = [key for key in _TURNS if key in table.written]
    if len(said_turns) > 1:
        table.fault(said_turns[1], f"give only one of {' and '.join(said_turns)}; keep one")
    if not said_turns and "cut" not in table.written:
        table.fault(
            "turn",
            "is missing: nothing is cut yet, so write one of turn, radius, mouth and inside, for "
            'example turn = "180 deg"',
        )


def _taped(table: Table, base: Piece, overlay: Piece, bead: float) -> Overlay | None:
    """The joint from its readings; None if they cannot be."""
    needed, cut = table.values["needed"], table.get("cut")
    turns = {key: table.values[key] for key in _TURNS if key in table.values}
    if cut is not None and (wrong := slip(cut, needed)):
        table.fault("cut", wrong)
        return None
    try:
        turn = turn_of(
            turns,
            {key: f"{value:g} mm" for key, value in turns.items()},
            needed=needed,
            thickness=base.thickness,
        )
        joint = Overlay.from_tape(
            cut=needed if cut is None else cut,
            needed=needed,
            base=base,
            overlay=overlay,
            bead=bead,
            **turn,
        )
        if cut is not None:
            return joint
        flat = needed_lengths((base,), inside_length=joint.inside_length, turn=joint.turn)
        return replace(joint, cut_length=float(flat[0]))
    except (ValueError, ArithmeticError) as error:
        table.faults_of("", error)
        return None
