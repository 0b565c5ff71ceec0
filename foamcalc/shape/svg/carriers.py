"""Which elements of a drawing have to be moved so that a mark moves, and in which units."""

from __future__ import annotations

import numpy as np

from foamcalc.shape.plane import Floats
from foamcalc.shape.svg.lengths import Matrix, in_units, said
from foamcalc.shape.svg.names import Thing
from foamcalc.shape.svg.transforms import transform
from foamcalc.shape.svg.tree import Node, in_order


def carriers(thing: Thing, root: Node, per_inch: float) -> list[tuple[Node, Floats]]:
    """The elements that carry a mark, each with the way from paper to its own user units."""
    named, inside = thing.spot.node, list(in_order(thing.spot.node))
    lines = {id(line.node): line for line in thing.lines}
    if all(any(node is line.node for node in inside) for line in lines.values()):
        found = [(line.node, np.vstack([line.to_user, [0, 0, 1]])) for line in lines.values()]
    elif named.tag == "use" and len(lines) == 1:
        (line,) = lines.values()
        own = _placed_by(named, line.node, per_inch) @ np.vstack([line.to_user, [0, 0, 1]])
        found = [(named, own)]
    else:
        (line, *_) = lines.values()
        raise named.fault(
            f"the mark is drawn by a use of {line.node.called} (line {line.node.line}), so it "
            "cannot move alone: make it a shape of its own (unlink the copy) and save again"
        )
    above = {f"#{n.id}" for node, _ in found for n in _path_to(root, node) if n.id}
    again = [node for node in in_order(root) if node.tag == "use" and node.href in above]
    if again:
        raise named.fault(
            f"{again[-1].called} (line {again[-1].line}) draws the mark in another place as well, "
            "so it cannot move alone: make that copy a shape of its own (unlink it) and save again"
        )
    return found


def _placed_by(use: Node, shape: Node, per_inch: float) -> Floats:
    """3 x 3 matrix from the user units of a shape to those of the use element that draws it."""
    if use.href != f"#{shape.id}" or not shape.id:
        raise use.fault(
            "draws the mark by way of another element, so it cannot be moved: make it a shape of "
            "its own (unlink the copy) and save again"
        )
    shift = [1.0, 0.0, 0.0, 1.0]
    for name in ("x", "y"):
        text = use.get(name) or "0"
        if said(text).unit == "%":
            raise use.fault(f"{name} is {text}, which cannot be moved: write it without per cent")
        shift.append(in_units(text, whole=np.nan, per_inch=per_inch))
    own = _three(transform(shape.get("transform")))
    a, b, c, d, e, f = shift
    return _three((a, b, c, d, e, f)) @ own


def _three(matrix: Matrix) -> Floats:
    a, b, c, d, e, f = matrix
    return np.array([[a, c, e], [b, d, f], [0.0, 0.0, 1.0]])


def _path_to(root: Node, wanted: Node) -> list[Node]:
    """The elements that an element stands in, itself among them."""
    above: dict[int, Node] = {}
    for node in in_order(root):
        above.update((id(child), node) for child in node.children)
    path = [wanted]
    while id(path[-1]) in above:
        path.append(above[id(path[-1])])
    return path
