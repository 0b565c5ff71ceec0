"""What a bench tells of a foam: strips that were pulled, blocks that were squeezed, by the reading.

Numbers only, in mm, N, MPa and minutes; a record in a file is read in `foamcalc.ask`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from foamcalc.guards import fraction, non_negative, one_of, positive, single

Test = Literal["pull", "squeeze"]
Warmth = Literal["cold", "warm"]

TESTS = ("pull", "squeeze")
WARMTHS = ("cold", "warm")
ROOT3 = math.sqrt(3.0)
"""Half-width over standard deviation of an error that is anywhere within it alike."""
_ROSE = 0.1
"""Share by which a load at a held length may seem to rise; more was hung on (assumed)."""
SAME_LOAD = 0.01
"""Loads within this share of each other are one load (assumed)."""


@dataclass(frozen=True, kw_only=True)
class ReadingErrors:
    """How far a reading may be off, either way, anywhere in between alike.

    Parameters
    ----------
    length : float
        Gauge length and length now [mm], above 0. Assumed: a ruler read once.
    width : float
        Width, width now, and both sides of the face of a block [mm], above 0. Assumed: a ruler.
    thickness : float
        Thickness of a strip [mm], above 0. Assumed: a caliper that presses soft foam a little.
    load : float
        A load [N], above 0. Assumed: a kitchen scale, 5 g.
    strips : float
        Share by which the stiffness of strips of one sheet differs [1], 0 to 1. Assumed.
    calibration : float
        Share by which scale and caliper may be off together for all strips [1], 0 to 1. Assumed.

    Each counts as a standard deviation of itself over the square root of 3.
    """

    length: float = 0.5
    width: float = 0.5
    thickness: float = 0.2
    load: float = 0.05
    strips: float = 0.05
    calibration: float = 0.01

    def __post_init__(self) -> None:
        for name in ("length", "width", "thickness", "load"):
            unit = "N" if name == "load" else "mm"
            value = positive(getattr(self, name), f"error of {name}", unit)
            object.__setattr__(self, name, single(value, f"error of {name}"))
        for name in ("strips", "calibration"):
            share = fraction(getattr(self, name), f"error of {name}")
            object.__setattr__(self, name, single(share, f"error of {name}"))


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
    """

    name: str
    width: float
    thickness: float
    gauge: float
    readings: tuple[StripReading, ...] = field(default_factory=tuple)
    test: Test = "pull"
    warmth: Warmth = "cold"
    hangs: float = 0.0
    own: float = 0.0
    tore: bool = False

    def __post_init__(self) -> None:
        if not str(self.name).strip():
            raise ValueError(f"a strip must have a name, got {self.name!r}")
        place = f"strip {self.name}"
        for name in ("width", "thickness", "gauge"):
            value = single(positive(getattr(self, name), f"{place}: {name}"), f"{place}: {name}")
            object.__setattr__(self, name, value)
        for name in ("hangs", "own"):
            weight = non_negative(getattr(self, name), f"{place}: {name}", "N")
            object.__setattr__(self, name, single(weight, f"{place}: {name}"))
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

    def loads(self) -> tuple[tuple[StripReading, ...], ...]:
        """The readings under load, those of one load together."""
        groups: list[list[StripReading]] = []
        for reading in self.loaded:
            if groups and abs(reading.load / groups[-1][0].load - 1) <= SAME_LOAD:
                groups[-1].append(reading)
            else:
                groups.append([reading])
        return tuple(tuple(group) for group in groups)

    def kept_length(self, errors: ReadingErrors) -> bool:
        """Whether it was held at one length while its load was read several times."""
        if len(self.loads()) < 2:
            return False
        lengths, loads = ([getattr(r, n) for r in self.loaded] for n in ("length", "load"))
        rose = max(loads) > (1 + _ROSE) * loads[0]
        return max(lengths) - min(lengths) <= 2 * errors.length and not rose

    def points(self, errors: ReadingErrors) -> tuple[StripReading, ...]:
        """The readings that tell the law: the first under each load."""
        firsts = tuple(group[0] for group in self.loads())
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
