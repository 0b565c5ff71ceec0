"""The door: what a maker types becomes millimetres and radians with a tolerance, and back.

Numbers are read by one strict pattern and kept as exact fractions, and so are the units, so that a
reading is never an expression: 3/8 in is the float nearest to 9.525.
"""

from __future__ import annotations

import math
import numbers
import re
import warnings
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import Final, Literal, NamedTuple

from foamcalc.guards import finite, one_of, positive

__all__ = [
    "GRAVITY",
    "Reading",
    "System",
    "ToleranceNotUsed",
    "angle",
    "format_angle",
    "format_length",
    "is_bare",
    "is_inch",
    "length",
    "read_angle",
    "read_length",
    "rounded",
]

System = Literal["mm", "in"]
"""What lengths are written in."""

GRAVITY = 9.80665
"""N that 1 kg weighs (by definition)."""


class ToleranceNotUsed(UserWarning):
    """A tolerance was written where only the value is used."""


@dataclass(frozen=True)
class Reading:
    """A measured length [mm] or angle [rad], half the width of its interval, and its text."""

    value: float
    tolerance: float = 0.0
    text: str = ""

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise ValueError(f"value must be a finite number, got {self.value}")
        if not (math.isfinite(self.tolerance) and self.tolerance >= 0):
            raise ValueError(f"tolerance must be finite and 0 or more, got {self.tolerance}")


def read_length(text: str | float, *, name: str = "length") -> Reading:
    """Read a length, with its tolerance if one is written; a bare number is in mm.

    A unit written on one side of ± counts for both.
    """
    return _read(text, name, "length")


def read_angle(text: str | float, *, name: str = "angle") -> Reading:
    """Read an angle, with its tolerance if one is written; a bare number is refused."""
    return _read(text, name, "angle")


def length(text: str | float, *, name: str = "length") -> float:
    """Read a length where its tolerance is not used.

    Parameters
    ----------
    text : str or float
        One number with one unit, such as "3/8 in" or "50 ± 2 mm"; a bare number is in mm.
    name : str
        What errors call it.

    Returns
    -------
    float
        The value [mm].

    Raises
    ------
    ValueError
        For text that is not one length from 0.01 mm to 1 km; it says how to write it.
    TypeError
        For what is neither text nor a number.

    Warns
    -----
    ToleranceNotUsed
        If a tolerance above 0 was written.

    Examples
    --------
    >>> length("5 cm"), length(50)
    (50.0, 50.0)
    """
    reading = read_length(text, name=name)
    if reading.tolerance:
        said = f"{name}: ± {reading.tolerance:.4g} mm read, not used yet"
        warnings.warn(said, ToleranceNotUsed, stacklevel=2)
    return reading.value


def angle(text: str | float, *, name: str = "angle") -> float:
    """Read an angle where its tolerance is not used.

    Parameters
    ----------
    text : str or float
        One number with one unit, such as "90 deg" or "0.25 turn".
    name : str
        What errors call it.

    Returns
    -------
    float
        The value [rad].

    Raises
    ------
    ValueError
        For text that is not one angle up to 100 turns, or has no unit; it says how to write it.
    TypeError
        For what is neither text nor a number.

    Warns
    -----
    ToleranceNotUsed
        If a tolerance above 0 was written.

    Examples
    --------
    >>> angle("180°")
    3.141592653589793
    """
    reading = read_angle(text, name=name)
    if reading.tolerance:
        said = f"{name}: ± {math.degrees(reading.tolerance):.4g}° read, not used yet"
        warnings.warn(said, ToleranceNotUsed, stacklevel=2)
    return reading.value


def is_inch(text: str | float) -> bool:
    """Tell whether a reading was written in inches, so that it can be answered in inches."""
    try:
        word = _take(text, "reading", "length")[0].unit
        if word is not None and word.lower() not in _UNITS:
            _factor(word, "length")  # says what is wrong with it
    except _Fault as fault:
        raise ValueError(fault.about("reading", text)) from None
    return word is not None and word.lower() in " ".join(_INCHES).split()


def is_bare(text: str | float) -> bool:
    """Tell whether a reading has no unit, as in ``173 ± 2``."""
    try:
        return _take(text, "reading", "length")[0].unit is None
    except _Fault as fault:
        raise ValueError(fault.about("reading", text)) from None


# Writing ------------------------------------------------------------------------------------------


