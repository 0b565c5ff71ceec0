"""What may be asked: kinds of value, fields, and forms that read alike from a sheet and a line.

A `Form` describes a question once. From it come the keys of a table, the options of a command, the
printed guide, near words, every check, and all faults at once.
"""

from __future__ import annotations

import argparse
import math
import re
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import PurePosixPath, PureWindowsPath
from typing import Any, NamedTuple, Protocol

from foamcalc.ask.cutlist.items import MOST_COUNT
from foamcalc.ask.faults import LONGEST_NAME, MOST_FAULTS, SheetFault, near, shown
from foamcalc.ask.filled import DECIMAL_COMMA, NUMBER
from foamcalc.ask.rules import bare_beside_inches
from foamcalc.units import GRAVITY, Reading, format_length, is_inch, read_angle, read_length

PER_INCH = (72, 90, 96)
_WHERE = re.compile(r"(with|without|binding|slit|rim|band)\b[^:;]*: ")
"""What begins a key's meaning and says only where it goes."""


class Wrong(ValueError):
    """What is wrong with a value, without name and remedy."""


class Got(NamedTuple):
    """What a value means, and the readings it was made of."""

    value: Any
    lengths: tuple[Reading, ...] = ()
    angles: tuple[Reading, ...] = ()


class Kind(Protocol):
    """One kind of value."""

    @property
    def unit(self) -> str:
        """Unit, for the reader."""

    def read(self, value: object, name: str) -> Got:
        """The meaning of a TOML value; ValueError if it has none here."""


@dataclass(frozen=True)
class ListOf:
    """Several values of one kind."""

    kind: Kind
    wanted: str
    least: int
    most: int

    @property
    def unit(self) -> str:
        """Unit of each."""
        return self.kind.unit

    def read(self, value: object, name: str) -> Got:
        """A tuple of what each means."""
        if not isinstance(value, list) or not self.least <= len(value) <= self.most:
            got = f"a list of {len(value)}" if isinstance(value, list) else shown(value)
            raise Wrong(f"must be {self.wanted}, got {got}")
        found = []
        for number, item in enumerate(value, 1):
            try:
                found.append(self.kind.read(item, name))
            except Wrong as fault:
                raise Wrong(f"entry {number} {fault}") from None
            except ValueError as fault:
                raise ValueError(f"entry {number}: {fault}") from None
        return Got(
            tuple(one.value for one in found),
            tuple(r for one in found for r in one.lengths),
            tuple(r for one in found for r in one.angles),
        )


@dataclass(frozen=True)
class YesNo:
    """True or false."""

    unit: str = "true or false"

    def read(self, value: object, name: str) -> Got:
        """The answer as a bool."""
        if not isinstance(value, bool):
            raise Wrong(f"must be true or false, without quotes, got {shown(value)}")
        return Got(value)


@dataclass(frozen=True)
class Text:
    """A short text of one line: a name."""

    unit: str = "text"

    def read(self, value: object, name: str) -> Got:
        """The text without blanks at its ends."""
        if not isinstance(value, str):
            raise Wrong(f"must be text in quotes, got {shown(value)}")
        fault = name_fault(value)
        if fault:
            raise Wrong(f"{fault}, got {shown(value)}")
        return Got(value.strip())


def name_fault(name: str) -> str:
    """What is wrong with a name; nothing if it will do."""
    if not name.strip():
        return "must not be empty"
    if len(name) > LONGEST_NAME:
        return f"must have at most {LONGEST_NAME} characters"
    return "" if name.isprintable() else "must be one line of letters, digits and signs"


@dataclass(frozen=True)
class Word:
    """One word out of a few."""

    choices: tuple[str, ...]

    @property
    def unit(self) -> str:
        """The words."""
        return " or ".join(self.choices)

    def read(self, value: object, name: str) -> Got:
        """The word."""
        listed = " or ".join(repr(choice) for choice in self.choices)
        if not isinstance(value, str):
            raise ValueError(f"must be {listed}, got {shown(value)}")
        if value not in self.choices:
            guess = near(value, self.choices)
            hint = f"; did you mean {guess!r}?" if guess else ""
            raise ValueError(f"must be {listed}, got {shown(value)}{hint}")
        return Got(value)


