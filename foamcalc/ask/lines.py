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
    """A text over several lines, with what is to be typed, and a temperature, kept in one.

    Parameters
    ----------
    text : str
        One paragraph.
    first, then : str
        What stands before its first line, and before the others.

    Examples
    --------
    >>> for line in wrapped("Measure it again. " * 5 + "Write turn = 2 there.", then="  "):
    ...     print(line)
    Measure it again. Measure it again. Measure it again. Measure it again. Measure it again. Write
      turn = 2 there.
    """
    glued = text.replace(" = ", "\0=\0").replace(" °C", "\0°C")
    lines = wrap(glued, COLUMNS, initial_indent=first, subsequent_indent=then)
    return [line.replace("\0", " ") for line in lines]


def noted(text: str, word: str = "note") -> list[str]:
    """A text after a word and a colon; its other lines stand under the text.

    Examples
    --------
    >>> print(noted("0.5 mm read, not used yet"))
    ['note: 0.5 mm read, not used yet']
    """
    return wrapped(text, first=f"{word}: ", then=" " * 6)


def numbered(number: int, text: str) -> list[str]:
    """A text after its number, such as a step.

    Examples
    --------
    >>> print(numbered(3, "Hang the bag."))
    [' 3. Hang the bag.']
    """
    return wrapped(text, first=f"{number:2}. ", then=" " * 4)


def stepped(steps: Iterable[tuple[str, str]]) -> list[str]:
    """Steps with their numbers, each with its caution under it if there is one.

    Examples
    --------
    >>> for line in stepped([("Cut.", "Fresh blade."), ("Glue.", "")]):
    ...     print(line)
      1. Cut.
         Take care: Fresh blade.
      2. Glue.
    """
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
    """Names with commas, and "and" before the last; there is at least one.

    Examples
    --------
    >>> in_words(["crest", "rim", "tab"])
    'crest, rim and tab'
    """
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def many(number: int, what: str) -> str:
    """A number of things.

    Examples
    --------
    >>> many(1, "sheet"), many(2, "sheet")
    ('1 sheet', '2 sheets')
    """
    return f"{number} {what}{'s' * (number != 1)}"


def clipped(name: str, wide: int) -> str:
    """A name as wide as its column, with a blank behind it: filled up or cut short.

    Examples
    --------
    >>> print([clipped(name, 8) for name in ("back", "left cuff")])
    ['back    ', 'left c… ']
    """
    return f"{name if len(name) < wide else f'{name[: wide - 2]}…':{wide}}"
