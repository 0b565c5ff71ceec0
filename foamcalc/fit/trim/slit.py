"""Slit strips: a rim strip slit part-way through at a pitch, so that it bends round an edge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.detail import tear_limit
from foamcalc.fit.limits import Limit, with_own
from foamcalc.fit.trim.at_pitch import PitchCut, PitchStrip
from foamcalc.fit.trim.pitched import PitchMark, lay_out, marks_table
from foamcalc.fit.trim.strips import Ends
from foamcalc.fit.trim.web import Web
from foamcalc.guards import non_negative, single
from foamcalc.shape.plane import Curve

Floats = NDArray[np.float64]

__all__ = ["SlitStrip", "Slits", "cut_slits", "slit_limits"]


@dataclass(frozen=True, kw_only=True)
class SlitStrip(PitchStrip):
    """A strip that is slit from one face, part-way through.

    Parameters
    ----------
    piece : Piece
        The strip before it is slit: thickness, foam, width as it stands.
    depth : float
        Depth of the slits [mm], 0.4 to 0.8 of the thickness.
    face : {"outside", "inside"}
        The face they are cut in: the one away from the edge, or the glued one.
    kerf : float
        Width of a slit [mm]: 0 for a knife. Only slits with a width can close.
    root_radius : float
        Radius of their roots [mm]. Assumed where nothing is known; with a hole punched at the
        root, half its diameter.
    """

    kerf: float = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        object.__setattr__(self, "kerf", single(non_negative(self.kerf, "kerf"), "kerf"))

    def web(self, pitch: float) -> Web:
        """One pitch of it; ValueError for slits that are too deep or too wide."""
        return self.web_of(pitch=pitch, gap=self.kerf)


@dataclass(frozen=True, kw_only=True)
class Slits(PitchCut):
    """A slit strip as it is cut, and what its slits do on the edge.

    The arrays have one entry a slit.
    """

    strip: SlitStrip

    @property
    def pitch(self) -> float:
        """From slit to slit, adjusted to the length [mm]."""
        return self.pitched.web.pitch

    @property
    def number(self) -> int:
        """How many slits."""
        return self.pitched.number

    @property
    def along(self) -> Floats:
        """Where the slits lie, from the first pitch on [mm]: half a pitch from either end."""
        return np.asarray((np.arange(self.number) + 0.5) * self.pitch)

    @property
    def between(self) -> Floats:
        """Middles of the slits, as `along` [mm]; each has a piece on either side."""
        return self.along

    @property
    def mouths(self) -> Floats:
        """Width of each slit at its mouth once the strip is on its edge [mm]."""
        return self.tips

    def marks(self) -> tuple[PitchMark, ...]:
        """Where the marks of the edge come on the strip, each with the nearest slit."""
        return self.pitched.marks(self.along)

    def table(self) -> Any:
        """The slits one by one (pandas, units in the column heads).

        ``along the strip`` is measured from the first end of the strip they are on.
        """
        import pandas as pd

        strips, along = self.pitched.on_strips(self.along)
        return pd.DataFrame(
            {
                "strip": strips,
                "along the strip [mm]": along,
                "along the edge [mm]": self.pitched.on_edge(self.along) % self.pitched.curve.length,
                "mouth [mm]": self.mouths,
                "strain at the root [%]": 100 * self.root_strains,
            },
            index=pd.RangeIndex(1, self.number + 1, name="slit"),
        )

    def marks_table(self) -> Any:
        """The marks of the edge on the strip (pandas, units in the column heads)."""
        return marks_table(self.marks(), "slit")


def slit_limits(changed: Mapping[str, Limit] | None = None) -> dict[str, Limit]:
    """The limits that go with a slit or toothed strip: ``tear``, for the roots of the cuts."""
    return with_own({"tear": tear_limit()}, changed)


def cut_slits(
    curve: Curve,
    strip: SlitStrip,
    *,
    pitch: float | None = None,
    number: int | None = None,
    even: bool = False,
    start: float | None = None,
    longest: float = inf,
    ends: Ends | None = None,
    marks: ArrayLike = (),
    limits: Mapping[str, Limit] | None = None,
) -> Slits:
    """Slit a strip so that it goes round an edge with a whole number of pitches.

    Parameters
    ----------
    curve : Curve
        The edge the strip stands on, positive turn where it is convex, without corners. Radii
        from 2 thicknesses up, in hollows from 3.
    strip : SlitStrip
        The strip.
    pitch : float, optional
        From slit to slit [mm], as wanted; it is adjusted to a whole number on the length.
    number : int, optional
        How many slits; either this or `pitch`.
    even : bool
        Whether their number must be even.
    start : float, optional
        Place of the join on a closed edge [mm]; where it turns least when left out.
    longest : float
        Longest strip that can be cut [mm]. More than one are parted halfway between two slits.
    ends : pair of StripEnd, optional
        What is added at the open ends of an edge, without slits.
    marks : array_like
        Places of marks along the edge [mm], in rising order.
    limits : mapping, optional
        As from `slit_limits`, changed.

    Returns
    -------
    Slits

    Raises
    ------
    ValueError
        For slits as deep as the strip or of a pitch longer than it, for an odd number where an
        even one is needed, for slits that close by more than their width, and where the edge or
        the slits are outside what is known (see `Web`).

    Notes
    -----
    Length to cut: ``theta (R + k web)`` to first order; k and what comes on top are in `Web`.
    Begins and ends with half a pitch, so that on a ring the pitch goes on over the join. The length
    follows the edge's own curvature place by place; a slit opens by the mean of it over its pitch.

    Examples
    --------
    A knee cup's disc of 90 mm radius (invented), 10 mm foam slit 7 mm deep:

    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = SlitStrip(piece=Piece(thickness=10, width=20, law=foam("EVA medium")), depth=7)
    >>> rim = cut_slits(Arc(90, 2 * np.pi, closed=True), strip, pitch=10)
    >>> print(f"{rim.length:.1f} mm, {rim.number} slits every {rim.pitch:.2f} mm")
    578.2 mm, 58 slits every 9.97 mm
    >>> print(f"each opens to {rim.mouths[0]:.2f} mm")
    each opens to 0.86 mm
    """
    pitched = lay_out(
        curve,
        strip.piece,
        strip.web,
        pitch=pitch,
        number=number,
        step=2 if even else 1,
        start=start,
        longest=longest,
        ends=ends,
        marks=marks,
    )
    found = Slits(strip=strip, pitched=pitched, limits=slit_limits(limits))
    found.check_room("slit", f"slit the {strip.other_face} instead")
    return found
