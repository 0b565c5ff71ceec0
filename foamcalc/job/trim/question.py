"""One strip along an edge at the bench: what a maker types, answered."""

from __future__ import annotations

import warnings
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from foamcalc.fit.trim.across import Side as BandSide
from foamcalc.fit.trim.ends import EndKind
from foamcalc.fit.trim.rim_cut import AtCorners
from foamcalc.fit.trim.web import Face
from foamcalc.guards import one_of
from foamcalc.job.trim.answer import TrimAnswer
from foamcalc.job.trim.edge import Around
from foamcalc.job.trim.kinds import cut_trim
from foamcalc.job.trim.typed import TypedTrim
from foamcalc.shape.outline import Side
from foamcalc.shape.pattern import Pattern
from foamcalc.units import System, ToleranceNotUsed

Kind = Literal["band", "rim", "binding", "slit", "toothed"]
KINDS: tuple[Kind, ...] = ("band", "rim", "binding", "slit", "toothed")
"""Kinds of strips."""

_CUT_AT_A_PITCH = ("slit", "toothed")
ONLY: Mapping[str, tuple[str, ...]] = {
    "width": ("band", "rim", *_CUT_AT_A_PITCH),
    "side": ("band",),
    "pull": ("band",),
    "may_pull": ("band",),
    "most_stretch": ("band", "rim", "binding"),
    "cut": ("rim",),
    "at_corners": ("rim",),
    "lap": ("band", "rim", "binding"),
    "legs": ("binding",),
    "depth": _CUT_AT_A_PITCH,
    "pitch": _CUT_AT_A_PITCH,
    "face": _CUT_AT_A_PITCH,
    "slit_width": ("slit",),
}
"""What belongs to some kinds only."""
NEEDED: Mapping[str, tuple[str, ...]] = {
    "band": ("width",),
    "rim": ("width",),
    "binding": ("edge_thickness", "legs"),
    "slit": ("width", "depth", "pitch"),
    "toothed": ("width", "depth", "pitch"),
}
MEANING = {
    "width": "the width of the strip",
    "edge_thickness": "the thickness of the piece that is bound",
    "legs": "how far it reaches over each face, such as 12 or '12 8'",
    "depth": "the depth of the cuts",
    "pitch": "the length from cut to cut",
}
_MEASURED = ("length", "radius", "round")
_DRAWN = ("edge", "start", "end", "outside")
_OPTIONS = {"start": "--from", "end": "--to", "may_pull": "--not-pulled"}


@dataclass(frozen=True, kw_only=True)
class TrimQuestion:
    """One strip as a maker states it: texts with units, as typed; None where not said."""

    kind: Kind
    length: str | None = None
    turn: str | None = None
    radius: str | None = None
    round: str | None = None
    around: Around | None = None
    edge: str | None = None
    start: str | None = None
    end: str | None = None
    outside: Side | None = None
    width: str | None = None
    thickness: str | None = None
    foam: str = "EVA medium"
    swatch: str | None = None
    adhesive: str = "contact adhesive"
    marks: str | None = None
    ends: tuple[EndKind, ...] = ()
    spare: str | None = None
    wrap: str | None = None
    edge_thickness: str | None = None
    lap: str | None = None
    longest: str | None = None
    side: BandSide | None = None
    pull: float | None = None
    may_pull: bool = True
    most_stretch: float | None = None
    cut: str | None = None
    at_corners: AtCorners | None = None
    legs: str | None = None
    depth: str | None = None
    pitch: str | None = None
    face: Face | None = None
    slit_width: str | None = None
    units: System | None = None


def answer_trim(question: TrimQuestion, pattern: Pattern | None = None) -> TrimAnswer:
    """Read, check and answer one strip.

    Parameters
    ----------
    question : TrimQuestion
        As typed.
    pattern : Pattern, optional
        The drawing that the edge is in; left out, it was measured.

    Returns
    -------
    TrimAnswer

    Raises
    ------
    ValueError
        For anything that cannot be read or cannot be true, naming the reading and the remedy.
    """
    _refuse_stray(question, pattern)
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always", ToleranceNotUsed)
        typed = TypedTrim(question, pattern)
        system = question.units or typed.system
        cut = cut_trim(typed)
    unused = (str(w.message) for w in caught if issubclass(w.category, ToleranceNotUsed))
    return TrimAnswer(
        kind=question.kind,
        cut=cut,
        edge=typed.edge,
        strip=typed.strip,
        adhesive=question.adhesive,
        system=system,
        marks=typed.marks,
        wanted_pitch=typed.mm("pitch"),
        size_said=() if pattern is None else pattern.size_said(),
        rests_on=typed.rests_on,
        notes=tuple(dict.fromkeys((*typed.notes, *unused))),
    )


def _refuse_stray(question: TrimQuestion, pattern: Pattern | None) -> None:
    """Raise ValueError for what belongs to another kind or way, and for what is missing."""
    kind = one_of(question.kind, "kind", KINDS)
    usual = TrimQuestion(kind=kind)
    for name, kinds in ONLY.items():
        if kind not in kinds and getattr(question, name) != getattr(usual, name):
            raise ValueError(f"{_option(name)} goes with {or_words(kinds)} only; leave it out")
    where, stray = ("a drawing", _DRAWN) if pattern is None else ("an edge by the tape", _MEASURED)
    for name in (*stray, *(() if pattern is None else ("turn",))):
        if getattr(question, name) is not None:
            raise ValueError(f"{_option(name)} goes with {where} only; leave it out")
    for name in NEEDED[kind]:
        if getattr(question, name) is None:
            raise ValueError(f"{_option(name)} is missing: {MEANING[name]}")


def or_words(kinds: tuple[str, ...]) -> str:
    """Kinds of strips in a sentence: "band", "band or rim", "band, rim or binding"."""
    return " or ".join([", ".join(kinds[:-1]), kinds[-1]] if len(kinds) > 1 else kinds)


def _option(name: str) -> str:
    return _OPTIONS.get(name, f"--{name.replace('_', '-')}")
