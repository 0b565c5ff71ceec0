"""What a swatch says, in numbers to be printed, drawn and handed on."""

from __future__ import annotations

from dataclasses import dataclass

from foamcalc.foam.law import HyperFoam
from foamcalc.foam.swatch.recovery import Recovery, Relaxation, StretchLimit
from foamcalc.foam.swatch.strips import ReadingErrors, Strip, Warmth

MEASURED = "measured"


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A number with the ends of its 90 % interval, and what it rests on."""

    value: float
    low: float
    high: float
    basis: str
    """"measured", or what else: a row of a table, or the law where nothing was tested."""


@dataclass(frozen=True, kw_only=True)
class PointCheck:
    """One reading against the law."""

    strip: str
    stretch: float
    stress: float
    """Measured [MPa], negative where squeezed."""
    off: float
    """Distance from the law in units of the stated errors; above 0: stiffer when pulled."""


@dataclass(frozen=True, kw_only=True)
class Swatch:
    """What strips of one sheet, all cold or all warm, say about its foam."""

    strips: tuple[Strip, ...]
    errors: ReadingErrors
    law: HyperFoam
    """For `foamcalc.foam.section.settle` and all joints."""
    modulus: Estimate
    """Young's modulus at rest [MPa]."""
    alpha: tuple[Estimate, ...]
    """Exponent of each term [1]."""
    poisson: tuple[Estimate, ...]
    """Poisson's ratio of each term [1]."""
    secant_ratio: Estimate
    """Stress at 10 % pulled over stress at 10 % squeezed [1]."""
    scatter: float
    """How many times as large as stated the errors look; above 1 all intervals are wider for it."""
    left_over: float
    """Points more than parameters, on which `scatter` rests."""
    forgets: Relaxation | None
    """Share of a held strain that is forgotten; None: not tested."""
    pull_limit: StretchLimit | None
    squeeze_limit: StretchLimit | None
    most_left: float
    """Share of a stretch that may be left in a strip that came back [1]."""
    recovery: tuple[Recovery, ...]
    points: tuple[PointCheck, ...]
    rests_on: tuple[str, ...]
    """Numbers that were not measured here, with their basis."""

    @property
    def warmth(self) -> Warmth:
        """Whether the strips were warmed."""
        return self.strips[0].warmth

    @property
    def tested(self) -> tuple[float, float]:
        """Least and largest stretch that was read under a load [1]."""
        stretches = [p.stretch for p in self.points]
        return min(stretches), max(stretches)

    @property
    def both_ways(self) -> bool:
        """Whether strips were pulled along the sheet and blocks squeezed through it."""
        return self.tested[0] < 1 < self.tested[1]
