"""Which way to make a band: straight, straight and pulled, cut to shape, or in straight pieces."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil
from typing import Any, NamedTuple

from numpy.typing import ArrayLike

from foamcalc.fit.limits import Limit
from foamcalc.fit.trim.band import PUCKER, Band, checked_limits, straight_checks
from foamcalc.fit.trim.ends import BUTT, Joining
from foamcalc.fit.trim.mitred import MitredBand, mitred_band
from foamcalc.fit.trim.straight import StraightBand, straight_band
from foamcalc.fit.trim.strips import CutStrip, Ends
from foamcalc.fit.trim.to_shape import ShapedBand, cut_to_shape

BAND_CHOICES = ("straight", "straight, pulled", "cut to shape", "straight pieces")
_FINEST = 0.01
"""Steps in which a pull is given [1]."""


class BandWay(NamedTuple):
    """One way to make a band, to hold beside the others."""

    name: str
    """One of `BAND_CHOICES`."""
    met: bool
    """Whether every limit is kept."""
    pieces: int
    strip_length: float
    """Length of straight strip it takes [mm]; of a band cut to shape, along its line."""
    waste: float
    """Sheet left over [mm2]; a straight strip comes off the edge of the sheet."""
    stretch: float
    """Most stretch of an edge [1]."""
    squeeze: float
    """Most squeeze of an edge [1]."""


@dataclass(frozen=True, kw_only=True)
class BandChoice:
    """What to do with a band, and why."""

    band: Band
    """As it was asked for."""
    limits: Mapping[str, Limit]
    choice: str
    """One of `BAND_CHOICES`: the first that meets every limit."""
    straight: StraightBand
    pulled: StraightBand | None
    """With the least pull at which it does not pucker; None where that is not what it lacks."""
    shaped: ShapedBand
    mitred: MitredBand
    joining: Joining = BUTT
    """How lengths are joined."""

    @property
    def chosen(self) -> StraightBand | ShapedBand:
        """The way that was chosen."""
        if self.choice == "straight, pulled" and self.pulled is not None:
            return self.pulled
        return self.straight if self.choice == "straight" else self.shaped

    @property
    def strips(self) -> tuple[CutStrip, ...]:
        """The strips of the way that was chosen."""
        return self.chosen.strips

    @property
    def joins(self) -> int:
        """How many joins there are between strips; mitres at corners are none."""
        closed = self.band.curve.closed
        return len(self.strips) - len(self.band.curve.corners) - (0 if closed else 1)

    @property
    def ways(self) -> tuple[BandWay, ...]:
        """All ways side by side, in the order in which they are tried."""
        found = [_straight_way("straight", self.straight)]
        if self.pulled is not None:
            found.append(_straight_way("straight, pulled", self.pulled))
        along = sum(p.strip.cut_length for p in self.shaped.pieces)
        count, waste = len(self.shaped.pieces), self.shaped.waste
        found.append(BandWay("cut to shape", True, count, along, waste, 0.0, 0.0))
        m = self.mitred
        found.append(
            BandWay("straight pieces", True, m.count, m.blank_length, m.waste, m.stretch, m.squeeze)
        )
        return tuple(found)

    def table(self) -> Any:
        """The ways side by side (pandas, units in the column heads)."""
        import pandas as pd

        return pd.DataFrame(
            {
                "way": [w.name for w in self.ways],
                "limits kept": [w.met for w in self.ways],
                "pieces": [w.pieces for w in self.ways],
                "strip [mm]": [w.strip_length for w in self.ways],
                "left over [cm2]": [w.waste / 100 for w in self.ways],
                "stretch [%]": [100 * w.stretch for w in self.ways],
                "squeeze [%]": [100 * w.squeeze for w in self.ways],
            }
        )


def choose_band(
    band: Band,
    *,
    limits: Mapping[str, Limit] | None = None,
    ends: Ends | None = None,
    joining: Joining = BUTT,
    press: bool = False,
    marks: ArrayLike = (),
) -> BandChoice:
    """The first way to make a band that meets every limit, and the others beside it.

    Parameters
    ----------
    band : Band
        The band; a pull of 0 leaves it open whether it is pulled.
    limits : mapping, optional
        As from `band_limits`, some of them changed.
    ends : pair of StripEnd, optional
        What is done at the two open ends; flush when left out.
    joining : Joining
        Kind of join and longest strip.
    press : bool
        Whether straight pieces are bent as they are glued.
    marks : array_like
        Places of marks along the edge [mm], in rising order.

    Returns
    -------
    BandChoice

    Notes
    -----
    Straight is the least work and wastes nothing, so it comes first; then straight with the
    least pull, in hundredths, that keeps the shorter edge from puckering; then cut to shape, which
    never strains. Straight pieces are shown for who has no sheet wide enough.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = Piece(thickness=5, width=20, law=foam("EVA medium"))
    >>> for radius in (250, 100):
    ...     print(choose_band(Band(curve=Arc(radius, 2.0), strip=strip)).choice)
    straight
    cut to shape
    """
    known = checked_limits(band.strip, limits)
    straight = straight_band(band, limits=known, ends=ends, joining=joining, marks=marks)
    pulled = None
    puckers = {check.what for check in straight.checks if not check.met} == {PUCKER}
    if puckers and band.pull == 0:
        eased = replace(band, pull=least_pull(band, known))
        pulled = straight_band(eased, limits=known, ends=ends, joining=joining, marks=marks)
    if straight.met:
        choice = "straight"
    else:
        choice = "straight, pulled" if pulled is not None and pulled.met else "cut to shape"
    return BandChoice(
        band=band,
        limits=known,
        choice=choice,
        straight=straight,
        pulled=pulled,
        shaped=cut_to_shape(band, ends=ends, joining=joining, marks=marks),
        mitred=mitred_band(band, limits=known, ends=ends, press=press, marks=marks),
        joining=joining,
    )


def least_pull(band: Band, limits: Mapping[str, Limit] | None = None) -> float:
    """The least pull at which a straight band does not pucker, in hundredths [1]."""
    from scipy.optimize import brentq

    known = checked_limits(band.strip, limits)

    def past(pull: float) -> float:
        found = straight_checks(replace(band, pull=pull), known)
        return max((c.found / c.limit.value for _, c in found if c.what == PUCKER), default=0) - 1

    if past(0.0) <= 0:
        return 0.0
    return ceil(float(brentq(past, 0.0, 1.0, xtol=1e-9)) / _FINEST - 1e-6) * _FINEST


def _straight_way(name: str, found: StraightBand) -> BandWay:
    return BandWay(
        name,
        found.met,
        len(found.strips),
        found.cut_length,
        0.0,
        found.stretch,
        found.squeeze,
    )
