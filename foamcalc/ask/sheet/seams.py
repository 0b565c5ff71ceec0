"""Seams of a job sheet: each two edges, from a drawing beside the sheet or from two tapes."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from foamcalc.ask.form import Table
from foamcalc.ask.seam.build import (
    EdgePiece,
    bevels_of,
    depth_said,
    drawing_said,
    joined,
    limits_for,
    tape_said,
)
from foamcalc.ask.seam.drawing import DrawnSeam, Wanted, drawn_seam, seam_in
from foamcalc.ask.seam.tape import EDGES, taped_edge
from foamcalc.ask.sheet.files import beside
from foamcalc.ask.sheet.parts import USUAL_ADHESIVE, USUAL_FOAM, Adhesive, Foam, Parts
from foamcalc.ask.sheet.seam_keys import ONLY_WITH_DRAWING, ONLY_WITH_MARKS
from foamcalc.ask.sheet.shells import said
from foamcalc.ask.swatch_record import modulus_spread
from foamcalc.fit.bevel_faces import FaceLengths
from foamcalc.fit.limits import Limit
from foamcalc.fit.seam import Seam, SeamEdge, SeamSituation
from foamcalc.fit.stack import Piece
from foamcalc.shape.pattern import Pattern, read_pattern


@dataclass(frozen=True, kw_only=True)
class SeamJob:
    """One seam of the sheet, and what the maker said about it."""

    name: str
    seam: Seam
    situation: SeamSituation
    limits: dict[str, Limit]
    rests_on: tuple[str, ...]
    notes: tuple[str, ...] = ()
    bevels: tuple[FaceLengths, ...] = ()
    """Both faces of both edges, where they are bevelled."""
    drawn: DrawnSeam | None = None
    """Where the edges come from; None: from two tapes."""


class Drawings:
    """Drawings beside a sheet, each read once.

    Parameters
    ----------
    folder : Path
        Where they are looked for, and nowhere else.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._read: dict[tuple[Path, int | None], Pattern] = {}

    def named(self, table: Table) -> Pattern | None:
        """The drawing that a table names; None, with a fault, if it cannot be used."""
        place = beside(table, "drawing", self.folder)
        if place is None:
            return None
        per_inch = table.get("per_inch")
        try:
            found = self._read.get((place, per_inch)) or read_pattern(place, per_inch=per_inch)
        except (ValueError, OSError) as error:
            table.fault("drawing", str(error).replace("per_inch=", "per_inch = "))
            return None
        if found.question:
            table.fault(
                "per_inch",
                f"is missing: {found.size_said()[0]}; measure a length that you know on the "
                "drawing and write per_inch = 72, 90 or 96",
            )
            return None
        self._read[place, per_inch] = found
        return found


def read_seam(
    table: Table,
    name: str,
    foams: Parts[Foam],
    adhesives: Parts[Adhesive],
    drawings: Drawings,
) -> SeamJob | None:
    """The seam of a checked table; None if it, or what it refers to, has a fault."""
    from_drawing = _from_drawing(table)
    foam = foams.refer(table, "foam", USUAL_FOAM)
    other_foam = foams.refer(table, "other_foam") if "other_foam" in table.written else foam
    adhesive = adhesives.refer(table, "adhesive", USUAL_ADHESIVE)
    if from_drawing is None:
        return None
    pattern = None
    if from_drawing and "drawing" in table.values:
        pattern = drawings.named(table)
    if not table.sound or foam is None or other_foam is None or adhesive is None:
        return None
    pieces = _pieces(table, foam, other_foam)
    key = "marks" if pattern is None else "edge"
    try:
        drawn = None if pattern is None else _drawn(table, pattern)
        seam = _seam(table, pieces, drawn)
        key = "bevel"
        bevels = _bevels(table, seam)
    except (ValueError, TypeError, ArithmeticError) as error:
        table.faults_of(key, error)
        return None
    rests_on = (
        tape_said() if drawn is None else drawing_said(drawn.pattern.file),
        *pieces[0].rests_on,
        *pieces[1].rests_on,
        depth_said(seam, "write depth and other_depth"),
    )
    return SeamJob(
        name=name,
        seam=seam,
        situation=SeamSituation(
            already_cut=table.get("already_cut", True),
            free_end=table.get("free_end", "none"),
            marks_move=table.get("marks_move", True),
            adhesive=adhesive.kind,
        ),
        limits=limits_for(
            seam,
            swatches=[piece.swatch for piece in pieces],
            most_stretch=table.get("most_stretch"),
        ),
        rests_on=tuple(filter(None, dict.fromkeys(rests_on))),
        notes=() if drawn is None else drawn.notes,
        bevels=bevels,
        drawn=drawn,
    )


