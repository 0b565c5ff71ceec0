"""Swatch records from CSV: every way of writing that is taken, every fault with its place.

Kinds of expected values are named beside them.
"""

from __future__ import annotations

import csv
import io
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.ask.swatch.guide import loads_for, swatch_instructions
from foamcalc.ask.swatch.record import SwatchFault, blank_swatch, demo_swatch, read_swatch
from foamcalc.ask.swatch.words import swatch_lines, swatch_said
from foamcalc.foam.law import HyperFoam
from foamcalc.foam.swatch import fit_swatch

HEAD = "strip,width [mm],thickness [mm],gauge [mm],load [kg],length [mm],time [min]"
GOOD = f"{HEAD}\nA,60,5,150,4,165,1\nA,,,,0,151,60\nB,60,4.9,150,2,157.5,1\n"


@pytest.fixture
def written(tmp_path):
    """Write a record and return its path."""

    def write(content, name="swatch.csv"):
        file = tmp_path / name
        file.write_bytes(content if isinstance(content, bytes) else content.encode())
        return file

    return write


@pytest.fixture
def faults(written):
    """The faults of a record, one line each."""

    def read(content):
        with pytest.raises(SwatchFault) as told:
            read_swatch(written(content))
        return told.value.faults

    return read


# What is read -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        GOOD,
        GOOD.rstrip("\n") + "\n\n  \n",
        GOOD.replace("\n", "\r\n"),
        "\ufeff" + GOOD,
        GOOD.replace(",", ";"),
        GOOD.replace(",", "\t"),
        "sep=;\n" + GOOD.replace(",", ";"),
        "# invented\n" + GOOD.replace("\nB", "\n# the second, with a comma\nB"),
        '"# invented, in a spreadsheet"\n' + GOOD,
        GOOD.replace("strip,", "Strip , ").replace("load [kg]", "Load (kg)"),
        GOOD.replace("A,60,5,150", "A, 60.0 ,5,+1.5e2").replace("A,,,,0", "A,60,5,150,0"),
        GOOD + "C,60,5,150,,,1\n",
        GOOD.replace("\n", ",\n"),
        "note," + GOOD.replace("\n", "\nx,"),
    ],
)
def test_ways_to_write_the_same_record(written, text):
    """Exact by hand: a kilogram weighs 9.80665 N."""
    if text.startswith("note,"):
        text = text.removesuffix("x,")
    a, b = read_swatch(written(text))
    assert (a.name, a.width, a.thickness, a.gauge, a.test, a.warmth) == (
        "A", 60, 5, 150, "pull", "cold",
    )  # fmt: skip
    assert [(r.load, r.length, r.time) for r in a.readings] == [
        (pytest.approx(39.2266), 165, 1),
        (0, 151, 60),
    ]
    assert (b.name, b.thickness, len(b.readings)) == ("B", 4.9, 1)


@pytest.mark.parametrize(
    ("column", "unit", "typed", "attribute", "expected"),
    [  # exact by definition: 1 in = 25.4 mm, 1 kg weighs 9.80665 N
        ("width [mm]", "width [cm]", "6", "width", 60),
        ("thickness [mm]", "thickness [in]", "0.2", "thickness", 5.08),
        ("gauge [mm]", "gauge [m]", "0.15", "gauge", 150),
        ("gauge [mm]", "gauge [in]", "5 7/8", "gauge", 5.875 * 25.4),
        ("thickness [mm]", "thickness [in]", "3/16", "thickness", 4.7625),
        ("load [kg]", "load [g]", "4000", "load", 39.2266),
        ("load [kg]", "load [N]", "39.2266", "load", 39.2266),
        ("length [mm]", "length [cm]", "16.5", "length", 165),
        ("time [min]", "time [s]", "60", "time", 1),
        ("time [min]", "time [h]", "2", "time", 120),
        ("time [min]", "time [d]", "1", "time", 1440),
    ],
)
def test_units_stand_in_the_head(written, column, unit, typed, attribute, expected):
    values = dict(zip(HEAD.split(","), "A,60,5,150,4,165,1".split(","), strict=True))
    values[column] = typed
    text = f"{HEAD.replace(column, unit)}\n{','.join(values.values())}\n"
    (strip,) = read_swatch(written(text))
    found = getattr(strip if hasattr(strip, attribute) else strip.readings[0], attribute)
    assert found == pytest.approx(expected, rel=1e-12)