@dataclass(frozen=True)
class FileName:
    """A file beside the sheet, or in a folder below it."""

    unit: str = "file name"

    def read(self, value: object, name: str) -> Got:
        """The name as written, relative to the folder of the sheet."""
        if not isinstance(value, str) or not value.strip():
            raise Wrong(
                f"must be the name of a file beside the sheet, in quotes, got {shown(value)}"
            )
        if "\\" in value or not value.isprintable():
            raise ValueError(
                f"{shown(value)} has a backslash or a sign that cannot be printed (in double "
                "quotes a backslash changes the letter after it): write folders with /"
            )
        windows = PureWindowsPath(value)
        if windows.drive or windows.root or PurePosixPath(value).is_absolute():
            raise ValueError(
                f"{shown(value)} is the path of one computer: put the file beside the sheet and "
                "write its name only"
            )
        if ".." in PurePosixPath(value).parts:
            raise ValueError(
                f"{shown(value)} leaves the folder of the sheet: put the file beside the sheet "
                "and write its name only"
            )
        if len(value) > 200:
            raise ValueError(f"{shown(value)} is too long: write at most 200 characters")
        return Got(value)


@dataclass(frozen=True)
class PerInch:
    """px to the inch of a drawing."""

    unit: str = "px"

    def read(self, value: object, name: str) -> Got:
        """72, 90 or 96."""
        if isinstance(value, bool) or value not in PER_INCH:
            raise Wrong(f"must be 72, 90 or 96, got {shown(value)}")
        return Got(value)


END = "end"
"""The place at the end of a curve, however long it is."""

_PERCENT = re.compile(rf"({NUMBER})\s*(%|percent|per cent)?", re.ASCII)
_QUANTITY = re.compile(rf"({NUMBER})\s*([A-Za-z/]+[23²³]?)?", re.ASCII)
STRESS_UNITS = {
    "mpa": 1.0,
    "n/mm2": 1.0,
    "n/mm²": 1.0,
    "kpa": 1e-3,
    "psi": 0.45359237 * GRAVITY / 25.4**2,  # exact by definition of pound, inch and gravity
}
DENSITY_UNITS = {
    "kg/m3": 1.0,
    "kg/m³": 1.0,
    "g/cm3": 1000.0,
    "g/cm³": 1000.0,
    "lb/ft3": 16.018463373960142,
}
"""Kilograms in a cubic metre."""
WEIGHT_UNITS = {
    "n": 1.0,
    "g": GRAVITY / 1000,
    "kg": GRAVITY,
    "oz": 0.278013850953781,
    "lb": 4.4482216152605,
}
"""Newtons; standard gravity and the avoirdupois pound, exact by definition."""


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _float(value: object, wanted: str) -> float:
    """A finite float from a TOML number."""
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise Wrong(f"must be {wanted}, got {shown(value)}")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise Wrong(f"must be {wanted}, got {shown(value)}")
    return number


def _reading(read: Callable[..., Reading], value: object, name: str, wanted: str) -> Reading:
    """A length or an angle through the door of `units`, the name taken off its faults."""
    if not (_is_number(value) or isinstance(value, str)):
        raise Wrong(f"must be {wanted}, got {shown(value)}")
    try:
        return read(value, name=name)
    except ValueError as fault:
        raise ValueError(str(fault).removeprefix(f"{name}: ")) from None


@dataclass(frozen=True)
class Length:
    """A length: a number in mm, or text with a unit."""

    wanted: str
    fits: Callable[[float], bool]
    unit: str = "mm"

    def read(self, value: object, name: str) -> Got:
        """The length [mm]."""
        reading = _reading(read_length, value, name, self.wanted)
        if not self.fits(reading.value):
            raise Wrong(f"must be {self.wanted}, got {shown(value)}")
        return Got(reading.value, lengths=(reading,))


