"""A strip on its edge, as shapes: the strip, what is open in it, its joins and its marks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamcalc.draw.ink import Floats
from foamcalc.fit.trim.band_choice import BandChoice
from foamcalc.fit.trim.binding_cut import CutBinding
from foamcalc.fit.trim.rim_cut import CutRim
from foamcalc.fit.trim.slit import Slits
from foamcalc.fit.trim.strips import CutStrip
from foamcalc.fit.trim.toothed import Teeth
from foamcalc.shape.curve import Curve
from foamcalc.shape.travel import travel

Cut = BandChoice | CutRim | CutBinding | Slits | Teeth
"""A strip as it is cut."""

_POINTS = 361


@dataclass(frozen=True)
class Place:
    """A place of an edge on the paper."""

    along: float
    """How far along the edge it is [mm]."""
    at: Floats
    """Where it is [mm], shape (2,)."""
    out: Floats
    """Unit vector to the outside."""

    def beside(self, offset: float) -> tuple[float, float]:
        """The point at an offset to the outside [mm]."""
        x, y = self.at + offset * self.out
        return float(x), float(y)


@dataclass(frozen=True)
class OnEdge:
    """A strip on its edge [mm], the middle of the edge up."""

    edge: Floats
    """Points of the edge, shape (n, 2)."""
    body: Floats
    """Outline of the strip, once round."""
    open: tuple[Floats, ...]
    """What is open in it: slits and gaps, each from its mouth to its root and back."""
    joins: tuple[Floats, ...]
    """Lines across it where two strips meet, each of shape (2, 2)."""
    marks: tuple[Place, ...]
    """Its marks, in order."""


def edge_of(cut: Cut) -> Curve:
    """The edge that a strip follows."""
    if isinstance(cut, BandChoice):
        return cut.band.curve
    if isinstance(cut, CutRim):
        return cut.rim.curve
    return cut.binding.curve if isinstance(cut, CutBinding) else cut.pitched.curve


def strips_of(cut: Cut) -> tuple[CutStrip, ...]:
    """The strips that it is made of."""
    return cut.rim.strips if isinstance(cut, CutBinding) else cut.strips


def reach_of(cut: Cut) -> tuple[float, float]:
    """Between which offsets from the edge a strip lies on the paper [mm].

    A band over its width; every other strip over its thickness.
    """
    if isinstance(cut, BandChoice):
        return cut.band.offsets
    if isinstance(cut, CutRim):
        return cut.rim.bead, cut.rim.bead + cut.rim.strip.thickness
    if isinstance(cut, CutBinding):
        return reach_of(cut.rim)
    return 0.0, cut.strip.piece.thickness


def places_on(curve: Curve, along: Floats) -> tuple[Floats, Floats]:
    """Points of an edge on the paper and unit vectors to its outside, each of shape (n, 2)."""
    if curve.closed:
        along = along % curve.length
    begin = -curve.turn / 2
    ahead, aside = travel(curve, along, heading=begin)
    heading = begin + curve.heading(along)
    return np.column_stack([ahead, -aside]), np.column_stack([np.sin(heading), np.cos(heading)])


def beside(curve: Curve, offset: float) -> Floats:
    """The line beside an edge at an offset [mm], its corners sharp, shape (n, 2)."""
    corners = curve.corners
    along = np.unique([*np.linspace(0.0, curve.length, _POINTS), *(c.place for c in corners)])
    points, out = places_on(curve, np.clip(along, 0.0, curve.length * (1 - 1e-12)))
    grown, kept = np.ones(along.size), np.ones(along.size, dtype=bool)
    for corner in corners:
        half = corner.turn / 2
        gone = np.abs(along - corner.place)
        if curve.closed:
            gone = np.minimum(gone, curve.length - gone)
        kept &= (gone < 1e-9) | (gone > -offset * np.tan(half))
        grown = np.where(gone < 1e-9, 1 / np.cos(half), grown)
    return np.asarray((points + offset * grown[:, None] * out)[kept])


def on_edge(cut: Cut) -> OnEdge:
    """A strip on its edge."""
    curve, (low, high) = edge_of(cut), reach_of(cut)
    inner, outer = beside(curve, low), beside(curve, high)
    strips = strips_of(cut)
    ends = {round(s.start % curve.length, 6) for s in strips}
    if not curve.closed:
        ends -= {0.0}
    marks = sorted({m.on_edge for s in strips for m in s.marks})
    return OnEdge(
        edge=beside(curve, 0.0),
        body=np.concatenate([inner, outer[::-1]]),
        open=_open(cut),
        joins=tuple(_across(curve, place, low, high) for place in sorted(ends)),
        marks=tuple(_place(curve, place) for place in marks),
    )


def _place(curve: Curve, along: float) -> Place:
    points, out = places_on(curve, np.array([min(along, curve.length)]))
    return Place(along, points[0], out[0])


def _across(curve: Curve, along: float, low: float, high: float) -> Floats:
    """A line across the strip, as long as a mitre where there is a corner."""
    here = _place(curve, along)
    halves = [c.turn / 2 for c in curve.corners if abs(c.place - along) < 1e-6]
    grown = 1 / np.cos(halves[0]) if halves else 1.0
    return np.stack([here.at + d * grown * here.out for d in (low, high)])


def _open(cut: Cut) -> tuple[Floats, ...]:
    """The slits or gaps of a strip, as they stand open on the edge."""
    if isinstance(cut, Slits):
        roots = np.full(cut.number, cut.strip.kerf)
        return _wedges(cut, cut.along, roots, cut.mouths)
    if isinstance(cut, Teeth):
        roots, tips = cut.root_gaps, cut.tip_gaps
        found = _wedges(cut, cut.between, roots, tips)
        if len(cut.between) < len(cut.gap_middles):  # the last gap has no tooth behind it
            found += _wedges(cut, cut.gap_middles[-1:], roots[-1:], tips[-1:])
        return found
    return ()


def _wedges(cut: Slits | Teeth, middles: Floats, roots: Floats, tips: Floats) -> tuple[Floats, ...]:
    """Wedges from a tip down to the root and up to the other tip, each of shape (4, 2)."""
    thick, deep = cut.strip.piece.thickness, cut.strip.depth
    ends = (thick - deep, thick) if cut.strip.face == "outside" else (deep, 0.0)
    points, out = places_on(cut.pitched.curve, cut.pitched.on_edge(middles))
    along = np.column_stack([out[:, 1], -out[:, 0]])

    def corner(height: float, wide: Floats, side: float) -> Floats:
        return np.asarray(points + height * out + side * wide[:, None] / 2 * along)

    four = (
        corner(ends[1], tips, -1),
        corner(ends[0], roots, -1),
        corner(ends[0], roots, 1),
        corner(ends[1], tips, 1),
    )
    return tuple(np.stack(four, axis=1))
