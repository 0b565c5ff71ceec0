"""Edges of a seam out of a drawing: which stretch of an outline is meant, and how it is walked."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from itertools import product
from typing import NamedTuple

from foamcalc.ask.seam.build import EdgePiece, joined
from foamcalc.fit.seam import Seam, SeamEdge
from foamcalc.fit.seam.edge import ENDS
from foamcalc.guards import one_of
from foamcalc.shape.outline import Side
from foamcalc.shape.pattern import Edge, Mark, Pattern


class Wanted(NamedTuple):
    """An edge as it is asked for."""

    name: str
    """Id or title of its outline."""
    start: str | None = None
    """The mark where the seam begins on it."""
    end: str | None = None
    outside: Side | None = None
    """Of an open line: on which side of it, seen along it, there is no sheet."""


@dataclass(frozen=True, eq=False)
class DrawnEdge:
    """A stretch of an outline, and which way the seam walks it."""

    edge: Edge
    """As it is drawn."""
    turned: bool
    """Whether the seam walks it against the way it is drawn."""
    sided: bool
    """Whether it is known on which side the sheet lies, so that its turns mean something."""
    leave_out: tuple[str, ...] = ()
    """Marks that do not belong to the seam."""

    @property
    def marks(self) -> tuple[Mark, ...]:
        """Marks of the seam between its ends, in the order in which it is walked."""
        kept = tuple(m for m in self.edge.marks if m.name not in self.leave_out)
        if not self.turned:
            return kept
        return tuple(m._replace(place=self.edge.length - m.place) for m in reversed(kept))

    @property
    def walked(self) -> Edge:
        """The stretch as the seam walks it, with the marks of the seam."""
        curve = self.edge.curve.reversed() if self.turned else self.edge.curve
        return replace(self.edge, curve=curve, marks=self.marks, between_marks=self.ends)

    def drawn_place(self, place: float) -> float:
        """A place along the seam's way, as a place along the way it is drawn [mm]."""
        return self.edge.length - place if self.turned else place

    @property
    def ends(self) -> tuple[str, str] | None:
        """Names of the marks at its ends."""
        both = self.edge.between_marks
        return None if both is None else (both[1], both[0]) if self.turned else both

    def seam_edge(
        self, name: str, behind: EdgePiece, *, held: bool, ends: tuple[str, str] | None
    ) -> SeamEdge:
        """The edge of a seam."""
        marks = [(m.name, m.place) for m in self.marks]
        if ends is not None:
            marks = [(ends[0], 0.0), *marks, (ends[1], self.edge.length)]
        found = SeamEdge.from_curve(
            self.walked.curve,
            name=name,
            piece=behind.piece,
            marks=marks,
            depth=behind.depth,
            held=held,
        )
        return found if self.sided else found.with_places(found.places)


@dataclass(frozen=True, eq=False)
class DrawnSeam:
    """The two edges of a seam in a drawing."""

    pattern: Pattern
    a: DrawnEdge
    b: DrawnEdge
    notes: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, str]:
        """What the two edges are called: their outlines, with their ends if both are of one.

        A stretch that is glued to itself is glued to its mirror image.
        """
        one, two = self.a.edge.name, self.b.edge.name
        if one != two:
            return one, two
        first, second = (f"{one} from {' to '.join(e.ends or ENDS)}" for e in (self.a, self.b))
        return (first, second) if first != second else (one, f"{two} mirrored")

    @property
    def ends_known(self) -> bool:
        """Whether both ends of both edges were named, so that they tell the direction."""
        return self.a.ends is not None and self.b.ends is not None


def drawn_seam(
    pattern: Pattern,
    first: Wanted,
    second: Wanted,
    *,
    by_order: bool = False,
    leave_out: Collection[str] = (),
) -> DrawnSeam:
    """Find the two edges of a seam in a drawing.

    Between two marks of a closed outline there are two stretches. Taken are those two which have
    the most marks in common; where they have none, those in the direction in which the outlines
    are drawn, and the notes tell both.
    """
    second = second._replace(start=second.start or first.start, end=second.end or first.end)
    _check_left_out(pattern, (first, second), leave_out)
    ways = [_ways(pattern, one, leave_out) for one in (first, second)]

    def fit(pair: tuple[DrawnEdge, DrawnEdge]) -> tuple[int, int]:
        """How many marks the two have in common between their ends, and how many not."""
        one, two = ([m.name for m in way.marks] for way in pair)
        shared = min(len(one), len(two)) if by_order else len(set(one) & set(two))
        return shared, -(len(one) + len(two) - 2 * shared)

    a, b = max(product(ways[0], ways[1]), key=fit)  # of equals the first, as drawn
    if fit((a, b))[0]:
        return DrawnSeam(pattern, a, b)
    a, b = ways[0][0], ways[1][0]
    return DrawnSeam(pattern, a, b, tuple(_two_ways(zip((a, b), ways, strict=True))))


