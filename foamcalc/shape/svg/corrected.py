"""A drawing with some of its marks moved along their edges, everything else as it was."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

import numpy as np

from foamcalc.guards import finite, single
from foamcalc.shape.pattern import Pattern, read_pattern
from foamcalc.shape.plane import Floats
from foamcalc.shape.svg.carriers import carriers
from foamcalc.shape.svg.edges import Edge, marks_on
from foamcalc.shape.svg.marks import TOUCH, Sign
from foamcalc.shape.svg.names import Thing
from foamcalc.shape.svg.paper import Line
from foamcalc.shape.svg.start_tags import Source
from foamcalc.shape.svg.tree import shown

_SAME_PLACE = 1e-6
"""Places nearer to each other are one [mm]."""
_NO_TURN = 1e-12
"""Sine of a turn that is none."""


class NewPlace(NamedTuple):
    """Where a mark shall stand."""

    edge: Edge
    mark: str
    """Its name, as in `Edge.marks`."""
    place: float
    """Length along the edge from its start [mm]."""


class _Move(NamedTuple):
    """A mark on its way along a whole outline."""

    number: int
    """Which of the named things of the drawing the mark is."""
    line: Line
    outline: Edge
    was: float
    """Its place along the outline [mm]."""
    place: float
    """Its new place along the outline [mm]."""
    said: str
    """The move in words."""


def corrected(pattern: Pattern, moves: Sequence[tuple[Edge, str, float]]) -> bytes:
    """The drawing with some marks moved along their edges.

    A mark keeps its form and moves as if it were fixed to the edge: the point where it marks goes
    to the new place, it turns by as much as the direction of the edge differs there, and one that
    is drawn a little beside the edge stays as far from it, on the same side. This is written as a
    transform, the last one in the mark's own element, in the user units in which its shape is
    drawn. Every other byte stays, and a comment at the end names what was moved.

    Only marks move. The outline is not drawn anew: where an edge has to be cut longer, shorter or
    on another curve, its line is still the old one. Where another edge begins or ends at a mark
    that moves, that end moves too. The marks' old places are not left in the drawing, for a
    plotter would cut them; the file as it was shows them.

    The new drawing is read again before it is handed back, and each mark must then stand within
    1e-6 mm of its place, on no other edge.
    """
    found = [_move(pattern, NewPlace(*move)) for move in moves]
    if not found:
        return pattern.source
    _check_order(pattern, found)
    transforms: dict[int, str] = {}
    for move in found:
        thing = pattern._names.counted[move.number]
        on_paper = _along(move, thing)
        for node, own in carriers(thing, pattern._root, pattern.page.per_inch):
            if id(node) in transforms:
                raise node.fault("is to be moved twice: give each mark one new place")
            transforms[id(node)] = _written(own @ on_paper @ np.linalg.inv(own))
    note = f"Marks moved along their edges: {'; '.join(move.said for move in found)}"
    new = Source(pattern.source, pattern._root).with_transforms(transforms, note)
    _check_again(pattern, new, found)
    return new


def _move(pattern: Pattern, new: NewPlace) -> _Move:
    """What moves, and where to on the whole outline."""
    edge, name, place = new
    on_edge = [mark.place for mark in edge.marks if mark.name == name]
    if len(on_edge) != 1:
        known = ", ".join(shown(m.name) for m in edge.marks) or "none"
        many = "is there more than once" if on_edge else "is not between its ends"
        raise ValueError(
            f"{pattern.file}, edge {shown(edge.name)}: mark {shown(name)} {many}, so it cannot be "
            f"moved; marks there are: {known}"
        )
    place = single(finite(place, f"new place of mark {shown(name)}"), "new place")
    whole = edge.closed and edge.between_marks is None
    low, high = (0.0, edge.length) if whole else (TOUCH, edge.length - TOUCH)
    if not low <= place <= high:
        why = "" if whole else f", {TOUCH:g} mm clear of its ends"
        raise ValueError(
            f"{pattern.file}, edge {shown(edge.name)}: the new place of mark {shown(name)} must be "
            f"from {low:g} to {high:.1f} mm along it{why}, got {place:g}"
        )
    outline = pattern.outline(edge.name, outside=edge.curve.outside)
    line = pattern._names.line(edge.name)
    number, was = _found(pattern, name, line, outline, edge.curve.point(on_edge[0]))
    there = was + place - on_edge[0]
    if outline.closed:
        there %= outline.length
    said = f"{shown(name)} on {shown(edge.name)} from {on_edge[0]:.1f} to {place:.1f} mm"
    return _Move(number, line, outline, was, there, said)


def _found(
    pattern: Pattern, name: str, line: Line, outline: Edge, point: Floats
) -> tuple[int, float]:
    """Which thing of the drawing a mark is, and its place along the whole outline."""
    for number, thing in enumerate(pattern._names.counted):
        if thing.sign is None or thing.sign.name != name:
            continue
        places = [mark.place for mark in marks_on(outline.curve, [thing.sign])]
        here = [p for p in places if np.hypot(*(outline.curve.point(p) - point)) < _SAME_PLACE]
        if not here:
            continue
        node = thing.spot.node
        if len(places) > 1:
            raise node.fault(
                f"it marks {shown(outline.name)} at {len(places)} places, which would all move: "
                "draw it so short that it crosses once"
            )
        others = _marked_beside(pattern, thing.sign, line)
        if others:
            raise node.fault(
                f"it also marks {', '.join(map(shown, others))}, where it would be lost: give "
                "each edge a mark of its own"
            )
        return number, here[0]
    raise ValueError(
        f"{pattern.file}: edge {shown(outline.name)} with mark {shown(name)} is not from this "
        "drawing; take the edge from the same pattern"
    )


def _marked_beside(pattern: Pattern, sign: Sign, own: Line) -> list[str]:
    """Edges other than its own that a mark touches."""
    found = []
    for name, line in pattern._names.edges:
        if line is own or sign not in pattern._names.signs.near(line):
            continue
        try:
            curve = line.curve()
        except ValueError:  # an outline that cannot be an edge
            continue
        if marks_on(curve, [sign]):
            found.append(name)
    return found


def _check_order(pattern: Pattern, moves: Sequence[_Move]) -> None:
    """Raise ValueError where a mark would pass another one."""
    together: dict[int, list[_Move]] = defaultdict(list)
    for move in moves:
        together[id(move.line)].append(move)
    for group in together.values():
        outline = group[0].outline
        new = {move.was: move.place for move in group}
        places = [(new.get(m.place, m.place), m.name) for m in outline.marks]
        steps = list(pairwise([*places, *places[:1]] if outline.closed else places))
        back = [(one, other) for one, other in steps if not other[0] > one[0]]
        if len(back) > int(outline.closed):
            (at, one), (other_at, other) = back[0]
            raise ValueError(
                f"{pattern.file}, edge {shown(outline.name)}: mark {shown(one)} at {at:.1f} mm "
                f"would no longer come before {shown(other)} at {other_at:.1f} mm along the "
                "outline; marks must keep their order"
            )


def _along(move: _Move, thing: Thing) -> Floats:
    """3 x 3 matrix that moves a mark along its outline on paper [mm]."""
    curve, sign = move.outline.curve, thing.sign
    assert sign is not None
    (was, now), (old, new) = (
        curve.point([move.was, move.place]),
        curve.direction([move.was, move.place]),
    )
    (mark,) = marks_on(curve, [sign])
    anchor, beside = was, 0.0
    if mark.distance:
        anchor = min(sign.points, key=lambda point: curve.place_of(point).distance)
        side = old[0] * (anchor - was)[1] - old[1] * (anchor - was)[0]
        beside = float(np.copysign(mark.distance, side))
    cos, sin = float(old @ new), float(old[0] * new[1] - old[1] * new[0])
    turned = np.array([[cos, -sin], [sin, cos]]) if abs(sin) > _NO_TURN or cos < 0 else np.eye(2)
    target = now + beside * np.array([-new[1], new[0]])
    return np.vstack([np.column_stack([turned, target - turned @ anchor]), [0.0, 0.0, 1.0]])


def _written(matrix: Floats) -> str:
    """A matrix as a transform."""
    (a, c, e), (b, d, f) = matrix[:2].tolist()
    if np.abs(matrix[:2, :2] - np.eye(2)).max() < _NO_TURN:
        return f"translate({e:.15g},{f:.15g})"
    return f"matrix({','.join(f'{x:.15g}' for x in (a, b, c, d, e, f))})"


def _check_again(pattern: Pattern, new: bytes, moves: Sequence[_Move]) -> None:
    """Read the new drawing and raise ValueError where a mark is not read as it was meant."""
    page = pattern.page
    with TemporaryDirectory(prefix="foamcalc-") as folder:
        file = Path(folder) / pattern.file
        file.write_bytes(new)
        again = read_pattern(file, per_inch=page.per_inch if page.told else None)
    for move in moves:
        thing = again._names.counted[move.number]
        assert thing.sign is not None
        line = again._names.line(move.outline.name)
        curve = line.curve()
        off = [abs(m.place - move.place) for m in marks_on(curve, [thing.sign])]
        off = [min(x, curve.length - x) if curve.closed else x for x in off]
        others = _marked_beside(again, thing.sign, line)
        if len(off) != 1 or off[0] > _SAME_PLACE or others:
            why = (
                f"it would also mark {', '.join(map(shown, others))}"
                if others
                else ("it would not be read as standing there, so near a corner or a tight bend")
            )
            raise thing.spot.node.fault(
                f"{move.said}: {why}; choose another place, or draw the mark smaller"
            )
