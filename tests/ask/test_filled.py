"""Tables that a maker fills in: every way of writing that is taken, every fault with its place.

Kinds of expected values are named beside them.
"""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from foamcalc.ask.filled import FORCES, LENGTHS, TIMES, Column, Faults, Table, TableFault
from foamcalc.ask.points import Points, read_points

TABLE = Table(
    what="a list",
    columns=(
        Column(name="piece", must=True),
        Column(name="size", units=LENGTHS, must=True, sign="above 0", empty="measure it"),
        Column(name="load", units=FORCES),
        Column(name="time", units=TIMES),
        Column(name="kind", choices=("pull", "squeeze")),
    ),
)
GOOD = "piece,size [mm],load [kg]\nA,60,2\nB,1.5e2,\n"


@pytest.fixture
def written(tmp_path):
    """Write a file and return its path."""

    def write(content, name="list.csv"):
        file = tmp_path / name
        file.write_bytes(content if isinstance(content, bytes) else content.encode())
        return file

    return write


def read(path, table=TABLE):
    faults = Faults(path)
    rows = table.read(path, faults)
    found = [(row["piece"], row.number("size"), row.number("load")) for row in rows]
    for row in rows:
        row.number("time"), row.word("kind")
    faults.raise_any()
    return found


@pytest.fixture
def faults(written):
    """The faults of a table, one line each."""

    def tell(content):
        with pytest.raises(TableFault) as told:
            read(written(content))
        return told.value.faults

    return tell


# What is read -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        GOOD,
        GOOD.rstrip("\n") + "\n\n  \n",
        GOOD.replace("\n", "\r\n"),
        GOOD.replace("\n", "\r"),
        "\ufeff" + GOOD,
        GOOD.replace(",", ";"),
        GOOD.replace(",", "\t"),
        "sep=;\n" + GOOD.replace(",", ";"),
        "# invented\n" + GOOD.replace("\nB", "\n # the second, with a comma\nB"),
        '"# invented, in a spreadsheet"\n' + GOOD,
        GOOD.replace("piece,", "Piece , ").replace("size [mm]", "size(millimetres)"),
        GOOD.replace("size [mm]", "size [cm]").replace("60", "+6.0 ").replace("1.5e2", "15"),
        GOOD.replace("size [mm]", "size [m]").replace("60", ".06").replace("1.5e2", "0 3/20"),
        GOOD.replace("load [kg]", "load [g]").replace("60,2", "60,2000"),
        GOOD.replace("load [kg]", "load [N]").replace("60,2", "60,19.6133"),
        GOOD.replace("\n", ",\n"),
        GOOD.replace("load [kg]\n", "load [kg],time [h]\n"),
    ],
)
def test_ways_to_write_the_same_table(written, text):
    """Exact by hand: a kilogram weighs 9.80665 N."""
    (a, b) = read(written(text))
    assert a == ("A", pytest.approx(60), pytest.approx(19.6133))
    assert b == ("B", pytest.approx(150), None)


@pytest.mark.parametrize(
    ("unit", "typed", "expected"),
    [  # exact by definition: 1 in = 25.4 mm; minutes
        ("in", "5 7/8", 149.225),
        ("in", "3/16", 4.7625),
        ("cm", "2½", 25),
        ("s", "90", 1.5),
        ("h", "2", 120),
        ("d", "1", 1440),
    ],
)
def test_units_stand_in_the_head(written, unit, typed, expected):
    name = "size" if unit in LENGTHS else "time"
    units, cells = {"size": "mm", "time": "min"} | {name: unit}, {"size": "1", "time": "1"}
    head = ",".join(f"{column} [{u}]" for column, u in units.items())
    path = written(f"piece,{head}\nA,{','.join((cells | {name: typed}).values())}\n")
    (row,) = TABLE.read(path, Faults(path))
    assert row.number(name) == pytest.approx(expected)


def test_a_blank_is_a_table_with_the_units_that_were_asked_for(written):
    blank = TABLE.blank([{"piece": "A"}, {"piece": "=B"}], ("in", "kg", "min"))
    first, *rows = blank.decode("utf-8-sig").splitlines()
    assert first == "piece,size [in],load [kg],time [min],kind"
    assert rows == ["A,,,,", "'=B,,,,"]  # nothing in it can run
    path = written(blank)
    assert [row["piece"] for row in TABLE.read(path, Faults(path))] == ["A", "'=B"]