def seam_in(
    drawn: DrawnSeam,
    *,
    pieces: tuple[EdgePiece, EdgePiece],
    held: tuple[bool, bool] = (False, False),
    by_order: bool = False,
    reverse: bool | None = None,
) -> Seam:
    """The seam of two edges in a drawing.

    Ends that were named for each edge meet, whatever they are called, and are called as on the
    first one; unless the same two names stand at the ends the other way round.
    """
    if reverse is None and by_order and drawn.ends_known:
        reverse = False
    try:
        return joined(*_edges(drawn, pieces, held, by_order), reverse=reverse)
    except ValueError as fault:
        raise ValueError("; ".join([str(fault), *drawn.notes])) from None


def _edges(
    drawn: DrawnSeam,
    pieces: tuple[EdgePiece, EdgePiece],
    held: tuple[bool, bool],
    by_order: bool,
) -> tuple[SeamEdge, SeamEdge]:
    """The two edges, each walked from its first end."""
    ends = drawn.a.ends, drawn.b.ends
    if ends[0] is not None and ends[1] is not None and set(ends[0]) != set(ends[1]):
        ends = ends[0], ends[0]
    one, two = (
        edge.seam_edge(name, piece, held=fixed, ends=own)
        for edge, name, piece, fixed, own in zip(
            (drawn.a, drawn.b), drawn.names, pieces, held, ends, strict=True
        )
    )
    if by_order:
        return one, replace(two, names=None, turns=None)  # the curve tells the turns
    _check_shared(one, two)
    return one, two


def _check_shared(one: SeamEdge, two: SeamEdge) -> None:
    """Raise ValueError for two edges whose marks have nothing but other names."""
    first, second = (edge.labels[1:-1] for edge in (one, two))
    if first and len(first) == len(second) and not set(first) & set(second):
        raise ValueError(
            f"the marks on {one.name} are called {', '.join(map(repr, first))}, those on "
            f"{two.name} {', '.join(map(repr, second))}: give marks that meet one title, or match "
            "them by order"
        )


def _two_ways(chosen: Iterable[tuple[DrawnEdge, list[DrawnEdge]]]) -> Iterable[str]:
    """Where nothing tells which of two stretches is meant: both, and how to ask for the other."""
    for taken, ways in chosen:
        if len(ways) > 1:
            other = next(way for way in ways if way is not taken)
            start, end = taken.ends or ENDS
            yield (
                f"{taken.edge.name} from {start} to {end}: {taken.edge.length:.1f} mm are taken, "
                f"as the outline is drawn; the other way round it is {other.edge.length:.1f} mm. "
                "If that is meant, draw a mark on it that both edges have, or swap the two marks"
            )


def _check_left_out(
    pattern: Pattern, both: tuple[Wanted, Wanted], leave_out: Collection[str]
) -> None:
    """Raise ValueError for a mark that is to be left out and cannot be."""
    ends = {name for one in both for name in (one.start, one.end)}
    for name in leave_out:
        one_of(name, "mark to leave out", tuple(dict.fromkeys(pattern.marks)))
        if name in ends:
            raise ValueError(f"mark {name!r} is an end of the seam, so it cannot be left out")


def _ways(pattern: Pattern, one: Wanted, leave_out: Collection[str]) -> list[DrawnEdge]:
    """The stretches that may be meant, first the one in the direction of drawing."""
    left, side = tuple(leave_out), one.outside or "left"
    whole = pattern.outline(one.name, outside=side)
    if whole.closed and (one.start is None or one.end is None):
        on_it = ", ".join(repr(m.name) for m in whole.marks) or "none"
        raise ValueError(
            f"{pattern.file}: {one.name!r} is closed: name the marks where the seam begins and "
            f"ends on it; marks on it are {on_it}"
        )
    sided = whole.closed or one.outside is not None
    start, end = one.start, one.end
    if not whole.closed:
        places = {m.name: m.place for m in whole.marks}
        turned = start in places and end in places and places[start] > places[end]
        ends = (end, start) if turned else (start, end)
        return [DrawnEdge(pattern.edge(one.name, *ends, outside=side), turned, sided, left)]
    ways = [DrawnEdge(pattern.edge(one.name, start, end), False, sided, left)]
    if start != end:
        ways.append(DrawnEdge(pattern.edge(one.name, end, start), True, sided, left))
    return ways
