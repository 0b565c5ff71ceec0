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
    is_inch,
    length,
    read_angle,
    read_length,
)

unhurried = settings(deadline=None)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        # bare numbers are mm
        ("50", 50.0),
        (50, 50.0),
        (50.0, 50.0),
        (np.float64(50.5), 50.5),
        (np.int32(7), 7.0),
        (np.float32(0.5), 0.5),
        (Fraction(1, 4), 0.25),
        ("  50\t", 50.0),
        ("-4", -4.0),
        ("\u22124.5", -4.5),
        (-4.5, -4.5),
        ("+5", 5.0),
        (".5", 0.5),
        ("5.", 5.0),
        ("1e2", 100.0),
        # metric units, any letter case
        ("50 mm", 50.0),
        ("50mm", 50.0),
        ("50 MM", 50.0),
        ("50 Mm", 50.0),
        ("50 mm.", 50.0),
        ("5 cm", 50.0),
        ("5 CM", 50.0),
        ("0.5 m", 500.0),
        ("2 decimeter", 200.0),
        ("1/2 cm", 5.0),
        ("50 millimetres", 50.0),
        ("1 Meter", 1000.0),
        ("1.5e1 mm", 15.0),
        # inches
        ("3/8 in", 9.525),
        ('3/8"', 9.525),
        ("3 / 8 In", 9.525),
        ("1 1/2 in", 38.1),
        ("1-1/2 in", 38.1),
        ("1 1/2\u2033", 38.1),
        ("1 1/2\u201d", 38.1),
        ("1 1/2''", 38.1),
        ("1 1/2 inches", 38.1),
        ("11/2 in", 139.7),
        ("3/8 in.", 9.525),
        ("0.375 INCH", 9.525),
        ("½ in", 12.7),
        ('½"', 12.7),
        ("1½ in", 38.1),
        ("1 ½in", 38.1),
        ("⅝ in", 15.875),
        ("⅞ in", 22.225),
        ("3\u20448 in", 9.525),
        ("-3/16 in", -4.7625),
        ("\u22121½ in", -38.1),
        ("-1-1/2 in", -38.1),
        # feet, feet and inches
        ("2 ft", 609.6),
        ("2'", 609.6),
        ("2\u2032", 609.6),
        ("1/2 ft", 152.4),
        ("1 yd", 914.4),
        ("2' 3 1/2\"", 698.5),
        ("2'3 1/2\"", 698.5),
        ("2\u2032 3½\u2033", 698.5),
        ("2'-3 1/2\"", 698.5),
        ("2 ft 3.5 in", 698.5),
        ("2ft. 3-1/2 inches", 698.5),
        ("2 feet 3½''", 698.5),
        ("2' 3/8\"", 619.125),
        ("-2' 3\"", -685.8),
        ("0' 6\"", 152.4),
        # 1 thou = 0.001 in
        ("250 thou", 6.35),
    ],
)
def test_lengths(text, mm):
    reading = read_length(text)
    assert reading.value == mm
    assert type(reading.value) is float
    assert reading.tolerance == 0.0
    assert reading.text == str(text)
    assert length(text) == mm


@pytest.mark.parametrize(
    ("text", "turns"),
    [
        ("180 deg", Fraction(1, 2)),
        ("180°", Fraction(1, 2)),
        ("180 \u00ba", Fraction(1, 2)),
        ("180 DEG", Fraction(1, 2)),
        ("90 Degrees", Fraction(1, 4)),
        ("22 1/2°", Fraction(1, 16)),
        ("0.5 turn", Fraction(1, 2)),
        ("1/2 turn", Fraction(1, 2)),
        ("½ turn", Fraction(1, 2)),
        ("200 grad", Fraction(1, 2)),
        ("-90 deg", Fraction(-1, 4)),
        ("\u221290°", Fraction(-1, 4)),
        ("2 rev", Fraction(2)),
        ("0 deg", Fraction(0)),
    ],
)
def test_angles(text, turns):
    # Independent: the float nearest to a fraction with a power of 2 below it, times 2π.
    assert read_angle(text).value == float(turns) * math.tau
    assert angle(text) == float(turns) * math.tau


