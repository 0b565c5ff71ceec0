"""Strips as they are cut, flat, as shapes: outlines with their mitres, cuts, folds, marks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from foamcalc.draw.ink import Floats
from foamcalc.draw.trim_edge import Cut
from foamcalc.fit.trim.band_choice import BandChoice
from foamcalc.fit.trim.binding_cut import CutBinding
from foamcalc.fit.trim.rim_cut import CutRim
from foamcalc.fit.trim.slit import Slits
from foamcalc.fit.trim.strips import CutStrip, mitre_tip
from foamcalc.fit.trim.toothed import Teeth


@dataclass(frozen=True)
class Flat:
    """One strip lying flat [mm], from its first end to the right; 0 is its lower left."""

    number: int
    body: Floats
    """Its outline, once round, shape (n, 2)."""
    cuts: tuple[Floats, ...]
    """What is cut out of it, each from its mouth to its root and back; a slit is a line."""
    folds: tuple[float, ...]
    """Heights of its folds."""
    marks: Floats
    """Where its marks are, from its first end."""
    high: float

    @property
    def length(self) -> float:
        """Length of the blank [mm]."""
        return float(np.ptp(self.body[:, 0]))

    @property
    def middle(self) -> float:
        """The middle of its length, from its first end [mm]."""
        return float(self.body[:, 0].min()) + self.length / 2


def flats(cut: Cut) -> tuple[Flat, ...]:
    """Strips as they are cut; none of a band cut to shape, which lies as it is cut."""
    if isinstance(cut, BandChoice):
        if cut.choice == "cut to shape":
            return ()
        return tuple(_band(strip, cut.band.offsets) for strip in cut.strips)
    if isinstance(cut, CutRim):
        return tuple(_plain(strip, cut.rim.strip.width) for strip in cut.strips)
    if isinstance(cut, CutBinding):
        return tuple(_binding(cut, strip) for strip in cut.rim.strips)
    return tuple(_pitched(cut, strip) for strip in cut.strips)


def _marks(strip: CutStrip) -> Floats:
    return np.array([mark.on_strip for mark in strip.marks])


def _box(length: float, high: float) -> Floats:
    return np.array([[0.0, 0.0], [length, 0.0], [length, high], [0.0, high]])


def _plain(strip: CutStrip, high: float) -> Flat:
    return Flat(strip.number, _box(strip.cut_length, high), (), (), _marks(strip), high)


def _band(strip: CutStrip, offsets: tuple[float, float]) -> Flat:
    """A band with its mitres, its outer edge up."""
    low, high = offsets
    tips = [mitre_tip(offsets, mitre) for mitre in strip.mitres]
    first, last = (np.tan(mitre) for mitre in strip.mitres)
    begin, end = tips[0], strip.cut_length - tips[1]
    body = np.array(
        [
            [begin - low * first, 0.0],
            [end + low * last, 0.0],
            [end + high * last, high - low],
            [begin - high * first, high - low],
        ]
    )
    return Flat(strip.number, body, (), (), _marks(strip), high - low)


def _binding(cut: CutBinding, strip: CutStrip) -> Flat:
    """A binding with its two folds and the cuts in its legs; the first leg below."""
    bound, wide = cut.binding, cut.binding.width
    folds = (bound.legs[0] + bound.fold / 2, wide - bound.legs[1] - bound.fold / 2)
    cuts = tuple(_leg_cuts(cut, strip))
    body = _box(strip.cut_length, wide)
    return Flat(strip.number, body, cuts, folds, _marks(strip), wide)


def _leg_cuts(cut: CutBinding, strip: CutStrip) -> Iterator[Floats]:
    grown = strip.length / (strip.end - strip.start)
    for one in cut.cuts:
        leg = cut.binding.legs[one.leg]
        edge, root = (0.0, leg) if one.leg == 0 else (cut.binding.width, cut.binding.width - leg)
        for place in one.start + (np.arange(one.number) + 0.5) * one.pitch:
            if not strip.start <= place <= strip.end:
                continue
            x = strip.before + (place - strip.start) * grown
            half = one.width / 2 if one.kind == "notches" else 0.0
            yield np.array([[x - half, edge], [x, root], [x + half, edge]])


def _pitched(cut: Slits | Teeth, strip: CutStrip) -> Flat:
    """A slit or toothed strip seen on its edge, the face towards the edge below."""
    thick, deep = cut.strip.piece.thickness, cut.strip.depth
    tip, root = (thick, thick - deep) if cut.strip.face == "outside" else (0.0, deep)
    middles = cut.gap_middles if isinstance(cut, Teeth) else cut.along
    half = (cut.gap if isinstance(cut, Teeth) else cut.strip.kerf) / 2
    own, along = cut.pitched.on_strips(middles)
    cuts = tuple(
        np.array([[x - half, tip], [x - half, root], [x + half, root], [x + half, tip]])
        for x in along[own == strip.number]
    )
    body = _box(strip.cut_length, thick)
    return Flat(strip.number, body, cuts, (), _marks(strip), thick)
