"""A profile as a chain of arcs: where its points lie and how far its ends are apart."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import finite, positive

Floats = NDArray[np.float64]
_ENDS = (slice(None, -1), slice(1, None))
"""The joints at the start and at the end of each arc."""


@dataclass(frozen=True)
class Profile:
    """Points of a chain of arcs, travelled with the outside on the left; first axes: cases."""

    x: Floats
    """Along, from the first end [mm]; last axis: joints of the chain."""
    y: Floats
    """Up, from the first end [mm]."""
    heading: Floats
    """Direction of travel at each joint [rad], falling where the outside is convex."""

    @property
    def mouth(self) -> Floats:
        """Straight distance between the two ends [mm]."""
        return np.hypot(self.x[..., -1] - self.x[..., 0], self.y[..., -1] - self.y[..., 0])

    def offset(self, distance: ArrayLike) -> tuple[Floats, Floats]:
        """Points moved to the outside by `distance` [mm]."""
        d = finite(distance, "distance")
        bends = -np.diff(self.heading, axis=-1)
        chords = np.hypot(np.diff(self.x, axis=-1), np.diff(self.y, axis=-1))
        shape = np.sinc(bends / (2 * np.pi))
        deepest = np.minimum(
            *(np.broadcast_to(d, self.x.shape)[..., part] * bends for part in _ENDS)
        )
        if ((chords + deepest * shape <= 1e-12 * chords) & (shape > 1e-9)).any():
            raise ValueError(
                f"an offset of {float(np.abs(d).max()):g} mm folds the profile over itself; use "
                "one below its tightest radius"
            )
        return self.x - d * np.sin(self.heading), self.y + d * np.cos(self.heading)

    def shifted(self, x: float, y: float) -> Profile:
        """The same profile moved along and up [mm]."""
        return Profile(self.x + x, self.y + y, self.heading)

    def levelled(self) -> Profile:
        """The same profile with both ends on one level, the middle of its mouth at 0, 0."""
        dx, dy = self.x[..., -1:] - self.x[..., :1], self.y[..., -1:] - self.y[..., :1]
        size = np.ptp(self.x, axis=-1, keepdims=True) + np.ptp(self.y, axis=-1, keepdims=True)
        tilt = np.where(np.hypot(dx, dy) > 1e-9 * size, np.arctan2(dy, dx), 0.0)
        cos, sin = np.cos(-tilt), np.sin(-tilt)
        x0 = (self.x[..., -1:] + self.x[..., :1]) / 2
        y0 = (self.y[..., -1:] + self.y[..., :1]) / 2
        x, y = self.x - x0, self.y - y0
        return Profile(cos * x - sin * y, sin * x + cos * y, self.heading - tilt)

    def centred(self) -> Profile:
        """The same profile of a closed ring with the middle of its joints at 0, 0."""
        x, y = (v - v[..., :-1].mean(-1, keepdims=True) for v in (self.x, self.y))
        return Profile(x, y, self.heading)


def chain(lengths: ArrayLike, turns: ArrayLike, *, points_per_arc: int = 1) -> Profile:
    """Join arcs end to end without a kink.

    Parameters
    ----------
    lengths : array_like, shape (..., n)
        Length of each arc [mm], above 0.
    turns : array_like, shape (..., n)
        Turn of each arc [rad], positive where the outside is convex.
    points_per_arc : int
        Points drawn on each arc.

    Returns
    -------
    Profile
        With ``n * points_per_arc + 1`` points on the last axis. It sets out so that the two
        ends of a single arc are level.

    Notes
    -----
    The chord of an arc of length l and turn a is ``l sin(a/2)/(a/2)`` long and stands at half
    the turn: exact, however few arcs.

    Examples
    --------
    Half a circle of radius 50 in two pieces:

    >>> print(f"{chain([50 * np.pi / 2] * 2, [np.pi / 2] * 2).mouth:.6f}")
    100.000000
    """
    if isinstance(points_per_arc, bool) or not isinstance(points_per_arc, int | np.integer):
        raise ValueError(f"points_per_arc must be a whole number, got {points_per_arc!r}")
    if points_per_arc < 1:
        raise ValueError(f"points_per_arc must be at least 1, got {points_per_arc}")
    length, turn = positive(lengths, "lengths"), finite(turns, "turns", "rad")
    try:
        length, turn = np.broadcast_arrays(length, turn)
    except ValueError:
        raise ValueError(
            f"lengths of shape {length.shape} and turns of shape {turn.shape} do not go together"
        ) from None
    if (np.abs(turn) > 2 * np.pi + 1e-9).any():
        raise ValueError(
            f"turns must each be at most a full turn (6.2832 rad), got {np.abs(turn).max():g} rad"
        )
    if length.ndim == 0:
        length, turn = length[None], turn[None]
    length = np.repeat(length / points_per_arc, points_per_arc, axis=-1)
    turn = np.repeat(turn / points_per_arc, points_per_arc, axis=-1)
    first = turn.sum(-1, keepdims=True) / 2
    heading = first - np.concatenate([np.zeros_like(first), np.cumsum(turn, axis=-1)], axis=-1)
    chord, along = length * np.sinc(turn / (2 * np.pi)), heading[..., :-1] - turn / 2
    start = np.zeros_like(first)
    x = np.concatenate([start, np.cumsum(chord * np.cos(along), axis=-1)], axis=-1)
    y = np.concatenate([start, np.cumsum(chord * np.sin(along), axis=-1)], axis=-1)
    return Profile(x, y, heading)