def format_length(
    mm: float,
    *,
    system: System = "mm",
    resolution: float | None = None,
    signed: bool = False,
) -> str:
    """Write a length as it is read off a tape.

    Parameters
    ----------
    mm : float
        The length [mm], finite, of either sign.
    system : {"mm", "in"}
        Millimetres, or inches as a reduced mixed fraction.
    resolution : float, optional
        The step rounded to [mm or in], above 0; 1 mm or 1/16 in if left out.
    signed : bool
        Write ``+`` before a length above zero.

    Returns
    -------
    str
        The nearest step [mm or in] with its unit; a half step goes away from zero.

    Raises
    ------
    ValueError
        If the length is not finite, the system unknown, or the resolution not a plain part of it.
    TypeError
        If the length or the resolution is not a number.

    Notes
    -----
    A length that falls short of a half step by less than 1e-12 of itself counts as the half, so
    that the last bits of a float do not decide.

    Examples
    --------
    >>> format_length(15.7), format_length(15.7, resolution=0.5, signed=True)
    ('16 mm', '+15.5 mm')
    >>> format_length(38.1, system="in"), format_length(-4.8, system="in")
    ('1 1/2 in', '-3/16 in')
    """
    unit, step = _scale(system)
    size, bottom = _nearest(mm, "length", unit, step if resolution is None else resolution)
    written = _decimal(size, bottom) if system == "mm" else _mixed(size)
    return f"{'+' if signed and size > 0 else ''}{written} {system}"


def format_angle(rad: float, *, resolution: float = 1.0) -> str:
    """Write an angle in degrees."""
    size, bottom = _nearest(rad, "angle", Fraction(math.pi) / 180, resolution)
    return f"{_decimal(size, bottom)}°"


def rounded(mm: float, *, system: System = "mm") -> float:
    """A length as `format_length` writes it [mm], so that what is written adds up."""
    unit, step = _scale(system)
    return float(_nearest(mm, "length", unit, step)[0] * unit)


def _scale(system: System) -> tuple[Fraction, float]:
    """Millimetres in the unit, and the step that is read off a tape."""
    metric = one_of(system, "system", ("mm", "in")) == "mm"
    return (Fraction(1), 1.0) if metric else (Fraction(127, 5), 1 / 16)


def _nearest(number: float, kind: str, unit: Fraction, resolution: float) -> tuple[Fraction, int]:
    """Round to the resolution, halves away from zero; also the denominator it is written in."""
    exact, given = finite(number, kind, "1"), positive(resolution, "resolution", "1")
    if exact.ndim or given.ndim:
        raise TypeError(f"{kind} and resolution must be one number each, got an array")
    step = Fraction(float(given)).limit_denominator(10_000)
    if abs(float(step) - given) > 1e-15 * given:
        raise ValueError(
            f"resolution must be a plain part of a unit, such as 0.5 or 1/32, got {resolution}"
        )
    # A half such as 3/32 in is to stay a half when the last bits of the float fall short of it.
    ratio = abs(Fraction(float(exact))) / unit / step * (1 + Fraction(1, 10**12))
    steps = math.floor(ratio + Fraction(1, 2))
    return (steps if exact > 0 else -steps) * step, step.denominator


def _decimal(size: Fraction, bottom: int) -> str:
    """Write with as many decimals as the resolution has."""
    places = next((k for k in range(5) if 10**k % bottom == 0), None)
    if places is None:
        raise ValueError(f"resolution must have 4 decimals at most, got a multiple of 1/{bottom}")
    return f"{float(size):.{places}f}"


def _mixed(size: Fraction) -> str:
    """Write as a reduced mixed fraction."""
    whole, rest = divmod(abs(size), 1)
    parts = [str(whole)] if whole or not rest else []
    return "-" * (size < 0) + " ".join(parts + [str(rest)] * bool(rest))


# Reading ------------------------------------------------------------------------------------------

