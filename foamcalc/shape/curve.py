"""Plane curves that layers follow: length, turn, curvature, and the length at an offset."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import finite, positive, single

Floats = NDArray[np.float64]
FULL_TURN = 2 * np.pi
_ROUNDING = 1e-12


class Extreme(NamedTuple):
    """Where a curve is tightest to one side."""

    curvature: float
    """Curvature there [1/mm], positive where the outside is convex."""
    place: float
    """Length along the curve from its start [mm]."""


class Curve(ABC):
    """A plane curve: one face of a bend, or the edge of a flat piece.

    Turn and curvature are positive where the outside is convex, negative in a hollow.
    """

    closed: bool = False

    if TYPE_CHECKING:  # properties or fields of the curves themselves

        @property
        def length(self) -> float:
            """Length along the curve [mm]."""

        @property
        def turn(self) -> float:
            """Total turning between the ends [rad]."""

    @abstractmethod
    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the curve [mm], of the shape of `place`."""

    @abstractmethod
    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the curve [mm]."""

    @abstractmethod
    def extremes(self) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place."""

    def on_curve(self, place: ArrayLike) -> Floats:
        """Lengths along the curve as an array [mm]; ValueError off the curve."""
        s = finite(place, "place")
        slack = 1e-9 * self.length
        if not ((s >= -slack) & (s <= self.length + slack)).all():
            raise ValueError(
                f"place must be from 0 to {self.length:g} mm along the curve, got "
                f"{float(s.min()):g} to {float(s.max()):g}"
            )
        return s

    def length_at(self, offset: ArrayLike) -> Floats:
        """Length of the parallel curve.

        Parameters
        ----------
        offset : array_like
            Distance to the outside [mm]; negative to the inside.

        Returns
        -------
        ndarray
            Length [mm], of the shape of `offset`.

        Raises
        ------
        ValueError
            Where the parallel curve would fold over itself, with the place and the depth at
            which it does.

        Notes
        -----
        ``L(d) = L + d turn`` while ``1 + d curvature > 0`` all along (Steiner). Only the
        directions at the ends matter, not the shape between: half a turn costs pi mm for each
        mm of offset.

        Examples
        --------
        >>> print(f"{Arc(radius=50, turn=np.pi).length_at(7.5) - Arc(50, np.pi).length:.3f}")
        23.562
        """
        distance = finite(offset, "offset")
        for extreme in sorted(self.extremes(), key=lambda e: -abs(e.curvature)):
            folded = ~(1 + distance * extreme.curvature > _ROUNDING)
            if folded.any():
                worst = float(np.abs(distance[folded]).max())
                side = "hollow" if extreme.curvature < 0 else "bend"
                raise ValueError(
                    f"an offset of {worst:g} mm folds the layer over itself: "
                    f"{extreme.place:.1f} mm along the curve the {side} has a radius of only "
                    f"{1 / abs(extreme.curvature):.2f} mm; use an offset below that or an "
                    "easier curve"
                )
        return self.length + distance * self.turn


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

        Parameters
        ----------
        chord : float
            Straight distance between the ends [mm], above 0.
        rise : float
            Height of the arc's middle over the chord [mm], not 0; negative for a hollow. More
            than half the chord is more than half a turn.

        Notes
        -----
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

    def extremes(self) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place."""
        everywhere = Extreme(float(np.sign(self.turn)) / self.radius, self.length / 2)
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

    def extremes(self) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place."""
        everywhere = Extreme(self.turn / self.length, self.length / 2)
        return everywhere, everywhere


def checked_turn(turn: float) -> float:
    """The turn of an open curve as a float [rad]; more than a full turn is refused."""
    value = single(finite(turn, "turn", "rad"), "turn")
    if abs(value) > FULL_TURN + 1e-9:
        hint = (
            f" (the number given was {value:g} rad; if it was meant in degrees, "
            f"foamcalc.units.angle('{value:g} deg') gives radians)"
            if abs(value) > 10
            else ""
        )
        raise ValueError(
            f"turn of an arc must be at most a full turn (360 deg), got {np.degrees(value):.0f} "
            f"deg; measure the angle between its two ends again{hint}"
        )
    return value


def check_closed(curve: Curve) -> None:
    """Raise ValueError for a closed curve that does not make one full turn."""
    if curve.closed and not np.isclose(abs(curve.turn), FULL_TURN):
        raise ValueError(
            f"a closed curve makes one full turn, got {np.degrees(curve.turn):.1f} deg"
        )
