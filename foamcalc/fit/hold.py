"""Spans tied together at their ends: the actions a strap or a closed ring needs, by Newton."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.foam.section import NoEquilibrium
from foamcalc.shape.closure import Tie

Floats = NDArray[np.float64]

_TOLERANCE = 1e-10
"""Change of a turn [rad] or of a length, as a share, that is none."""
_MOST_STEPS = 60
_FARTHEST_SWING = 0.4
"""Most that any part of the profile may swing round in one step [rad]."""
_NUDGE = 1e-6


class Shape(NamedTuple):
    """Lengths and turns of the spans under loads; last axis: span."""

    lengths: Floats
    turns: Floats
    stiffness: Floats
    """As `Settled.stiffness`; first axis: three."""
    failed: NDArray[np.bool_]


def hold(
    settle: Callable[[Floats, Floats], Shape],
    tie: Callable[[Floats, Floats], Tie],
    *,
    target: Floats,
    lengths: Floats,
    turns: Floats,
) -> tuple[Shape, Floats]:
    """The shape at which the ties have their target, and the action in each of them.

    Virtual work: a tie of action q loads span i with the pull ``q dg/dlength_i`` and the moment
    ``q dg/dturn_i``, g its measure in the shape that is reached. Each step solves the linearised
    equations for lengths, turns and actions together.
    """
    count = turns.shape[-1]
    cases = settle(np.zeros(count), np.zeros(count)).turns.shape
    lengths, turns = np.broadcast_to(lengths, cases), np.broadcast_to(turns, cases)
    actions = np.zeros((target.shape[0], *cases[:-1]))
    lost = np.zeros(cases[:-1], dtype=bool)
    for _ in range(_MOST_STEPS):
        now = tie(lengths, turns)
        wanted = settle(*loads(now, actions))
        lost = lost | wanted.failed.any(-1)
        wanted = _left_alone(wanted, lost, lengths, turns)
        change, more = _step(tie, wanted, now, actions, target, lengths, turns)
        swing = np.abs(np.cumsum(change[..., count:], axis=-1)).max(-1)
        share = np.where(lost, 0.0, np.minimum(1.0, _FARTHEST_SWING / np.maximum(swing, 1e-30)))
        change = share[..., None] * change
        actions = np.where(lost, 0.0, actions + share * more)
        size = np.abs(np.concatenate([change[..., :count] / lengths, change[..., count:]], -1))
        lengths, turns = lengths + change[..., :count], turns + change[..., count:]
        moving = ~(size.max(-1) <= _TOLERANCE)
        if not moving.any():
            break
    lost = lost | moving
    if lost.ndim == 0 and lost:
        raise NoEquilibrium(
            "no shape was found in which the ends are held like this; check that the distance "
            "asked for can be reached without folding the shell, and that the overlays nearly fit"
        )
    failed = np.broadcast_to(lost[..., None], cases)
    return Shape(lengths, turns, wanted.stiffness, failed), np.where(lost, 0.0, actions)


def _left_alone(wanted: Shape, lost: NDArray[np.bool_], lengths: Floats, turns: Floats) -> Shape:
    """The shape wanted, but cases that are lost stay where they are."""
    here = lost[..., None]
    any_stiffness = np.array([1.0, 0.0, 1.0]).reshape(-1, *(1,) * turns.ndim)
    return wanted._replace(
        lengths=np.where(here, lengths, wanted.lengths),
        turns=np.where(here, turns, wanted.turns),
        stiffness=np.where(here, any_stiffness, wanted.stiffness),
    )


def loads(now: Tie, actions: Floats) -> tuple[Floats, Floats]:
    """Pull [N] and moment [N mm] on each span that ties in a shape lay on it."""
    share = actions[..., None]
    return (share * now.by_length).sum(0), (share * now.by_turn).sum(0)


def _step(
    tie: Callable[[Floats, Floats], Tie],
    wanted: Shape,
    now: Tie,
    actions: Floats,
    target: Floats,
    lengths: Floats,
    turns: Floats,
) -> tuple[Floats, Floats]:
    """Change of lengths and turns (last axis: lengths, then turns) and of the actions."""
    give = _flexibility(wanted.stiffness)
    slopes = np.moveaxis(np.concatenate([now.by_length, now.by_turn], axis=-1), 0, -1)
    size = give.shape[-1]
    matrix = np.zeros((*give.shape[:-2], size + len(target), size + len(target)))
    matrix[..., :size, :size] = np.eye(size) - give @ _bend(tie, actions, lengths, turns)
    matrix[..., :size, size:] = -give @ slopes
    matrix[..., size:, :size] = np.swapaxes(slopes, -1, -2)
    missing = np.concatenate(
        [
            wanted.lengths - lengths,
            wanted.turns - turns,
            target - np.moveaxis(now.value, 0, -1),
        ],
        axis=-1,
    )
    change = _solved(matrix, missing)
    return change[..., :size], np.moveaxis(change[..., size:], -1, 0)


def _solved(matrix: Floats, known: Floats) -> Floats:
    """Solutions of linear equations, case by case; NaN where a matrix is singular.

    LAPACK as scipy calls it: numpy's own solver was seen to take a thousand times as long for
    matrices of this size while its threads wait for a busy machine.
    """
    from scipy.linalg.lapack import dgesv

    found = np.full(known.shape, np.nan)
    for case in np.ndindex(known.shape[:-1]):
        _, _, solution, info = dgesv(matrix[case], known[case])
        if info == 0:
            found[case] = solution
    return found


def _flexibility(stiffness: Floats) -> Floats:
    """Change of lengths and turns per pull and moment, as one matrix for all spans."""
    k11, k12, k22 = stiffness
    over = k11 * k22 - k12**2
    count = k11.shape[-1]
    own = np.arange(count)
    matrix = np.zeros((*k11.shape[:-1], 2 * count, 2 * count))
    for (row, column), value in {
        (0, 0): k22 / over,
        (0, 1): -k12 / over,
        (1, 0): -k12 / over,
        (1, 1): k11 / over,
    }.items():
        matrix[..., row * count + own, column * count + own] = value
    return matrix


def _bend(
    tie: Callable[[Floats, Floats], Tie], actions: Floats, lengths: Floats, turns: Floats
) -> Floats:
    """How the loads change with the shape: last axis: what moves, before it: load."""
    count = turns.shape[-1]
    scale = float(np.mean(lengths))
    moves = np.zeros((2 * count, 2, count))
    own = np.arange(count)
    moves[own, 0, own] = _NUDGE * scale
    moves[count + own, 1, own] = _NUDGE
    lead = (slice(None), *(None,) * (turns.ndim - 1), slice(None))
    there, back = (
        np.concatenate(
            loads(
                tie(lengths + sign * moves[:, 0][lead], turns + sign * moves[:, 1][lead]),
                actions[:, None],
            ),
            axis=-1,
        )
        for sign in (1, -1)
    )
    steps = np.repeat([_NUDGE * scale, _NUDGE], count).reshape(-1, *(1,) * turns.ndim)
    return np.moveaxis((there - back) / (2 * steps), 0, -1)