def test_radians_are_taken_as_they_are():
    assert angle("3.14159 rad") == 3.14159
    assert angle("3.14159 RADIANS") == 3.14159
    assert angle("3.14159 rads") == 3.14159


@pytest.mark.parametrize(
    ("text", "mm", "tolerance"),
    [
        ("50 ± 2 mm", 50.0, 2.0),
        ("50 +/- 2", 50.0, 2.0),
        ("50+-2 mm", 50.0, 2.0),
        ("50±2", 50.0, 2.0),
        ("50 +/\u2212 2", 50.0, 2.0),
        ("50 + / - 2", 50.0, 2.0),
        ("50 mm ± 2 mm", 50.0, 2.0),
        ("50 mm ± 2", 50.0, 2.0),
        ("5 cm ± 2 mm", 50.0, 2.0),
        ("5 cm ± 0.2", 50.0, 2.0),
        ("50 mm ± 1/16 in", 50.0, 1.5875),
        ("50 ± 0", 50.0, 0.0),
        ("3/8 ± 1/32 in", 9.525, 0.79375),
        ('3/8" ± 1/32', 9.525, 0.79375),
        ("½ ± ⅛ in", 12.7, 3.175),
        ("-4 ± 1 mm", -4.0, 1.0),
        ('2\' 3 1/2" ± 1/8"', 698.5, 3.175),
        ("2 ft ± 1 in", 609.6, 25.4),
    ],
)
def test_length_tolerances(text, mm, tolerance):
    assert read_length(text) == Reading(mm, tolerance, text)


def test_angle_tolerances():
    assert read_angle("180 ± 90 deg") == Reading(math.pi, math.pi / 2, "180 ± 90 deg")
    assert read_angle("180° ± 0.25 turn") == Reading(math.pi, math.pi / 2, "180° ± 0.25 turn")


def test_default_unit_counts_for_bare_numbers_only():
    assert read_length("2", default_unit="in").value == 50.8
    assert read_length(2, default_unit="in").value == 50.8
    assert read_length("3/8", default_unit="in").value == 9.525
    assert read_length("2 ± 1/2", default_unit="in") == Reading(50.8, 12.7, "2 ± 1/2")
    assert read_length("2 cm", default_unit="in").value == 20.0


# ---------------------------------------------------------------- refusals


def refused(read, text, **kwargs):
    """Return the message with which `text` is refused; it always opens with the name."""
    with pytest.raises(ValueError) as caught:
        read(text, name="shin tube", **kwargs)
    message = str(caught.value)
    assert message.startswith("shin tube: ")
    return message.removeprefix("shin tube: ")