def test_all_columns(written):
    (strip,) = read_swatch(
        written(
            "strip,test,warmth,width [mm],thickness [mm],gauge [mm],clamp [g],strip weight [g],"
            "load [kg],length [mm],width now [mm],time [min],tore,note\n"
            'P,Squeeze,WARM,40,41,40,800,6,12,37,40.5,1,yes,"stack, glued"\n'
        )
    )
    assert (strip.test, strip.warmth, strip.tore) == ("squeeze", "warm", True)
    # exact by hand: 0.8 kg and 0.006 kg
    assert (strip.hangs, strip.own) == (pytest.approx(7.84532), pytest.approx(0.0588399))
    assert strip.readings[0].width_now == 40.5
    # exact by hand: (12 + 0.8 + 0.003) kg over 40 x 41 mm
    assert strip.stress(strip.readings[0]) == pytest.approx(-12.803 * 9.80665 / 1640)


def test_the_demo_record_is_marked_invented_and_gives_a_law():
    text = demo_swatch().read_text(encoding="utf-8")
    assert "invented" in text.splitlines()[0]
    strips = read_swatch(demo_swatch())
    found = fit_swatch(strips)
    # exact: the law the invented readings were made from, in the middle of their intervals
    truth = HyperFoam([0.42, 0.10], [9.0, -3.0], [0.10, 0.20])
    assert found.modulus.low < truth.modulus < found.modulus.high
    ratio = float(-truth.stress(1.1) / truth.stress(0.9))
    assert found.secant_ratio.low < ratio < found.secant_ratio.high
    assert found.forgets.overnight
    assert found.forgets.low < 1 - 1 / 1.26 < found.forgets.high  # exact: it crept by 26 %
    assert not found.pull_limit.open_end
    assert 1.1 < found.pull_limit.stretch < 1.25
    assert {s.warmth for s in strips} == {"cold", "warm"}
    assert "W1" not in {p.strip for p in found.points}


# The record to fill in --------------------------------------------------------------------------


@pytest.mark.parametrize(("load", "length"), [("kg", "mm"), ("g", "cm"), ("N", "in")])
def test_the_blank_record_has_units_and_can_be_filled_in(written, load, length):
    raw = blank_swatch(load_unit=load, length_unit=length)
    rows = list(csv.DictReader(io.StringIO(raw.decode("utf-8-sig"))))
    assert f"load [{load}]" in rows[0]
    assert f"width now [{length}]" in rows[0]
    with pytest.raises(SwatchFault, match="no row with a length: nothing was read yet"):
        read_swatch(written(raw))
    mm = {"mm": 1, "cm": 10, "in": 25.4}[length]
    newtons = {"kg": 9.80665, "g": 9.80665e-3, "N": 1}[load]
    rows[0] |= {f"{n} [{length}]": v / mm for n, v in (("width", 60), ("thickness", 5))}
    rows[0] |= {f"{n} [{length}]": v / mm for n, v in (("gauge", 150), ("length", 165))}
    rows[0][f"load [{load}]"] = 40 / newtons
    text = io.StringIO()
    writer = csv.DictWriter(text, rows[0].keys())
    writer.writeheader()
    writer.writerows(rows)
    (strip,) = read_swatch(written(text.getvalue()))
    # exact: what was filled in, in mm and N
    assert strip.width == pytest.approx(60)
    assert strip.stress(strip.readings[0]) == pytest.approx(40 / 300)


def test_the_blank_record_asks_for_fresh_strips_squeezes_and_coming_back():
    rows = list(csv.DictReader(io.StringIO(blank_swatch().decode("utf-8-sig"))))
    loaded = [r for r in rows if r["load [kg]"] == "" and r["test"] == "pull"]
    assert len({r["strip"] for r in loaded}) >= 5
    assert sum(r["test"] == "squeeze" for r in rows) >= 3
    assert {r["time [min]"] for r in rows if r["load [kg]"] == "0"} == {"1", "60", "1440"}
    with pytest.raises(ValueError, match="unit must be one of N, g, kg, got 'lb'"):
        blank_swatch(load_unit="lb")


def test_the_instructions_say_why_and_where_it_hurts():
    text = " ".join(swatch_instructions())
    # exact by hand: 0.5/(20 ln 1.1) and 0.5/(60 ln 1.1)
    assert "uncertain by 0.26 at 10 % stretch, on 60 mm by 0.09" in text
    for words in ("60 mm wide", "same minute", "fresh strip for each load", "half of it pulls"):
        assert words in text
    for caution in ("Mind the knife", "keep feet", "fingers", "well aired"):
        assert caution in text


