"""Quantities in a job sheet: lengths, angles, places, plain numbers, shares and stiffness."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from foamcalc.job.faults import LONGEST_NAME, shown
from foamcalc.job.filled import DECIMAL_COMMA, NUMBER
from foamcalc.job.sheet.fields import Got, Wrong
from foamcalc.units import GRAVITY, Reading, read_angle, read_length

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
