"""Which mark of one edge meets which mark of the other: by name or in order, either way round."""

from __future__ import annotations

from difflib import get_close_matches
from itertools import pairwise
from typing import NamedTuple

from foamcalc.fit.seam.edge import ENDS, SeamEdge


class Matched(NamedTuple):
    """The second edge walked the same way as the first, and how that was found out."""

    b: SeamEdge
    reversed: bool
    """Whether the second edge, as it was given, runs the other way."""
    by: str
    """"name" or "order"."""
    direction: str
    """How the direction is known, for the reader."""


def match(a: SeamEdge, b: SeamEdge, *, reverse: bool | None = None) -> Matched:
    """Match the marks of two edges."""
    if reverse is not None and not isinstance(reverse, bool):
        raise TypeError(f"reverse must be True, False or left out, got {reverse!r}")
    _check_count(a, b)
    if a.names is None or b.names is None:
        told = "given" if reverse is not None else "taken to run the same way: no names to tell"
        return _turned(b, bool(reverse), "order", told)
    first, second = a.labels, b.labels
    if sorted(first) != sorted(second) or not (a.ends_named and b.ends_named):
        first, second = (_own_names(e) for e in (a, b))
    _check_names(a, b, first, second)
    runs_back = _direction(a, b, first, second)
    if runs_back is None:
        told = "given" if reverse is not None else "taken to run the same way: too few names"
        return _turned(b, bool(reverse), "name", told)
    if reverse is not None and reverse != runs_back:
        raise ValueError(
            f"the names on edge {b.name!r} run {'the other' if runs_back else 'the same'} way as "
            f"on edge {a.name!r}, but reverse={reverse} was given; leave reverse out, or correct "
            "the names"
        )
    found = _turned(b, runs_back, "name", "names")
    _check_meet(a, found.b, first)
    return found


def _own_names(edge: SeamEdge) -> tuple[str, ...]:
    """The names without "start" and "end" at the two ends."""
    last = len(edge.labels) - 1
    return tuple(n for i, n in enumerate(edge.labels) if i not in (0, last) or n not in ENDS)


def _check_meet(a: SeamEdge, b: SeamEdge, names: tuple[str, ...]) -> None:
    """Raise ValueError if a name is an end on one edge and a mark between on the other."""
    for name in names:
        i, j = a.labels.index(name), b.labels.index(name)
        if i != j:
            raise ValueError(
                f"mark {name!r} is number {i + 1} along edge {a.name!r}, its start counted as 1, "
                f"but number {j + 1} along edge {b.name!r}; a mark is missing before it on one of "
                "them"
            )


def _turned(b: SeamEdge, runs_back: bool, by: str, direction: str) -> Matched:
    return Matched(b.backwards() if runs_back else b, runs_back, by, direction)


def _check_count(a: SeamEdge, b: SeamEdge) -> None:
    if len(a.places) != len(b.places):
        more, less = (a, b) if len(a.places) > len(b.places) else (b, a)
        left = [n for n in more.labels if n not in less.labels]
        hint = f" ({', '.join(map(repr, left))})" if more.names and less.names and left else ""
        raise ValueError(
            f"edge {more.name!r} has {len(more.places)} marks with its ends, edge {less.name!r} "
            f"has {len(less.places)}; leave out the marks that only {more.name!r} has{hint}, or "
            f"find them on {less.name!r}"
        )


def _check_names(a: SeamEdge, b: SeamEdge, first: tuple[str, ...], second: tuple[str, ...]) -> None:
    for one, names, other, others in ((a, first, b, second), (b, second, a, first)):
        for name in names:
            if name in others:
                continue
            near = get_close_matches(name, [n for n in others if n not in names], n=1)
            hint = f"; did you mean {near[0]!r}?" if near else ""
            place = one.places[one.labels.index(name)]
            raise ValueError(
                f"mark {name!r} of edge {one.name!r} (at {place:g} mm) is not on edge "
                f"{other.name!r}, which has {', '.join(map(repr, others))}{hint}"
            )


def _direction(
    a: SeamEdge, b: SeamEdge, first: tuple[str, ...], second: tuple[str, ...]
) -> bool | None:
    """Whether the names run the other way on `b`; None where fewer than two tell."""
    if len(first) < 2:
        return None
    if second == first or second == tuple(reversed(first)):
        return second != first
    at = {name: b.places[b.labels.index(name)] for name in first}
    rising = sum(at[y] > at[x] for x, y in pairwise(first))
    back = 2 * rising < len(first) - 1
    x, y = next((x, y) for x, y in pairwise(first) if (at[y] < at[x]) != back)
    order = (x, y) if at[x] < at[y] else (y, x)
    raise ValueError(
        f"marks cross: edge {a.name!r} has {x!r} before {y!r}, but edge {b.name!r}, which "
        f"otherwise runs {'the other' if back else 'the same'} way, has {order[0]!r} at "
        f"{at[order[0]]:g} mm before {order[1]!r} at {at[order[1]]:g} mm; correct the names or "
        "walk the edge again"
    )
