"""How sharply two sheets meet at a seam, once the seam's line in space is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import finite, positive
from foamcalc.shape.plane import Curve, Floats
from foamcalc.shape.solid import LONGEST_OVER_SHORTEST, CurvedSeam
from foamcalc.shape.space import SpaceCurve

_ROUNDING = 1e-9
"""Share by which an edge may be more curved than its seam, for rounding only."""


@dataclass(frozen=True)
class Fold:
    """How two sheets stand at a seam; of the shape of the curvatures.

    Look along the seam. It bends to one side; each sheet stands off that direction by its own
    angle, to one hand or the other. So there are two ways to fold, each with its mirror image:
    the direction in which the seam bends lies between the sheets, or beside both of them.
    """

    tilt_a: Floats
    """Angle of sheet a off the direction in which the seam bends [rad], 0 to half a turn."""
    tilt_b: Floats
    """The same for sheet b [rad]."""

    @property
    def apart(self) -> Floats:
        """Angle between the sheets on the side to which the seam bends [rad], to a full turn.

        For sheets on both hands. Half a turn: they run on smoothly; less: a ridge, as on a dome;
        more: a valley.
        """
        return np.asarray(self.tilt_a + self.tilt_b)

    @property
    def together(self) -> Floats:
        """Angle between the sheets where both stand on one hand [rad], 0 to half a turn.

        0: they lie on each other.
        """
        return np.asarray(np.abs(self.tilt_a - self.tilt_b))

    @property
    def one_way(self) -> NDArray[np.bool_]:
        """Where there is one way to fold only: a sheet lies in the plane in which the seam bends.

        Then `apart` and `together` are mirror images.
        """
        least = np.minimum(np.abs(np.sin(self.tilt_a)), np.abs(np.sin(self.tilt_b)))
        return np.asarray(least < 1e-4)

    def table(self) -> Any:
        """One row a place (pandas, units in the column heads)."""
        import pandas as pd

        return pd.DataFrame(
            {
                "tilt of a [deg]": np.degrees(np.atleast_1d(self.tilt_a)),
                "tilt of b [deg]": np.degrees(np.atleast_1d(self.tilt_b)),
                "sheets apart [deg]": np.degrees(np.atleast_1d(self.apart)),
                "sheets together [deg]": np.degrees(np.atleast_1d(self.together)),
            }
        )


def fold(*, a: ArrayLike, b: ArrayLike, seam: ArrayLike) -> Fold:
    """The angles at which two sheets can meet along a seam of known curvature in space.

    Parameters
    ----------
    a, b : array_like
        Curvature of each flat edge [1/mm], above 0 where its outside, away from the sheet, is
        convex.
    seam : array_like
        Curvature of the seam's line in space [1/mm], above 0; ``1/R`` on a circle of radius R.

    Returns
    -------
    Fold

    Raises
    ------
    ValueError
        For a seam that is less curved than one of its edges; for a straight seam, which folds to
        any angle; for values that are not finite, as at a corner.

    Notes
    -----
    ``cos(tilt) = edge curvature / seam curvature``. A sheet that only rolls keeps the curvature
    of its edge as the part of the seam's curvature that lies in the sheet, so that the seam is
    curved at least as much as either edge. Where the two are nearly alike the tilt is small and
    hard to know: 1 % in the curvature is then 8 deg. Thickness is not counted.

    Examples
    --------
    A cone, 30 deg between its side and its axis, on a straight tube of radius 40:

    >>> cone = 40 / np.sin(np.radians(30))
    >>> roof = fold(a=1 / cone, b=0, seam=1 / 40)
    >>> print(f"{np.degrees(roof.apart):.0f} or {np.degrees(roof.together):.0f} deg")
    150 or 30 deg
    """
    line = positive(_not_straight(seam), "seam", "1/mm")
    edges = finite(a, "a", "1/mm"), finite(b, "b", "1/mm")
    try:
        line, *both = np.broadcast_arrays(line, *edges)
    except ValueError:
        shapes = f"{edges[0].shape}, {edges[1].shape} and {line.shape}"
        raise ValueError(f"a, b and seam do not go together: shapes {shapes}") from None
    for edge, name in zip(both, "ab", strict=True):
        over = np.abs(edge) > line * (1 + _ROUNDING)
        if over.any():
            i = tuple(np.argwhere(over)[0].tolist())
            raise ValueError(
                f"no such fold: edge {name} has a curvature of {edge[i]:.5g} 1/mm and its seam "
                f"only {line[i]:.5g}{f' at index {i}' if i else ''}; sheet that is not stretched "
                "can bend more than its edge, not less: cut a straighter edge, or lay the seam on "
                "a tighter line"
            )
    tilt_a, tilt_b = (np.arccos(np.clip(edge / line, -1.0, 1.0)) for edge in both)
    return Fold(np.asarray(tilt_a), np.asarray(tilt_b))


def _not_straight(seam: ArrayLike) -> ArrayLike:
    """The curvature of a seam; ValueError where it is 0."""
    if (finite(seam, "seam", "1/mm") == 0).any():
        raise ValueError(
            "seam must be curved: a straight seam between straight edges folds to any angle, "
            "and its edges do not say which"
        )
    return seam


def seam_fold(seam: CurvedSeam, line: SpaceCurve | Curve, place: ArrayLike) -> Fold:
    """How two sheets meet at places along a seam that lies on a given line.

    Parameters
    ----------
    seam : CurvedSeam
        The two flat edges.
    line : SpaceCurve or Curve
        Where the seam lies, from the start of edge a on: in space, or a curve in a plane, as
        an `Arc` for a round seam.
    place : array_like
        Lengths along the seam [mm].

    Returns
    -------
    Fold
        Of the shape of `place`.

    Raises
    ------
    ValueError
        As `fold`; at a corner; for a line over 20 % longer or shorter than the seam.

    Notes
    -----
    Line and seam are matched in proportion to their lengths.

    Examples
    --------
    A can of radius 50: lid and wall meet at a right angle.

    >>> from foamcalc.shape.curve import Arc, TurnedLength
    >>> lid = Arc(radius=50, turn=2 * np.pi, closed=True)
    >>> seam = CurvedSeam(lid, TurnedLength(lid.length, 0))
    >>> print(np.degrees(seam_fold(seam, lid, [0, 100]).apart))
    [90. 90.]
    """
    shorter, longer = sorted((seam.length, line.length))
    if longer > LONGEST_OVER_SHORTEST * shorter:
        raise ValueError(
            f"line must be as long as the seam within 20 %, got a line of {line.length:.4g} mm for "
            f"a seam of {seam.length:.4g}; check which line belongs to it"
        )
    s = finite(place, "place")
    a, b = seam.edge_curvatures(s)
    on_line = np.abs(line.curvature(s * (line.length / seam.length)))
    corner = ~(np.isfinite(a) & np.isfinite(b) & np.isfinite(on_line))
    if corner.any():
        raise ValueError(
            f"there is no fold angle at a corner: {float(s[corner][0]):.1f} mm along the seam; "
            "ask beside it"
        )
    return fold(a=a, b=b, seam=on_line)


def ruling(
    *, tilt: ArrayLike, tilt_rate: ArrayLike, seam: ArrayLike, torsion: ArrayLike = 0.0
) -> Floats:
    """Direction of the straight lines about which a sheet is rolled, where they meet its edge.

    Parameters
    ----------
    tilt : array_like
        Angle of the sheet off the direction in which the seam bends [rad]; above 0 clockwise,
        looking ahead along the seam.
    tilt_rate : array_like
        How fast the tilt grows along the seam [rad/mm].
    seam : array_like
        Curvature of the seam's line in space [1/mm], above 0.
    torsion : array_like
        Its torsion [1/mm], above 0 for a right-handed screw; 0 in a plane.

    Returns
    -------
    ndarray
        Angle from the way ahead to the line, into the sheet [rad], 0 to half a turn.

    Raises
    ------
    ValueError
        Where the tilt is 0 or half a turn: the sheet lies in the plane in which the seam bends and
        is not rolled by it.

    Notes
    -----
    ``cot(angle) = (tilt rate + torsion) / (seam sin(tilt))``: along such a line the face of a
    rolled sheet points one way.

    Examples
    --------
    A tube is rolled about lines square to its round rim:

    >>> print(np.degrees(ruling(tilt=np.pi / 2, tilt_rate=0, seam=1 / 40)))
    90.0
    """
    angle, rate = finite(tilt, "tilt", "rad"), finite(tilt_rate, "tilt_rate", "1/mm")
    line, twist = positive(seam, "seam", "1/mm"), finite(torsion, "torsion", "1/mm")
    if (np.abs(np.sin(angle)) < 1e-9).any():
        raise ValueError(
            "tilt must not be 0 or half a turn: such a sheet lies in the plane in which the seam "
            "bends, and the seam does not say how it is rolled"
        )
    across = line * np.sin(angle)
    return np.asarray(np.arctan2(1.0, (rate + twist) / across))