@dataclass(frozen=True)
class Angle:
    """An angle with its unit; only 0 goes without."""

    wanted: str
    fits: Callable[[float], bool]
    unit: str = "deg, turn or rad"

    def read(self, value: object, name: str) -> Got:
        """The angle [rad]."""
        if _is_number(value) and value == 0:
            reading = Reading(0.0, text="0")
        else:
            reading = _reading(read_angle, value, name, self.wanted)
        if not self.fits(reading.value):
            raise Wrong(f"must be {self.wanted}, got {shown(value)}")
        return Got(reading.value, angles=(reading,))


@dataclass(frozen=True)
class Place:
    """A place along a curve: a length from its start, or the word end."""

    length: Length
    unit: str = "mm"

    def read(self, value: object, name: str) -> Got:
        """The place [mm], or `END`."""
        if isinstance(value, str) and value.strip().casefold() == END:
            return Got(END)
        return self.length.read(value, name)


@dataclass(frozen=True)
class Number:
    """A plain number."""

    wanted: str
    fits: Callable[[float], bool]
    whole: bool = False
    unit: str = "no unit"

    def read(self, value: object, name: str) -> Got:
        """The number as a float, or as an int where it counts something."""
        number = _float(value, self.wanted)
        if not self.fits(number) or (self.whole and not isinstance(value, int)):
            raise Wrong(f"must be {self.wanted}, got {shown(value)}")
        return Got(int(number) if self.whole else number)


@dataclass(frozen=True)
class Share:
    """A part of a whole: 0.05 or '5 %'."""

    wanted: str
    fits: Callable[[float], bool]
    unit: str = "% or a fraction"

    def read(self, value: object, name: str) -> Got:
        """The share as a fraction."""
        percent = False
        number = value
        if isinstance(value, str):
            found = _PERCENT.fullmatch(value.strip()[:LONGEST_NAME])
            if found is None:
                raise Wrong(f"must be {self.wanted}, got {shown(value)}{_comma(value)}")
            number, percent = float(found[1]), found[2] is not None
        share = _float(number, self.wanted) / (100 if percent else 1)
        if self.fits(share):
            return Got(share)
        if not percent and (share == 1 or share >= 2) and self.fits(share / 100):
            raise ValueError(
                f"must be {self.wanted}, got {shown(value)}; if percent is meant write "
                f"'{share:g} %' or {share / 100:g}"
            )
        raise Wrong(f"must be {self.wanted}, got {shown(value)}")


@dataclass(frozen=True)
class Quantity:
    """A number with a unit of its own: a stiffness, a weight."""

    wanted: str
    fits: Callable[[float], bool]
    unit: str
    factors: Mapping[str, float]
    """Unit, small letters, to what it is in the unit of the library."""

    def read(self, value: object, name: str) -> Got:
        """The number in the unit of the library."""
        usual = self.unit.partition(",")[0]
        if _is_number(value):
            raise ValueError(
                f"{shown(value)} has no unit: write '{shown(value)} {usual}' if that is it"
            )
        text = value.strip()[:LONGEST_NAME] if isinstance(value, str) else ""
        found = _QUANTITY.fullmatch(text)
        if found is None:
            raise Wrong(f"must be {self.wanted}, got {shown(value)}{_comma(text)}")
        if found[2] is None:
            raise ValueError(f"{shown(value)} has no unit: write '{text} {usual}' if that is it")
        factor = self.factors.get(found[2].casefold())
        if factor is None:
            raise ValueError(
                f"{shown(value)} has the unit {found[2]!r}, which is not used here: "
                f"write {self.unit}"
            )
        number = _float(float(found[1]), self.wanted) * factor
        if not self.fits(number):
            raise Wrong(f"must be {self.wanted}, got {shown(value)}")
        return Got(number)


def _comma(text: str) -> str:
    found = DECIMAL_COMMA.match(text.strip())
    return f", which has a decimal comma: write {found[0].replace(',', '.')}" if found else ""


LONGEST = 100_000.0
"""Longest length in a sheet [mm]; more is a slip of units."""
THICKEST = 100.0
"""Thickest sheet [mm]."""

