"""Where everything stands in the picture of a seam laid out straight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foamcalc.draw.ink import Floats
from foamcalc.draw.labels import TooSmall, on_paper
from foamcalc.draw.lettering import POINT, printable, wrap
from foamcalc.draw.seam_bands import PLUS, THICK, disagreeing, edge_words, key_width, numbers, wide
from foamcalc.draw.seam_rows import MarkNames, mark_names, spread
from foamcalc.fit.limits import tape_reading
from foamcalc.fit.seam.joined import SIDES, Seam, Side
from foamcalc.fit.seam.order import gluing_order
from foamcalc.fit.seam.words import direction_words
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes

EDGE = 4.0
"""White edge of the picture [pt]."""
LEAD = 14.0
"""Length of the lines from bands to numbers [pt]."""
RING = 0.75
"""Radius of the rings round the numbers of the order, in sizes of their type."""
_ZONE = (40.0, 130.0)
"""Least and largest distance between the two edges [pt]."""
_LONGEST_NAME = 90.0
"""Longest name of a mark when it stands upright [pt]."""
_FARTHEST = 9.0
"""How far numbers may be moved aside, in sizes of their type."""


@dataclass(frozen=True, kw_only=True)
class Plan:
    """x in mm from the first mark, y in pt from the foot."""

    size: tuple[float, float]
    """Width and height of the axes [pt]."""
    points: float
    """Size of the words [pt]."""
    scale: float
    """mm to the pt, along the seam."""
    left: float
    """Where the first mark is [pt from the left]."""
    names: MarkNames
    rows: dict[Side, dict[int, float]]
    """Middles of the numbers beside each edge, by interval [mm]."""
    lines: dict[Side, int]
    """How many lines those numbers have at most."""
    rings: dict[int, tuple[int, int]]
    """Place in the order, and row of its ring, by mark; empty if the order is not shown."""
    heads: dict[Side, str]
    """Words on the dimension line of each edge."""
    more: str
    """Words of the key behind its strokes."""
    notes: tuple[str, ...]
    """Lines under the key."""
    edges: dict[Side, float]
    """Heights of the two cut edges [pt]."""

    @property
    def row(self) -> float:
        """Height of a line of words [pt]."""
        return 1.3 * self.points

    def levels(self, side: Side) -> tuple[float, float]:
        """How far beyond an edge its numbers begin, and its dimension line is [pt]."""
        return _levels(self.lines[side], self.points)

    @property
    def key(self) -> float:
        """Height of the middle of the key [pt]."""
        return EDGE + (len(self.notes) + 0.5) * self.row


def plan(ax: Axes, *, seam: Seam, system: System, order: bool, points: float) -> Plan:
    """Find room for everything.

    Raises
    ------
    TooSmall
        If the axes are too small for the words.
    """
    size = on_paper(ax)
    free = size[0] - 2 * EDGE
    out = disagreeing(seam)
    names = _names(seam, out, free, points)
    long = max(seam.a.length, seam.b.length)
    scale = long / max(free - 2 * names.margin, 1.0)
    left = EDGE + names.margin
    at = {side: places(seam, side) / scale + left for side in SIDES}
    rings = _rings(seam, (at["a"] + at["b"]) / 2, points) if order else {}
    rows = _rows(seam, out, size[0], at, points, system)
    lines = {side: _lines(seam, side, rows[side], system) for side in SIDES}
    heads = {s: edge_words(seam, s, system, most=free, points=points) for s in SIDES}
    more, *said = _notes(seam, rows, len(out), names, free, points)
    notes = tuple(n for text in said for n in wrap(text, wide=free * POINT, points=points))
    beyond = {side: _levels(lines[side], points)[1] + 4.0 + 1.3 * points for side in SIDES}
    floor = EDGE + (len(notes) + bool(out)) * 1.3 * points + beyond["b"]
    ceiling = size[1] - EDGE - beyond["a"]
    ring_rows = max((r for _, r in rings.values()), default=-1) + 1
    needed = max(_ZONE[0], names.long + 12.0) + ring_rows * ring_step(points)
    across = max(key_width(points, ""), *(wide(h, points, bold=True) for h in heads.values()))
    if across > free or names.margin > 0.3 * free or ceiling - floor < needed:
        raise TooSmall.by(size, "the words of the seam")
    zone = min(ceiling - floor, max(_ZONE[1], needed))
    low = floor + (ceiling - floor - zone) / 2
    return Plan(
        size=size,
        points=points,
        scale=scale,
        left=left,
        names=names,
        rows={s: {i: (x - left) * scale for i, x in row.items()} for s, row in rows.items()},
        lines=lines,
        rings=rings,
        heads=heads,
        more=more,
        notes=notes,
        edges={"a": low + zone, "b": low},
    )


def _levels(lines: int, points: float) -> tuple[float, float]:
    """How far beyond an edge numbers of so many lines begin, and its dimension line is [pt]."""
    begin = THICK + (LEAD if lines else 4.0)
    return begin, begin + lines * 1.3 * points + 6.0


def ring_step(points: float) -> float:
    """Distance from one row of rings to the next [pt]."""
    return 2.3 * RING * points


def places(seam: Seam, side: Side) -> Floats:
    """Places of the marks along an edge from its first one [mm], walked like the first edge."""
    found = np.array(seam.edge(side).places, dtype=np.float64)
    return np.asarray(found - found[0])


def _names(seam: Seam, out: list[int], free: float, points: float) -> MarkNames:
    """The names of the marks; those beside large differences are given up last."""
    labels = [printable(name) for name in seam.a.labels]
    last = len(labels) - 1
    first = dict.fromkeys([0, last, *(k for i in out for k in (i, i + 1)), *range(last)])
    along = (places(seam, "a") + places(seam, "b")) / 2 / max(seam.a.length, seam.b.length)
    return mark_names(
        labels, along, first=list(first), free=free, longest=_LONGEST_NAME, points=points
    )


def _rings(seam: Seam, marks: Floats, points: float) -> dict[int, tuple[int, int]]:
    """The gluing order, in as few rows of rings as keep them apart."""
    found: dict[int, tuple[int, int]] = {}
    ends: list[float] = []
    number = {mark: n for n, mark in enumerate(gluing_order(seam.a.places), 1)}
    for mark, x in enumerate(marks.tolist()):
        row = next((r for r, end in enumerate(ends) if x - end >= 2 * RING * points + 1.5), None)
        if row is None:
            row = len(ends)
            ends.append(x)
        ends[row] = x
        found[mark] = (number[mark], row)
    return found


def _rows(
    seam: Seam,
    out: list[int],
    wide_pt: float,
    at: dict[Side, Floats],
    points: float,
    system: System,
) -> dict[Side, dict[int, float]]:
    """Numbers of as many intervals as find room, those with the largest differences [pt]."""
    for count in range(len(out), 0, -1):
        shown = sorted(out[:count])
        rows = {
            side: _one_row(seam, side, shown, wide_pt, at[side], points, system) for side in SIDES
        }
        found = {side: row for side, row in rows.items() if row is not None}
        if len(found) == len(SIDES):
            return found
    return {side: {} for side in SIDES}


def _one_row(
    seam: Seam,
    side: Side,
    shown: list[int],
    wide_pt: float,
    marks: Floats,
    points: float,
    system: System,
) -> dict[int, float] | None:
    """Middles of the numbers beside one edge [pt]; None if they do not fit."""
    said = {i: numbers(seam, side, i, system).lines for i in shown}
    told = [i for i in shown if said[i]]
    widths = np.array([max(wide(t, points, bold=True) for t in said[i]) for i in told])
    middles = np.array([(marks[i] + marks[i + 1]) / 2 for i in told])
    found = spread(middles, widths, low=EDGE, high=wide_pt - EDGE)
    if found is None or (np.abs(found - middles) > _FARTHEST * points).any():
        return None
    return dict(zip(told, found.tolist(), strict=True))


def _lines(seam: Seam, side: Side, row: dict[int, float], system: System) -> int:
    """How many lines the numbers beside an edge have at most."""
    return max((len(numbers(seam, side, i, system).lines) for i in row), default=0)


def _notes(
    seam: Seam,
    rows: dict[Side, dict[int, float]],
    out: int,
    names: MarkNames,
    free: float,
    points: float,
) -> list[str]:
    """Words of the key, then what is not shown, and how the second edge was walked."""
    leans = (np.abs(seam.intervals.ahead) > tape_reading()).any()
    signs = f"{PLUS}; dotted: straight across" if leans else PLUS
    fits = key_width(points, signs) <= free
    said = [signs if fits else ""]
    if not out:
        said.append("The edges agree between all marks, as far as a tape shows.")
    elif not fits:
        said.append(signs)
    told = len(set(rows["a"]) | set(rows["b"]))
    if told < out:
        said.append(f"Numbers stand beside the {told} largest of {out} differences.")
    left_out = len(seam.a.labels) - len(names.shown)
    if left_out:
        said.append(f"{left_out} marks have no room for their names.")
    if seam.matched.reversed:
        said.append(direction_words(seam))
    return said