LENGTHS = "write '50 mm', '3/8 in' or '50 ± 2 mm'"
ANGLES = "write '90 deg' or '0.25 turn'"
NO_LENGTH = f"is not one number with one unit: {LENGTHS}"
ONE_TOLERANCE = "must have one value, one ± and one tolerance, such as '50 ± 2 mm'"
LENGTH_UNITS = "write mm, cm, m, in or ft"
LENGTH_WANTED = "but a length is wanted: write it in mm, cm, m, in or ft"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", f"is empty: {LENGTHS}"),
        ("  \t", f"is empty: {LENGTHS}"),
        # sums, code, and other things that are not one number
        ("3*2 mm", NO_LENGTH),
        ("3+2 mm", NO_LENGTH),
        ("3 - 2 mm", NO_LENGTH),
        ("1 - 1/2 in", NO_LENGTH),
        ("2**3", NO_LENGTH),
        ("(3) mm", NO_LENGTH),
        ("__import__", NO_LENGTH),
        ("__import__('os')", NO_LENGTH),
        ("mm", NO_LENGTH),
        ("in", NO_LENGTH),
        ("½½ in", NO_LENGTH),
        ("½0 in", NO_LENGTH),
        ("2½/3 in", NO_LENGTH),
        ("1/2/3 in", NO_LENGTH),
        ("1.5/2 in", NO_LENGTH),
        ("1.5 1/2 in", NO_LENGTH),
        ("--5 mm", NO_LENGTH),
        ("50 mm mm", NO_LENGTH),
        ("50 mm cm", NO_LENGTH),
        ("5 cm 3 mm", NO_LENGTH),
        ("2.5' 3\"", NO_LENGTH),
        ("2' 3", NO_LENGTH),
        ("2' -3\"", NO_LENGTH),
        ("2' - 3\"", NO_LENGTH),
        ("50 mm^2", NO_LENGTH),
        ("50 mm2", NO_LENGTH),
        ("50 mm/s", NO_LENGTH),
        ("50 %", NO_LENGTH),
        ("50 nautical_mile", NO_LENGTH),
        ("0x10 mm", NO_LENGTH),
        ("1_000 mm", NO_LENGTH),
        ("1.2.3 mm", NO_LENGTH),
        ("١٢ mm", NO_LENGTH),
        ("5² mm", NO_LENGTH),
        ("1e9999 mm", NO_LENGTH),
        ("50\x00mm", NO_LENGTH),
        ("about 50 mm", NO_LENGTH),
        # not finite
        ("nan", f"is not a finite number: {LENGTHS}"),
        ("NaN mm", f"is not a finite number: {LENGTHS}"),
        ("-inf", f"is not a finite number: {LENGTHS}"),
        ("Infinity in", f"is not a finite number: {LENGTHS}"),
        ("50 ± nan", f"is not a finite number: {LENGTHS}"),
        ("1e400 mm", "is too large: lengths here go from 0.01 mm to 1 km"),
        ("1000.001 m", "is too large: lengths here go from 0.01 mm to 1 km"),
        ("0.0099 mm", "is too small: lengths here go from 0.01 mm to 1 km"),
        # fractions
        ("3/0 in", "divides by 0: the lower number of a fraction must be above 0"),
        ("1 0/0 in", "divides by 0: the lower number of a fraction must be above 0"),
        ("50 mm ± 1/0 in", "divides by 0: the lower number of a fraction must be above 0"),
        ("1 3/2 in", "has a fraction of 1 or more after its whole number: write '1 1/2'"),
        ("2' 12\"", "has 12 or more inches after its feet: add them to the feet"),
        ("3/8", "is a fraction and has no unit: write '3/8 in' or '3/8 mm', whichever is meant"),
        ("1½", "is a fraction and has no unit: write '1½ in' or '1½ mm', whichever is meant"),
        (
            "50 ± 1/2",
            "is a fraction and has no unit: write '50 ± 1/2 in' or '50 ± 1/2 mm', "
            "whichever is meant",
        ),
        # commas and blanks between digits
        ("12,5 mm", "has a decimal comma: write '12.5'"),
        ("-12,5 mm", "has a decimal comma: write '12.5'"),
        ("0,0625 in", "has a decimal comma: write '0.0625'"),
        ("50 ± 0,5 mm", "has a decimal comma: write '0.5'"),
        ("1,000 mm", "has a comma: write '1000', or '1.000' for a decimal comma"),
        ("1,000.5 mm", "has its thousands set apart: write '1000.5'"),
        ("1,000,000 mm", "has its thousands set apart: write '1000000'"),
        ("1 000 mm", "has its thousands set apart: write '1000'"),
        ("1,2,3 mm", "has a comma: write one number with a decimal point, such as 12.5"),
        ("50, mm", "has a comma: write one number with a decimal point, such as 12.5"),
        # tolerances
        ("50 ± -2 mm", "has a negative tolerance: write it as a number of 0 or more after ±"),
        ("50 +/- \u22122", "has a negative tolerance: write it as a number of 0 or more after ±"),
        ("50 ± 2 ± 1 mm", ONE_TOLERANCE),
        ("50 ±", ONE_TOLERANCE),
        ("± 2 mm", ONE_TOLERANCE),
        ("2' 3\" ± 1/8", None),
        ("50 ± 2' 3\"", None),
        # units
        (
            "50 mn",
            f"has the unit 'mn', which is not used here: {LENGTH_UNITS}; did you mean 'm' or 'mm'?",
        ),
        (
            "5 inhces",
            f"has the unit 'inhces', which is not used here: {LENGTH_UNITS}; "
            "did you mean 'inches'?",
        ),
        (
            "5 centmeter",
            f"has the unit 'centmeter', which is not used here: {LENGTH_UNITS}; "
            "did you mean 'centimeter'?",
        ),
        ("5 xyzzyq", f"has the unit 'xyzzyq', which is not used here: {LENGTH_UNITS}"),
        ("5 pin", "has the unit 'pin', which is not used here"),  # no pico-inch,
        ("5 cin", "has the unit 'cin', which is not used here"),  # and no centi-inch
        ("50 nm", "has the unit 'nm', which is not used here"),  # a slip for mm
        ("5 mi", "has the unit 'mi', which is not used here"),
        ("180 deg", f"has the unit 'deg', an angle, {LENGTH_WANTED}"),
        ("180°", f"has the unit '°', an angle, {LENGTH_WANTED}"),
        ("1 turn", f"has the unit 'turn', an angle, {LENGTH_WANTED}"),
        ("50 mm ± 2 deg", f"has the unit 'deg', an angle, {LENGTH_WANTED}"),
        ("50 kg", f"has the unit 'kg', which is not used here: {LENGTH_UNITS}"),
        ("50 s", "has the unit 's', which is not used here: write mm, cm, m, in or ft"),
        ("50 percent", "has the unit 'percent', which is not used here: write mm, cm, m, in or ft"),
        ("50 degC", "has the unit 'degC', which is not used here: write mm, cm, m, in or ft"),
        ("50 dB", "has the unit 'dB', which is not used here: write mm, cm, m, in or ft"),
    ],
)
def test_refused_lengths(text, fault):
    if fault is None:
        fault = (
            "has feet and inches on one side of ± and no unit on the other: write both, "
            "such as '2 ft 3 in ± 1/8 in'"
        )
    message = refused(read_length, text)
    shown = text if text.strip().replace(".", "").isdigit() else repr(text)
    assert message.startswith(f"{shown} {fault}")


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf, np.float64("nan")])
@pytest.mark.parametrize(("read", "remedy"), [(read_length, LENGTHS), (read_angle, ANGLES)])
def test_numbers_that_are_not_finite(read, remedy, number):
    assert refused(read, number) == f"{number} is not a finite number: {remedy}"


