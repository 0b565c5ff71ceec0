"""Strips along edges in a job sheet: what each names is looked up in the sheet."""

from __future__ import annotations

from foamcalc.ask.form import Table
from foamcalc.ask.sheet.curves import Line
from foamcalc.ask.sheet.findings import heading
from foamcalc.ask.sheet.parts import USUAL_ADHESIVE, Adhesive, Foam, Parts, own_foam
from foamcalc.ask.sheet.seams import Drawings
from foamcalc.ask.sheet.shells import said
from foamcalc.ask.trim.answer import Stuff, Trim, TrimEdge, check_ends, cut_trim


def read_trim(
    table: Table,
    name: str,
    curves: Parts[Line],
    foams: Parts[Foam],
    adhesives: Parts[Adhesive],
    drawings: Drawings,
) -> Trim | None:
    """The strip of a checked table; None if it, or what it refers to, has a fault."""
    foam = foams.refer(table, "foam", own_foam(foams))
    glue = adhesives.refer(table, "adhesive", USUAL_ADHESIVE)
    line = curves.refer(table, "curve") if table.way == "curve" else None
    drawn = table.way == "drawing" and "drawing" in table.values
    pattern = drawings.named(table) if drawn else None
    if foam is None or glue is None or (table.way == "curve" and line is None):
        check_ends(table)
        return None
    edge = None
    if line is not None:
        where = heading("curve", table.get("curve"))
        edge = TrimEdge(line.curve, f"{where}: {line.rests_on.partition(': ')[2]}")
    stuff = Stuff(
        foam.shown, foam.law, glue.kind, glue.bead, said(table, foam), foam.fibre, foam.swatch
    )
    return cut_trim(table, stuff, name=name, line=edge, pattern=pattern)
