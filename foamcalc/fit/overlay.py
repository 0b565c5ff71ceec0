"""One layer glued over another on a bend: the gap, the stretch, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.stack import Piece
from foamcalc.guards import non_negative, one_of, positive
from foamcalc.shape.curve import Arc, Curve, TurnedLength

Floats = NDArray[np.float64]
Face = Literal["inside", "outside"]

_SPANS = 60
"""Short arcs that stand for an unevenly curved section."""
_SHALLOWEST, _DEEPEST = np.radians(20.0), 2 * np.pi
"""Turns between which two tape readings alone are believed."""


@dataclass(frozen=True, kw_only=True)
class Overlay:
    """An overlay that goes over a curved base.

    Make one with `from_tape`, `from_turn` or `from_curve`, the three ways in.

    Parameters
    ----------
    base, overlay : Piece
        The layer underneath and the layer glued over it.
    curve : Curve
        The curve of one face of the base.
    face : {"inside", "outside"}
        Which face of the base `curve` is.
    cut_length : float
        Length of the overlay as cut, lying flat [mm].
    bead : float
        Thickness of the glue [mm]; it lifts the overlay.
    turn_from : str
        How the turn is known, for the reader.

    Raises
    ------
    ValueError
        For lengths that are not above 0 or a layer that would fold over itself.

    Examples
    --------
    A scute 5 mm thick over a shell 10 mm thick; the scute was cut as long as the shell:

    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> eva = foam("EVA medium")
    >>> joint = Overlay.from_curve(Arc(50, np.pi), face="inside",
    ...     base=Piece(thickness=10, law=eva, formed=1), overlay=Piece(thickness=5, law=eva))
    >>> print(f"gap {joint.gap:.2f} mm, stretch {joint.strain:.1%}")
    gap 23.56 mm, stretch 13.6%
    """

    base: Piece
    overlay: Piece
    curve: Curve
    cut_length: float
    face: Face = "outside"
    bead: float = 0.0
    turn_from: str = "given"

    def __post_init__(self) -> None:
        object.__setattr__(self, "cut_length", float(positive(self.cut_length, "cut length")))
        object.__setattr__(self, "bead", float(non_negative(self.bead, "bead")))
        one_of(self.face, "face", ("inside", "outside"))
        reach = self.base.thickness + self.bead + self.overlay.thickness
        self.curve.length_at(reach if self.face == "inside" else reach - self.base.thickness)
        self.curve.length_at(0.0 if self.face == "inside" else -self.base.thickness)

    @classmethod
    def from_tape(
        cls,
        *,
        cut: float,
        needed: float,
        base: Piece,
        overlay: Piece,
        turn: float | None = None,
        mouth: float | None = None,
        inside: float | None = None,
        bead: float = 0.0,
    ) -> Overlay:
        """From two tape readings: the overlay as cut, and the length over the base's outside.

        Parameters
        ----------
        cut, needed : float
            The two readings [mm].
        base, overlay : Piece
            The two layers.
        turn : float, optional
            Turn of the base [rad], where it is known; else one of the next two settles it.
        mouth : float, optional
            Straight distance between the ends of the base, inside [mm].
        inside : float, optional
            A third tape reading, along the inside of the base [mm].
        bead : float
            Thickness of the glue [mm].

        Notes
        -----
        With neither, the turn is worked out from the two readings, assuming that the overlay
        was cut as long as its base: ``turn = (needed - cut)/((1 - fibre) t)``. Outside 20 deg to
        a full turn that is not believed and half a turn is assumed. `turn_from` says which.
        """
        length = float(positive(needed, "needed"))
        if sum(x is not None for x in (turn, mouth, inside)) > 1:
            raise ValueError("give only one of turn, mouth and inside; they say the same thing")
        if turn is not None:
            bend, how = turn, "given"
        elif mouth is not None:
            bend = Arc.from_mouth(length=length, mouth=mouth, depth=base.thickness).turn
            how = "from the mouth"
        elif inside is not None:
            bend = (length - float(positive(inside, "inside"))) / base.thickness
            how = "from the readings inside and outside"
        else:
            bend = (length - float(positive(cut, "cut"))) / ((1 - base.fibre) * base.thickness)
            how = "worked out from the two readings, as if the overlay was cut like its base"
            if not _SHALLOWEST <= bend <= _DEEPEST:
                bend, how = np.pi, "half a turn, assumed"
        return cls(
            base=base,
            overlay=overlay,
            curve=TurnedLength(length, bend),
            cut_length=cut,
            bead=bead,
            turn_from=how,
        )

    @classmethod
    def from_turn(
        cls,
        *,
        outside_length: float,
        turn: float,
        base: Piece,
        overlay: Piece,
        cut: float | None = None,
        bead: float = 0.0,
    ) -> Overlay:
        """From the length of the base's outside [mm] and its turn [rad].

        `cut` left out means: cut as long as the base.
        """
        curve = TurnedLength(outside_length, turn)
        return cls.from_curve(curve, base=base, overlay=overlay, cut=cut, bead=bead)

    @classmethod
    def from_curve(
        cls,
        curve: Curve,
        *,
        base: Piece,
        overlay: Piece,
        face: Face = "outside",
        cut: float | None = None,
        bead: float = 0.0,
    ) -> Overlay:
        """From the curve of one face of the base.

        `cut` left out means: cut as long as the base.
        """
        one_of(face, "face", ("inside", "outside"))
        to_fibre = (base.fibre if face == "inside" else base.fibre - 1) * base.thickness
        flat = float(curve.length_at(to_fibre)) if cut is None else cut
        return cls(base=base, overlay=overlay, curve=curve, face=face, cut_length=flat, bead=bead)

    @property
    def turn(self) -> float:
        """Turn of the base [rad]."""
        return self.curve.turn

    @property
    def inside_length(self) -> float:
        """Length of the base's inside [mm]."""
        return float(self.curve.length_at(0 if self.face == "inside" else -self.base.thickness))

    @property
    def outside_length(self) -> float:
        """Length of the base's outside, where the tape lies [mm]."""
        return float(self.curve.length_at(self.base.thickness if self.face == "inside" else 0))

    @property
    def needed_length(self) -> float:
        """Length the overlay needs on its own fibre to lie there unstretched [mm]."""
        return self.outside_length + self.turn * (
            self.bead + self.overlay.fibre * self.overlay.thickness
        )

    @property
    def gap(self) -> float:
        """Length needed minus length cut [mm]; positive: the piece is short."""
        return self.needed_length - self.cut_length

    @property
    def tape_gap(self) -> float:
        """The part of the gap that the tape on the base's outside shows [mm]."""
        return self.outside_length - self.cut_length

    @property
    def strain(self) -> float:
        """Strain of the overlay's fibre when it is stretched to fit, end to end [1].

        For a base that does not give while the overlay is pulled round it; a thick overlay on a
        soft narrow bend strains a little less.
        """
        return self.gap / self.cut_length

    @property
    def over_hollow(self) -> bool:
        """Whether the curve has a hollow, where a stretched layer would pull itself off."""
        return self.curve.extremes()[0].curvature < 0

    def local_strain(self, place: ArrayLike) -> Floats:
        """Strain at places along the curve when glue grabs and nothing slides [1].

        For an overlay laid down fibre to fibre on the base, without pulling; `place` in mm
        along the curve.
        """
        fibre = (self.base.fibre if self.face == "inside" else self.base.fibre - 1) * (
            self.base.thickness
        )
        above = (
            (1 - self.base.fibre) * self.base.thickness
            + self.bead
            + self.overlay.fibre * self.overlay.thickness
        )
        k = self.curve.curvature(place)
        return np.asarray(above * k / (1 + fibre * k))

    def marks(self, parts: int = 4) -> tuple[Floats, Floats]:
        """Where to mark base and overlay so that the stretch is shared out evenly.

        Parameters
        ----------
        parts : int
            How many parts between the ends.

        Returns
        -------
        tuple of ndarray
            Positions from one end, on the base's outside and on the flat overlay [mm]; the end
            lines are the first and the last.
        """
        places = np.linspace(0.0, self.curve.length, 240 * parts + 1)
        turned = self.curve.heading(places)
        depth = self.base.thickness if self.face == "inside" else 0.0
        outside = places + depth * turned
        needed = outside + turned * (self.bead + self.overlay.fibre * self.overlay.thickness)
        on_base = np.linspace(0.0, self.outside_length, parts + 1)
        share = np.interp(on_base, outside, needed) / self.needed_length
        return on_base, share * self.cut_length

    def with_cut(self, cut_length: float) -> Overlay:
        """The same joint with the overlay cut to another length [mm]."""
        return replace(self, cut_length=cut_length)

    def force(self, cut_length: ArrayLike | None = None) -> Floats:
        """Pull that stretches the overlay to fit [N]; 0 where it is not short."""
        cut = self.cut_length if cut_length is None else positive(cut_length, "cut length")
        stretch = np.maximum(self.needed_length / np.asarray(cut), 1.0)
        area = self.overlay.thickness * self.overlay.width
        return np.asarray(area * self.overlay.law.stress(stretch))

    def spans(self) -> tuple[Floats, Floats]:
        """Inside lengths [mm] and turns [rad] of the short arcs the base is made of."""
        low, high = self.curve.extremes()
        count = 1 if np.isclose(low.curvature, high.curvature, rtol=1e-9, atol=0) else _SPANS
        ends = np.linspace(0.0, self.curve.length, count + 1)
        turns = np.diff(self.curve.heading(ends))
        depth = 0.0 if self.face == "inside" else self.base.thickness
        return np.diff(ends) - depth * turns, turns
