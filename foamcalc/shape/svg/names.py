"""What the names in a drawing stand for: edges, marks and check bars."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property
from typing import Final

from foamcalc.shape.arc_length import lengths
from foamcalc.shape.svg.bars import CheckBar, bar_of, is_bar
from foamcalc.shape.svg.marks import Sign, Signs, sign_of
from foamcalc.shape.svg.paper import Line, on_paper, units_note
from foamcalc.shape.svg.shapes import SHAPES
from foamcalc.shape.svg.tree import LONGEST_NAME, shown
from foamcalc.shape.svg.walk import Scene, Spot

_MOST_IN_MARK: Final = 2
"""Shapes in a group that may be one mark, a cross."""
_MOST_NAMED: Final = 8
_MOST_SEGMENTS: Final = 50_000
"""Lines and curves in one drawing; a thousand pieces of fifty each."""
_MOST_LIKE: Final = 500
"""Names of each kind that are compared with one that is not known."""
_MOST_IN_BAR: Final = 100
"""Shapes in a group that may be a check bar with its strokes and letters."""


@dataclass(frozen=True, eq=False)
class Thing:
    """A named element that is seen, or the reason why it is not."""

    spot: Spot
    lines: tuple[Line, ...]
    sign: Sign | None
    bar: CheckBar | None

    @property
    def count(self) -> int:
        """How many shapes it draws."""
        return self.spot.last - self.spot.first


class Names:
    """All named elements of a drawing.

    Parameters
    ----------
    scene : Scene
        The drawing as it has been walked through.
    per_inch : float
        px to the inch.
    file : str
        Name of the file, for errors.
    """

    def __init__(self, scene: Scene, per_inch: float, file: str) -> None:
        self._file = file
        self._segments = 0
        self.things: list[Thing] = []
        self.notes: list[str] = []
        self._by_id: dict[str, Thing] = {}
        self._by_title: dict[str, list[Thing]] = defaultdict(list)
        done: dict[int, tuple[Line, ...]] = {}
        for spot in scene.spots:
            thing = self._thing(spot, scene, per_inch, done)
            self.things.append(thing)
            known = self._by_id.get(spot.node.id)
            if spot.node.id and (known is None or not known.lines):
                self._by_id[spot.node.id] = thing
            if spot.node.title:
                self._by_title[spot.node.title].append(thing)
        self._doubled = self._inner_or_outer()

    def _thing(
        self, spot: Spot, scene: Scene, per_inch: float, done: dict[int, tuple[Line, ...]]
    ) -> Thing:
        """What one named element draws, as far as it is one thing."""
        node, shapes = spot.node, scene.drawn_by(spot)
        single = node.tag in SHAPES or node.tag == "use"
        most = _MOST_IN_BAR if is_bar(node) else _MOST_IN_MARK
        if not shapes or not (single or len(shapes) <= most):
            return Thing(spot, (), None, None)
        lines: tuple[Line, ...] = ()
        for number, placed in enumerate(shapes, spot.first):
            if number not in done:
                done[number] = tuple(on_paper(placed, per_inch))
                self._segments += sum(len(line.segments) for line in done[number])
                if self._segments > _MOST_SEGMENTS:
                    raise node.fault(
                        f"with it, shapes with a name have over {_MOST_SEGMENTS} lines and curves: "
                        "hide what is no edge, or save its pieces in several files"
                    )
                note = units_note(placed, per_inch)
                self.notes += [note] if note else []
            lines += done[number]
        if not lines:
            return Thing(spot, (), None, None)
        if is_bar(node):
            bar = bar_of(node, lines)
            if bar is None and len(shapes) > 1:
                return Thing(spot, (), None, None)  # a layer with bars in it
            if bar is None:
                self.notes.append(
                    f"line {node.line}: {shown(node.title or node.id)} does not say how long it "
                    "is: name it such as 'check bar 100 mm'"
                )
            return Thing(spot, lines, None, bar)
        return Thing(spot, lines, sign_of(node.title or node.id, lines), None)

    def _inner_or_outer(self) -> set[int]:
        """Things that only repeat another one: a group and the shape in it, a cross and its lines.

        Of a group and the one shape in it the one with a title counts, else the shape.
        """
        doubled: set[int] = set()
        at: dict[tuple[int, int], int] = {}
        whole = (-1, -1)
        for number, thing in enumerate(self.things):  # an outer one comes before those in it
            place = (thing.spot.first, thing.spot.last)
            if not thing.lines:
                continue
            if whole[0] <= place[0] and place[1] <= whole[1]:
                doubled.add(number)
            elif place in at:
                outer = at[place]
                titled = self.things[outer].spot.node.title and not thing.spot.node.title
                doubled.add(number if titled else outer)
                at[place] = outer if titled else number
            else:
                at[place] = number
                if is_bar(thing.spot.node) or (thing.sign is not None and thing.count > 1):
                    whole = place
        return doubled

    @cached_property
    def counted(self) -> list[Thing]:
        """Things that are seen, each under one name."""
        return [
            thing
            for number, thing in enumerate(self.things)
            if thing.lines and number not in self._doubled
        ]

    @cached_property
    def signs(self) -> Signs:
        """All marks."""
        return Signs(thing.sign for thing in self.counted if thing.sign is not None)

    @property
    def bars(self) -> list[CheckBar]:
        """All check bars that say how long they are."""
        return [thing.bar for thing in self.counted if thing.bar is not None]

    @cached_property
    def edges(self) -> list[tuple[str, Line]]:
        """Every outline that can be asked for, with its name; no marks and no check bars."""
        found = []
        for thing in self.counted:
            if thing.sign is None and not is_bar(thing.spot.node) and thing.count == 1:
                name = thing.spot.node.id or thing.spot.node.title
                several = len(thing.lines) > 1
                for number, line in enumerate(thing.lines, 1):
                    found.append((f"{name}#{number}" if several else name, line))
        return found

    def line(self, name: str) -> Line:
        """The one outline of a name."""
        thing, number = self._find(name), 0
        if thing is None:
            stem, _, digits = name.rpartition("#")
            thing = self._find(stem) if stem and digits.isdecimal() else None
            number = int(digits) if thing is not None and len(digits) < 7 else 0
        if thing is None:
            raise self._unknown(name)
        node = thing.spot.node
        if not thing.lines and thing.spot.why_not:
            raise node.fault(f"it {thing.spot.why_not}: show it, or name an edge that is seen")
        if thing.count > 1:
            raise node.fault(
                f"it holds {thing.count} shapes: give the one that is meant an id or a title, and "
                "name that"
            )
        if not thing.lines:
            raise node.fault("it draws nothing that has a length: name an edge that does")
        if len(thing.lines) == 1 and number in (0, 1):
            return thing.lines[0]
        if not 1 <= number <= len(thing.lines):
            raise node.fault(
                f"it has {len(thing.lines)} outlines: name one of them, {_ways(thing)}"
            )
        return thing.lines[number - 1]

    def _find(self, name: str) -> Thing | None:
        """The thing of an id, else of a title."""
        if name in self._by_id:
            return self._by_id[name]
        titled = [thing for thing in self._by_title.get(name, []) if thing.lines]
        titled = titled or self._by_title.get(name, [])
        if len(titled) > 1:
            lines = ", ".join(str(thing.spot.node.line) for thing in titled[:5])
            raise ValueError(
                f"{self._file}: the title {shown(name)} stands at lines {lines}: name the edge by "
                "its id"
            )
        return titled[0] if titled else None

    def _unknown(self, name: str) -> ValueError:
        """The error for a name that is not in the drawing."""
        known = [edge for edge, _ in self.edges]
        every = [*known[:_MOST_LIKE], *list(self._by_title)[:_MOST_LIKE], *self._by_id]
        short = [one for one in every if len(one) <= LONGEST_NAME][: 3 * _MOST_LIKE]
        near = get_close_matches(name[:LONGEST_NAME], short, n=1)
        hint = f"did you mean {shown(near[0])}?" if near else ""
        if not hint:
            some = ", ".join(shown(one) for one in known[:_MOST_NAMED]) or "none"
            hint = f"edges with a name are {some}{' …' * (len(known) > _MOST_NAMED)}"
        return ValueError(f"{self._file}: no edge is called {shown(name)}; {hint}")


def _ways(thing: Thing) -> str:
    """The outlines of one element, each with its length."""
    stem = thing.spot.node.id or thing.spot.node.title
    long = [f"{lengths(line.segments).sum():.1f} mm" for line in thing.lines[:_MOST_NAMED]]
    ways = [f"'{stem}#{number}' ({mm})" for number, mm in enumerate(long, 1)]
    return ", ".join(ways) + (" and so on" if len(thing.lines) > _MOST_NAMED else "")
