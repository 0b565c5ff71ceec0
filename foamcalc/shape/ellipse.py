"""The ellipse and its parts: the commonest section that is not round."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import finite, positive, single
from foamcalc.shape.curve import FULL_TURN, Curve, Extreme, Floats


@dataclass(frozen=True)
class Ellipse(Curve):
    """An ellipse, or the part of one between two angles.

    Parameters
    ----------
    a, b : float
        Semi-axes along x and y [mm], above 0.
    start, end : float
        Angles in the parametric form ``x = a cos(t), y = b sin(t)`` [rad], `end` above `start`
        by at most a full turn. The whole ellipse when left out; 0 to pi is the upper half.

    Examples
    --------
    >>> print(f"{Ellipse(60, 45).length:.4f}")
    331.5524
    >>> upper = Ellipse(60, 45, 0, np.pi)
    >>> print(f"{upper.length_at(7.5) - upper.length:.3f}")
    23.562
    """

    a: float
    b: float
    start: float = 0.0
    end: float = FULL_TURN

    def __post_init__(self) -> None:
        for name in ("a", "b"):
            axis = single(positive(getattr(self, name), f"semi-axis {name}"), f"semi-axis {name}")
            object.__setattr__(self, name, axis)
        for name in ("start", "end"):
            angle = single(finite(getattr(self, name), name, "rad"), name)
            object.__setattr__(self, name, angle)
        if not 0 < self.end - self.start <= FULL_TURN + 1e-12:
            raise ValueError(
                "end must be above start by at most a full turn, got "
                f"{np.degrees(self.start):.1f} to {np.degrees(self.end):.1f} deg"
            )

    @property
    def closed(self) -> bool:  # type: ignore[override]
        """Whether the ends meet."""
        return bool(np.isclose(self.end - self.start, FULL_TURN))

    @property
    def length(self) -> float:
        """Length along the curve [mm]."""
        return float(self._run(self.end))

    @property
    def turn(self) -> float:
        """Total turning between the ends [rad]."""
        return float(self._direction(self.end) - self._direction(self.start))

    def _run(self, t: ArrayLike) -> Floats:
        """Length from the start to the parametric angle (incomplete elliptic integral)."""
        from scipy.special import ellipeinc

        m = 1 - (self.a / self.b) ** 2
        return np.asarray(self.b * (ellipeinc(t, m) - ellipeinc(self.start, m)))

    def _direction(self, t: ArrayLike) -> Floats:
        """Angle of the outward normal, counted on through whole turns [rad]."""
        t = np.asarray(t, dtype=float)
        raw = np.arctan2(self.a * np.sin(t), self.b * np.cos(t))
        return np.asarray(raw + FULL_TURN * np.round((t - raw) / FULL_TURN))

    def _angle(self, place: ArrayLike) -> Floats:
        """Parametric angle at a length along the curve: table, then Newton."""
        s = self.on_curve(place)
        table = np.linspace(self.start, self.end, 257)
        t = np.interp(s, self._run(table), table)
        for _ in range(6):
            t = t - (self._run(t) - s) / np.hypot(self.a * np.sin(t), self.b * np.cos(t))
        return np.asarray(t)

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the curve."""
        t = self._angle(place)
        return self.a * self.b / np.hypot(self.a * np.sin(t), self.b * np.cos(t)) ** 3

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the curve."""
        return self._direction(self._angle(place)) - self._direction(self.start)

    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place between two places along the curve [mm]."""
        first, last = self.between(start, end)
        t0 = float(self._angle(first)) if first > 0 else self.start
        t1 = float(self._angle(last)) if last < self.length else self.end
        quarters = np.arange(np.ceil(t0 / (np.pi / 2)), t1 / (np.pi / 2)) * np.pi / 2
        t = np.concatenate([[t0], quarters, [t1]])
        k = self.a * self.b / np.hypot(self.a * np.sin(t), self.b * np.cos(t)) ** 3
        ends = (int(np.argmin(k)), int(np.argmax(k)))
        low, high = (Extreme(float(k[i]), float(self._run(t[i]))) for i in ends)
        return low, high
