"""Ids, style sheets and what is left unread in a drawing."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Final

from foamcalc.shape.svg.shapes import SHAPES
from foamcalc.shape.svg.style import Sheets
from foamcalc.shape.svg.tree import Drawing, Node, in_order

GROUPS: Final = ("svg", "g", "a", "switch", "use")
"""Elements that draw what is in them, or what they point at."""
_POINTED_AT: Final = frozenset({*GROUPS, "symbol", *SHAPES})
"""Elements that can be asked for, or drawn again: their ids must be their own."""
_UNREAD = {
    "image": "pictures were not read: they have no edges",
    "script": "scripts were not run",
    "foreignObject": "parts in another language than SVG were not read",
    "animate": "movements were not followed: the drawing is taken as it begins",
}
_LIKE_ANIMATE = ("animateTransform", "animateMotion", "animateColor", "set")


@dataclass(frozen=True, eq=False)
class Index:
    """What a walk through a drawing has to look up."""

    root: Node
    ids: dict[str, Node]
    sheets: Sheets
    notes: tuple[str, ...]


def index(drawing: Drawing) -> Index:
    """Look through all elements once."""
    ids: dict[str, Node] = {}
    styles: list[Node] = []
    unread: Counter[str] = Counter()
    first: dict[str, int] = {}
    for node in in_order(drawing.root):
        kind = "animate" if node.tag in _LIKE_ANIMATE else node.tag
        if kind in _UNREAD:
            unread[kind] += 1
            first.setdefault(kind, node.line)
        elif node.tag == "style":
            styles.append(node)
        if node.id and node.tag in _POINTED_AT:
            if node.id in ids:
                raise node.fault(
                    f"the id is there twice, also at line {ids[node.id].line}: give each its own"
                )
            ids[node.id] = node
    notes = [*drawing.notes]
    if outside := next((node for node in styles if "@import" in node.text), None):
        notes.append(f"line {outside.line}: a style sheet outside the file was not read")
    for kind, count in unread.items():
        notes.append(f"line {first[kind]}: {_UNREAD[kind]} ({count} in all)")
    return Index(drawing.root, ids, Sheets(styles), tuple(notes))
