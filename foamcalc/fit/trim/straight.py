"""A band cut straight: whether it will lie flat, how long it must be, and how wide it may be."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.fit.limits import Check, Limit
from foamcalc.fit.trim.band import (
    Band,
    Tight,
    checked_limits,
    nearest_limit,
    straight_checks,
    tights,
)
from foamcalc.fit.trim.ends import BUTT, Joining, easiest_place
from foamcalc.fit.trim.parts import Part, parts_of
from foamcalc.fit.trim.strips import (
    CutStrip,
    Ends,
    Laid,
    Upto,
    cut_strips,
    marks_table,
    strips_table,
)
from foamcalc.shape.plane import Extreme

_NARROWEST = 0.02
"""Narrowest band that is tried [mm]."""
_WIDEST = 1e5
"""Width that counts as any width [mm]."""


class Widest(NamedTuple):
    """The widest band that still lies flat when it is cut straight, and what decides."""

    width: float
    """Width [mm]; infinite where the edge is straight."""
    what: str
    """The check that it just meets; "room" where a wider one would fold or not fit in."""
    tight: Tight | None
    """The place that decides."""


@dataclass(frozen=True, kw_only=True)
class StraightBand:
    """A band cut as a straight strip, or one strip for each part between corners."""

    band: Band
    limits: Mapping[str, Limit]
    strips: tuple[CutStrip, ...]
    """In order along the edge; none where the foam would fold."""
    findings: tuple[tuple[Tight, Check], ...]
    """What it suffers at the places that decide, each against its limit."""

    @property
    def checks(self) -> tuple[Check, ...]:
        """The checks alone."""
        return tuple(check for _, check in self.findings)

    @property
    def met(self) -> bool:
        """Whether every limit is kept, so that it goes straight."""
        return all(check.met for check in self.checks)

    @property
    def deciding(self) -> tuple[Tight, Check] | None:
        """The finding nearest to its limit, or farthest past it; None on a straight edge."""
        _, worst = nearest_limit(self.findings)
        return None if worst < 0 else self.findings[worst]

    @property
    def stretch(self) -> float:
        """Most stretch of an edge [1]; infinite where the foam folds."""
        return _most(self.band, "stretch")

    @property
    def squeeze(self) -> float:
        """Most squeeze of an edge [1]; infinite where the foam folds."""
        return _most(self.band, "squeeze")

    @property
    def force(self) -> float:
        """Most pull while gluing [N]."""
        return max((t.force for t in self.band.tight), default=0.0)

    @property
    def cut_length(self) -> float:
        """Length of all strips as cut, additions counted [mm]; NaN where the foam would fold."""
        return sum(s.cut_length for s in self.strips) if self.strips else float("nan")

    @cached_property
    def widest(self) -> Widest:
        """The widest band that still goes straight on this side, with this pull."""
        return widest_straight(self.band, self.limits)

    def table(self) -> Any:
        """The strips side by side (pandas, units in the column heads)."""
        return strips_table(self.strips)

    def marks_table(self) -> Any:
        """Where every mark meets its strip (pandas)."""
        return marks_table(self.strips)


def _most(band: Band, what: str) -> float:
    values = [getattr(t, what) for t in band.tight if np.isfinite([t.inner, t.outer]).all()]
    return max(values, default=0.0) if len(values) == len(band.tight) else float("inf")


def straight_band(
    band: Band,
    *,
    limits: Mapping[str, Limit] | None = None,
    ends: Ends | None = None,
    joining: Joining = BUTT,
    marks: ArrayLike = (),
) -> StraightBand:
    """Cut a band as a straight strip.

    Parameters
    ----------
    band : Band
        The band.
    limits : mapping, optional
        As from `band_limits`, some of them changed.
    ends : pair of StripEnd, optional
        What is done at the two open ends; flush when left out. A closed edge has none.
    joining : Joining
        Kind of join and longest strip.
    marks : array_like
        Places of marks along the edge [mm], in rising order.

    Returns
    -------
    StraightBand
        Whether or not it meets its limits.

    Raises
    ------
    ValueError
        For ends on a closed edge, marks out of order, or a strip that is used up by its mitres.

    Notes
    -----
    Length as cut: the sum of ``ds/(1 + strain on the line)`` along the edge, so that every stretch
    of the edge gets the strip that it takes. At a corner of turn a the strips are mitred at
    ``a/2``: an edge at the offset d is longer by ``d tan(a/2)`` there.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = Piece(thickness=5, width=20, law=foam("EVA medium"))
    >>> found = straight_band(Band(curve=Arc(250, 2.0), strip=strip))
    >>> print(f"{found.cut_length:.0f} mm of edge 500 mm, goes straight: {found.met}")
    481 mm of edge 500 mm, goes straight: True
    """
    known = checked_limits(band.strip, limits)
    findings = straight_checks(band, known)
    folds = not np.isfinite([x for t in band.tight for x in (t.inner, t.outer)]).all()

    def as_cut(part: Part) -> Upto:
        return lambda places: part.upto(band.length_per_edge, places)

    strips = () if folds else band_strips(band, as_cut, ends=ends, joining=joining, marks=marks)
    return StraightBand(band=band, limits=known, strips=strips, findings=findings)


def band_strips(
    band: Band,
    upto: Callable[[Part], Upto],
    *,
    ends: Ends | None,
    joining: Joining,
    marks: ArrayLike,
) -> tuple[CutStrip, ...]:
    """The strips of a band, one or more for each part of its edge between corners."""
    parts = parts_of(band.curve)
    if parts[0].ring:
        begin = easiest_place(band.curve, band.strip, joining)
        parts = (Part(band.curve, begin, begin + band.curve.length),)
    laid = [
        Laid(
            start=part.start,
            end=part.end,
            upto=upto(part),
            mitres=(part.before / 2, part.after / 2),
            offsets=band.offsets,
            ring=part.ring,
        )
        for part in parts
    ]
    return cut_strips(band.curve, band.strip, laid, ends=ends, joining=joining, marks=marks)


def widest_straight(band: Band, limits: Mapping[str, Limit] | None = None) -> Widest:
    """The widest band that still lies flat when it is cut straight.

    Parameters
    ----------
    band : Band
        The band; its width is only where the search begins.
    limits : mapping, optional
        As from `band_limits`, some of them changed.

    Returns
    -------
    Widest
        Width 0 where even a thread would not do, infinite where any width would.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = Piece(thickness=5, width=20, law=foam("EVA medium"))
    >>> found = widest_straight(Band(curve=Arc(250, 2.0), strip=strip))
    >>> print(f"{found.width:.1f} mm: {found.what}")
    27.3 mm: squeeze before it puckers
    """
    from scipy.optimize import brentq

    known = checked_limits(band.strip, limits)

    def nearest(width: float) -> tuple[float, str, Tight | None]:
        """How near to its limit the worst check is [1]; more than 1 is past it."""
        try:
            tried = band.with_width(width)
        except ValueError:
            return 2.0, "room", None
        found = straight_checks(tried, known)
        ratio, i = nearest_limit(found)
        return (ratio, "room", None) if i < 0 else (ratio, found[i][1].what, found[i][0])

    wide = band.width
    while nearest(wide)[0] <= 1:
        wide *= 2
        if wide > _WIDEST:
            return Widest(float("inf"), "room", None)
    while nearest(wide / 2)[0] > 1:
        wide /= 2
        if wide < _NARROWEST:
            return Widest(0.0, *nearest(wide)[1:])
    width = float(brentq(lambda w: nearest(w)[0] - 1, wide / 2, wide, rtol=1e-10))
    for inner in (width, width * (1 - 1e-9)):
        ratio, what, tight = nearest(inner)
        if ratio <= 1 + 1e-6:
            return Widest(width, what if ratio > 1 - 1e-3 else "room", tight)
    return Widest(width, "room", None)


def straight_bends(band: Band, limits: Mapping[str, Limit] | None = None) -> tuple[float, float]:
    """Tightest hollow and tightest convex curvature on which a band goes straight [1/mm]."""
    from scipy.optimize import brentq

    known = checked_limits(band.strip, limits)
    found = []
    for sign in (-1.0, 1.0):

        def past(share: float, sign: float = sign) -> float:
            places = tights(band, [Extreme(sign * share / band.width, 0.0)])
            return min(nearest_limit(straight_checks(band, known, places))[0], 2.0) - 1

        share = 1e-6
        if past(share) >= 0:
            found.append(0.0)
            continue
        while past(2 * share) < 0:
            share *= 2
        found.append(sign * float(brentq(past, share, 2 * share, xtol=1e-12)) / band.width)
    return found[0], found[1]
