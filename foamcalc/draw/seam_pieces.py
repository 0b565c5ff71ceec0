"""The two pieces of a seam as they are drawn, and the words that stand beside their edges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.draw.ink import Floats
from foamcalc.draw.labels import Label
from foamcalc.draw.lettering import POINT, elided
from foamcalc.draw.seam_bands import disagreeing, edge_words, numbers
from foamcalc.fit.seam.edge import SeamEdge
from foamcalc.fit.seam.joined import SIDES, Seam, Side
from foamcalc.shape.drawn import Drawn
from foamcalc.shape.pattern import Edge
from foamcalc.units import System

_MOST_NUMBERS, _MOST_NAMES = 10, 24
"""Intervals and marks with words beside them, at most."""
_LONGEST, _LONGEST_HEAD = 90.0, 200.0
"""Longest name of a mark, and longest words about an edge [pt]."""
_ALONG = (0.5, 0.35, 0.65)
"""Where along an interval its numbers may stand, the best first."""
_ASIDE = (0.0, 0.6, -0.6)
"""How far from straight out the name of a mark may stand [rad], the best first."""
_HEADED = (0.0, 0.5, -0.5, 0.9, -0.9)
"""The same for the name of an edge under or over its piece [rad]."""
_SAME = 1e-6
"""Lengths nearer to each other are one [mm]."""


@dataclass(frozen=True)
class PieceDrawn:
    """One piece where it is drawn."""

    side: Side
    edge: SeamEdge
    """The edge of the seam, walked as it is drawn."""
    curve: Drawn
    outline: Floats
    """Points round the piece, shape (n, 2) [mm], where the drawing has them."""
    backwards: bool
    """Whether the seam runs the other way."""

    def at(self, place: ArrayLike) -> Floats:
        """Points of the edge [mm]."""
        return np.asarray(self.curve.point(place))

    def out(self, place: ArrayLike) -> Floats:
        """The way out of the piece there, of length 1."""
        x, y = np.moveaxis(self.curve.direction(place), -1, 0)
        left = np.stack([-y, x], axis=-1)
        return left if self.curve.outside == "left" else -left

    def span(self, i: int) -> tuple[float, float]:
        """Places where an interval of the seam begins and ends on this edge [mm]."""
        j = len(self.edge.places) - 2 - i if self.backwards else i
        return self.edge.places[j], self.edge.places[j + 1]

    def mark(self, k: int) -> float:
        """Place of a mark of the seam on this edge [mm]."""
        return self.edge.places[len(self.edge.places) - 1 - k if self.backwards else k]


class Word(NamedTuple):
    """Words and what they are about."""

    label: Label
    about: Literal["edge", "interval", "mark"]
    number: int
    """Of the interval or the mark; 0 for an edge."""
    piece: int
    """0 beside the first edge, 1 beside the second."""


def pieces_of(
    edges: tuple[Edge, Edge], seam: Seam, outlines: Sequence[Edge]
) -> tuple[PieceDrawn, PieceDrawn]:
    """Both pieces as they lie in their drawings; ValueError if they are not those of the seam."""
    if len(outlines) not in (0, 2):
        raise ValueError(f"outlines must be those of both pieces or none, got {len(outlines)}")
    found = []
    whole = outlines or edges
    for side, own, edge, outline in zip(SIDES, (seam.a, seam.b), edges, whole, strict=True):
        drawn = own.places[-1] if own.curve is None else own.curve.length
        other = own.curve is not None and abs(drawn - edge.length) > _SAME
        if other or own.places[0] < -_SAME or own.places[-1] > edge.length + _SAME:
            raise ValueError(
                f"edge {own.name!r} of the seam reaches to {drawn:.1f} mm, but {edge.name!r} in "
                f"the drawing is {edge.length:.1f} mm long; give the two edges that the seam was "
                "made of, in its order"
            )
        ways = [s.point(np.linspace(0, 1, 33)) for s in outline.curve.segments]
        backwards = side == "b" and seam.matched.reversed
        points = np.concatenate(ways)
        found.append(PieceDrawn(side, own, edge.curve, points, backwards))
    return found[0], found[1]


def words_of(pieces: Sequence[PieceDrawn], seam: Seam, system: System, points: float) -> list[Word]:
    """All words beside the edges, those that must stand first."""
    out, last = disagreeing(seam), len(seam.a.places) - 1
    both = tuple(enumerate(pieces))
    wanted = [Word(_headed(p, seam, system, points), "edge", 0, n) for n, p in both]
    marks = [0, last]
    for i in out[:_MOST_NUMBERS]:
        for n, piece in both:
            if numbers(seam, piece.side, i, system).lines:
                label = _numbered(piece, seam, i, system, points)
                wanted.append(Word(label, "interval", i, n))
        marks += [i, i + 1]
    for k in list(dict.fromkeys([*marks, *range(last)]))[:_MOST_NAMES]:
        wanted += [Word(_named(piece, seam, k, points), "mark", k, n) for n, piece in both]
    return wanted


def _headed(piece: PieceDrawn, seam: Seam, system: System, points: float) -> Label:
    """The name of an edge in the middle of its piece, or over or under it."""
    text = edge_words(seam, piece.side, system, most=_LONGEST_HEAD, points=points)
    low, high = piece.outline.min(axis=0), piece.outline.max(axis=0)
    label = Label.wanted(text, points=points, bold=True)
    label = label.near(((low + high) / 2).tolist(), (0.0, 0.0))
    for share, up in ((0.0, -1.0), (1.0, 1.0)):
        at = low + (high - low) * np.array([0.5, share])
        for turn in _HEADED:
            label = label.near(at.tolist(), (float(np.sin(turn)), up * float(np.cos(turn))))
    return label


def _numbered(piece: PieceDrawn, seam: Seam, i: int, system: System, points: float) -> Label:
    """The numbers of an interval beside one edge."""
    said, (low, high) = numbers(seam, piece.side, i, system), piece.span(i)
    label = Label.wanted(", ".join(said.lines[::-1]), points=points)
    for share in _ALONG:
        place = low + share * (high - low)
        x, y = piece.at(place).tolist()
        label = label.near((x, y), piece.out(place).tolist(), target=(x, y))
    return label


def _named(piece: PieceDrawn, seam: Seam, k: int, points: float) -> Label:
    """The name of a mark beside one edge."""
    place = piece.mark(k)
    text = elided(seam.a.labels[k], wide=_LONGEST * POINT, points=points)
    (x, y), (across, up) = piece.at(place).tolist(), piece.out(place).tolist()
    label = Label.wanted(text, points=points, target=(x, y))
    for turn in _ASIDE:
        cos, sin = float(np.cos(turn)), float(np.sin(turn))
        label = label.near((x, y), (cos * across - sin * up, sin * across + cos * up))
    return label
