"""Flat patterns drawn in SVG, read at true size: edges with their marks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

import numpy as np

from foamcalc.shape.drawn import Drawn
from foamcalc.shape.outline import Side
from foamcalc.shape.svg.bars import CheckBar, check
from foamcalc.shape.svg.edges import Edge, Mark, cut_edge, marks_on, whole_edge
from foamcalc.shape.svg.index import index
from foamcalc.shape.svg.lengths import PER_INCH
from foamcalc.shape.svg.marks import TOUCH, Sign
from foamcalc.shape.svg.names import Names
from foamcalc.shape.svg.page import Page, page_of
from foamcalc.shape.svg.paper import Line
from foamcalc.shape.svg.tree import Node, read_drawing, shown
from foamcalc.shape.svg.walk import walk

__all__ = ["CheckBar", "Edge", "Mark", "Pattern", "read_pattern"]

_MOST_LOOSE = 20
"""Marks without an edge that are told one by one."""


@dataclass(frozen=True, eq=False)
class Pattern:
    """A drawing of flat pieces, at true size. `read_pattern` makes it.

    Lengths are mm on paper, x to the right and y up from the lower left corner of the page, so
    that left and right of an edge are what the eye sees on the drawing. A piece that is turned
    over changes only which side that is: see `Drawn.mirrored`.

    A mark is a small thing with an id or a title that touches an edge: a circle (or any closed
    curve without straight parts) of at most 5 mm radius, a straight line of at most 20 mm, or two
    such lines that cross. Its middle must lie within 1 mm of the edge; a line counts where it
    crosses the edge, or with its nearest end. These sizes are assumed: larger circles are holes or
    discs, longer lines are edges. A mark that touches two edges marks both. A mark within 1 mm of
    an end of an edge says only where the end is.
    """

    file: str
    """Name of the file."""
    source: bytes = field(repr=False)
    """The file as it was, untouched."""
    page: Page
    """Its size, and what px were taken for."""
    check_bars: tuple[CheckBar, ...]
    """Lines that say how long they are; each has been checked."""
    _root: Node = field(repr=False)
    _names: Names = field(repr=False)
    _notes: tuple[str, ...] = field(repr=False)
    _marks_on: dict[Line, list[Mark]] = field(default_factory=dict, init=False, repr=False)
    """The marks on each outline that has been followed."""

    @property
    def width(self) -> float:
        """Width of the whole drawing [mm]."""
        return self.page.width

    @property
    def height(self) -> float:
        """Height of the whole drawing [mm]."""
        return self.page.height

    @cached_property
    def edges(self) -> tuple[str, ...]:
        """Names of all outlines that can be asked for, in the order of the file."""
        return tuple(name for name, _ in self._names.edges)

    @cached_property
    def marks(self) -> tuple[str, ...]:
        """Names of all marks, in the order of the file."""
        return tuple(sign.name for sign in self._names.signs.all)

    @property
    def question(self) -> str:
        """What the maker has to be asked about the size; empty where the size is certain."""
        if self.page.certain or self.page.told or self.check_bars:
            return ""
        return "measure a length you know on the drawing, or say per_inch=72, 90 or 96"

    def size_said(self) -> tuple[str, ...]:
        """How big the drawing is and how that is known, in lines for the maker."""
        return (*_size_lines(self), *(bar.said() for bar in self.check_bars))

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """What was left unread, and marks that touch no edge, one line each."""
        return (*self._notes, *self._names.notes, *_loose_marks(self._names))

    def edge(
        self, name: str, start: str | None = None, end: str | None = None, *, outside: Side = "left"
    ) -> Edge:
        """An edge, or the stretch of an outline between two marks."""
        line = self._names.line(name)
        if line.closed and (start is None or end is None):
            raise line.node.fault(
                "it is closed, so it has no ends: name the marks where the edge starts and ends, "
                "or ask for the whole outline"
            )
        curve, marks = self._followed(line, outside)
        if start is None and end is None:
            return whole_edge(name, line, curve, marks)
        return cut_edge(name, line, curve, marks, start, end)

    def outline(self, name: str, *, outside: Side = "left") -> Edge:
        """A whole outline, closed or not."""
        line = self._names.line(name)
        return whole_edge(name, line, *self._followed(line, outside))

    def is_opening(self, name: str) -> bool:
        """Whether a closed outline is an inner one of a path with several, a hole in its face."""
        line = self._names.line(name)
        others = [
            other
            for _, other in self._names.edges
            if other.node is line.node
            and other is not line
            and other.closed
            and (other.to_user == line.to_user).all()
        ]
        return line.closed and sum(_within(line, other) for other in others) % 2 == 1

    def _followed(self, line: Line, outside: Side) -> tuple[Drawn, list[Mark]]:
        """An outline as a curve, and all the marks on it."""
        try:
            curve = line.curve(outside)
        except ValueError as fault:
            raise line.node.fault(str(fault)) from None
        if line not in self._marks_on:  # they lie there whichever side is the outside
            self._marks_on[line] = marks_on(curve, self._names.signs.near(line))
        return curve, self._marks_on[line]


def read_pattern(path: str | Path, *, per_inch: int | None = None) -> Pattern:
    """Read a flat pattern from an SVG file, at true size.

    Parameters
    ----------
    path : path
        SVG 1.1 or 2, not compressed, at most 20 MB.
    per_inch : {72, 90, 96}, optional
        px to the inch, for a drawing whose size or shapes are in px. Today's programs take 96;
        older ones took 90 or 72. Left out, 96 is taken, and `Pattern.question` says what to ask.

    Returns
    -------
    Pattern
        Edges and marks by name.

    Raises
    ------
    ValueError
        If the file is not there, no SVG, or could do harm; if anything in it that has a name and
        is seen cannot be read; if two elements have one id; if a check bar is not as long as it
        says. Nothing is read in part.

    Notes
    -----
    A check bar is a straight line or a rectangle whose id or title says so, such as "check bar
    100 mm": it may be off by 0.5 % or 0.2 mm, whichever is more; beyond that nothing is read. All
    check bars are looked at, so one across and one down prove both ways.

    What a drawing points at outside its file is never fetched. Styles are read for showing and
    hiding only; a style that moves or sizes a shape is refused.

    Examples
    --------
    A trim with one mark on it (invented):

    >>> from tempfile import TemporaryDirectory
    >>> drawn = '''<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm"
    ... viewBox="0 0 100 60"><path id="rim" d="M10 30h80"/><circle id="A" cx="35" cy="30" r="2"/>
    ... </svg>'''
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder) / "trim.svg"
    ...     written = file.write_text(drawn)
    ...     rim = read_pattern(file).edge("rim")
    >>> print(f"{rim.length:.1f} mm, marks at {[round(m.place, 1) for m in rim.marks]}")
    80.0 mm, marks at [25.0]

    References
    ----------
    .. [1] W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), 2011.
    .. [2] W3C, Scalable Vector Graphics (SVG) 2, 2018.
    """
    drawing = read_drawing(path)
    page = page_of(drawing.root, per_inch)
    found = index(drawing)
    names = Names(walk(drawing.root, page, found), page.per_inch, drawing.root.file)
    check(names.bars, page, drawing.root.file)
    return Pattern(
        drawing.root.file,
        drawing.source,
        page,
        tuple(names.bars),
        drawing.root,
        names,
        found.notes,
    )


def _within(line: Line, other: Line) -> bool:
    """Whether an outline lies within another: most of a few of its points do."""
    points = line.chords[:: max(len(line.chords) // 15, 1), None]
    start = other.chords
    end = np.roll(start, -1, axis=0)
    level = (start[:, 1] > points[..., 1]) != (end[:, 1] > points[..., 1])
    rise = np.where(start[:, 1] == end[:, 1], 1.0, end[:, 1] - start[:, 1])
    cross = start[:, 0] + (points[..., 1] - start[:, 1]) * (end[:, 0] - start[:, 0]) / rise
    odd = (level & (cross > points[..., 0])).sum(axis=1) % 2
    return bool(odd.mean() > 0.5)


def _size_lines(pattern: Pattern) -> Iterator[str]:
    """How big the drawing is, and what that rests on."""
    page = pattern.page
    size = f"{page.width:.1f} × {page.height:.1f} mm"
    if page.certain:
        yield f"the drawing is {size}"
        return
    if page.paper_certain:
        each = (f"{100 * 25.4 / per:.2f} mm at {per}" for per in PER_INCH)
        yield (
            f"the page is {size}, but its shapes are drawn in px: a line of 100 px is "
            f"{', '.join(each)} px to the inch"
        )
    else:
        sizes = (page_of(pattern._root, per) for per in PER_INCH)
        each = (f"{s.width:.1f} × {s.height:.1f} mm at {s.per_inch}" for s in sizes)
        yield f"the drawing says its size in px only: it is {', '.join(each)} px to the inch"
    if page.told:
        yield f"{page.per_inch} px to the inch were taken, as asked"
    elif pattern.check_bars:
        yield f"{page.per_inch} px to the inch were taken, and the check bar fits"
    else:
        yield f"{page.per_inch} px to the inch were taken, as today's programs do;"
        yield pattern.question


def _loose_marks(names: Names) -> Iterator[str]:
    """A line for each mark that touches no edge; after twenty only their number."""
    touching: set[Sign] = set()
    for _, line in names.edges:
        near = {sign for sign in names.signs.near(line) if sign not in touching}
        sure = {s for s in near if not s.stroke and s.gap(line) <= TOUCH - line.slack}
        touching |= sure
        try:
            curve = line.curve() if near - sure else None
        except ValueError:  # an outline that cannot be an edge
            continue
        if curve is not None:
            touching |= {sign for sign in near - sure if marks_on(curve, [sign])}
    loose = [sign for sign in names.signs.all if sign not in touching]
    yield from (_loose(sign, names.edges) for sign in loose[:_MOST_LOOSE])
    if len(loose) > _MOST_LOOSE:
        yield f"{len(loose) - _MOST_LOOSE} more marks touch no edge"


def _loose(sign: Sign, edges: list[tuple[str, Line]]) -> str:
    """How far a mark lies from the nearest edge."""
    line = sign.lines[0].node.line
    gaps = [(sign.gap(edge), name) for name, edge in edges]
    if not gaps:
        return f"line {line}: {shown(sign.name)} is small enough for a mark, but there is no edge"
    gap, name = min(gaps)
    return (
        f"line {line}: the mark {shown(sign.name)} touches no edge; the nearest, {shown(name)}, is "
        f"{gap:.1f} mm away (a mark must be within {TOUCH:g} mm)"
    )
