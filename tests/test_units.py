"""The door: readings, refusals and written lengths.

Unless a comment says otherwise the expected values are exact by hand: 1 in = 25.4 mm,
1 ft = 304.8 mm, 1 turn = 360° = 400 grad = 2π rad.
"""

import math
import warnings
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from foamcalc.units import (
    Reading,
    ToleranceNotUsed,
    angle,
    format_angle,
    format_length,
    is_bare,
    is_inch,
    length,
    read_angle,
    read_length,
)

unhurried = settings(deadline=None)


def each(table):
    """Pairs of a spelling and what it means, from a table that has many spellings of one."""
    return [(text, meant) for meant, texts in table.items() for text in texts]


LENGTHS = {  # mm, and ways to write it
    50.0: ["50", 50, np.int32(50), "  50\t", "50 mm", "50mm", "50 MM", "50 mm.", "5 CM"],
    50.5: [50.5, np.float64(50.5), "50.5", "+50.5 mm"],
    0.25: [Fraction(1, 4), np.float32(0.25), ".25"],
    5.0: ["5.", "1/2 cm", "5 millimetres"],
    100.0: ["1e2", "1.0e1 cm"],
    -4.5: ["\u22124.5", -4.5],
    500.0: ["0.5 m", "5 decimeter", "1/2 Meter"],
    9.525: ["3/8 in", '3/8"', "3 / 8 In", "3/8 in.", "0.375 INCH", "3\u20448 in"],
    38.1: ["1 1/2 in", "1-1/2 in", "1 1/2\u2033", "1 1/2\u201d", "1 1/2''", "1½ in", "1 ½inches"],
    139.7: ["11/2 in"],
    12.7: ["½ in", '½"'],
    22.225: ["⅞ in"],
    -38.1: ["\u22121½ in", "-1-1/2 in"],
    609.6: ["2 ft", "2'", "2\u2032"],
    914.4: ["1 yd"],
    698.5: ["2' 3 1/2\"", "2\u2032 3½\u2033", "2'-3 1/2\"", "2 ft 3.5 in", "2ft. 3-1/2 inches"],
    619.125: ["2' 3/8\""],
    -685.8: ["-2' 3\""],
    152.4: ["0' 6\"", "1/2 ft"],
    6.35: ["250 thou"],  # 1 thou = 0.001 in
}
TURNS = {
    0.5: ["180 deg", "180°", "180 \u00ba", "180 DEG", "1/2 turn", "½ turn", "200 grad"],
    0.25: ["90 Degrees"],
    0.0625: ["22 1/2°"],
    -0.25: ["-90 deg", "\u221290°"],
    2.0: ["2 rev"],
    0.0: ["0 deg"],
}


@pytest.mark.parametrize(("text", "mm"), each(LENGTHS))
def test_lengths(text, mm):
    reading = read_length(text)
    assert reading == Reading(mm, 0.0, str(text))
    assert type(reading.value) is float
    assert length(text) == mm


@pytest.mark.parametrize(("text", "turns"), each(TURNS))
def test_angles(text, turns):
    # Independent: the float nearest to a fraction with a power of 2 below it, times 2π.
    assert read_angle(text).value == angle(text) == turns * math.tau
    assert angle("3.14159 rad") == angle("3.14159 RADIANS") == 3.14159


@pytest.mark.parametrize(
    ("text", "meant"),
    each(
        {
            (50.0, 2.0): ["50 ± 2 mm", "50 +/- 2", "50+-2 mm", "50 + / \u2212 2", "5 cm ± 0.2"],
            (5.0, 2.0): ["5 mm ± 2 mm", "5 mm ± 2", "0.5 cm ± 2 mm"],
            (50.0, 1.5875): ["50 mm ± 1/16 in"],
            (50.0, 0.0): ["50 ± 0"],
            (9.525, 0.79375): ["3/8 ± 1/32 in", '3/8" ± 1/32'],
            (-4.0, 1.0): ["-4 ± 1 mm"],
            (698.5, 3.175): ['2\' 3 1/2" ± 1/8"'],
        }
    ),
)
def test_tolerances_of_lengths(text, meant):
    assert read_length(text) == Reading(*meant, text)


