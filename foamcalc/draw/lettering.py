"""Words on paper: how wide they are, where their lines break, and one style for every page."""

from __future__ import annotations

import re
import unicodedata
from contextlib import AbstractContextManager
from functools import lru_cache
from typing import Any

FONT = "DejaVu Sans"
"""The one typeface of printed pages; it travels with matplotlib."""
LINE = 1.24
"""Height of a line over the size of its type."""
POINT = 25.4 / 72
"""One printer's point [mm]."""
MISSING = "□"
"""Stands for a sign that the typeface does not have."""

_PILED = re.compile(
    "([\u0300-\u036f\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff]{2})"
    "[\u0300-\u036f\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff]+"
)
"""More than two marks above and below one letter: no language asks for them."""
_TIED = "\u00a0"
_TIES = re.compile(r"(?<=\d) (?=\d+/\d|(?:mm|in|N|%|deg|turn)(?![^\W_]))")
"""The space between a number and its fraction or its unit, where no line may break."""


def own_style() -> AbstractContextManager[Any]:
    """Context in which a page looks the same whatever style the user has set."""
    import matplotlib.style

    settings: Any = ["default", {"text.parse_math": False, "font.family": [FONT]}]
    return matplotlib.style.context(settings)


def printable(text: str) -> str:
    r"""The text on one line, with `MISSING` for every sign that cannot be printed."""
    known = _signs()
    text = _PILED.sub(r"\1", unicodedata.normalize("NFC", text))
    return "".join(c if ord(c) in known else MISSING for c in " ".join(text.split()))


@lru_cache(maxsize=1)
def _signs() -> frozenset[int]:
    """Code points that both weights of the typeface have."""
    from matplotlib.font_manager import findfont, get_font

    plain, bold = (
        set(get_font(findfont(_properties(10.0, bold))).get_charmap()) for bold in (False, True)
    )
    return frozenset(plain & bold)


def _properties(points: float, bold: bool) -> Any:
    from matplotlib.font_manager import FontProperties

    return FontProperties(family=FONT, weight="bold" if bold else "normal", size=points)


@lru_cache(maxsize=8192)
def width(text: str, *, points: float, bold: bool = False) -> float:
    """Width of a line of words on paper [mm]."""
    from matplotlib.textpath import text_to_path

    wide, _, _ = text_to_path.get_text_width_height_descent(
        text, _properties(points, bold), ismath=False
    )
    return float(wide) * POINT


def wrap(
    text: str, *, wide: float, points: float, bold: bool = False, first: float = 0.0
) -> tuple[str, ...]:
    """Break words into lines by their measured width."""
    space = width(f"a{_TIED}a", points=points, bold=bold) - width("aa", points=points, bold=bold)
    lines: list[str] = []
    line, used = "", first
    todo = _TIES.sub(_TIED, printable(text)).split(" ")[::-1]
    while todo:
        word = todo.pop()
        needs = width(word, points=points, bold=bold) + (space if line else 0.0)
        if used + needs <= wide:
            line, used = f"{line} {word}" if line else word, used + needs
            continue
        if line or used > 0:
            lines.append(line)
            todo.append(word)
        else:
            head, rest = _broken(word, wide=wide, points=points, bold=bold)
            lines.append(head)
            todo += [rest] if rest else []
        line, used = "", 0.0
    if line or not lines:
        lines.append(line)
    return tuple(line.replace(_TIED, " ") for line in lines)


def _broken(word: str, *, wide: float, points: float, bold: bool) -> tuple[str, str]:
    """The part of a long word that fits on a line, and the rest; a tie is the best place."""
    count = len(word)
    while count > 1 and width(word[:count], points=points, bold=bold) > wide:
        count -= 1
    tie = word.rfind(_TIED, 1, count + 1)
    if tie > 0:
        return word[:tie], word[tie + 1 :]
    return word[:count], word[count:]


def elided(text: str, *, wide: float, points: float) -> str:
    """The text on one line of a width [mm], its end left out with three dots if it is too long."""
    line = printable(text)
    if width(line, points=points) <= wide:
        return line
    while line and width(f"{line} …", points=points) > wide:
        line = line[:-1].rstrip()
    return f"{line} …"
