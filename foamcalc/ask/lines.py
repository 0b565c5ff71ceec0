"""Text for the terminal: wrapped to one width, numbered, noted; names in a sentence, cut short."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap

COLUMNS = 96
"""Signs in a line."""
SAFE = (
    "Product data sheets and local rules come first. Nothing here says that a thing is safe to "
    "wear."
)
"""What stands below every answer."""


def wrapped(text: str, *, first: str = "", then: str = "") -> list[str]:
    """A text over several lines, with what is to be typed, and a temperature, kept in one."""
    glued = text.replace(" = ", "\0=\0").replace(" °C", "\0°C")
    lines = wrap(glued, COLUMNS, initial_indent=first, subsequent_indent=then)
    return [line.replace("\0", " ") for line in lines]


def noted(text: str, word: str = "note") -> list[str]:
    """A text after a word and a colon; its other lines stand under the text."""
    return wrapped(text, first=f"{word}: ", then=" " * 6)


def numbered(number: int, text: str) -> list[str]:
    """A text after its number, such as a step."""
    return wrapped(text, first=f"{number:2}. ", then=" " * 4)


def stepped(steps: Iterable[tuple[str, str]]) -> list[str]:
    """Steps with their numbers, each with its caution under it if there is one."""
    lines = []
    for number, (what, caution) in enumerate(steps, 1):
        lines += wrapped(what, first=f"  {number}. ", then="     ")
        if caution:
            lines += wrapped(f"Take care: {caution}", first="     ", then="     ")
    return lines


def listed(texts: Iterable[str]) -> list[str]:
    """Texts one under the other, each a little to the right."""
    return [line for text in texts for line in wrapped(text, first="  ", then="    ")]


def in_words(names: Iterable[str]) -> str:
    """Names with commas, and "and" before the last; there is at least one."""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def many(number: int, what: str) -> str:
    """A number of things."""
    return f"{number} {what}{'s' * (number != 1)}"


def clipped(name: str, wide: int) -> str:
    """A name as wide as its column, with a blank behind it: filled up or cut short."""
    return f"{name if len(name) < wide else f'{name[: wide - 2]}…':{wide}}"
