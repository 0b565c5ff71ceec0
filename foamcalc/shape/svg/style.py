"""What style attributes and style sheets say about showing and moving shapes."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from foamcalc.shape.svg.tree import Node, shown

SHOWING = ("display", "visibility")
"""Properties that are read."""
_PLACING = frozenset(
    "transform transform-origin transform-box translate rotate scale offset offset-path zoom d "
    "x y cx cy r rx ry width height".split()
)
"""Properties that would move or size a shape; they are refused."""
_HARMLESS = ("", "none", "auto", "initial", "unset")

_COMMENT = re.compile(r"/\*.*?(?:\*/|\Z)|<!--|-->", re.DOTALL)
_DECLARATION = re.compile(r"(?:[^;\"'()]|\"[^\"]*\"|'[^']*'|\([^()]*\))+")
_PART = re.compile(r"(\*|[\w-]+)?((?:[.#][\w-]+)*)")
_MOST_RULES = 100


class Rule(NamedTuple):
    """One selector of a style sheet and what it says."""

    tag: str
    id: str
    classes: frozenset[str]
    says: dict[str, str]
    order: tuple[int, int, int, int]
    """How it ranks: ids, classes, tags, place."""


def declarations(text: str) -> dict[str, str]:
    """Those declarations of a style that show, hide, move or size a shape."""
    found: dict[str, str] = {}
    for part in _DECLARATION.findall(_COMMENT.sub(" ", text)):
        name, colon, value = part.partition(":")
        name = name.strip().lower()
        if colon and (name in _PLACING or name in SHOWING):
            found[name] = value.strip().lower()
    return found


class Sheets:
    """The style sheets inside a drawing, as far as they show or move shapes.

    Parameters
    ----------
    nodes : iterable of Node
        The style elements, in order.
    """

    def __init__(self, nodes: Iterable[Node]) -> None:
        self._rules: list[Rule] = []
        for node in nodes:
            self._read(node)
        self._rules.sort(key=lambda rule: rule.order)

    def _read(self, node: Node) -> None:
        """Add the rules of one style element."""
        for selector, body in _blocks(_COMMENT.sub(" ", node.text)):
            says = declarations(body)
            if not says:
                continue
            for one in selector.split(","):
                self._rules.append(self._rule(node, one.strip(), says))
                if len(self._rules) > _MOST_RULES:
                    raise node.fault(
                        f"has over {_MOST_RULES} rules that show or move shapes: save as plain SVG"
                    )

    def _rule(self, node: Node, selector: str, says: dict[str, str]) -> Rule:
        met = _PART.fullmatch(selector)
        if met is None or not selector:
            raise node.fault(
                f"the rule {shown(selector)} of a style sheet sets {', '.join(says)}; only rules "
                "for a tag, a class or an id are read: write it on the shapes themselves"
            )
        names = re.findall(r"([.#])([\w-]+)", met[2])
        ids = [name for kind, name in names if kind == "#"]
        classes = [name for kind, name in names if kind == "."]
        tag = "" if met[1] in (None, "*") else met[1]
        order = (len(ids), len(classes), bool(tag), len(self._rules))
        # An element has one id: two different ones in a selector fit nothing.
        wanted = ids[0] if len(set(ids)) == 1 else ("\0" if ids else "")
        return Rule(tag, wanted, frozenset(classes), says, order)

    def properties(self, node: Node) -> dict[str, str]:
        """What the styles say of one element, the style attribute last."""
        says: dict[str, str] = {}
        urgent: dict[str, str] = {}
        classes = frozenset(node.get("class").split()) if self._rules else frozenset()
        for rule in self._rules:
            if rule.tag in ("", node.tag) and rule.id in ("", node.id) and rule.classes <= classes:
                _cascade(rule.says, says, urgent)
        if "style" in node.attributes:
            _cascade(declarations(node.attributes["style"]), says, urgent)
        return {**says, **urgent}

    def shows(self, node: Node) -> tuple[bool, bool | None]:
        """Whether an element is drawn at all, and whether it says to be seen (None: as around)."""
        styled = self.properties(node) if self._rules or "style" in node.attributes else {}
        for name, value in styled.items():
            if name in _PLACING and value not in _HARMLESS:
                raise node.fault(
                    f"a style sets its {name} to {shown(value)}; styles are not read for where a "
                    "shape lies: write it as an attribute, with plain numbers"
                )
        display = styled.get("display", node.get("display"))
        seen = styled.get("visibility", node.get("visibility"))
        told = {"hidden": False, "collapse": False, "visible": True}.get(seen)
        return display != "none", told


def _cascade(new: dict[str, str], says: dict[str, str], urgent: dict[str, str]) -> None:
    """Lay declarations over earlier ones; an important one stays above."""
    for name, value in new.items():
        plain, bang, _ = value.partition("!")
        (urgent if bang else says)[name] = plain.strip()


def _blocks(text: str) -> Iterable[tuple[str, str]]:
    """Selector and body of each outermost block of a style sheet."""
    depth, begin, opened = 0, 0, 0
    for met in re.finditer(r"[{};]", text):
        sign, at = met.group(), met.start()
        if sign == "{":
            opened = at if depth == 0 else opened
            depth += 1
        elif sign == "}" and depth:
            depth -= 1
            if depth == 0:
                yield text[begin:opened].strip(), re.sub(r"[{}]", ";", text[opened + 1 : at])
                begin = at + 1
        elif sign == ";" and depth == 0:
            begin = at + 1
