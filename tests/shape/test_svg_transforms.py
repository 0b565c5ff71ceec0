"""The transform attribute: every function, lists, odd spacing.

Expected points are exact by hand, unless said otherwise.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from foamcalc.shape.svg.lengths import after
from foamcalc.shape.svg.transforms import transform

HALF, ROOT = 0.5, math.sqrt(3) / 2


def onto(text, x=10.0, y=4.0):
    a, b, c, d, e, f = transform(text)
    return (a * x + c * y + e, b * x + d * y + f)


@pytest.mark.parametrize(
    ("text", "point"),
    [
        ("matrix(1 2 3 4 5 6)", (10 + 12 + 5, 20 + 16 + 6)),
        ("translate(3)", (13, 4)),
        ("translate(3,-1)", (13, 3)),
        ("scale(2)", (20, 8)),
        ("scale(2 -1)", (20, -4)),
        ("rotate(90)", (-4, 10)),
        ("rotate(-90)", (4, -10)),
        ("rotate(450)", (-4, 10)),
        ("rotate(180 10 0)", (10, -4)),
        ("rotate(30)", (10 * ROOT - 2, 5 + 4 * ROOT)),
        ("skewX(45)", (14, 4)),
        ("skewY(-45)", (10, -6)),
        ("", (10, 4)),
        ("  ", (10, 4)),
        ("none", (10, 4)),
        # The last is done first: scale to (20, 8), then move.
        ("translate(1 1) scale(2)", (21, 9)),
        ("scale(2) translate(1 1)", (22, 10)),
        ("translate(1,1),scale(2)", (21, 9)),
        ("translate(1 1)scale(2)", (21, 9)),
        (" translate ( 1 , 1 )\t,\n scale( 2 ) ", (21, 9)),
        ("translate(1-1)", (11, 3)),
        ("translate(.5.5)", (10.5, 4.5)),
        ("matrix(1e0 0 0+1 0-1)", (10, 3)),
    ],
)
def test_every_function(text, point):
    assert onto(text) == pytest.approx(point, rel=1e-15, abs=1e-15)


def test_quarter_turns_are_exact():
    assert transform("rotate(90)") == (0, 1, -1, 0, 0, 0)
    assert transform("rotate(-270)") == (0, 1, -1, 0, 0, 0)


def test_a_turn_about_a_middle_is_a_move_a_turn_and_a_move_back():
    want = transform("translate(7 -3) rotate(33) translate(-7 3)")
    assert transform("rotate(33, 7, -3)") == pytest.approx(want, rel=1e-14, abs=1e-14)


def test_matrices_follow_each_other_as_arrays_do():
    """Independent: numpy's product of 3 x 3 matrices."""

    def full(m):
        return np.array([[m[0], m[2], m[4]], [m[1], m[3], m[5]], [0, 0, 1]])

    m, n = (1, 2, 3, 4, 5, 6), (-1, 0.5, 2, 7, -3, 1)
    assert (full(after(m, n)) == full(m) @ full(n)).all()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("skewx(3)", "unknown function 'skewx'; did you mean skewX?"),
        ("perspective(3)", "unknown function 'perspective': use one of matrix, translate"),
        ("rotate(45deg)", "stand there without a unit"),
        ("translate(3px 4px)", "stand there without a unit"),
        ("rotate(1 2)", "rotate takes 1 or 3 numbers, got 2"),
        ("matrix(1 2 3 4 5)", "matrix takes 6 numbers, got 5"),
        ("scale()", "scale takes 1 or 2 numbers, got 0"),
        ("translate(1 2", "cannot be read at 'translate(1 2'"),
        ("translate(1) oops", "cannot be read at ' oops'"),
        ("scale(NaN)", "no number"),
        ("scale(1e999)", "too big a number"),
        ("skewX(90)", "pulls the shape out without end"),
        ("scale(2)" * 1001, "over 1000 functions: write them as one matrix"),
    ],
)
def test_what_cannot_be_read_is_refused(text, words):
    with pytest.raises(ValueError) as caught:
        transform(text)
    assert words in str(caught.value)
