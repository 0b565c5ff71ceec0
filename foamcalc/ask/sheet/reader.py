"""A job sheet read and checked, kind of table by kind of table."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from foamcalc.ask.cutlist.given import MOST_STOCKS
from foamcalc.ask.cutlist.items import Panel, Stock
from foamcalc.ask.faults import SheetFault, near
from foamcalc.ask.form import Findings, Table, name_fault
from foamcalc.ask.lines import in_words
from foamcalc.ask.sheet.curves import Line, read_curve
from foamcalc.ask.sheet.findings import check_table, heading, list_heading
from foamcalc.ask.sheet.joints import Joint, read_joint
from foamcalc.ask.sheet.keys import TABLES
from foamcalc.ask.sheet.parts import (
    Part,
    Parts,
    no_adhesives,
    no_foams,
    read_adhesive,
    read_foam,
)
from foamcalc.ask.sheet.seams import Drawings, SeamJob, read_seam
from foamcalc.ask.sheet.shells import Base, ShellJob, read_base
from foamcalc.ask.sheet.stock import CuttingRules, read_cutting, read_piece, read_stock
from foamcalc.ask.sheet.text import parse, read_text
from foamcalc.ask.sheet.trims import read_trim
from foamcalc.ask.trim.answer import Trim
from foamcalc.units import System

_MOST_TABLES = 200
"""Tables of one kind; more is no sheet that somebody wrote."""
_NOTHING = "nothing to work out: add a [shell.NAME], an [[overlay]], a [[seam]] or a [[trim]]"


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A job sheet that has been read and has no fault."""

    title: str
    system: System
    """Units to answer in: inches if a tape reading was in inches."""
    joints: tuple[Joint, ...]
    """The overlays, in the order of the sheet."""
    shells: tuple[ShellJob, ...]
    seams: tuple[SeamJob, ...]
    """In the order of the sheet."""
    shown_first: tuple[str, ...]
    """What to say before any answer: tolerances that are not used, tables that nothing uses."""
    path: Path | None = None
    stocks: tuple[Stock, ...] = ()
    """The sheets of foam that can be had."""
    pieces: tuple[Panel, ...] = ()
    """What is to be cut beside bases and overlays."""
    trims: tuple[Trim, ...] = ()
    """Strips along edges, in the order of the sheet."""
    cutting: CuttingRules = field(default_factory=CuttingRules)

    @property
    def names(self) -> tuple[str, ...]:
        """Whatever the maker gave a name that can be asked about."""
        parts = (self.joints, self.seams, self.trims, self.shells, self.pieces)
        return tuple(dict.fromkeys(one.name for part in parts for one in part))


def read_sheet(path: str | Path) -> Sheet:
    """Read and check a job sheet.

    Parameters
    ----------
    path : str or Path
        A TOML file in UTF-8, at most 1 MB; files of points are looked for beside it.

    Returns
    -------
    Sheet

    Raises
    ------
    SheetFault
        With every fault of its content, one line each; or with the one fault of its form, and
        the line of it.

    Notes
    -----
    `keys_table` lists every table and key. A bare number is a length in mm.
    """
    place = Path(path)
    return parse_sheet(read_text(place), place.parent, place)


def parse_sheet(text: str, folder: str | Path, path: str | Path | None = None) -> Sheet:
    r"""Check the text of a job sheet.

    Parameters
    ----------
    text : str
        TOML.
    folder : str or Path
        Where files of points are looked for, and nowhere else.
    path : str or Path, optional
        The file it came from, for the faults.

    Returns
    -------
    Sheet

    Raises
    ------
    SheetFault
        As `read_sheet` does.

    Examples
    --------
    >>> sheet = parse_sheet('''
    ... [[overlay]]
    ... name = "knee cup cover"
    ... cut = 173
    ... needed = 188
    ... base = 10
    ... thickness = 5
    ... turn = "180 deg"
    ... ''', ".")
    >>> print(f"{sheet.joints[0].overlay.gap:.1f}")
    22.9
    >>> parse_sheet('[[overlay]]\ncut = 173\nneeded = 188\nbase = 10\nthickness = -5', ".")
    Traceback (most recent call last):
    foamcalc.ask.faults.SheetFault: job sheet, [[overlay]] number 1 thickness: must be a ...
    """
    place = None if path is None else Path(path)
    name = "job sheet" if place is None else place.name
    raw = parse(text, name)
    found = Findings(name)
    sheet = _Reader(found, Path(folder)).read(raw, place)
    if sheet is None or found.faults:
        raise SheetFault(found.in_order(_places(raw)))
    return sheet


