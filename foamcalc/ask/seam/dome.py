"""What a seam does to the flat sheet, in one line."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.seam import Seam
from foamcalc.fit.seam.remedies import SeamWay, dart_legs
from foamcalc.units import format_angle

Floats = NDArray[np.float64]

_SEEN = np.radians(2.0)
"""A smaller angle is no curving that a hand feels in foam (assumed) [rad]."""
_MORE = 1.2
"""How many times more than the others an interval has where it is named (assumed)."""


def doming(seam: Seam) -> Floats | None:
    """Gauss curvature that a seam gathers between its marks.

    Parameters
    ----------
    seam : Seam
        The seam.

    Returns
    -------
    ndarray or None
        One angle an interval [rad], walked the way of the first edge: above 0 the shell is domed,
        below 0 bent like a saddle. None where it is not known how the edges turn.

    Notes
    -----
    The turning of both edges together, each positive where its outline is convex.

    Examples
    --------
    >>> from foamcalc.fit.seam import SeamEdge
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.law import Linear
    >>> eva = Piece(thickness=10, law=Linear(1.5))
    >>> one, two = (SeamEdge(name=name, piece=eva, places=(0, 50, 100), turns=turns)
    ...             for name, turns in (("front", (0.4, 0.1)), ("back", (0.3, -0.1))))
    >>> doming(Seam(a=one, b=two)).tolist()
    [0.7, 0.0]
    """
    one, two = seam.edge("a").turns, seam.edge("b").turns
    if one is None or two is None:
        return None
    return np.add(one, two)


def dome_words(seam: Seam, way: SeamWay | None = None) -> str:
    """What a seam does to the flat sheet; nothing where it is not known how its edges turn.

    A dart that is cut into an edge (`way`) domes the sheet at its tip, by the angle it takes out.
    """
    by = doming(seam)
    if by is None:
        return ""
    darts = [a.where for a in way.amounts if a.what == "dart"] if way else []
    tips = sum(dart_legs(seam, seam.intervals.find(where))[1] for where in darts)
    if (np.abs(by) < _SEEN).all() and not darts:
        return (
            "Glued together they leave the sheet flat, so that it can only be rolled: the edges "
            "curve alike, or not at all."
        )
    total = float(by.sum()) + tips
    if abs(total) < _SEEN:
        said = "Glued together they dome the sheet and bend it like a saddle, 0° in all"
    else:
        said = f"Glued together they {_does(total)} in all"
        if total > 0:
            said += " (half a ball: 360°)"
    most = int(np.argmax(np.abs(by)))
    if by.size > 1 and abs(by[most]) > _MORE * abs(total) / by.size:
        said += f", most from {seam.intervals.name(most)}: {_size(float(by[most]), total)}"
    if darts:
        where = "the tip of the dart" if len(darts) == 1 else "the tips of the darts"
        said += f", {format_angle(tips)} of it at {where}"
    return f"{said}."


def _does(turn: float) -> str:
    what = "dome the sheet" if turn > 0 else "bend the sheet like a saddle"
    return f"{what} by {format_angle(abs(turn))}"


def _size(turn: float, total: float) -> str:
    """An angle; whether it domes is said where the whole does otherwise."""
    unlike = turn * total <= 0 or abs(total) < _SEEN
    way = (", domed" if turn > 0 else ", like a saddle") if unlike else ""
    return f"{format_angle(abs(turn))}{way}"
