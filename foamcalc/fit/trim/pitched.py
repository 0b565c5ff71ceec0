"""A strip cut at a pitch, along its edge: whole pitches, where the cuts lie, and marks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, inf
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.ends import check_count, easiest_place
from foamcalc.fit.trim.parts import Part, within_reason
from foamcalc.fit.trim.pitch import edge_places, strip_upto, whole_pitches
from foamcalc.fit.trim.strips import CutStrip, Ends, Laid, Upto, cut_strips
from foamcalc.fit.trim.web import Web
from foamcalc.guards import finite, positive, single
from foamcalc.shape.plane import Curve

Floats = NDArray[np.float64]


class PitchMark(NamedTuple):
    """Where a mark of the edge meets its strip, and the nearest cut or tooth."""

    strip: int
    on_edge: float
    """Length along the edge [mm]."""
    on_strip: float
    """Length along the strip as cut, from its first end [mm]."""
    nearest: int
    """Number of the nearest cut or tooth, counted from 1 over all strips."""
    past: float
    """How far the mark lies past its middle [mm]; negative: before it."""


@dataclass(frozen=True, kw_only=True)
class Pitched:
    """A strip with a whole number of pitches along an edge."""

    curve: Curve
    web: Web
    """One pitch, as adjusted to the length of the strip."""
    number: int
    """How many pitches."""
    start: float
    """Where it begins along the edge [mm]; on a closed edge the place of its join."""
    counts: tuple[int, ...]
    """How many pitches are on each length of strip."""
    strips: tuple[CutStrip, ...]
    """The lengths of strip as they are cut, with their marks."""

    @property
    def length(self) -> float:
        """Length of all strips as cut, without what is added at open ends [mm]."""
        return self.number * self.web.pitch

    @property
    def ring(self) -> bool:
        """Whether its last pitch meets its first."""
        return self.curve.closed

    def on_edge(self, on_strip: ArrayLike) -> Floats:
        """Places along the edge of places along the strip, both from its first pitch on [mm].

        On a closed edge they may run past its ends; those along the edge are counted on, so that
        the length of the edge is to be taken off them where they pass it.
        """
        rounds, within = self._rounds(on_strip)
        return edge_places(self.curve, self.web, self.start, within) + rounds * self.curve.length

    def _rounds(self, on_strip: ArrayLike) -> tuple[Floats, Floats]:
        """How many times round places along the strip lie, and where on it [mm]."""
        along = finite(on_strip, "on_strip")
        rounds = np.floor(along / self.length) if self.ring else np.zeros_like(along)
        return rounds, along - rounds * self.length

    def bends(self, middles: Floats) -> tuple[Floats, Floats]:
        """How the edge bends over one pitch about places along the strip."""
        half = self.web.pitch / 2
        ends = np.stack([middles - half, middles + half])
        if not self.ring:  # the last bits of a sum may lie past an end
            slack = 1e-9 * self.length
            ends = np.where(np.abs(ends) < slack, 0.0, ends)
            ends = np.where(np.abs(ends - self.length) < slack, self.length, ends)
        rounds, within = self._rounds(ends)
        places = edge_places(self.curve, self.web, self.start, within)
        part = Part(self.curve, self.start, self.start + self.curve.length)
        turned = part.heading(places) + rounds * self.curve.turn
        turn = turned[1] - turned[0]
        gone = np.diff(places + rounds * self.curve.length, axis=0)[0]
        return np.asarray(turn), np.asarray(turn / gone)

    def on_strips(self, along: Floats) -> tuple[NDArray[np.int_], Floats]:
        """On which length of strip places of the whole lie, and how far from its first end."""
        edges = np.append(0, np.cumsum(self.counts)) * self.web.pitch
        index = np.clip(np.searchsorted(edges, along, side="right") - 1, 0, len(self.counts) - 1)
        before = np.array([s.before for s in self.strips])
        return index + 1, np.asarray(along - edges[index] + before[index])

    def marks(self, middles: Floats) -> tuple[PitchMark, ...]:
        """Where the marks of the edge come, each with the nearest of its cuts or teeth."""
        found = []
        strip_of, along = self.on_strips(middles)
        for strip in self.strips:
            own = np.flatnonzero(strip_of == strip.number)
            for mark in strip.marks:
                i = own[np.argmin(np.abs(along[own] - mark.on_strip))]
                past = mark.on_strip - float(along[i])
                found.append(PitchMark(strip.number, *mark, int(i) + 1, past))
        return tuple(found)


def marks_table(marks: Sequence[PitchMark], what: str) -> Any:
    """The marks of an edge on its strips (pandas, units in the column heads)."""
    import pandas as pd

    columns = ["strip", "mark on the edge [mm]", "mark on the strip [mm]"]
    return pd.DataFrame(marks, columns=[*columns, f"nearest {what}", "past its middle [mm]"])


def lay_out(
    curve: Curve,
    piece: Piece,
    web_of: Callable[[float], Web],
    *,
    pitch: float | None,
    number: int | None,
    step: int = 1,
    least: int = 1,
    per: int = 1,
    start: float | None = None,
    longest: float = inf,
    ends: Ends | None = None,
    marks: ArrayLike = (),
) -> Pitched:
    """A strip with whole pitches along an edge; its pitch is adjusted to its length.

    The length needed is the sum of ``1 + offset curvature`` along the edge. The offset of the line
    that keeps its length hangs on the pitch a little, so pitch and length are found together.
    """
    within_reason(length_of_the_edge=curve.length, thickness=piece.thickness, width=piece.width)
    if pitch is not None:
        within_reason(pitch=single(positive(pitch, "pitch"), "pitch"))
    number, web = whole_pitches(
        curve, web_of, pitch=pitch, number=number, step=step, least=least, per=per
    )
    if start is not None and not curve.closed:
        raise ValueError("start is the place of the join on a closed edge, but this edge is open")
    where = easiest_place(curve, piece) if start is None and curve.closed else start or 0.0
    first = float(curve.on_curve(where))
    counts = _counts(number, web.pitch, longest)
    marked = edge_places(curve, web, first, np.append(0, np.cumsum(counts)) * web.pitch)
    marked[-1] = first + curve.length
    upto = strip_upto(curve, web, first)
    strips = cut_strips(curve, piece, _laid(upto, marked), ends=ends, marks=marks)
    return Pitched(curve=curve, web=web, number=number, start=first, counts=counts, strips=strips)


def _counts(number: int, pitch: float, longest: float) -> tuple[int, ...]:
    """How many pitches go on each length of strip, as evenly as can be."""
    if longest == inf:
        return (number,)
    most = int(single(positive(longest, "longest"), "longest") / pitch * (1 + 1e-9))
    if most < 1:
        raise ValueError(f"longest must be at least one pitch ({pitch:.4g} mm), got {longest:g} mm")
    check_count(number / most, longest)
    parts = ceil(number / most)
    edges = [i * number // parts for i in range(parts + 1)]
    return tuple(b - a for a, b in pairwise(edges))


def _laid(upto: Upto, edges: Floats) -> list[Laid]:
    """The lengths of strip from one place of the edge to the next."""

    def from_place(begin: float) -> Upto:
        before = upto(np.array([begin]))
        return lambda places: upto(places) - before

    return [Laid(start=a, end=b, upto=from_place(a)) for a, b in pairwise(edges.tolist())]