def test_a_whole_number_beyond_floats():
    assert refused(read_length, 10**5000) == f"a huge number is not a finite number: {LENGTHS}"


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (None, "None"),
        (True, "True"),
        (np.True_, "np.True_"),
        (b"50 mm", "b'50 mm'"),
        ([50], "[50]"),
        (1 + 2j, "(1+2j)"),
        (np.array([1.0, 2.0]), "array([1., 2.])"),
    ],
)
@pytest.mark.parametrize(
    ("read", "example"),
    [
        (read_length, "'50 mm', '3/8 in' or '50 ± 2 mm'"),
        (length, "'50 mm', '3/8 in' or '50 ± 2 mm'"),
        (read_angle, "'90 deg' or '0.25 turn'"),
        (angle, "'90 deg' or '0.25 turn'"),
    ],
)
def test_other_types(read, example, value, shown):
    with pytest.raises(TypeError) as caught:
        read(value, name="shin tube")
    # numpy before 2 shows its bool as plain True
    assert str(caught.value).replace("got True", f"got {shown}") == (
        f"shin tube: must be text such as {example}, or a number, got {shown}"
    )


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        # 90° = a quarter turn = π/2 = 1.571 rad
        ("90", "90 has no unit: write '90 deg', '0.25 turn' or '1.571 rad'"),
        (90, "90 has no unit: write '90 deg', '0.25 turn' or '1.571 rad'"),
        (90.0, "90.0 has no unit: write '90.0 deg', '0.25 turn' or '1.571 rad'"),
        (" -90 ", "-90 has no unit: write '-90 deg', '-0.25 turn' or '-1.571 rad'"),
        # small enough to be radians
        ("3.14", "3.14 has no unit: write '3.14 deg' or '3.14 rad', whichever is meant"),
        (0, "0 has no unit: write '0 deg' or '0 rad', whichever is meant"),
        ("90 ± 2", "'90 ± 2' has no unit: write '90 ± 2 deg' or '90 ± 2 rad', whichever is meant"),
        ("1e999", "'1e999' has no unit: write '1e999 deg' or '1e999 rad', whichever is meant"),
        ("", f"'' is empty: {ANGLES}"),
        ("half a turn", f"'half a turn' is not one number with one unit: {ANGLES}"),
        ("nan deg", f"'nan deg' is not a finite number: {ANGLES}"),
        ("1/0 turn", "'1/0 turn' divides by 0: the lower number of a fraction must be above 0"),
        ("12,5°", "'12,5°' has a decimal comma: write '12.5'"),
        (
            "90 ± -2 deg",
            "'90 ± -2 deg' has a negative tolerance: write it as a number of 0 or more after ±",
        ),
        (
            "50 mm",
            "'50 mm' has the unit 'mm', a length, but an angle is wanted: write it in deg, "
            "turn, rad or grad",
        ),
        (
            "30'",
            '"30\'" has the unit "\'", a length, but an angle is wanted: write it in deg, '
            "turn, rad or grad",
        ),
        (
            "90 deg ± 2 mm",
            "'90 deg ± 2 mm' has the unit 'mm', a length, but an angle is wanted: "
            "write it in deg, turn, rad or grad",
        ),
        (
            "50 percent",
            "'50 percent' has the unit 'percent', which is not used here: write deg, turn, rad or "
            "grad",
        ),
        (
            "90 degre",
            "'90 degre' has the unit 'degre', which is not used here: write deg, turn, "
            "rad or grad; did you mean 'degree'?",
        ),
    ],
)
def test_refused_angles(text, fault):
    assert refused(read_angle, text) == fault