def test_tolerances_of_angles():
    assert read_angle("180 ± 90 deg") == Reading(math.pi, math.pi / 2, "180 ± 90 deg")
    assert read_angle("180° ± 0.25 turn") == Reading(math.pi, math.pi / 2, "180° ± 0.25 turn")


# Refusals -----------------------------------------------------------------------------------------


def refused(read, text):
    """The message with which `text` is refused, without the name and the value it opens with."""
    with pytest.raises(ValueError) as caught:
        read(text, name="shin tube")
    shown = text if str(text).strip().lstrip("-").replace(".", "").isdigit() else repr(text)
    start = f"shin tube: {str(shown).strip()} "
    assert str(caught.value).startswith(start)
    return str(caught.value).removeprefix(start)


MM = "write '50 mm', '3/8 in' or '50 ± 2 mm'"
DEG = "write '90 deg' or '0.25 turn'"
NOT_HERE = "which is not used here: write mm, cm, m, in or ft"
ASIDE = "has feet and inches on one side of ± and no unit on the other: write both, such as"
NO_LENGTHS = {
    f"is empty: {MM}": ["", "  \t"],
    # sums, code, and other things that are not one number
    f"is not one number with one unit: {MM}": (
        "3*2 mm|3 - 2 mm|1 - 1/2 in|2**3|(3) mm|__import__('os')|mm|½½ in|½0 in|2½/3 in|1/2/3 in|"
        "1.5/2 in|--5 mm|50 mm cm|5 cm 3 mm|2.5' 3\"|2' 3|2' - 3\"|50 mm^2|50 mm/s|50 %|0x10 mm|"
        "1_000 mm|1.2.3 mm|١٢ mm|5² mm|1e9999 mm|about 50 mm"
    ).split("|"),
    f"is not a finite number: {MM}": ["nan", "NaN mm", "-inf", "Infinity in", "50 ± nan"],
    "is too large: lengths here go from 0.01 mm to 1 km": ["1e400 mm", "1000.001 m"],
    "is too small: lengths here go from 0.01 mm to 1 km": ["0.0099 mm"],
    "divides by 0: the lower number of a fraction must be above 0": ["3/0 in", "50 mm ± 1/0 in"],
    "has a fraction of 1 or more after its whole number: write '1 1/2'": ["1 3/2 in"],
    "has 12 or more inches after its feet: add them to the feet": ["2' 12\""],
    "is a fraction and has no unit: write '1½ in' or '1½ mm', whichever is meant": ["1½"],
    "is a fraction and has no unit: write '50 ± 1/2 in' or '50 ± 1/2 mm', whichever": ["50 ± 1/2"],
    "has a decimal comma: write '12.5'": ["12,5 mm", "-12,5 mm", "50 ± 12,5 mm"],
    "has a decimal comma: write '0.0625'": ["0,0625 in"],
    "has a comma: write '1000', or '1.000' for a decimal comma": ["1,000 mm"],
    "has its thousands set apart: write '1000.5'": ["1,000.5 mm"],
    "has its thousands set apart: write '1000'": ["1 000 mm"],
    "has a comma: write one number with a decimal point, such as 12.5": ["1,2,3 mm", "50, mm"],
    "has a negative tolerance: write it as a number of 0 or more after ±": ["50 ± -2 mm"],
    "must have one value, one ± and one tolerance": ["50 ± 2 ± 1 mm", "50 ±", "± 2 mm"],
    f"{ASIDE} '2 ft 3 in ± 1/8 in'": ["2' 3\" ± 1/8", "50 ± 2' 3\""],
    f"has the unit 'mn', {NOT_HERE}; did you mean 'm' or 'mm'?": ["50 mn"],
    f"has the unit 'inhces', {NOT_HERE}; did you mean 'inches'?": ["5 inhces"],
    f"has the unit 'xyzzyq', {NOT_HERE}": ["5 xyzzyq"],
    f"has the unit 'pin', {NOT_HERE}": ["5 pin"],  # no pico-inch
    f"has the unit 'nm', {NOT_HERE}": ["50 nm"],  # a slip for mm
    f"has the unit 'percent', {NOT_HERE}": ["50 percent"],
    "has the unit 'deg', an angle, but a length is wanted: write it in mm, cm, m, in or ft": [
        "180 deg",
        "50 mm ± 2 deg",
    ],
}
NO_ANGLES = {
    # 90° = a quarter turn = π/2 = 1.571 rad
    "has no unit: write '90 deg', '0.25 turn' or '1.571 rad'": ["90", 90],
    "has no unit: write '-90 deg', '-0.25 turn' or '-1.571 rad'": [" -90 "],
    # small enough to be radians
    "has no unit: write '3.14 deg' or '3.14 rad', whichever is meant": ["3.14"],
    "has no unit: write '90 ± 2 deg' or '90 ± 2 rad', whichever is meant": ["90 ± 2"],
    "has no unit: write '1e999 deg' or '1e999 rad', whichever is meant": ["1e999"],
    f"is empty: {DEG}": [""],
    f"is not one number with one unit: {DEG}": ["half a turn"],
    f"is not a finite number: {DEG}": ["nan deg"],
    "is too large: angles here go to 100 turns": ["101 turns"],
    "has the unit 'mm', a length, but an angle is wanted: write it in deg, turn, rad or grad": [
        "50 mm",
        "90 deg ± 2 mm",
    ],
    "has the unit 'degre', which is not used here: write deg, turn, rad or grad; did you mean "
    "'degree'?": ["90 degre"],
}


