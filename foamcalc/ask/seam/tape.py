"""Edges of a seam as they are read off a tape: places, names, turns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from foamcalc.fit.seam import SeamEdge
from foamcalc.fit.stack import Piece
from foamcalc.units import angle

EDGES = ("first edge", "second edge")
"""What two edges are called that nobody named."""


def words_of(text: str, *, name: str) -> tuple[str, ...]:
    """Words with commas between them, or blanks where there is no comma.

    Parameters
    ----------
    text : str
        Such as ``"waist hip"`` or ``"side of the waist, hip"``.
    name : str
        What they are, for the error.

    Examples
    --------
    >>> words_of("waist hip", name="names"), words_of("side of the waist, hip", name="names")
    (('waist', 'hip'), ('side of the waist', 'hip'))
    """
    words = text.split(",") if "," in text else text.split()
    found = tuple(word.strip() for word in words)
    if not found or not all(found):
        raise ValueError(f"{name} must be words with blanks or commas between, got {text[:60]!r}")
    return found


def read_turns(text: str, *, name: str) -> tuple[float, ...]:
    """One angle, or one for each interval, with commas between them [rad].

    Parameters
    ----------
    text : str
        Such as ``"60 deg"`` or ``"10 deg, 40 deg, 10 deg"``.
    name : str
        What it is, for the errors.

    Examples
    --------
    >>> [round(turn, 4) for turn in read_turns("90 deg, 0.5 turn", name="turn")]
    [1.5708, 3.1416]
    """
    return tuple(angle(one.strip(), name=name) for one in text.split(","))


def taped_edge(
    *,
    name: str,
    piece: Piece,
    places: Sequence[float],
    names: Sequence[str] | None = None,
    turns: Sequence[float] | None = None,
    depth: float = np.inf,
    held: bool = False,
) -> SeamEdge:
    """An edge from tape readings.

    Parameters
    ----------
    name, piece, places, names, depth, held
        As for a `SeamEdge`.
    turns : sequence of float, optional
        How much the edge turns [rad]: one angle is spread evenly along it, else one an interval.

    Examples
    --------
    >>> from foamcalc.foam.law import Linear
    >>> eva = Piece(thickness=10, law=Linear(1.5))
    >>> taped_edge(name="front", piece=eva, places=(0, 25, 100), turns=(1.0,)).turns
    (0.25, 0.75)
    """
    edge = SeamEdge(name=name, piece=piece, places=places, names=names, depth=depth, held=held)
    if turns is None:
        return edge
    spread = turns[0] * edge.lengths / edge.length if len(turns) == 1 else np.asarray(turns)
    return replace(edge, turns=spread.tolist())
