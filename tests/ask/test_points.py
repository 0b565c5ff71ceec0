"""Points from a CSV file: every way of writing that is taken, and every fault by name.

Kinds of expected values are named beside them.
"""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.ask.points import Points, read_points

GOOD = "x [mm],y [mm]\n0,0\n60,25\n120,0\n"


@pytest.fixture
def written(tmp_path):
    """Write a file and return its path."""

    def write(content, name="back.csv"):
        file = tmp_path / name
        file.write_bytes(content if isinstance(content, bytes) else content.encode())
        return file

    return write


# What is read -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        GOOD,
        GOOD.rstrip("\n"),
        GOOD + "\n\n  \n",
        GOOD.replace("\n", "\r\n"),
        GOOD.replace("\n", "\r"),
        "\ufeff" + GOOD,
        GOOD.replace(",", ";"),
        GOOD.replace(",", "\t"),
        "# contour gauge, invented\n" + GOOD.replace("60,25\n", "60,25\n # middle\n"),
        "X (mm) , Y (mm)\n 0 , 0\n+6e1,2.5E1\n120.0,.0\n",
        'x [mm],"y [mm]"\n"0","0"\n60,25\n120,0\n',
        "y [mm],x [mm]\n0,0\n25,60\n0,120\n",
        "x [cm],y [cm]\n0,0\n6,2.5\n12,0\n",
        "x [m],y [m]\n0,0\n0.06,0.025\n0.12,0\n",
        "x[millimetres],y[mm]\n0,0\n60,25\n120,0\n",
        "x [cm],y [cm]\n0,0\n6,2 1/2\n12,0/4\n",
        "x [cm],y [cm]\n0,0\n6,2½\n12,0\n",
    ],
)
def test_ways_to_write_the_same_points(written, text):
    """Exact by hand: 0 0, 60 25, 120 0 in millimetres."""
    points = read_points(written(text))
    np.testing.assert_allclose(points.x, [0, 60, 120], rtol=1e-15)
    np.testing.assert_allclose(points.y, [0, 25, 0], rtol=1e-15)
    assert points.xy.shape == (3, 2)
    assert points.size == pytest.approx((120, 25), rel=1e-15)


@pytest.mark.parametrize(("unit", "mm"), [("mm", 1), ("cm", 10), ("m", 1000), ("in", 25.4)])
def test_units(written, unit, mm):
    """Exact by hand: 1 in = 25.4 mm (by definition of the inch)."""
    wide = 40 if mm == 1 else 4
    points = read_points(written(f"x [{unit}],y [{unit}]\n0,-1\n{wide},0.5\n"))
    np.testing.assert_allclose(points.x, [0, wide * mm], rtol=1e-15)
    np.testing.assert_allclose(points.y, [-mm, 0.5 * mm], rtol=1e-15)
    assert points.unit == unit


def test_the_minus_sign_of_a_typesetter(written):
    """Exact by hand."""
    assert read_points(written("x [mm],y [mm]\n−5,2\n50,3\n")).x[0] == -5


def test_the_size_is_told_in_both_systems():
    """Exact by hand: 254 mm are 10 in; 63.5 mm are 2 1/2 in and 64 mm to the nearest."""
    points = Points(np.array([0.0, 254.0]), np.array([10.0, 73.5]), "in")
    assert points.size_text() == "254 mm (10 in) wide, 64 mm (2 1/2 in) high"


@settings(deadline=None, max_examples=50)
@given(
    rows=st.lists(
        st.tuples(st.floats(-400, 400), st.floats(-400, 400)), min_size=2, max_size=20
    ).filter(lambda rows: max(np.ptp(rows, axis=0)) > 11)
)
def test_numbers_come_back_to_the_last_digit(tmp_path_factory, rows):
    """Round trip through repr."""
    file = tmp_path_factory.mktemp("points") / "a.csv"
    file.write_text("x [mm],y [mm]\n" + "".join(f"{x!r},{y!r}\n" for x, y in rows))
    np.testing.assert_array_equal(read_points(str(file)).xy, rows)


