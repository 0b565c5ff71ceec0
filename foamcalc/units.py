"""The door: what a maker types becomes millimetres and radians, with its tolerance."""

from __future__ import annotations

import math
import warnings
from fractions import Fraction
from typing import Literal

from foamcalc.guards import finite, one_of, positive
from foamcalc.readings import Reading, is_bare, is_inch, read

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


def read_length(text: str | float, *, name: str = "length", default_unit: str = "mm") -> Reading:
    """Read a length, with its tolerance if one is written.

    A unit written on one side of ± counts for both. Readings are exact: 3/8 in is the float
    nearest to 9.525.
    """
    return read(text, name, "length", default_unit)


def read_angle(text: str | float, *, name: str = "angle") -> Reading:
    """Read an angle, with its tolerance if one is written."""
    return read(text, name, "angle", None)


def length(text: str | float, *, name: str = "length") -> float:
    """Read a length where its tolerance is not used.

    Parameters
    ----------
    text, name
        As in `read_length`.

    Returns
    -------
    float
        The value [mm].

    Raises
    ------
    ValueError, TypeError
        As `read_length` does.

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
        warnings.warn(
            f"{name}: ± {reading.tolerance:.4g} mm read, not used yet",
            ToleranceNotUsed,
            stacklevel=2,
        )
    return reading.value


def angle(text: str | float, *, name: str = "angle") -> float:
    """Read an angle where its tolerance is not used.

    Parameters
    ----------
    text, name
        As in `read_angle`.

    Returns
    -------
    float
        The value [rad].

    Raises
    ------
    ValueError, TypeError
        As `read_angle` does.

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
        warnings.warn(
            f"{name}: ± {math.degrees(reading.tolerance):.4g}° read, not used yet",
            ToleranceNotUsed,
            stacklevel=2,
        )
    return reading.value


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


def rounded(mm: float, *, system: System = "mm") -> float:
    """A length as `format_length` writes it [mm], so that what is written adds up."""
    unit, step = _scale(system)
    return float(_nearest(mm, "length", unit, step)[0] * unit)


def _scale(system: System) -> tuple[Fraction, float]:
    """Millimetres in the unit, and the step that is read off a tape."""
    metric = one_of(system, "system", ("mm", "in")) == "mm"
    return (Fraction(1), 1.0) if metric else (Fraction(127, 5), 1 / 16)


def format_angle(rad: float, *, resolution: float = 1.0) -> str:
    """Write an angle in degrees."""
    size, bottom = _nearest(rad, "angle", Fraction(math.pi) / 180, resolution)
    return f"{_decimal(size, bottom)}°"
