"""An overlaid shell let go: the mouth before and after, and the shortest overlay that will do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.overlay import Overlay
from foamcalc.fit.stack import needed_lengths
from foamcalc.foam.section import Settled, settle
from foamcalc.guards import positive
from foamcalc.shape.profile import Profile, chain

Floats = NDArray[np.float64]

_STRAIGHT = 1e-6
"""Turn that is none [rad]."""
_TRIED = 129
"""Overlay lengths tried before the shortest one is closed in on."""


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
    mouth_before: float
    """Distance between the inside ends of the base before gluing [mm]."""
    mouth_after: float
    """The same when the glued section is let go [mm]."""
    radius_before: float
    """Mean inside radius before [mm]."""
    radius_after: float
    """Mean inside radius after [mm]; infinite when flat, negative when bent the other way."""
    before: Profile
    """Inside of the base before gluing."""
    after: Profile
    """Inside of the base when let go."""

    @property
    def opening(self) -> float:
        """How far the mouth opens [mm]; negative: it closes."""
        return self.mouth_after - self.mouth_before

    @property
    def turn_lost(self) -> float:
        """Share of the turn that is lost [1]; past 1 the shell bends the other way.

        Infinite for a straight base that bends at all against its overlay.
        """
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
        For a closed ring, which has no mouth, or a cut length that no foam stretches to fit.

    Notes
    -----
    The stretch is shared evenly along the overlay. Ends are free. At once: no set, no creep.
    """
    if joint.curve.closed:
        raise ValueError(
            "a closed ring has no mouth; its gap and stretch are answered, its girth is not"
        )
    lengths, turns = joint.spans()
    rest = released(joint, joint.cut_length)
    if rest.failed.any():
        raise ValueError(
            f"cut length {joint.cut_length:g} mm is no match for the {joint.needed_length:g} mm "
            f"needed ({joint.strain:+.0%}): no foam takes that; check the units of both"
        )
    before = chain(lengths, turns).levelled()
    after = chain(rest.inner_length, rest.turn).levelled()
    bend, bend_after = float(turns.sum()), float(rest.turn.sum())
    return Outcome(
        name=name,
        cut_length=joint.cut_length,
        strain=joint.strain,
        force=float(joint.force()),
        mouth_before=float(before.mouth),
        mouth_after=float(after.mouth),
        radius_before=_radius(lengths.sum(), bend),
        radius_after=_radius(rest.inner_length.sum(), bend_after),
        before=before,
        after=after,
    )


def _radius(length: float, turn: float) -> float:
    """Mean radius of a length with a turn [mm]; infinite where it is as good as flat."""
    return float(length) / turn if abs(turn) > 1e-9 else np.inf


def released(joint: Overlay, cut_length: ArrayLike) -> Settled:
    """The short arcs of the glued section at rest, for any overlay length.

    Parameters
    ----------
    joint : Overlay
        The joint; its own `cut_length` does not matter.
    cut_length : array_like
        Lengths of the overlay as cut [mm].

    Returns
    -------
    Settled
        Shape of `cut_length`, then one axis for the short arcs from end to end.
    """
    inside, turns = joint.spans()
    needed_base, needed_over = needed_lengths(
        (joint.base, joint.overlay), inside_length=inside, turn=turns
    )
    cut = positive(cut_length, "cut length")[..., None]
    overlay = joint.overlay.layer(cut / joint.needed_length * needed_over, turns)
    return settle([joint.base.layer(needed_base, turns), overlay])


def shortest_cut(joint: Overlay, *, strain: float, opening: float, force: float) -> float | None:
    """Shortest overlay that stays inside the limits [mm].

    Parameters
    ----------
    joint : Overlay
        The joint; its own `cut_length` does not matter.
    strain : float
        Most strain of the overlay, end to end [1].
    opening : float
        Most change of the mouth [mm].
    force : float
        Most pull while gluing [N].

    Returns
    -------
    float or None
        Cut length [mm], at most the needed length, from which up every length keeps the limits
        and none bends the shell the other way; None when even an unstretched overlay moves the
        mouth by more than `opening`.
    """
    from scipy.optimize import bisect

    limits = {"strain": (strain, "1"), "opening": (opening, "mm"), "force": (force, "N")}
    most = {k: float(positive(v, k, unit)) for k, (v, unit) in limits.items()}

    def over(cut: ArrayLike) -> Floats:
        return _over_limits(joint, np.asarray(cut, dtype=float), most)

    needed = joint.needed_length
    cuts = np.linspace(needed, needed / (1 + 1.001 * most["strain"]), _TRIED)
    bad = np.flatnonzero(~(over(cuts) <= 0))
    if bad.size == 0 or bad[0] == 0:
        return None
    root = float(bisect(over, cuts[bad[0] - 1], cuts[bad[0]], xtol=1e-7))
    return min(root + 2e-7, needed)  # on the side that keeps the limits


def _over_limits(joint: Overlay, cuts: Floats, most: dict[str, float]) -> Floats:
    """Largest use of a limit, minus 1; infinite where the shell would bend the other way."""
    rest = released(joint, cuts)
    moved = np.abs(openings(joint, rest))
    outward = -1.0 if joint.turn < -_STRAIGHT else 1.0
    turned = np.ma.filled(rest.turn.sum(-1), np.nan) * outward
    use = np.max(
        [
            (joint.needed_length / cuts - 1) / most["strain"],
            moved / most["opening"],
            joint.force(cuts) / most["force"],
        ],
        axis=0,
    )
    return np.where(turned >= -_STRAIGHT, use, np.inf) - 1.0


def openings(joint: Overlay, rest: Settled) -> Floats:
    """How far the mouth opens, for cut lengths as from `released`.

    Parameters
    ----------
    joint : Overlay
        The joint.
    rest : Settled
        Its short arcs at rest.

    Returns
    -------
    ndarray
        Opening [mm], negative where it closes, NaN where a case found no rest.
    """
    good = ~rest.failed.any(-1)
    opens = np.full(good.shape, np.nan)
    lengths, turns = (np.ma.getdata(x)[good] for x in (rest.inner_length, rest.turn))
    if good.any():
        opens[good] = chain(lengths, turns).mouth - chain(*joint.spans()).mouth
    return opens


def outcomes_table(outcomes: tuple[Outcome, ...]) -> Any:
    """Outcomes side by side as a pandas table, units in the column heads."""
    import pandas as pd

    return pd.DataFrame(
        {
            "cut [mm]": [o.cut_length for o in outcomes],
            "stretch [%]": [100 * o.strain for o in outcomes],
            "pull [N]": [o.force for o in outcomes],
            "mouth before [mm]": [o.mouth_before for o in outcomes],
            "mouth let go [mm]": [o.mouth_after for o in outcomes],
            "opens [mm]": [o.opening for o in outcomes],
            "inside radius [mm]": [o.radius_after for o in outcomes],
        },
        index=[o.name for o in outcomes],
    )
