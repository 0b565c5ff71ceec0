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


def lone_moves(seam: Seam, side: Side) -> tuple[MarkMove, ...]:
    """How far each mark must go when it moves alone, its neighbours staying where they are.

    Parameters
    ----------
    seam : Seam
        The seam.
    side : {"a", "b"}
        The edge whose mark moves.

    Returns
    -------
    tuple of MarkMove
        One for each mark between the ends. After it the two intervals beside the mark differ
        alike; the others do not change.

    Notes
    -----
    ``(l1 + l2) m1/(m1 + m2) - l1``: l1 and l2 the two intervals on the edge whose mark moves, m1
    and m2 those on the other edge.
    """
    own, across = seam.edge(side), seam.edge(other(side))
    (l1, l2), (m1, m2) = ((edge.lengths[:-1], edge.lengths[1:]) for edge in (own, across))
    return _moves(seam, own.name, (l1 + l2) * m1 / (m1 + m2) - l1)


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