def test_the_fifteen_minute_test_comes_first():
    """Common practice: four strips, one bag, a ruler, before all that takes longer."""
    steps = swatch_instructions()
    assert "Fifteen minutes, four strips, one bag and a ruler" in steps[0]
    more = [step.startswith("More, for ") for step in steps]
    assert more == [*sorted(more[:-1]), False] and sum(more) == 5
    rows = list(csv.DictReader(io.StringIO(blank_swatch().decode("utf-8-sig"))))
    assert [row["strip"] for row in rows[:4]] == ["A", "B", "C", "D"]
    assert not any(word in " ".join(steps[:5]) for word in ("caliper", "block", "an hour"))


def test_a_file_full_of_decimal_commas_gets_one_error(faults):
    text = GOOD.replace(",", ";").replace("4.9", "4,9").replace("157.5", "157,5")
    (fault,) = faults(text)
    assert fault.startswith("swatch.csv, line 4: '4,9' has a decimal comma")
    assert "so has one more cell; replace every comma in a number by a point" in fault


def test_a_thickness_in_cm_is_told_at_its_cell(faults):
    found = faults(GOOD.replace("60,5,150", "60,0.5,150").replace("60,4.9", "60,0.49"))
    assert [line.split(":")[0] for line in found] == [
        "swatch.csv, line 2, column thickness",
        "swatch.csv, line 4, column thickness",
    ]


def test_the_result_is_in_plain_words_and_the_numbers_on_demand():
    found = fit_swatch(read_swatch(demo_swatch()))
    plain, full = ("\n".join(swatch_lines(found, full=x)) for x in (False, True))
    # exact by hand: strip C came back from 181 of 150 mm, 20.7 %; strip K from 35.5 of 40
    assert "May be pulled 21%: 150 mm \N{RIGHTWARDS ARROW} 181 mm (measured: strip C" in plain
    assert "May be squeezed 11%: 40 mm \N{RIGHTWARDS ARROW} 36 mm" in plain
    assert "nine times in ten, if alike along the sheet and through it" in plain
    for word in ("alpha", "Poisson"):
        assert word not in plain and word in full
    assert "alpha" not in " ".join(swatch_said(found))


def test_loads_for_a_strip():
    law = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
    # exact by hand: 0.26356 MPa on 25 x 5 mm, and 0.35853 squeezed, over 9.80665 N/kg
    found = loads_for(law, width=25, thickness=5, stretches=[1.2, 0.8])
    assert found == pytest.approx((3.3594, 4.5700), rel=1e-4)


# Faults -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("load [kg]", "load", "column load: has no unit; write load [N] (one of N, g, kg)"),
        ("load [kg]", "load [lb]", "line 1, column load: the unit 'lb' is not known here"),
        ("load [kg]", "load [KG]", "column load: the unit 'KG' is not known here; write kg"),
        ("time [min]", "time [minutes]", "column time: the unit 'minutes' is not known here"),
        ("gauge [mm]", "gauge", "line 1, column gauge: has no unit; write gauge [mm]"),
        ("strip,", "strip [mm],", "line 1, column strip: has a unit, 'mm', but is a word"),
        ("gauge [mm]", "guage [mm]", "is no column of a swatch record; did you mean gauge?"),
        ("length [mm]", "width [mm]", "line 1, column width: stands 2 times; keep one"),
        (",time [min]", "", "line 1: time missing; write strip,width [mm]"),
        (f"{HEAD}\n", "", "line 1: there is no head; write strip,width [mm]"),
        ("A,60,5,150,4,165,1", "A,60,5,150,4,165,", "column time: is empty; write the time"),
        ("A,60,5,150,4,165,1", "A,60,5,150,,165,1", "column load: is empty; write what hung"),
        ("A,60,5,150,4", "A,,5,150,4", "line 2, column width: is empty; measure strip 'A'"),
        ("A,60,5,150,4", "A,60,0,150,4", "line 2, column thickness: '0' must be above 0"),
        ("A,60,5,150,4", ",60,5,150,4", "line 2, column strip: is empty; give every strip a name"),
        ("A,60,5,150,4,165", "A,60,5,150,4 kg,165", "column load: '4 kg' is not a finite number"),
        ("A,60,5,150,4,165", "A,60,5,150,nan,165", "column load: 'nan' is not a finite number"),
        ("A,60,5,150,4,165", "A,60,5,150,1e999,165", "column load: '1e999' is not a finite number"),
        ("A,60,5,150,4,165", "A,60,5,150,-4,165", "column load: '-4' is below 0; write how"),
        ("A,60,5,150,4,165", 'A,60,"4,9",150,4,165', "'4,9' has a decimal comma; write 4.9"),
        ("A,,,,0,151,60", "A,61,,,0,151,60", "column width: '61' is not the '60' of line 2"),
        ("165,1\n", "165,1,9\n", "line 2: has more cells than heads, '9' is over"),
        ("165,1\n", "0,1\n", "line 2, column length: '0' must be above 0"),
        ("A,60,5,150,4,165", "A,60,5,150,4,140", "column length: 140 mm of strip 'A': 140 mm is"),
        ("4,165,1", "4000,165,1", "column load: 4000 kg of strip 'A': 3.923e+04 N on"),
        ("4,165,1", "4000,165,1", "about 1000 times off, g typed where kg is meant?"),
        ("A,,,,0,151,60", "A,,,,0,170,60", "column length: 170 mm of strip 'A': 170 mm after"),
    ],
)  # fmt: skip
def test_faults_have_file_line_column_value_and_remedy(faults, old, new, expected):
    assert old in GOOD
    (fault,) = faults(GOOD.replace(old, new, 1))
    assert fault.startswith("swatch.csv, line ")
    assert expected in fault


