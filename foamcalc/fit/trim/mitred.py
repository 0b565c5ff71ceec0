"""A band made of straight pieces with mitres between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.fit.limits import Limit
from foamcalc.fit.trim.band import Band, checked_limits, tights
from foamcalc.fit.trim.parts import Part, parts_of
from foamcalc.fit.trim.straight import straight_bends
from foamcalc.fit.trim.strips import (
    CutStrip,
    Ends,
    Laid,
    Upto,
    cut_strips,
    marks_table,
    mitre_tip,
    strips_table,
)
from foamcalc.guards import positive, single
from foamcalc.shape.plane import Extreme, Floats

_MOST_PIECES = 400
"""Most pieces in one part of an edge."""
_LOOKS = 512
"""Steps in which a part is shared out."""
_POINTS = 32
"""Steps along each piece in which its deviation is looked for."""


@dataclass(frozen=True, kw_only=True)
class MitredBand:
    """A band of straight pieces, mitred where they meet."""

    band: Band
    strips: tuple[CutStrip, ...]
    """The pieces, in order along the edge."""
    deviation: float
    """How far the pieces stand off the curve at most [mm]."""
    stretch: float
    """Most stretch of an edge [1]; 0 where all pieces stay straight."""
    squeeze: float
    """Most squeeze of an edge [1]."""

    @property
    def count(self) -> int:
        """How many pieces."""
        return len(self.strips)

    @property
    def mitres(self) -> int:
        """How many mitres join them."""
        return self.count if self.band.curve.closed else self.count - 1

    @property
    def steepest(self) -> float:
        """The steepest cut from square, without a sign [rad]."""
        return max(abs(m) for s in self.strips for m in s.mitres)

    @property
    def blank_length(self) -> float:
        """Length of the straight strip they are cut from, end to end [mm].

        Every second piece is turned over: then neighbours share their cut. What the open ends
        need more is counted.
        """
        middles = sum(sum(s.edge_lengths) / 2 for s in self.strips)
        both = (self.strips[0].before, 0), (self.strips[-1].after, 1)
        added = sum(
            more - mitre_tip(self.band.offsets, self.strips[-i].mitres[i]) for more, i in both
        )
        return middles + added + self.band.width / 2 * self._ends

    @property
    def waste(self) -> float:
        """What is left over at the two ends of that strip [mm2]."""
        return self.band.width**2 / 2 * self._ends

    @property
    def _ends(self) -> float:
        outer = self.strips[0].mitres[0], self.strips[-1].mitres[1]
        return float(np.abs(np.tan(outer)).sum())

    def table(self) -> Any:
        """The pieces side by side (pandas, units in the column heads)."""
        return strips_table(self.strips)

    def marks_table(self) -> Any:
        """Where every mark meets its piece (pandas)."""
        return marks_table(self.strips)


class _Chain(NamedTuple):
    """One part shared out among pieces; arrays with one entry a piece."""

    edges: Floats
    """Where they begin, and where the last one ends [mm]."""
    grown: Floats
    """Length of each over that of its part of the line [1]; below 1 where it cuts a bend short."""
    first: Floats
    """Angle from the edge to the piece at its start [rad]."""
    last: Floats
    """Angle from the piece to the edge at its end, the corner there counted [rad]."""
    deviation: float


def mitred_band(
    band: Band,
    *,
    limits: Mapping[str, Limit] | None = None,
    ends: Ends | None = None,
    press: bool = False,
    marks: ArrayLike = (),
) -> MitredBand:
    """Make a band of as few straight pieces as the deviation from the curve allows.

    The pieces meet on the line. On a circle n of them over a turn a are chords
    ``2 R sin(a/(2 n))`` with cuts at ``a/(2 n)``, and stand off by ``R (1 - cos(a/(2 n)))``; an
    edge at the offset d is longer by ``2 d tan(a/(2 n))``. On other curves more of them stand where
    the curve is tight: the part is shared out by the root of the curvature. An open end is cut
    square to the edge. A piece that is pressed takes its part of the turn, the mitres the rest;
    for it is a little shorter than the bend it cuts short, its strain is up to 0.5 % of itself
    more.
    """
    known = checked_limits(band.strip, limits)
    most = single(positive(known["deviation"].value, "deviation"), "deviation")
    bends = straight_bends(band, known) if press else (0.0, 0.0)
    parts = parts_of(band.curve)
    chains = [_shared_out(part, most, bends) for part in parts]
    length = np.concatenate(
        [
            c.grown
            * np.diff(part.upto(lambda k: band.length_per_edge(np.clip(k, *bends)), c.edges))
            for part, c in zip(parts, chains, strict=True)
        ]
    )
    laid = _laid(band, chains, length)
    strips = cut_strips(band.curve, band.strip, laid, ends=ends, marks=marks)
    strained = tights(
        band,
        [Extreme(float(np.clip(t.curvature, *bends)), t.place) for t in band.tight]
        if press
        else [],
    )
    return MitredBand(
        band=band,
        strips=strips,
        deviation=max(c.deviation for c in chains),
        stretch=max((t.stretch for t in strained), default=0.0),
        squeeze=max((t.squeeze for t in strained), default=0.0),
    )


def _shared_out(part: Part, most: float, bends: tuple[float, float]) -> _Chain:
    """The fewest pieces on one part that keep within the deviation."""
    grid = np.linspace(part.start, part.end, _LOOKS + 1)

    def rate(k: Floats) -> Floats:
        return np.sqrt(np.maximum(np.maximum(k - bends[1], bends[0] - k), 0.0))

    share = part.upto(rate, grid)
    needed = share[-1] / np.sqrt(8 * most)
    if needed > _MOST_PIECES:
        raise ValueError(
            f"about {needed:.0f} straight pieces would be needed to keep within {most:g} mm of the "
            f"curve; allow more deviation than that, at most {_MOST_PIECES} pieces are made"
        )
    share = share + 1e-9 * max(share[-1], 1.0) * np.linspace(0, 1, share.size)  # so that it rises
    fewest = 2 if part.ring else 1
    for count in range(max(int(needed) - 1, fewest), 2 * _MOST_PIECES):
        edges = np.interp(np.linspace(0, share[-1], count + 1), share, grid)
        edges[0], edges[-1] = part.start, part.end
        chain = _chained(part, edges, bends)
        if chain.deviation <= most * (1 + 1e-9):
            return chain
    raise ValueError(
        f"no straight pieces were found that keep within {most:g} mm of the curve from "
        f"{part.start:.1f} to {part.end:.1f} mm along it; allow more deviation"
    )


def _chained(part: Part, edges: Floats, bends: tuple[float, float]) -> _Chain:
    """Pieces from edge to edge of a part, each bent as far as it may."""
    run = np.diff(edges)[:, None]
    grid = edges[:-1, None] + run * np.linspace(0, 1, _POINTS + 1)
    heading = part.heading(edges)
    begin, end = heading[:-1].copy(), heading[1:].copy()
    begin[0] += part.before / 2
    end[-1] -= part.after / 2
    edge = _seen(*part.way(grid), begin)
    own = part.upto(lambda k: np.clip(k, *bends), grid.ravel()).reshape(grid.shape)
    own -= own[:, :1]
    bent = np.diff(own)
    hop = run / _POINTS * np.sinc(bent / (2 * np.pi))
    middle = own[:, :-1] + bent / 2
    zero = np.zeros(run.shape)
    x, y = (np.hstack([zero, np.cumsum(hop * way(middle), axis=1)]) for way in (np.cos, np.sin))
    piece = _seen(x, y, np.zeros(len(run)))
    grown = edge.chord / piece.chord
    off = np.abs(edge.aside - piece.aside * grown[:, None])
    turn = own[:, -1]
    last = (end - begin - edge.along) - (turn - piece.along)
    last[-1] += part.after
    return _Chain(edges, grown, edge.along - piece.along, last, float(off.max()))


class _Seen(NamedTuple):
    """Ways seen from their chords."""

    chord: Floats
    along: Floats
    """Direction of the chord from that in which the way sets out [rad]."""
    aside: Floats
    """Distances of the points from the chord [mm]."""


def _seen(x: Floats, y: Floats, begin: Floats) -> _Seen:
    """Points of ways, one a row, that set out in the directions `begin` [rad]."""
    dx, dy = x - x[:, :1], y - y[:, :1]
    chord = np.hypot(dx[:, -1], dy[:, -1])
    direction = np.arctan2(dy[:, -1], dx[:, -1])
    cos, sin = np.cos(direction)[:, None], np.sin(direction)[:, None]
    along = (direction - begin + np.pi) % (2 * np.pi) - np.pi
    return _Seen(chord, along, dx * sin - dy * cos)


def _laid(band: Band, chains: list[_Chain], length: Floats) -> list[Laid]:
    """The pieces with their mitres; `length` is that of each as cut, along the line [mm]."""
    starts = np.concatenate([c.edges[:-1] for c in chains])
    stops = np.concatenate([c.edges[1:] for c in chains])
    first, last = (np.concatenate([getattr(c, x) for c in chains]) for x in ("first", "last"))
    before, after = first.copy(), last.copy()
    before[1:] = after[:-1] = (last[:-1] + first[1:]) / 2
    if band.curve.closed:
        before[0] = after[-1] = (last[-1] + first[0]) / 2
    return [
        Laid(
            start=float(a),
            end=float(b),
            upto=_evenly(float(a), float(long / (b - a))),
            mitres=(float(m), float(n)),
            offsets=band.offsets,
        )
        for a, b, long, m, n in zip(starts, stops, length, before, after, strict=True)
    ]


def _evenly(start: float, rate: float) -> Upto:
    """Length of a piece up to places, in proportion to the edge."""
    return lambda places: (places - start) * rate
