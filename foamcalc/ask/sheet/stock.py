"""Stock of a job sheet: the sheets that can be had, further pieces, and how they are cut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from foamcalc.ask.cutlist.build import SECONDS
from foamcalc.ask.cutlist.items import Panel, Stock
from foamcalc.ask.faults import LONGEST_NAME
from foamcalc.ask.form import Table
from foamcalc.ask.sheet.parts import Foam, Parts

Made = TypeVar("Made")


@dataclass(frozen=True, kw_only=True)
class CuttingRules:
    """How the sheets of a build are cut."""

    kerf: float = 0.0
    """What the blade takes away between two pieces [mm]."""
    edge_trim: float = 0.0
    """What is cut off all round each sheet first [mm]."""
    gap: float = 0.0
    """Room kept between pieces that are cut out by their outline [mm]."""
    currency: str = ""
    """What the prices are in, as the maker wrote it."""
    seconds: float = SECONDS
    """Last stop for the search [s]."""


def foam_name(shown: str) -> str:
    """The name by which pieces ask for a foam: as it is shown, or short enough for a list."""
    return shown if len(shown) <= LONGEST_NAME else shown.rpartition(" (")[0][:LONGEST_NAME]


def read_stock(table: Table, foams: Parts[Foam]) -> Stock | None:
    """The sheets of a checked table; None if it, or what it refers to, has a fault."""
    foam = foams.refer(table, "foam")
    price = table.get("price")
    if table.get("offcut") and price:
        table.fault("price", f"an offcut costs nothing, got {price:g}; leave out price or offcut")
    if price == 0 and not {"at_hand", "offcut"} & table.written:
        table.fault("at_hand", "is missing although price = 0; write how many there are")
    return _made(Stock, table, foam)


def read_piece(table: Table, name: str, foams: Parts[Foam]) -> Panel | None:
    """The pieces of a checked table; None if it, or what it refers to, has a fault."""
    return _made(Panel, table, foams.refer(table, "foam"), name=name)


def _made(make: Callable[..., Made], table: Table, foam: Foam | None, **own: str) -> Made | None:
    """What the values of a table make, of its foam; None if it, or the foam, has a fault."""
    if not table.sound or foam is None:
        return None
    try:
        return make(**{**table.values, **own, "foam": foam_name(foam.shown)})
    except ValueError as error:
        table.faults_of("", error)
        return None


def read_cutting(table: Table, stocks: tuple[Stock, ...]) -> CuttingRules:
    """How it is cut; faults for more than the sheets can take."""
    rules = CuttingRules(**table.values)
    for stock in stocks:
        if 2 * rules.edge_trim >= min(stock.length, stock.width):
            table.fault(
                "edge_trim",
                f"must be below half of each sheet, got {rules.edge_trim:g} mm for {stock}: "
                "nothing is left of it",
            )
    return rules