def test_all_faults_of_content_are_told_together_in_the_order_of_the_lines(faults):
    text = GOOD.replace("B,60,4.9", "B,60,thin").replace("4,165", "4,long").replace(",60\n", ",?\n")
    found = faults(text)
    assert [line.split(",")[1] for line in found] == [" line 2", " line 3", " line 4"]


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("pul", "did you mean pull?"),
        ("bend", "'bend' is not known; write pull or squeeze"),
    ],
)
def test_words_are_few(faults, cell, expected):
    (fault,) = faults(f"test,{HEAD}\n{cell},A,60,5,150,4,165,1\n")
    assert "line 2, column test" in fault
    assert expected in fault


def test_one_strip_is_either_cold_or_warm(faults):
    (fault,) = faults(f"warmth,{HEAD}\ncold,A,60,5,150,4,165,1\nwarm,A,,,,0,151,60\n")
    assert "line 3, column warmth: 'warm' is not the cold of the rows above" in fault
    assert "never mixed" in fault


def test_a_torn_strip_wants_its_last_length(faults):
    (fault,) = faults(f"tore,{HEAD}\n,A,60,5,150,4,165,1\nyes,A,,,,8,,1\n")
    assert "line 3, column length: is empty; write the last length you saw" in fault


def test_one_strip_in_another_unit_is_found_among_the_others(faults):
    rows = "".join(f"{n},60,5,150,{kg},{mm},1\n" for n, kg, mm in (("B", 2, 157), ("C", 6, 172)))
    (fault,) = faults(f"{HEAD}\n{rows}D,60,5,150,39,165,1\n")
    assert "line 4, column load: 39 kg: looks" in fault
    assert "check the unit of its load (N, g or kg)" in fault


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"", "is empty: write strip,width [mm]"),
        (b"# nothing\n", "is empty: write strip,width [mm]"),
        ("strip\n".encode("utf-16"), "is saved as UTF-16"),
        (b"PK\x03\x04rest", "is no text file"),
        (b"strip,\x00\n", "is no text file"),
        (GOOD.encode() + b"C\xff", "line 5: a letter there is not UTF-8"),
        (b"x" * 1_000_001, "is over 1 MB"),
        (GOOD.encode() + b'"C,60\n', "line 5: cannot be read from there on"),
        (
            (HEAD + "\n" + "A,60,5,150,4,165,1\n" * 501).encode(),
            "has 501 filled rows, at most 500",
        ),
    ],
)
def test_files_that_are_no_record(faults, content, expected):
    (fault,) = faults(content)
    assert fault.startswith("swatch.csv")
    assert expected in fault


def test_a_record_that_is_not_there(tmp_path):
    with pytest.raises(SwatchFault, match=r"none.csv cannot be read \(No such file"):
        read_swatch(tmp_path / "none.csv")
    with pytest.raises(SwatchFault, match="is a folder: name the record in it"):
        read_swatch(tmp_path)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.sampled_from(list(',\n;#"[]-+.e0123456789abtkgmw \u2212\u00b1=')), max_size=60),
    st.integers(0, len(GOOD)),
    st.integers(0, 12),
)
def test_whatever_is_written_ends_in_strips_or_in_faults_with_the_name(noise, at, cut):
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "swatch.csv"
        file.write_text(GOOD[:at] + "".join(noise) + GOOD[at + cut :], encoding="utf-8")
        try:
            strips = read_swatch(file)
        except SwatchFault as told:
            assert all(line.startswith("swatch.csv") for line in told.faults)
        else:
            assert all(s.width > 0 and s.readings for s in strips)


def test_faults_without_end_are_cut_short(faults):
    found = faults(HEAD + "\n" + "".join(f"{i},60,5,150,x,165,1\n" for i in range(200)))
    assert len(found) == 101
    assert found[-1].endswith("more faults may follow; put these right first")
