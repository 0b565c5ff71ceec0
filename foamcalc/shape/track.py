"""Segments one behind the other: which of them, and where on it, lies at which length."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from foamcalc.shape.arc_length import Pieces, piece_lengths, pieces
from foamcalc.shape.batch import Batch
from foamcalc.shape.plane import Floats
from foamcalc.shape.speed import Numbers, Points

_STEPS = 100
_FINE = 4
"""Spans that each piece is seen in when places are searched for."""


class Spans:
    """Short bits of a track with the chords under them.

    A bit of length l over a chord c keeps within half the root of l² - c² of it.
    """

    def __init__(self, batch: Batch, found: Pieces) -> None:
        share = np.linspace(0.0, 1.0, _FINE + 1)
        edges = found.begin[:, None] + (found.end - found.begin)[:, None] * share
        edges[:, -1] = found.end
        self.segment: Numbers = np.repeat(found.segment, _FINE)
        self.begin: Floats = edges[:, :-1].ravel()
        self.end: Floats = edges[:, 1:].ravel()
        self.first: Points = batch.values(self.segment, self.begin)
        self.last: Points = batch.values(self.segment, self.end)
        length = piece_lengths(batch, self.segment, self.begin, self.end)
        chord = np.abs(self.last - self.first)
        over = np.maximum(length**2 - chord**2, 0.0) + 1e-12 * length**2
        self.rise: Floats = np.sqrt(over) / 2
        """How far from its chord it may run [mm]."""


class Track:
    """Segments, each beginning where the one before it ends."""

    def __init__(self, batch: Batch) -> None:
        found = pieces(batch)
        order = np.lexsort((found.begin, found.segment))
        self.batch = batch
        self.pieces = Pieces(
            found.segment[order], found.begin[order], found.end[order], found.length[order]
        )
        self.places: Floats = np.append(0.0, np.cumsum(self.pieces.length))
        """Where pieces begin, and the last one ends [mm]."""
        first = np.searchsorted(self.pieces.segment, np.arange(len(batch) + 1))
        self.joints: Floats = self.places[first]
        """Where segments begin, and the last one ends [mm]."""
        self._first: Numbers = first[:-1]

    @property
    def length(self) -> float:
        """Length of all of them [mm]."""
        return float(self.places[-1])

    @cached_property
    def spans(self) -> Spans:
        """Short bits, to search for places."""
        return Spans(self.batch, self.pieces)

    @cached_property
    def turned(self) -> Floats:
        """Turning of the segments before each joint [rad], to the left positive."""
        every = np.arange(len(self.batch))
        own = self.batch.turned(every, np.ones(every.size))
        return np.append(0.0, np.cumsum(own))

    def place(self, segment: Numbers, t: Floats) -> Floats:
        """Lengths along the track [mm] of places given as segment and `t`, all of shape (k,)."""
        n = _piece_at(self.pieces, self._first, segment, t)
        begin = self.pieces.begin[n]
        along = piece_lengths(self.batch, segment, begin, t)
        line = self.batch.size[segment] == 2
        along[line] = (t * self.pieces.length[n])[line]
        return np.asarray(self.places[n] + along)

    def locate(self, place: Floats, *, ending: bool = False) -> tuple[Numbers, Floats]:
        """Segment and `t` at lengths along the track [mm], of shape (k,).

        At a joint it is the segment that begins there, or the one that ends there if asked for.
        """
        last = len(self.pieces.length) - 1
        n = np.searchsorted(self.places, place, side="left" if ending else "right") - 1
        n = np.clip(n, 0, last)
        segment, begin = self.pieces.segment[n], self.pieces.begin[n]
        low, high, length = begin.copy(), self.pieces.end[n], self.pieces.length[n]
        wanted = np.clip(place - self.places[n], 0.0, length)
        t = begin + (high - begin) * (wanted / length)
        ends = (wanted == 0) | (wanted == length)
        active = np.flatnonzero(~ends & (self.batch.size[segment] != 2))
        for _ in range(_STEPS):
            if not active.size:
                break
            i, at = segment[active], t[active]
            over = piece_lengths(self.batch, i, begin[active], at) - wanted[active]
            high[active] = np.where(over > 0, at, high[active])
            low[active] = np.where(over > 0, low[active], at)
            with np.errstate(divide="ignore", invalid="ignore"):
                new = at - over / self.batch.speed(i, at)
            outside = ~((new >= low[active]) & (new <= high[active]))
            new = np.where(outside, (low[active] + high[active]) / 2, new)
            close = np.abs(over) <= 1e-14 * length[active]
            t[active] = np.where(close, at, new)
            active = active[~close & (np.abs(new - at) > 1e-16)]
        return segment, t


def _piece_at(found: Pieces, first: Numbers, segment: Numbers, t: Floats) -> NDArray[np.intp]:
    """The piece of its segment in which each `t` lies."""
    # Segment and begin rise together, so their sum is in order too.
    key = found.segment + np.minimum(found.begin, 1.0) / 2
    n = np.searchsorted(key, segment + t / 2, side="right") - 1
    return np.asarray(np.maximum(n, first[segment]))
