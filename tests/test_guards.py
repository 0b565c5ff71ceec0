"""The shared argument checks: what passes, what is refused, and in which words.

Every expected value in this file is exact by hand: the texts are the ones a maker shall read.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Literal

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays_of

from foamcalc.guards import (
    UNIT_WORDS,
    Above0,
    Checked,
    Share,
    finite,
    fraction,
    non_negative,
    number,
    one_of,
    positive,
)

NUMBER_GUARDS = (finite, positive, non_negative, fraction)


def exactly(text: str) -> str:
    """Return a pattern for pytest.raises that matches the whole text and nothing else."""
    return f"^{re.escape(text)}$"


# What passes ----------------------------------------------------------------------------------


@pytest.mark.parametrize("guard", NUMBER_GUARDS)
@pytest.mark.parametrize(
    ("value", "shape"),
    [
        *[(x, ()) for x in (1, 1.0, np.float32(1), np.int8(1), np.array(1.0), np.uint64(1))],
        ([0.25, 1], (2,)),
        ((0.25, 1), (2,)),
        ([[0.25], [1]], (2, 1)),
        ([np.float64(0.25), np.array(1.0)], (2,)),
        (np.array([0.25, 1.0], dtype=np.float32), (2,)),
        (np.ma.MaskedArray([0.25, 1.0], mask=[False, False]), (2,)),
    ],
)
def test_numbers_come_back_as_a_copy_in_float64(guard, value, shape):
    got = guard(value, "thickness")
    assert (type(got), got.dtype, got.shape) == (np.ndarray, np.float64, shape)
    assert got.ravel().tolist() == ([0.25, 1.0] if shape else [1.0])
    assert not np.shares_memory(got, value)


numbers = arrays_of.arrays(
    np.float64,
    arrays_of.array_shapes(min_dims=0, max_dims=3, max_side=4),
    elements=st.floats(allow_nan=True, allow_infinity=True, width=64),
)


@pytest.mark.parametrize(
    ("guard", "allowed"),
    [
        (finite, lambda x: abs(x) < float("inf")),
        (positive, lambda x: 0.0 < x < float("inf")),
        (non_negative, lambda x: 0.0 <= x < float("inf")),
        (fraction, lambda x: 0.0 <= x <= 1.0),
    ],
)
@given(value=numbers)
def test_a_guard_passes_exactly_its_range(guard, allowed, value):
    """Independent check: plain Python comparisons, one number at a time."""
    bad = [index for index in np.ndindex(value.shape) if not allowed(float(value[index]))]
    if not bad:
        np.testing.assert_array_equal(guard(value, "x"), value)
        return
    first = bad[0]
    where = str(first[0]) if len(first) == 1 else str(first)
    place = f" at index {where}" if first else ""
    with pytest.raises(ValueError, match=re.escape(f"got {float(value[first])!r}{place}") + "$"):
        guard(value, "x")


# What is refused, word by word ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: positive(-2.0, "thickness"), "finite length above 0 mm, got -2.0"),
        (lambda: positive(0, "thickness"), "finite length above 0 mm, got 0.0"),
        (lambda: positive(np.nan, "thickness"), "finite length above 0 mm, got nan"),
        (lambda: positive([3, 0], "thickness", "N"), "finite force above 0 N, got 0.0 at index 1"),
        (
            lambda: positive([[1, 1], [1, -np.inf]], "thickness", "MPa"),
            "finite stress above 0 MPa, got -inf at index (1, 1)",
        ),
        (lambda: positive(-1, "thickness", "1"), "finite number above 0, got -1.0"),
        (lambda: finite(np.inf, "thickness"), "finite length in mm, got inf"),
        (
            lambda: finite([0, np.nan], "thickness", "rad"),
            "finite angle in rad, got nan at index 1",
        ),
        (lambda: finite(np.nan, "thickness", "1"), "finite number, got nan"),
        (lambda: non_negative(-1, "thickness"), "finite length of 0 mm or more, got -1.0"),
        (lambda: non_negative(-1, "thickness", "1"), "finite number of 0 or more, got -1.0"),
        (lambda: non_negative(np.inf, "thickness", "N"), "finite force of 0 N or more, got inf"),
        (lambda: fraction(1.5, "thickness"), "number from 0 to 1, got 1.5"),
    ],
)
def test_a_bad_number_is_named_with_its_rule(call, text):
    with pytest.raises(ValueError, match=exactly(f"thickness must be a {text}")):
        call()


@pytest.mark.parametrize("guard", NUMBER_GUARDS)
@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (True, "True (bool)"),
        ([0.5, True], "True (bool)"),
        ([0.5, [np.True_]], "(bool"),
        (np.array([True]), "array([ True]) (ndarray)"),
        ([np.array([True])], "array([ True]) (ndarray)"),
        (0.5 + 0j, "(0.5+0j) (complex)"),
        ([0.5, 1j], "1j (complex)"),
        (None, "None (NoneType)"),
        ([0.5, None], "None (NoneType)"),
        (Decimal("0.5"), "Decimal('0.5') (Decimal)"),
        (Fraction(1, 2), "Fraction(1, 2) (Fraction)"),
        ({"thickness": 0.5}, "{'thickness': 0.5} (dict)"),
        (np.datetime64("2026-01-01"), "2026-01-01"),
        ("0.5", "the text '0.5'; read text through foamcalc.units first"),
        (b"0.5", "the text b'0.5'; read text through foamcalc.units first"),
        ([0.25, "3/8 in"], "the text '3/8 in'; read text through foamcalc.units first"),
        (np.array(["0.5"]), "read text through foamcalc.units first"),
        (np.array([0.5, "x"], dtype=object), "read text through foamcalc.units first"),
    ],
)
def test_what_is_not_a_real_number_is_a_type_error(guard, value, shown):
    with pytest.raises(TypeError) as caught:
        guard(value, "width of the band")
    assert str(caught.value).startswith("width of the band must be a ")
    assert shown in str(caught.value)


@pytest.mark.parametrize("guard", NUMBER_GUARDS)
def test_a_quantity_does_not_lose_its_unit_on_the_way(guard):
    """Without the check numpy would read half an inch as 0.5 mm."""
    quantity = pint.UnitRegistry().Quantity(0.5, "inch")
    for value in (quantity, [0.25, quantity]):
        with pytest.raises(TypeError, match="carries its own unit"):
            guard(value, "thickness")


@pytest.mark.parametrize("guard", NUMBER_GUARDS)
@pytest.mark.parametrize(
    ("value", "words"),
    [
        *[(x, r"nothing \(an empty array\)") for x in ([], (), [[]], np.zeros((0, 3)), [[], []])],
        ([[0.1, 0.2], [0.3]], "rows of different lengths"),
    ],
)
def test_nothing_and_uneven_rows_are_refused(guard, value, words):
    with pytest.raises(ValueError, match=f"^marks must be .*, got {words}$"):
        guard(value, "marks")


@pytest.mark.parametrize("guard", NUMBER_GUARDS)
def test_a_masked_entry_is_refused_and_named(guard):
    value = np.ma.MaskedArray([[0.5, 0.5]], mask=[[False, True]])
    with pytest.raises(ValueError, match=r", got a masked entry at index \(0, 1\)$"):
        guard(value, "radius")
    with pytest.raises(ValueError, match=r", got a masked entry$"):
        guard(np.ma.masked, "radius")


def test_a_number_too_large_for_float64_is_refused():
    if np.finfo(np.longdouble).max > np.finfo(np.float64).max:
        with pytest.raises(ValueError, match=r"got inf$"):
            finite(np.longdouble("1e400"), "length")
    with pytest.raises(TypeError, match=r"\(int\)$"):
        finite(10**400, "length")
    with pytest.raises(TypeError, match=r"must be a finite length .* a huge number"):
        finite(10**6000, "length")
    with pytest.raises(TypeError, match=r"^.{100,200}$"):  # what is long is cut short
        finite("9" * 5000, "length")


def test_each_unit_has_its_word():
    for unit, word in UNIT_WORDS.items():
        with pytest.raises(ValueError, match=rf"^x must be a finite {word} above 0"):
            positive(-1.0, "x", unit)


def test_an_unknown_unit_is_a_slip_in_the_calling_code():
    with pytest.raises(ValueError, match=r"^unit must be one of 'mm', .*did you mean 'MPa'\?$"):
        positive(1.0, "stress", "Mpa")


# One of a list of words -------------------------------------------------------------------------

CHOICES = ("as cut", "stretch", "form warm")


@pytest.mark.parametrize(
    ("value", "hint"),
    [
        ("strech", "; did you mean 'stretch'?"),
        ("Form warm", "; did you mean 'form warm'?"),
        (" stretch ", "; did you mean 'stretch'?"),
        ("solder", ""),
        ("", ""),
    ],
)
def test_an_unknown_word_lists_the_choices(value, hint):
    text = f"choice must be one of 'as cut', 'stretch', 'form warm', got {value!r}{hint}"
    with pytest.raises(ValueError, match=exactly(text)):
        one_of(value, "choice", CHOICES)
    assert [one_of(word, "choice", CHOICES) for word in CHOICES] == list(CHOICES)


@pytest.mark.parametrize("value", [None, 1, b"stretch", ["stretch"]])
def test_a_choice_that_is_no_text_is_a_type_error(value):
    text = f"choice must be one of 'as cut', 'stretch', 'form warm', got {value!r}"
    with pytest.raises(TypeError, match=exactly(text)):
        one_of(value, "choice", CHOICES)


# Records whose fields carry their guards --------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Band(Checked):
    wide: Above0
    cut_length: Above0 | None = None
    kept: Share = 0.5
    spread: Annotated[float, number(non_negative, "1", called="modulus spread")] = 0.0
    face: Literal["inside", "outside"] = "inside"
    over: Band | None = None
    note: object = None

    def _made(self) -> None:
        if self.over is not None and self.wide > self.over.wide:
            self._put("note", f"{self.wide:g} over {self.over.wide:g}")


def test_a_sound_record_keeps_its_numbers_as_floats_and_is_finished_last():
    band = Band(wide=np.float32(3), over=Band(wide=2, cut_length=np.array(4)))
    assert type(band.wide) is float
    assert type(band.over.cut_length) is float
    assert (band.cut_length, band.note, band.over.note) == (None, "3 over 2", None)


@pytest.mark.parametrize(
    ("wrong", "kind", "text"),
    [
        ({"wide": 0}, ValueError, "wide must be a finite length above 0 mm, got 0.0"),
        ({"wide": None}, TypeError, "wide must be a finite length above 0 mm, got None (NoneType)"),
        ({"wide": [1, 2]}, TypeError, "wide must be one number, got an array of shape (2,)"),
        ({"cut_length": -1}, ValueError, "cut length must be a finite length above 0 mm, got -1.0"),
        ({"kept": 2}, ValueError, "kept must be a number from 0 to 1, got 2.0"),
        (
            {"spread": -1},
            ValueError,
            "modulus spread must be a finite number of 0 or more, got -1.0",
        ),
        ({"face": "top"}, ValueError, "face must be one of 'inside', 'outside', got 'top'"),
        ({"over": 3}, TypeError, "over must be a Band, got 3 (int)"),
    ],
)
def test_each_field_is_held_against_its_own_guard(wrong, kind, text):
    with pytest.raises(kind, match=exactly(text)):
        Band(**{"wide": 1, **wrong})
