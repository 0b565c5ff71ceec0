"""A cut list: what is to be cut, sorted by foam and thickness, and each material cut on its own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil, gcd
from time import monotonic

from foamcalc.ask.cutlist.given import checked, too_few
from foamcalc.ask.cutlist.items import Item, Panel, Stock, thousandths
from foamcalc.ask.cutlist.layout import lay_out
from foamcalc.ask.cutlist.listed import least_in_rows
from foamcalc.ask.cutlist.parts import Place, places_of, units_of
from foamcalc.ask.cutlist.proof import prove
from foamcalc.ask.cutlist.result import CutList, Material, cost_of_sheets
from foamcalc.ask.cutlist.tries import pack
from foamcalc.guards import positive, single

SECONDS = 60.0
"""Last stop for the search if nothing else is said: assumed, as long as one waits."""

FINEST = 100_000
"""Steps in which the dearest sheet is counted; finer ones are lost on the solver."""

Progress = Callable[[int, int, str], None]
"""Told how many are done, of how many, and what comes next."""


def cut_list(
    stocks: Sequence[Stock],
    items: Sequence[Item],
    *,
    kerf: float = 0.0,
    trim: float = 0.0,
    currency: str = "",
    seconds: float = SECONDS,
    progress: Progress | None = None,
) -> CutList:
    """How strips and panels come out of the sheets that can be had.

    Parameters
    ----------
    stocks : sequence of Stock
        Sheets to buy, sheets at hand, offcuts; at most 50.
    items : sequence of Strip or Panel
        What is to be cut; at most 2000 different ones, 20 000 pieces in all.
    kerf : float
        What the cut takes away between two pieces [mm], from 0: 0 for a knife, and about 2 for a
        saw (assumed; measure a slot).
    trim : float
        What is cut off all round each sheet first [mm], from 0.
    currency : str
        What the prices are in, to be written behind them.
    seconds : float
        Time for the search, above 0; it gives the best that it has then.
    progress : callable, optional
        Called with how many materials are done, of how many, and what comes next.

    Returns
    -------
    CutList
        Every piece on its sheet; proven to be there once, inside, apart and along its grain.

    Raises
    ------
    ValueError
        If a piece asks for a foam or thickness without sheets, fits none of them, or finds no room
        on those at hand; if two pieces have one name, or there are too many.
    TypeError
        If something else than these is given.

    Notes
    -----
    Each foam and thickness is cut on its own, every piece by straight cuts from edge to edge of
    what is left.

    - Strips and panels are put down together by plain rules, and the best of many tries stands. How
      good that is only their area says.
    - Strips alone, where every row and every sheet slit into rows of one width can be listed: HiGHS
      chooses the cheapest, and `least_bought` is what no slitting into rows can better.
    - A strip longer than the sheets that can be had is joined, if it may be, from as few parts as
      can be: all equally long, or all but the last as long as the sheet; whichever is better. The
      least holds for these two ways; a join may still go elsewhere at the bench.
    - A gap is kept between panels; the widest of one foam holds for all of them. Beside a strip the
      kerf is enough.

    The same list gives the same answer, in whatever order it is written and on any machine: the
    work is counted. `seconds` is a last stop; a list that it cut short says so.

    Examples
    --------
    Rims for four scutes from small sheets; invented:

    >>> from foamcalc.ask.cutlist import Strip
    >>> sheet = Stock(foam="EVA medium", thickness=5, length=1000, width=500, price=8)
    >>> rim = Strip(name="rim", foam="EVA medium", thickness=5, length=480, width=60, count=17)
    >>> found = cut_list([sheet], [rim], currency="coins")
    >>> for line in found.summary_lines():
    ...     print(line)
    EVA medium 5 mm: 2 sheets of 1000 mm × 500 mm, 16.00 coins; 51% waste
      nothing better is to be had from sheets slit into rows of one width
      largest piece left: 1000 mm × 440 mm, on sheet 2
    in all 16.00 coins
    """
    seconds = single(positive(seconds, "seconds", "1"), "seconds")
    stocks, items, kerf, trim = checked(stocks, items, kerf, trim, currency)
    wanted = sorted({item.material for item in items})
    end = monotonic() + seconds
    tell = progress or (lambda done, of, what: None)
    materials = []
    for done, material in enumerate(wanted):
        name = f"{material[0]} {material[1] / 1000:g} mm"
        left = max(end - monotonic(), 0.0) / (len(wanted) - done)

        def say(what: str, done: int = done, name: str = name) -> None:
            tell(done, len(wanted), f"{name}: {what}")

        materials.append(
            _one_material(
                [s for s in stocks if s.material == material],
                [i for i in items if i.material == material],
                kerf=kerf,
                trim=trim,
                seconds=left,
                say=say,
            )
        )
    return CutList(materials=tuple(materials), kerf=kerf, trim=trim, currency=currency)


def _one_material(
    stocks: Sequence[Stock],
    items: Sequence[Item],
    *,
    kerf: float,
    trim: float,
    seconds: float,
    say: Callable[[str], None],
) -> Material:
    end = monotonic() + seconds
    costs, unit = _costs(stocks)
    saw, edge = thousandths(kerf), thousandths(trim)
    places = places_of(stocks, edge, costs)
    units = units_of(items, places)
    needed = sum(_area(item, saw) for item in items)
    least = ceil(_area_bound(needed, places, saw))
    gap = max(thousandths(item.gap) if isinstance(item, Panel) else 0 for item in items)
    listed, in_rows, half = None, 0, end - seconds / 2
    if not any(unit.outlined for unit in units):
        say("every row there is")
        listed = least_in_rows(units, places, saw, half - monotonic())
        in_rows = listed[0].cost(places) if listed and listed[1] else 0
    listed_in_time = monotonic() < half
    say("plain rules")
    best, finished = pack(
        units,
        places,
        kerf=saw,
        gap=gap,
        least=max(least, in_rows),
        late=lambda: monotonic() > end,
    )
    if listed:
        best = min(best, listed[0], key=lambda p: (p.rank(places, units), p.work(units)))
    if best.cost(places) < in_rows:
        in_rows = 0  # other ways of cutting are better
    if best.missing:
        lost = {items[number].name: count for number, count in best.missing.items()}
        raise ValueError(too_few(stocks, lost, finished and listed_in_time))
    placed = lay_out(best, units, items, stocks, kerf=saw, trim=edge)
    prove(placed, items, stocks, kerf=kerf, trim=trim)
    lowest = max(least, in_rows)
    bought = ceil(_area_bound(needed, [replace(p, cost=min(p.cost, 1)) for p in places], saw))
    if max(place.cost for place in places) == 1:  # then the cost is the number of sheets
        bought = max(bought, in_rows)
    return Material(
        foam=placed[0].stock.foam,
        thickness=placed[0].stock.thickness,
        sheets=tuple(placed),
        least_bought=bought,
        # a sheet that costs next to nothing beside the dearest counts one all the same
        least_cost=None if unit is None else min(lowest * unit, cost_of_sheets(placed) or 0.0),
        least_in_rows=in_rows > least,
        proven=best.cost(places) <= lowest,
        finished=finished and listed_in_time,
    )


def _costs(stocks: Sequence[Stock]) -> tuple[list[int], float | None]:
    """What each sheet counts, and what a count of one is worth in money; None without prices.

    Free ones count nothing. Others count their price where all prices are known, else their area:
    exactly, or rounded down to `FINEST` of the largest where that is finer.
    """
    priced = all(stock.free or stock.price is not None for stock in stocks)
    values = []
    for stock in stocks:
        area = thousandths(stock.length) * thousandths(stock.width)
        price = thousandths(stock.price) if stock.price is not None else 0
        values.append(0 if stock.free else price if priced else area)
    unit = Fraction(max(gcd(*values), 1))
    if max(values) > FINEST * unit:
        unit = Fraction(max(values), FINEST)
    counts = [max(int(value / unit), 1) if value else 0 for value in values]
    return counts, float(unit) / 1000 if priced else None


def _area(item: Item, kerf: int) -> int:
    """Sheet that all pieces of an item take at least, each with a kerf, in thousandths."""
    length, width = thousandths(item.cut_length), thousandths(item.width)
    if isinstance(item, Panel) and item.nest is not None:
        return item.count * length * thousandths(item.nest)
    return item.count * (length + kerf) * (width + kerf)


def _area_bound(areas: int, places: Sequence[Place], kerf: int) -> Fraction:
    """A cost below which pieces of this area, each with a kerf, cannot be cut in any way at all."""
    left, cost = Fraction(areas), Fraction(0)
    for place in sorted(places, key=lambda p: Fraction(p.cost, max(p.area, 1))):
        size = (place.length + kerf) * (place.width + kerf)
        taken = left / size if place.most is None else min(left / size, Fraction(place.most))
        cost += taken * place.cost
        left -= taken * size
    return cost
