"""The tables that come with foamcalc: sound in form, and the check that says so can fail.

Kinds of expected value. Contents: the values the tables are meant to hold, typed a second time by
hand. Faults: exact by hand, each table is broken in one place and that place must be named.
"""

from __future__ import annotations

import csv
import re
import shutil
from pathlib import Path

import pytest

from foamcalc import table_rows, tables

FILES = ("adhesives.csv", "foams.csv", "limits.csv", "sources.csv", "stock.csv")


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    place = tmp_path / "my_tables"
    shutil.copytree(tables.folder(), place)
    return place


def read(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def write(path: Path, rows: list[list[str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)


def put(path: Path, row_id: str, /, **cells: str) -> int:
    """Change cells of one row; returns its line, counted from 1 with the head."""
    rows = read(path)
    line = next(i for i, row in enumerate(rows) if row[0] == row_id)
    for column, text in cells.items():
        rows[line][rows[0].index(column)] = text
    write(path, rows)
    return line + 1


# The tables as they are --------------------------------------------------------------------------


def test_the_tables_have_no_fault():
    assert tables.check(tables.folder()) == []


def test_the_folder_holds_these_files_and_no_others():
    assert tuple(sorted(path.name for path in tables.folder().glob("*.csv"))) == FILES


def test_ids_are_unique_over_all_tables():
    # Read with the csv module alone, not through the code under test.
    ids = [row[0] for name in FILES for row in read(tables.folder() / name)[1:]]
    assert len(ids) == len(set(ids)) > 50


def test_each_row_keeps_the_digits_as_printed():
    # Independent: the csv module's own reading of the same files.
    for table in table_rows.TABLES:
        rows = read(tables.folder() / f"{table}.csv")
        column = rows[0].index("value")
        assert [entry.printed for entry in tables.load(table)] == [row[column] for row in rows[1:]]


@pytest.mark.parametrize(
    ("subject", "quantity", "value", "low", "high", "unit", "basis"),
    [
        ("limit", "cold_pull_free", 3, None, None, "%", "common practice"),
        ("limit", "cold_pull_easy", 5, None, None, "%", "common practice"),
        ("limit", "cold_pull_hard", 8, None, None, "%", "common practice"),
        ("limit", "end_pull", 10, 10, 12, "%", "common practice"),
        ("limit", "thinnest_for_hard_pull", 5, None, None, "mm", "common practice"),
        ("limit", "warm_hold", 15, 10, 20, "%", "common practice"),
        ("limit", "squeeze_at_10_mm", 4, 3, 5, "%", "common practice"),
        ("limit", "squeeze_at_5_mm", 2.5, 2, 3, "%", "common practice"),
        ("limit", "squeeze_at_2_mm", 0, None, None, "%", "common practice"),
        ("limit", "mouth_opening", 10, 5, 10, "mm", "common practice"),
        ("limit", "hand_force", 50, None, None, "N", "assumed"),
        ("limit", "let_in_narrowest", 10, None, None, "mm", "assumed"),
        ("habit", "hug_allowance", 0.5, 0, 1, "%", "assumed"),
        ("habit", "spare_at_free_end", 10, None, None, "mm", "assumed"),
        ("habit", "spring_back_on_cooling", 15, 10, 20, "%", "from memory"),
        ("habit", "shrink_on_cooling", 1.5, 1, 2, "%", "from memory"),
        ("habit", "thickness_variation", 7.5, 5, 10, "%", "from memory"),
        ("habit", "tape_reading", 1, None, None, "mm", "assumed"),
        ("default", "default_turn", 180, None, None, "deg", "assumed"),
        ("default", "default_base_thickness", 10, None, None, "mm", "assumed"),
        ("default", "default_overlay_thickness", 5, None, None, "mm", "assumed"),
    ],
)
def test_limits_hold_what_makers_go_by(subject, quantity, value, low, high, unit, basis):
    entry = tables.look_up("limits", subject, quantity)
    got = (entry.value, entry.low, entry.high, entry.unit, entry.basis)
    assert got == (value, low, high, unit, basis)
    assert entry.source is None


def test_every_foam_has_all_that_a_law_needs():
    for foam in tables.subjects("foams"):
        for quantity, unit in (
            ("modulus", "MPa"),
            ("alpha", "1"),
            ("poisson", "1"),
            ("density", "kg/m3"),
        ):
            entry = tables.look_up("foams", foam, quantity)
            entry.in_unit(unit)
            assert entry.basis == "assumed"
            assert entry.low < entry.value < entry.high


def secant_ratio(alpha: float, poisson: float) -> float:
    """Stress at 10 % pull over stress at 10 % squeeze, one-term law, free sides."""

    def stress(stretch: float) -> float:
        return (stretch**alpha - stretch ** (-alpha * poisson)) / stretch

    return -stress(1.1) / stress(0.9)


def test_the_note_on_alpha_says_what_the_number_does():
    # Independent formula, written out above: the note gives one decimal of each ratio.
    alpha = tables.look_up("foams", "EVA medium", "alpha")
    poisson = tables.look_up("foams", "EVA medium", "poisson").value
    assert f"{secant_ratio(alpha.value, poisson):.1f} times" in alpha.note
    assert f"{secant_ratio(10, poisson):.1f} to {secant_ratio(15, poisson):.1f}" in alpha.note
    assert "alpha 10 to 15" in alpha.note


def test_hot_glue_lets_go_and_contact_adhesive_creeps():
    warm = tables.look_up("adhesives", "hot glue", "lets_go_temperature")
    assert (warm.value, warm.low, warm.high, warm.unit) == (70, 60, 80, "degC")
    bead = tables.look_up("adhesives", "hot glue", "bead_thickness")
    assert (bead.low, bead.high, bead.unit) == (0.3, 1, "mm")
    assert tables.look_up("adhesives", "hot glue", "set_time").high == 1
    assert tables.look_up("adhesives", "hot glue", "warm_forming_afterwards").value == 0
    assert tables.look_up("adhesives", "contact adhesive", "grab_at_one_touch").value == 1
    assert tables.look_up("adhesives", "contact adhesive", "bead_thickness").value == 0
    assert tables.look_up("adhesives", "contact adhesive", "creeps_in_peel_when_warm").value == 1


@pytest.mark.parametrize(
    ("adhesive", "words"),
    [
        ("contact adhesive", ("ventilation", "flames", "gloves", "product data sheet")),
        ("hot glue", ("burn", "hot car")),
    ],
)
def test_adhesives_carry_their_cautions(adhesive, words):
    notes = " ".join(e.note for e in tables.load("adhesives") if e.subject == adhesive)
    assert [word for word in words if word not in notes] == []


def test_no_source_is_passed_off_as_opened():
    # Nobody opened these for the tables; whoever does changes the row and this line.
    remembered = {name for name, one in tables.sources().items() if one.opened_as == "memory"}
    assert remembered == {"gibson-1997", "steiner-1840", "timoshenko-1925", "volkersen-1938"}


# The same check on broken tables: each kind of fault must be found, and named ---------------------


@pytest.mark.parametrize(
    ("name", "row_id", "column", "bad", "remedy"),
    [
        ("limits.csv", "lim-end-pull", "row_id", "lim-cold-pull-easy", "stands twice"),
        ("limits.csv", "lim-end-pull", "row_id", "foam-end-pull", "write lim- and then"),
        ("limits.csv", "lim-end-pull", "row_id", "lim-End-Pull", "write lim- and then"),
        ("limits.csv", "lim-end-pull", "subject", "", "say what the number belongs to"),
        ("limits.csv", "lim-end-pull", "quantity", "End pull", "underscores"),
        ("limits.csv", "lim-end-pull", "value", "", "write digits"),
        ("limits.csv", "lim-end-pull", "value", "ten", "write digits"),
        ("limits.csv", "lim-end-pull", "value", "10 %", "write digits"),
        ("limits.csv", "lim-end-pull", "value", "10,5", "write digits"),
        ("limits.csv", "lim-end-pull", "value", "nan", "write digits"),
        ("limits.csv", "lim-end-pull", "value", "inf", "write digits"),
        ("limits.csv", "lim-end-pull", "value", "1e999", "write digits"),
        ("limits.csv", "lim-end-pull", "value", "1_0", "write digits"),
        ("limits.csv", "lim-end-pull", "low", "about 9", "write digits"),
        ("limits.csv", "lim-end-pull", "high", "twelve", "write digits"),
        ("limits.csv", "lim-end-pull", "value", "9", "keep low 10"),
        ("limits.csv", "lim-end-pull", "value", "12.5", "keep low 10"),
        ("limits.csv", "lim-end-pull", "unit", "percent", "write one of '%'"),
        ("limits.csv", "lim-end-pull", "basis", "guess", "write one of 'published'"),
        ("limits.csv", "lim-end-pull", "note", "", "say why"),
        ("limits.csv", "lim-end-pull", "note", "=1+1", "spreadsheet formula"),
        ("limits.csv", "lim-end-pull", "note", "+cmd", "spreadsheet formula"),
        ("limits.csv", "lim-end-pull", "note", "-cmd", "spreadsheet formula"),
        ("limits.csv", "lim-end-pull", "note", "@cmd", "spreadsheet formula"),
        ("limits.csv", "lim-end-pull", "note", " =1+1", "blanks at an end"),
        ("limits.csv", "lim-end-pull", "source_id", "kirsch-1898", "common practice"),
        ("foams.csv", "foam-eva-firm-modulus", "unit", "N", "'MPa' above; use one unit"),
        ("foams.csv", "foam-eva-firm-alpha", "source_id", "nobody-1999", "is not in sources.csv"),
        ("foams.csv", "foam-eva-firm-alpha", "locator", "", "say where in the source"),
        ("foams.csv", "foam-eva-firm-modulus", "note", "", "say why"),
        ("sources.csv", "kirsch-1898", "source_id", "heinz-2003", "stands twice"),
        ("sources.csv", "kirsch-1898", "source_id", "Kirsch", "write small letters"),
        ("sources.csv", "kirsch-1898", "year", "about 1900", "write four digits"),
        ("sources.csv", "kirsch-1898", "kind", "rumour", "write one of 'article'"),
        ("sources.csv", "kirsch-1898", "opened_as", "yes", "write one of 'primary'"),
        ("sources.csv", "kirsch-1898", "title", "", "fill it in"),
        ("sources.csv", "kirsch-1898", "title", "=HYPERLINK()", "spreadsheet formula"),
    ],
)
def test_a_broken_cell_is_found_and_named(copy, name, row_id, column, bad, remedy):
    line = put(copy / name, row_id, **{column: bad})
    start = f"{name}, line {line}, column {column}: {bad!r} "
    mine = [fault for fault in tables.check(copy) if fault.startswith(start)]
    assert len(mine) == 1, tables.check(copy)
    assert remedy in mine[0]


@pytest.mark.parametrize(
    ("cells", "column", "remedy"),
    [
        ({}, "source_id", "needs its source"),
        ({"source_id": "storakers-1986"}, "locator", "say where"),
        ({"source_id": "volkersen-1938", "locator": "p. 41"}, "basis", "was not opened"),
    ],
)
def test_published_needs_an_opened_source_and_a_place_in_it(copy, cells, column, remedy):
    put(copy / "limits.csv", "lim-hand-force", basis="published", **cells)
    (fault,) = tables.check(copy)
    assert f"column {column}: " in fault
    assert remedy in fault


def test_published_with_an_opened_source_and_a_place_passes(copy):
    put(
        copy / "limits.csv",
        "lim-hand-force",
        basis="published",
        source_id="storakers-1986",
        locator="p. 130",
    )
    assert tables.check(copy) == []


@pytest.mark.parametrize("number", ["-3", "+3", "2.50", "1e1", "-2.5E-1"])
def test_signed_numbers_are_no_formulas(copy, number):
    put(copy / "limits.csv", "lim-end-pull", value=number, low="", high="")
    assert tables.check(copy) == []
    assert tables.look_up("limits", "limit", "end_pull", where=copy).value == float(number)


@pytest.mark.parametrize("column", table_rows.COLUMNS)
def test_a_missing_column_is_named(copy, column):
    rows = read(copy / "stock.csv")
    gone = rows[0].index(column)
    write(copy / "stock.csv", [row[:gone] + row[gone + 1 :] for row in rows])
    (fault,) = tables.check(copy)
    assert fault.startswith(f"stock.csv: line 1: missing columns ['{column}'], unknown columns []")


def test_an_unknown_and_a_doubled_column_are_faults(copy):
    rows = read(copy / "stock.csv")
    write(copy / "stock.csv", [[*rows[0], "colour"], *([*row, "blue"] for row in rows[1:])])
    assert "unknown columns ['colour']" in tables.check(copy)[0]
    write(copy / "stock.csv", [[*rows[0], "note"], *([*row, "again"] for row in rows[1:])])
    assert "once" in tables.check(copy)[0]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda raw: raw.replace(b"\n", b"\r\n"), "foreign line ends"),
        (lambda raw: b"\xef\xbb\xbf" + raw, "byte order mark"),
        (lambda raw: raw + b"\xff\n", "is not UTF-8 at byte"),
        (lambda raw: raw + b"\n", "line 10: 0 cells instead of 12"),
        (lambda raw: raw + b"stock-1-mm,a\n", "line 10: 2 cells instead of 12"),
        (lambda raw: raw + b'"stock-1-mm,a\n', "check the double quotes"),
        (lambda raw: raw + b"x" * 1_000_000, "is over 1000000 bytes"),
        (lambda raw: b"", "missing columns"),
    ],
)
def test_a_file_in_bad_form_is_named(copy, change, words):
    path = copy / "stock.csv"
    path.write_bytes(change(path.read_bytes()))
    (fault,) = tables.check(copy)
    assert fault.startswith("stock.csv")
    assert words in fault


