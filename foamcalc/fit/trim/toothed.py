"""Toothed strips: a rim strip cut at a pitch with every second piece removed."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from numpy.typing import ArrayLike

from foamcalc.fit.limits import Limit
from foamcalc.fit.trim.pitched import lay_out
from foamcalc.fit.trim.slit import slit_limits
from foamcalc.fit.trim.strips import Ends
from foamcalc.fit.trim.teeth import Begin, Halves, Teeth, ToothedStrip
from foamcalc.guards import one_of
from foamcalc.shape.plane import Curve

__all__ = ["Begin", "Halves", "Teeth", "ToothedStrip", "cut_teeth"]

_FEWEST = 2
"""Teeth that make a toothed strip."""


def cut_teeth(
    curve: Curve,
    strip: ToothedStrip,
    *,
    pitch: float | None = None,
    number: int | None = None,
    begin: Begin = "tooth",
    start: float | None = None,
    longest: float = inf,
    ends: Ends | None = None,
    marks: ArrayLike = (),
    limits: Mapping[str, Limit] | None = None,
) -> Teeth:
    """Cut a toothed strip so that it goes round an edge with whole periods of tooth and gap.

    Parameters
    ----------
    curve : Curve
        The edge the strip stands on, positive turn where it is convex, without corners. Radii
        from 2 thicknesses up, in hollows from 3.
    strip : ToothedStrip
        The strip.
    pitch : float, optional
        Half a period [mm], from cut to cut where every second piece is removed; it is adjusted.
    number : int, optional
        How many pitches, two to a tooth, so an even number; either this or `pitch`.
    begin : {"tooth", "half tooth"}
        With what it begins. With a whole tooth it ends with a gap; with half a tooth the join of a
        ring lies in the middle of a tooth, where there is most foam to glue.
    start, longest, ends, marks, limits
        As in `foamcalc.fit.trim.slit.cut_slits`. Strips are parted between whole periods.

    Returns
    -------
    Teeth

    Raises
    ------
    ValueError
        For an odd number of pitches, with the two nearest that do; for fewer than two teeth; for
        teeth that would meet; and as in `cut_slits`.

    Examples
    --------
    Common practice: a straight 160 mm at a pitch of 5 mm gives 16 teeth.

    >>> import math
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.shape.curve import Arc, TurnedLength
    >>> strip = ToothedStrip(piece=Piece(thickness=10, width=20, law=foam("EVA medium")), depth=7)
    >>> cut_teeth(TurnedLength(160, 0), strip, pitch=5).number
    16

    The same round a disc of 60 mm radius (invented):

    >>> ring = cut_teeth(Arc(60, 2 * math.pi, closed=True), strip, pitch=10)
    >>> print(f"{ring.length:.1f} mm, {ring.number} teeth of {ring.tooth:.2f} mm")
    388.2 mm, 19 teeth of 10.22 mm
    >>> print(f"gaps {ring.root_gaps[0]:.1f} mm at the root, {ring.tip_gaps[0]:.1f} at the tip")
    gaps 10.5 mm at the root, 12.9 at the tip
    """
    one_of(begin, "begin", ("tooth", "half tooth"))
    pitched = lay_out(
        curve,
        strip.piece,
        strip.web,
        pitch=pitch,
        number=number,
        step=2,
        least=2 * _FEWEST,
        per=2,
        start=start,
        longest=longest,
        ends=ends,
        marks=marks,
    )
    found = Teeth(strip=strip, pitched=pitched, begin=begin, limits=slit_limits(limits))
    found.check_room("gap", f"turn the teeth to the {strip.other_face}")
    return found
