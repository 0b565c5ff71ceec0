"""Measured points for a fit, with their errors, and how wide an interval has to be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from foamcalc.foam.law import Floats
from foamcalc.guards import finite, positive

CONFIDENCE = 0.90
"""Share of intervals that hold the truth."""
_DOUBT = 0.10
"""Chance of so large a scatter, below which the stated errors are no longer believed."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Points:
    """Measured points of one foam: n points, and m side stretches that belong to some of them.

    Parameters
    ----------
    stretch : array_like
        Length now over length as marked [1], shape (n,), above 0.
    stress : array_like
        Force over area as cut [MPa], shape (n,), negative where squeezed.
    stretch_cov : array_like
        Covariance of the errors of `stretch` [1], shape (n, n).
    stress_cov : array_like
        Covariance of the errors of `stress` [MPa2], shape (n, n).
    side : array_like
        Width now over width as cut [1], shape (m,).
    side_of : sequence of int
        The point, from 0, that each `side` belongs to.
    side_cov : array_like
        Covariance of the errors of `side` [1], shape (m, m).
    """

    stretch: Floats
    stress: Floats
    stretch_cov: Floats
    stress_cov: Floats
    side: Floats = field(default_factory=lambda: np.empty(0))
    side_of: Sequence[int] = ()
    side_cov: Floats = field(default_factory=lambda: np.empty((0, 0)))

    def __post_init__(self) -> None:
        index = np.array(self.side_of, dtype=int)
        checked = {
            "stretch": positive(self.stretch, "stretch", "1"),
            "stress": finite(self.stress, "stress", "MPa"),
            "stretch_cov": finite(self.stretch_cov, "stretch_cov", "1"),
            "stress_cov": finite(self.stress_cov, "stress_cov", "1"),
            "side": positive(self.side, "side", "1") if index.size else np.empty(0),
            "side_cov": finite(self.side_cov, "side_cov", "1") if index.size else np.empty((0, 0)),
        }
        for name, value in checked.items():
            size = index.size if name.startswith("side") else checked["stretch"].size
            shape = (size, size) if name.endswith("cov") else (size,)
            if value.shape != shape:
                raise ValueError(f"{name} must have shape {shape}, got {value.shape}")
            object.__setattr__(self, name, value)
        if index.size and not (0 <= index.min() and index.max() < checked["stretch"].size):
            raise ValueError(f"side_of must name points from 0 up, got {index.tolist()}")
        object.__setattr__(self, "side_of", tuple(index.tolist()))


@dataclass(frozen=True, kw_only=True)
class Parameter:
    """One number of a law: fitted from a start, or held and uncertain by so much.

    Parameters
    ----------
    start : float
        Where the search begins, or the value that is held.
    low, high : float
        The range that is searched.
    scale : float
        A change that matters, above 0.
    prior : float, optional
        Standard deviation with which `start` is believed before anything is measured.
    held : float, optional
        Keep it at `start`, and let this standard deviation, 0 or more, widen the others.
    """

    start: float
    low: float
    high: float
    scale: float
    prior: float | None = None
    held: float | None = None


def reach(scatter: float, left_over: float) -> float:
    """Standard deviations to either end of an interval of `CONFIDENCE`.

    Parameters
    ----------
    scatter : float
        How many times as large as stated the errors look, 0 or more.
    left_over : float
        Readings more than parameters, 0 or more.

    Returns
    -------
    float
        That of a normal distribution while the scatter may be chance; that of Student's
        distribution where the errors had to be learned from the scatter itself.

    Examples
    --------
    >>> print(f"{reach(1.1, 4):.3f} {reach(3, 4):.3f}")
    1.645 2.132
    """
    from scipy.special import ndtri, stdtrit

    upper = (1 + CONFIDENCE) / 2
    return float(stdtrit(left_over, upper) if unlikely(scatter, left_over) else ndtri(upper))


def unlikely(scatter: float, left_over: float, chance: float = _DOUBT) -> bool:
    """Whether the stated errors make so large a scatter only once in ``1/chance`` times."""
    from scipy.special import chdtrc

    return left_over > 0 and bool(chdtrc(left_over, scatter**2 * left_over) < chance)
