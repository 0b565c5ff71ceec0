"""Every limit against what a cold overlay does: foam, hands, glue, holes and the shell's shape."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from foamcalc.fit.detail import tear_limit
from foamcalc.fit.ends import worst_end
from foamcalc.fit.holes import MOST_STRAIN, edge_strain
from foamcalc.fit.limits import Check, Limit, tape_reading
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.release import Outcome
from foamcalc.fit.stack import Piece

_NO_STRETCH = Limit(
    value=0.0,  # and what a tape cannot tell from nothing
    unit="1",
    basis="derived",
    reason="A stretched layer pulls itself off a hollow, with its pull over the radius.",
)
_KEPT_TURN = Limit(
    value=1.0,
    unit="1",
    basis="derived",
    reason="Past this the shell bends the other way; its mouth alone does not show it.",
)
OPENING = "opening of the mouth"
PEEL = "peel at the ends"
"""The check of what the worse end asks of the glue."""
COLD_ONLY = ("stretch of the overlay", "pull while gluing", PEEL)


def cold_checks(joint: Overlay, outcome: Outcome, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """What an overlay that is glued on cold does, each against its limit."""
    pull = max(outcome.strain, 0.0)
    checks = [
        Check("stretch of the overlay", pull, limits["stretch"]),
        *_shape_checks(outcome, limits),
        Check("pull while gluing", outcome.force * stiffest(joint), limits["force"]),
    ]
    if pull > tape_reading() / joint.cut_length:
        end = worst_end(joint)
        checks += [] if end is None else [Check(PEEL, end.peel, limits["end"])]
    if joint.overlay.hole and pull > 0:
        checks.append(_tear(joint.overlay, pull))
    if joint.over_hollow:
        none = replace(_NO_STRETCH, value=tape_reading() / joint.cut_length)
        checks.append(Check("stretch over a hollow", pull, none))
    if outcome.turn_lost > _KEPT_TURN.value:
        checks.append(Check("turn lost", outcome.turn_lost, _KEPT_TURN))
    return tuple(checks)


def stiffest(joint: Overlay) -> float:
    """How much harder the foam may pull than its law says."""
    return 1 + joint.overlay.modulus_spread


def _tear(piece: Piece, pull: float) -> Check:
    """What the edge of its hole takes; without end past the stretches for which that is known."""
    known = pull <= MOST_STRAIN
    edge = edge_strain(strain=pull, share=piece.hole / piece.width) if known else math.inf
    return Check("stretch at the edge of the hole", float(edge), tear_limit())


def _shape_checks(outcome: Outcome, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """What must not happen to the shape: a mouth that opens, a tube that gets tight or flat."""
    if outcome.what == "mouth":
        return (Check(OPENING, outcome.opening, limits["mouth"]),)
    return (
        Check("change of the girth", outcome.opening, limits["girth"]),
        Check("out of round", outcome.out_of_round, limits["round"]),
    )
