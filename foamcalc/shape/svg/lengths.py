"""Numbers, lengths, view boxes and the true size of a drawing."""

from __future__ import annotations

import math
import re
from typing import Final, NamedTuple

from foamcalc.shape.svg.tree import shown

INCH: Final = 25.4
PER_INCH: Final = (96, 90, 72)
"""px to the inch: today's, and two that older drawings were written at."""

NUMBER: Final = r"[+-]?(?:[0-9]++\.?[0-9]*+|\.[0-9]++)(?:[eE][+-]?[0-9]++)?"
"""A number, read without looking back, so that a long one takes no longer than its length."""
_LENGTH = re.compile(rf"({NUMBER})\s*([a-zA-Z]*|%)")
_SEPARATOR = re.compile(r"[ \t\r\n\f]*,[ \t\r\n\f]*|[ \t\r\n\f]+|(?=[+-])|(?<=[0-9])(?=\.)")
_NUMBER = re.compile(NUMBER)
_REAL = {"mm": 1.0, "cm": 10.0, "q": 0.25, "in": INCH, "pt": INCH / 72, "pc": INCH / 6}
"""Units that mean a length on paper [mm]."""

Matrix = tuple[float, float, float, float, float, float]
"""``(a, b, c, d, e, f)``: ``x, y -> a x + c y + e, b x + d y + f``."""
SAME: Final[Matrix] = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


class Said(NamedTuple):
    """A length as it is written."""

    value: float
    unit: str
    """In small letters; empty for a bare number."""


class Viewport(NamedTuple):
    """The room that percentages count in [user units]."""

    width: float
    height: float

    @property
    def diagonal(self) -> float:
        """What a percentage of a radius counts in."""
        return math.hypot(self.width, self.height) / math.sqrt(2)


def after(outer: Matrix, inner: Matrix) -> Matrix:
    """The matrix that does `inner` first and `outer` after it."""
    a, b, c, d, e, f = outer
    g, h, i, j, k, m = inner
    return (
        a * g + c * h,
        b * g + d * h,
        a * i + c * j,
        b * i + d * j,
        a * k + c * m + e,
        b * k + d * m + f,
    )


def number(text: str) -> float:
    """One plain number; ValueError if it is none, or too big."""
    if not _NUMBER.fullmatch(text):
        raise ValueError(f"{shown(text)} is no number")
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(f"{shown(text)} is too big a number")
    return value


def numbers(text: str, most: int = 100) -> list[float]:
    """Numbers with spaces, single commas or nothing between them, as SVG writes them."""
    found: list[float] = []
    text = text.strip(" \t\r\n\f")
    place = 0
    while place < len(text):
        if found:
            between = _SEPARATOR.match(text, place)
            if between is None:
                raise ValueError(f"{shown(text[place:])} is no number")
            place = between.end()
        if len(found) == most:
            raise ValueError(f"over {most} numbers: divide it")
        met = _NUMBER.match(text, place)
        if met is None:
            raise ValueError(f"{shown(text[place:]) if text[place:] else 'nothing'} is no number")
        found.append(number(met.group()))
        place = met.end()
    return found


def said(text: str) -> Said:
    """A length as it is written, with its unit; ValueError if it is none."""
    met = _LENGTH.fullmatch(text.strip())
    if met is None:
        raise ValueError(f"{shown(text)} is no length, such as 210mm")
    unit = met[2].lower()
    if unit not in (*_REAL, "px", "", "%"):
        raise ValueError(
            f"{shown(text)} is in {unit}, a unit that hangs on more than this drawing: write it "
            "in mm"
        )
    return Said(number(met[1]), unit)


def real_mm(length: Said) -> float | None:
    """A length in mm if its unit says one, else None."""
    return length.value * _REAL[length.unit] if length.unit in _REAL else None


def in_units(text: str, *, whole: float, per_inch: float) -> float:
    """A length in user units."""
    length = said(text)
    if length.unit == "%":
        return length.value / 100 * whole
    paper = real_mm(length)
    return length.value if paper is None else paper * per_inch / INCH


class Box(NamedTuple):
    """A rectangle with its sides level and upright."""

    x: float
    y: float
    width: float
    height: float


def view_box(text: str) -> Box:
    """The four numbers of a viewBox; ValueError if it is no box."""
    try:
        four = numbers(text)
    except ValueError as fault:
        raise ValueError(f"viewBox {shown(text)}: {fault}") from None
    if len(four) != 4:
        raise ValueError(f"viewBox must be four numbers (x, y, width, height), got {shown(text)}")
    box = Box(*four)
    if not (box.width > 0 and box.height > 0):
        raise ValueError(f"viewBox must have a width and a height above 0, got {shown(text)}")
    return box


_ALIGN = re.compile(
    r"(?:defer\s+)?(?:(none)|x(Min|Mid|Max)Y(Min|Mid|Max))(?:\s+(meet|slice))?", re.ASCII
)
_SHARE = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}


def fitted(box: Box, port: Box, aspect: str = "") -> Matrix:
    """The matrix that fits a view box into a viewport.

    ``meet`` takes the smaller of the two scales, ``slice`` the larger, ``none`` each for itself.
    What is left over, or hangs over, lies half on either side for Mid, all after the box for Min,
    all before it for Max.
    """
    met = _ALIGN.fullmatch(aspect.strip() or "xMidYMid")
    if met is None:
        raise ValueError(
            f"preserveAspectRatio must be none or such as 'xMidYMid meet', got {shown(aspect)}"
        )
    sx, sy = port.width / box.width, port.height / box.height
    left, up = 0.0, 0.0
    if not met[1]:
        sx = sy = max(sx, sy) if met[4] == "slice" else min(sx, sy)
        left = _SHARE[met[2]] * (port.width - box.width * sx)
        up = _SHARE[met[3]] * (port.height - box.height * sy)
    return (sx, 0.0, 0.0, sy, port.x + left - box.x * sx, port.y + up - box.y * sy)
