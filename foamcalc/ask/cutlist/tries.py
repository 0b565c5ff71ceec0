"""The best of many packings: rules one after another, then the best order shuffled."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import product
from random import Random

from foamcalc.ask.cutlist.packing import LAYS, SPLITS, Packing, Rules, packed
from foamcalc.ask.cutlist.parts import Place, Unit

TRIES = 20_000
"""Pieces put down in all tries together: an effort that is the same on every machine."""

MOST = 4 * TRIES
"""The same while some have no room."""

_SORTED: tuple[Callable[[Unit], tuple[int, ...]], ...] = (
    lambda u: (not u.outlined, -u.width, -max(u.ways[0])),
    lambda u: (-min(u.width, max(u.ways[0])), -max(u.width, *u.ways[0])),
    lambda u: (-max(u.width, *u.ways[0]), -min(u.width, max(u.ways[0]))),
    lambda u: (-u.width * sum(u.ways[0]), -max(u.width, *u.ways[0])),
)
"""Orders in which units are put down; what fits few sheets goes before them."""


def _begins(places: Sequence[Place]) -> list[list[int]]:
    """Orders of beginning sheets: free ones first, then each priced one in turn before the rest."""
    free = sorted(
        (p for p in range(len(places)) if not places[p].cost), key=lambda p: (places[p].area, p)
    )
    priced = sorted(
        (p for p in range(len(places)) if places[p].cost),
        key=lambda p: (places[p].cost / places[p].area, places[p].cost, p),
    )
    return [[*free, first, *[p for p in priced if p != first]] for first in priced] or [free]


def _rules(units: Sequence[Unit], begins: Sequence[Sequence[int]]) -> list[Rules]:
    """Every way of packing that is tried, the best of most lists first."""
    orders = [
        sorted(range(len(units)), key=lambda i: (not units[i].held, *key(units[i]), i))
        for key in _SORTED
    ]
    several = any(len(unit.ways) > 1 for unit in units)
    return [
        Rules(order=order, begin=begin, split=split, laid=laid, tight=tight, last_way=last)
        for last, laid, split, order, tight, begin in product(
            (False, True) if several else (False,), LAYS, SPLITS, orders, (False, True), begins
        )
    ]


def pack(
    units: Sequence[Unit],
    places: Sequence[Place],
    *,
    kerf: int,
    gap: int,
    least: int,
    late: Callable[[], bool],
) -> tuple[Packing, bool]:
    """All units into sheets at the least cost that plain rules find, and whether all was tried.

    Each unit goes into the rectangle it fills best, else into a new sheet; what is left of the
    rectangle is two others, parted by a cut from edge to edge. Orders, cuts and lays are tried one
    after another; where the cost is above `least`, the best order is then shuffled a little,
    again and again. The work is counted in pieces, not timed: `late` only stops what could be
    better, never before everything has room or every rule was tried.
    """
    apart = max(gap - kerf, 0)
    begins = _begins(places)
    rules = _rules(units, begins)
    best, chosen = packed(units, places, rules[0], kerf, apart), rules[0]
    rank, work = best.rank(places, units), best.work(units)
    done = len(units)

    def tried(new: Rules) -> None:
        """Keep what is better, or of the same rank with less work."""
        nonlocal best, chosen, rank, work, done
        packing = packed(units, places, new, kerf, apart)
        done += len(units)
        other = packing.rank(places, units)
        if other > rank:
            return
        less = packing.work(units)
        if (other, less) < (rank, work):
            best, chosen, rank, work = packing, new, other, less

    for new in rules[1:]:
        if done >= (MOST if rank[0] else TRIES):
            break
        if not rank[0] and late():
            return best, False
        tried(new)
    random = Random(0)
    while (rank[0] or rank[1] > least) and done < TRIES:
        if late():
            return best, False
        order, begin = list(chosen.order), chosen.begin
        for _ in range(random.choice((1, 1, 2, 4))):
            order.insert(random.randrange(len(order)), order.pop(random.randrange(len(order))))
        tried(
            Rules(
                order=order,
                begin=random.choice((begin, *begins)),
                split=random.choice((chosen.split, chosen.split, *SPLITS)),
                laid=random.choice(LAYS),
                tight=chosen.tight,
                last_way=chosen.last_way,
            )
        )
    return best, True
