"""A strip as it is told, whatever its kind: sentence, strips, reasons, corners, work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple

import numpy as np

from foamcalc.fit.limits import Check
from foamcalc.fit.order import Step
from foamcalc.fit.trim.band_choice import BandChoice
from foamcalc.fit.trim.binding_cut import CutBinding
from foamcalc.fit.trim.corners import (
    CornerWork,
    band_corners,
    binding_corners,
    rim_corners,
    small_words,
)
from foamcalc.fit.trim.pitched import PitchMark
from foamcalc.fit.trim.rim_cut import CutRim
from foamcalc.fit.trim.rim_words import binding_sentence, binding_work, rim_sentence, rim_work
from foamcalc.fit.trim.slit import Slits
from foamcalc.fit.trim.strips import CutStrip, mitre_tip
from foamcalc.fit.trim.to_shape import ShapedBand
from foamcalc.fit.trim.words import band_reasons, band_sentence, band_work
from foamcalc.job.trim.check_words import check_words
from foamcalc.job.trim.kinds import Cut
from foamcalc.job.trim.pitched_words import pitched_reasons, pitched_sentence, pitched_work
from foamcalc.units import System, format_length

_SAME = 0.05
"""Lengths that differ by less are one on the bench [mm]."""


class StripRow(NamedTuple):
    """Equal strips side by side."""

    name: str
    """Their numbers along the edge."""
    number: int
    """How many of them."""
    length: float
    """Length to cut [mm]; of a piece cut to shape along its line."""
    width: float
    edges: tuple[float, float]
    """Lengths of the inner and the outer edge as they are cut, ends counted [mm]."""


@dataclass(frozen=True, kw_only=True)
class Told:
    """What there is to say of a strip."""

    sentence: str
    strips: tuple[CutStrip, ...]
    width: float
    """Width to cut [mm]."""
    edges: tuple[tuple[float, float], ...]
    """Lengths of the inner and the outer edge of each strip, all counted [mm]."""
    reasons: tuple[str, ...]
    corners: tuple[CornerWork, ...]
    steps: tuple[Step, ...]
    near: tuple[PitchMark, ...] = ()
    """Marks beside the cuts or teeth next to them."""

    def rows(self) -> list[StripRow]:
        """The strips, equal neighbours together."""
        found = []
        for _, group in groupby(self.strips, key=_size):
            alike = list(group)
            first, last = alike[0], alike[-1]
            name = f"strip {first.number}"
            if len(alike) > 1:
                name = f"strips {first.number} to {last.number}"
            edges = self.edges[first.number - 1]
            found.append(StripRow(name, len(alike), first.cut_length, self.width, edges))
        return found


def _size(strip: CutStrip) -> tuple[float, ...]:
    return tuple(
        round(x / _SAME) for x in (strip.cut_length, *strip.edge_lengths, *np.degrees(strip.mitres))
    )


def told(cut: Cut, *, adhesive: str, wanted: float | None = None, system: System = "mm") -> Told:
    """What there is to say of a strip.

    Parameters
    ----------
    cut : BandChoice, CutRim, CutBinding, Slits or Teeth
        The strip as it is cut.
    adhesive : str
        A name in adhesives.csv.
    wanted : float, optional
        Pitch that was wanted [mm], of a strip cut at a pitch.
    system : {"mm", "in"}
        Units to speak in.
    """
    if isinstance(cut, BandChoice):
        return Told(
            sentence=band_sentence(cut, system),
            strips=cut.strips,
            width=cut.band.width,
            edges=_band_edges(cut),
            reasons=tuple(band_reasons(cut, system)),
            corners=band_corners(cut.band),
            steps=tuple(band_work(cut, glue=adhesive, system=system)),
        )
    if isinstance(cut, CutRim):
        thick = cut.rim.strip.thickness
        return Told(
            sentence=rim_sentence(cut, system),
            strips=cut.strips,
            width=cut.rim.strip.width,
            edges=_straight_edges(cut.strips, (cut.rim.bead, cut.rim.bead + thick)),
            reasons=(
                _rim_length(cut, system),
                *(() if cut.refused is None else _refusals(cut.refused, system)),
                *_checked(cut.checks),
            ),
            corners=rim_corners(cut.rim, system, at_corners=cut.at_corners),
            steps=tuple(rim_work(cut, glue=adhesive, system=system)),
        )
    if isinstance(cut, CutBinding):
        return _binding(cut, adhesive, system)
    return Told(
        sentence=pitched_sentence(cut, system),
        strips=cut.strips,
        width=cut.strip.piece.width,
        edges=_straight_edges(cut.strips),
        reasons=tuple(pitched_reasons(cut, wanted or cut.pitch, system)),
        corners=(),
        steps=tuple(pitched_work(cut, glue=adhesive, system=system)),
        near=cut.marks(),
    )


def _binding(cut: CutBinding, adhesive: str, system: System) -> Told:
    bound = cut.binding
    return Told(
        sentence=binding_sentence(cut, system),
        strips=cut.rim.strips,
        width=bound.width,
        edges=_straight_edges(cut.rim.strips),
        reasons=(
            _rim_length(cut.rim, system),
            *_checked(cut.rim.checks),
            *(_leg_words(c) for c in dict.fromkeys(cut.leg_checks) if c.found > 0),
        ),
        corners=binding_corners(bound, system),
        steps=tuple(binding_work(cut, glue=adhesive, system=system)),
    )


def _leg_words(check: Check) -> str:
    """A leg against a limit; one that passes it is cut into flaps."""
    return f"{check_words(check)}{'' if check.met else '; so it is cut into flaps'}"


def _straight_edges(
    strips: Sequence[CutStrip], offsets: tuple[float, float] = (0.0, 0.0)
) -> tuple[tuple[float, float], ...]:
    """Both edges of straight strips, with what is added at their ends [mm].

    The tips of mitres are in their edges already, and in what is added too.
    """
    found = []
    for strip in strips:
        tips = sum(mitre_tip(offsets, mitre) for mitre in strip.mitres)
        added = strip.before + strip.after - tips
        found.append((strip.edge_lengths[0] + added, strip.edge_lengths[1] + added))
    return tuple(found)


def _band_edges(cut: BandChoice) -> tuple[tuple[float, float], ...]:
    """Both edges of the strips of a band, straight or cut to shape [mm]."""
    if not isinstance(cut.chosen, ShapedBand):
        return _straight_edges(cut.strips, cut.band.offsets)
    found = []
    for piece in cut.chosen.pieces:
        if piece.sector is not None:
            both = (piece.sector.inner_length, piece.sector.outer_length)
            found.append(both if piece.turn > 0 else both[::-1])
            continue
        tips = sum(mitre_tip(cut.band.offsets, mitre) for mitre in piece.strip.mitres)
        added = piece.strip.before + piece.strip.after - tips
        found.append((piece.inner_length + added, piece.outer_length + added))
    return tuple((float(a), float(b)) for a, b in found)


def _checked(checks: Sequence[Check]) -> tuple[str, ...]:
    """Checks in words, each once, those of nothing found left out."""
    return tuple(dict.fromkeys(check_words(c) for c in checks if c.found > 0 or not c.met))


def _refusals(cut: CutRim, system: System) -> Iterator[str]:
    """What speaks against the strip in whose place another is cut."""
    long = format_length(cut.needed * (1 - cut.rim.share), system=system)
    for check in cut.checks:
        if not check.met:
            yield f"{long} long, {check_words(check)}"


def _rim_length(cut: CutRim, system: System) -> str:
    """Where the length of a rim comes from."""
    rim, turned, where = cut.rim, cut.rim.curve.turn, ""
    if cut.at_corners == "mitred" and rim.curve.corners:
        turned, where = turned - sum(c.turn for c in rim.curve.corners), " between its corners"
    edge, needed, off = (small_words(x, system) for x in (rim.curve.length, cut.needed, rim.offset))
    return (
        f"length: {needed} to lie on it unstretched: the edge's {edge}, and its turn of "
        f"{np.degrees(turned):.0f}°{where} times {off}, the height of the strip's middle over it"
    )


def near_words(mark: PitchMark, what: str, system: System = "mm") -> str:
    """Where a mark comes beside the cut or tooth next to it.

    Examples
    --------
    >>> near_words(PitchMark(1, 50.0, 51.5, 6, -0.4), "slit")
    '0 mm before the middle of slit 6'
    """
    off = format_length(abs(mark.past), system=system)
    side = "past" if mark.past > 0 else "before"
    return f"{off} {side} the middle of {what} {mark.nearest}"


def cut_name(cut: Cut) -> str:
    """What a strip has at its pitch: slits or teeth."""
    return "slit" if isinstance(cut, Slits) else "tooth"