@pytest.mark.parametrize("read", [read_length, read_angle])
def test_text_that_is_too_long(read):
    shown = repr("1" * 40 + "…")
    assert refused(read, "1" * 201) == f"{shown} is too long (201 characters): write at most 200"
    assert read_length("0" * 198 + "50").value == 50.0


def test_default_unit_must_be_a_length():
    assert refused(read_length, 2, default_unit="deg") == (
        f"2 has the unit 'deg', an angle, {LENGTH_WANTED}"
    )
    for word in ("", "mm + mm", "__import__", "µm"):  # only plain letters are looked up
        assert refused(read_length, 2, default_unit=word).startswith(
            f"2 has the unit {word!r}, which is not used here: {LENGTH_UNITS}"
        )


def test_the_name_is_the_caller_s_or_the_kind():
    with pytest.raises(ValueError, match=r"^length: 'x' is not one number"):
        length("x")
    with pytest.raises(ValueError, match=r"^angle: 'x' is not one number"):
        angle("x")


def test_a_reading_made_by_hand_is_checked():
    with pytest.raises(ValueError, match="value must be a finite number, got nan"):
        Reading(math.nan)
    with pytest.raises(ValueError, match=r"tolerance must be finite and 0 or more, got -1\.0"):
        Reading(1.0, -1.0)
    with pytest.raises(ValueError, match="tolerance must be finite and 0 or more, got inf"):
        Reading(1.0, math.inf)


# ---------------------------------------------------------------- the value alone


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
        length("50 mm")
        angle("90 deg")
        read_length("50 ± 2 mm")


# ---------------------------------------------------------------- inches in, inches out


@pytest.mark.parametrize(
    ("text", "inch"),
    [
        ("3/8 in", True),
        ('3/8"', True),
        ("2 ft", True),
        ("2' 3\"", True),
        ("1 IN", True),
        ("1 yard", True),
        ("250 thou", True),
        ("3/8 ± 1/32 in", True),
        ("1 in ± 1 mm", True),
        ("50 mm", False),
        ("50", False),
        (50, False),
        ("50 mm ± 1/16 in", False),
        ("5 cm", False),
        ("180 deg", False),
        ("90", False),
    ],
)
def test_is_inch(text, inch):
    assert is_inch(text) is inch


def test_is_inch_refuses_what_cannot_be_read():
    with pytest.raises(ValueError, match="reading: 'x in' is not one number with one unit"):
        is_inch("x in")
    with pytest.raises(ValueError, match="reading: '5 inhces' has the unit 'inhces', which"):
        is_inch("5 inhces")
    with pytest.raises(ValueError, match="reading: nan is not a finite number"):
        is_inch(math.nan)
    with pytest.raises(TypeError, match="reading: must be text"):
        is_inch(None)


# ---------------------------------------------------------------- writing