_LONGEST: Final = 200  # characters of text
_PI: Final = Fraction("3.14159265358979323846264338327950288")
_METRIC: Final = {  # the words a maker writes, in any letter case: mm in one
    "mm mms millimeter millimeters millimetre millimetres": Fraction(1),
    "cm cms centimeter centimeters centimetre centimetres": Fraction(10),
    "dm decimeter decimeters decimetre decimetres": Fraction(100),
    "m meter meters metre metres": Fraction(1000),
}
_INCHES: Final = {  # mm in one
    "thou thous mil mils": Fraction(254, 10_000),
    'in ins inch inches "': Fraction(254, 10),
    "ft foot feet '": Fraction(3048, 10),
    "yd yds yard yards": Fraction(9144, 10),
}
_ANGLES: Final = {  # rad in one
    "deg degs degree degrees °": _PI / 180,
    "rad rads radian radians": Fraction(1),
    "turn turns rev revs revolution revolutions": 2 * _PI,
    "grad grads gon gons": _PI / 200,
}
_UNITS: Final = {
    word: (kind, factor, words)
    for kind, units in (("length", _METRIC | _INCHES), ("angle", _ANGLES))
    for words, factor in units.items()
    for word in words.split()
}
_A: Final = {"length": "a length", "angle": "an angle"}
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

    def about(self, name: str, text: object) -> str:
        """The whole message, with the value as typed."""
        if isinstance(text, str):
            short = text if len(text) <= _LONGEST else f"{text[:40]}…"
            shown = text.strip() if re.fullmatch(r"\s*[+-]?[0-9.]+\s*", short) else repr(short)
        else:
            shown = "a huge number" if isinstance(text, int) and abs(text) > 10**40 else str(text)
        return f"{name}: {shown} {self}"


class _Part(NamedTuple):
    """One number and its unit word; `shape` is '', 'fraction' or 'feet and inches'."""

    number: Fraction
    unit: str | None = None
    shape: str = ""


def _read(text: object, name: str, kind: str) -> Reading:
    """Read a length or an angle; a bare number is in mm, or refused."""
    try:
        value, spread = _take(text, name, kind)
        if value.unit is None:
            fraction = "fraction" in (value.shape, spread.shape if spread else "")
            if kind == "angle" or fraction:
                raise _Fault(_no_unit(text, value, spread, kind))
            value = value._replace(unit="mm")
            spread = spread._replace(unit="mm") if spread else None
        tolerance = _scaled(spread, kind, least=Fraction(0)) if spread else 0.0
        return Reading(_scaled(value, kind), tolerance, str(text))
    except _Fault as fault:
        raise ValueError(fault.about(name, text)) from None


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
    one, other = value.unit or spread.unit, spread.unit or value.unit
    return value._replace(unit=one), spread._replace(unit=other)


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
    return "has a comma: write one number with a decimal point, such as 12.5" * ("," in piece)


def _no_unit(text: object, value: _Part, spread: _Part | None, kind: str) -> str:
    """Say why a number without a unit is refused, with readings that would be right."""
    typed = str(text).strip()
    if kind == "length":
        return (
            f"is a fraction and has no unit: write '{typed} in' or '{typed} mm', whichever is meant"
        )
    if spread is not None or not math.tau < abs(value.number) < 10**6:
        return f"has no unit: write '{typed} deg' or '{typed} rad', whichever is meant"
    number = float(value.number)
    turn, rad = f"{number / 360:.4g} turn", f"{math.radians(number):.4g} rad"
    return f"has no unit: write '{typed} deg', '{turn}' or '{rad}'"


def _scaled(part: _Part, kind: str, *, least: Fraction | None = None) -> float:
    """Convert to mm or radians; the result is the float nearest to the exact value."""
    exact = part.number * _factor(part.unit or "", kind)
    smallest, most, rule = _MOST[kind]
    if abs(exact) > most:
        raise _Fault(f"is too large: {rule}")
    if 0 < abs(exact) < (smallest if least is None else least):
        raise _Fault(f"is too small: {rule}")
    return float(exact)


def _factor(word: str, kind: str) -> Fraction:
    """How many mm or radians one of a unit is; the unit must be of the kind wanted."""
    if word.lower() not in _UNITS:
        words = [w for w, (other, _, _) in _UNITS.items() if other == kind]
        near = get_close_matches(word.lower(), words, n=4, cutoff=0.5)
        best = list({_UNITS[w][2]: w for w in reversed(near)}.values())[:-3:-1]  # one word a unit
        guess = f"; did you mean {' or '.join(map(repr, best))}?" if best else ""
        raise _Fault(f"has the unit {word!r}, which is not used here: write {_USUAL[kind]}{guess}")
    found, factor, _ = _UNITS[word.lower()]
    if found != kind:
        raise _Fault(
            f"has the unit {word!r}, {_A[found]}, but {_A[kind]} is wanted: write it in "
            f"{_USUAL[kind]}"
        )
    return factor