# Faults -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("[kg]", "", "line 1, column load: has no unit; write load [N] (one of N, g, kg)"),
        ("[kg]", "[lb]", "column load: the unit 'lb' is not known here; write one of N, g, kg; 1"),
        ("[kg]", "[KG]", "column load: the unit 'KG' is not known here; write kg"),
        ("[mm]", "[deg]", "column size: the unit 'deg' is not known here; write one of mm, cm, m"),
        ("[mm]", "[mm + 1]", "column size: the unit 'mm + 1' is not known here"),
        ("piece,", "piece [mm],", "line 1, column piece: has a unit, 'mm', but is a word"),
        ("size [mm]", "zise [mm]", "'zise' is no column of a list; did you mean size?"),
        ("load [kg]", "colour", "is no column of a list; known are piece, size, load, time, kind"),
        ("load [kg]", "size [mm]", "line 1, column size: stands 2 times; keep one"),
        ("piece,size [mm]", "time [s]", "line 1: piece and size missing; write piece,size [mm]"),
        ("piece,size [mm],load [kg]\n", "", "line 1: there is no head; write piece,size [mm]"),
        ("A,60", "A,", "line 2, column size: is empty; measure it"),
        ("A,60", "A,0", "line 2, column size: '0' must be above 0"),
        ("A,60", "A,-60", "line 2, column size: '-60' is below 0; write how large it is"),
        ("A,60", "A,\u221260", "'\u221260' is below 0"),
        ("A,60", 'A,"6,5"', "'6,5' has a decimal comma; write 6.5"),
        ("60,2", "60,2,9", "line 2: has more cells than heads, '9' is over"),
        ("[kg]\nA,60,2", "[kg],kind\nA,60,2,pul", "column kind: 'pul' is not known; did you mean"),
        ("[kg]\nA,60,2", "[kg],kind\nA,60,2,x", "'x' is not known; write pull or squeeze"),
    ],
)  # fmt: skip
def test_faults_have_file_line_column_value_and_remedy(faults, old, new, expected):
    assert old in GOOD
    (fault,) = faults(GOOD.replace(old, new, 1))
    assert fault.startswith("list.csv, line ")
    assert expected in fault


@pytest.mark.parametrize(
    "cell",
    ["nan", "-inf", "1e999", "five", "5 mm", "1_000", "=1+1", "0x10", "1e", "--5", "1 2", "1/0",
     "\N{ARABIC-INDIC DIGIT ONE}", "3 1/4 in", "3 ± 1/4"],
)  # fmt: skip
def test_only_plain_numbers_are_numbers(faults, cell):
    (fault,) = faults(GOOD.replace("60", cell))
    assert fault.startswith(
        f"list.csv, line 2, column size: {cell!r} is not a finite number; write"
    )
    assert "the unit [mm] is in the head" in fault


def test_all_faults_are_told_together_in_the_order_of_the_lines(faults):
    found = faults("piece,size [mm],load [kg]\nA,x,y\nB,-1,0\nC,1,-2,3\n")
    places = ["2, column size", "2, column load", "3, column size", "4", "4, column load"]
    assert [line.split(":")[0] for line in found] == [f"list.csv, line {p}" for p in places]
    found = faults("piece,size [mm]\n" + "A,x\n" * 200)
    assert len(found) == 101
    assert found[-1] == "list.csv: more faults may follow; put these right first"


def test_a_file_full_of_decimal_commas_gets_one_error(faults):
    (fault,) = faults(GOOD.replace(",", ";").replace("60", "6,5").replace("1.5e2", "1,5"))
    assert fault.startswith("list.csv, line 2: '6,5' has a decimal comma")
    assert "so has one more cell; replace every comma in a number by a point" in fault


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"", " is empty: write piece,size [mm]"),
        (b"# nothing\n", " is empty: write piece,size [mm]"),
        (GOOD.encode("utf-16"), " is saved as UTF-16"),
        (b"PK\x03\x04rest", " is no text file"),
        (b"piece,\x00\n", " is no text file"),
        (GOOD.encode() + b"C\xff", ", line 4: a letter there is not UTF-8"),
        (b"x" * 1_000_001, " is over 1 MB"),
        (GOOD.encode() + b'"C,60\n', ", line 4: cannot be read from there on"),
        (GOOD.encode() + b"a" * 200_000, "field larger than field limit"),
        (GOOD.encode() + b"A,1,1\n" * 499, " has 501 filled rows, at most 500"),
    ],
)
def test_files_that_are_no_table(faults, content, expected):
    (fault,) = faults(content)
    assert fault.startswith("list.csv")
    assert expected in fault


