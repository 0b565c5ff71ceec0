"""Pieces glued over one another: what each must measure, and the section they make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.foam.law import Law, a_law
from foamcalc.foam.section import Layer
from foamcalc.guards import finite, fraction, non_negative, positive, single

Floats = NDArray[np.float64]
Face = Literal["inside", "outside"]
"""Which face of the base a curve follows."""


@dataclass(frozen=True, kw_only=True)
class Piece:
    """A layer as it comes to the glue table.

    Parameters
    ----------
    thickness : float
        Thickness [mm], above 0, as measured.
    law : Law
        Foam law.
    width : float
        Width across the bend [mm], above 0.
    formed : float
        How far it has been formed with heat to the curve, 0 (flat, or only held) to 1 (keeps
        the curve by itself).
    fibre : float
        Height of the line that keeps its length when the piece is bent, as a fraction of the
        thickness from the inner face.
    modulus_spread: float
        How much stiffer the foam may be than its law says, as a fraction: the upper end of a
        measured interval; 0 where nothing was measured.
    hole : float
        Diameter of the largest round hole in it [mm]; 0 where there is none.
    """

    thickness: float
    law: Law
    width: float = 100.0
    formed: float = 0.0
    fibre: float = 0.5
    modulus_spread: float = 0.0
    hole: float = 0.0

    def __post_init__(self) -> None:
        a_law(self.law)
        for name in ("thickness", "width"):
            object.__setattr__(self, name, single(positive(getattr(self, name), name), name))
        spread = non_negative(self.modulus_spread, "modulus spread", "1")
        object.__setattr__(self, "modulus_spread", single(spread, "modulus spread"))
        object.__setattr__(self, "hole", single(non_negative(self.hole, "hole"), "hole"))
        if self.hole > self.width / 2:
            raise ValueError(
                f"hole must be at most half the width of the piece ({self.width:g} mm), got "
                f"{self.hole:g} mm; treat what is left beside it as bars"
            )
        for name in ("formed", "fibre"):
            object.__setattr__(self, name, single(fraction(getattr(self, name), name), name))

    def layer(self, cut_length: ArrayLike, turn: ArrayLike) -> Layer:
        """The piece as a layer of a section: its natural lengths."""
        cut, bend = positive(cut_length, "cut length"), finite(turn, "turn", "rad")
        lean = self.formed * self.thickness * bend
        return Layer(
            thickness=self.thickness,
            law=self.law,
            inner_length=cut - self.fibre * lean,
            outer_length=cut + (1 - self.fibre) * lean,
            width=self.width,
        )


def needed_lengths(
    pieces: Sequence[Piece], *, inside_length: ArrayLike, turn: ArrayLike, bead: float = 0.0
) -> Floats:
    """Length each piece of a stack needs on its fibre to lie on the stack unstretched.

    ``L_i = L + z_i turn``, ``z_i`` the sum of the thicknesses (and beads) below plus
    ``fibre_i t_i``.
    """
    inside, bend = positive(inside_length, "inside length"), finite(turn, "turn", "rad")
    thick = np.array([p.thickness for p in pieces])
    below = np.concatenate([[0.0], np.cumsum(thick[:-1] + bead)])
    heights = below + np.array([p.fibre for p in pieces]) * thick
    return np.stack([inside + z * bend for z in heights])


def squeezed_by(law: Law, pressure: Floats) -> Floats:
    """Stretch of a foam through its thickness under pressures from 0 up [MPa]."""
    tried = np.linspace(max(0.5, law.stable_range("free")[0]), 1.0, 401)
    return np.interp(-pressure, law.unchecked(tried, "free").stress, tried)