@pytest.mark.parametrize(
    ("read", "text", "fault"),
    [(read_length, *case) for case in each(NO_LENGTHS)]
    + [(read_angle, *case) for case in each(NO_ANGLES)],
)
def test_refused(read, text, fault):
    assert refused(read, text).startswith(fault)


@pytest.mark.parametrize(("read", "remedy"), [(read_length, MM), (read_angle, DEG)])
def test_what_is_not_finite_or_too_long(read, remedy):
    for number in (math.nan, math.inf, np.float64("nan")):
        with pytest.raises(ValueError, match=f"^rim: {number} is not a finite number: {remedy}"):
            read(number, name="rim")
    with pytest.raises(ValueError, match=r"^rim: a huge number is not a finite number"):
        read(10**5000, name="rim")
    with pytest.raises(ValueError, match=r"^rim: '1{40}…' is too long \(201 char.*at most 200$"):
        read("1" * 201, name="rim")


@pytest.mark.parametrize("value", [None, True, b"50 mm", [50], 1 + 2j, np.array([1.0, 2.0])])
def test_other_types(value):
    examples = {read_length: "'50 mm', '3/8 in' or '50 ± 2 mm'", read_angle: "'90 deg' or '0.25"}
    for read, written in {**examples, length: "'50 mm', ", angle: "'90 deg'"}.items():
        with pytest.raises(TypeError) as caught:
            read(value, name="rim")
        assert str(caught.value).startswith(f"rim: must be text such as {written}")
        assert str(caught.value).endswith(f" or a number, got {value!r}")


def test_the_name_is_the_kind_where_the_caller_has_none():
    for read, kind in ((length, "length"), (angle, "angle"), (is_inch, "reading")):
        with pytest.raises(ValueError, match=f"^{kind}: 'x' is not one number"):
            read("x")


@pytest.mark.parametrize("wrong", [(math.nan,), (1.0, -1.0), (1.0, math.inf)])
def test_a_reading_made_by_hand_is_checked(wrong):
    with pytest.raises(ValueError, match=r"(value|tolerance) must be .*finite"):
        Reading(*wrong)


# The value alone ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("read", "text", "value", "said"),
    [
        (length, "50 ± 2 mm", 50.0, "knee cup: ± 2 mm read, not used yet"),
        (length, "3/8 ± 1/32 in", 9.525, "knee cup: ± 0.7937 mm read, not used yet"),
        (angle, "180 ± 5 deg", math.pi, "knee cup: ± 5° read, not used yet"),
    ],
)
def test_a_tolerance_that_is_not_used_is_said(read, text, value, said):
    with pytest.warns(ToleranceNotUsed) as caught:
        assert read(text, name="knee cup") == value
    assert [str(w.message) for w in caught] == [said]
    assert caught[0].filename == __file__  # it points at the caller


def test_no_tolerance_no_warning():
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert (length("50 mm"), angle("0 deg"), read_length("50 ± 2").value) == (50, 0, 50)


