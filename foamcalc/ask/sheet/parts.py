"""Foams and adhesives of a job sheet: from checked tables to laws, and what they rest on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TypeVar

from foamcalc.ask.faults import near
from foamcalc.ask.form import Findings, Table
from foamcalc.ask.lines import in_words
from foamcalc.ask.rules import peel_limit
from foamcalc.ask.sheet.files import beside
from foamcalc.ask.sheet.findings import heading
from foamcalc.ask.swatch_record import overnight, read_swatch, swatch_notes, swatch_said
from foamcalc.fit.limits import Limit
from foamcalc.fit.stack import Piece
from foamcalc.foam.adhesives import adhesive_named
from foamcalc.foam.grades import choosing, foam_entries, foam_from_density
from foamcalc.foam.law import HyperFoam, Law
from foamcalc.foam.swatch import Swatch, fit_swatch
from foamcalc.tables import look_up, subjects

USUAL_FOAM = "EVA medium"
USUAL_ADHESIVE = "contact adhesive"
_OWN = ("modulus", "alpha", "poisson")
Part = TypeVar("Part")


@dataclass(frozen=True, kw_only=True)
class Foam:
    """A foam of the sheet."""

    shown: str
    """Name for the reader."""
    law: Law
    relaxes: float | None
    fibre: float
    rests_on: tuple[str, ...]
    density: float
    """What it weighs [kg/m3]; the grade's where the maker did not weigh it."""
    density_said: bool = False
    grade: str | None = None
    """The grade that its table names."""
    swatch: Swatch | None = None
    """The maker's own test, if there is one."""


@dataclass(frozen=True, kw_only=True)
class Adhesive:
    """An adhesive of the sheet."""

    kind: str
    """A row of adhesives.csv."""
    bead: float
    """Thickness of the glue [mm]."""
    peel: Limit | None = None
    """What the maker's own peel test held."""


class Parts(dict[str, Part | None]):
    """Parts of one kind by the maker's names; None where a part has a fault of its own."""

    def __init__(self, kind: str, ready_made: Mapping[str, Callable[[], Part]]) -> None:
        super().__init__()
        self.kind = kind
        self.ready_made = ready_made
        """Rows of a reference table that may be named without a table in the sheet."""
        self.used: set[str] = set()
        self.lost: set[str] | None = set()
        """Names in tables that could not be read as what they are; None: they may be any."""

    def refer(self, table: Table, key: str, default: str | None = None) -> Part | None:
        """The part that a key names; None, with a fault where there is none of that name.

        A part that has a fault of its own is None without a fault here.
        """
        name = table.get(key, None if key in table.written else default)
        if name is None:
            return None
        if name not in self and self.kind == "adhesive":
            try:
                name = adhesive_named(name)
            except ValueError as unknown:
                table.fault(key, str(unknown))
                return None
        self.used.add(name)
        if name in self:
            return self[name]
        if name in self.ready_made:
            return self.ready_made[name]()
        if self.lost is not None and name not in self.lost:
            table.fault(key, self._unknown(name))
        return None

    def _unknown(self, name: str) -> str:
        where = f"there is no {heading(self.kind, name)} in this sheet"
        if self.ready_made:
            where += " and no row of that name in the reference tables"
        known = [*self, *self.ready_made]
        guess = near(name, known)
        if guess is not None:
            return f"{where}; did you mean {guess!r}?"
        if self.kind == "foam":
            where += f"; write that table, or {choosing()}"
        if known:
            return f"{where}; known are {', '.join(map(repr, known))}"
        return f"{where}; write that table"

    def note_unused(self, found: Findings) -> None:
        """Note the tables that nothing refers to."""
        for name in self:
            if name not in self.used:
                found.note(heading(self.kind, name), "", "nothing in the sheet uses it")


def own_foam(foams: Parts[Foam]) -> str:
    """The sheet's only foam of the usual grade, else that grade."""
    same = [name for name, foam in foams.items() if foam is not None and foam.grade == USUAL_FOAM]
    return same[0] if len(same) == 1 else USUAL_FOAM


def no_foams() -> Parts[Foam]:
    """The grades of the reference tables."""
    return Parts("foam", {name: partial(_grade, name) for name in subjects("foams")})


def no_adhesives() -> Parts[Adhesive]:
    """The kinds of the reference tables."""
    return Parts("adhesive", {name: partial(_kind, name) for name in subjects("adhesives")})


def _grade(name: str) -> Foam:
    law, told = _law({}, name)
    return _foam(law, told, name=name, grade=name)


def _foam(
    law: Law,
    told: Iterable[str],
    *,
    name: str,
    grade: str | None = None,
    density: float | None = None,
    shown: str | None = None,
    relaxes: float | None = None,
    fibre: float | None = None,
    swatch: Swatch | None = None,
) -> Foam:
    """A foam, however its law is known, with what each of its numbers rests on."""
    own = () if fibre is None else (f"fibre {fibre:g} (your own)",)
    usual = look_up("foams", USUAL_FOAM if grade is None else grade, "density")
    return Foam(
        shown=name if shown is None else shown,
        law=law,
        relaxes=relaxes,
        fibre=Piece.fibre if fibre is None else fibre,
        rests_on=tuple(f"foam {name}: {line}" for line in (*told, *own)),
        density=usual.in_unit("kg/m3") if density is None else density,
        density_said=density is not None,
        grade=grade,
        swatch=swatch,
    )


