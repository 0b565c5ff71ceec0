"""Faults of files that makers write, and the words they are told in."""

from __future__ import annotations

import re
from collections.abc import Iterable
from difflib import get_close_matches

LONGEST_NAME = 60
MOST_FAULTS = 100
"""More than this is no sheet that somebody wrote."""


class SheetFault(ValueError):
    """What is wrong with a job sheet: every fault of its content, or the one of its form.

    Parameters
    ----------
    faults : iterable of str
        One line each: file, table, key, value, remedy.
    """

    def __init__(self, faults: Iterable[str]) -> None:
        self.faults: tuple[str, ...] = tuple(faults)
        super().__init__("\n".join(self.faults))


def shown(value: object) -> str:
    """A value as it stands in a sheet, cut short."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        items = ["[…]" if isinstance(item, list) else shown(item) for item in value[:5]]
        text = f"[{', '.join(items)}{', …' * (len(value) > 5)}]"
    elif isinstance(value, int) and abs(value) > 10**40:
        return "a huge number"
    elif isinstance(value, str | int | float):
        text = repr(value[:80]) if isinstance(value, str) else str(value)
    else:
        text = f"the date or time {value}"
    return cut_short(text)


def cut_short(text: str) -> str:
    """A text of at most `LONGEST_NAME` signs."""
    return text if len(text) <= LONGEST_NAME else f"{text[: LONGEST_NAME - 1]}…"


def near(word: str, known: Iterable[str]) -> str | None:
    """The known word that was probably meant, by small letters."""
    by_small = {_small(name): name for name in known}
    small = _small(word[:LONGEST_NAME])
    swapped = [name for name in by_small if sorted(name) == sorted(small)]
    found = swapped or get_close_matches(small, by_small, n=1)
    return by_small[found[0]] if found else None


def _small(word: str) -> str:
    return re.sub(r"[\s-]+", "_", word.strip().casefold())