@pytest.mark.parametrize(
    ("text", "meant"),
    each(
        {
            (True, False): [
                "3/8 in",
                '3/8"',
                "2' 3\"",
                "1 yard",
                "250 thou",
                "2 ± 1 IN",
                "1 in ± 1 mm",
            ],
            (False, False): ["50 mm", "50 mm ± 1/16 in", "5 cm", "180 deg"],
            (False, True): ["50", 50, "173 ± 2", "3/8"],
        }
    ),
)
def test_in_inches_and_without_a_unit(text, meant):
    assert (is_inch(text), is_bare(text)) == meant


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("x in", "'x in' is not one number with one unit"),
        ("5 inhces", "'5 inhces' has the unit 'inhces', which"),
        (math.nan, "nan is not a finite number"),
    ],
)
def test_is_inch_refuses_what_cannot_be_read(text, fault):
    with pytest.raises(ValueError, match=f"^reading: {fault}"):
        is_inch(text)


# Writing ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mm", "how", "written"),
    [
        (16, {}, "16 mm"),
        (15.5, {}, "16 mm"),
        (15.49, {}, "15 mm"),
        (-14.5, {}, "-15 mm"),
        (-0.5, {}, "-1 mm"),
        (-0.4, {}, "0 mm"),
        (-0.0, {}, "0 mm"),
        (np.float64(2.5), {}, "3 mm"),
        (1234567.0, {}, "1234567 mm"),
        (15.7, {"resolution": 0.5}, "15.5 mm"),
        (15.75, {"resolution": 0.5}, "16.0 mm"),
        (0.15, {"resolution": 0.1}, "0.2 mm"),
        (1.25, {"resolution": 0.25}, "1.25 mm"),
        (1002.5, {"resolution": 5}, "1005 mm"),
        (0.79375, {"system": "in", "resolution": 1 / 32}, "1/32 in"),
        (5.08, {"system": "in", "resolution": 0.1}, "1/5 in"),
        (8.5, {"system": "in", "resolution": 1 / 3}, "1/3 in"),
        (5, {"signed": True}, "+5 mm"),
        (-5, {"signed": True}, "-5 mm"),
        (0.4, {"signed": True}, "0 mm"),
        (38.1, {"system": "in", "signed": True}, "+1 1/2 in"),
    ],
)
def test_lengths_as_they_are_read_off_a_tape(mm, how, written):
    assert format_length(mm, **how) == written


@pytest.mark.parametrize(
    ("inches", "written"),
    [
        (Fraction(5, 8), "5/8 in"),
        (Fraction(-3, 16), "-3/16 in"),
        (Fraction(0), "0 in"),
        (Fraction(-5, 4), "-1 1/4 in"),
        (Fraction(-1, 33), "0 in"),
        # halves go away from zero, also where 25.4 × n/32 is no exact float
        *[(Fraction(2 * n + 1, 32), f"{Fraction(n + 1, 16)} in") for n in range(15)],
        *[(-Fraction(2 * n + 1, 32), f"-{Fraction(n + 1, 16)} in") for n in range(15)],
    ],
)
def test_nearest_sixteenth(inches, written):
    assert format_length(25.4 * float(inches), system="in") == written
    assert format_length(float(Fraction(127, 5) * inches), system="in") == written


@pytest.mark.parametrize(
    ("degrees", "how", "written"),
    [
        (-90, {}, "-90°"),
        (22.5, {"resolution": 0.5}, "22.5°"),
        (359.4, {}, "359°"),
        (-0.4, {}, "0°"),
        # halves, though no half degree is an exact float in radians
        *[(n + 0.5, {}, f"{n + 1}°") for n in range(0, 360, 7)],
        *[(-n - 0.5, {}, f"-{n + 1}°") for n in range(0, 360, 7)],
    ],
)
def test_format_angle(degrees, how, written):
    assert format_angle(math.radians(degrees), **how) == written