ABOVE_0 = Length("a length above 0 mm, at most 100 m", lambda mm: 0 < mm <= LONGEST)
FROM_0 = Length("a length of 0 mm or more, at most 100 m", lambda mm: 0 <= mm <= LONGEST)
SIGNED = Length("a length of at most 100 m", lambda mm: abs(mm) <= LONGEST)
EITHER = Length("a length other than 0 mm", lambda mm: 0 < abs(mm) <= LONGEST)
SHEET = Length("a thickness above 0 mm, at most 100 mm", lambda mm: 0 < mm <= THICKEST)
BEAD = Length("a thickness from 0 to 10 mm", lambda mm: 0 <= mm <= 10)
FULL = 2 * math.pi * (1 + 1e-9)
TURN = Angle("an angle of at most a full turn", lambda a: abs(a) <= FULL)
BEVEL = Angle("an angle from 0 to below 90 deg", lambda a: 0 <= a < math.pi / 2 - 1e-9)
PART = Share("a share from 0 to 1 (0 to 100 %)", lambda share: 0 <= share <= 1)
BELOW_1 = Share("a share from 0 to below 1", lambda share: 0 <= share < 1)
STRETCH = Share("a share above 0 and below 1", lambda share: 0 < share < 1)
PLACE = Place(FROM_0)
BY_CUT = "worked out from cut and needed"
NAME = Text()
COUNT = Number(f"a whole number from 1 to {MOST_COUNT}", lambda n: 1 <= n <= MOST_COUNT, whole=True)


class Findings:
    """Faults and notes of one sheet, in the order in which they are found."""

    def __init__(self, file: str, *, at_line: bool = False) -> None:
        self.file, self.at_line = file, at_line
        self.faults: list[str] = []
        self.places: list[str] = []
        """The table of each fault."""
        self.notes: list[str] = []
        self.inches = False
        """Whether a tape reading was in inches."""

    def line(self, table: str, key: str, text: str) -> str:
        """A text with its place before it."""
        if self.at_line:
            sentence = text.startswith(("must ", "is ", "goes ", "does ", "needs "))
            return f"{self.spelled(key)}{' ' if sentence else ': '}{text}" if key else text
        return f"{', '.join([self.file, ' '.join(filter(None, (table, key)))]).strip(', ')}: {text}"

    def fault(self, table: str, key: str, text: str) -> None:
        """Add a fault; SheetFault when there are too many to be of use."""
        self.faults.append(self.line(table, key, " ".join(text.split())))
        self.places.append(table)
        if len(self.faults) >= MOST_FAULTS:
            self.faults.append(f"{self.file}: more faults may follow; put these right first")
            raise SheetFault(self.faults)

    def spelled(self, key: str) -> str:
        """A key as the maker writes it."""
        if not self.at_line or key.startswith("-"):
            return key
        return "KIND" if key == "kind" else f"--{key.replace('_', '-')}"

    def tape(self, mm: float) -> str:
        """A length as the maker's tape shows it."""
        return format_length(mm, system="in") if self.inches else f"{mm:.5g} mm"

    def in_order(self, heads: Iterable[str]) -> list[str]:
        """The faults in the order in which the heads of their tables stand in the sheet."""
        rank: dict[str, int] = {}
        for number, head in enumerate(heads):
            rank.setdefault(head, number)
        order = sorted(range(len(self.faults)), key=lambda i: rank.get(self.places[i], -1))
        return [self.faults[i] for i in order]

    def note(self, table: str, key: str, text: str) -> None:
        """Add a note: something to know that is no fault."""
        said = key.replace("_", " ") + f": {text}" if self.at_line else self.line(table, key, text)
        self.notes.append(said)


class Table:
    """One table of the sheet: the values that are sound, by key."""

    def __init__(self, found: Findings, place: str) -> None:
        self.found = found
        self.place = place
        self.values: dict[str, Any] = {}
        self.written: set[str] = set()
        """Keys that were written, sound or not, and those that a misspelt key was meant for."""
        self.sound = True
        self.way = ""
        """The key that says the main thing, where the form has several ways."""

    def such_as(self, key: Key) -> str:
        """How to say a key, as an example."""
        if not self.found.at_line:
            return f"{key.name} = {key.example}"
        return f"{self.found.spelled(key.name)} {key.example}".removeprefix("KIND ")

    def missing(self, key: Key, why: str = "") -> None:
        """Add that a key must be said."""
        what = _WHERE.sub("", key.what)
        self.fault(key.name, f"is missing{why}: {what}; write for example {self.such_as(key)}")

    def fault(self, key: str, text: str) -> None:
        """Add a fault of this table."""
        self.sound = False
        self.found.fault(self.place, key, text)

    def faults_of(self, key: str, error: Exception) -> None:
        """Add the faults that another part found, one a line."""
        for line in str(error).splitlines() or ["cannot be used"]:
            self.fault(key, line)

    def get(self, key: str, default: Any = None) -> Any:
        """The sound value of a key."""
        return self.values.get(key, default)


