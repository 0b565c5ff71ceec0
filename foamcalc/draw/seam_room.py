"""How large two pieces can be drawn beside each other, and where words find room round them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from foamcalc.draw.ink import Floats
from foamcalc.draw.labels import Label, TooSmall
from foamcalc.draw.seam_bands import THICK
from foamcalc.draw.seam_pieces import PieceDrawn, Word

EDGE = 4.0
"""White edge of the picture [pt]."""
_NEEDS = (100.0, 30.0)
"""Room for words beside, and over or under, a piece whose edge looks that way [pt]."""
_ELSE = (15.0, 20.0)
"""The same where the edge does not look that way [pt]."""
_SMALLER = (1.0, 1.1, 1.2, 1.35, 1.5)
"""How much smaller the pieces may be drawn so that more words fit."""
_FARTHER = (0.0, 12.0, 26.0, 42.0)
"""How much farther from its place a word may stand [pt]."""
_CLEAR = 3.0
"""White room round words [pt]."""
_LOOKS = 9
"""Points of a line that are kept clear of words."""


class Placed(NamedTuple):
    """Words where they stand."""

    word: Word
    at: Floats
    """Their middle [pt]."""
    target: Floats | None
    """Where their line leads [pt]."""


class Room(NamedTuple):
    """Two pieces with their words."""

    scale: float
    """mm to the pt."""
    shifts: tuple[Floats, Floats]
    """From the drawing of each piece to the lower left corner of the axes [mm]."""
    words: list[Placed]


def room_for(
    pieces: tuple[PieceDrawn, PieceDrawn],
    words: Sequence[Word],
    *,
    paper: tuple[float, float],
    foot: float,
) -> Room:
    """The largest scale at which all words find room, or most of them."""
    low, high = np.array([EDGE, foot]), np.array(paper) - EDGE
    needs = np.array([_needs(piece) for piece in pieces])
    sizes = np.array([np.ptp(piece.outline, axis=0) for piece in pieces])
    scales = [_scale(sizes, needs, high - low, axis) for axis in (0, 1)]
    axis = int(scales[1] < scales[0])
    best: Room | None = None
    if np.isfinite(scales[axis]):
        for smaller in _SMALLER:
            scale = smaller * scales[axis]
            shifts = _shifts(pieces, needs, (low, high), axis, scale)
            room = Room(scale, shifts, _placed(pieces, words, shifts, scale, low, high))
            if best is None or len(room.words) > len(best.words):
                best = room
            if len(room.words) == len(words):
                break
    must = sum(word.about == "edge" for word in words)
    if best is None or sum(p.word.about == "edge" for p in best.words) < must:
        raise TooSmall.by(paper, "both pieces and their words")
    return best


def _needs(piece: PieceDrawn) -> Floats:
    """Room for words to the left and right, and below and above [pt], shape (2, 2)."""
    out = piece.out(np.linspace(piece.edge.places[0], piece.edge.places[-1], 50))
    seen = np.array([[(sign * out[:, k] > 0.4).mean() > 0.1 for sign in (-1, 1)] for k in (0, 1)])
    return np.asarray(np.where(seen, np.array(_NEEDS)[:, None], np.array(_ELSE)[:, None]))


def _scale(sizes: Floats, needs: Floats, free: Floats, axis: int) -> float:
    """Mm to the pt for pieces in a row (axis 0) or one over the other (axis 1)."""
    along = float(free[axis] - needs[:, axis].sum())
    across = float(free[1 - axis] - needs[:, 1 - axis].max(axis=0).sum())
    if along <= 0 or across <= 0:
        return np.inf
    return max(float(sizes[:, axis].sum()) / along, float(sizes[:, 1 - axis].max()) / across)


def _shifts(
    pieces: tuple[PieceDrawn, PieceDrawn],
    needs: Floats,
    corners: tuple[Floats, Floats],
    axis: int,
    scale: float,
) -> tuple[Floats, Floats]:
    """Where the pieces go [mm]; what is free is divided as the words need it."""
    low, free = corners[0] * scale, (corners[1] - corners[0]) * scale
    lows = np.array([piece.outline.min(axis=0) for piece in pieces])
    sizes = np.array([np.ptp(piece.outline, axis=0) for piece in pieces])
    way = 1 - 2 * axis  # read from left to right, or from the top down
    middles = [way * float(piece.outline[:, axis].mean()) for piece in pieces]
    lower, upper = np.argsort(middles, kind="stable")[::way]
    share = needs[:, axis] / needs[:, axis].sum() * (free[axis] - sizes[:, axis].sum())
    begin = np.zeros((2, 2))
    begin[lower, axis] = share[lower, 0]
    begin[upper, axis] = share[lower].sum() + sizes[lower, axis] + share[upper, 0]
    other = 1 - axis
    part = needs[:, other].max(axis=0)
    begin[:, other] = part[0] / part.sum() * (free[other] - sizes[:, other])
    shifts = begin + low - lows
    return shifts[0], shifts[1]


def _placed(
    pieces: tuple[PieceDrawn, PieceDrawn],
    words: Sequence[Word],
    shifts: tuple[Floats, Floats],
    scale: float,
    low: Floats,
    high: Floats,
) -> list[Placed]:
    """A place for every word that finds one, the nearest first."""
    clear = np.concatenate(
        [
            (points + shift) / scale
            for piece, shift in zip(pieces, shifts, strict=True)
            for points in (piece.outline, *_bands(piece, scale))
        ]
    )
    boxes = np.empty((0, 4))
    found: list[Placed] = []
    for word in words:
        half = np.array(word.label.size) / 2
        for at, target in _tries(word.label, shifts[word.piece], scale):
            box, line = np.concatenate([at - half, at + half]), _line(at, target)
            if (box[:2] < low).any() or (box[2:] > high).any():
                continue
            if _over(box, boxes) or _inside(line, boxes) or _inside(clear, box[None]):
                continue
            boxes = np.vstack([boxes, box])
            clear = np.vstack([clear, line[:-1]])
            found.append(Placed(word, at, target))
            break
    return found


def _bands(piece: PieceDrawn, scale: float) -> tuple[Floats, Floats]:
    """The middle and the far side of what is inked along an edge [mm]."""
    first, last = piece.edge.places[0], piece.edge.places[-1]
    count = max(int((last - first) / scale / (THICK / 2)), 2)
    along = np.linspace(first, last, count)
    edge, deep = piece.at(along), THICK * scale * piece.out(along)
    return edge - deep / 2, edge - deep


def _tries(label: Label, shift: Floats, scale: float) -> list[tuple[Floats, Floats | None]]:
    """Middles of the places that words may take [pt], the best first, and where a line leads."""
    found = []
    half = np.array(label.size) / 2
    for farther in _FARTHER:
        for spot in label.spots:
            out = np.array(spot.out)
            away = float(np.abs(out) @ half) + (_CLEAR + farther if out.any() else 0.0)
            at = (np.array(spot.at) + shift) / scale + away * out
            target = None if spot.target is None else (np.array(spot.target) + shift) / scale
            found.append((at, target))
    return found


def _line(at: Floats, target: Floats | None) -> Floats:
    """Points from words to where their line leads; the last one is its end."""
    if target is None:
        return at[None]
    return at + np.linspace(0, 1, _LOOKS)[:, None] * (target - at)


def _over(box: Floats, boxes: Floats) -> bool:
    """Whether a box comes within a point of any of some boxes."""
    near = np.minimum(box[2:], boxes[:, 2:]) > np.maximum(box[:2], boxes[:, :2]) - 1.0
    return bool(near.all(axis=1).any())


def _inside(points: Floats, boxes: Floats) -> bool:
    """Whether any of some points lies in any of some boxes, or within a point of it."""
    low, high = boxes[:, None, :2] - 1.0, boxes[:, None, 2:] + 1.0
    return bool(((points > low) & (points < high)).all(axis=-1).any())
