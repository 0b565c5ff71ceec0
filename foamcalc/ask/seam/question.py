"""One seam at the bench: what a maker types, answered."""

from __future__ import annotations

import warnings
from dataclasses import dataclass

from foamcalc.ask.seam.answer import SeamAnswer
from foamcalc.ask.seam.build import (
    bevels_of,
    depth_said,
    drawing_said,
    limits_for,
    tape_said,
)
from foamcalc.ask.seam.typed import Typed
from foamcalc.fit.seam import SeamSituation, choose_seam
from foamcalc.fit.seam.ways import FreeEnd
from foamcalc.fit.stack import Face
from foamcalc.shape.outline import Side
from foamcalc.shape.pattern import Pattern
from foamcalc.units import System, ToleranceNotUsed

_ONLY_TAPE = ("names", "turn", "other_turn")
_ONLY_DRAWING = (
    "start",
    "end",
    "other_start",
    "other_end",
    "outside",
    "other_outside",
    "by_order",
    "leave_out",
)
_OPTIONS = {
    "start": "--from",
    "end": "--to",
    "other_start": "--other-from",
    "other_end": "--other-to",
}


@dataclass(frozen=True, kw_only=True)
class SeamQuestion:
    """One seam as a maker states it: texts with units, as typed; None where not said."""

    first: str | None = None
    """Places along the first edge; None where it is in a drawing."""
    second: str | None = None
    names: str | None = None
    edge: str | None = None
    """In a drawing the outline of the first edge; else what it is called."""
    start: str | None = None
    end: str | None = None
    other_edge: str | None = None
    other_start: str | None = None
    other_end: str | None = None
    outside: Side | None = None
    other_outside: Side | None = None
    by_order: bool = False
    leave_out: str | None = None
    reverse: bool = False
    thickness: str | None = None
    other_thickness: str | None = None
    foam: str = "EVA medium"
    other_foam: str | None = None
    swatch: str | None = None
    depth: str | None = None
    other_depth: str | None = None
    held: str | None = None
    already_cut: bool = True
    free_end: FreeEnd = "none"
    marks_move: bool = True
    adhesive: str = "contact adhesive"
    most_stretch: float | None = None
    bevel: str | None = None
    turn: str | None = None
    other_turn: str | None = None
    face: Face = "outside"
    valley: bool = False
    units: System | None = None


def answer_seam(question: SeamQuestion, pattern: Pattern | None = None) -> SeamAnswer:
    """Read, check and answer one seam.

    Parameters
    ----------
    question : SeamQuestion
        As typed.
    pattern : Pattern, optional
        The drawing that the edges are in; left out, they were read off tapes.

    Returns
    -------
    SeamAnswer

    Raises
    ------
    ValueError
        For anything that cannot be read or cannot be true, naming the reading and the remedy.
    """
    _refuse_stray(question, pattern)
    situation = SeamSituation(
        already_cut=question.already_cut,
        free_end=question.free_end,
        marks_move=question.marks_move,
        adhesive=question.adhesive,
    )
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always", ToleranceNotUsed)
        typed = Typed(question, pattern)
        seam, pieces, drawn = typed.seam, typed.pieces, typed.drawn
        bevels = bevels_of(
            seam,
            bevel=typed.bevel,
            drawn=question.face,
            cut_back=typed.cut_back,
        )
        limits = limits_for(
            seam, swatches=[p.swatch for p in pieces], most_stretch=typed.most_stretch
        )
    unused = (str(w.message) for w in caught if issubclass(w.category, ToleranceNotUsed))
    rests_on = (
        tape_said() if pattern is None else drawing_said(pattern.file),
        *pieces[0].rests_on,
        *pieces[1].rests_on,
        depth_said(seam, "--depth, --other-depth"),
    )
    notes = (*typed.notes, *unused, *pieces[0].notes, *pieces[1].notes)
    return SeamAnswer(
        choice=choose_seam(seam, situation, limits),
        system=question.units or typed.system,
        rests_on=tuple(filter(None, dict.fromkeys(rests_on))),
        notes=tuple(dict.fromkeys(notes)),
        bevels=bevels,
        drawn=drawn,
    )


def _refuse_stray(question: SeamQuestion, pattern: Pattern | None) -> None:
    """Raise ValueError for what belongs to the other way of asking, and for what is missing."""
    where, stray = (
        ("a drawing", _ONLY_DRAWING) if pattern is None else ("tape readings", _ONLY_TAPE)
    )
    for name in stray:
        if getattr(question, name):
            raise ValueError(f"{_option(name)} goes with {where} only; leave it out")
    needed = ("first", "second") if pattern is None else ("edge", "other_edge")
    for name in needed:
        if getattr(question, name) is None:
            what = f"the {name} edge" if pattern is None else f"{_option(name)} NAME"
            raise ValueError(f"{what} is missing: a seam has two edges")


def _option(name: str) -> str:
    return _OPTIONS.get(name, f"--{name.replace('_', '-')}")
