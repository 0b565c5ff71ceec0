"""What its own weight does to an open shell that lies on its crown while its mouth is measured."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foamcalc.fit.rest import Rest
from foamcalc.guards import positive
from foamcalc.shape.profile import Floats, chain
from foamcalc.units import GRAVITY

_ARCS = 60
"""Arcs whose weights are counted one by one, at least."""
_STEP = 0.5
"""Share of each correction that is taken."""
_MOST_STEPS = 2000
_STILL = 1e-9
"""Change of a turn that is none [rad]."""


def lying(lengths: Floats, turns: Floats, gives: Floats, weights: Floats) -> Floats | None:
    """Turns of a chain of arcs that lies on its crown, mouth up, on a floor it may rock on.

    Displacements may be large. The arcs beside the place where it touches carry the moment of what
    hangs out beyond them; where that would bend an arc the other way, the floor holds it flat.
    """
    now, flat = turns.copy(), np.minimum(turns, 0.0)
    for _ in range(_MOST_STEPS):
        wanted = np.maximum(turns - gives * _moments(lengths, now, weights), flat)
        step = wanted - now
        now = now + _STEP * step
        if np.abs(step).max() < _STILL:
            return now
    return None


def _moments(lengths: Floats, turns: Floats, weights: Floats) -> Floats:
    """Moment that opens each arc, about its middle, of the weights on its outer side [N mm]."""
    shape = chain(lengths, turns)
    joints = shape.x + 1j * shape.y
    middles = (joints[:-1] + joints[1:]) / 2
    # It rocks till its weight lies over the place where it touches, whose tangent is level.
    centre = np.average(middles, weights=weights)
    ahead = np.real((centre - joints) * np.exp(-1j * shape.heading))
    over = np.flatnonzero(ahead[:-1] * ahead[1:] <= 0)
    half = len(turns) // 2
    touch = int(over[np.argmin(np.abs(over - half))]) if over.size else half
    gone = ahead[touch] - ahead[touch + 1]
    share = ahead[touch] / gone if over.size and gone else 0.5
    along = np.real(
        (middles - centre) * np.exp(-1j * (shape.heading[touch] - share * turns[touch]))
    )
    first = touch + int(share > 0.5)
    return np.concatenate(
        [
            _of_the_rest(weights[:first][::-1], -along[:first][::-1])[::-1],
            _of_the_rest(weights[first:], along[first:]),
        ]
    )


def _of_the_rest(weights: Floats, along: Floats) -> Floats:
    """Moment about each weight of those that come after it."""
    after = np.cumsum(weights[::-1])[::-1]
    return np.asarray(np.cumsum((weights * along)[::-1])[::-1] - after * along)


def mouth_lying(rest: Rest, densities: Sequence[float]) -> float:
    """The mouth of an open shell at rest when it lies on its crown under its own weight [mm].

    `densities` are those of the base and of each overlay [kg/m3]. NaN where no way to lie was
    found. Lying on its two rims it opens about as far.
    """
    if rest.closed:
        raise ValueError("a ring has no mouth: ask only of an open shell")
    layers = [rest.shell.base, *(cover.piece for cover in rest.shell.covers)]
    each = positive(densities, "densities in kg/m3", "1")
    sections = rest.sections.refined(at_least=_ARCS)
    shape = sections.shape(sections.settle())
    stacks = [(0, *(i + 1 for i in stack)) for stack in sections.spans.stacks]
    middle = np.array([sum(layers[i].thickness for i in stack) / 2 for stack in stacks])
    area = [rho * piece.thickness * piece.width for rho, piece in zip(each, layers, strict=True)]
    heavy = np.array([sum(area[i] for i in stack) for stack in stacks]) * 1e-9 * GRAVITY
    k11, k12, k22 = shape.stiffness
    lengths = shape.lengths + middle * shape.turns
    turns = lying(lengths, shape.turns, k11 / (k11 * k22 - k12**2), heavy * lengths)
    return float("nan") if turns is None else float(chain(lengths - middle * turns, turns).mouth)
