"""``python -m foamcalc plan`` and ``swatch``: what is printed, what is written, the exit codes."""

import shlex
import subprocess
import sys

import pytest

from foamcalc.__main__ import main
from foamcalc.ask.sheet import demo_sheet_path
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


def test_a_name_is_checked_before_anything_is_worked_out(knee, capsys, monkeypatch):
    monkeypatch.setattr("foamcalc.ask.plan.plan", lambda *_, **__: pytest.fail("worked already"))
    assert main(["plan", str(knee), "--piece", "knee"]) == USAGE
    caught = capsys.readouterr()
    assert "piece must be one of" in caught.err and caught.out == ""


def test_a_record_beside_the_sheet_is_compared(knee, capsys):
    (knee.parent / "knee_try_on.csv").write_text(
        "piece,what,happened\nknee cup cover,length,198 mm\n"
    )
    assert main(["plan", str(knee)]) == DONE
    out = capsys.readouterr().out
    assert "Tried on" in out and "198.0 mm" in out
    (knee.parent / "knee_try_on.csv").write_text("piece,what,happened\nknee,length,198 mm\n")
    assert main(["plan", str(knee)]) == AT_FAULT
    caught = capsys.readouterr()
    assert "knee cup cover: 23 mm short" in caught.out and "knee_try_on.csv" in caught.err
    # what was worked out is not denied: the plan stands above
    assert caught.err.splitlines()[-1] == "1 fault; what stands above does without the record"
    assert "line 2" in caught.err and "nothing was worked out" not in caught.err
    bench = knee.parent / "bench"
    assert main(["plan", str(knee), "--out", str(bench)]) == AT_FAULT
    assert capsys.readouterr().err.endswith("the record, and no file was written\n")
    assert not bench.exists()


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
    given = {"turtle.toml", "back_contour.csv", "knee_cup.svg", "swatch.csv", "turtle_seams.csv"}
    given |= {"turtle_trims.csv"}
    assert given <= {p.name for p in out.iterdir()}
    assert main(["plan", str(out / "turtle.toml")]) == DONE
    again = capsys.readouterr().out
    assert first.splitlines()[2:30] == again.splitlines()[:28]


def test_the_record_is_written_as_a_table_and_on_paper(tmp_path, capsys):
    assert main(["swatch", "--out", str(tmp_path)]) == DONE
    out = capsys.readouterr().out
    names = ["swatch.csv", "swatch_A4.pdf", "swatch_Letter.pdf"]
    assert sorted(p.name for p in tmp_path.iterdir()) == names
    for name in names:
        assert f"{tmp_path / name}\n" in out
    assert "Print the PDF at 100 %" in out and "into\nthe CSV, line by line" in out
    head = (tmp_path / "swatch.csv").read_text(encoding="utf-8-sig").splitlines()[0]
    assert "load [kg]" in head and "width now [mm]" in head
    for name in names[1:]:
        assert (tmp_path / name).read_bytes().startswith(b"%PDF")
    first = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    assert main(["swatch", "--out", str(tmp_path), "--overwrite"]) == DONE
    # the same record gives the same bytes
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == first


@pytest.mark.parametrize("there", ["swatch.csv", "swatch_A4.pdf"])
def test_the_record_is_written_whole_or_not_at_all(tmp_path, capsys, there):
    (tmp_path / there).write_bytes(b"mine")
    assert main(["swatch", "--out", str(tmp_path), "--paper", "A4"]) == USAGE
    caught = capsys.readouterr()
    assert f"already has {there}" in caught.err and "nothing was written" in caught.err
    assert "Print the PDF" not in caught.out
    assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [(there, b"mine")]


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (["--grade", "EVA medum"], "EVA medum"),
        (["--units", "cm"], "--units must be 'mm' or 'in', got 'cm'"),
        (["--demo"], "--out is for a record to fill in; leave out RECORD.csv and --demo"),
        (["mine.csv"], "--out is for a record to fill in; leave out RECORD.csv and --demo"),
    ],
)
def test_a_swatch_order_that_cannot_be_meant_writes_nothing(tmp_path, capsys, more, message):
    assert main(["swatch", "--out", str(tmp_path / "bench"), *more]) == USAGE
    assert message in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_a_record_too_short_for_a_law_ends_with_1(tmp_path, capsys):
    head = "strip,width [mm],thickness [mm],gauge [mm],load [kg],length [mm],time [min]"
    short = tmp_path / "mine.csv"
    short.write_text(f"{head}\nA,60,5,150,0,151,1\n")
    assert main(["swatch", str(short)]) == AT_FAULT
    caught = capsys.readouterr()
    assert caught.err.strip() and caught.out == ""


