"""How a reading is taken apart: number, unit word, tolerance; `foamcalc.units` is the door.

Numbers are read by one strict pattern and kept as exact fractions, and so are the units.
"""

from __future__ import annotations

import contextlib
import math
import numbers
import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import Final, NamedTuple

__all__ = ["Reading", "is_bare", "is_inch", "read"]

_LONGEST: Final = 200  # characters of text
_PI: Final = Fraction("3.14159265358979323846264338327950288")
_UNITS: Final = {  # mm or rad in one: the words a maker writes, in any letter case
    "millimeter": (Fraction(1), "mm mms millimeter millimeters millimetre millimetres"),
    "centimeter": (Fraction(10), "cm cms centimeter centimeters centimetre centimetres"),
    "decimeter": (Fraction(100), "dm decimeter decimeters decimetre decimetres"),
    "meter": (Fraction(1000), "m meter meters metre metres"),
    "thou": (Fraction(254, 10_000), "thou thous mil mils"),
    "inch": (Fraction(254, 10), 'in ins inch inches "'),
    "foot": (Fraction(3048, 10), "ft foot feet '"),
    "yard": (Fraction(9144, 10), "yd yds yard yards"),
    "degree": (_PI / 180, "deg degs degree degrees °"),
    "radian": (Fraction(1), "rad rads radian radians"),
    "turn": (2 * _PI, "turn turns rev revs revolution revolutions"),
    "grade": (_PI / 200, "grad grads gon gons"),
}
_KNOWN: Final = {word: name for name, (_, words) in _UNITS.items() for word in words.split()}
_ANGLES: Final = ("degree", "radian", "turn", "grade")
_INCHES: Final = ("inch", "foot", "yard", "thou")
_USUAL: Final = {"length": "mm, cm, m, in or ft", "angle": "deg, turn, rad or grad"}
_MOST: Final = {  # mm or rad; a 0 is allowed, and a tolerance may be smaller
    "length": (Fraction(1, 100), Fraction(10**6), "lengths here go from 0.01 mm to 1 km"),
    "angle": (Fraction(0), 200 * _PI, "angles here go to 100 turns"),
}
_EXAMPLE: Final = {"length": "'50 mm', '3/8 in' or '50 ± 2 mm'", "angle": "'90 deg' or '0.25 turn'"}

_VULGAR: Final = dict(
    zip(
        "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒",
        "1/2 1/3 2/3 1/4 3/4 1/5 2/5 3/5 4/5 1/6 5/6 1/7 1/8 3/8 5/8 7/8 1/9 1/10".split(),
        strict=True,
    )
)
_PLAIN: Final = str.maketrans(
    dict(zip("\u2212\u2033\u201d\u2032\u2019\u00ba\u02da\u2044", "-\"\"''°°/", strict=True))
    | {sign: f" {text} " for sign, text in _VULGAR.items()}
)
_NUMBER: Final = (
    r"(?:(?:(?P<whole>[0-9]+)(?:\s+|-))?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)"
    r"|(?P<decimal>(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?))"
)
_ONE: Final = re.compile(rf"(?P<sign>[+-]?)\s*{_NUMBER}\s*(?:(?P<unit>[A-Za-z]+|[°\"'])\.?)?")
_FEET_INCHES: Final = re.compile(
    rf"(?P<sign>[+-]?)\s*(?P<feet>[0-9]+)\s*(?:'|ft\.?|foot|feet)(?:-|\s*){_NUMBER}\s*"
    r"(?:\"|in\.?|inch|inches)",
    re.IGNORECASE,
)
_PLUS_MINUS: Final = re.compile(r"\s*(?:±|\+\s*/\s*-|\+-)\s*")


class _Fault(Exception):
    """What is wrong with a text and its remedy, before name and text are added."""


@dataclass(frozen=True)
class Reading:
    """A measured length or angle.

    Parameters
    ----------
    value : float
        The length [mm] or angle [rad], finite, of either sign.
    tolerance : float
        Half-width of the interval around it [mm or rad], finite, 0 or more.
    text : str
        The reading as it was typed.
    """

    value: float
    tolerance: float = 0.0
    text: str = ""

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise ValueError(f"value must be a finite number, got {self.value}")
        if not (math.isfinite(self.tolerance) and self.tolerance >= 0):
            raise ValueError(f"tolerance must be finite and 0 or more, got {self.tolerance}")


