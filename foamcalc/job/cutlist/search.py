"""The search for the fewest sheets: begin with what fits, then look for better rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil
from time import monotonic

import numpy as np

from foamcalc.job.cutlist.bound import WORTH, best_rows, rows_bound, whole_worths
from foamcalc.job.cutlist.filled import Filling, area_of, cost_of, first_fit, orders
from foamcalc.job.cutlist.model import Model
from foamcalc.job.cutlist.needs import Needs, Place

_EPS = 3
"""Steps of worth that a new row must be worth more than it costs."""
_MOST_ROUNDS = 600
"""How often better rows are looked for: an effort that is the same on every machine."""
_BOUND_EVERY = 8
"""Rounds after which the bound is worked out again."""
_MOST_SECOND = 200
"""With more columns than this, the fewest rows are not looked for."""
_WHOLE = 1e-6
"""How near to the next whole number counts as that number."""
_SECOND_SHARE = 0.25
"""Share of the time that is kept for choosing among fillings of one cost."""


@dataclass(frozen=True, kw_only=True)
class Found:
    """What the search found."""

    filling: Filling
    cost: int
    least: int
    """No sheets slit into rows of one width can cost less than this."""
    finished: bool
    """Whether the search came to its end before its time, its rounds or its branches ran out."""


def search(
    needs: Needs,
    places: Sequence[Place],
    kerf: int,
    *,
    seconds: float,
    tell: Callable[[str], None],
) -> Found:
    """Strips into places at the least cost that is found in time.

    Parameters
    ----------
    needs : Needs
        The strips.
    places : sequence of Place
        Where they may lie.
    kerf : int
        Lost between two parts [thousandths of a mm].
    seconds : float
        Time to give up after; there is always an answer.
    tell : callable
        Told what comes next.

    Returns
    -------
    Found
        Its filling has something missing only where nothing was found that holds everything.

    Notes
    -----
    First fit gives an answer. Then rows and sheets are added to a linear problem as long as any is
    worth more than it costs (column generation, a knapsack for each), or all are listed where they
    are few; HiGHS chooses whole numbers of them. The effort is counted, not timed, so that the same
    strips give the same answer, unless the time runs out.
    """
    if not needs.strips:
        return Found(filling=Filling([], [], Counter()), cost=0, least=0, finished=True)
    end = monotonic() + seconds
    tell("first fit")
    tried = [first_fit(needs, places, order, kerf) for order in orders(places)]
    model = Model(needs, places, kerf, short=all(f.missing for f in tried))
    for filling in tried:
        model.add_filling(filling)

    def rank(filling: Filling) -> tuple[int, int, int]:
        ways = model.ways
        missing = filling.missing.total()
        return missing, cost_of(filling, ways, places), area_of(filling, ways, places)

    tell("better rows")
    listed = model.list_all()
    early = end - _SECOND_SHARE * seconds
    best = min(tried, key=rank)
    least, numbers, done = _improve(model, early, rank(best)[:2])
    if numbers is not None:
        floors = np.zeros(len(model.columns), dtype=int)
        floors[: len(numbers)] = np.floor(numbers + _WHOLE)
        begun = model.filling(floors)
        begun.missing.clear()
        rounded = [first_fit(needs, places, order, kerf, begun) for order in orders(places)]
        for filling in rounded:
            model.add_filling(filling)
        best = min(best, *rounded, key=rank)
    missing, cost, _ = rank(best)
    if missing or cost > least:
        tell("whole numbers of rows")
        most = None if missing else cost - 1
        whole, finished = model.whole(early - monotonic(), most=most)
        if whole is not None:
            best = min(best, model.filling(whole), key=rank)
        missing, cost, _ = rank(best)
        if listed and finished and not missing:
            least = cost  # every row and sheet worth having was in the search
        done = done and finished
    if not missing and len(model.columns) <= _MOST_SECOND:
        tell("the fewest rows")
        whole, _ = model.whole(end - monotonic(), most=cost, second=True)
        if monotonic() >= end:
            done = False
        elif whole is not None:
            best = min(model.filling(whole), best, key=rank)
    return Found(filling=best, cost=cost, least=least, finished=done)


def _improve(
    model: Model, end: float, have: tuple[int, int]
) -> tuple[int, np.ndarray | None, bool]:
    """Add rows and sheets while any is worth it: the least cost, parts of sheets, if finished."""
    least, numbers = 0, None
    for round_ in range(1, _MOST_ROUNDS + 1):
        relaxed = model.relax(end - monotonic())
        if relaxed is None:
            return least, numbers, False
        numbers, worths = relaxed
        whole = whole_worths(worths, len(model.needs.kinds))
        added = _better(model, worths, whole)
        if not added or round_ % _BOUND_EVERY == 0:
            least = max(least, ceil(rows_bound(model, whole)))
        if not added or (not have[0] and least >= have[1]):
            return least, numbers, True
    return least, numbers, False


def _better(model: Model, worths: np.ndarray, whole: Sequence[int]) -> bool:
    """Add the best row of each group, and the best sheet of each way, where they are worth it."""
    rows = best_rows(model, whole, at_most=False)
    added = False
    for (way, width), (value, fill) in rows.items():
        if value > round(float(worths[model.links[way, width]]) * WORTH) + _EPS:
            added |= model.add_row(way, width, fill)
    for way, sheet in model.sheets.items():
        value, widths = sheet.best([rows[way, width][0] for width in sheet.what], at_most=False)
        place = model.ways[way].place
        price = float(model.places[place].cost)
        if place in model.limits:
            price += float(worths[model.limits[place]])
        if value > round(price * WORTH) + _EPS:
            added |= model.add_sheet(way, widths)
    return added
