"""A seam on the drawing of its two pieces: to scale, with what happens between its marks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from foamcalc.draw.dimension import dimension_line
from foamcalc.draw.ink import INK, QUIET, Floats, bare, size
from foamcalc.draw.labels import on_paper
from foamcalc.draw.lettering import POINT, wrap
from foamcalc.draw.paper import INCH
from foamcalc.draw.seam_bands import (
    PITCH,
    PLUS,
    THICK,
    band,
    disagreeing,
    key,
    key_width,
    what_happens,
    write,
)
from foamcalc.draw.seam_pieces import PieceDrawn, pieces_of, words_of
from foamcalc.draw.seam_room import EDGE, Placed, Room, room_for
from foamcalc.fit.seam.joined import Seam
from foamcalc.fit.seam.words import direction_words
from foamcalc.guards import one_of, positive
from foamcalc.shape.pattern import Edge
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_TICK = 4.0
"""How far the line at a mark stands out of its edge [pt]."""


def seam_drawing(
    ax: Axes,
    *,
    edges: tuple[Edge, Edge],
    seam: Seam,
    outlines: Sequence[Edge] = (),
    system: System = "mm",
    fontsize: float = 10.0,
) -> Axes:
    """Draw both pieces of a seam as they are drawn, with what happens between the marks.

    Parameters
    ----------
    ax : Axes
        Where; its data are mm. Its size on paper must be set.
    edges : tuple of Edge
        The two edges, from `Pattern.edge`, in the order of the seam.
    seam : Seam
        The seam made of them.
    outlines : sequence of Edge, optional
        The whole pieces, from `Pattern.outline`, in the same order; left out, the edges stand
        alone.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.
    fontsize : float
        Size of the words [pt], above 0.

    Returns
    -------
    Axes
        The one that was given.

    Raises
    ------
    ValueError
        For edges on which the marks of the seam have no place.
    TooSmall
        If the axes are too small for the words.

    Notes
    -----
    Both pieces are to one scale and turned as in the drawing, side by side or one over the other,
    whichever leaves them larger. Bands, strokes and numbers are as in
    `foamcalc.draw.seam_chart.seam_chart`; where the edges agree there is no band.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> from matplotlib.figure import Figure
    >>> from foamcalc.fit.seam import SeamEdge
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.pattern import read_pattern
    >>> drawn = '''<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="90mm"
    ... viewBox="0 0 200 90"><path id="left" d="M20 80q20-35 0-70"/>
    ... <path id="right" d="M100 80q25-35 0-70"/></svg>'''
    >>> with TemporaryDirectory() as folder:
    ...     written = (Path(folder) / "cup.svg").write_text(drawn)
    ...     cup = read_pattern(Path(folder) / "cup.svg")
    >>> edges = cup.edge("left"), cup.edge("right")
    >>> eva = Piece(thickness=10, law=foam("EVA medium"))
    >>> a, b = (SeamEdge.from_curve(e, name=e.name, piece=eva) for e in edges)
    >>> ax = Figure(figsize=(7, 4)).add_axes((0, 0, 1, 1))
    >>> seam_drawing(ax, edges=edges, seam=Seam(a=a, b=b)) is ax
    True
    """
    one_of(system, "system", ("mm", "in"))
    points = float(positive(fontsize, "fontsize", "1"))
    pieces = pieces_of(edges, seam, outlines)
    words = words_of(pieces, seam, system, points)
    paper = on_paper(ax)
    free, row = paper[0] - 2 * EDGE, 1.3 * points
    notes: tuple[str, ...] = ()
    while True:
        rows = len(notes) + bool(disagreeing(seam))
        foot = EDGE + rows * row + 12.0 + row
        room = room_for(pieces, words, paper=paper, foot=foot)
        found = _notes(seam, room.words, free, points)
        if len(found) <= len(notes):
            break
        notes = found
    for piece, shift in zip(pieces, room.shifts, strict=True):
        _piece(ax, piece, seam, shift, room.scale)
    for placed in room.words:
        _word(ax, placed, room.scale, points)
    _foot(ax, seam, room, (free, points), found, system)
    ax.set_xlim(0, paper[0] * room.scale)
    ax.set_ylim(0, paper[1] * room.scale)
    bare(ax)
    return ax


def _notes(seam: Seam, words: Sequence[Placed], free: float, points: float) -> tuple[str, ...]:
    """What is not shown, and how the second edge was walked, in lines."""
    out, said = disagreeing(seam), []
    told = {p.word.number for p in words if p.word.about == "interval"}
    named = {p.word.number for p in words if p.word.about == "mark"}
    if not out:
        said.append("The edges agree between all marks, as far as a tape shows.")
    elif key_width(points, PLUS) > free:
        said.append(PLUS)
    if len(told) < len(out):
        said.append(f"Numbers stand beside {len(told)} of {len(out)} differences.")
    if len(named) < len(seam.a.labels):
        said.append(f"{len(seam.a.labels) - len(named)} marks have no room for their names.")
    if seam.matched.reversed:
        said.append(direction_words(seam))
    return tuple(line for text in said for line in wrap(text, wide=free * POINT, points=points))


def _piece(ax: Axes, piece: PieceDrawn, seam: Seam, shift: Floats, scale: float) -> None:
    """The outline, a band in each interval that disagrees, and lines at the marks."""
    ax.plot(*(piece.outline + shift).T, color=INK, linewidth=0.9, gid=f"outline {piece.side}")
    first, last = piece.edge.places[0], piece.edge.places[-1]
    line = piece.at(np.linspace(first, last, 400)) + shift
    ax.plot(*line.T, color=INK, linewidth=1.8, zorder=2.8, gid=f"edge {piece.side}")
    out = seam.intervals.unequal
    for i, what in enumerate(what_happens(seam, piece.side)):
        if out[i]:
            low, high = piece.span(i)
            count = max(round((high - low) / scale / PITCH), 2) + 1
            along = np.linspace(low, high, count)
            inward = -THICK * scale * piece.out(along)
            gid = f"{piece.side} {i}"
            edge = piece.at(along) + shift
            band(ax, edge=edge, inward=inward, what=what, side=piece.side, gid=gid)
    for place in piece.edge.places:
        at, away = piece.at(place) + shift, piece.out(place) * scale
        ends = np.array([at - THICK * away, at + _TICK * away])
        ax.plot(*ends.T, color=INK, linewidth=1.2, zorder=3)


def _word(ax: Axes, placed: Placed, scale: float, points: float) -> None:
    """Words with a thin line to their place."""
    at, label = placed.at * scale, placed.word.label
    if placed.target is not None:
        ends = np.array([at, placed.target * scale])
        ax.plot(*ends.T, color=QUIET, linewidth=0.7, zorder=1.5)
    write(ax, label.text, (float(at[0]), float(at[1])), points=points, bold=label.bold)


def _foot(
    ax: Axes,
    seam: Seam,
    room: Room,
    type_area: tuple[float, float],
    notes: Sequence[str],
    system: System,
) -> None:
    """A length for a scale, the key, and the notes."""
    (free, points), scale = type_area, room.scale
    row, left = 1.3 * points, EDGE * scale
    for n, text in enumerate(notes):
        y = EDGE + (len(notes) - n - 0.5) * row
        write(ax, text, (left, y * scale), points=points, ha="left")
    foot = EDGE + len(notes) * row
    if disagreeing(seam):
        more = PLUS if key_width(points, PLUS) <= free else ""
        at = (left, (foot + row / 2) * scale)
        key(ax, at=at, per_pt=(scale, scale), points=points, more=more)
        foot += row
    long = _round_length(0.3 * free * scale, system)
    level, start = (foot + row + 3.0) * scale, (foot + row + 6.0) * scale
    middle = left + free * scale / 2
    ends = (middle - long / 2, middle + long / 2)
    dimension_line(ax, ends=ends, starts=(start, start), level=level, tight=2 * points * scale)
    write(ax, size(long, system), (middle, (foot + row / 2) * scale), points=points)


def _round_length(most: float, system: System) -> float:
    """The largest round length up to another [mm]: 1, 2 or 5 times ten mm, or inches by halves."""
    if system == "in":
        return float(INCH * 2.0 ** np.floor(np.log2(most / INCH)))
    ten = 10.0 ** np.floor(np.log10(most))
    return float(ten * max(n for n in (1, 2, 5) if n * ten <= most))
