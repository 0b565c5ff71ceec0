"""An edge out of a drawing: its curve, its marks, and the way back into the drawing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from numpy.typing import ArrayLike

from foamcalc.shape.drawn import Drawn
from foamcalc.shape.plane import Corner, Curve, Extreme, Floats, Run
from foamcalc.shape.svg.marks import TOUCH, Sign
from foamcalc.shape.svg.paper import Line
from foamcalc.shape.svg.tree import shown

_MOST_NAMED = 12


class Mark(NamedTuple):
    """An alignment mark on an edge."""

    name: str
    """Its title, else its id."""
    place: float
    """Length along the edge from its start [mm]."""
    distance: float
    """How far the mark is drawn beside the edge [mm]; 0 where it crosses it."""


@dataclass(frozen=True, eq=False)
class Edge(Curve):
    """An edge of a flat piece, read from a drawing at true size.

    Everything that a curve tells, and where it came from.
    """

    name: str
    """The name it was asked for by."""
    curve: Drawn
    """Its course [mm], x to the right and y up from the lower left corner of the page."""
    marks: tuple[Mark, ...]
    """The marks between its ends, in order along it; the ends count as marks anyway."""
    line: int
    """Line of the file where its element begins."""
    to_user: Floats
    """2 x 3 matrix from mm back to the user units in which its element is written."""
    between_marks: tuple[str, str] | None = None
    """The marks it was cut out between, in its own direction; None for a whole outline."""

    @property
    def closed(self) -> bool:  # type: ignore[override]
        """Whether it comes back to its start."""
        return self.curve.closed

    @property
    def length(self) -> float:
        """Length along the edge [mm]."""
        return self.curve.length

    @property
    def turn(self) -> float:
        """Total turning between the ends [rad]."""
        return self.curve.turn

    @property
    def corners(self) -> tuple[Corner, ...]:
        """The corners, from the start on."""
        return self.curve.corners

    @property
    def joints(self) -> tuple[float, ...]:
        """Places between the ends where the curvature jumps [mm]."""
        return self.curve.joints

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the edge [mm], of the shape of `place`."""
        return self.curve.curvature(place)

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the edge [mm]."""
        return self.curve.heading(place)

    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place between two places along the edge [mm]."""
        return self.curve.extremes(start, end)

    def length_at(
        self, offset: ArrayLike, *, start: float = 0.0, end: float | None = None
    ) -> Floats:
        """Length of the parallel curve, as of any curve."""
        return self.curve.length_at(offset, start=start, end=end)

    def runs(self) -> tuple[Run, ...]:
        """The convex, straight and hollow runs, from the start to the end of the edge."""
        return self.curve.runs()


def marks_on(curve: Drawn, signs: Iterable[Sign]) -> list[Mark]:
    """All marks that touch an outline, in order along it.

    A line marks every place where it crosses the outline; where it does not, its end or its
    middle that is nearest. The middle of a circle or a cross counts. Further than 1 mm from the
    outline nothing is a mark of it.
    """
    found = []
    for sign in signs:
        places = curve.crossed_by(sign.points[0], sign.points[-1]) if sign.stroke else ()
        if places:
            apart = [p for i, p in enumerate(places) if _apart(p, places[:i], curve)]
            found += [Mark(sign.name, place, 0.0) for place in apart]
            continue
        nearest = min((curve.place_of(point) for point in sign.points), key=lambda n: n.distance)
        if nearest.distance <= TOUCH:
            found.append(Mark(sign.name, nearest.place, nearest.distance))
    return sorted(found, key=lambda mark: mark.place)


def _apart(place: float, others: Sequence[float], curve: Drawn) -> bool:
    """Whether a crossing is more than 1 mm along the outline from those before it."""
    gaps = [abs(place - other) for other in others]
    if curve.closed:
        gaps = [min(gap, curve.length - gap) for gap in gaps]
    return all(gap > TOUCH for gap in gaps)


def whole_edge(name: str, line: Line, curve: Drawn, marks: list[Mark]) -> Edge:
    """A whole outline with its marks; on an open one those at the very ends are left out."""
    if not curve.closed:
        marks = [m for m in marks if TOUCH < m.place < curve.length - TOUCH]
    return Edge(name, curve, tuple(marks), line.node.line, line.to_user)


def cut_edge(
    name: str, line: Line, curve: Drawn, marks: list[Mark], start: str | None, end: str | None
) -> Edge:
    """The stretch of an outline from one mark to another."""
    first = 0.0 if start is None else _place(start, line, marks)
    last = curve.length if end is None else _place(end, line, marks)
    if not curve.closed and not first < last:
        raise line.node.fault(
            f"the mark {shown(end or 'end')} at {last:.1f} mm comes before "
            f"{shown(start or 'start')} at {first:.1f} mm: name "
            "them in the direction of the outline"
        )
    part = _all_round(curve, first) if first == last else curve.part(first, last)
    shifted = [m._replace(place=(m.place - first) % curve.length) for m in marks]
    kept = sorted(
        (m for m in shifted if TOUCH < m.place < part.length - TOUCH), key=lambda m: m.place
    )
    between = (start or "start", end or "end")
    return Edge(name, part, tuple(kept), line.node.line, line.to_user, between)


def _all_round(curve: Drawn, place: float) -> Drawn:
    """A closed outline cut open at one place."""
    legs = [(place, curve.length), (0.0, place)] if place else [(0.0, curve.length)]
    segments = [segment for leg in legs for segment in curve.part(*leg).segments]
    return Drawn(segments, outside=curve.outside)


def _place(name: str, line: Line, marks: list[Mark]) -> float:
    """Where a mark lies on an outline [mm]."""
    places = [mark.place for mark in marks if mark.name == name]
    if len(places) == 1:
        return places[0]
    if places:
        where = ", ".join(f"{place:.1f}" for place in places)
        raise line.node.fault(
            f"the mark {shown(name)} is on it at {where} mm: give each its own name, and draw "
            "each so short that it crosses once"
        )
    names = list(dict.fromkeys(mark.name for mark in marks))
    known = ", ".join(map(shown, names[:_MOST_NAMED])) or "none"
    known += " …" * (len(names) > _MOST_NAMED)
    raise line.node.fault(
        f"no mark called {shown(name)} is on it; those within {TOUCH:g} mm of it are: {known}"
    )
