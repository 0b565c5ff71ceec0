"""Corners along a curve: how far each turns, and which of them lie between two places."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from foamcalc.shape.plane import Corner, Extreme, Floats

_AT = 1e-9
"""How near to a corner a place counts as being at it, as a share of the curve's length."""


class Corners(NamedTuple):
    """Turns at places along a curve, the first at its start and the last at its end."""

    places: Floats
    """Lengths along the curve from its start [mm], rising, from 0 to the length of the curve."""
    turns: Floats
    """Change of direction at each [rad], positive where the outside is convex.

    On an open curve the first and the last are 0, on a closed one they are the same corner.
    """

    def listed(self, closed: bool) -> tuple[Corner, ...]:
        """The corners, from the start on; that of a closed curve's start comes first, once."""
        last = -1 if closed else None
        both = zip(self.places[:last].tolist(), self.turns[:last].tolist(), strict=True)
        return tuple(Corner(place, turn) for place, turn in both if turn)

    def weights(self, first: float, last: float) -> Floats:
        """How much of each corner lies between two places: all, half, or nothing."""
        slack = _AT * self.places[-1]

        def beyond(place: float) -> Floats:
            off = self.places - place
            return np.where(np.abs(off) <= slack, 0.0, np.sign(off))

        return (beyond(first) - beyond(last)) / 2

    def turned(self, place: Floats) -> Floats:
        """Turning of the corners before each place [rad]; half of a corner at it.

        The start of a closed curve counts from the middle of its corner.
        """
        slack = _AT * self.places[-1]
        total = np.concatenate([[0.0], np.cumsum(self.turns)])
        before = total[np.searchsorted(self.places, place - slack, side="left")]
        after = total[np.searchsorted(self.places, place + slack, side="right")]
        return np.asarray((before + after - self.turns[0]) / 2)

    def curvature(self, place: Floats) -> Floats:
        """Infinite at a corner, with the sign of its turn; 0 elsewhere."""
        slack = _AT * self.places[-1]
        n = np.searchsorted(self.places, place - slack, side="left")
        at = np.minimum(n, self.places.size - 1)
        here = (self.places[at] <= place + slack) & (self.turns[at] != 0)
        return np.where(here, np.copysign(np.inf, self.turns[at]), 0.0)

    def extremes(self, first: float, last: float) -> tuple[Extreme | None, Extreme | None]:
        """The sharpest hollow and the sharpest convex corner between two places."""
        turns = np.where(self.weights(first, last) > 0, self.turns, 0.0)
        low, high = int(np.argmin(turns)), int(np.argmax(turns))
        return (
            Extreme(-np.inf, float(self.places[low])) if turns[low] < 0 else None,
            Extreme(np.inf, float(self.places[high])) if turns[high] > 0 else None,
        )
