"""What to do at the corners of an edge: how much a strip gains or loses, and how it is cut."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from foamcalc.fit.trim.band import Band
from foamcalc.fit.trim.binding import Binding
from foamcalc.fit.trim.rim import Rim
from foamcalc.units import System, format_length


class CornerWork(NamedTuple):
    """A corner of an edge, and what a strip does there."""

    place: float
    """Length along the edge [mm]."""
    turn: float
    """Turn of the corner [rad], positive where convex."""
    takes: float
    """What a strip that goes on round the corner needs more [mm]; below 0 where it needs less."""
    mitre: float
    """Angle at which both ends are cut from square where it is parted [rad]."""
    tip: float
    """How much longer one side of a parted end is than the other, by the mitre [mm]."""
    what: str
    """What to do."""

    @property
    def hollow(self) -> bool:
        """Whether it is a hollow corner."""
        return self.turn < 0


def small_words(mm: float, system: System = "mm") -> str:
    """A small length, to a tenth of a millimetre or a sixteenth of an inch."""
    return format_length(mm, system=system, resolution=0.1 if system == "mm" else None)


def band_corners(band: Band) -> tuple[CornerWork, ...]:
    """The corners of a band: it is always parted there.

    Parameters
    ----------
    band : Band
        The band.

    Notes
    -----
    A flat strip does not bend in its plane within no length at all. Both ends are cut at half the
    turn of the corner; the two edges of an end then differ by ``width tan(turn/2)``. On the line
    it follows nothing is gained or lost.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.law import Linear
    >>> from foamcalc.shape.polyline import Polyline
    >>> bent = Polyline([(0, 0), (0, 90), (90, 90)])
    >>> strip = Piece(thickness=5, width=20, law=Linear(1))
    >>> (corner,) = band_corners(Band(curve=bent, strip=strip))
    >>> print(f"{corner.tip:.0f} mm. {corner.what}")
    20 mm. Cut both ends at 45.0 deg from square, the outer edge longer.
    """
    found = []
    for place, turn in band.curve.corners:
        half = abs(turn) / 2
        longer = "outer" if turn > 0 else "inner"
        what = f"Cut both ends at {np.degrees(half):.1f} deg from square, the {longer} edge longer."
        tip = band.width * float(np.tan(half))
        found.append(CornerWork(place, turn, 0.0, half, tip, what))
    return tuple(found)


def rim_corners(
    rim: Rim, system: System = "mm", *, at_corners: str = "bent"
) -> tuple[CornerWork, ...]:
    """The corners of a rim: bent round or parted where convex, parted where hollow.

    Parameters
    ----------
    rim : Rim
        The rim.
    system : {"mm", "in"}
        Units to speak in.
    at_corners : {"bent", "mitred"}
        As in `cut_rim`.

    Notes
    -----
    Bent round, a convex corner of turn a takes ``d a``, d the height of the strip's fibre; a hollow
    one loses ``2 d tan(a/2)``. Mitred through the thickness t, one face of an end is longer than
    the other by ``t tan(a/2)``: the outer face at a convex corner, the inner one in a hollow.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.law import Linear
    >>> from foamcalc.shape.polyline import Polyline
    >>> step = Polyline([(0, 0), (0, 90), (90, 90), (90, 180)])
    >>> rim = Rim(curve=step, strip=Piece(thickness=6, width=30, law=Linear(1)))
    >>> for corner in rim_corners(rim):
    ...     print(f"{corner.takes:+.2f} mm, or tips of {corner.tip:.0f} mm")
    +4.71 mm, or tips of 6 mm
    -6.00 mm, or tips of 6 mm
    """
    found = []
    for place, turn in rim.curve.corners:
        half = abs(turn) / 2
        degrees = f"{np.degrees(half):.1f} deg"
        tip = rim.strip.thickness * float(np.tan(half))
        if at_corners == "mitred":
            takes, longer = 0.0, "outer" if turn > 0 else "inner"
            what = f"Bevel both ends at {degrees} through the thickness, the {longer} face longer."
        elif turn > 0:
            takes = rim.offset * turn
            what = (
                f"Bend it round, which takes {small_words(takes, system)} (counted), or part it "
                f"there and bevel both ends at {degrees}, the outer face longer."
            )
        else:
            takes = -2 * rim.offset * float(np.tan(half))
            what = (
                f"Part it there and bevel both ends at {degrees}, the inner face longer; pressed "
                f"in whole it needs {small_words(-takes, system)} less (counted) and wants to "
                "spring out."
            )
        found.append(CornerWork(place, turn, takes, half, tip, what))
    return tuple(found)


def binding_corners(binding: Binding, system: System = "mm") -> tuple[CornerWork, ...]:
    """The corners of a binding: its legs are notched where convex, slit where hollow.

    Parameters
    ----------
    binding : Binding
        The binding.
    system : {"mm", "in"}
        Units to speak in.

    Notes
    -----
    A leg of width a has ``2 a tan(turn/2)`` too much at a convex corner: a wedge with its point on
    the fold, or a mitred fold. At a hollow corner it lacks as much, and gapes there.
    """
    found = []
    for work in rim_corners(binding.rim, system):
        wide = 2 * max(binding.legs) * float(np.tan(work.mitre))
        size = small_words(wide, system)
        degrees = np.degrees(2 * work.mitre)
        if work.hollow:
            what = (
                f"Slit both legs up to the fold; they gape by {size} at their free edge: "
                "glue in an offcut, or lay the next strip over it."
            )
        else:
            what = (
                f"Cut a wedge of {degrees:.0f} deg out of both legs, its point on the fold, "
                f"{size} wide at the free edge; fold and join edge to edge."
            )
        found.append(work._replace(tip=wide / 2, what=what))
    return tuple(found)


def corners_table(corners: Sequence[CornerWork]) -> Any:
    """The corners side by side (pandas, units in the column heads)."""
    import pandas as pd

    return pd.DataFrame(
        {
            "at [mm]": [c.place for c in corners],
            "turn [deg]": [np.degrees(c.turn) for c in corners],
            "takes [mm]": [c.takes for c in corners],
            "mitre [deg]": [np.degrees(c.mitre) for c in corners],
            "tip [mm]": [c.tip for c in corners],
            "what to do": [c.what for c in corners],
        }
    )
