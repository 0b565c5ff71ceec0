"""What a swatch says, in a form to be printed, drawn and handed on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from foamcalc.foam.law import HyperFoam
from foamcalc.foam.swatch.recovery import Forgotten, Limit, Recovery
from foamcalc.foam.swatch.strips import Warmth

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
    law: float
    """What the law says at this stretch [MPa]."""
    off: float
    """Distance from the law in units of the stated errors of both readings."""
    side: float | None
    """Width now over width as cut, where it was used."""
    law_side: float


@dataclass(frozen=True, kw_only=True)
class Swatch:
    """What strips of one sheet, all cold or all warm, say about its foam."""

    warmth: Warmth
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
    tested: tuple[float, float]
    """Least and largest stretch that was read under a load [1]."""
    stable_free: tuple[float, float]
    """Stretches between which a free strip of this law takes more force for more stretch [1]."""
    stable_held: tuple[float, float]
    """The same for a wide sheet, its width held."""
    scatter: float
    """How many times as large as stated the errors look; above 1 all intervals are wider for it."""
    left_over: float
    """Points more than parameters, on which `scatter` rests."""
    forgets: Forgotten | None
    """Share of a held strain that is forgotten; None: not tested."""
    pull_limit: Limit | None
    squeeze_limit: Limit | None
    most_left: float
    """Share of a stretch that may be left in a strip that came back [1]."""
    recovery: tuple[Recovery, ...]
    points: tuple[PointCheck, ...]
    notes: tuple[str, ...]
    """What is doubtful, and what to measure again."""
    rests_on: tuple[str, ...]
    """Numbers that were not measured here, with their basis."""

    @property
    def both_ways(self) -> bool:
        """Whether strips were pulled along the sheet and blocks squeezed through it."""
        return self.tested[0] < 1 < self.tested[1]

    def table(self) -> Any:
        """The numbers with their intervals as a pandas table."""
        import pandas as pd

        rows = [("modulus at rest", "MPa", self.modulus)]
        for name, terms in (("alpha", self.alpha), ("Poisson's ratio", self.poisson)):
            for i, term in enumerate(terms, 1):
                rows.append((name if len(terms) == 1 else f"{name}, term {i}", "1", term))
        rows.append(("pulled over squeezed at 10 %", "1", self.secant_ratio))
        table = [(n, e.value, e.low, e.high, u, e.basis) for n, u, e in rows]
        if self.forgets is not None:
            f = self.forgets
            basis = f"{MEASURED}, from {f.start:g} to {f.end:g} min; {' and '.join(f.ways)}"
            table.append(("share forgotten", f.share, f.low, f.high, "1", basis))
        for name, limit in (
            ("working limit, pulled", self.pull_limit),
            ("working limit, squeezed", self.squeeze_limit),
        ):
            if limit is not None:
                basis = f"{MEASURED}, at most {limit.most_left:.0%} left after {limit.after:g} min"
                table.append((name, limit.stretch, np.nan, np.nan, "stretch", basis))
        return pd.DataFrame(table, columns=["quantity", "value", "low", "high", "unit", "basis"])

    def points_table(self) -> Any:
        """Every reading beside the law as a pandas table."""
        import pandas as pd

        return pd.DataFrame(
            {
                "strip": [p.strip for p in self.points],
                "stretch [1]": [p.stretch for p in self.points],
                "stress [kPa]": [1e3 * p.stress for p in self.points],
                "law [kPa]": [1e3 * p.law for p in self.points],
                "off [stated errors]": [p.off for p in self.points],
                "side stretch [1]": [p.side for p in self.points],
                "law, side [1]": [p.law_side for p in self.points],
            }
        )

    def recovery_table(self) -> Any:
        """What was left of each strip's stretch as a pandas table."""
        import pandas as pd

        words = ("at once", "after an hour", "after a day")
        looks = {word: [r.when(word) for r in self.recovery] for word in words}
        return pd.DataFrame(
            {
                "strip": [r.strip for r in self.recovery],
                "stretch [1]": [r.stretch for r in self.recovery],
                "held [min]": [r.held for r in self.recovery],
            }
            | {
                f"left {word} [%]": [None if x is None else 100 * x.share for x in looks[word]]
                for word in words
            }
            | {"tore": [r.tore for r in self.recovery]}
        )
