"""The start tags of a drawing as they stand in its file, and how a transform is added to one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.parsers import expat

from foamcalc.shape.svg.tree import SPACES, Node, in_order

_NAME = re.compile(r"<[^\s/>]+")
_ATTRIBUTE = re.compile(r"\s+([^\s=/>]++)\s*=\s*(?:\"([^\"]*+)\"|'([^']*+)')")
_WIDE = {
    b"\xff\xfe": "utf-16-le",
    b"<\0": "utf-16-le",
    b"\xfe\xff": "utf-16-be",
    b"\0<": "utf-16-be",
}
"""First bytes of files with two bytes to a letter."""


class Source:
    """The bytes of a drawing, where its elements begin in them, and in which letters.

    Parameters
    ----------
    source : bytes
        The file.
    root : Node
        The tree that was read from it.
    """

    def __init__(self, source: bytes, root: Node) -> None:
        self.source = source
        self._parser = expat.ParserCreate(namespace_separator=" ")
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.XmlDeclHandler = self._declaration
        self._said = ""
        self._open: list[bool] = []
        self._nodes = in_order(root)
        self._begins: dict[int, int] = {}
        self._root = root
        self._parser.Parse(source, True)
        if next(self._nodes, None) is not None:
            raise self._other()
        self.letters = _WIDE.get(source[:2], self._said or "utf-8")
        """Name of the encoding, as Python calls it."""

    def _other(self) -> ValueError:
        return self._root.fault("the elements are not those of the file: read the drawing again")

    def _declaration(self, version: str, encoding: str | None, standalone: int) -> None:
        self._said = encoding or ""

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        """Match an element of SVG with the next one of the tree; an editor's own are left out."""
        space, _, local = name.rpartition(" ")
        kept = not self._open or (self._open[-1] and space in SPACES)
        self._open.append(kept)
        if not kept:
            return
        node = next(self._nodes, None)
        if node is None or (node.tag, node.line) != (local, self._parser.CurrentLineNumber):
            raise self._other()
        self._begins[id(node)] = self._parser.CurrentByteIndex

    def _end(self, name: str) -> None:
        self._open.pop()

    def with_transforms(self, wanted: Mapping[int, str], note: str) -> bytes:
        """The file with a transform put last in some start tags, and a comment at its end."""
        # a byte is a letter here, so that what is not touched stays as it is
        codec = self.letters if self.letters.startswith("utf-16-") else "latin-1"
        parts, done = [], 0
        for begin, text in sorted((self._begins[node], text) for node, text in wanted.items()):
            tag = self.source[begin:].decode(codec)
            first, last, added = _addition(tag, text)
            at = begin + len(tag[:first].encode(codec))
            parts += [self.source[done:at], added.encode(codec)]
            done = at + len(tag[first:last].encode(codec))
        comment = f"<!-- {_harmless(note)} -->\n"
        return b"".join((*parts, self.source[done:], comment.encode(self.letters, "replace")))


def _addition(tag: str, text: str) -> tuple[int, int, str]:
    """Which part of a start tag gives way to a transform, from and to, and what is written."""
    name = _NAME.match(tag)
    assert name is not None
    place = name.end()
    while (met := _ATTRIBUTE.match(tag, place)) is not None:
        place = met.end()
        if met[1] == "transform":
            first, last = met.span(2) if met[3] is None else met.span(3)
            if tag[first:last].strip() in ("", "none"):
                return first, last, text
            return last, last, f" {text}"
    return name.end(), name.end(), f' transform="{text}"'


def _harmless(note: str) -> str:
    """A note as it may stand in a comment: on one line, without two hyphens side by side."""
    return re.sub("-(?=-|$)", "- ", " ".join(note.split()))
