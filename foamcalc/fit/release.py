"""An overlaid shell let go: the mouth before and after, and the shortest overlay that will do."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.overlay import Overlay
from foamcalc.fit.rest import Rest, at_rest
from foamcalc.fit.ring import out_of_round
from foamcalc.guards import positive
from foamcalc.shape.profile import Profile

Floats = NDArray[np.float64]

_STRAIGHT = 1e-6
"""Turn that is none [rad]."""
_TRIED = {"mouth": 129, "girth": 9}
"""Overlay lengths tried before the shortest one is closed in on; a girth only ever shrinks."""


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What comes of one way of closing the gap, when the section is let go."""

    name: str
    cut_length: float
    """Length of the overlay as cut [mm]."""
    strain: float
    """Strain of the overlay, end to end [1]."""
    force: float
    """Pull while gluing [N]."""
    what: Literal["mouth", "girth"]
    """What the next two are: the distance between the inside ends of an open base, or the girth
    inside a ring."""
    size_before: float
    """As it was meant, before gluing [mm]."""
    size_after: float
    """When the glued section is let go [mm]."""
    out_of_round: float
    """How much the widths of a ring have come to differ [mm]; 0 for an open base."""
    radius_before: float
    """Mean inside radius before [mm]."""
    radius_after: float
    """Mean inside radius after [mm]; infinite when flat, negative when bent the other way."""
    before: Profile = field(repr=False)
    """Inside of the base before gluing."""
    after: Profile = field(repr=False)
    """Inside of the base when let go."""
    opening_range: tuple[float, float] | None = None
    """Least and most opening over the ranges of what is from memory [mm]; None where it is cold."""

    @property
    def opening(self) -> float:
        """How far the mouth opens or the girth grows [mm]; negative: it closes or shrinks."""
        return self.size_after - self.size_before

    @property
    def turn_lost(self) -> float:
        """Share of the turn that is lost [1]; past 1 the shell bends the other way.

        Infinite for a straight base that bends at all against its overlay; 0 for a ring.
        """
        if self.what == "girth":
            return 0.0
        before, after = (p.heading[0] - p.heading[-1] for p in (self.before, self.after))
        if abs(before) < _STRAIGHT:
            return float("inf") if after < -_STRAIGHT else 0.0
        return 1 - float(after / before)


def let_go(joint: Overlay, *, name: str = "stretched as cut") -> Outcome:
    """The shell after the overlay was stretched to fit, glued, and the whole was let go.

    Parameters
    ----------
    joint : Overlay
        The joint; its `cut_length` is the one that counts.
    name : str
        What to call this outcome.

    Returns
    -------
    Outcome

    Raises
    ------
    ValueError
        For a cut length that no foam stretches to fit, or a curve with corners.

    Notes
    -----
    The stretch is shared evenly along the overlay. Ends are free. At once: no set, no creep.
    """
    rest = released(joint, joint.cut_length)
    if rest.failed.any():
        raise ValueError(
            f"cut length {joint.cut_length:g} mm is no match for the {joint.needed_length:g} mm "
            f"needed ({joint.rigid_strain:+.0%}): no foam takes that; check the units of both"
        )
    spans = rest.sections.spans
    return Outcome(
        name=name,
        cut_length=joint.cut_length,
        strain=joint.strain,
        force=float(joint.force()),
        what="girth" if rest.closed else "mouth",
        size_before=rest.size_before,
        size_after=float(rest.size),
        out_of_round=float(out_of_round(rest)) if rest.closed else 0.0,
        radius_before=_radius(spans.inside.sum(), float(spans.turns.sum())),
        radius_after=_radius(rest.lengths.sum(), float(rest.turns.sum())),
        before=rest.before,
        after=rest.profile,
    )


def _radius(length: float, turn: float) -> float:
    """Mean radius of a length with a turn [mm]; infinite where it is as good as flat."""
    return float(length) / turn if abs(turn) > 1e-9 else np.inf


def released(joint: Overlay, cut_length: ArrayLike) -> Rest:
    """The glued section at rest, for any overlay length.

    Parameters
    ----------
    joint : Overlay
        The joint; its own `cut_length` does not matter.
    cut_length : array_like
        Lengths of the overlay as cut [mm].

    Returns
    -------
    Rest
        Its arrays have the shape of `cut_length`, then one axis for the short arcs.
    """
    shell = joint.shell
    cuts = [*shell.cut_lengths()[:-1], positive(cut_length, "cut length")]
    return at_rest(shell, cut_lengths=cuts)


def shortest_cut(
    joint: Overlay, *, strain: float, opening: float, force: float, roundness: float = np.inf
) -> float | None:
    """Shortest overlay that stays inside the limits [mm]."""
    from scipy.optimize import brentq

    limits = {"strain": (strain, "1"), "opening": (opening, "mm"), "force": (force, "N")}
    most = {k: float(positive(v, k, unit)) for k, (v, unit) in limits.items()}
    most["roundness"] = roundness

    def over(cut: ArrayLike) -> Floats:
        return _over_limits(joint, np.asarray(cut, dtype=float), most)

    needed = joint.needed_length
    tried = _TRIED["girth" if joint.curve.closed else "mouth"]
    cuts = np.linspace(needed, joint.cut_at(1.001 * most["strain"]), tried)
    bad = np.flatnonzero(~(over(cuts) <= 0))
    if bad.size == 0 or bad[0] == 0:
        return None
    root = float(brentq(over, cuts[bad[0] - 1], cuts[bad[0]], xtol=1e-7))
    return min(root + 2e-7, needed)  # on the side that keeps the limits


def _over_limits(joint: Overlay, cuts: Floats, most: dict[str, float]) -> Floats:
    """Largest use of a limit, minus 1; infinite where the shell would bend the other way."""
    rest = released(joint, cuts)
    moved = np.abs(rest.size - rest.size_before)
    outward = -1.0 if joint.curve.turn < -_STRAIGHT else 1.0
    turned = rest.turns.sum(-1) * outward
    uneven = np.abs(out_of_round(rest)) if rest.closed else 0.0 * moved
    use = np.max(
        [
            uneven / most["roundness"],
            (joint.stretch(cuts) - 1) / most["strain"],
            moved / most["opening"],
            joint.force(cuts) / most["force"],
        ],
        axis=0,
    )
    return np.where(turned >= -_STRAIGHT, use, np.inf) - 1.0


def outcomes_table(outcomes: tuple[Outcome, ...]) -> Any:
    """Outcomes side by side as a pandas table, units in the column heads."""
    import pandas as pd

    what = outcomes[0].what if outcomes else "mouth"
    return pd.DataFrame(
        {
            "cut [mm]": [o.cut_length for o in outcomes],
            "stretch [%]": [100 * o.strain for o in outcomes],
            "pull [N]": [o.force for o in outcomes],
            f"{what} before [mm]": [o.size_before for o in outcomes],
            f"{what} let go [mm]": [o.size_after for o in outcomes],
            "opens [mm]": [o.opening for o in outcomes],
            "inside radius [mm]": [o.radius_after for o in outcomes],
        },
        index=[o.name for o in outcomes],
    )