class _Part(NamedTuple):
    """One number and its unit word; `shape` is '', 'fraction' or 'feet and inches'."""

    number: Fraction
    unit: str | None = None
    shape: str = ""


class _Unit(NamedTuple):
    """A unit, and how many mm or radians one of it is."""

    name: str
    kind: str
    factor: Fraction


def _unit(word: str) -> _Unit | None:
    """Look a unit word up; None if it is no unit for bench work."""
    name = _KNOWN.get(word.lower())
    if name is None:
        return None
    return _Unit(name, "angle" if name in _ANGLES else "length", _UNITS[name][0])


def _unit_of(word: str, kind: str) -> _Unit:
    """Look a unit word up and insist on the kind wanted."""
    unit = _unit(word)
    if unit is None:
        words = [w for w, name in _KNOWN.items() if (name in _ANGLES) == (kind == "angle")]
        near = get_close_matches(word.lower(), words, n=4, cutoff=0.5)
        best = list({_KNOWN[w]: w for w in reversed(near)}.values())[:-3:-1]  # one word per unit
        guess = f"; did you mean {' or '.join(map(repr, best))}?" if best else ""
        raise _Fault(f"has the unit {word!r}, which is not used here: write {_USUAL[kind]}{guess}")
    if unit.kind != kind:
        what = {"length": "a length", "angle": "an angle"}
        raise _Fault(
            f"has the unit {word!r}, {what[unit.kind]}, but {what[kind]} is wanted: write it in "
            f"{_USUAL[kind]}"
        )
    return unit


def _digits_hint(piece: str) -> str | None:
    """Say how to write a number that has a comma or blanks between its digits."""
    found = re.match(r"[+-]?\s*([0-9][0-9.,\s]*[0-9])", piece)
    run = found[1] if found else ""
    if re.fullmatch(r"[0-9]{1,3}([,\s][0-9]{3})+(\.[0-9]+)?", run):
        plain = re.sub(r"[,\s]", "", run)
        if run.count(",") != 1 or "." in run:
            return f"has its thousands set apart: write {plain!r}"
        return f"has a comma: write {plain!r}, or {run.replace(',', '.')!r} for a decimal comma"
    if re.fullmatch(r"[0-9]+,[0-9]+", run):
        return f"has a decimal comma: write {run.replace(',', '.')!r}"
    if "," in piece:
        return "has a comma: write one number with a decimal point, such as 12.5"
    return None


def _part(piece: str, kind: str) -> _Part:
    """Read one number with or without a unit."""
    found = _FEET_INCHES.fullmatch(piece) or _ONE.fullmatch(piece)
    if found is None:
        if hint := _digits_hint(piece):
            raise _Fault(hint)
        if re.match(r"[+-]?\s*(nan|inf|infinity)\b", piece, re.IGNORECASE):
            raise _Fault(f"is not a finite number: write {_EXAMPLE[kind]}")
        raise _Fault(f"is not one number with one unit: write {_EXAMPLE[kind]}")
    part = found.groupdict()
    number, shape = Fraction(part["decimal"] or 0), ""
    if part["decimal"] is None:
        top, bottom, shape = int(part["top"]), int(part["bottom"]), "fraction"
        if bottom == 0:
            raise _Fault("divides by 0: the lower number of a fraction must be above 0")
        if part["whole"] and top >= bottom:
            raise _Fault("has a fraction of 1 or more after its whole number: write '1 1/2'")
        number = int(part["whole"] or 0) + Fraction(top, bottom)
    unit = part.get("unit")
    if feet := part.get("feet"):
        if number >= 12:
            raise _Fault("has 12 or more inches after its feet: add them to the feet")
        number, unit, shape = 12 * int(feet) + number, "in", "feet and inches"
    return _Part(-number if part["sign"] == "-" else number, unit, shape)


