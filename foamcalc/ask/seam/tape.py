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
    """Words with commas between them, or blanks where there is no comma."""
    words = text.split(",") if "," in text else text.split()
    found = tuple(word.strip() for word in words)
    if not found or not all(found):
        raise ValueError(f"{name} must be words with blanks or commas between, got {text[:60]!r}")
    return found


def read_turns(text: str, *, name: str) -> tuple[float, ...]:
    """One angle, or one for each interval, with commas between them [rad]."""
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
    """An edge from tape readings."""
    edge = SeamEdge(name=name, piece=piece, places=places, names=names, depth=depth, held=held)
    if turns is None:
        return edge
    spread = turns[0] * edge.lengths / edge.length if len(turns) == 1 else np.asarray(turns)
    return replace(edge, turns=spread.tolist())