@pytest.mark.parametrize(
    ("mm", "written"),
    [
        (16, "16 mm"),
        (15.5, "16 mm"),
        (15.49, "15 mm"),
        (14.5, "15 mm"),
        (-14.5, "-15 mm"),
        (0.5, "1 mm"),
        (-0.5, "-1 mm"),
        (-0.4, "0 mm"),
        (0.0, "0 mm"),
        (-0.0, "0 mm"),
        (np.float64(2.5), "3 mm"),
        (1234567.0, "1234567 mm"),
        (0.1 * 5, "1 mm"),
        (15.7, "16 mm"),
    ],
)
def test_nearest_millimetre(mm, written):
    assert format_length(mm) == written


@pytest.mark.parametrize(
    ("inches", "written"),
    [
        (Fraction(5, 8), "5/8 in"),
        (Fraction(3, 2), "1 1/2 in"),
        (Fraction(-3, 16), "-3/16 in"),
        (Fraction(0), "0 in"),
        (Fraction(12), "12 in"),
        (Fraction(-5, 4), "-1 1/4 in"),
        (Fraction(10, 16), "5/8 in"),
        (Fraction(31, 32), "1 in"),
        # halves go away from zero, also where 25.4 × n/32 is no exact float
        *[(Fraction(2 * n + 1, 32), f"{Fraction(n + 1, 16)} in") for n in range(15)],
        *[(-Fraction(2 * n + 1, 32), f"-{Fraction(n + 1, 16)} in") for n in range(15)],
        (Fraction(1, 33), "0 in"),
        (Fraction(-1, 33), "0 in"),
    ],
)
def test_nearest_sixteenth(inches, written):
    assert format_length(25.4 * float(inches), system="in") == written
    assert format_length(float(Fraction(127, 5) * inches), system="in") == written


@pytest.mark.parametrize(
    ("mm", "how", "written"),
    [
        (15.7, {"resolution": 0.5}, "15.5 mm"),
        (15.75, {"resolution": 0.5}, "16.0 mm"),
        (-0.05, {"resolution": 0.1}, "-0.1 mm"),
        (0.15, {"resolution": 0.1}, "0.2 mm"),
        (1.25, {"resolution": 0.25}, "1.25 mm"),
        (1004, {"resolution": 5}, "1005 mm"),
        (1002.5, {"resolution": 5}, "1005 mm"),
        (0.00005, {"resolution": 0.0001}, "0.0001 mm"),
        (0.79375, {"system": "in", "resolution": 1 / 32}, "1/32 in"),
        (25.4, {"system": "in", "resolution": 0.1}, "1 in"),
        (5.08, {"system": "in", "resolution": 0.1}, "1/5 in"),
        (25.4, {"system": "in", "resolution": 1 / 3}, "1 in"),
        (8.5, {"system": "in", "resolution": 1 / 3}, "1/3 in"),
        (5, {"signed": True}, "+5 mm"),
        (-5, {"signed": True}, "-5 mm"),
        (0.4, {"signed": True}, "0 mm"),
        (-0.4, {"signed": True}, "0 mm"),
        (38.1, {"system": "in", "signed": True}, "+1 1/2 in"),
    ],
)
def test_resolution_and_sign(mm, how, written):
    assert format_length(mm, **how) == written