@dataclass(frozen=True, kw_only=True)
class Key:
    """One field: checker, options and the printed table of keys all use it."""

    name: str
    what: str
    kind: Kind
    example: str
    """A value as it stands in a sheet."""
    default: str = "must be there"
    """What holds when it is left out, in words."""
    required: bool = False
    """Whether a sheet must have it."""
    needed: tuple[str, ...] = ()
    """The words of the field `Form.by` with which it must be said."""
    only: tuple[str, ...] = ()
    """The words of `Form.by` with which it goes; with all of them if left out."""
    group: str = ""
    """Heading of its option."""
    at: str = "both"
    """"line" or "sheet" where it is not asked at the other."""


def make_key(name: str, kind: Kind, example: str, what: str, default: str = "", **more: Any) -> Key:
    """A key; one without a default must be there."""
    return Key(
        name=name,
        what=what,
        kind=kind,
        example=example,
        default=default or "must be there",
        **{"required": not default, **more},
    )


@dataclass(frozen=True, kw_only=True)
class Form:
    """All that may be said in one question."""

    head: str
    what: str
    keys: tuple[Key, ...]
    by: str = ""
    """The field whose words `Key.only` and `Key.needed` name."""
    ways: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """How the main thing is given: the key that begins a way, and what must stand with it."""
    beside: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """What may stand with a way."""

    def key(self, name: str) -> Key:
        """The key of that name."""
        return next(key for key in self.keys if key.name == name)

    def known(self, *, line: bool = False) -> list[Key]:
        """The keys that may be said on the command line, or in a sheet."""
        return [k for k in self.keys if k.at in ("both", "line" if line else "sheet")]

    def options(self, parser: argparse.ArgumentParser) -> None:
        """Give a command an option for each key, under the heading of its group."""
        groups: dict[str, Any] = {"": parser}
        for key in self.known(line=True):
            if key.name == self.by:
                parser.add_argument(key.name, metavar=key.name.upper(), help=key.kind.unit)
                continue
            if key.group not in groups:
                groups[key.group] = parser.add_argument_group(key.group)
            how: dict[str, Any] = {"metavar": key.name.rpartition("_")[2].upper()}
            if isinstance(key.kind, Word):
                how["metavar"] = f"{{{','.join(key.kind.choices)}}}"
            if isinstance(key.kind, YesNo):
                how = {"action": "store_const", "const": True}
            elif getattr(key.kind, "most", 1) == 2:
                how["nargs"] = "+"
            said = f"{key.what} (left out: {key.default})"
            name = f"--{key.name.replace('_', '-')}"
            groups[key.group].add_argument(name, dest=key.name, help=said.replace("%", "%%"), **how)

    def read(
        self,
        found: Findings,
        raw: Mapping[str, object],
        place: str = "",
        *,
        stock: Collection[str] | None = (),
        elsewhere: Iterable[Form] = (),
    ) -> Table:
        """Read every key that was written and say all that is wrong with it.

        Lengths of `stock` do not say in which units to answer; with None no length does.
        """
        table = Table(found, place)
        known = {key.name: key for key in self.known(line=found.at_line)}
        lengths: dict[str, str] = {}
        for name, value in raw.items():
            if name not in known:
                _unknown(table, known, name, raw, elsewhere)
                continue
            table.written.add(name)
            got = _read(table, known[name], value)
            if got is not None:
                table.values[name] = got.value
                lengths |= _texts(name, got)
                _note_tolerances(table, name, got)
        mixed = bare_beside_inches({found.spelled(name): text for name, text in lengths.items()})
        if mixed is not None:
            table.fault(*mixed)
        found.inches |= stock is not None and any(
            is_inch(text) for name, text in lengths.items() if name.partition(" ")[0] not in stock
        )
        self._check(table, list(known.values()))
        return table

    def _check(self, table: Table, known: list[Key]) -> None:
        """Faults for what is missing, and for what does not go together."""
        by = table.get(self.by)
        for key in known:
            if key.only and by and key.name in table.written and by not in key.only:
                only = or_words(key.only)
                table.fault(
                    key.name, f"goes with {only} only, and this is a {by} strip; leave it out"
                )
            must = (key.required and not table.found.at_line) or key.name == self.by
            if key.name not in table.written and (must or by in key.needed):
                table.missing(key)
        if self.ways:
            self._check_way(table, [key.name for key in known])

    def _check_way(self, table: Table, known: list[str]) -> None:
        ways = [way for way in self.ways if way in table.written]
        if len(ways) != 1:
            say = table.found.spelled
            each = [
                " with ".join(map(say, (way, *more)))
                for way, more in self.ways.items()
                if way in known
            ]
            got = f"; got {' and '.join(map(say, ways))}" if ways else ""
            table.fault("", f"say the edge in one way: {or_words(tuple(each))}{got}")
            return
        table.way = way = ways[0]
        for name in self.ways[way]:
            if name not in table.written:
                table.missing(self.key(name), f" beside {table.found.spelled(way)}")
        own = {*self.ways[way], *self.beside.get(way, ())}
        others = {n for w in self.ways for n in (*self.ways[w], *self.beside.get(w, ()))} - own
        for name in known:
            if name in others & table.written:
                fits = [
                    w
                    for w in self.ways
                    if w in known and name in (*self.ways[w], *self.beside.get(w, ()))
                ]
                goes = or_words(tuple(map(table.found.spelled, fits)))
                table.fault(
                    name,
                    f"goes with {goes} only, and the edge is given by "
                    f"{table.found.spelled(way)}; leave it out",
                )