def demo_sheet_path() -> Path:
    """The demo sheet that came with foamcalc: a sea turtle, its numbers invented."""
    return Path(__file__).resolve().parents[1] / "demo_build" / "turtle.toml"


class _Reader:
    """One sheet being read, kind by kind, so that a fault is said once where it is."""

    def __init__(self, found: Findings, folder: Path) -> None:
        self.found = found
        self.folder = folder
        self.drawings = Drawings(folder)
        self.foams = no_foams()
        self.adhesives = no_adhesives()
        self.curves: Parts[Line] = Parts("curve", {})
        self.shells: Parts[Base] = Parts("shell", {})
        self.names: set[str] = set()
        """Names of overlays, seams, trims and pieces so far, in small letters."""

    def read(self, raw: Mapping[str, Any], path: Path | None) -> Sheet | None:
        """The sheet; None if it has a fault."""
        top = self._top(raw)
        self._named(raw, self.foams, lambda t, name: read_foam(t, name, self.folder))
        self._named(raw, self.adhesives, lambda table, _: read_adhesive(table))
        self._named(raw, self.curves, lambda t, name: read_curve(t, name, self.folder))
        self._named(raw, self.shells, self._base)
        joints = self._listed(raw, "overlay", self._joint)
        seams = self._listed(raw, "seam", self._seam)
        trims = self._listed(raw, "trim", self._trim)
        stocks = self._stocks(raw)
        pieces = self._listed(raw, "piece", lambda t, name: read_piece(t, name, self.foams))
        cutting = read_cutting(self._single(raw, "cutting"), stocks)
        if not (self.found.faults or joints or self.shells or seams or trims or pieces):
            self.found.fault("", "", _NOTHING)
        if self.found.faults:
            return None
        for parts in (self.foams, self.adhesives, self.curves):
            parts.note_unused(self.found)
        return Sheet(
            title=top.get("title", path.stem if path else "job sheet"),
            system="in" if self.found.inches else "mm",
            joints=joints,
            shells=tuple(base.job() for base in self.shells.values() if base is not None),
            seams=seams,
            shown_first=tuple(self.found.notes),
            path=path,
            stocks=stocks,
            pieces=pieces,
            trims=trims,
            cutting=cutting,
        )

    def _stocks(self, raw: Mapping[str, Any]) -> tuple[Stock, ...]:
        """The sheets that can be had."""
        tables = [table for table, _ in self._tables(raw, "stock")]
        if len(tables) > MOST_STOCKS:
            self.found.fault("[[stock]]", "", f"{len(tables)} of them, at most {MOST_STOCKS}")
        read = (read_stock(table, self.foams) for table in tables)
        return tuple(stock for stock in read if stock is not None)

    def _single(self, raw: Mapping[str, Any], kind: str) -> Table:
        """The one table of a kind that has no names."""
        values, head = raw.get(kind, {}), heading(kind)
        if isinstance(values, dict):
            return check_table(self.found, kind, values, head)
        listed = isinstance(values, list) and any(isinstance(item, dict) for item in values)
        place, key = (f"[[{kind}]]", "") if listed else ("", kind)
        self.found.fault(place, key, f"write {head} once, with one bracket on each side")
        return Table(self.found, head)

    def _top(self, raw: Mapping[str, Any]) -> Table:
        """The keys above the first table, and the kinds of table that are none."""
        plain = {}
        for name, value in raw.items():
            if name in TABLES:
                continue
            tables = isinstance(value, dict) or (
                isinstance(value, list) and any(isinstance(item, dict) for item in value)
            )
            if not tables:
                plain[name] = value
                continue
            guess = near(name, [kind for kind in TABLES if kind])
            kinds = ", ".join(table.head for kind, table in TABLES.items() if kind)
            hint = f"did you mean {guess}?" if guess else f"known are {kinds}"
            self.found.fault(heading(name), "", f"is no table here; {hint}")
            for parts in self._parts():
                if guess in (None, parts.kind) and parts.lost is not None:
                    parts.lost |= set(value) if isinstance(value, dict) else set()
        return check_table(self.found, "", plain, "")

    def _parts(self) -> list[Parts[Any]]:
        return [self.foams, self.adhesives, self.curves, self.shells]

    def _base(self, table: Table, name: str) -> Base | None:
        return read_base(table, name, self.curves, self.foams, self.adhesives)

    def _joint(self, table: Table, name: str) -> Joint | None:
        return read_joint(table, name, self.shells, self.foams, self.adhesives)

    def _seam(self, table: Table, name: str) -> SeamJob | None:
        return read_seam(table, name, self.foams, self.adhesives, self.drawings)

    def _trim(self, table: Table, name: str) -> Trim | None:
        return read_trim(table, name, self.curves, self.foams, self.adhesives, self.drawings)

    def _named(
        self, raw: Mapping[str, Any], parts: Parts[Part], read: Callable[[Table, str], Part | None]
    ) -> None:
        """All tables of one kind, each with the maker's own name."""
        kind = parts.kind
        tables = raw.get(kind, {})
        example = TABLES[kind].head
        if isinstance(tables, list) and any(isinstance(item, dict) for item in tables):
            parts.lost = None
            self.found.fault(f"[[{kind}]]", "", f"write {example}: one bracket on each side")
            return
        if not isinstance(tables, dict):
            parts.lost = None
            self.found.fault("", kind, f"must be a table with a name of its own: {example}")
            return
        if len(tables) > _MOST_TABLES:
            parts.lost = None
            self.found.fault(f"[{kind}]", "", f"{len(tables)} of them, at most {_MOST_TABLES}")
            return
        loose = [name for name, value in tables.items() if not isinstance(value, dict | list)]
        if loose:
            parts.lost = None
            self.found.fault(
                heading(kind), "", f"has {loose[0]!r:.40} but no name of its own; write {example}"
            )
        for name, values in tables.items():
            if name not in loose:
                parts[name] = self._one(kind, name, values, read)

    def _one(
        self, kind: str, name: str, values: Any, read: Callable[[Table, str], Part | None]
    ) -> Part | None:
        place = heading(kind, name)
        if isinstance(values, list):
            self.found.fault(f"[{place}]", "", f"write {place}: one bracket on each side")
            return None
        if fault := name_fault(name):
            self.found.fault(place, "", f"its name {fault}")
            return None
        return read(check_table(self.found, kind, values, place), name)

    def _listed(
        self, raw: Mapping[str, Any], kind: str, read: Callable[[Table, str], Part | None]
    ) -> tuple[Part, ...]:
        """What all tables of a kind with two brackets stand for, without those at fault."""
        found = (read(table, name) for table, name in self._tables(raw, kind))
        return tuple(one for one in found if one is not None)

    def _tables(self, raw: Mapping[str, Any], kind: str) -> Iterator[tuple[Table, str]]:
        """All tables of a kind with two brackets, in the order of the sheet, with their names."""
        tables = raw.get(kind, [])
        if not isinstance(tables, list) or not all(isinstance(item, dict) for item in tables):
            place, key = (f"[{kind}]", "") if isinstance(tables, dict) else ("", kind)
            self.found.fault(place, key, f"write [[{kind}]], with two brackets on each side")
            return
        if len(tables) > _MOST_TABLES:
            self.found.fault(f"[[{kind}]]", "", f"{len(tables)} of them, at most {_MOST_TABLES}")
            return
        for number, values in enumerate(tables, 1):
            place = list_heading(kind, values.get("name"), number)
            table = check_table(self.found, kind, values, place)
            name = table.get("name", f"{kind} {number}")
            if any(key.name == "name" for key in TABLES[kind].keys):
                self._own_name(table, name, raw)
            yield table, name

    def _own_name(self, table: Table, name: str, raw: Mapping[str, Any]) -> None:
        """A fault if something else has the name already."""
        if name.casefold() in self.names:
            each = in_words(kind for kind in ("overlay", "seam", "trim", "piece") if kind in raw)
            table.fault("name", f"{name!r} stands twice; give each {each} its own name")
        self.names.add(name.casefold())


def _places(raw: Mapping[str, Any]) -> list[str]:
    """Heads of the tables in the order of the sheet."""
    places = [""]
    for kind, tables in raw.items():
        if isinstance(tables, dict):
            places += [heading(kind), *(heading(kind, name) for name in tables)]
        elif isinstance(tables, list):
            places += [
                list_heading(kind, item.get("name"), number)
                for number, item in enumerate(tables, 1)
                if isinstance(item, dict)
            ]
    return places
