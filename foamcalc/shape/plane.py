"""What every plane curve can tell: length, turn, curvature, runs, and the length at an offset."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import finite, single

Floats = NDArray[np.float64]
FULL_TURN = 2 * np.pi
_ROUNDING = 1e-12
_LOOKS = 1024
"""Steps in which a curve is searched for the places where a bend becomes a hollow."""


class Extreme(NamedTuple):
    """Where a curve is tightest to one side."""

    curvature: float
    """Curvature there [1/mm], positive where the outside is convex."""
    place: float
    """Length along the curve from its start [mm]."""


class Corner(NamedTuple):
    """A place where a curve changes direction all at once."""

    place: float
    """Length along the curve from its start [mm]."""
    turn: float
    """Change of direction [rad], positive where the outside is convex."""


class Run(NamedTuple):
    """A stretch of a curve that bends one way only, or not at all."""

    start: float
    """Where it begins, as a length along the curve [mm]."""
    end: float
    """Where it ends [mm]."""
    turn: float
    """Its turning [rad]: above 0 convex, 0 straight, below 0 hollow."""

    @property
    def hollow(self) -> bool:
        """Whether the outside is hollow here."""
        return self.turn < 0


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
    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place between two places along the curve [mm]."""

    @property
    def corners(self) -> tuple[Corner, ...]:
        """The corners, from the start on; a smooth curve has none."""
        return ()

    @property
    def joints(self) -> tuple[float, ...]:
        """Places between the ends where the curvature jumps [mm]."""
        return ()

    def on_curve(self, place: ArrayLike) -> Floats:
        """Lengths along the curve as an array [mm]; ValueError off the curve."""
        return checked_place(place, self.length, "curve")

    def between(self, start: float = 0.0, end: float | None = None) -> tuple[float, float]:
        """Start and end of a run along the curve [mm]; ValueError if they are not in order."""
        first = single(finite(start, "start"), "start")
        last = self.length if end is None else single(finite(end, "end"), "end")
        slack = 1e-9 * self.length
        if not -slack <= first < last <= self.length + slack:
            raise ValueError(
                "start and end must lie in this order along the curve, from 0 to "
                f"{self.length:g} mm, got start {first:g} and end {last:g}"
            )
        return max(first, 0.0), min(last, self.length)

    def length_at(
        self, offset: ArrayLike, *, start: float = 0.0, end: float | None = None
    ) -> Floats:
        """Length of the parallel curve, of all of it or between two places.

        ``L(d) = L + d turn`` while ``1 + d curvature > 0`` all along (Steiner). Only the
        directions at the ends matter, not the shape between: half a turn costs pi mm for each
        mm of offset.
        """
        distance = finite(offset, "offset")
        first, last = self.between(start, end)
        check_fold(distance, self.extremes(first, last))
        if first == 0 and last == self.length:
            return self.length + distance * self.turn
        return (last - first) + distance * (self.heading(last) - self.heading(first))

    def runs(self) -> tuple[Run, ...]:
        """The convex, straight and hollow runs, from the start to the end of the curve.

        Found from the sign of the curvature, looked at in 1024 steps and closed in on by
        halving. A stretch is straight if its curvature times the length of the curve is below
        1e-9. A change back and forth within one step goes unseen.
        """
        places = np.linspace(0.0, self.length, _LOOKS + 1)
        side = self._side(places)
        change = np.flatnonzero(side[1:] != side[:-1])
        low, high = places[change], places[change + 1]
        for _ in range(60 if change.size else 0):
            middle = (low + high) / 2
            before = self._side(middle) == side[change]
            low, high = np.where(before, middle, low), np.where(before, high, middle)
        edges = np.array([0.0, *high, self.length])
        sides = side[np.array([0, *(change + 1)])]
        step = self.length / _LOOKS  # shorter and level: the curvature only passes through 0
        kept = np.flatnonzero((sides != 0) | (np.diff(edges) > step) | (sides.size == 1))
        kept = kept[np.append(sides[kept][1:] != sides[kept][:-1], True)]  # + 0 + is one run
        edges = np.array([0.0, *edges[kept[:-1] + 1], self.length])
        turns = np.where(sides[kept] == 0, 0.0, np.diff(self.heading(edges)))
        return runs_between(edges, turns)

    def _side(self, places: Floats) -> Floats:
        """Which way the curve bends: 1 convex, 0 straight, -1 hollow."""
        k = self.curvature(places)
        return np.where(np.abs(k) * self.length < 1e-9, 0.0, np.sign(k))


def checked_place(place: ArrayLike, length: float, what: str) -> Floats:
    """Lengths along something as an array [mm]; ValueError for one that is off it."""
    s = finite(place, "place")
    slack = 1e-9 * length
    if not ((s >= -slack) & (s <= length + slack)).all():
        raise ValueError(
            f"place must be from 0 to {length:g} mm along the {what}, got "
            f"{float(s.min()):g} to {float(s.max()):g}"
        )
    return s


def check_fold(distance: Floats, extremes: tuple[Extreme, Extreme]) -> None:
    """Raise ValueError if an offset folds a curve that is nowhere tighter than its extremes."""
    for extreme in sorted(extremes, key=lambda e: -abs(e.curvature)):
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


def runs_between(edges: Floats, turns: Floats) -> tuple[Run, ...]:
    """Runs from edge to edge along a curve [mm], each with its turn [rad]."""
    pieces = zip(edges[:-1].tolist(), edges[1:].tolist(), turns.tolist(), strict=True)
    return tuple(Run(*piece) for piece in pieces)


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