@pytest.mark.parametrize(
    ("degrees", "how", "written"),
    [
        (180, {}, "180°"),
        (-90, {}, "-90°"),
        (0, {}, "0°"),
        (22.5, {"resolution": 0.5}, "22.5°"),
        (22.5, {"resolution": 0.1}, "22.5°"),
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
    ("call", "error", "message"),
    [
        (lambda: format_length(math.nan), ValueError, "length must be a finite number, got nan"),
        (lambda: format_length(math.inf), ValueError, "length must be a finite number, got inf"),
        (lambda: format_angle(math.inf), ValueError, "angle must be a finite number, got inf"),
        (lambda: format_length("50"), TypeError, "length must be a finite number, got the text"),
        (lambda: format_length(None), TypeError, "length must be a finite number, got None"),
        (lambda: format_length(True), TypeError, "length must be a finite number, got True"),
        (lambda: format_angle(None), TypeError, "angle must be a finite number, got None"),
        (
            lambda: format_length([1.0, 2.0]),
            TypeError,
            "length and resolution must be one number each, got an array",
        ),
        (
            lambda: format_length(1.0, resolution=[1.0]),
            TypeError,
            "length and resolution must be one number each, got an array",
        ),
        (
            lambda: format_length(1.0, resolution=0),
            ValueError,
            "resolution must be a finite number above 0, got 0.0",
        ),
        (
            lambda: format_length(1.0, resolution=-1),
            ValueError,
            "resolution must be a finite number above 0, got -1.0",
        ),
        (
            lambda: format_length(1.0, resolution=math.nan),
            ValueError,
            "resolution must be a finite number above 0, got nan",
        ),
        (
            lambda: format_length(1.0, resolution=1e-7),
            ValueError,
            "resolution must be a plain part of a unit, such as 0.5 or 1/32, got 1e-07",
        ),
        (
            lambda: format_length(1.0, resolution=math.pi),
            ValueError,
            "resolution must be a plain part of a unit, such as 0.5 or 1/32, got 3.14159",
        ),
        (
            lambda: format_length(1.0, resolution=1 / 3),
            ValueError,
            "resolution must have 4 decimals at most, got a multiple of 1/3",
        ),
        (
            lambda: format_length(1.0, system="cm"),
            ValueError,
            "system must be one of 'mm', 'in', got 'cm'",
        ),
        (
            lambda: format_length(1.0, system=None),
            TypeError,
            "system must be one of 'mm', 'in', got None",
        ),
    ],
)
def test_what_cannot_be_written(call, error, message):
    with pytest.raises(error) as caught:
        call()
    assert str(caught.value).startswith(message)


# ---------------------------------------------------------------- properties

finite_lengths = st.floats(-9e5, 9e5)  # what they are rounded to is within the bounds too


@unhurried
@given(finite_lengths, st.sampled_from([0.1, 0.25, 0.5, 1.0, 5.0]))
@example(0.05, 0.1)
def test_round_trip_in_mm(mm, resolution):
    back = length(format_length(mm, resolution=resolution))
    # 1e-12 is what format_length says it forgives.
    assert abs(back - mm) <= resolution / 2 + 1e-12 * (abs(mm) + resolution)


@unhurried
@given(finite_lengths, st.sampled_from([1 / 64, 1 / 32, 1 / 16, 1 / 8, 0.1, 1.0]))
@example(0.79375, 1 / 16)
def test_round_trip_in_inches(mm, resolution):
    back = length(format_length(mm, system="in", resolution=resolution, signed=True))
    assert abs(back - mm) <= 25.4 * (resolution / 2 + 1e-12 * resolution) + 1e-12 * abs(mm)


@unhurried
@given(st.integers(-(10**5), 10**5))
def test_every_sixteenth_comes_back_as_itself(n):
    inches = Fraction(n, 16)
    mm = read_length(f"{n}/16 in").value
    assert mm == float(inches * Fraction(127, 5))  # independent formula
    written = format_length(mm, system="in")
    assert is_inch(written)
    assert length(written) == mm


@unhurried
@given(st.floats(-100.0, 100.0), st.sampled_from([0.1, 0.5, 1.0]))
def test_round_trip_of_angles(rad, resolution):
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
    assert inch == read_length(f"{inches:f}", default_unit="in").value


@unhurried
@given(st.integers(0, 999), st.integers(0, 63), st.integers(1, 64), st.sampled_from(" -"))
def test_mixed_fractions_against_exact_arithmetic(whole, top, bottom, joint):
    text = f"{whole}{joint}{top}/{bottom} in"
    if top < bottom:
        assert length(text) == float((whole + Fraction(top, bottom)) * Fraction(127, 5))
    else:
        assert "fraction of 1 or more" in refused(read_length, text)


PIECES = [
    "1",
    "0",
    "/",
    " ",
    "-",
    "+",
    "±",
    ".",
    ",",
    "mm",
    "in",
    "'",
    '"',
    "½",
    "e9",
    "e",
    "deg",
    "°",
    "\u2212",
    "ft",
    "nan",
    "m",
    "(",
    "*",
    "__import__",
    "\n",
    "٣",
    "rad",
]


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
            assert math.isfinite(reading.tolerance)
            assert reading.tolerance >= 0
