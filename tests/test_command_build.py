"""``python -m foamcalc plan`` and ``swatch``: what is printed, what is written, the exit codes."""

import pytest

from foamcalc.__main__ import main
from foamcalc.commands.options import AT_FAULT, DONE, USAGE

KNEE = """
[[overlay]]
name = "knee cup cover"
cut = 173
needed = 188
base = 10
thickness = 5
turn = "180 deg"
"""


@pytest.fixture
def knee(tmp_path):
    file = tmp_path / "knee.toml"
    file.write_text(KNEE, encoding="utf-8")
    return file


def test_a_sheet_is_planned_and_nothing_is_written(knee, capsys):
    assert main(["plan", str(knee)]) == DONE == 0
    out = capsys.readouterr().out
    # exact by hand: 188 + pi x 2.5 - 173
    assert "knee cup cover: 23 mm short" in out
    assert "knee_try_on.csv" in out
    assert [p.name for p in knee.parent.iterdir()] == ["knee.toml"]


def test_the_files_of_a_plan_are_written_once(knee, tmp_path, capsys):
    out = tmp_path / "bench"
    order = ["plan", str(knee), "--out", str(out), "--paper", "A4"]
    assert main(order) == DONE
    names = {p.name for p in out.iterdir()}
    assert names == {"knee_joints.csv", "knee_try_on_blank.csv", "knee_card_A4.pdf"}
    before = {p.name: p.read_bytes() for p in out.iterdir()}
    capsys.readouterr()
    assert main(order) == USAGE == 2
    assert "already has" in capsys.readouterr().err
    assert main([*order, "--overwrite"]) == DONE
    # the same sheet gives the same bytes
    assert {p.name: p.read_bytes() for p in out.iterdir()} == before


def test_a_sheet_at_fault_ends_with_1_and_all_its_faults(knee, capsys):
    knee.write_text(KNEE.replace("base = 10", "base = -10").replace("name =", "nme ="))
    assert main(["plan", str(knee)]) == AT_FAULT == 1
    caught = capsys.readouterr()
    assert caught.out == ""
    assert "base: " in caught.err and "nme: is no key here; did you mean name?" in caught.err
    assert "2 faults; nothing was worked out" in caught.err


@pytest.mark.parametrize("text", ["title = “turtle”", "", "not = [closed"])
def test_a_file_that_is_no_sheet_ends_with_1(knee, capsys, text):
    knee.write_text(text, encoding="utf-8")
    assert main(["plan", str(knee)]) == AT_FAULT
    assert "1 fault; nothing was worked out" in capsys.readouterr().err


def test_one_piece_is_shown_in_full_and_a_slip_of_its_name_is_told(knee, capsys):
    assert main(["plan", str(knee), "--piece", "knee cup cover"]) == DONE
    assert "Order of work" in capsys.readouterr().out
    assert main(["plan", str(knee), "--piece", "knee cup cver"]) == USAGE
    assert "did you mean 'knee cup cover'?" in capsys.readouterr().err


def test_a_record_beside_the_sheet_is_compared(knee, capsys):
    (knee.parent / "knee_try_on.csv").write_text(
        "piece,what,happened\nknee cup cover,length,198 mm\n"
    )
    assert main(["plan", str(knee)]) == DONE
    out = capsys.readouterr().out
    assert "Tried on" in out and "198.0 mm" in out
    (knee.parent / "knee_try_on.csv").write_text("piece,what,happened\nknee,length,198 mm\n")
    assert main(["plan", str(knee)]) == AT_FAULT
    assert "knee_try_on.csv, line 2" in capsys.readouterr().err


def test_progress_goes_to_the_error_stream_after_a_while(knee, capsys, monkeypatch):
    monkeypatch.setattr("foamcalc.commands.plan._PATIENCE", -1.0)
    assert main(["plan", str(knee)]) == DONE
    caught = capsys.readouterr()
    assert caught.err.splitlines() == ["0 of 1 worked out; next: knee cup cover"]
    assert "worked out; next" not in caught.out


def test_the_keys_of_a_sheet_are_listed(capsys):
    assert main(["plan", "--keys"]) == DONE
    out = capsys.readouterr().out
    assert "`[foam.NAME]`" in out and "| `swatch` |" in out


def test_the_demo_build_gives_its_sheet_away_and_it_can_be_planned(tmp_path, capsys):
    out = tmp_path / "bench"
    assert main(["plan", "--out", str(out), "--paper", "Letter"]) == DONE
    first = capsys.readouterr().out
    assert "All its numbers are invented" in first
    assert {"turtle.toml", "back_contour.csv", "swatch.csv"} <= {p.name for p in out.iterdir()}
    assert main(["plan", str(out / "turtle.toml")]) == DONE
    again = capsys.readouterr().out
    assert first.splitlines()[2:30] == again.splitlines()[:28]


def test_the_swatch_test_is_explained_and_a_record_written(tmp_path, capsys):
    assert main(["swatch", "--out", str(tmp_path)]) == DONE
    out = capsys.readouterr().out
    assert "feet and fingers" in out  # the caution stands where the bag hangs
    head = (tmp_path / "swatch.csv").read_text(encoding="utf-8-sig").splitlines()[0]
    assert "[kg]" in head and "[mm]" in head
    assert main(["swatch", "--out", str(tmp_path)]) == USAGE


def test_the_demo_swatch_is_read(capsys):
    assert main(["swatch", "--demo"]) == DONE
    out = capsys.readouterr().out
    assert "modulus at rest" in out and "measured" in out
    assert main(["swatch", "--demo", "--warm"]) == DONE
    assert "warm strips" in capsys.readouterr().out


def test_a_record_at_fault_ends_with_1(tmp_path, capsys):
    bad = tmp_path / "mine.csv"
    bad.write_text("strip,test\nA,pull\n")
    assert main(["swatch", str(bad)]) == AT_FAULT
    assert "mine.csv" in capsys.readouterr().err