def or_words(words: tuple[str, ...]) -> str:
    """Words in a sentence: "band", "band or rim", "band, rim or binding"."""
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _read(table: Table, key: Key, value: object) -> Got | None:
    """The meaning of a value; None if it has none, and the fault is added."""
    if table.found.at_line and isinstance(key.kind, FileName):
        return Got(value)  # on the command line any file will do
    try:
        return key.kind.read(value, key.name)
    except Wrong as fault:
        table.fault(key.name, f"{fault}; write for example {table.such_as(key)}")
    except (ValueError, TypeError) as fault:
        table.fault(key.name, str(fault))
    return None


def _texts(name: str, got: Got) -> dict[str, str]:
    """The lengths of a key as typed; an exact 0 is 0 in every unit and is left out."""
    many = len(got.lengths) > 1
    return {
        f"{name} entry {number}" if many else name: reading.text
        for number, reading in enumerate(got.lengths, 1)
        if reading.value or reading.tolerance
    }


def _note_tolerances(table: Table, name: str, got: Got) -> None:
    for reading in got.lengths:
        if reading.tolerance:
            table.found.note(table.place, name, f"± {reading.tolerance:.4g} mm read, not used yet")
    for reading in got.angles:
        if reading.tolerance:
            degrees = math.degrees(reading.tolerance)
            table.found.note(table.place, name, f"± {degrees:.4g}° read, not used yet")


def _unknown(
    table: Table,
    known: Iterable[str],
    name: str,
    raw: Mapping[str, object],
    elsewhere: Iterable[Form],
) -> None:
    """A key that this table does not have: the near one, or the table it belongs to."""
    guess = near(name, [key for key in known if key not in raw])
    label = name if re.fullmatch(r"[A-Za-z0-9_-]{1,60}", name) else shown(name)
    if guess is not None:
        table.written.add(guess)
        table.fault(label, f"is no key here; did you mean {guess}?")
        return
    others = [t.head for t in elsewhere if name in (key.name for key in t.known())]
    if others:
        table.fault(label, f"is no key here; it belongs to {' or '.join(others)}")
        return
    table.fault(label, f"is no key here; known are {', '.join(known)}")
