"""How few sheets could do at best: two bounds that hold whatever the search finds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from foamcalc.job.cutlist.knapsack import ToFill
from foamcalc.job.cutlist.model import Model
from foamcalc.job.cutlist.needs import Place

WORTH = 10**6
"""Steps of one unit of cost in which the worth of parts is counted."""


def whole_worths(worths: np.ndarray, kinds: int) -> list[int]:
    """What each kind is worth, as whole steps."""
    return [max(round(float(w) * WORTH), 0) for w in worths[:kinds]]


def best_rows(
    model: Model, worths: Sequence[int], *, at_most: bool
) -> dict[tuple[int, int], tuple[int, Counter[int]]]:
    """The row of each way and width that is worth the most: its worth, and its kinds.

    Parameters
    ----------
    model : Model
        The strips and their sheets.
    worths : sequence of int
        A worth for each kind.
    at_most : bool
        Whether the worth is rounded up, not down; see `foamcalc.job.cutlist.knapsack.best_fill`.
    """
    known: dict[ToFill, tuple[int, Counter[int]]] = {}
    found = {}
    for place, row in model.rows.items():
        if row not in known:
            known[row] = row.best([worths[kind] for kind in row.what], at_most=at_most)
        found[place] = known[row]
    return found


def rows_bound(model: Model, worths: Sequence[int]) -> Fraction:
    """A cost below which no sheets slit into rows can be had, from what each part is worth.

    Parameters
    ----------
    model : Model
        The strips and their sheets.
    worths : sequence of int
        A worth for each kind, from 0, in steps of 1/`WORTH`; any at all, good ones give a good
        bound.

    Notes
    -----
    Weak duality, in whole numbers. Where no sheet holds parts that are together worth more than the
    sheet costs, all the parts are worth no more than all the sheets. Worths for which this is not
    so are first made smaller by the same factor (A. A. Farley, 1990); for sheets of which there are
    only so many, what they hold above their cost is taken off instead. Of all factors where this
    turns, the best is taken.

    References
    ----------
    .. [1] A. A. Farley, A note on bounding a class of linear programming problems, including
       cutting stock problems, Operations Research 38 (1990) 922-923. From memory, not opened.
    """
    rows = best_rows(model, worths, at_most=True)
    holds = [0] * len(model.places)
    for way, sheet in model.sheets.items():
        value, _ = sheet.best([rows[way, width][0] for width in sheet.what], at_most=True)
        place = model.ways[way].place
        holds[place] = max(holds[place], value)
    wanted = sum(
        need.count * min(sum(worths[kind] for kind in division) for division in need.divisions)
        for need in model.needs.strips
    )
    turns = [
        Fraction(place.cost * WORTH, value)
        for place, value in zip(model.places, holds, strict=True)
        if value
    ]
    ends = [
        Fraction(place.cost * WORTH, value)
        for place, value in zip(model.places, holds, strict=True)
        if value and place.most is None
    ]
    best = Fraction(0)
    for factor in turns:
        if ends and factor > min(ends):
            continue
        above = sum(
            (place.most or 0) * max(factor * value - place.cost * WORTH, Fraction(0))
            for place, value in zip(model.places, holds, strict=True)
        )
        best = max(best, (factor * wanted - above) / WORTH)
    return best


def area_bound(areas: int, places: Sequence[Place], kerf: int) -> Fraction:
    """A cost below which pieces of this area, each with a kerf, cannot be cut in any way at all.

    Parameters
    ----------
    areas : int
        Sum over the pieces of (length + kerf) × (width + kerf).
    places : sequence of Place
        Sheets, as they are bought.
    kerf : int
        Lost between two pieces.

    Returns
    -------
    Fraction
        At least this must be spent; with all sheets taken and still too small, the cost of all.
    """
    left, cost = Fraction(areas), Fraction(0)
    for place in sorted(places, key=lambda p: Fraction(p.cost, max(p.area, 1))):
        size = (place.length + kerf) * (place.width + kerf)
        taken = left / size if place.most is None else min(left / size, Fraction(place.most))
        cost += taken * place.cost
        left -= taken * size
    return cost
