"""Strips along edges in a job sheet: each with its edge, by a curve, a drawing or a tape."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from foamcalc.fit.stack import Piece
from foamcalc.foam.swatch import Swatch
from foamcalc.job.sheet.curves import Line
from foamcalc.job.sheet.findings import Table, heading
from foamcalc.job.sheet.keys import TABLES
from foamcalc.job.sheet.parts import USUAL_ADHESIVE, Adhesive, Foam, Parts, own_foam
from foamcalc.job.sheet.seams import Drawings
from foamcalc.job.sheet.shells import said
from foamcalc.job.sheet.trim_keys import EDGES, ONLY_WITH_DRAWING
from foamcalc.job.swatch.words import modulus_spread
from foamcalc.job.trim.edge import NamedPlace, TrimEdge, drawn_edge, measured_edge, round_opening
from foamcalc.job.trim.kinds import Cut, cut_trim
from foamcalc.job.trim.question import MEANING, NEEDED, ONLY, TrimQuestion, or_words
from foamcalc.job.trim.typed import TypedTrim
from foamcalc.shape.pattern import Pattern


@dataclass(frozen=True, kw_only=True)
class TrimJob:
    """One strip along an edge of the sheet, as it is cut."""

    name: str
    kind: str
    count: int
    """How many of it, all alike."""
    cut: Cut
    edge: TrimEdge
    strip: Piece
    foam: str
    """Its foam, for the reader."""
    adhesive: str
    marks: tuple[NamedPlace, ...]
    wanted_pitch: float | None
    """Pitch that was asked for [mm]."""
    size_said: tuple[str, ...]
    """How big the drawing is, if the edge is from one."""
    rests_on: tuple[str, ...]
    notes: tuple[str, ...]


class SheetTrim(TypedTrim):
    """A strip as a table of the sheet says it.

    Parameters
    ----------
    table : Table
        Checked, and complete for its kind.
    edge : TrimEdge
        The edge it follows.
    foam : Foam
    adhesive : Adhesive
    """

    def __init__(self, table: Table, edge: TrimEdge, foam: Foam, adhesive: Adhesive) -> None:
        question = TrimQuestion(
            kind=table.values["kind"],
            side=table.get("side"),
            face=table.get("face"),
            ends=table.get("ends", ()),
            foam=foam.shown,
            adhesive=adhesive.kind,
        )
        super().__init__(question, None, edge=edge)
        self._table, self._foam, self._adhesive = table, foam, adhesive

    def mm(self, name: str) -> float | None:
        """A length of the table [mm]; None where it was not said."""
        value: float | None = self._table.get(name)
        return value

    @cached_property
    def swatch(self) -> Swatch | None:
        """The maker's own test of the foam."""
        return self._foam.swatch

    @cached_property
    def strip(self) -> Piece:
        """Thickness, foam, and the width where it was said."""
        return Piece(
            thickness=self._table.values["thickness"],
            law=self._foam.law,
            width=self._table.get("width", Piece.width),
            fibre=self._foam.fibre,
            modulus_spread=modulus_spread(self._foam.swatch),
        )

    @cached_property
    def bead(self) -> float:
        """Thickness of the glue [mm]."""
        return self._adhesive.bead

    @property
    def legs(self) -> tuple[float, float]:
        """How far a binding reaches over each face [mm]."""
        first, second = self._table.values["legs"]
        return first, second

    @property
    def own_marks(self) -> tuple[float, ...]:
        """Places of the marks that are not in a drawing [mm]."""
        return tuple(self._table.get("marks", ()))

    @property
    def rests_on(self) -> tuple[str, ...]:
        """What the foam of the strip rests on."""
        return said(self._table, self._foam)


def read_trim(
    table: Table,
    name: str,
    curves: Parts[Line],
    foams: Parts[Foam],
    adhesives: Parts[Adhesive],
    drawings: Drawings,
) -> TrimJob | None:
    """The strip of a checked table; None if it, or what it refers to, has a fault."""
    _check_kind(table)
    _check_ends(table)
    way = _way(table)
    foam = foams.refer(table, "foam", own_foam(foams))
    adhesive = adhesives.refer(table, "adhesive", USUAL_ADHESIVE)
    line = curves.refer(table, "curve") if way == "curve" else None
    pattern = drawings.named(table) if way == "drawing" and "drawing" in table.values else None
    lost = way is None or (way == "curve" and line is None)
    if not table.sound or lost or foam is None or adhesive is None:
        return None
    key = str(way)
    try:
        edge = _edge(table, line, pattern)
        key = ""
        if not _on_edge(table, edge):
            return None
        asked = SheetTrim(table, edge, foam, adhesive)
        cut = cut_trim(asked)
    except (ValueError, TypeError, ArithmeticError) as error:
        table.faults_of(key, ValueError(str(error).replace("--", "")))
        return None
    return TrimJob(
        name=name,
        kind=table.values["kind"],
        count=table.get("count", 1),
        cut=cut,
        edge=edge,
        strip=asked.strip,
        foam=foam.shown,
        adhesive=adhesive.kind,
        marks=asked.marks,
        wanted_pitch=asked.mm("pitch"),
        size_said=() if pattern is None else pattern.size_said(),
        rests_on=asked.rests_on,
        notes=asked.notes,
    )


