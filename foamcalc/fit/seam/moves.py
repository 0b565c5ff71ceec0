"""Where a mark must go so that the intervals beside it agree best."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.seam.joined import Seam, Side, other

Floats = NDArray[np.float64]


class MarkMove(NamedTuple):
    """How far a mark must go along an edge [mm]; positive: away from the first end."""

    mark: str
    """Its name on the first edge."""
    edge: str
    by: float


def even_places(seam: Seam, side: Side, *, length: float | None = None) -> Floats:
    """Where the marks of one edge must be so that every interval differs alike.

    Parameters
    ----------
    seam : Seam
        The seam.
    side : {"a", "b"}
        The edge whose marks move; its ends stay.
    length : float, optional
        Length of that edge [mm], where it is cut or trimmed to another one.

    Returns
    -------
    ndarray
        Places from its first end [mm], walked the way of the first edge.

    Notes
    -----
    In proportion: ``places of the other edge, times length over length``. No other places
    leave a smaller greatest mismatch, nor a smaller sum of mismatch squared times length.
    """
    own, across = seam.edge(side), seam.edge(other(side))
    whole = own.length if length is None else length
    marks = np.asarray(across.places) - across.places[0]
    return marks * (whole / across.length)


def all_moves(seam: Seam, side: Side) -> tuple[MarkMove, ...]:
    """How far each mark between the ends must go so that every interval differs alike.

    Examples
    --------
    >>> from foamcalc.fit.seam.edge import SeamEdge
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.law import Linear
    >>> eva = Piece(thickness=10, law=Linear(1.5))
    >>> seam = Seam(a=SeamEdge(name="front", piece=eva, places=(0, 50, 100)),
    ...             b=SeamEdge(name="back", piece=eva, places=(0, 56, 102)))
    >>> all_moves(seam, "b")
    (MarkMove(mark='1', edge='back', by=-5.0),)
    """
    edge = seam.edge(side)
    off = even_places(seam, side) - (np.asarray(edge.places) - edge.places[0])
    return _moves(seam, edge.name, off[1:-1])


def fewest_moves(seam: Seam, side: Side, *, most: float) -> tuple[MarkMove, ...]:
    """The fewest marks that must move so that no interval differs by more than `most` [mm].

    Parameters
    ----------
    seam : Seam
        The seam.
    side : {"a", "b"}
        The edge whose marks move.
    most : float
        Difference that may be left in an interval [mm]. Less than moving all marks leaves
        (`all_moves`) is not to be had; then that is what they are moved to.

    Returns
    -------
    tuple of MarkMove
        Only the marks that move. Of as few others, those that go the shortest way in all.

    Notes
    -----
    Marks between two that stay share the difference between these in proportion. Which marks
    stay is found from the first end on, the best way to each mark from the best ways to those
    before it.

    Examples
    --------
    One mark of four is misplaced, the second:

    >>> from foamcalc.fit.seam.edge import SeamEdge
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.law import Linear
    >>> eva = Piece(thickness=10, law=Linear(1.5))
    >>> seam = Seam(a=SeamEdge(name="front", piece=eva, places=(0, 40, 80, 120, 160)),
    ...             b=SeamEdge(name="back", piece=eva, places=(0, 40.5, 84, 121, 162)))
    >>> fewest_moves(seam, "b", most=1)
    (MarkMove(mark='2', edge='back', by=-3.25),)
    """
    own, across = (np.asarray(seam.edge(s).places) for s in (side, other(side)))
    own, across = own - own[0], across - across[0]
    alike = np.diff(across) * abs(own[-1] / across[-1] - 1)
    most = max(most, float(alike.max())) * (1 + 1e-9)
    best: list[tuple[int, float, int]] = [(0, 0.0, 0)]  # marks moved, how far in all, from where
    for j in range(1, own.size):
        ways = []
        for i in range(j):
            off = _shifts(own, across, i, j)
            share = abs((own[j] - own[i]) / (across[j] - across[i]) - 1)
            if share * np.diff(across[i : j + 1]).max() <= most:
                ways.append((best[i][0] + j - i - 1, best[i][1] + float(np.abs(off).sum()), i))
        best.append(min(ways, default=(own.size, np.inf, 0)))
    by, j = np.zeros(own.size), own.size - 1
    while j:
        i = best[j][2]
        by[i + 1 : j] = _shifts(own, across, i, j)
        j = i
    return tuple(move for move in _moves(seam, seam.edge(side).name, by[1:-1]) if move.by)


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
