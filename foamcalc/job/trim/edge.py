"""The edge that a strip follows: from a tape and an angle, or out of a drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

import numpy as np

from foamcalc.guards import positive, single
from foamcalc.shape.curve import FULL_TURN, Arc, Curve, TurnedLength
from foamcalc.shape.opening import Opening
from foamcalc.shape.outline import Side
from foamcalc.shape.pattern import Pattern
from foamcalc.tables import look_up
from foamcalc.units import System, format_angle, format_length

Around = Literal["piece", "opening"]
"""What a closed edge goes round: the foam, or an opening in it."""
WAYS = "--length with --turn, --radius with --turn, --round, or a drawing with --edge"
"""How an edge may be said at the bench."""


class NamedPlace(NamedTuple):
    """A mark on an edge."""

    name: str
    """Its name in a drawing; empty where it has none."""
    place: float
    """Length along the edge [mm]."""


@dataclass(frozen=True, eq=False)
class TrimEdge:
    """An edge, how it is known, and the marks that are drawn on it."""

    curve: Curve
    said: str
    """How it is known, with its length and its turn left out."""
    marks: tuple[NamedPlace, ...] = ()

    def describe(self, system: System = "mm") -> str:
        """Length, turn, and how they are known."""
        size = format_length(self.curve.length, system=system)
        once = ", closed" if self.curve.closed else ""
        return f"edge {size} long{once}, turn {format_angle(self.curve.turn)} ({self.said})"


def round_opening(edge: TrimEdge) -> TrimEdge:
    """A closed edge, or a part of one, as the edge of an opening in the foam."""
    return replace(edge, curve=Opening(edge.curve), said=f"round an opening; {edge.said}")


def measured_edge(
    *,
    length: float | None = None,
    turn: float | None = None,
    radius: float | None = None,
    girth: float | None = None,
    around: Around | None = None,
) -> TrimEdge:
    """An edge that bends evenly, from what was measured.

    Parameters
    ----------
    length : float, optional
        Length along it [mm]; with `turn`.
    turn : float, optional
        Angle between its ends [rad], negative for a hollow. With `girth` only a full turn:
        negative for the edge of a hole.
    radius : float, optional
        Radius [mm]; with `turn`.
    girth : float, optional
        Once round a closed edge, such as that of a disc [mm].
    around : {"piece", "opening"}, optional
        With `girth`, in place of `turn`: whether the foam lies within it.

    Raises
    ------
    ValueError
        Unless one of the three ways is given, whole.

    Examples
    --------
    >>> measured_edge(length=500, turn=np.pi).describe()
    'edge 500 mm long, turn 180° (tape and angle, taken as evenly curved; a tape is good to ± 1 mm)'
    """
    given = {"--length": length, "--radius": radius, "--round": girth}
    said = [name for name, value in given.items() if value is not None]
    if len(said) != 1:
        what = f"got {' and '.join(said)}" if said else "got none of them"
        raise ValueError(f"say the edge in one way: {WAYS}; {what}")
    if around is not None and girth is None:
        raise ValueError("--around goes with a closed edge only, --round; leave it out")
    if around is not None and turn is not None:
        raise ValueError("what the edge goes round must be said once: --around or --turn")
    if girth is not None:
        whole = single(positive(girth, "round"), "round")
        turned = FULL_TURN if turn is None else turn
        if not np.isclose(abs(turned), FULL_TURN, rtol=1e-9):
            raise ValueError(
                f"turn of an edge that goes once round must be 360 deg, or -360 deg round a hole, "
                f"got {np.degrees(turned):.4g} deg; for a part of it give --length or --radius"
            )
        closed = Arc(whole / FULL_TURN, turned, closed=True)
        edge = TrimEdge(closed, f"once round by the tape, taken as a circle; {_tape()}")
        return round_opening(edge) if around == "opening" else edge
    if turn is None:
        raise ValueError(
            f"{said[0]} needs --turn, the angle between the two ends of the edge, such as "
            "'180 deg'; '0 deg' where it is straight, below 0 where it is hollow"
        )
    if radius is not None:
        return TrimEdge(Arc(radius, turn), "radius and angle")
    bent = TurnedLength(float(length or 0.0), turn)
    return TrimEdge(bent, f"tape and angle, taken as evenly curved; {_tape()}")


def _tape() -> str:
    """How good a tape reading is."""
    return f"a tape is good to ± {look_up('limits', 'habit', 'tape_reading').printed} mm"


def drawn_edge(
    pattern: Pattern,
    name: str,
    *,
    start: str | None = None,
    end: str | None = None,
    outside: Side | None = None,
    around: Around | None = None,
) -> TrimEdge:
    """An edge out of a drawing.

    Parameters
    ----------
    pattern : Pattern
        The drawing.
    name : str
        Id or title of the outline.
    start, end : str, optional
        Marks where the strip begins and ends; a closed outline is gone once round without them.
    outside : {"left", "right"}, optional
        Side of an open line on which no foam lies, seen along it.
    around : {"piece", "opening"}, optional
        Whether a closed outline has its foam within or goes round an opening; left out, an inner
        outline of a path with several is an opening, and every other one a piece.

    Raises
    ------
    ValueError
        For an outline or a mark that is not there; for one end of a closed outline alone; for an
        open line without its outside.
    """
    whole = pattern.outline(name, outside=outside or "left")
    if not whole.closed and outside is None:
        raise ValueError(
            f"{pattern.file}: {name!r} is an open line, so that no one knows where it is hollow: "
            "say with --outside on which side of it no foam lies, left or right, seen along it"
        )
    if whole.closed and outside is not None:
        raise ValueError(
            f"{pattern.file}: {name!r} is closed: leave --outside out, and say --around opening "
            "where it goes round an opening in the foam"
        )
    if not whole.closed and around is not None:
        raise ValueError(
            f"{pattern.file}: --around goes with a closed edge only, and {name!r} is an open line; "
            "say --outside"
        )
    ends: Sequence[str | None] = (start, end)
    if whole.closed and (start is None) != (end is None):
        raise ValueError(
            f"{pattern.file}: {name!r} is closed: name both marks, where the strip begins and "
            "where it ends, or none to go once round"
        )
    if whole.closed and start is None:
        edge, part = whole, f"{name} in {pattern.file}, once round"
    else:
        edge = pattern.edge(name, *ends, outside=outside or "left")
        part = f"{name} in {pattern.file}"
        if edge.between_marks is not None:
            part += f" from {' to '.join(edge.between_marks)}"
    marks = tuple(NamedPlace(m.name, m.place) for m in edge.marks)
    way = "" if not whole.closed or start is None else ", in the direction of drawing"
    found = TrimEdge(edge, f"{part}{way}; the cut edge is as good as the knife", marks)
    if around is None and whole.closed and pattern.is_opening(name):
        around = "opening"
    return round_opening(found) if around == "opening" else found