def test_five_thousand_points_are_taken_and_no_more(written):
    """Exact by hand: the header is line 1, so point 5001 stands in line 5002."""
    rows = [f"{i / 20},0" for i in range(5001)]
    text = "\n".join(["x [mm],y [mm]", *rows[:5000]])
    assert read_points(written(text)).x.size == 5000
    with pytest.raises(
        ValueError, match=r"^back\.csv, line 5002: is point 5001; 5000 are the most"
    ):
        read_points(written(text + "\n" + rows[5000]))


# What is refused --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ": is empty; write x [mm],y [mm] and one point a line"),
        ("# only a note\n\n", ": is empty; write x [mm],y [mm] and one point a line"),
        (
            "0,0\n60,25\n",
            ", line 1: there is no header; write x [mm],y [mm] above the first point",
        ),
        ("0,5;1,5\n", ", line 1: there is no header; write x [mm],y [mm] above the first point"),
        ("x,y\n1,2\n", ", line 1, column x: has no unit; write x [mm] or x [in]"),
        ("x [mm],y\n1,2\n", ", line 1, column y: has no unit; write y [mm] or y [in]"),
        ("x [mm],y []\n1,2\n", ", line 1, column y: has no unit; write y [mm] or y [in]"),
        (
            "x [mm],y [in]\n1,2\n",
            ", line 1: x is in [mm] and y in [in]; write both in one unit",
        ),
        (
            "x [furlong],y [furlong]\n1,2\n",
            ", line 1, column x: the unit 'furlong' is not known here; write one of mm, cm, m, in",
        ),
        (
            "x [deg],y [deg]\n1,2\n",
            ", line 1, column x: the unit 'deg' is not known here; write one of mm, cm, m, in",
        ),
        (
            "x [mm + 1],y [mm]\n1,2\n",
            ", line 1, column x: the unit 'mm + 1' is not known here; write one of mm, cm, m, in",
        ),
        (
            "x [mm],y [mm],z [mm]\n1,2,3\n",
            ", line 1, column 3: 'z [mm]' is neither x nor y; write two columns, x [mm],y [mm]",
        ),
        (
            "height [mm],y [mm]\n1,2\n",
            ", line 1, column 1: 'height [mm]' is neither x nor y; write two columns, "
            "x [mm],y [mm]",
        ),
        (
            "x [mm],x [mm]\n1,2\n",
            ", line 1: 'x [mm],x [mm]' must name x and y once each; write x [mm],y [mm]",
        ),
        ("x [mm]\n1\n", ", line 1: 'x [mm]' must name x and y once each; write x [mm],y [mm]"),
        (
            "x [mm];y [mm]\n1,5;2\n60;3\n",
            ", line 2, column x: '1,5' has a decimal comma; write 1.5",
        ),
        (
            "x [mm],y [mm]\n1,5,2,5\n60,3\n",
            ", line 2: '1,5,2,5' has 4 column(s) instead of 2 (x and y); if its commas are decimal "
            "commas, write decimal points",
        ),
        (
            "x [mm];y [mm]\n1;2;3\n60;3\n",
            ", line 2: '1;2;3' has 3 column(s) instead of 2 (x and y)",
        ),
        ("x [mm],y [mm]\n1\n60,3\n", ", line 2: '1' has 1 column(s) instead of 2 (x and y)"),
        (
            "x [mm],y [mm]\n1,2\n60,\n",
            ", line 3, column y: '' is empty; measure it, or take the line out",
        ),
        (
            "x [mm],y [mm]\n1,2\n\n60,3\n",
            ", line 3: is empty; take it out (one file holds one curve)",
        ),
        (
            "# a\nx [mm],y [mm]\n1,2\n60,3\n1e400,3\n",
            ", line 5, column x: '1e400' is not a finite number; write digits with a decimal "
            "point, no unit",
        ),
        (
            "x [m],y [m]\n1e308,2\n60,3\n",
            ", line 2, column x: 1e+308 m is farther out than any curve of a costume; check the "
            "number and the unit",
        ),
        (
            'x [mm],y [mm]\n"1,2\n',
            ", line 2: '\"1,2': unexpected end of data; check the quotes",
        ),
        ("x [mm],y [mm]\n", ": has 0 point(s); a curve has two at least"),
        ("x [mm],y [mm]\n1,2\n", ": has 1 point(s); a curve has two at least"),
        (
            "x [m],y [m]\n0,0\n200,100\n",
            ", line 1: the points are 200000 mm (7874 in) wide, 100000 mm (3937 in) high, which no "
            "curve of a costume is; the unit [m] is probably wrong",
        ),
        (
            "x [mm],y [mm]\n0,0\n9.9,5\n",
            ", line 1: the points are 10 mm (3/8 in) wide, 5 mm (3/16 in) high, which no curve of "
            "a costume is; the unit [mm] is probably wrong",
        ),
    ],
)
def test_faults_name_line_column_value_and_remedy(written, text, words):
    """Exact by hand: the fault was put in; the message is the whole promise."""
    with pytest.raises(ValueError, match=f"^{re.escape('back.csv' + words)}$"):
        read_points(written(text))


