"""What a bench tells of a foam: strips that were pulled, blocks that were squeezed, by the reading.

Numbers only, in mm, N, MPa and minutes; a record in a file is read in `foamcalc.ask.swatch`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from itertools import groupby
from typing import Literal, NamedTuple

import numpy as np

from foamcalc.guards import fraction, non_negative, one_of, positive, single

Test = Literal["pull", "squeeze"]
Warmth = Literal["cold", "warm"]
TESTS: tuple[Test, ...] = ("pull", "squeeze")
WARMTHS: tuple[Warmth, ...] = ("cold", "warm")

ROOT3 = math.sqrt(3.0)
"""Half-width over standard deviation of an error that is anywhere within it alike."""
_ROSE = 0.1
"""Share by which a load at a held length may seem to rise; more was hung on (assumed)."""
_SAME_LOAD = 0.01
"""Loads within this share of each other are one load (assumed)."""
_SOFTEST, _STIFFEST = 0.05, 50.0
"""Modulus [MPa] outside which no sheet of foam is taken for real (assumed)."""
_THINNEST = 1.0
"""Thickness of a strip [mm] below which it is taken for one typed in cm (assumed)."""
_FARTHEST = (0.2, 4.0)
"""Stretch outside which a length is taken for a slip (assumed)."""
_LIKELY = (0.2, 9.0)
"""Modulus [MPa] that a slip of 1000 would have to lead back to (assumed)."""
_APART = 6.0
"""How many times as stiff as the others a strip may look before a unit is suspected (assumed)."""


@dataclass(frozen=True, kw_only=True)
class ReadingErrors:
    """How far a reading may be off, either way, anywhere in between alike; a ruler, a scale."""

    length: float = 0.5
    """Gauge length and length now [mm]; a ruler read once (assumed)."""
    width: float = 0.5
    """Width, width now, and both sides of the face of a block [mm] (assumed)."""
    thickness: float = 0.2
    """Thickness of a strip [mm]; a caliper that presses soft foam a little (assumed)."""
    load: float = 0.05
    """A load [N]; a kitchen scale, 5 g (assumed)."""
    strips: float = 0.05
    """Share by which the stiffness of strips of one sheet differs [1] (assumed)."""
    calibration: float = 0.01
    """Share by which scale and caliper may be off together for all strips [1] (assumed)."""

    def __post_init__(self) -> None:
        for name in (f.name for f in fields(self)):
            value, said = getattr(self, name), f"error of {name}"
            if name in ("strips", "calibration"):
                checked = fraction(value, said)
            else:
                checked = positive(value, said, "N" if name == "load" else "mm")
            object.__setattr__(self, name, single(checked, said))


@dataclass(frozen=True, kw_only=True)
class StripReading:
    """One look at a strip.

    Parameters
    ----------
    load : float
        What was hung on or laid on [N]; 0 when the strip has been let go.
    length : float
        Length now between the marks, or height of the block now [mm], above 0.
    time : float
        Minutes since this load was put on, or since the strip was let go; 0 or more.
    width_now : float, optional
        Width now, half way between the marks [mm], above 0; None: not read.

    Raises
    ------
    ValueError
        For numbers out of range.
    """

    load: float
    length: float
    time: float
    width_now: float | None = None

    def __post_init__(self) -> None:
        checked = {
            "load": non_negative(self.load, "load", "N"),
            "length": positive(self.length, "length"),
            "time": non_negative(self.time, "time in minutes", "1"),
        }
        if self.width_now is not None:
            checked["width_now"] = positive(self.width_now, "width_now")
        for name, value in checked.items():
            object.__setattr__(self, name, single(value, name))


@dataclass(frozen=True, kw_only=True)
class Strip:
    """One strip that was pulled, or one block that was squeezed between two boards.

    Parameters
    ----------
    name : str
        What the maker calls it.
    width, thickness : float
        As cut and measured [mm], above 0. Of a block: the two sides of the face that is pressed.
    gauge : float
        Length between two marks before anything hung on it, or height of the block [mm], above 0.
    readings : sequence of StripReading
        In the order in which they were taken, at least one.
    test : {"pull", "squeeze"}
        What was done to it.
    warmth : {"cold", "warm"}
        Whether it was warmed.
    hangs : float
        Weight of clamp and hook, or of the board on top, where not in the loads [N], 0 or more.
    own : float
        Weight of the strip itself [N], 0 or more; half of it pulls at the middle.
    tore : bool
        Whether it tore, or a nick began to run.

    Raises
    ------
    ValueError
        For numbers out of range, with the name of the strip.
    """

    name: str
    width: float
    thickness: float
    gauge: float
    readings: Sequence[StripReading]
    test: Test = "pull"
    warmth: Warmth = "cold"
    hangs: float = 0.0
    own: float = 0.0
    tore: bool = False

    def __post_init__(self) -> None:
        if not str(self.name).strip():
            raise ValueError(f"a strip must have a name, got {self.name!r}")
        place = f"strip {self.name}"
        for name in ("width", "thickness", "gauge", "hangs", "own"):
            said, value = f"{place}: {name}", getattr(self, name)
            weight = name in ("hangs", "own")
            checked = non_negative(value, said, "N") if weight else positive(value, said)
            object.__setattr__(self, name, single(checked, said))
        one_of(self.test, f"{place}: test", TESTS)
        one_of(self.warmth, f"{place}: warmth", WARMTHS)
        readings = tuple(self.readings)
        if not readings or not all(isinstance(r, StripReading) for r in readings):
            raise ValueError(f"{place}: readings must be a list of one StripReading at least")
        object.__setattr__(self, "readings", readings)

    @property
    def sign(self) -> int:
        """1 where pulled, -1 where squeezed."""
        return 1 if self.test == "pull" else -1

    @property
    def area(self) -> float:
        """Area as cut that carries the load [mm2]."""
        return self.width * self.thickness

    @property
    def loaded(self) -> tuple[StripReading, ...]:
        """Readings under a load."""
        return tuple(r for r in self.readings if r.load > 0)

    @property
    def let_go(self) -> tuple[StripReading, ...]:
        """Readings after it was let go."""
        return tuple(r for r in self.readings if r.load == 0)

    def stress(self, reading: StripReading) -> float:
        """Force over area as cut [MPa], with clamp and half the strip; negative where squeezed."""
        if reading.load == 0:
            return 0.0
        return self.sign * (reading.load + self.hangs + self.own / 2) / self.area

    def stretch(self, reading: StripReading) -> float:
        """Length now over length between the marks [1]."""
        return reading.length / self.gauge

    def under_each_load(self) -> tuple[StripReading, ...]:
        """The first reading under each load."""
        firsts: list[StripReading] = []
        for reading in self.loaded:
            if not firsts or abs(reading.load / firsts[-1].load - 1) > _SAME_LOAD:
                firsts.append(reading)
        return tuple(firsts)

    def kept_length(self, errors: ReadingErrors) -> bool:
        """Whether it was held at one length while its load was read several times."""
        if len(self.under_each_load()) < 2:
            return False
        lengths, loads = ([getattr(r, n) for r in self.loaded] for n in ("length", "load"))
        rose = max(loads) > (1 + _ROSE) * loads[0]
        return max(lengths) - min(lengths) <= 2 * errors.length and not rose

    def points(self, errors: ReadingErrors) -> tuple[StripReading, ...]:
        """The readings that tell the law: the first under each load."""
        firsts = self.under_each_load()
        return firsts[:1] if self.kept_length(errors) else firsts


def side_error(*, width: float, stretch: float, reading: float) -> float:
    """How far Poisson's ratio is off when one reading of the width is off.

    Parameters
    ----------
    width : float
        Width of the strip as cut [mm], above 0.
    stretch : float
        Length now over length as marked [1], above 0 and not 1.
    reading : float
        How far a reading of the width may be off, either way [mm], above 0.

    Returns
    -------
    float
        Either way [1].

    Raises
    ------
    ValueError
        For numbers out of range.

    Notes
    -----
    The width falls as ``stretch**-nu``, so the ratio is off by ``reading/(width ln stretch)``.

    Examples
    --------
    A ruler on 20 mm says nothing; on 60 mm it says a little:

    >>> print(f"{side_error(width=20, stretch=1.1, reading=0.5):.2f}")
    0.26
    >>> print(f"{side_error(width=60, stretch=1.2, reading=0.5):.2f}")
    0.05
    """
    wide = single(positive(width, "width"), "width")
    pulled = single(positive(stretch, "stretch", "1"), "stretch")
    off = single(positive(reading, "reading"), "reading")
    if pulled == 1:
        raise ValueError("stretch must not be 1: a strip that is not pulled says nothing")
    return off / (wide * abs(math.log(pulled)))


# What cannot be right ---------------------------------------------------------------------------


class StripFault(NamedTuple):
    """What is wrong with a strip: lengths that go the wrong way, units a thousand off."""

    reading: int | None
    """The reading, from 0; None: the strip as a whole."""
    what: str
    """The column: thickness, load, length or width now."""
    text: str
    """What is wrong, with the value and the remedy."""


def strip_faults(strip: Strip, errors: ReadingErrors) -> Iterator[StripFault]:
    """Everything in one strip that cannot be right."""
    if strip.let_go and not strip.loaded:
        yield StripFault(None, "load", "was let go but never had a load; write the loaded reading")
    if strip.thickness < _THINNEST:
        yield StripFault(
            None,
            "thickness",
            f"{strip.thickness:g} mm is thinner than foam sheet is sold; if it is "
            f"{10 * strip.thickness:g} mm, write that, or thickness [cm] in the head",
        )
        return
    wrong = False
    for i, reading in sorted(enumerate(strip.readings), key=lambda pair: pair[1].load == 0):
        if not reading.load and wrong:
            return  # what was left is only worth checking against a sound reading
        for what, fault in (
            ("length", _length_fault),
            ("load", _unit_fault),
            ("width now", _width_fault),
        ):
            if text := fault(strip, reading, errors):
                wrong = True
                yield StripFault(i, what, text)
                break


def _length_fault(strip: Strip, reading: StripReading, errors: ReadingErrors) -> str:
    off, stretch = 2 * errors.length, strip.stretch(reading)
    if not _FARTHEST[0] <= stretch <= _FARTHEST[1]:
        return (
            f"{reading.length:g} mm is {stretch:.3g} times the gauge length of {strip.gauge:g} mm, "
            "which no foam gives; check both lengths"
        )
    if reading.load:
        if strip.sign * (reading.length - strip.gauge) >= -off:
            return ""
        word, other = ("shorter", "squeeze") if strip.sign > 0 else ("longer", "pull")
        return (
            f"{reading.length:g} mm is {word} than the gauge length of {strip.gauge:g} mm under "
            f"a {strip.test}; read it again, or write {other}"
        )
    farthest = max((strip.sign * r.length for r in strip.loaded), default=math.inf)
    if strip.sign * reading.length <= farthest + off:
        return ""
    return (
        f"{reading.length:g} mm after it was let go is farther out than under its load; read it "
        "again, and count its time from letting go"
    )


def _width_fault(strip: Strip, reading: StripReading, errors: ReadingErrors) -> str:
    if reading.width_now is None or not reading.load:
        return ""
    grew = strip.sign * (reading.width_now - strip.width)
    if grew <= 2 * errors.width + 0.02 * strip.width:
        return ""
    word = "wider" if strip.sign > 0 else "narrower"
    return (
        f"{reading.width_now:g} mm is {word} than the {strip.width:g} mm as cut under a "
        f"{strip.test}; read it again half way between the marks"
    )


def _unit_fault(strip: Strip, reading: StripReading, errors: ReadingErrors) -> str:
    """What a modulus that no foam has says about the units."""
    strain, off = abs(strip.stretch(reading) - 1), 2 * errors.length / strip.gauge
    stress = abs(strip.stress(reading))
    if stress > _STIFFEST * (strain + off):
        modulus, factor, slip = stress / (strain + off), 1 / 1000, "g typed where kg is meant"
    elif reading.load and stress < _SOFTEST * (strain - off):
        modulus, factor, slip = stress / (strain - off), 1000.0, "kg typed where g is meant"
    else:
        return ""
    text = (
        f"{reading.load:.4g} N on {strip.width:g} x {strip.thickness:g} mm for a strain of "
        f"{strain:.1%} makes a modulus of about {modulus:.2g} MPa; foam sheet lies between "
        f"{_SOFTEST:g} and {_STIFFEST:g}"
    )
    if _LIKELY[0] <= modulus * factor <= _LIKELY[1]:
        return f"{text}: about 1000 times off, {slip}?"
    return f"{text}; check the units of load, width, thickness and length"


def odd_ones(strips: Sequence[Strip], errors: ReadingErrors) -> Iterator[tuple[Strip, str]]:
    """Strips whose stiffness is so far from that of the others that a unit must be wrong."""
    for _, group in groupby(sorted(strips, key=lambda s: s.test), key=lambda s: s.test):
        found = [(strip, m) for strip in group if (m := _modulus(strip, errors)) is not None]
        if len(found) < 3:
            continue
        usual = float(np.median([modulus for _, modulus in found]))
        for strip, modulus in found:
            times = max(modulus / usual, usual / modulus)
            if times > _APART:
                word = "stiff" if modulus > usual else "soft"
                yield (
                    strip,
                    f"looks {times:.2g} times as {word} as the others in this test; check the unit "
                    "of its load (N, g or kg), its thickness and its lengths",
                )


def _modulus(strip: Strip, errors: ReadingErrors) -> float | None:
    """Stress over strain [MPa] at its first load; None where the strain cannot be told."""
    for reading in strip.points(errors)[:1]:
        strain = abs(strip.stretch(reading) - 1)
        if strain > 2 * errors.length / strip.gauge:
            return abs(strip.stress(reading)) / strain
    return None
