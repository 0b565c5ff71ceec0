"""Shells of a job sheet: a base, its curve, and what is done with it."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from foamcalc.ask.form import END, Table
from foamcalc.ask.rules import own_limit, state
from foamcalc.ask.sheet.curves import Line
from foamcalc.ask.sheet.parts import USUAL_ADHESIVE, USUAL_FOAM, Adhesive, Foam, Parts
from foamcalc.fit.limits import Limit, opening_limit
from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Face, Piece
from foamcalc.shape.plane import Curve


@dataclass(frozen=True, kw_only=True)
class ShellJob:
    """A base of the sheet with all that is glued on it."""

    name: str
    base: Piece
    curve: Curve
    face: Face
    """Which face of the base `curve` is."""
    adhesive: str
    """A row of adhesives.csv."""
    bead: float
    """Thickness of the glue [mm]."""
    joints: tuple[str, ...]
    """Names of the overlays on it, in the order of gluing."""
    relaxes: float | None
    """Share of the base's stress that is gone by the next day; None: not known."""
    held_overnight: bool
    strap: tuple[float, float] | None
    """Places along the curve that a strap holds [mm]."""
    seam: float | None
    """Place of a ring's butt seam along the curve [mm]."""
    most_opening: Limit
    """Most the mouth, or a ring's girth, may change."""
    rests_on: tuple[str, ...]
    foam: str
    """The base's foam, for the reader."""
    densities: tuple[float, ...]
    """What base and overlays weigh, in the order of gluing [kg/m3]."""
    density_said: bool
    """Whether the maker said what the base weighs."""
    already_cut: bool = False
    """Whether the base is cut."""
    width_said: bool = True
    """Whether the width of the base was said, not assumed."""


@dataclass(kw_only=True)
class Base:
    """A base while its overlays are read."""

    name: str
    piece: Piece
    line: Line
    foam: Foam
    adhesive: Adhesive
    most_opening: Limit | None
    rests_on: tuple[str, ...]
    strap: tuple[float, float] | None
    seam: float | None
    held_overnight: bool
    already_cut: bool = False
    width_said: bool = True
    covers: list[Cover] = field(default_factory=list)
    """The overlays read so far, in the order of gluing."""
    densities: list[float] = field(default_factory=list)
    """What each of them weighs [kg/m3]."""

    def job(self) -> ShellJob:
        """The shell with the overlays it was given."""
        shell = Shell(base=self.piece, curve=self.line.curve, face=self.line.face)
        return ShellJob(
            name=self.name,
            base=self.piece,
            curve=self.line.curve,
            face=self.line.face,
            adhesive=self.adhesive.kind,
            bead=self.adhesive.bead,
            joints=tuple(cover.name for cover in self.covers),
            relaxes=self.foam.relaxes,
            held_overnight=self.held_overnight,
            strap=self.strap,
            seam=self.seam,
            most_opening=self.most_opening or opening_limit(shell),
            rests_on=self.rests_on,
            foam=self.foam.shown,
            densities=(self.foam.density, *self.densities),
            density_said=self.foam.density_said,
            already_cut=self.already_cut,
            width_said=self.width_said,
        )


def read_base(
    table: Table,
    name: str,
    curves: Parts[Line],
    foams: Parts[Foam],
    adhesives: Parts[Adhesive],
) -> Base | None:
    """The base of a checked table; None if it, or what it refers to, has a fault."""
    line = curves.refer(table, "curve")
    foam = foams.refer(table, "foam", USUAL_FOAM)
    adhesive = adhesives.refer(table, "adhesive", USUAL_ADHESIVE)
    places = _places(table, line)
    if line is not None and line.hollow and not table.get("hollow", False):
        _ask_side(table, line)
    if not table.sound or line is None or foam is None or adhesive is None:
        return None
    width = table.get("width")
    piece = Piece(
        thickness=table.values["thickness"],
        law=foam.law,
        width=Piece.width if width is None else width,
        formed=table.get("formed", 1.0),
        fibre=foam.fibre,
    )
    try:
        Shell(base=piece, curve=line.curve, face=line.face, bead=adhesive.bead)
    except ValueError as error:
        table.faults_of("thickness", error)
        return None
    most = table.get("most_opening")
    return Base(
        name=name,
        piece=piece,
        line=line,
        foam=foam,
        adhesive=adhesive,
        most_opening=None if most is None else own_limit(most, "mm"),
        rests_on=(line.rests_on, state(piece.formed), *assumed_width(width), *said(table, foam)),
        strap=places,
        seam=table.get("seam"),
        held_overnight=table.get("held_overnight", False),
        already_cut=table.get("already_cut", False),
        width_said=width is not None,
    )


def _ask_side(table: Table, line: Line) -> None:
    """Which side of a curve that is hollow for the most part is the outside."""
    other = "right" if line.outside == "left" else "left"
    table.fault(
        "curve",
        f"{line.head} turns {np.degrees(line.curve.turn):.0f}°: with the outside on the "
        f"{line.outside} of its points most of this base is hollow; which side is the outside? If "
        f'it is the other one, write outside = "{other}" in {line.head}; if the base is meant to '
        "be hollow, write hollow = true here",
    )


def assumed_width(width: float | None) -> tuple[str, ...]:
    """That a width was assumed, if it was."""
    if width is not None:
        return ()
    return (f"width of the base {Piece.width:g} mm (assumed; the pull depends on it)",)


def said(table: Table, foam: Foam, key: str = "foam") -> tuple[str, ...]:
    """What a foam rests on, and whether it was named at all."""
    if key in table.values:
        return foam.rests_on
    return (f"{key.replace('_', ' ')} {foam.shown} (assumed, none was named)", *foam.rests_on)


def _places(table: Table, line: Line | None) -> tuple[float, float] | None:
    """Places of the strap; faults for a strap or a seam where it cannot be."""
    if line is None:
        return None
    length, ring = line.curve.length, line.curve.closed
    if table.get("held_overnight") and "strap" not in table.written:
        table.fault(
            "held_overnight",
            f'true, but without a strap; write strap = [0, "{END}"] or leave it out',
        )
    if ring and "strap" in table.written:
        table.fault("strap", f"{line.head} is a ring and has no ends to strap; leave it out")
        return None
    seam = table.get("seam")
    if not ring and "seam" in table.written:
        table.fault("seam", f"{line.head} is open and has no butt seam; leave it out")
    elif seam is not None:
        on_curve(table, "seam", seam, line)
    strap = table.get("strap")
    if strap is None:
        return None
    start, end = (length if place == END else place for place in strap)
    if not all(on_curve(table, "strap", place, line) for place in (start, end)):
        return None
    say = table.found.tape
    if start >= end:
        table.fault(
            "strap",
            f"must go from the nearer to the farther place, got {say(start)} and {say(end)}",
        )
        return None
    return start, end


def on_curve(table: Table, key: str, place: float, line: Line) -> bool:
    """Whether a place lies on a curve; adds the fault if not."""
    length = line.curve.length
    if place <= length * (1 + 1e-9):
        return True
    say = table.found.tape
    end = "" if key == "seam" else f', or "{END}"'
    table.fault(
        key,
        f"{say(place)} lies past the end of {line.head}, which is {say(length)} long on its "
        f"{line.face}; write at most that{end}",
    )
    return False