@pytest.mark.parametrize(
    ("given", "how", "error", "message"),
    [
        (math.nan, {}, ValueError, "length must be a finite number, got nan"),
        ("50", {}, TypeError, "length must be a finite number, got the text"),
        (None, {}, TypeError, "length must be a finite number, got None"),
        ([1.0, 2.0], {}, TypeError, "length and resolution must be one number each, got an array"),
        (1, {"resolution": [1.0]}, TypeError, "length and resolution must be one number each"),
        (1, {"resolution": 0}, ValueError, "resolution must be a finite number above 0, got 0.0"),
        (1, {"resolution": 1e-7}, ValueError, "resolution must be a plain part of a unit, such as"),
        (1, {"resolution": math.pi}, ValueError, "resolution must be a plain part of a unit"),
        (1, {"resolution": 1 / 3}, ValueError, "resolution must have 4 decimals at most, got a"),
        (1, {"system": "cm"}, ValueError, "system must be one of 'mm', 'in', got 'cm'"),
        (1, {"system": None}, TypeError, "system must be one of 'mm', 'in', got None"),
    ],
)
def test_what_cannot_be_written(given, how, error, message):
    with pytest.raises(error) as caught:
        format_length(given, **how)
    assert str(caught.value).startswith(message)


# Properties ---------------------------------------------------------------------------------------

finite_lengths = st.floats(-9e5, 9e5)  # what they are rounded to is within the bounds too
STEPS = {"mm": [0.1, 0.25, 0.5, 1.0, 5.0], "in": [1 / 64, 1 / 32, 1 / 16, 1 / 8, 0.1, 1.0]}


@unhurried
@given(finite_lengths, st.sampled_from([(s, r) for s, steps in STEPS.items() for r in steps]))
@example(0.05, ("mm", 0.1))
@example(0.79375, ("in", 1 / 16))
def test_a_written_length_is_read_again(mm, how):
    system, step = how
    back = length(format_length(mm, system=system, resolution=step, signed=True))
    # 1e-12 is what format_length says it forgives.
    assert abs(back - mm) <= {"mm": 1, "in": 25.4}[system] * step * (0.5 + 1e-12) + 1e-12 * abs(mm)


@unhurried
@given(st.integers(-(10**5), 10**5))
def test_every_sixteenth_comes_back_as_itself(n):
    mm = read_length(f"{n}/16 in").value
    assert mm == float(Fraction(n, 16) * Fraction(127, 5))  # independent formula
    assert length(format_length(mm, system="in")) == mm


@unhurried
@given(st.floats(-100.0, 100.0), st.sampled_from([0.1, 0.5, 1.0]))
def test_a_written_angle_is_read_again(rad, resolution):
    back = math.degrees(angle(format_angle(rad, resolution=resolution)))
    assert abs(back - math.degrees(rad)) <= resolution / 2 + 1e-12 * (360 * abs(rad) + resolution)


@unhurried
@given(st.floats(-1e6, 1e6).filter(lambda number: number == 0 or abs(number) >= 0.01))
def test_a_float_in_mm_or_rad_comes_back_bit_for_bit(number):
    for text in (number, repr(number), f"{number!r} mm"):
        assert read_length(text).value == number
    assert read_angle(f"{number / 1e4!r} rad").value == number / 1e4


@unhurried
@given(st.decimals(-39370, 39370, allow_nan=False, places=3))
def test_inches_and_mm_are_the_same_length(inches):
    inch = read_length(f"{inches:f} in").value
    assert inch == read_length(f"{inches * 254 / 10:f} mm").value  # exact decimal product


@unhurried
@given(st.integers(0, 999), st.integers(0, 63), st.integers(1, 64), st.sampled_from(" -"))
def test_mixed_fractions_against_exact_arithmetic(whole, top, bottom, joint):
    text = f"{whole}{joint}{top}/{bottom} in"
    if top < bottom:
        assert length(text) == float((whole + Fraction(top, bottom)) * Fraction(127, 5))
    else:
        assert "fraction of 1 or more" in refused(read_length, text)


PIECES = [*"10/ -+±.,'\"½e°\u2212(*\n٣m", "mm", "in", "e9", "deg", "ft", "nan", "__import__", "rad"]


@settings(deadline=None, max_examples=500)
@given(st.one_of(st.text(max_size=20), st.lists(st.sampled_from(PIECES), max_size=8).map("".join)))
def test_any_text_is_read_or_refused_by_name(text):
    for read in (read_length, read_angle):
        try:
            reading = read(text, name="rim")
        except ValueError as error:
            assert str(error).startswith("rim: ")
        else:
            assert math.isfinite(reading.value)
            assert math.isfinite(reading.tolerance) and reading.tolerance >= 0
