"""SVG files as trees of elements, read so that a file from a stranger can do no harm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple
from xml.parsers import expat

SPACES = ("", "http://www.w3.org/2000/svg")
"""Namespaces whose elements are read; what an editor adds in its own is left out."""
BIGGEST = 20_000_000
"""Bytes; a pattern of a thousand pieces is far below this."""
MOST_ELEMENTS = 100_000
LONGEST_NAME = 80
"""Letters of a name that an error or a note repeats."""

_XLINK_HREF = "http://www.w3.org/1999/xlink href"
_KEEPS_TEXT = ("title", "style")
_MOST_TEXT = 1_000_000

_OTHER_FILES = (
    (b"\x1f\x8b", "a compressed drawing (svgz)", "save it as plain, uncompressed SVG"),
    (b"%PDF", "a PDF", "save the drawing as plain SVG"),
    (b"%!PS", "a PostScript file", "save the drawing as plain SVG"),
    (b"\x89PNG", "a picture (PNG)", "a picture has no edges to measure: draw them as SVG"),
    (b"\xff\xd8\xff", "a picture (JPEG)", "a picture has no edges to measure: draw them as SVG"),
    (b"PK\x03\x04", "a zip archive or an office document", "take the SVG drawing out of it"),
)


@dataclass(eq=False, slots=True)
class Node:
    """One element of a drawing."""

    tag: str
    """Its name without a prefix."""
    attributes: dict[str, str]
    """Those of SVG itself; what an editor adds in a namespace of its own is left out."""
    line: int
    """Where it begins in the file, from 1."""
    file: str
    """Name of the file, for errors."""
    children: list[Node] = field(default_factory=list, repr=False)
    text: str = field(default="", repr=False)
    """Text of a title or a style sheet."""

    def get(self, name: str, default: str = "") -> str:
        """An attribute without spaces round it."""
        return self.attributes.get(name, default).strip()

    @property
    def id(self) -> str:
        """Its id, or nothing."""
        return self.get("id")

    @property
    def title(self) -> str:
        """The text of its title, with single spaces, or nothing."""
        for child in self.children:
            if child.tag == "title":
                return " ".join(child.text.split())
        return ""

    @property
    def href(self) -> str:
        """What it points at; the newer way of writing goes before the older one."""
        return self.get("href") or self.get(_XLINK_HREF)

    @property
    def called(self) -> str:
        """What the element is called in an error: its tag and name."""
        name = self.id or self.title
        return f"{self.tag} {shown(name)}" if name else self.tag

    def fault(self, text: str) -> ValueError:
        """An error that says where in the file it lies."""
        return ValueError(f"{self.file}, line {self.line}, {self.called}: {text}")


class Drawing(NamedTuple):
    """A file that has been read."""

    root: Node
    source: bytes
    """The file as it was, untouched."""
    notes: tuple[str, ...]
    """What was left out."""


def in_order(root: Node) -> Iterator[Node]:
    """An element and all in it, in the order of the file."""
    todo = [root]
    while todo:
        node = todo.pop()
        yield node
        todo += reversed(node.children)


def shown(text: str) -> str:
    """A text from the file in quotes, on one line, cut short."""
    plain = "".join(c if c.isprintable() else " " for c in text[: LONGEST_NAME + 1])
    return repr(plain if len(text) <= LONGEST_NAME else f"{plain[: LONGEST_NAME - 1]}…")


def read_drawing(path: str | Path) -> Drawing:
    """Read an SVG file into a tree.

    Nothing is fetched: neither a document type, nor an outer entity, nor a style sheet. A
    DOCTYPE that declares entities of its own is refused, for a few lines of it can grow to
    gigabytes; one that only names the SVG standard does no harm.
    """
    file = Path(path)
    raw = _bytes_of(file)
    name = file.name
    for start, what, remedy in _OTHER_FILES:
        if raw.startswith(start):
            raise ValueError(f"{name} is {what}: {remedy}")
    if not raw.strip(b"\xef\xbb\xbf\xff\xfe \t\r\n\0"):
        raise ValueError(f"{name} is empty: save the drawing again")
    builder = _Builder(name)
    return Drawing(builder.read(raw), raw, tuple(builder.notes))


def _bytes_of(file: Path) -> bytes:
    """The bytes of a plain file that is not too big."""
    name = file.name or str(file)
    if file.is_dir():
        raise ValueError(f"{name} is a folder: name the drawing in it")
    if not file.exists():
        raise ValueError(f"{name} is not there: check the name and the folder")
    if not file.is_file():
        raise ValueError(f"{name} is not a plain file: name an SVG drawing")
    try:
        with file.open("rb") as opened:
            raw = opened.read(BIGGEST + 1)
    except OSError as error:
        why = error.strerror or "no reason given"
        raise ValueError(f"{name} cannot be read ({why}): check who may read it") from None
    if len(raw) > BIGGEST:
        raise ValueError(
            f"{name} is over {BIGGEST // 1_000_000} MB: take pictures and text out of the drawing, "
            "or save its pieces in several files"
        )
    return raw


class _Builder:
    """Builds the tree while expat reads, and stops at what could do harm."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.notes: list[str] = []
        self._root: Node | None = None
        self._open: list[Node | None] = []
        self._count = 0
        self._parser = expat.ParserCreate(namespace_separator=" ")
        self._parser.buffer_text = True
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.CharacterDataHandler = self._characters
        self._parser.StartDoctypeDeclHandler = self._doctype
        self._parser.EntityDeclHandler = self._entity
        self._parser.SkippedEntityHandler = self._skipped
        self._parser.ProcessingInstructionHandler = self._instruction

    def read(self, raw: bytes) -> Node:
        """The root element."""
        try:
            self._parser.Parse(raw, True)
        except expat.ExpatError as error:
            what = expat.ErrorString(error.code) or "unknown fault"
            raise ValueError(
                f"{self.name}, line {error.lineno}, column {error.offset + 1}: this is not "
                f"well-formed XML ({what}): save the drawing again as plain SVG"
            ) from None
        except LookupError:  # the file names an encoding that nobody knows
            raise self._fault("is written in an unknown encoding: save it as UTF-8") from None
        if self._root is None:
            raise self._fault("holds no element: save the drawing again")
        return self._root

    def _fault(self, text: str) -> ValueError:
        return ValueError(f"{self.name}, line {self._parser.CurrentLineNumber}: {text}")

    def _counted(self) -> None:
        self._count += 1
        if self._count > MOST_ELEMENTS:
            raise self._fault(
                f"the drawing has over {MOST_ELEMENTS} elements: save its pieces in several files"
            )

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self._counted()
        space, _, local = name.rpartition(" ")
        if self._root is None:
            if local != "svg" or space not in SPACES:
                raise self._fault(f"this is {shown(local)}, not an svg drawing: name another file")
        elif self._open[-1] is None or space not in SPACES:
            self._open.append(None)  # an editor's own notes, with all there is in them
            return
        own = {key: value for key, value in attributes.items() if " " not in key}
        if _XLINK_HREF in attributes:
            own[_XLINK_HREF] = attributes[_XLINK_HREF]
        node = Node(local, own, self._parser.CurrentLineNumber, self.name)
        if self._root is None:
            self._root = node
        elif self._open[-1] is not None:
            self._open[-1].children.append(node)
        self._open.append(node)

    def _end(self, name: str) -> None:
        self._open.pop()

    def _characters(self, text: str) -> None:
        node = self._open[-1]
        if node is not None and node.tag in _KEEPS_TEXT:
            if len(node.text) + len(text) > _MOST_TEXT:
                raise node.fault("has over 1 MB of text: take it out")
            node.text += text

    def _doctype(self, name: str, system: str | None, public: str | None, inner: int) -> None:
        if inner:
            raise self._fault(
                "the DOCTYPE declares something of its own in [ ], which can be made to blow up: "
                "save the drawing again as plain SVG, or take the DOCTYPE out in a text editor"
            )

    def _entity(self, name: str, *rest: object) -> None:
        raise self._fault(f"declares the entity {shown(name)}: save the drawing again as plain SVG")

    def _skipped(self, name: str, is_parameter: bool) -> None:
        raise self._fault(
            f"the entity {shown(name)} is not known: save the drawing again as plain SVG"
        )

    def _instruction(self, target: str, data: str) -> None:
        self._counted()
        if target == "xml-stylesheet" and not self.notes:
            line = self._parser.CurrentLineNumber
            self.notes.append(f"line {line}: a style sheet outside the file was not read")
