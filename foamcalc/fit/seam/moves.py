"""Where a mark must go so that the intervals beside it agree best."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.seam.joined import Seam, Side, other

Floats = NDArray[np.float64]

_MOST_MOVED = 12
"""More marks than that are not moved one by one: the edge is marked anew."""


class MarkMove(NamedTuple):
    """How far a mark must go along an edge [mm]; positive: away from the first end."""

    mark: str
    """Its name on the first edge."""
    edge: str
    by: float


def even_places(seam: Seam, side: Side, *, length: float | None = None) -> Floats:
    """Where the marks of one edge must be so that every interval differs alike.

    In proportion: ``places of the other edge, times length over length``. No other places
    leave a smaller greatest mismatch, nor a smaller sum of mismatch squared times length.
    """
    own, across = seam.edge(side), seam.edge(other(side))
    whole = own.length if length is None else length
    marks = np.asarray(across.places) - across.places[0]
    return marks * (whole / across.length)


def all_moves(seam: Seam, side: Side) -> tuple[MarkMove, ...]:
    """How far each mark between the ends must go so that every interval differs alike."""
    edge = seam.edge(side)
    off = even_places(seam, side) - (np.asarray(edge.places) - edge.places[0])
    return _moves(seam, edge.name, off[1:-1])


def fewest_moves(seam: Seam, side: Side) -> Iterator[tuple[MarkMove, ...]]:
    """The best one mark that can be moved, the best two, and so on, up to a dozen.

    Marks between two that stay share the difference between these in proportion. Which marks
    stay is found from the first end on, the best way to each mark from the best ways to those
    before it.
    """
    own, across = (np.asarray(seam.edge(s).places) for s in (side, other(side)))
    own, across = own - own[0], across - across[0]
    last = own.size - 1
    most = min(last - 1, _MOST_MOVED)
    steps = {
        (i, j): _left_between(own, across, i, j)
        for j in range(1, last + 1)
        for i in range(max(0, j - 1 - most), j)
    }
    best: list[list[_Reached]] = []
    least = np.inf
    for number in range(most + 1):
        row = [_Reached(0.0, 0.0, 0, 0)]
        best.append(row)
        for j in range(1, last + 1):
            ways = []
            for i in range(max(0, j - 1 - number), j):
                left, way = steps[i, j]
                before = best[number - (j - i - 1)][i]
                worst = round(max(before.worst, left), 6)
                ways.append(_Reached(worst, before.way + way, i, number - (j - i - 1)))
            row.append(min(ways))
        if number and row[last].worst < least - 1e-6:
            yield _moves_of(seam, side, best, number, own, across)
        least = min(least, row[last].worst)


class _Reached(NamedTuple):
    """The best way to a mark that stays: what it leaves, how far marks go, where it comes from."""

    worst: float
    way: float
    mark: int
    moved: int


def _left_between(own: Floats, across: Floats, i: int, j: int) -> tuple[float, float]:
    """Largest difference left between two marks that stay, and how far those between them go."""
    share = abs((own[j] - own[i]) / (across[j] - across[i]) - 1)
    left = share * float(np.diff(across[i : j + 1]).max())
    return left, float(np.abs(_shifts(own, across, i, j)).sum())


def _moves_of(
    seam: Seam, side: Side, best: list[list[_Reached]], moved: int, own: Floats, across: Floats
) -> tuple[MarkMove, ...]:
    by, j = np.zeros(own.size), own.size - 1
    while j:
        reached = best[moved][j]
        by[reached.mark + 1 : j] = _shifts(own, across, reached.mark, j)
        j, moved = reached.mark, reached.moved
    return tuple(m for m in _moves(seam, seam.edge(side).name, by[1:-1]) if abs(m.by) > 1e-9)


def _shifts(own: Floats, across: Floats, i: int, j: int) -> Floats:
    """How far the marks between i and j, which stay, must go to lie in proportion."""
    share = (across[i + 1 : j] - across[i]) / (across[j] - across[i])
    return np.asarray(own[i] + share * (own[j] - own[i]) - own[i + 1 : j])


def _moves(seam: Seam, edge: str, by: Floats) -> tuple[MarkMove, ...]:
    return tuple(
        MarkMove(mark, edge, float(x) + 0.0)
        for mark, x in zip(seam.a.labels[1:-1], by, strict=True)
    )


def moved(seam: Seam, side: Side, moves: tuple[MarkMove, ...]) -> Seam:
    """The seam after some marks of one edge have moved."""
    places = np.array(seam.edge(side).places)
    for move in moves:
        places[seam.a.labels.index(move.mark)] += move.by
    return seam.changed(side, places)