def _law(own: Mapping[str, float], grade: str | None) -> tuple[HyperFoam, list[str]]:
    """A law from a grade, with the maker's own values in the place of the grade's."""
    rows = {} if grade is None else {row.quantity: row for row in foam_entries(grade)}
    values = {name: own.get(name, rows[name].value if name in rows else 0.0) for name in _OWN}
    units = {"modulus": " MPa"}
    told = [
        f"{name} {own[name]:g}{units.get(name, '')} (your own)"
        if name in own
        else rows[name].describe()
        for name in _OWN
    ]
    law = HyperFoam.from_modulus(
        values["modulus"], alpha=values["alpha"], poisson=values["poisson"]
    )
    return law, told


def read_foam(table: Table, name: str, folder: Path) -> Foam | None:
    """The foam of a checked table; None if it has a fault."""
    grade = table.get("grade")
    if grade is not None and grade not in subjects("foams"):
        _no_row(table, "grade", grade, "foams")
    missing = [key for key in _OWN if key not in table.written]
    if not {"grade", "swatch", "density"} & table.written and missing and table.sound:
        table.fault(
            "grade",
            f'is missing: write grade = "{USUAL_FOAM}", or your own {in_words(_OWN)} '
            f"(not there: {in_words(missing)})",
        )
    if "density" in table.written:
        return _guessed(table, name) if table.sound else None
    if "swatch" in table.written:
        return _tested(table, name, folder) if table.sound else None
    if not table.sound:
        return None
    own = {key: table.values[key] for key in _OWN if key in table.values}
    law, told = _law(own, grade)
    named = name if grade is None or grade == name else f"{name} ({grade})"
    return _foam(
        law,
        told,
        name=named,
        grade=grade,
        relaxes=table.get("relaxes"),
        fibre=table.get("fibre"),
    )


def _guessed(table: Table, name: str) -> Foam | None:
    """A foam of which only the density is known: everything about it is assumed."""
    wrong = [key for key in (*_OWN, "swatch") if key in table.written]
    if wrong:
        table.fault(
            "density", f"does not go with {wrong[0]}, which says more; leave the density out"
        )
        return None
    try:
        guess = foam_from_density(table.values["density"], grade=table.get("grade", USUAL_FOAM))
    except ValueError as error:
        table.faults_of("density", error)
        return None
    return _foam(
        guess.law,
        guess.rests_on,
        name=name,
        grade=table.get("grade"),
        density=table.values["density"],
        shown=f"{name} (guessed from its density)",
        relaxes=table.get("relaxes"),
        fibre=table.get("fibre"),
    )


def _tested(table: Table, name: str, folder: Path) -> Foam | None:
    """The foam that the maker's own strips tell."""
    wrong = [key for key in _OWN if key in table.written]
    if wrong:
        table.fault(wrong[0], "does not go with swatch, which tells it; leave one of the two out")
        return None
    place = beside(table, "swatch", folder)
    if place is None:
        return None
    try:
        swatch = fit_swatch(read_swatch(place), grade=table.get("grade", USUAL_FOAM))
    except (ValueError, ArithmeticError, OSError) as error:
        table.faults_of("swatch", error)
        return None
    for note in swatch_notes(swatch):
        table.found.note(table.place, "swatch", note)
    return _foam(
        swatch.law,
        swatch_said(swatch),
        name=name,
        grade=table.get("grade"),
        shown=f"{name} (your swatch)",
        relaxes=table.get("relaxes", overnight(swatch)),
        fibre=table.get("fibre"),
        swatch=swatch,
    )


def read_adhesive(table: Table) -> Adhesive | None:
    """The adhesive of a checked table; None if it has a fault."""
    kind = table.get("kind")
    if kind is not None:
        try:
            kind = adhesive_named(kind)
        except ValueError as unknown:
            table.fault("kind", str(unknown))
            return None
    if kind is not None and kind not in subjects("adhesives"):
        _no_row(table, "kind", kind, "adhesives")
    if not table.sound:
        return None
    usual = _kind(str(kind))
    held, width = table.get("peel_held"), table.get("peel_width")
    if (held is None) != (width is None):
        table.fault("peel_width", "goes with peel_held: write both, or leave both out")
        return None
    peel = None if held is None or width is None else peel_limit(held=held, width=width)
    return Adhesive(kind=usual.kind, bead=table.get("bead", usual.bead), peel=peel)


def _kind(name: str) -> Adhesive:
    return Adhesive(kind=name, bead=look_up("adhesives", name, "bead_thickness").in_unit("mm"))


def _no_row(table: Table, key: str, name: str, rows: str) -> None:
    guess = near(name, subjects(rows))
    hint = f"did you mean {guess!r}? " if guess else ""
    known = f"known are {', '.join(map(repr, subjects(rows)))}"
    how = choosing() if rows == "foams" and not guess else known
    table.fault(key, f"no {name!r} in {rows}.csv; {hint}{how}")
