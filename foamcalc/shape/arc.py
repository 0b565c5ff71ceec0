"""A piece of a circle, and a length with a turn: the curves two readings are enough for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import finite, positive, single
from foamcalc.shape.plane import (
    FULL_TURN,
    Curve,
    Extreme,
    Floats,
    check_closed,
    checked_turn,
)


@dataclass(frozen=True)
class Arc(Curve):
    """A piece of a circle, or a whole one.

    Parameters
    ----------
    radius : float
        Radius [mm], above 0.
    turn : float
        Angle between the ends [rad], negative for a hollow; at most a full turn.
    closed : bool
        Whether the ends meet; only for a full turn.

    Raises
    ------
    ValueError
        For a radius that is not above 0, a turn of 0, or more than a full turn.

    Examples
    --------
    A contour 21 mm across that rises 6 mm in the middle:

    >>> bend = Arc.from_chord(chord=21, rise=6)
    >>> print(f"radius {bend.radius:.4f}, length {bend.length:.6f}")
    radius 12.1875, length 25.308373
    """

    radius: float
    turn: float
    closed: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "radius", single(positive(self.radius, "radius"), "radius"))
        object.__setattr__(self, "turn", checked_turn(self.turn))
        if self.turn == 0:
            raise ValueError("turn of an arc must not be 0; a straight piece has no gap")
        check_closed(self)

    @classmethod
    def from_chord(cls, *, chord: float, rise: float) -> Arc:
        """The arc through two ends and the middle: straight distance and height of the middle.

        ``R = (c**2/4 + h**2)/(2 h)``, ``turn = 4 atan(2 h/c)``.
        """
        c, h = single(positive(chord, "chord"), "chord"), single(finite(rise, "rise"), "rise")
        if h == 0:
            raise ValueError("rise must not be 0: a straight piece has no radius")
        return cls(radius=abs((c**2 / 4 + h**2) / (2 * h)), turn=4 * float(np.arctan(2 * h / c)))

    @classmethod
    def from_mouth(cls, *, length: float, mouth: float, depth: float = 0.0) -> Arc:
        """The arc of a given length whose ends are a given straight distance apart.

        Parameters
        ----------
        length : float
            Length along the arc [mm], above 0.
        mouth : float
            Straight distance between the ends [mm], at least 0 and below `length`.
        depth : float
            How far inside the arc the mouth was measured [mm]: the thickness of the layer when
            `length` was read on its outside and `mouth` between its inside ends.

        Notes
        -----
        Solves ``(length - depth turn) sin(turn/2)/(turn/2) = mouth`` for a turn up to a full
        one (scipy's Brent root-finder).

        Examples
        --------
        >>> print(f"{Arc.from_mouth(length=60 * np.pi, mouth=100, depth=10).radius:.3f}")
        60.000
        """
        from scipy.optimize import brentq

        run = single(positive(length, "length"), "length")
        gap, inward = (
            single(finite(mouth, "mouth"), "mouth"),
            single(finite(depth, "depth"), "depth"),
        )
        if not 0 <= gap < run:
            raise ValueError(
                f"mouth must be from 0 mm to below the length along the curve ({run:g} mm), "
                f"got {gap:g}"
            )

        def wider(turn: float) -> float:
            return float((run - inward * turn) * np.sinc(turn / FULL_TURN) - gap)

        most = FULL_TURN if inward <= 0 else min(FULL_TURN, run / inward)
        if gap == 0 and inward > 0 and run <= FULL_TURN * inward:
            raise ValueError(
                f"depth {inward:g} mm leaves no inside on a length of {run:g} mm whose ends touch; "
                "measure both again"
            )
        turn = most if wider(most) >= 0 else float(brentq(wider, 0.0, most, xtol=1e-13))
        if turn < 1e-3:
            raise ValueError(
                f"a mouth of {gap:g} mm on a length of {run:g} mm is a straight piece: no turn"
            )
        return cls(radius=run / turn, turn=turn)

    @property
    def length(self) -> float:
        """Length along the curve [mm]."""
        return self.radius * abs(self.turn)

    @property
    def chord(self) -> float:
        """Straight distance between the ends [mm]."""
        return 2 * self.radius * abs(float(np.sin(self.turn / 2)))

    @property
    def rise(self) -> float:
        """Height of the middle over the chord [mm], negative in a hollow."""
        return float(np.sign(self.turn) * self.radius * (1 - np.cos(self.turn / 2)))

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the curve."""
        return np.full(self.on_curve(place).shape, np.sign(self.turn) / self.radius)

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the curve."""
        return np.asarray(self.on_curve(place) * np.sign(self.turn) / self.radius)

    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place: one, named by the middle."""
        first, last = self.between(start, end)
        everywhere = Extreme(float(np.sign(self.turn)) / self.radius, (first + last) / 2)
        return everywhere, everywhere


@dataclass(frozen=True)
class TurnedLength(Curve):
    """A length and a turn, the shape between unknown: enough for a gap, not for a picture.

    It is treated as evenly curved.

    Parameters
    ----------
    length : float
        Length along the curve [mm], above 0.
    turn : float
        Total turning [rad], at most a full turn; may be 0.
    closed : bool
        Whether the ends meet.
    """

    length: float
    turn: float
    closed: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "length", single(positive(self.length, "length"), "length"))
        object.__setattr__(self, "turn", checked_turn(self.turn))
        check_closed(self)

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the curve."""
        return np.full(self.on_curve(place).shape, self.turn / self.length)

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the curve."""
        return np.asarray(self.on_curve(place) * self.turn / self.length)

    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place: one, named by the middle."""
        first, last = self.between(start, end)
        everywhere = Extreme(self.turn / self.length, (first + last) / 2)
        return everywhere, everywhere