@pytest.mark.parametrize(
    "cell",
    [
        "nan",
        "inf",
        "-inf",
        "five",
        "5 mm",
        "1_000",
        "=1+1",
        "0x10",
        "1e",
        "--5",
        "5-",
        "\N{ARABIC-INDIC DIGIT ONE}",
        "1/0",
        "3 1/4 in",
        "3 ± 1/4",
        "1 2",
    ],
)
def test_only_plain_numbers_are_numbers(written, cell):
    text = (
        rf"^back\.csv, line 3, column y: {re.escape(repr(cell))} is not a finite number; write "
        r"digits with a decimal point, no unit$"
    )
    with pytest.raises(ValueError, match=text):
        read_points(written(f"x [mm],y [mm]\n0,0\n60,{cell}\n"))


def test_faults_of_several_lines_are_told_together(written):
    """Exact by hand: 14 bad lines, ten told and four counted; each line of the error is one."""
    with pytest.raises(ValueError, match="line 2, column x: 'a'") as caught:
        read_points(written("x [mm],y [mm]\n" + "a,b\n" * 14))
    told = str(caught.value).split("\n")
    assert [line.split(":")[0] for line in told[:10]] == [
        f"back.csv, line {number}, column x" for number in range(2, 12)
    ]
    assert told[10:] == ["back.csv: and 4 more"]


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (GOOD.encode("utf-16"), ": is written in UTF-16 (Unicode text); save it as CSV, UTF-8"),
        (GOOD.encode("utf-16-le"), ": is written in UTF-16 (Unicode text); save it as CSV, UTF-8"),
        (GOOD.encode("utf-16-be"), ": is written in UTF-16 (Unicode text); save it as CSV, UTF-8"),
        (b"\x89PNG\r\n\x1a\n\0\0\rIHDR" + b"x" * 50, ": is no text; save the points as CSV, UTF-8"),
        (
            b"x [mm],y [mm]\n0,0\n60\xb5,3\n",
            ", line 3: byte 0xb5 is no UTF-8 text; save the points as CSV, UTF-8",
        ),
        (
            b"x [mm],y [mm]\n" + b"1,2\n" * 250_000,
            ": is over 1,000,000 bytes; a measured curve has 5000 points at most",
        ),
    ],
)
def test_what_is_no_such_text(written, raw, words):
    """Exact by hand."""
    with pytest.raises(ValueError, match=f"^{re.escape('back.csv' + words)}$"):
        read_points(written(raw))


def test_what_cannot_be_read(tmp_path):
    with pytest.raises(ValueError, match=r"^none\.csv: cannot be read \(No such file"):
        read_points(tmp_path / "none.csv")
    with pytest.raises(ValueError, match=r": cannot be read \(.*\); check its name and folder$"):
        read_points(tmp_path)
    with pytest.raises(ValueError, match=r"^a\?b: cannot be read \(no file name\)"):
        read_points("a\0b")


def test_the_limits_of_the_size_themselves_pass(written):
    """Exact by hand: 10 mm and 5 m."""
    assert read_points(written("x [mm],y [mm]\n0,0\n3,10\n")).size == (3, 10)
    assert read_points(written("x [m],y [m]\n0,0\n5,1\n")).size == (5000, 1000)
