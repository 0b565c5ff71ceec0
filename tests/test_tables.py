"""The loader of the reference tables.

Every expected value here is exact by hand: small tables are written for the test, or the text is
the one a maker shall read.
"""

from __future__ import annotations

import dataclasses
import math
import re
import subprocess
import sys
from pathlib import Path

import pytest

from foamcalc import table_rows, tables

HEAD = "row_id,subject,quantity,value,low,high,unit,basis,condition,source_id,locator,note\n"
SOURCES = (
    "source_id,kind,authors,year,title,container,identifier,licence,opened_as,note\n"
    'one-1925,article,"Reed, A.",1925,T,C,,free,primary,Invented for this test\n'
    'two-1997,book,"Reed, A.; Moss, B.",1997,T,C,,free,secondary,Invented for this test\n'
    'three-2020,book,"Reed, A.; Moss, B.; Fern, C.",2020,T,C,,free,memory,Invented\n'
)


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A folder with invented tables, all four of them."""
    (tmp_path / "sources.csv").write_text(SOURCES, encoding="utf-8")
    for table in table_rows.TABLES:
        (tmp_path / f"{table}.csv").write_text(HEAD, encoding="utf-8")
    return tmp_path


def foams(place: Path, *rows: str) -> None:
    (place / "foams.csv").write_text(HEAD + "".join(row + "\n" for row in rows), encoding="utf-8")


def exactly(text: str) -> str:
    return f"^{re.escape(text)}$"


# Entries ------------------------------------------------------------------------------------------


def test_an_entry_carries_every_cell(place):
    foams(place, "foam-a,A,modulus,1.50,1,2,MPa,published,cold,two-1997,p. 3,why")
    (entry,) = tables.load("foams", where=place)
    got = dataclasses.asdict(entry)
    del got["_source"]
    assert got == {
        "row_id": "foam-a",
        "table": "foams",
        "subject": "A",
        "quantity": "modulus",
        "value": 1.5,
        "low": 1.0,
        "high": 2.0,
        "unit": "MPa",
        "basis": "published",
        "condition": "cold",
        "source_id": "two-1997",
        "locator": "p. 3",
        "note": "why",
        "printed": "1.50",
    }
    assert entry.source == tables.sources(where=place)["two-1997"]


def test_empty_low_and_high_are_none_and_zero_is_zero(place):
    foams(
        place,
        "foam-a,A,modulus,1,,,MPa,assumed,,,,why",
        "foam-b,B,modulus,1,0,,MPa,assumed,,,,why",
    )
    first, second = tables.load("foams", where=place)
    assert (first.low, first.high) == (None, None)
    assert (second.low, second.high) == (0.0, None)
    assert first.source is None


def test_entries_and_sources_cannot_be_changed():
    with pytest.raises(dataclasses.FrozenInstanceError):
        tables.load("stock")[0].value = 7.0
    with pytest.raises(dataclasses.FrozenInstanceError):
        tables.sources()["kirsch-1898"].year = 1899


@pytest.mark.parametrize(
    ("row", "line"),
    [
        ("5,,,%,common practice,,,,why", "q 5 % (common practice, no source)"),
        ("0.10,,,1,from memory,,,,why", "q 0.10 (from memory, no source)"),
        ("5,,,mm,assumed,,,,why", "q 5 mm (assumed, no source)"),
        ("5,,,mm,assumed,,three-2020,p. 1,why", "q 5 mm (assumed; compare Reed et al. 2020)"),
        ("5,,,mm,from memory,,one-1925,p. 1,why", "q 5 mm (from memory; compare Reed 1925)"),
        ("5,,,mm,measured,,,,why", "q 5 mm (measured)"),
        ("5,,,mm,derived,,,,why", "q 5 mm (derived)"),
        ("5,,,mm,derived,,one-1925,p. 2,why", "q 5 mm (derived: Reed 1925, p. 2)"),
        ("5,,,mm,published,,two-1997,tab. 1,", "q 5 mm (published: Reed and Moss 1997, tab. 1)"),
    ],
)
def test_describe_says_what_the_number_rests_on(place, row, line):
    foams(place, f"foam-a,A,q,{row}")
    assert tables.look_up("foams", "A", "q", where=place).describe() == line


def test_as_fraction_is_for_percent_only():
    assert tables.look_up("limits", "limit", "cold_pull_easy").as_fraction() == 0.05
    with pytest.raises(
        ValueError,
        match=exactly(
            "hand_force (lim-hand-force in limits.csv) is in 'N', not in '%'; ask for 'N'"
        ),
    ):
        tables.look_up("limits", "limit", "hand_force").as_fraction()


def test_in_unit_never_converts():
    entry = tables.look_up("limits", "limit", "mouth_opening")
    assert entry.in_unit("mm") == 10.0
    for unit in ("cm", "MM", "%", ""):
        with pytest.raises(ValueError, match=re.escape(f"is in 'mm', not in {unit!r}")):
            entry.in_unit(unit)


# Looking up ---------------------------------------------------------------------------------------


def test_an_unknown_subject_names_the_nearest_and_all():
    with pytest.raises(
        ValueError,
        match=exactly(
            "unknown foam 'EVA meduim' in foams.csv; did you mean 'EVA medium'? "
            "Known: 'EVA soft', 'EVA medium', 'EVA firm'"
        ),
    ):
        tables.look_up("foams", "EVA meduim", "modulus")


def test_an_unknown_quantity_names_the_nearest_and_all():
    with pytest.raises(
        ValueError,
        match=exactly(
            "unknown quantity 'modulos' in foams.csv for 'EVA soft'; did you mean 'modulus'? "
            "Known: 'modulus', 'alpha', 'poisson', 'density'"
        ),
    ):
        tables.look_up("foams", "EVA soft", "modulos")


def test_nothing_near_gives_no_guess():
    with pytest.raises(
        ValueError,
        match=exactly(
            "unknown adhesive 'xyz' in adhesives.csv; Known: 'contact adhesive', 'hot glue'"
        ),
    ):
        tables.look_up("adhesives", "xyz", "open_time")


@pytest.mark.parametrize("name", ["limit", "limits.csv", "sources", "../limits", "", 5, None])
def test_an_unknown_table_is_refused(name):
    for ask in (tables.load, tables.subjects, tables.frame):
        with pytest.raises(ValueError, match=re.escape(f"unknown table {name!r}")):
            ask(name)
    with pytest.raises(ValueError, match="Known: 'adhesives', 'foams', 'limits', 'stock'"):
        tables.look_up(name, "limit", "hand_force")


def test_the_lowest_of_several_rows_is_used(place):
    foams(
        place,
        "foam-a,A,modulus,1,,,MPa,assumed,,,,why",
        "foam-b,B,modulus,7,,,MPa,assumed,,,,why",
        "foam-a-own,A,modulus,2,,,MPa,measured,,,,how",
    )
    assert tables.look_up("foams", "A", "modulus", where=place).value == 2.0
    assert tables.subjects("foams", where=place) == ("A", "B")


def test_subjects_stand_once_in_the_order_of_the_file():
    assert tables.subjects("foams") == ("EVA soft", "EVA medium", "EVA firm")
    assert tables.subjects("limits") == ("limit", "habit", "default")


def test_short_names_of_sources(place):
    assert [one.short for one in tables.sources(where=place).values()] == [
        "Reed 1925",
        "Reed and Moss 1997",
        "Reed et al. 2020",
    ]


# Reading ------------------------------------------------------------------------------------------


def test_a_faulty_row_gives_no_number(place):
    foams(place, "foam-a,A,modulus,1,,,MPa,guess,,,,why", "foam-b,B,modulus,x,,,MPa,assumed,,,,why")
    with pytest.raises(ValueError) as caught:
        tables.look_up("foams", "B", "modulus", where=place)
    first, second = str(caught.value).split("\n")
    assert first == (
        "foams.csv, line 2, column basis: 'guess' is not known; write one of 'published', "
        "'measured', 'derived', 'common practice', 'assumed', 'from memory'"
    )
    assert second == (
        "foams.csv, line 3, column value: 'x' is not a finite number; "
        "write digits with a decimal point, no unit"
    )


def test_faulty_sources_stop_every_table(place):
    (place / "sources.csv").write_text(SOURCES.replace(",1925,", ",192,"), encoding="utf-8")
    for ask in (lambda: tables.sources(where=place), lambda: tables.load("stock", where=place)):
        with pytest.raises(ValueError, match=r"sources\.csv, line 2, column year: '192'"):
            ask()


def test_a_folder_that_is_not_there_is_named(tmp_path):
    with pytest.raises(ValueError, match=r"sources\.csv: cannot be read .* in .*nowhere"):
        tables.load("foams", where=tmp_path / "nowhere")


def test_columns_may_stand_in_any_order(place):
    rows = [line.split(",") for line in (HEAD.strip(), "foam-a,A,q,1,0,2,mm,assumed,c,,,why")]
    text = "".join(",".join(reversed(row)) + "\n" for row in rows)
    (place / "foams.csv").write_text(text, encoding="utf-8")
    (entry,) = tables.load("foams", where=str(place))
    assert (entry.row_id, entry.value, entry.low, entry.high) == ("foam-a", 1.0, 0.0, 2.0)


def test_the_shipped_tables_are_kept_and_your_own_are_read_afresh(place):
    assert tables.load("limits") is tables.load("limits")
    foams(place, "foam-a,A,modulus,1,,,MPa,assumed,,,,why")
    assert tables.load("foams", where=place)[0].value == 1.0
    foams(place, "foam-a,A,modulus,2,,,MPa,assumed,,,,why")
    assert tables.load("foams", where=place)[0].value == 2.0


def test_frame_has_the_columns_of_the_table(place):
    foams(place, "foam-a,A,modulus,1.50,,2,MPa,assumed,cold,,,why")
    got = tables.frame("foams", where=place)
    assert [got.index.name, *got.columns] == HEAD.strip().split(",")
    assert list(got.index) == ["foam-a"]
    assert got.loc["foam-a", "value"] == 1.5
    assert got.loc["foam-a", "unit"] == "MPa"
    assert got.loc["foam-a", "high"] == 2.0
    assert math.isnan(got.loc["foam-a", "low"])
    assert list(got.dtypes[["value", "low", "high"]]) == [float, float, float]


def test_frame_of_an_empty_table_has_the_same_columns(place):
    assert len(tables.frame("foams", where=place)) == 0
    assert list(tables.frame("foams", where=place).columns) == HEAD.strip().split(",")[1:]


# Finding the folder -------------------------------------------------------------------------------


def test_inside_the_package_comes_before_beside_it(tmp_path, monkeypatch):
    package = tmp_path / "lib" / "foamcalc"
    beside, inside = tmp_path / "lib" / "reference_tables", package / "reference_tables"
    package.mkdir(parents=True)
    monkeypatch.setattr(tables, "__file__", str(package / "tables.py"))

    with pytest.raises(ValueError, match="no reference tables") as caught:
        tables.folder()
    assert str(inside) in str(caught.value)
    assert str(beside) in str(caught.value)
    assert "install foamcalc again" in str(caught.value)

    for place, found_before in ((beside, None), (inside, beside)):
        place.mkdir()
        # A folder of that name without the sources is not taken.
        if found_before is not None:
            assert tables.folder() == found_before
        (place / "sources.csv").write_text(SOURCES, encoding="utf-8")
        assert tables.folder() == place


def test_pandas_is_loaded_by_frame_alone():
    code = (
        "import sys, foamcalc.tables as t; t.load('foams'); t.check(t.folder());"
        "assert 'pandas' not in sys.modules; t.frame('foams'); assert 'pandas' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
