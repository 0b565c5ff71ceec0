"""What a cut list refuses, and in which words."""

from __future__ import annotations

import math

import numpy as np
import pytest

from foamcalc.ask.cutlist import Panel, Stock, Strip, cut_list
from foamcalc.ask.cutlist.given import MOST_ITEMS, MOST_PIECES, MOST_STOCKS

EVA = {"foam": "EVA medium", "thickness": 10.0}  # invented, as all sizes here


def sheet(**more):
    return Stock(**{**EVA, "length": 1000, "width": 500, **more})


def strip(**more):
    return Strip(**{"name": "rim", **EVA, "length": 300, "width": 40, **more})


def panel(**more):
    return Panel(**{"name": "scute", **EVA, "length": 200, "width": 150, **more})


@pytest.mark.parametrize("make", [sheet, strip, panel])
@pytest.mark.parametrize("field", ["thickness", "length", "width"])
@pytest.mark.parametrize("value", [0, -3.0, math.nan, math.inf, 0.05, 100_001])
def test_sizes_that_no_sheet_or_piece_has(make, field, value):
    with pytest.raises(ValueError, match=field):
        make(**{field: value})


@pytest.mark.parametrize("make", [sheet, strip, panel])
@pytest.mark.parametrize("value", ["300 mm", None, True, [300.0]])
def test_sizes_that_are_no_single_number(make, value):
    with pytest.raises(TypeError, match="length"):
        make(length=value)


@pytest.mark.parametrize("value", [0, -1, 2.5, math.nan, math.inf, 10_001])
def test_counts_that_are_not_whole(value):
    for make in (strip, panel):
        with pytest.raises(ValueError, match="count must be a whole number from 1 to 10000"):
            make(count=value)
    with pytest.raises(ValueError, match="at_hand must be a whole number"):
        sheet(at_hand=value)


@pytest.mark.parametrize("value", ["3", None, True, [2]])
def test_counts_that_are_no_numbers(value):
    with pytest.raises(TypeError, match="count must be a whole number"):
        strip(count=value)


def test_whole_numbers_of_other_kinds_are_counts():
    assert strip(count=np.int64(3)).count == 3
    assert type(panel(count=3.0).count) is int


@pytest.mark.parametrize(
    ("make", "field", "value", "error"),
    [
        (sheet, "price", -1, ValueError),
        (sheet, "price", math.nan, ValueError),
        (sheet, "price", 2e6, ValueError),
        (sheet, "price", 0.0004, ValueError),
        (sheet, "price", "8", TypeError),
        (sheet, "grain", "across", ValueError),
        (sheet, "grain", None, TypeError),
        (sheet, "offcut", 1, TypeError),
        (sheet, "foam", "", ValueError),
        (sheet, "foam", 5, TypeError),
        (strip, "name", " ", ValueError),
        (strip, "name", "a\nb", ValueError),
        (strip, "name", "x" * 61, ValueError),
        (strip, "joins", "yes", TypeError),
        (strip, "lap", -1, ValueError),
        (strip, "join_from_end", -1, ValueError),
        (strip, "spare", math.nan, ValueError),
        (strip, "grain", "length", ValueError),
        (panel, "gap", -0.5, ValueError),
        (panel, "nest", 0, ValueError),
        (panel, "nest", 150, ValueError),
        (panel, "grain", "alnog", ValueError),
    ],
)
def test_what_else_is_refused_by_name(make, field, value, error):
    with pytest.raises(error, match=field):
        make(**{field: value})


def test_the_piece_is_named():
    with pytest.raises(ValueError, match=r"strip 'rim': width must be .* got -4\.0"):
        strip(width=-4)
    with pytest.raises(ValueError, match="panel 'scute': nest must be below its width of 150 mm"):
        panel(nest=200)


def test_a_free_sheet_says_how_many_there_are():
    with pytest.raises(ValueError, match="price is 0, so at_hand must say how many"):
        sheet(price=0)
    assert sheet(price=0, at_hand=2).free
    assert sheet(offcut=True).at_hand == 1
    with pytest.raises(ValueError, match="an offcut costs nothing, got a price of 3"):
        sheet(offcut=True, price=3)


def test_a_foam_without_sheets():
    with pytest.raises(ValueError, match=r"strip 'rim': no sheet is of 'EVA medum'.*did you mean"):
        cut_list([sheet()], [strip(foam="EVA medum")])
    with pytest.raises(ValueError, match="there are none"):
        cut_list([], [strip()])