def _from_drawing(table: Table) -> bool | None:
    """Whether the edges are in a drawing; None, with a fault, if nothing tells where they are."""
    drawing, marks = "drawing" in table.written, {"marks", "other_marks"} & table.written
    if drawing and marks:
        table.fault(sorted(marks)[0], "does not go with drawing, which has the marks; keep one")
        return None
    if not (drawing or marks):
        table.fault(
            "",
            'where its edges are is not said: write drawing = "knee_cup.svg" and edge and '
            'other_edge, or two tapes, marks = "0 48 100" and other_marks = "0 50 98"',
        )
        return None
    wrong, with_ = (ONLY_WITH_MARKS, "marks") if drawing else (ONLY_WITH_DRAWING, "drawing")
    for key in wrong:
        if key in table.written:
            table.fault(key, f"goes with {with_} only; leave it out")
    for key in ("edge", "other_edge") if drawing else ("marks", "other_marks"):
        if key not in table.written:
            table.fault(key, "is missing: a seam has two edges")
    return drawing


def _pieces(table: Table, foam: Foam, other_foam: Foam) -> tuple[EdgePiece, EdgePiece]:
    """The pieces behind the edges; the second is like the first where nothing else is said."""
    thickness = table.values["thickness"]
    first, second = (
        EdgePiece(
            piece=Piece(
                thickness=thick,
                law=own.law,
                fibre=own.fibre,
                modulus_spread=modulus_spread(own.swatch),
            ),
            depth=np.inf if depth is None else depth,
            swatch=own.swatch,
            rests_on=lines,
        )
        for own, thick, depth, lines in (
            (foam, thickness, table.get("depth"), said(table, foam)),
            (
                other_foam,
                table.get("other_thickness", thickness),
                table.get("other_depth"),
                other_foam.rests_on,
            ),
        )
    )
    return first, second


def _drawn(table: Table, pattern: Pattern) -> DrawnSeam:
    get = table.get
    return drawn_seam(
        pattern,
        Wanted(get("edge"), get("from"), get("to"), get("outside")),
        Wanted(get("other_edge"), get("other_from"), get("other_to"), get("other_outside")),
        by_order=get("by_order", False),
        leave_out=get("leave_out", ()),
    )


def _seam(table: Table, pieces: tuple[EdgePiece, EdgePiece], drawn: DrawnSeam | None) -> Seam:
    """The two edges, joined."""
    held = table.get("held") == "first", table.get("held") == "second"
    reverse = table.get("reverse")
    if drawn is None:
        return joined(*_taped(table, pieces, held), reverse=reverse)
    by_order = table.get("by_order", False)
    return seam_in(drawn, pieces=pieces, held=held, by_order=by_order, reverse=reverse)


def _taped(
    table: Table, pieces: tuple[EdgePiece, EdgePiece], held: tuple[bool, bool]
) -> tuple[SeamEdge, SeamEdge]:
    called = table.get("edge", EDGES[0]), table.get("other_edge", EDGES[1])
    first, second = (
        taped_edge(
            name=name,
            piece=piece.piece,
            places=table.values[marks],
            names=names,
            turns=table.get(turns),
            depth=piece.depth,
            held=fixed,
        )
        for name, piece, marks, names, turns, fixed in zip(
            called,
            pieces,
            ("marks", "other_marks"),
            (table.get("mark_names"), None),
            ("turn", "other_turn"),
            held,
            strict=True,
        )
    )
    return first, second


def _bevels(table: Table, seam: Seam) -> tuple[FaceLengths, ...]:
    """Both faces of both edges, where a bevel is wanted."""
    bevel = table.get("bevel")
    if bevel is not None and (seam.a.turns is None or seam.b.turns is None):
        raise ValueError(
            "say with it how much each edge turns between its ends, turn and other_turn, '0 deg' "
            "where it is straight; or of an open line in a drawing the outside and other_outside"
        )
    return bevels_of(
        seam,
        bevel=bevel,
        drawn=table.get("face", "outside"),
        cut_back="outside" if table.get("valley", False) else "inside",
    )
