"""From the tree of a drawing to its shapes, each with the matrix that puts it on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from foamcalc.shape.svg.index import GROUPS, Index
from foamcalc.shape.svg.lengths import Box, Matrix, Viewport, after, fitted, view_box
from foamcalc.shape.svg.page import Page
from foamcalc.shape.svg.shapes import SHAPES, Reader
from foamcalc.shape.svg.transforms import transform
from foamcalc.shape.svg.tree import Node, shown

_ASIDE = ("title", "desc", "metadata", "style")
_MOST_VISITS = 100_000
_DEEPEST_USE = 30


@dataclass(eq=False, slots=True)
class Placed:
    """A shape that is seen, and how it comes onto the paper."""

    node: Node
    matrix: Matrix
    """From its own user units to mm, y up."""
    port: Viewport
    """What its percentages count in [user units]."""


@dataclass(eq=False, slots=True)
class Spot:
    """An element with a name, and which of the shapes it draws."""

    node: Node
    why_not: str
    """Why it is not seen; empty where it is."""
    first: int
    last: int


@dataclass(eq=False, slots=True)
class Scene:
    """All that a drawing draws."""

    shapes: list[Placed] = field(default_factory=list)
    spots: list[Spot] = field(default_factory=list)
    """Elements with an id or a title, in the order of the file."""

    def drawn_by(self, spot: Spot) -> list[Placed]:
        """The shapes of one element."""
        return self.shapes[spot.first : spot.last]


class _Visit(NamedTuple):
    """One element on the way through the tree, as seen from around it."""

    node: Node
    matrix: Matrix
    port: Viewport
    seen: bool
    why_not: str
    used: tuple[Node, ...]
    """The use elements this stands in, from the outside."""


def walk(root: Node, page: Page, index: Index) -> Scene:
    """Every shape of a drawing at true size.

    Done with a list of what is still to do, so that groups may be nested as deep as they like.
    What is hidden is walked through for its names only.
    """
    return _Walk(page, index).through(root)


class _Walk:
    """Keeps count of what has been visited and what is still to do."""

    def __init__(self, page: Page, index: Index) -> None:
        self.page, self.index = page, index
        self.scene = Scene()
        self._todo: list[_Visit | Spot] = []
        self._visits = 0

    def through(self, root: Node) -> Scene:
        """The scene of a drawing."""
        self._todo = [_Visit(root, self.page.matrix, self.page.port, True, "", ())]
        while self._todo:
            item = self._todo.pop()
            if isinstance(item, Spot):
                item.last = len(self.scene.shapes)
            else:
                self._visit(item)
        return self.scene

    def _visit(self, visit: _Visit) -> None:
        """Place one element and put its children on the list."""
        node = visit.node
        self._visits += 1
        if self._visits > _MOST_VISITS:
            by = visit.used[0] if visit.used else node
            raise by.fault(
                f"the drawing draws over {_MOST_VISITS} elements, use elements counted each "
                "time: draw fewer"
            )
        if node.tag in _ASIDE:
            return
        around = visit.why_not
        visit = self._shown(visit)
        if not visit.used and (node.id or node.title):
            count = len(self.scene.shapes)
            why = visit.why_not or ("" if visit.seen else "is hidden (visibility hidden)")
            spot = Spot(node, why, count, count)
            self.scene.spots.append(spot)
            self._todo.append(spot)
        if visit.why_not:
            why = around or f"lies in {node.called} (line {node.line}), which {visit.why_not}"
            self._enter(visit._replace(why_not=why), node.children)
        elif node.tag in SHAPES:
            if visit.seen:
                self.scene.shapes.append(Placed(node, self._moved(visit), visit.port))
        elif node.tag == "use":
            self._use(visit._replace(matrix=self._moved(visit)))
        elif node is self.index.root:  # its transform is in the matrix of the page
            self._enter(visit, node.children)
        elif node.tag == "svg":
            self._viewport(visit, node, node)
        else:
            self._enter(visit._replace(matrix=self._moved(visit)), node.children)

    def _shown(self, visit: _Visit) -> _Visit:
        """The visit with what the element says about being seen."""
        if visit.why_not:
            return visit
        node = visit.node
        drawn, told = self.index.sheets.shows(node)
        why = ""
        if not drawn:
            why = "is hidden (display none)"
        elif node.tag not in GROUPS and node.tag not in SHAPES:
            why = "draws no edge by itself"
        elif node.get("requiredExtensions"):
            why = "is for special programs only (requiredExtensions)"
        elif node.get("systemLanguage"):
            raise node.fault("is drawn for some languages only: take systemLanguage out")
        return visit._replace(why_not=why, seen=visit.seen if told is None else told)

    def _enter(self, visit: _Visit, children: list[Node]) -> None:
        """Put children on the list, the first to be done next."""
        chosen = _chosen(children) if visit.node.tag == "switch" else None
        for child in reversed(children):
            left = "" if chosen is None or child is chosen else "is left out by a switch"
            self._todo.append(visit._replace(node=child, why_not=visit.why_not or left))

    def _moved(self, visit: _Visit) -> Matrix:
        """The matrix inside an element with a transform."""
        node = visit.node
        text = node.get("transform")
        if not text:
            return visit.matrix
        if node.get("transform-origin"):
            raise node.fault(
                "transform-origin is not read: write the middle into the transform, such as "
                "rotate(30 50 50)"
            )
        try:
            return after(visit.matrix, transform(text))
        except ValueError as fault:
            raise node.fault(str(fault)) from None

    def _use(self, visit: _Visit) -> None:
        """Go to what a use element points at."""
        use, href = visit.node, visit.node.href
        if not href.startswith("#"):
            where = f"points at {shown(href)}, outside this file" if href else "points at nothing"
            raise use.fault(f"{where}; nothing is fetched: draw the shape in this file")
        target = self.index.ids.get(href[1:])
        if target is None:
            raise use.fault(f"points at {shown(href)}, an id that is not in the drawing")
        used = (*visit.used, use)
        if used.count(use) > 1:
            raise use.fault(f"draws itself without end, by way of {shown(href)}: take it out")
        if len(used) > _DEEPEST_USE:
            raise use.fault(f"lies in over {_DEEPEST_USE} use elements: draw it where it belongs")
        x, y = self._lengths(use, visit, ("x", "y"))
        shift: Matrix = (1.0, 0.0, 0.0, 1.0, x, y)
        inner = visit._replace(node=target, matrix=after(visit.matrix, shift), used=used)
        if target.tag not in ("svg", "symbol"):
            self._todo.append(inner)
            return
        drawn, told = self.index.sheets.shows(target)
        if drawn:
            seen = inner.seen if told is None else told
            self._viewport(inner._replace(seen=seen), target, use)

    def _viewport(self, visit: _Visit, node: Node, size: Node) -> None:
        """Enter a nested svg or a symbol, whose size another element may say."""
        if node.tag == "symbol" and any(node.get(n) not in ("", "0") for n in ("refX", "refY")):
            raise node.fault("refX and refY are not read: move the use element instead")
        x, y = self._lengths(node, visit, ("x", "y"))
        (wide,) = self._lengths(_sized("width", size, node), visit, ("width",))
        (high,) = self._lengths(_sized("height", size, node), visit, ("height",))
        if wide == 0 or high == 0:
            return
        try:
            box = view_box(node.get("viewBox")) if node.get("viewBox") else None
            aspect = node.get("preserveAspectRatio")
            inside = fitted(box or Box(0, 0, wide, high), Box(x, y, wide, high), aspect)
        except ValueError as fault:
            raise node.fault(str(fault)) from None
        room = Viewport(box.width, box.height) if box else Viewport(wide, high)
        self._enter(
            visit._replace(matrix=after(self._moved(visit), inside), port=room), node.children
        )

    def _lengths(self, node: Node, visit: _Visit, names: Sequence[str]) -> tuple[float, ...]:
        """Lengths of an element as seen from around it; sizes are all of it if not said."""
        read = Reader(node, visit.port, self.page.per_inch)
        whole = {"width": visit.port.width, "height": visit.port.height}
        try:
            return tuple(
                read.size(name, whole[name]) if name in whole else read.value(name)
                for name in names
            )
        except ValueError as fault:
            raise node.fault(str(fault)) from None


def _sized(name: str, use: Node, node: Node) -> Node:
    """The element whose width or height counts: the use element's, where it says one."""
    return use if use.get(name) not in ("", "auto") else node


def _chosen(children: list[Node]) -> Node | None:
    """The one child of a switch that is drawn: the first that asks for nothing special."""
    for child in children:
        if child.tag not in _ASIDE and not child.get("requiredExtensions"):
            return child
    return None
