"""How big a drawing is: units, view boxes, aspect, and drawings that count in px.

Expected sizes are exact by hand; an inch is 25.4 mm, 96 px, 72 pt or 6 pc (CSS).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from foamcalc.shape.svg.lengths import Box, fitted, in_units, numbers, said, view_box
from foamcalc.shape.svg.page import page_of
from foamcalc.shape.svg.tree import Node


def page(per_inch=None, **attributes):
    told = {
        {"box": "viewBox", "aspect": "preserveAspectRatio"}.get(k, k): v
        for k, v in attributes.items()
    }
    return page_of(Node("svg", told, 1, "shell.svg"), per_inch)


def onto(matrix, x, y):
    a, b, c, d, e, f = matrix
    return (a * x + c * y + e, b * x + d * y + f)


# Numbers and lengths -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("1 2,3 , 4", [1, 2, 3, 4]),
        ("1.5.5", [1.5, 0.5]),
        ("+.5-3", [0.5, -3]),
        ("1e-3-1E2+1e+1", [0.001, -100, 10]),
        ("1.", [1]),
        ("\t0\n-0 ", [0, 0]),
        ("", []),
    ],
)
def test_numbers_may_run_together(text, values):
    assert numbers(text) == values


@pytest.mark.parametrize(
    "text", ["1,,2", "1,", ",1", "nan", "inf", "1 x", "0x10", "1e", "--1", "\u0661"]
)
def test_what_is_no_number_is_refused(text):
    with pytest.raises(ValueError, match=r"no number"):
        numbers(text)
    with pytest.raises(ValueError, match=r"'1e400' is too big a number"):
        numbers("3 1e400")


@pytest.mark.parametrize(
    ("text", "units"),
    [
        ("25.4mm", 96),
        ("2.54cm", 96),
        ("1in", 96),
        ("72pt", 96),
        ("6pc", 96),
        ("96px", 96),
        ("96", 96),
        ("50%", 100),
        (" 101.6Q ", 96),
        ("1IN", 96),
        ("-1e1px", -10),
    ],
)
def test_every_unit(text, units):
    assert in_units(text, whole=200, per_inch=96) == pytest.approx(units, rel=1e-15)


def test_real_units_have_more_px_at_another_count():
    assert in_units("1in", whole=0, per_inch=72) == 72
    assert in_units("10", whole=0, per_inch=72) == 10


def test_units_that_hang_on_letters_or_windows_are_refused():
    for unit in ("em", "ex", "rem", "vw", "furlong"):
        with pytest.raises(ValueError, match=rf"is in {unit}, a unit that hangs on more"):
            said(f"3{unit}")
    with pytest.raises(ValueError, match=r"is no length, such as 210mm"):
        said("mm")


@pytest.mark.parametrize("text", ["0 0 10", "0 0 10 10 10", "", "0 0 0 10", "0 0 10 -1", "a"])
def test_a_view_box_is_four_numbers_with_a_size(text):
    with pytest.raises(ValueError, match=r"viewBox"):
        view_box(text)


# View boxes --------------------------------------------------------------------------------------


def test_a_view_box_is_centred_and_kept_in_shape():
    """Exact: 10 x 10 from (2, 3) into 40 x 20 at (5, 5): scale 2, 10 left over on either side."""
    matrix = fitted(Box(2, 3, 10, 10), Box(5, 5, 40, 20))
    assert onto(matrix, 2, 3) == (15, 5)
    assert onto(matrix, 12, 13) == (35, 25)


@pytest.mark.parametrize(("x", "left"), [("Min", 0), ("Mid", 10), ("Max", 20)])
@pytest.mark.parametrize("y", ["Min", "Mid", "Max"])
def test_meet_and_slice_for_every_alignment(x, left, y):
    """Exact: a square of 10 into 40 x 20. Meet: 20 wide; slice: 40 high, 20 of it too many."""
    box, port = Box(0, 0, 10, 10), Box(0, 0, 40, 20)
    for meet in (f"x{x}Y{y}", f"x{x}Y{y} meet", f" defer x{x}Y{y}  meet "):
        assert onto(fitted(box, port, meet), 0, 0) == (left, 0)
        assert onto(fitted(box, port, meet), 10, 10) == (left + 20, 20)
    over = {"Min": 0, "Mid": -10, "Max": -20}[y]
    assert onto(fitted(box, port, f"x{x}Y{y} slice"), 0, 0) == (0, over)
    assert onto(fitted(box, port, f"x{x}Y{y} slice"), 10, 10) == (40, over + 40)


def test_none_stretches():
    matrix = fitted(Box(1, 1, 10, 10), Box(0, 0, 40, 20), "none")
    assert matrix == (4, 0, 0, 2, -4, -2)


@pytest.mark.parametrize("text", ["xmidymid", "xMidYMid fill", "center", "xMid"])
def test_an_unknown_alignment_is_refused(text):
    with pytest.raises(ValueError, match=r"shell.svg, line 1, svg: preserveAspectRatio must be"):
        page(width="1mm", height="1mm", box="0 0 1 1", aspect=text)


# Sizes that are certain --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("width", "height", "mm"),
    [
        ("210mm", "297mm", (210, 297)), ("21cm", "29.7cm", (210, 297)), ("8.5in", "11in",
        (215.9, 279.4)), ("612pt", "792pt", (215.9, 279.4)), ("51pc", "66pc", (215.9, 279.4)),
        ("840q", "297mm", (210, 297)),
    ],
)  # fmt: skip
def test_a_size_in_a_unit_of_length_is_certain(width, height, mm):
    found = page(width=width, height=height, box="0 0 210 297")
    assert (found.width, found.height) == pytest.approx(mm, rel=1e-15)
    assert found.certain and not found.told


def test_y_points_up_from_the_lower_left_corner():
    found = page(width="210mm", height="297mm", box="0 0 420 594")
    assert onto(found.matrix, 0, 0) == (0, 297)
    assert onto(found.matrix, 420, 594) == (210, 0)
    assert onto(found.matrix, 20, 10) == (10, 292)


@pytest.mark.parametrize("other", [None, "auto", "100%"])
def test_a_missing_side_follows_from_the_view_box(other):
    rest = {} if other is None else {"height": other}
    found = page(width="100mm", box="0 0 50 20", **rest)
    assert (found.width, found.height, found.certain) == (100, 40, True)
    rest = {} if other is None else {"width": other}
    found = page(height="100mm", box="0 0 50 20", **rest)
    assert (found.width, found.height, found.certain) == (250, 100, True)


def test_a_page_that_is_turned_is_turned_about_its_middle():
    """As Chromium does, see test_svg_browser.py; here exact by hand, a quarter turn."""
    found = page(width="100mm", height="50mm", box="0 0 100 50", transform="rotate(90)")
    assert onto(found.matrix, 50, 25) == pytest.approx((50, 25))
    assert onto(found.matrix, 60, 25) == pytest.approx((50, 15))


def test_per_inch_is_refused_where_it_changes_nothing():
    with pytest.raises(ValueError, match=r"per_inch=72 changes nothing: .* 210mm by 297mm"):
        page(72, width="210mm", height="297mm", box="0 0 1 1")


# Sizes that rest on px ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("per_inch", "mm"), [(None, 25.4), (96, 25.4), (90, 27.0933333333333), (72, 33.8666666666667)]
)
def test_px_are_parts_of_an_inch_and_the_inch_is_asked_for(per_inch, mm):
    for attributes in (
        {"width": "96px", "height": "192", "box": "0 0 10 20"},
        {"width": "96", "height": "192"},
        {"box": "0 0 96 192"},
        {"box": "5 5 96 192", "width": "100%", "height": "auto"},
    ):
        found = page(per_inch, **attributes)
        assert (found.width, found.height) == pytest.approx((mm, 2 * mm), rel=1e-14)
        assert found.per_inch == (per_inch or 96)
        assert (found.certain, found.told) == (False, per_inch is not None)


def test_without_a_view_box_the_shapes_are_in_px_whatever_the_page_says():
    """Exact: 100 units are 100 px; the page keeps its size."""
    for per_inch, mm in ((None, 100 * 25.4 / 96), (90, 100 * 25.4 / 90)):
        found = page(per_inch, width="210mm", height="297mm")
        assert (found.width, found.height) == (210, 297)
        assert not found.certain and found.paper_certain
        ends = np.subtract(onto(found.matrix, 100, 0), onto(found.matrix, 0, 0))
        assert math.hypot(*ends) == pytest.approx(mm, rel=1e-14)


@pytest.mark.parametrize(
    ("attributes", "words"),
    [
        ({}, "no width and height and no viewBox, so its size is said nowhere"),
        ({"width": "100mm"}, "no height and no viewBox"),
        ({"width": "100%", "height": "100mm"}, "no width and no viewBox"),
        ({"width": "0", "height": "1"}, "width must be above 0, got '0'"),
        ({"width": "1mm", "height": "-1mm"}, "height must be above 0, got '-1mm'"),
        ({"width": "20em", "height": "1mm"}, "is in em, a unit"),
        ({"width": "1e400mm", "height": "1mm"}, "'1e400' is too big a number"),
        ({"width": "1e300mm", "height": "1mm"}, "set the size of the page"),
        ({"width": "1mm", "height": "1mm", "box": "0 0 NaN 1"}, "viewBox '0 0 NaN 1'"),
        ({"width": "1mm", "height": "1mm", "transform": "spin(3)"}, "unknown function 'spin'"),
    ],
)
def test_a_size_that_cannot_be_known_is_refused(attributes, words):
    with pytest.raises(ValueError) as caught:
        page(**attributes)
    assert str(caught.value).startswith("shell.svg, line 1, svg: ")
    assert words in str(caught.value)


@pytest.mark.parametrize("per_inch", [100, 0, -96, 96.5, "96", True])
def test_other_counts_of_px_are_refused(per_inch):
    with pytest.raises(ValueError, match=r"per_inch must be 72, 90 or 96, got"):
        page(per_inch, width="1", height="1")
