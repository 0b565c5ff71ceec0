"""A chain of arcs and straight pieces, joined without a kink."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import finite, positive
from foamcalc.shape.plane import FULL_TURN, Curve, Extreme, Floats, Run, check_closed, runs_between
from foamcalc.shape.profile import Profile, chain

_MOST_PIECES = 10_001
_LONGEST = 1e9
_STRAIGHT = 1e-12
"""Turn below which a piece counts as straight [rad]."""
_CLOSES = 0.01
"""How far the ends of a closed chain may miss each other, as a share of its length."""


@dataclass(frozen=True)
class Arcs(Curve):
    """Arcs and straight pieces, end to end, each setting out in the direction of the last.

    Parameters
    ----------
    lengths : array_like, shape (n,)
        Length of each piece [mm], above 0.
    turns : array_like, shape (n,)
        Turn of each piece [rad], positive where the outside is convex, 0 for a straight piece;
        each and all together at most a full turn.
    closed : bool
        Whether the end of the last piece meets the start of the first.

    Raises
    ------
    ValueError
        For lengths that are not above 0, more than a full turn, or a closed chain whose ends
        do not meet within one hundredth of its length.

    Notes
    -----
    At a joint the curvature is that of the piece that begins there. Closed chains may be typed
    from tape readings; their ends need not meet exactly.

    Examples
    --------
    Two rounded edges of radius 30 with a flat top 100 mm long between them:

    >>> quarter = 30 * np.pi / 2
    >>> box = Arcs([quarter, 100, quarter], [np.pi / 2, 0, np.pi / 2])
    >>> print(f"{box.length:.2f} mm, {box.length_at(5) - box.length:.3f} mm more 5 mm farther out")
    194.25 mm, 15.708 mm more 5 mm farther out
    """

    lengths: ArrayLike
    turns: ArrayLike
    closed: bool = False
    _joints: tuple[Floats, Floats] = field(init=False, repr=False, compare=False)
    """Length along the curve [mm] and turning since the start [rad] at each joint."""

    def __post_init__(self) -> None:
        lengths, turns = positive(self.lengths, "lengths"), finite(self.turns, "turns", "rad")
        if lengths.ndim != 1 or lengths.shape != turns.shape:
            raise ValueError(
                "lengths and turns must be two lists with one entry for each piece, got shapes "
                f"{lengths.shape} and {turns.shape}"
            )
        if lengths.size > _MOST_PIECES:
            raise ValueError(f"lengths must be at most {_MOST_PIECES} pieces, got {lengths.size}")
        if lengths.max() > _LONGEST:
            raise ValueError(f"lengths must be at most {_LONGEST:g} mm, got {lengths.max():g}")
        object.__setattr__(self, "lengths", tuple(lengths.tolist()))
        object.__setattr__(self, "turns", tuple(turns.tolist()))
        joints = np.append(0.0, np.cumsum(lengths)), np.append(0.0, np.cumsum(turns))
        object.__setattr__(self, "_joints", joints)
        too_far = np.flatnonzero(np.abs(turns) > FULL_TURN + 1e-9)
        if too_far.size:
            raise ValueError(
                f"turn of piece {too_far[0] + 1} must be at most a full turn (360 deg), got "
                f"{np.degrees(turns[too_far[0]]):.0f} deg; turns are in radians"
            )
        if abs(self.turn) > FULL_TURN + 1e-9:
            raise ValueError(
                "turns must come to at most a full turn (360 deg) together, got "
                f"{np.degrees(self.turn):.0f} deg; give the curve in parts"
            )
        check_closed(self)
        gap = float(self.profile().mouth)
        if self.closed and gap > _CLOSES * self.length:
            raise ValueError(
                f"the ends of a closed chain must meet, but they are {gap:.1f} mm apart on a "
                f"length of {self.length:g} mm; measure the lengths and turns again"
            )

    @property
    def length(self) -> float:
        """Length along the curve [mm]."""
        return float(self._joints[0][-1])

    @property
    def turn(self) -> float:
        """Total turning between the ends [rad]."""
        return float(self._joints[1][-1])

    @property
    def joints(self) -> tuple[float, ...]:
        """Places between the ends where the curvature jumps [mm]."""
        return tuple(self._joints[0][1:-1].tolist())

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the curve."""
        s, joints = self.on_curve(place), self._joints[0]
        piece = np.clip(np.searchsorted(joints, s, side="right") - 1, 0, joints.size - 2)
        return np.asarray((np.asarray(self.turns) / np.asarray(self.lengths))[piece])

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the curve."""
        return np.asarray(np.interp(self.on_curve(place), *self._joints))

    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place, named by the middle of their piece."""
        first, last = self.between(start, end)
        joints = self._joints[0]
        k = np.asarray(self.turns) / np.asarray(self.lengths)
        within = np.flatnonzero((joints[1:] > first) & (joints[:-1] < last))
        ends = (within[np.argmin(k[within])], within[np.argmax(k[within])])
        low, high = (
            Extreme(float(k[i]), float(max(joints[i], first) + min(joints[i + 1], last)) / 2)
            for i in ends
        )
        return low, high

    def runs(self) -> tuple[Run, ...]:
        """The convex, straight and hollow runs: neighbours that bend the same way are one."""
        turns = np.asarray(self.turns)
        side = np.where(np.abs(turns) < _STRAIGHT, 0.0, np.sign(turns))
        last = np.append(np.flatnonzero(side[1:] != side[:-1]) + 1, side.size)
        place, turned = (joints[np.append(0, last)] for joints in self._joints)
        turn = np.where(side[last - 1] == 0, 0.0, np.diff(turned))
        return runs_between(place, turn)

    def profile(self, points_per_arc: int = 1) -> Profile:
        """The joints as points, or `points_per_arc` points on each piece."""
        return chain(self.lengths, self.turns, points_per_arc=points_per_arc)
