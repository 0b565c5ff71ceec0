"""The ends of a stretched overlay: what they ask of the glue, and how long to cut so they hold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from foamcalc.fit.overlay import Overlay
from foamcalc.foam.bond import (
    BondCheck,
    Kind,
    Strength,
    end_loads,
    end_reach,
    hollow_pull,
    peel_demand,
    stored_energy,
)
from foamcalc.foam.law import WIDTHS, Law, Width, a_law
from foamcalc.guards import finite, fraction, made_of, non_negative, one_of, positive, single

At = Literal["start", "end"]
Under = Literal["as it is", "stiff"]

_REACH_GROWS = 0.9
"""Share that a reach grows for each unit of strain (derived: the default foam at 20 %)."""

__all__ = ["End", "both_ends", "check_end", "cut_that_holds", "end_of", "worst_end"]


@dataclass(frozen=True, kw_only=True)
class End:
    """One end of an overlay that is glued on under stretch, its base held on a form.

    Parameters
    ----------
    thickness : float
        Thickness of the overlay [mm], above 0.
    law : Law
        Its foam.
    stretch : float
        Length when glued over length as cut [1], above 0.
    curvature : float
        Curvature of the overlay's fibre at the end [1/mm]: positive on a convex base, negative in
        a hollow.
    formed : float
        How far the overlay keeps that curve by itself, 0 (flat as cut) to 1.
    softness, thickness_ratio : float
        The base, as in `end_factors`: 0 for one that does not give.
    sides : {"free", "held"}
        Whether the overlay may draw in while it is pulled.

    Examples
    --------
    >>> from foamcalc.foam.grades import foam
    >>> end = End(thickness=5, law=foam("EVA medium"), stretch=1.05, curvature=1 / 60)
    >>> print(f"{end.shear:.3f} MPa, {end.opening:.3f} MPa, {end.reach:.0f} mm")
    0.050 MPa, 0.061 MPa, 13 mm
    """

    thickness: float
    law: Law
    stretch: float
    curvature: float = 0.0
    formed: float = 0.0
    softness: float = 0.0
    thickness_ratio: float = 1.0
    sides: Width = "free"

    def __post_init__(self) -> None:
        a_law(self.law)
        checks = {
            "thickness": positive(self.thickness, "thickness"),
            "stretch": positive(self.stretch, "stretch", "1"),
            "curvature": finite(self.curvature, "curvature", "1/mm"),
            "formed": fraction(self.formed, "formed"),
            "softness": non_negative(self.softness, "softness", "1"),
            "thickness_ratio": positive(self.thickness_ratio, "thickness ratio", "1"),
        }
        for name, value in checks.items():
            object.__setattr__(self, name, single(value, name.replace("_", " ")))
        one_of(self.sides, "sides", WIDTHS)
        _ = self.reach  # refuses a base of which nothing is known

    @property
    def stress(self) -> float:
        """Stress of the overlay away from its end [MPa]."""
        return float(self.law.stress(self.stretch, self.sides))

    @property
    def bent(self) -> float:
        """Curvature that the overlay wants to lose [1/mm]."""
        return self.curvature * (1 - self.formed)

    @property
    def _loads(self) -> tuple[float, float]:
        """Shear and opening as `end_loads` has them [MPa]."""
        shear, opening = end_loads(
            stress=self.stress,
            modulus=self.law.modulus,
            thickness=self.thickness,
            curvature=self.bent,
            softness=self.softness,
            thickness_ratio=self.thickness_ratio,
        )
        return float(shear), float(opening)

    @property
    def shear(self) -> float:
        """Shear of the glue, mean over the last half thickness [MPa]."""
        return self._loads[0]

    @property
    def opening(self) -> float:
        """Stress that pulls the end open, mean over the last half thickness [MPa].

        In a hollow with the lift that the whole stretched overlay has.
        """
        hollow = min(self.curvature, 0.0)
        lift = hollow_pull(stress=self.stress, thickness=self.thickness, curvature=hollow)
        return self._loads[1] + float(lift)

    @property
    def peel(self) -> float:
        """What the overlay gives up for each area that comes off [N/mm].

        Raises
        ------
        ValueError
            In a hollow, where the stretched overlay lifts all along and not from its end.
        """
        if self.curvature < 0:
            raise ValueError(
                "a peel test does not tell whether a stretched overlay stays down in a hollow; "
                "hold it against a pull test (two blocks glued face to face)"
            )
        return float(
            peel_demand(
                energy=stored_energy(self.law, self.stretch, self.sides),
                modulus=self.law.modulus,
                thickness=self.thickness,
                curvature=self.bent,
                area=self.stretch * self._narrowed,
            )
        )

    @property
    def _narrowed(self) -> float:
        """Width when glued over width as cut [1]."""
        free = self.sides == "free"
        return float(self.law.side_stretch(self.stretch)) if free else 1.0

    @property
    def reach(self) -> float:
        """Length from the end over which 90 % of the pull builds up [mm]: hold this much.

        The figures are for small strain; a pull adds its strain times 0.9, as the default foam
        has it (derived: felupe; at 20 % it needs 18 % more, a foam of alpha 15 half as much again).
        """
        small = end_reach(
            thickness=self.thickness,
            softness=self.softness,
            thickness_ratio=self.thickness_ratio,
        )
        return float(small) * (1 + _REACH_GROWS * max(self.stretch - 1, 0.0))

    def demand(self, kind: Kind) -> float:
        """What a test of this kind is to be held against, in its unit."""
        return {"pull": lambda: self.opening, "shear": lambda: abs(self.shear)}.get(
            kind, lambda: self.peel
        )()


def end_of(joint: Overlay, *, at: At = "end", under: Under = "as it is") -> End:
    """One end of an overlay as it is glued.

    Parameters
    ----------
    joint : Overlay
        The joint; its `cut_length` settles the stretch.
    at : {"start", "end"}
        Which end, along the curve.
    under : {"as it is", "stiff"}
        The layers below as they are, their undersides held on the form; or taken not to give at
        all, which puts shear and opening too high and the reach too low.

    Raises
    ------
    ValueError
        For a ring covered all round, which has no ends, or a base of which nothing is known (more
        than 8 times or less than a quarter as thick as the overlay, or less than half as stiff).

    Examples
    --------
    >>> import numpy as np
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> eva = foam("EVA medium")
    >>> joint = Overlay.from_curve(Arc(50, np.pi), face="inside", cut=187,
    ...     base=Piece(thickness=10, law=eva, formed=1), overlay=Piece(thickness=5, law=eva))
    >>> end = end_of(joint)
    >>> print(f"pulled {end.stretch - 1:.1%}, builds up over {end.reach:.0f} mm")
    pulled 5.0%, builds up over 34 mm
    """
    made_of(joint, "joint", Overlay)
    one_of(at, "at", ("start", "end"))
    one_of(under, "under", ("as it is", "stiff"))
    if joint.ring_all_round:
        raise ValueError("an overlay all round a ring has no end; its butt seam is another joint")
    last = joint.curve.length if joint.end is None else joint.end
    below = [joint.base, *(cover.piece for cover in joint.below())]
    thick = sum(piece.thickness for piece in below)
    softness, ratio = 0.0, 1.0
    if under == "as it is":
        ratio = thick / joint.overlay.thickness
        yields = sum(piece.thickness / piece.law.modulus for piece in below)
        softness = joint.overlay.law.modulus * yields / thick
    lift = thick - (joint.base.thickness if joint.face == "outside" else 0.0)
    height = lift + len(below) * joint.bead + joint.overlay.fibre * joint.overlay.thickness
    curvature = float(joint.curve.curvature(joint.start if at == "start" else last))
    return End(
        thickness=joint.overlay.thickness,
        law=joint.overlay.law,
        stretch=joint.needed_length / joint.cut_length,
        curvature=curvature / (1 + height * curvature),
        formed=joint.overlay.formed,
        softness=softness,
        thickness_ratio=ratio,
    )


def both_ends(joint: Overlay) -> tuple[End, ...]:
    """Both ends of an overlay; none of one all round a ring.

    A base of which nothing is known is taken not to give: right for a thick one; for one much
    thinner or softer than the overlay it asks too much of the glue, over too short a reach.
    """
    if made_of(joint, "joint", Overlay).ring_all_round:
        return ()
    places: tuple[At, At] = ("start", "end")
    try:
        return tuple(end_of(joint, at=at) for at in places)
    except ValueError:
        return tuple(end_of(joint, at=at, under="stiff") for at in places)


def worst_end(joint: Overlay, kind: Kind = "peel") -> End | None:
    """The end of an overlay that asks the most of its glue."""
    told = [end for end in both_ends(joint) if kind != "peel" or end.curvature >= 0]
    return max(told, key=lambda end: end.demand(kind), default=None)


def check_end(end: End, strength: Strength) -> BondCheck:
    """What the end asks of its glue against what the glue can carry.

    Parameters
    ----------
    end : End
        From `end_of`, or from plain numbers.
    strength : Strength
        From the maker's own `BondTest`, or `foam_cap`.
    """
    made_of(strength, "strength", Strength)
    return BondCheck(demand=made_of(end, "end", End).demand(strength.kind), strength=strength)


def cut_that_holds(joint: Overlay, strength: Strength) -> float | None:
    """Shortest overlay whose ends are sure to hold [mm].

    Parameters
    ----------
    joint : Overlay
        The joint; its own `cut_length` does not matter.
    strength : Strength
        From the maker's own test. Its low end counts where it has one.

    Returns
    -------
    float or None
        Cut length [mm], at most the needed length; None where even an unstretched overlay lifts
        by its own wish to spring flat: form it first.

    Raises
    ------
    ValueError
        For a cap, with which nothing is sure to hold, and where no end can be told (`worst_end`).
    """
    from scipy.optimize import brentq

    made_of(joint, "joint", Overlay)
    if made_of(strength, "strength", Strength).is_cap:
        raise ValueError(
            "with the foam's own strength as a cap no end is sure to hold; test a glued offcut"
        )
    most = strength.value if strength.low is None else strength.low
    needed = joint.needed_length

    def over(cut: float) -> float:
        end = worst_end(joint.with_cut(cut), strength.kind)
        if end is None:
            raise ValueError(f"no end of this overlay can be held against a {strength.kind} test")
        return end.demand(strength.kind) / most - 1

    if over(needed) > 0:
        return None
    shortest = needed / min(joint.overlay.law.stable_range()[1], 1.5)
    if over(shortest) <= 0:
        return shortest
    root = float(brentq(over, shortest, needed, xtol=1e-9))
    return min(root + 1e-8, needed)  # on the side that holds