def _check_kind(table: Table) -> None:
    """Faults for what belongs to another kind of strip, and for what this kind lacks."""
    kind = table.get("kind")
    if kind is None:
        return
    for name, kinds in ONLY.items():
        if name in table.written and kind not in kinds:
            goes = f"goes with {or_words(kinds)} only"
            table.fault(name, f"{goes}, and this is a {kind} strip; leave it out")
    for name in NEEDED[kind]:
        if name not in table.written:
            example = TABLES["trim"].key(name).example
            table.fault(name, f"is missing: {MEANING[name]}; write for example {name} = {example}")


def _check_ends(table: Table) -> None:
    """Faults for a spare or a wrap without its end, and for a wrapped end without its wrap."""
    if "ends" in table.written and "ends" not in table.values:
        return
    ends = table.get("ends", ())
    for name, kind in (("spare", "free"), ("wrap", "wrapped")):
        if name in table.written and kind not in ends:
            table.fault(name, f'goes with ends = "{kind}"; leave it out, or add that')
    over = table.get("kind") in (None, "binding") or "wrapped" in ends
    if "edge_thickness" in table.written and not over:
        table.fault("edge_thickness", "goes with binding or a wrapped end only; leave it out")
    if "wrapped" in ends and "wrap" not in table.written:
        table.fault(
            "wrap",
            "is missing: what is glued down behind a wrapped end; write for example wrap = 15",
        )


def _way(table: Table) -> str | None:
    """The key that says how the edge runs; None, with a fault, if it is not one."""
    ways = [key for key in EDGES if key in table.written]
    if not ways:
        table.fault(
            "",
            'how its edge runs is not said: write curve = "shin", or drawing = "knee_cup.svg" and '
            "edge, or length and turn, or radius and turn, or round = 300",
        )
        return None
    way, *others = ways
    if others:
        table.fault(others[0], f"does not go with {way}, which gives the edge; keep one of the two")
        return None
    if way == "drawing":
        if "edge" not in table.written:
            table.fault(
                "edge", 'is missing: an outline of the drawing; write for example edge = "rim"'
            )
    else:
        for key in ONLY_WITH_DRAWING:
            if key in table.written:
                table.fault(key, "goes with drawing only; leave it out")
    if way in ("length", "radius") and "turn" not in table.written:
        table.fault(
            "turn",
            f"is missing beside {way}: the angle between the two ends of the edge; write "
            'turn = "180 deg", or "0 deg" where it is straight, below 0 where it is hollow',
        )
    if way in ("curve", "drawing") and "turn" in table.written:
        table.fault("turn", f"does not go with {way}, which tells it; leave it out")
    return way


def _on_edge(table: Table, edge: TrimEdge) -> bool:
    """Whether the marks of the table lie along the edge, one after the other."""
    places, whole = table.get("marks", ()), edge.curve.length
    say = table.found.tape
    if any(after <= before for before, after in pairwise(places)):
        table.fault("marks", "must go from the nearer to the farther place, none twice")
    elif places and places[-1] > whole * (1 + 1e-9):
        table.fault(
            "marks",
            f"{say(places[-1])} lies past the end of the edge, which is {say(whole)} long; write "
            "at most that",
        )
    return table.sound


def _edge(table: Table, line: Line | None, pattern: Pattern | None) -> TrimEdge:
    """The edge, by the one way in which it is given."""
    get = table.get
    if line is not None:
        where = heading("curve", get("curve"))
        edge = TrimEdge(line.curve, f"{where}: {line.rests_on.partition(': ')[2]}")
        if get("around") and not line.curve.closed:
            raise ValueError("around goes with a closed edge only; leave it out")
        return round_opening(edge) if get("around") == "opening" else edge
    if pattern is not None:
        return drawn_edge(
            pattern,
            get("edge"),
            start=get("from"),
            end=get("to"),
            outside=get("outside"),
            around=get("around"),
        )
    return measured_edge(
        length=get("length"),
        turn=get("turn"),
        radius=get("radius"),
        girth=get("round"),
        around=get("around"),
    )