def test_what_cannot_be_read(tmp_path):
    for name, words in (
        ("none.csv", r"^none\.csv cannot be read \(No such file.*\): check its name, its folder"),
        (".", "is a folder: name the record in it"),
        ("a\0b", r"^a\?b cannot be read \(no file name\)"),
    ):
        with pytest.raises(TableFault, match=words):
            read(tmp_path / name)


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.one_of(st.binary(max_size=200), st.text(max_size=200).map(str.encode)))
def test_whatever_follows_the_head_is_read_or_told(tmp_path, data):
    file = tmp_path / "any.csv"
    file.write_bytes(b"piece,size [mm]\n" + data)
    try:
        assert all(size is None or size > 0 for _, size, _ in read(file))
    except TableFault as fault:
        assert all(line.isprintable() and line.startswith("any.csv") for line in fault.faults)


# Points of a contour ----------------------------------------------------------------------------

CONTOUR = "x [mm],y [mm]\n0,0\n60,25\n120,0\n"


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        (CONTOUR, "mm"),
        ("y [mm],x [mm]\n0,0\n25,60\n0,120\n", "mm"),
        ("x [cm],y[centimetres]\n0,0\n6,2 1/2\n12,0/4\n", "cm"),
        ("# gauge, invented\nx [m],y [m]\n0,0\n# middle\n0.06,0.025\n0.12,0\n\n", "m"),
    ],
)
def test_points_are_read_in_millimetres(written, text, unit):
    """Exact by hand: 0 0, 60 25, 120 0."""
    points = read_points(written(text))
    np.testing.assert_allclose(points.xy, [(0, 0), (60, 25), (120, 0)], rtol=1e-15)
    assert points.unit == unit


def test_points_may_lie_below_nothing_and_their_size_is_told_in_both_systems(written):
    """Exact by definition of the inch."""
    points = read_points(written("x [in],y [in]\n\u22122,0\n8,-2.5\n"))
    np.testing.assert_allclose(points.xy, [(-50.8, 0), (203.2, -63.5)], rtol=1e-15)
    assert points.size_text() == "254 mm (10 in) wide, 64 mm (2 1/2 in) high"
    # exact by hand: 10 mm and 5 m are the limits
    for text, wide in (("0,0\n10,3\n", 10), ("0,0\n5000,1\n", 5000)):
        assert np.ptp(read_points(written("x [mm],y [mm]\n" + text)).x) == wide
    assert isinstance(points, Points)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("x,y\n1,2\n", ", line 1, column x: has no unit; write x [mm] (one of mm, cm, m, in)"),
        ("x [mm],y [in]\n1,2\n3,4\n", ": x is in [mm] and y in [in]; write both in one unit"),
        ("x [mm]\n1\n", ", line 1: y missing; write x [mm],y [mm]"),
        ("x [mm],y [mm]\n1\n60,3\n", ", line 2, column y: is empty; measure it, or take the line"),
        (
            CONTOUR.replace("60,25", "\n60,25"),
            ", line 3: is empty; take it out (one file holds one curve)",
        ),
        (
            "x [m],y [m]\n1e8,2\n60,3\n",
            ", line 2, column x: 1e8 m is farther out than any curve of a costume; check",
        ),
        ("x [mm],y [mm]\n", ": has 0 point(s); a curve has two at least"),
        ("x [mm],y [mm]\n1,2\n", ": has 1 point(s); a curve has two at least"),
        (
            "x [m],y [m]\n0,0\n200,100\n",
            ": the points are 200000 mm (7874 in) wide, 100000 mm (3937 in) high, which no "
            "curve of a costume is; the unit [m] is probably wrong",
        ),
        ("x [mm],y [mm]\n0,0\n9.9,5\n", ": the points are 10 mm (3/8 in) wide, 5 mm (3/16 in)"),
        ("x [mm],y [mm]\n" + "1,2\n" * 5001, " has 5001 filled rows, at most 5000"),
    ],
)
def test_points_that_are_no_curve_are_told(written, text, words):
    with pytest.raises(ValueError, match=f"^{re.escape('back.csv' + words)}"):
        read_points(written(text, "back.csv"))
