"""What a curved seam does to the flat sheet: it bends the shell both ways at once.

Flat sheet rolls, it does not dome. A shell gets its dome where edges are glued: two edges that
bulge to meet each other leave a ridge that is curved both ways. How much, is an angle: the turning
of the two edges together (Gauss curvature, gathered along the seam). Where seams meet, the angle
that is missing from a full turn counts in the same way.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import finite
from foamcalc.shape.plane import Curve, Floats, checked_place

LONGEST_OVER_SHORTEST = 1.2
"""How much longer one edge of a seam may be than the other."""
_STEP = 1e-7
"""Share of a seam over which a bend is looked at where two corners meet."""


def check_lengths(a: float, b: float, where: str) -> None:
    """Raise ValueError for two edges that are too unlike in length to be glued [mm]."""
    if max(a, b) > LONGEST_OVER_SHORTEST * min(a, b):
        raise ValueError(
            f"the two edges of a seam must agree in length within 20 %, but {where} they are "
            f"{a:.4g} and {b:.4g} mm long; check the marks and which edges belong together"
        )


@dataclass(frozen=True)
class SeamCheck:
    """What a seam gives between its marks, against what a shape wants; one entry an interval."""

    start: Floats
    """Where each interval begins, as a length along the seam [mm]."""
    end: Floats
    """Where it ends [mm]."""
    given: Floats
    """Gauss curvature that the edges give there [rad]."""
    wanted: Floats
    """Gauss curvature that the shape has there [rad]."""

    @property
    def difference(self) -> Floats:
        """Given less wanted [rad]: above 0 the seam domes more than the shape."""
        return np.asarray(self.given - self.wanted)

    def table(self) -> Any:
        """One row an interval (pandas, units in the column heads)."""
        import pandas as pd

        return pd.DataFrame(
            {
                "from [mm]": self.start,
                "to [mm]": self.end,
                "given [deg]": np.degrees(self.given),
                "wanted [deg]": np.degrees(self.wanted),
                "difference [deg]": np.degrees(self.difference),
            }
        )


@dataclass(frozen=True)
class CurvedSeam:
    """Two flat edges that are glued edge to edge, matched from mark to mark.

    Parameters
    ----------
    a, b : Curve
        The edges as cut. Their outside is the side away from the sheet: the edge of a round
        disc is convex, that of a round hole is hollow.
    marks_a, marks_b : array_like, shape (n,)
        Places of the marks between the ends of each edge [mm], rising along that edge. The ends
        themselves are matched without a mark.
    opposite : bool
        Whether the edges run against each other: so they do where each is drawn with its sheet
        on the same hand. The first mark of `a` then meets the last of `b`.

    Raises
    ------
    ValueError
        For marks that are not in order or not as many on both edges; for an interval that is
        over 20 % longer on one edge than on the other.

    Notes
    -----
    A place on the seam is a length from the start of `a`, measured on the mean of the two edges.
    Between marks the edges are matched in proportion. The curvature of the seam is
    ``(k_a l_a + k_b l_b) / l``: k the curvature of each edge, l_a, l_b and l the lengths of the
    interval on each edge and on the seam. Equal and opposite edges give 0: the sheet stays flat
    enough to roll.

    The edges are taken as cut. An edge that is stretched more here and less there turns a little
    by that, which is not counted.

    Examples
    --------
    The lid of a can of radius 50: a disc on a straight wall.

    >>> from foamcalc.shape.curve import Arc, TurnedLength
    >>> lid = Arc(radius=50, turn=2 * np.pi, closed=True)
    >>> seam = CurvedSeam(lid, TurnedLength(100 * np.pi, 0))
    >>> print(f"{seam.curvature(10.0):.4f} 1/mm, {np.degrees(seam.turn):.0f} deg in all")
    0.0200 1/mm, 360 deg in all
    """

    a: Curve
    b: Curve
    marks_a: ArrayLike = ()
    marks_b: ArrayLike = ()
    opposite: bool = True
    _knots: tuple[Floats, Floats, Floats] = field(init=False, repr=False, compare=False)
    """Ends and marks along the seam, along a, and along b in the order of the seam [mm]."""

    def __post_init__(self) -> None:
        along_a, along_b = (
            _with_ends(getattr(self, f"marks_{edge}"), getattr(self, edge), edge) for edge in "ab"
        )
        if along_a.size != along_b.size:
            raise ValueError(
                "both edges must have as many marks, got "
                f"{along_a.size - 2} on edge a and {along_b.size - 2} on edge b"
            )
        object.__setattr__(self, "marks_a", tuple(along_a[1:-1].tolist()))
        object.__setattr__(self, "marks_b", tuple(along_b[1:-1].tolist()))
        if self.opposite:
            along_b = along_b[::-1]
        lengths_a, lengths_b = np.diff(along_a), np.abs(np.diff(along_b))
        for i, (long_a, long_b) in enumerate(zip(lengths_a, lengths_b, strict=True)):
            where = "in all" if lengths_a.size == 1 else f"in interval {i + 1}"
            check_lengths(float(long_a), float(long_b), where)
        along = np.append(0.0, np.cumsum((lengths_a + lengths_b) / 2))
        object.__setattr__(self, "_knots", (along, along_a, along_b))

    @property
    def length(self) -> float:
        """Mean length of the two edges [mm]."""
        return float(self._knots[0][-1])

    @property
    def marks(self) -> Floats:
        """Ends and marks as lengths along the seam [mm]."""
        return self._knots[0].copy()

    @property
    def turn(self) -> float:
        """Gauss curvature of the whole seam [rad]."""
        return float(self.turned(self.length))

    def on_edges(self, place: ArrayLike) -> tuple[Floats, Floats]:
        """Places along the edges a and b [mm] that meet at places along the seam [mm]."""
        s = checked_place(place, self.length, "seam")
        along, along_a, along_b = self._knots
        return np.asarray(np.interp(s, along, along_a)), np.asarray(np.interp(s, along, along_b))

    def edge_curvatures(self, place: ArrayLike) -> tuple[Floats, Floats]:
        """Curvature of the edges a and b [1/mm] at places along the seam [mm]."""
        at_a, at_b = self.on_edges(place)
        return self.a.curvature(at_a), self.b.curvature(at_b)

    def curvature(self, place: ArrayLike) -> Floats:
        """Gauss curvature gathered on each mm of the seam [1/mm].

        Parameters
        ----------
        place : array_like
            Lengths along the seam [mm].

        Returns
        -------
        ndarray
            Of the shape of `place`. At a corner it is infinite, unless the corner of the other
            edge fits into it. Where the curvature of an edge jumps, it is that of one side.
        """
        s = finite(place, "place")
        k_a, k_b = self.edge_curvatures(s)
        along, along_a, along_b = self._knots
        i = np.clip(np.searchsorted(along, s, side="right") - 1, 0, along.size - 2)
        share_a, share_b = (
            (np.abs(np.diff(edge)) / np.diff(along))[i] for edge in (along_a, along_b)
        )
        with np.errstate(invalid="ignore"):
            k = k_a * share_a + k_b * share_b
        fits = np.isnan(k)  # a convex corner in a hollow one: what is left of the two
        if fits.any():
            step = _STEP * self.length
            low, high = np.clip(s - step, 0, self.length), np.clip(s + step, 0, self.length)
            left = self.turned(high) - self.turned(low)
            sharp = np.where(np.abs(left) > 1e-6, np.copysign(np.inf, left), left / (high - low))
            k = np.where(fits, sharp, k)
        return np.asarray(k)

    def turned(self, place: ArrayLike) -> Floats:
        """Gauss curvature from the start of the seam [rad] to places along it [mm].

        The difference between two places is what the seam gives between them. A corner at one
        of the places counts half.
        """
        at_a, at_b = self.on_edges(place)
        first_b = float(self._knots[2][0])
        by_a = self.a.heading(at_a) - self.a.heading(0.0)
        by_b = self.b.heading(at_b) - self.b.heading(first_b)
        return np.asarray(by_a + (-by_b if self.opposite else by_b))

    def between_marks(self) -> Floats:
        """Gauss curvature of each interval between marks, from the start of the seam on [rad]."""
        return np.diff(self.turned(self._knots[0]))

    def compared(self, wanted: ArrayLike) -> SeamCheck:
        """What the seam gives in each interval, against what a shape wants there."""
        shape = finite(wanted, "wanted", "rad")
        along = self._knots[0]
        if shape.shape != (along.size - 1,):
            raise ValueError(
                f"wanted must have one entry for each of the {along.size - 1} intervals between "
                f"marks, got shape {shape.shape}"
            )
        return SeamCheck(along[:-1].copy(), along[1:].copy(), self.between_marks(), shape)


def _with_ends(marks: ArrayLike, edge: Curve, name: str) -> Floats:
    """Both ends of an edge and the marks between them [mm]."""
    if not isinstance(edge, Curve):
        raise TypeError(f"edge {name} must be a Curve, got {type(edge).__name__}")
    inner = finite(marks, f"marks_{name}") if np.size(marks) else np.empty(0)
    places = np.concatenate([[0.0], np.atleast_1d(inner).ravel(), [edge.length]])
    if inner.ndim != 1 or not (np.diff(places) > 1e-9 * edge.length).all():
        raise ValueError(
            f"marks_{name} must be places between the ends of edge {name} (0 and "
            f"{edge.length:g} mm), in rising order, got {inner.tolist()}"
        )
    return places
