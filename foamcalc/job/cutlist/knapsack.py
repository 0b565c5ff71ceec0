"""How much of value fits into a row: the sum inside the search for good rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

import numpy as np

CELLS = 20_000
"""Steps that a row is divided into when parts are fitted into it."""
MOST_KINDS_LISTED = 24
"""More kinds than this are never listed in every combination."""


def best_fill(
    sizes: Sequence[int],
    values: Sequence[int],
    copies: Sequence[int],
    room: int,
    *,
    at_most: bool = False,
) -> tuple[int, tuple[int, ...]]:
    """The most value that fits into a room, and how many of each make it up.

    Parameters
    ----------
    sizes : sequence of int
        Sizes, above 0.
    values : sequence of int
        What one of each is worth, from 0.
    copies : sequence of int
        How many of each there are.
    room : int
        What all sizes together may come to.
    at_most : bool
        What is wanted where the room has more than `CELLS` steps: a value that surely fits (the
        sizes are rounded up), or with at_most one that is surely not passed (rounded down; the
        numbers of each then need not fit).

    Returns
    -------
    value : int
    numbers : tuple of int

    Notes
    -----
    Dynamic programming over the room, in steps of the greatest common divisor of the sizes, or
    where there would be too many of these, in `CELLS` steps. Copies are taken in bundles of
    1, 2, 4, …

    Examples
    --------
    >>> best_fill([45, 36, 31, 14], [50, 40, 30, 10], [9, 9, 9, 9], 100)
    (100, (2, 0, 0, 0))
    """
    if not sizes or room <= 0:
        return 0, (0,) * len(sizes)
    step = gcd(*sizes)
    if room // step > CELLS:
        step = -(-room // CELLS)
    cells = room // step
    steps = [size // step if at_most else -(-size // step) for size in sizes]
    table = np.zeros(cells + 1, dtype=np.int64)
    taken: list[tuple[int, int, np.ndarray]] = []
    for index, (weight, value) in enumerate(zip(steps, values, strict=True)):
        left = copies[index] if weight == 0 else min(copies[index], cells // weight)
        bundle = 1
        while left > 0 and value > 0:
            number = min(bundle, left)
            left, bundle = left - number, 2 * bundle
            worth = table[: cells + 1 - number * weight] + number * value
            better = worth > table[number * weight :]
            np.maximum(table[number * weight :], worth, out=table[number * weight :])
            taken.append((index, number, better))
    numbers, cell = [0] * len(sizes), cells
    for index, number, better in reversed(taken):
        weight = number * steps[index]
        if cell >= weight and better[cell - weight]:
            numbers[index] += number
            cell -= weight
    return int(table[cells]), tuple(numbers)


def every_fill(
    sizes: Sequence[int], copies: Sequence[int], room: int, most: int
) -> list[tuple[int, ...]] | None:
    """Every way to fill a room to which nothing can be added.

    Parameters
    ----------
    sizes, copies, room
        As for `best_fill`.
    most : int
        How many ways are worth listing.

    Returns
    -------
    list of tuple of int, or None
        None where there are more, or more kinds than `MOST_KINDS_LISTED`.

    Examples
    --------
    >>> every_fill([45, 36], [9, 9], 100, 10)
    [(2, 0), (1, 1), (0, 2)]
    """
    if len(sizes) > MOST_KINDS_LISTED:
        return None
    order = sorted(range(len(sizes)), key=lambda i: (-sizes[i], i))
    found: list[tuple[int, ...]] = []
    numbers = [0] * len(sizes)
    looked = 0

    def go_on(place: int, left: int) -> bool:
        """Fill what is left from this size on; False where it became too much."""
        nonlocal looked
        looked += 1
        if looked > 20 * most:
            return False
        if place == len(order):
            if not any(numbers[i] < copies[i] and sizes[i] <= left for i in order):
                found.append(tuple(numbers))
            return len(found) <= most
        index = order[place]
        for number in range(min(copies[index], left // sizes[index]), -1, -1):
            numbers[index] = number
            if not go_on(place + 1, left - number * sizes[index]):
                return False
        return True

    return found if go_on(0, room) else None


@dataclass(frozen=True, kw_only=True)
class ToFill:
    """A room to be filled: a row with parts of some kinds, or a sheet with rows of some widths."""

    what: tuple[int, ...]
    """The kinds, or the widths."""
    sizes: tuple[int, ...]
    """Of one of each, a kerf included."""
    copies: tuple[int, ...]
    """How many of each are needed at most."""
    room: int

    def best(self, values: Sequence[int], *, at_most: bool) -> tuple[int, Counter[int]]:
        """The most value that it can hold, and how many of each make it up; see `best_fill`."""
        value, numbers = best_fill(self.sizes, values, self.copies, self.room, at_most=at_most)
        return value, self._counted(numbers)

    def every(self, most: int) -> list[Counter[int]] | None:
        """Every way to fill it to which nothing can be added; None where there are too many."""
        found = every_fill(self.sizes, self.copies, self.room, most)
        return None if found is None else [self._counted(numbers) for numbers in found]

    def _counted(self, numbers: Sequence[int]) -> Counter[int]:
        return Counter(dict(zip(self.what, numbers, strict=True)))
