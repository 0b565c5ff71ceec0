"""``python -m foamcalc cutlist``: what is printed, what is written, the exit codes."""

import pytest

from foamcalc.__main__ import main
from foamcalc.commands.options import AT_FAULT, DONE, USAGE

FLIPPER = """
title = "Flippers"

[[piece]]
name = "flipper"
foam = "EVA medium"
thickness = 5
length = 410
width = 170
count = 4
"""
STOCK = """
[[stock]]
foam = "EVA medium"
thickness = 5
length = 1000
width = 500
price = 12

[cutting]
currency = "tokens"
"""


@pytest.fixture
def sheet(tmp_path):
    file = tmp_path / "flip.toml"
    file.write_text(FLIPPER + STOCK, encoding="utf-8")
    return file


def test_the_answer_comes_first_and_nothing_is_written(sheet, capsys):
    assert main(["cutlist", str(sheet)]) == DONE == 0
    out = capsys.readouterr().out
    # exact by hand: 4 x 410 x 170 of 1000 x 500
    assert out.startswith("1 sheet of EVA medium 5 mm, 1000 × 500 mm; 44% waste")
    assert "no list needs fewer than 1; 12.00 tokens." in " ".join(out.split())
    assert "Close or cap the knife" in " ".join(out.split())
    assert "--out FOLDER" in out
    assert [p.name for p in sheet.parent.iterdir()] == ["flip.toml"]


def test_the_files_are_written_once_and_are_the_same_again(sheet, tmp_path, capsys):
    out = tmp_path / "bench"
    order = ["cutlist", str(sheet), "--out", str(out)]
    assert main(order) == DONE
    before = {p.name: p.read_bytes() for p in out.iterdir()}
    assert set(before) == {
        "flip_pieces.csv",
        "flip_cutlist.csv",
        "flip_sheets.csv",
        "flip_cutlist_A4.pdf",
        "flip_cutlist_Letter.pdf",
    }
    told = capsys.readouterr().out
    assert all(str(out / name) in told for name in before)
    assert main(order) == USAGE == 2
    assert "already has" in capsys.readouterr().err
    assert main([*order, "--overwrite"]) == DONE
    assert {p.name: p.read_bytes() for p in out.iterdir()} == before


def test_one_paper_is_enough(sheet, tmp_path):
    assert main(["cutlist", str(sheet), "--out", str(tmp_path), "--paper", "A4"]) == DONE
    assert {p.name for p in tmp_path.glob("*.pdf")} == {"flip_cutlist_A4.pdf"}


def test_without_stock_it_tells_what_is_needed_and_draws_nothing(sheet, tmp_path, capsys):
    sheet.write_text(FLIPPER, encoding="utf-8")
    assert main(["cutlist", str(sheet), "--out", str(tmp_path / "bench")]) == DONE
    out = capsys.readouterr().out
    assert out.startswith("4 pieces to cut, 0.28 m²")  # exact by hand: 4 x 0.41 x 0.17
    assert [p.name for p in (tmp_path / "bench").iterdir()] == ["flip_pieces.csv"]


def test_nothing_to_cut_writes_nothing(sheet, tmp_path, capsys):
    sheet.write_text(
        "[curve.shin]\nmeasured_on = 'outside'\ngirth = 300\n"
        "[shell.shin]\ncurve = 'shin'\nthickness = 5\nwidth = 200\nalready_cut = true\n",
        encoding="utf-8",
    )
    assert main(["cutlist", str(sheet), "--out", str(tmp_path / "bench")]) == DONE
    assert capsys.readouterr().out.startswith("Nothing is to be cut")
    assert not (tmp_path / "bench").exists()


def test_a_sheet_at_fault_ends_with_1_and_all_its_faults(sheet, tmp_path, capsys):
    sheet.write_text(FLIPPER.replace("170", "-1") + STOCK.replace("1000", "0"), encoding="utf-8")
    assert main(["cutlist", str(sheet), "--out", str(tmp_path / "bench")]) == AT_FAULT == 1
    caught = capsys.readouterr()
    assert caught.out == "" and "2 faults; nothing was cut" in caught.err
    assert '[[piece]] "flipper" width: ' in caught.err and "[[stock]] number 1 length" in caught.err
    assert not (tmp_path / "bench").exists()


def test_a_piece_that_fits_no_sheet_ends_with_1(sheet, capsys):
    sheet.write_text(FLIPPER.replace("410", "1400") + STOCK, encoding="utf-8")
    assert main(["cutlist", str(sheet)]) == AT_FAULT
    caught = capsys.readouterr()
    assert caught.out == ""
    assert caught.err.startswith("flip.toml, cut list, panel 'flipper': 1400 × 170 mm fits no")
    assert caught.err.endswith("1 fault; nothing was cut\n")


@pytest.mark.parametrize("seconds", ["0", "-1", "nan", "9999"])
def test_a_time_that_is_none_is_refused(sheet, capsys, seconds):
    assert main(["cutlist", str(sheet), "--seconds", seconds]) == USAGE
    assert "seconds" in capsys.readouterr().err


def test_the_time_of_the_order_goes_before_that_of_the_sheet(sheet, monkeypatch):
    from foamcalc.ask.cutting import build

    given = []
    real = build.cut_list
    monkeypatch.setattr(
        build, "cut_list", lambda *a, seconds, **k: given.append(seconds) or real(*a, **k)
    )
    sheet.write_text(FLIPPER + STOCK + "seconds = 60\n", encoding="utf-8")
    main(["cutlist", str(sheet)])
    main(["cutlist", str(sheet), "--seconds", "300"])
    assert 50 < given[0] <= 60 < 280 < given[1] <= 300


def test_progress_goes_to_the_error_stream_after_a_while(sheet, capsys, monkeypatch):
    monkeypatch.setattr("foamcalc.commands.plan._PATIENCE", -1.0)
    assert main(["cutlist", str(sheet)]) == DONE
    caught = capsys.readouterr()
    assert "0 of 1 worked out; next: EVA medium 5 mm: plain rules" in caught.err
    assert "worked out" not in caught.out


def test_the_plan_says_where_the_sheets_are_counted(sheet, capsys):
    assert main(["plan", str(sheet)]) == DONE
    assert f"python -m foamcalc cutlist {sheet}" in capsys.readouterr().out


def test_the_demo_build_is_cut(capsys):
    assert main(["cutlist"]) == DONE
    out = " ".join(capsys.readouterr().out.split())
    assert "numbers and prices are invented" in out
    # exact by hand: 37.50 = 2 x 12 + 7.50 + 6
    assert "4 sheets, of 3 foams" in out and "37.50 tokens" in out
