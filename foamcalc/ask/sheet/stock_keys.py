"""Keys of the sheets that can be had, of further pieces, and of how they are cut."""

from __future__ import annotations

from foamcalc.ask.cutlist.items import MOST_PRICE
from foamcalc.ask.form import (
    ABOVE_0,
    COUNT,
    FROM_0,
    NAME,
    SHEET,
    Number,
    Text,
    Word,
    YesNo,
    make_key,
)

LONGEST_SEARCH = 3600.0
"""Longest time to look for a better cut list [s]."""

_FOAM = "a [foam.NAME] of this sheet, or a grade"

SHEETS = (
    make_key("foam", NAME, '"shell"', _FOAM),
    make_key("thickness", SHEET, "10", "thickness, written as the pieces write it"),
    make_key("length", ABOVE_0, "1000", "length of the sheet; its grain runs along it"),
    make_key("width", ABOVE_0, "500", "width of the sheet"),
    make_key(
        "price",
        Number(f"a number from 0 to {MOST_PRICE:.0f}", lambda n: 0 <= n <= MOST_PRICE),
        "12.5",
        "price of one, in your own currency",
        "not known: the least sheet is bought, not the cheapest",
    ),
    make_key("at_hand", COUNT, "2", "how many there are", "as many as wanted; of an offcut one"),
    make_key("grain", Word(("none", "along")), '"none"', "whether it has a grain", "none"),
    make_key("offcut", YesNo(), "true", "left from before: it costs nothing", "false"),
)
PIECE = (
    make_key("name", NAME, '"strap tab"', "a name of its own"),
    make_key("foam", NAME, '"shell"', _FOAM),
    make_key("thickness", SHEET, "5", "thickness, written as the stock writes it"),
    make_key("length", ABOVE_0, "120", "length of the rectangle round it"),
    make_key("width", ABOVE_0, "80", "width of the rectangle round it"),
    make_key("count", COUNT, "4", "how many", "1"),
    make_key(
        "grain",
        Word(("any", "along", "across")),
        '"any"',
        "how its length lies to the grain of the sheet",
        "any: it may be turned",
    ),
)
CUTTING = (
    make_key("kerf", FROM_0, '"2 mm"', "what the blade takes away", "0, for a knife"),
    make_key("edge_trim", FROM_0, '"5 mm"', "what is cut off all round each sheet first", "0"),
    make_key(
        "gap", FROM_0, '"3 mm"', "room kept between pieces that are cut out by their outline", "0"
    ),
    make_key("currency", Text(), '"tokens"', "what the prices are in, as you write it", "not said"),
    make_key(
        "seconds",
        Number(
            f"a number of seconds from 0.1 to {LONGEST_SEARCH:.0f}",
            lambda s: 0.1 <= s <= LONGEST_SEARCH,
        ),
        "120",
        "last stop for the search; the same list comes before it on any machine",
        "60",
    ),
)