def _split(text: str, kind: str) -> tuple[_Part, _Part | None]:
    """Read value and tolerance; where only one of them has a unit, it counts for both."""
    if len(text) > _LONGEST:
        raise _Fault(f"is too long ({len(text)} characters): write at most {_LONGEST}")
    pieces = _PLUS_MINUS.split(text.translate(_PLAIN).replace("''", '"').strip())
    if pieces == [""]:
        raise _Fault(f"is empty: write {_EXAMPLE[kind]}")
    if len(pieces) > 2 or "" in pieces:
        raise _Fault("must have one value, one ± and one tolerance, such as '50 ± 2 mm'")
    value = _part(pieces[0], kind)
    if len(pieces) == 1:
        return value, None
    spread = _part(pieces[1], kind)
    if spread.number < 0:
        raise _Fault("has a negative tolerance: write it as a number of 0 or more after ±")
    if "feet and inches" in (value.shape, spread.shape) and not (value.unit and spread.unit):
        raise _Fault(
            "has feet and inches on one side of ± and no unit on the other: write both, "
            "such as '2 ft 3 in ± 1/8 in'"
        )
    return (
        value._replace(unit=value.unit or spread.unit),
        spread._replace(unit=spread.unit or value.unit),
    )


def _take(text: object, name: str, kind: str) -> tuple[_Part, _Part | None]:
    """Read text or a plain number; other types are refused."""
    if isinstance(text, str):
        return _split(text, kind)
    if isinstance(text, bool) or not isinstance(text, numbers.Real):
        raise TypeError(
            f"{name}: must be text such as {_EXAMPLE[kind]}, or a number, got {text!r:.40}"
        )
    try:
        number = float(text)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise _Fault(f"is not a finite number: write {_EXAMPLE[kind]}")
    return _Part(Fraction(number)), None


def _bare(text: object, value: _Part, spread: _Part | None, kind: str) -> str:
    """Say why a number without a unit is refused, with readings that would be right."""
    typed = str(text).strip()
    if kind == "length":
        return (
            f"is a fraction and has no unit: write '{typed} in' or '{typed} mm', whichever is meant"
        )
    if spread is not None or not math.tau < abs(value.number) < 10**6:
        return f"has no unit: write '{typed} deg' or '{typed} rad', whichever is meant"
    number = float(value.number)
    return (
        f"has no unit: write '{typed} deg', '{number / 360:.4g} turn' or "
        f"'{math.radians(number):.4g} rad'"
    )


def _scaled(part: _Part, kind: str, *, tolerance: bool = False) -> float:
    """Convert to mm or radians; the result is the float nearest to the exact value."""
    exact = part.number * _unit_of(part.unit or "", kind).factor
    least, most, rule = _MOST[kind]
    if abs(exact) > most:
        raise _Fault(f"is too large: {rule}")
    if 0 < abs(exact) < least and not tolerance:
        raise _Fault(f"is too small: {rule}")
    return float(exact)


@contextlib.contextmanager
def _naming(name: str, text: object) -> Iterator[None]:
    """Put the name and the value as typed before a fault."""
    try:
        yield
    except _Fault as fault:
        if isinstance(text, str):
            short = text if len(text) <= _LONGEST else f"{text[:40]}…"
            shown = text.strip() if re.fullmatch(r"\s*[+-]?[0-9.]+\s*", short) else repr(short)
        else:
            shown = "a huge number" if isinstance(text, int) and abs(text) > 10**40 else str(text)
        raise ValueError(f"{name}: {shown} {fault}") from None


def read(text: object, name: str, kind: str, default: str | None) -> Reading:
    """Read a length or an angle; `default` is the unit of a bare number, None to refuse it."""
    with _naming(name, text):
        value, spread = _take(text, name, kind)
        if value.unit is None:
            fraction = "fraction" in (value.shape, spread.shape if spread else "")
            if default is None or (fraction and _unit_of(default, kind).name not in _INCHES):
                raise _Fault(_bare(text, value, spread, kind))
            value = value._replace(unit=default)
            spread = spread._replace(unit=default) if spread else None
        tolerance = _scaled(spread, kind, tolerance=True) if spread else 0.0
        return Reading(_scaled(value, kind), tolerance, str(text))


def is_inch(text: str | float) -> bool:
    """Tell whether a reading was written in inches, so that it can be answered in inches."""
    with _naming("reading", text):
        value, _ = _take(text, "reading", "length")
        unit = _unit(value.unit) if value.unit else None
        if value.unit and unit is None:
            _unit_of(value.unit, "length")
        return unit is not None and unit.name in _INCHES


def is_bare(text: str | float) -> bool:
    """Tell whether a reading has no unit, as in ``173 ± 2``."""
    with _naming("reading", text):
        return _take(text, "reading", "length")[0].unit is None
