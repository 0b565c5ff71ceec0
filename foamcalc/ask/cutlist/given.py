"""What a cut list is given: checked, put in one order, and refused in words that help."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from foamcalc.ask.cutlist.items import Item, Panel, Stock, Strip, a_length, thousandths
from foamcalc.ask.faults import LONGEST_NAME, near

MOST_ITEMS = 2000
"""Different pieces on one list."""
MOST_PIECES = 20_000
"""Pieces on one list, all counts together."""
MOST_STOCKS = 50
"""Different sheets on one list."""


def checked(
    stocks: Sequence[Stock], items: Sequence[Item], kerf: float, trim: float, currency: str
) -> tuple[list[Stock], list[Item], float, float]:
    """All of it, in an order that does not depend on the one it was given in."""
    stocks, items = list(stocks), list(items)
    for what, of in ((stocks, Stock), (items, Strip | Panel)):
        for one in what:
            if not isinstance(one, of):
                wanted = "a Stock" if of is Stock else "a Strip or a Panel"
                raise TypeError(f"each must be {wanted}, got {type(one).__name__}")
    if not isinstance(currency, str):
        raise TypeError(f"currency must be a text, got {currency!r}")
    if len(currency) > LONGEST_NAME or not (currency == "" or currency.isprintable()):
        raise ValueError(f"currency must be at most {LONGEST_NAME} signs on one line")
    _check_numbers(stocks, items)
    kerf = a_length(kerf, "kerf", least=0.0)
    trim = a_length(trim, "trim", least=0.0)
    for stock in stocks:
        if 2 * thousandths(trim) >= thousandths(min(stock.length, stock.width)):
            raise ValueError(
                f"trim must be below half of each sheet, got {trim:g} mm for {stock}: nothing is "
                "left of it"
            )
    there = {stock.material for stock in stocks}
    for item in items:
        if item.material not in there:
            raise ValueError(_no_stock(item, stocks))
    return sorted(stocks, key=_stock_order), sorted(items, key=_item_order), kerf, trim


def _check_numbers(stocks: Sequence[Stock], items: Sequence[Item]) -> None:
    if not items:
        raise ValueError("items must have at least one strip or panel, got none")
    for what, have, most in (
        ("stocks", len(stocks), MOST_STOCKS),
        ("items", len(items), MOST_ITEMS),
        ("pieces, all counts together,", sum(item.count for item in items), MOST_PIECES),
    ):
        if have > most:
            raise ValueError(f"{what} must be at most {most}, got {have}; make several lists")
    names = Counter(item.name for item in items)
    if twice := sorted(name for name, number in names.items() if number > 1):
        raise ValueError(
            f"each piece must have its own name, got {twice[0]!r} {names[twice[0]]} times; "
            "give the others another name, or raise the count of one"
        )


def _no_stock(item: Item, stocks: Sequence[Stock]) -> str:
    kind = "strip" if isinstance(item, Strip) else "panel"
    where = f"{kind} {item.name!r}"
    same = sorted({stock.thickness for stock in stocks if stock.foam == item.foam})
    if same:
        there = ", ".join(f"{thickness:g}" for thickness in same)
        return (
            f"{where}: no sheet of {item.foam!r} is {item.thickness:g} mm thick, there are {there} "
            "mm; correct the thickness or name such a sheet"
        )
    foams = sorted({stock.foam for stock in stocks})
    meant = near(item.foam, foams)
    hint = f"; did you mean {meant!r}?" if meant else ""
    there = ", ".join(repr(foam) for foam in foams[:10]) or "none"
    return f"{where}: no sheet is of {item.foam!r}, there are {there}{hint}"


def _stock_order(stock: Stock) -> tuple[object, ...]:
    return (
        *stock.material,
        stock.free,
        -stock.length * stock.width,
        -stock.length,
        stock.price is not None,
        stock.price or 0.0,
        stock.at_hand or 0,
        stock.grain,
        stock.offcut,
    )


def _item_order(item: Item) -> tuple[object, ...]:
    extra: Iterable[object]
    if isinstance(item, Strip):
        extra = (0, item.joins, item.lap, item.join_from_end, item.spare)
    else:
        extra = (1, item.nest or 0.0, item.gap, 0, 0)
    sizes = (*item.material, -item.width, -item.length, item.grain, item.count)
    return (*sizes, *extra, item.name)


def too_few(stocks: Sequence[Stock], lost: Mapping[str, int], finished: bool) -> str:
    """What is said where no room was found for some of the pieces: the time, else the sheets."""
    pieces = ", ".join(f"{number} of {name!r}" for name, number in list(lost.items())[:5])
    more = f" and {len(lost) - 5} others" if len(lost) > 5 else ""
    there = "; ".join(f"{stock.at_hand} of {stock}" for stock in stocks if stock.at_hand)
    if not finished:
        return f"the time ran out before room was found for {pieces}{more}; give the search more"
    return (
        f"not enough sheets: no room was found for {pieces}{more} on those at hand ({there}); "
        "raise at_hand, name more sheets, or divide pieces"
    )
