"""A binding: a strip folded over a raw edge, a leg of it glued to each face."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np

from foamcalc.fit.limits import Check, Limit
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.parts import checked_bends, within_reason
from foamcalc.fit.trim.pucker import pucker_limit
from foamcalc.fit.trim.rim import Rim
from foamcalc.guards import finite, made_of, non_negative, positive, single
from foamcalc.shape.plane import Curve

_PUCKER = Limit(
    value=0.0,
    unit="1",
    basis="derived",
    reason="A leg glued along its fold buckles out of its plane from this squeeze on.",
)


class LegStrain(NamedTuple):
    """What a leg suffers on a bend of some curvature."""

    curvature: float
    """Curvature of the edge [1/mm]."""
    fold: float
    """Strain along its fold, at the corner of the edge [1]."""
    free: float
    """Strain of its free edge [1]."""


@dataclass(frozen=True, kw_only=True)
class Binding:
    """A strip that wraps the raw edge of a piece.

    Parameters
    ----------
    curve : Curve
        The edge of the piece, positive turn where its outside is convex.
    strip : Piece
        The strip: thickness, foam, fibre. Its width is what is worked out here.
    edge : float
        Thickness of the piece that is bound [mm], above 0.
    legs : tuple of float
        How far the strip reaches over each of the two faces, from the corner of the edge on [mm].
    fold_radius : float
        Inside radius of the two folds, round the sharp corner of the edge [mm]: 0 for a strip that
        is creased or pulled tight, the bead of the glue where one lifts it.
    short : float, optional
        Share that it is cut short on purpose [1], as of a `Rim`.

    Raises
    ------
    ValueError
        For legs that fold over themselves in a bend; and as a `Rim` does.

    Notes
    -----
    Width ``a + edge + b + 2 (pi/2)(r + k t)``: the fibre of the strip goes round each sharp corner
    at the distance ``r + k t`` in a quarter turn. Length as of a rim, the fibre at ``r + k t``
    beyond the edge. A leg's free edge at the offset -a is ``L - a turn`` long there, so that it is
    squeezed on a bend by ``(1 - a K)/((1 + (r + k t) K)(1 - short)) - 1`` with K the curvature, and
    stretched in a hollow.

    Examples
    --------
    A shell 10 mm thick bound with 3 mm foam, 12 mm on each face:

    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = Piece(thickness=3, law=foam("EVA medium"))
    >>> bound = Binding(curve=Arc(150, 2.0), strip=strip, edge=10, legs=(12, 12))
    >>> print(f"{bound.width:.1f} mm wide, {bound.rim.length:.1f} mm long")
    38.7 mm wide, 301.5 mm long
    >>> print(f"{bound.leg_strain(0, 1 / 150).free:.1%}")
    -8.5%
    """

    curve: Curve
    strip: Piece
    edge: float
    legs: tuple[float, float]
    fold_radius: float = 0.0
    short: float | None = None

    def __post_init__(self) -> None:
        made_of(self.strip, "strip", Piece)
        object.__setattr__(self, "edge", single(positive(self.edge, "edge"), "edge"))
        legs = positive(self.legs, "legs")
        if legs.shape != (2,):
            raise ValueError(f"legs must be two lengths, one for each face, got {self.legs!r}")
        object.__setattr__(self, "legs", (float(legs[0]), float(legs[1])))
        within_reason(
            length_of_the_edge=self.curve.length,
            thickness=self.strip.thickness,
            edge_thickness=self.edge,
            shorter_leg=min(self.legs),
            longer_leg=max(self.legs),
        )
        radius = single(non_negative(self.fold_radius, "fold radius"), "fold radius")
        object.__setattr__(self, "fold_radius", radius)
        try:
            self.curve.length_at(-max(self.legs))
        except ValueError as fault:
            raise ValueError(
                f"a leg of {max(self.legs):g} mm cannot lie flat there: {fault}"
            ) from None
        checked_bends(self.curve)
        object.__setattr__(self, "short", self.rim.share)

    @cached_property
    def rim(self) -> Rim:
        """The part of it that stands on the edge."""
        return Rim(
            curve=self.curve,
            strip=replace(self.strip, width=self.width),
            bead=self.fold_radius,
            short=self.short,
        )

    @property
    def fold(self) -> float:
        """What one fold takes of the width: a quarter turn at the strip's fibre [mm]."""
        return float(np.pi / 2 * (self.fold_radius + self.strip.fibre * self.strip.thickness))

    @property
    def width(self) -> float:
        """Width of the strip as cut [mm]."""
        return sum(self.legs) + self.edge + 2 * self.fold

    def leg_strain(self, leg: int, curvature: float) -> LegStrain:
        """What a leg suffers where the edge has some curvature [1/mm]."""
        bend = single(finite(curvature, "curvature", "1/mm"), "curvature")
        cut = (1 + self.rim.offset * bend) * (1 - self.rim.share)
        return LegStrain(bend, 1 / cut - 1, (1 - self.legs[leg] * bend) / cut - 1)

    def leg_checks(
        self, leg: int, curvature: float, limits: Mapping[str, Limit]
    ) -> tuple[Check, ...]:
        """A leg on a bend against how far it may be stretched and squeezed."""
        found = self.leg_strain(leg, curvature)
        bound = pucker_limit(
            thickness=self.strip.thickness,
            width=self.legs[leg],
            at_glue=found.fold,
            at_free=found.free,
            poisson=-float(self.strip.law.response(1.0).side_slope),
        )
        pucker = replace(_PUCKER, value=float(bound))
        name = f"leg of {self.legs[leg]:g} mm"
        checks = [
            Check(f"stretch of the {name}", max(found.fold, found.free, 0.0), limits["stretch"])
        ]
        squeeze = max(-found.fold, -found.free, 0.0)
        if squeeze:
            checks.append(Check(f"squeeze before the {name} puckers", squeeze, pucker))
        return tuple(checks)