# What a maker writes in is never lost; what is printed is harmless -------------------------------


@pytest.mark.parametrize("name", ["turtle.toml", "turtle_try_on.csv", "back_contour.csv"])
def test_the_demo_build_never_replaces_what_a_maker_edited(tmp_path, capsys, name):
    order = ["plan", "--out", str(tmp_path), "--overwrite", "--paper", "A4"]
    assert main(order) == DONE
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    (tmp_path / name).write_bytes(before[name] + b"\n# mine\n")
    assert main(order) == USAGE
    assert name in capsys.readouterr().err
    # exact: every other file as it was
    now = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    assert now == before | {name: before[name] + b"\n# mine\n"}


def test_a_filled_swatch_record_is_replaced_by_no_option(tmp_path, capsys):
    (tmp_path / "swatch.csv").write_text("strip,load\nA,2\n")
    assert main(["swatch", "--out", str(tmp_path), "--overwrite"]) == USAGE
    assert "no option replaces" in capsys.readouterr().err
    assert [p.read_text() for p in tmp_path.iterdir()] == ["strip,load\nA,2\n"]


def test_a_filled_try_on_record_is_replaced_by_no_option(knee, capsys):
    order = ["plan", str(knee), "--out", str(knee.parent), "--overwrite", "--paper", "A4"]
    assert main(order) == DONE
    blank = knee.parent / "knee_try_on_blank.csv"
    filled = blank.read_bytes().replace(b",,\r\n", b",268 mm,\r\n", 1)
    blank.write_bytes(filled)
    assert main(order) == USAGE
    assert "knee_try_on_blank.csv" in capsys.readouterr().err
    assert blank.read_bytes() == filled


def test_a_contour_with_the_name_of_a_table_is_kept(tmp_path, capsys):
    sheet = demo_sheet_path()
    for file in sheet.parent.glob("*.[cst]*"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    (tmp_path / "back_contour.csv").rename(tmp_path / "turtle_joints.csv")
    text = sheet.read_text().replace("back_contour.csv", "turtle_joints.csv")
    (tmp_path / "turtle.toml").write_text(text)
    before = (tmp_path / "turtle_joints.csv").read_bytes()
    order = ["plan", str(tmp_path / "turtle.toml"), "--out", str(tmp_path), "--overwrite"]
    assert main([*order, "--paper", "A4"]) == USAGE
    assert "turtle_joints.csv" in capsys.readouterr().err
    assert (tmp_path / "turtle_joints.csv").read_bytes() == before


def test_a_file_named_with_out_is_refused_before_the_work(knee, capsys):
    assert main(["plan", "no such sheet.toml", "--out", str(knee)]) == USAGE
    assert "is a file, not a folder" in capsys.readouterr().err


def begun(words: list[str], target: str) -> tuple[int, str]:
    """The exit code and error stream of a command that writes into a pipe or device."""
    order = shlex.join([sys.executable, "-m", "foamcalc", *words])
    bash = ["bash", "-c", f"{order} {target}; exit ${{PIPESTATUS[0]}}"]
    done = subprocess.run(bash, capture_output=True, text=True, check=False)
    return done.returncode, done.stderr


@pytest.mark.parametrize("words", [[], ["overlay", "173", "188"]])
def test_a_closed_pipe_and_a_full_device_end_without_a_traceback(words):
    assert begun(words, "| true") == (DONE, "")
    assert begun(words, "> /dev/full") == (1, "foamcalc: No space left on device\n")


def test_files_are_written_though_nobody_reads_the_answer(knee, tmp_path):
    out = tmp_path / "bench"
    code, err = begun(["plan", str(knee), "--out", str(out), "--paper", "A4"], "| true")
    assert (code, err) == (DONE, "")
    assert len(list(out.iterdir())) == 3


def test_signs_that_steer_a_terminal_are_shown(capsys):
    """Exact: what Python writes for the sign in its code."""
    assert main(["plan", "a\x1b[31m\x9b\x7f\u202e.toml"]) == AT_FAULT
    assert r"a\x1b[31m\x9b\x7f\u202e.toml is not there" in capsys.readouterr().err
    main(["plan", "a" * 5000])
    assert len(capsys.readouterr().err) < 600


@pytest.mark.parametrize("fault", [MemoryError(), TypeError("x"), OverflowError(34, "Numerical")])
def test_no_fault_ends_in_a_traceback(monkeypatch, capsys, fault):
    def fails(*_, **__):
        raise fault

    monkeypatch.setattr("foamcalc.ask.bench.answer", fails)
    assert main(["overlay", "173", "188"]) == USAGE
    err = capsys.readouterr().err
    assert err.startswith("foamcalc overlay: ") and "34" not in err
