"""Rows in which the pieces of a sheet are cut, each from edge to edge of what is there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Box = tuple[int, int, int, int]
"""From and to along the sheet, from and to across it."""


@dataclass(frozen=True)
class Cut:
    """One rectangle to be cut."""

    box: Box
    turned: bool
    """Whether its own length lies across the sheet."""
    outlined: bool
    """Whether it is cut out by its outline later; else it is as wide as its row."""


def rows_of(cuts: Sequence[Cut]) -> list[tuple[bool, list[int]]]:
    """Rows in the order of slitting: whether each runs across, and which cuts lie in it."""
    found: list[tuple[bool, list[int]]] = []
    waiting = [list(range(len(cuts)))]
    while waiting:
        pieces = waiting.pop()
        up, aside = _parted(pieces, cuts, 2), _parted(pieces, cuts, 0)
        upright = all(cuts[i].turned for i in pieces)
        if len(up) == len(aside) == 1:  # one, or several that lie in each other
            found.append((upright, pieces))
        elif len(up) == 1 and len(aside) == len(pieces) and _even(pieces, cuts, across=False):
            found.append((False, [i for group in aside for i in group]))
        elif len(aside) == 1 and len(up) == len(pieces) and _even(pieces, cuts, across=True):
            found.append((True, [i for group in up for i in group]))
        else:
            first = aside if len(aside) > 1 and (upright or len(up) == 1) else up
            waiting += reversed(first)
    return found


def _wide(cut: Cut, across: bool) -> int:
    return cut.box[1] - cut.box[0] if across else cut.box[3] - cut.box[2]


def _even(pieces: Sequence[int], cuts: Sequence[Cut], *, across: bool) -> bool:
    """Whether pieces make one row: its strips run along it and are as wide as it."""
    widest = max(_wide(cuts[i], across) for i in pieces)
    return all(
        cuts[i].outlined or (cuts[i].turned == across and _wide(cuts[i], across) == widest)
        for i in pieces
    )


def number_of_cuts(cuts: Sequence[Cut]) -> int:
    """How many rows there are, and how many further widths lie in them."""
    return sum(len({_wide(cuts[i], across) for i in row}) for across, row in rows_of(cuts))


def _parted(pieces: Sequence[int], cuts: Sequence[Cut], side: int) -> list[list[int]]:
    """Groups that straight cuts from edge to edge part, in order."""
    groups: list[list[int]] = []
    reach = -1
    for i in sorted(pieces, key=lambda i: (cuts[i].box[side], cuts[i].box[side + 1], i)):
        if cuts[i].box[side] >= reach:
            groups.append([])
        groups[-1].append(i)
        reach = max(reach, cuts[i].box[side + 1])
    return groups