def test_a_thickness_without_sheets():
    with pytest.raises(ValueError, match="is 5 mm thick, there are 8, 10 mm"):
        cut_list([sheet(), sheet(thickness=8)], [panel(thickness=5)])


def test_a_piece_too_large_says_by_how_much_and_what_to_do():
    with pytest.raises(ValueError, match=r"'rim'.*200 mm longer than the 1000 mm.*allow joins"):
        cut_list([sheet()], [strip(length=1200)])
    with pytest.raises(ValueError, match=r"width must be at most 1000 mm.*20 mm too wide"):
        cut_list([sheet()], [strip(width=1020)])
    with pytest.raises(
        ValueError, match=r"1200 × 600 mm fits no sheet; .* 200 mm too long and 100 mm too wide"
    ):
        cut_list([sheet()], [panel(length=1200, width=600)])
    with pytest.raises(ValueError, match="990 × 490 mm inside the nearest it is 10 mm too long"):
        cut_list([sheet()], [panel(length=1000, width=400)], trim=5)


def test_a_grain_that_cannot_be_kept():
    grained = sheet(grain="along")
    with pytest.raises(ValueError, match="with its length across the grain"):
        cut_list([grained], [strip(length=600, grain="across")])
    with pytest.raises(ValueError, match="cut along the grain, its width of 600 mm fits no sheet"):
        cut_list([grained], [strip(length=100, width=600, grain="along")])
    with pytest.raises(ValueError, match="fits no sheet with its length across the grain"):
        cut_list([grained], [panel(length=600, grain="across")])


def test_a_strip_that_cannot_be_joined():
    with pytest.raises(ValueError, match=r"cannot be joined.*600 mm from its ends.*join_from_end"):
        cut_list([sheet()], [strip(length=1100, joins=True, join_from_end=600)])
    with pytest.raises(ValueError, match=r"cannot be joined.*lap 1000 mm"):
        cut_list([sheet()], [strip(length=1100, joins=True, lap=1000)])


def test_not_enough_sheets_at_hand():
    with pytest.raises(ValueError, match=r"no room was found for .*'rim'.*\(1 of EVA medium"):
        cut_list([sheet(at_hand=1)], [strip(length=1000, width=100, count=6)])
    # five are just enough
    assert cut_list([sheet(at_hand=1)], [strip(length=1000, width=100, count=5)])


def test_a_name_given_twice():
    with pytest.raises(ValueError, match="own name, got 'rim' 2 times"):
        cut_list([sheet()], [strip(), strip(length=200)])


@pytest.mark.parametrize(
    ("given", "match"),
    [
        ({"kerf": -1}, "kerf"),
        ({"kerf": math.nan}, "kerf"),
        ({"trim": -1}, "trim"),
        ({"trim": 250}, "trim must be below half"),
        ({"seconds": 0}, "seconds"),
        ({"seconds": math.inf}, "seconds"),
        ({"currency": "x" * 61}, "currency"),
    ],
)
def test_knife_trim_and_time(given, match):
    with pytest.raises(ValueError, match=match):
        cut_list([sheet()], [strip()], **given)


def test_things_that_are_neither_sheets_nor_pieces():
    with pytest.raises(TypeError, match="a Stock, got Strip"):
        cut_list([strip()], [strip()])
    with pytest.raises(TypeError, match="a Strip or a Panel, got dict"):
        cut_list([sheet()], [{"name": "rim"}])
    with pytest.raises(TypeError, match="currency"):
        cut_list([sheet()], [strip()], currency=None)


def test_a_list_is_bounded():
    many = [strip(name=str(i)) for i in range(MOST_ITEMS + 1)]
    with pytest.raises(ValueError, match="items must be at most 2000, got 2001"):
        cut_list([sheet()], many)
    with pytest.raises(ValueError, match=r"pieces.* at most 20000, got 20001"):
        rows = [strip(name=str(i), count=10_000) for i in range(MOST_PIECES // 10_000)]
        cut_list([sheet()], [*rows, strip()])
    with pytest.raises(ValueError, match="stocks must be at most 50"):
        cut_list([sheet(length=600 + i) for i in range(MOST_STOCKS + 1)], [strip()])
    with pytest.raises(ValueError, match="at least one strip or panel"):
        cut_list([sheet()], [])