def test_a_line_break_inside_a_cell_is_a_fault(copy):
    put(copy / "stock.csv", "stock-2-mm", note="one\ntwo")
    (fault,) = tables.check(copy)
    assert "column note" in fault
    assert "line break" in fault


def test_a_missing_and_a_strange_file_are_faults(copy):
    (copy / "stock.csv").rename(copy / "stick.csv")
    strange, missing = tables.check(copy)
    assert strange.startswith("stick.csv: not a known table; known are 'adhesives'")
    assert missing.startswith("stock.csv: cannot be read")


def test_all_faults_come_in_one_go(copy):
    put(copy / "limits.csv", "lim-end-pull", unit="percent", basis="guess")
    put(copy / "foams.csv", "foam-eva-soft-modulus", value="soft")
    assert len(tables.check(copy)) == 3


# The README of the tables ------------------------------------------------------------------------


def readme() -> str:
    return (tables.folder() / "README.md").read_text(encoding="utf-8")


def test_the_readme_names_every_file_column_basis_and_unit():
    words = set(re.findall(r"`([^`\n]+)`", readme()))
    wanted = {
        *FILES,
        *table_rows.COLUMNS,
        *table_rows.SOURCE_COLUMNS,
        *table_rows.UNITS,
        *table_rows.OPENED,
    }
    wanted -= {"authors", "year", "title"}
    assert wanted - words == set()
    kinds = re.findall(r"^\| ([a-z ]+) \| ", readme().split("## The six kinds of basis")[1], re.M)
    assert tuple(kinds[1:]) == table_rows.BASES


def test_the_example_row_of_the_readme_works_and_wins(copy):
    (row,) = re.findall(r"^foam-eva-medium-modulus-our-roll,.*$", readme(), re.M)
    with (copy / "foams.csv").open("a", encoding="utf-8", newline="") as file:
        file.write(row + "\n")
    assert tables.check(copy) == []
    entry = tables.look_up("foams", "EVA medium", "modulus", where=copy)
    assert (entry.value, entry.basis) == (1.9, "measured")
    # The shipped table is untouched and the older row is still there.
    assert tables.look_up("foams", "EVA medium", "modulus").value == 1.5
    assert len(tables.load("foams", where=copy)) == len(tables.load("foams")) + 1
