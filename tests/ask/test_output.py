"""Files written all or none; tables that no spreadsheet takes for formulas."""

from __future__ import annotations

import csv
import io
import math
import os
import stat
import subprocess
import sys

import numpy as np
import pandas as pd
import pytest

from foamcalc.ask import output
from foamcalc.ask.output import OutputError, csv_bytes, write_files

TWO = {"a.txt": b"one", "b.bin": bytes(range(256))}
"""Exact by hand: what is written is read back byte by byte, and no other file is left."""


def inside(folder) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


FULL = OSError(28, "No space left on device")


def fail_at(monkeypatch, call: int, fault: BaseException = FULL) -> None:
    """Make one of the moves to the final name fail."""
    real, calls = os.replace, []

    def replace(source, target):
        calls.append(target)
        if len(calls) == call:
            raise fault
        real(source, target)

    monkeypatch.setattr(output.os, "replace", replace)


def test_all_files_are_written_in_the_order_given(tmp_path):
    place = tmp_path / "new" / "deep"
    assert write_files(place, TWO) == [place / "a.txt", place / "b.bin"]
    assert inside(place) == TWO


def test_a_folder_may_be_given_as_text(tmp_path):
    write_files(str(tmp_path), TWO)
    assert inside(tmp_path) == TWO


def test_others_may_read_what_the_maker_lets_them_read(tmp_path):
    (written,) = write_files(tmp_path, {"a.txt": b"one"})
    (tmp_path / "plain").write_bytes(b"")
    # independent: the rights that open() gives a new file
    assert stat.S_IMODE(written.stat().st_mode) == stat.S_IMODE((tmp_path / "plain").stat().st_mode)


def test_nothing_is_written_where_one_file_exists(tmp_path):
    (tmp_path / "b.bin").write_bytes(b"mine")
    with pytest.raises(OutputError, match=r"already has b\.bin; nothing was written.*--overwrite"):
        write_files(tmp_path, TWO)
    assert inside(tmp_path) == {"b.bin": b"mine"}


def test_a_link_to_nowhere_counts_as_a_file(tmp_path):
    (tmp_path / "a.txt").symlink_to(tmp_path / "gone")
    with pytest.raises(OutputError, match=r"already has a\.txt"):
        write_files(tmp_path, TWO)
    assert [path.name for path in tmp_path.iterdir()] == ["a.txt"]


def test_files_are_replaced_when_asked_and_others_kept(tmp_path):
    (tmp_path / "b.bin").write_bytes(b"mine")
    (tmp_path / "c").write_bytes(b"other")
    write_files(tmp_path, TWO, overwrite=True)
    assert inside(tmp_path) == {**TWO, "c": b"other"}


@pytest.mark.parametrize("below", [".", "below", "below/further"])
def test_a_file_in_the_place_of_the_folder_is_refused(tmp_path, below):
    (tmp_path / "file").write_bytes(b"mine")
    with pytest.raises(OutputError, match="file, not a folder; name a folder with --out"):
        write_files(tmp_path / "file" / below, TWO)
    assert inside(tmp_path) == {"file": b"mine"}


def test_a_folder_that_cannot_be_made_is_refused_by_name(tmp_path):
    name = "x" * 300
    with pytest.raises(OutputError, match=f"folder .*{name} cannot be made: "):
        write_files(tmp_path / name, TWO)
    assert inside(tmp_path) == {}


def test_an_error_of_output_is_an_error_of_the_system():
    assert issubclass(OutputError, OSError)


def test_a_disk_that_is_full_leaves_nothing(tmp_path):
    resource = pytest.importorskip("resource")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, hard))
    try:
        with pytest.raises(OutputError, match=r"cannot be written: .*; nothing was written"):
            write_files(tmp_path, {"a.txt": b"one", "b.bin": bytes(5000)})
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert inside(tmp_path) == {}


@pytest.mark.parametrize("call", [1, 2])
def test_a_move_that_fails_leaves_nothing(tmp_path, monkeypatch, call):
    fail_at(monkeypatch, call)
    with pytest.raises(OutputError, match="nothing was written"):
        write_files(tmp_path, TWO)
    assert inside(tmp_path) == {}


@pytest.mark.parametrize("call", [1, 2])
@pytest.mark.parametrize("fault", [FULL, KeyboardInterrupt()])
def test_a_move_that_fails_leaves_the_old_files(tmp_path, monkeypatch, call, fault):
    old = {"a.txt": b"old a", "b.bin": b"old b"}
    write_files(tmp_path, old)
    fail_at(monkeypatch, call, fault)
    with pytest.raises(OutputError if isinstance(fault, OSError) else KeyboardInterrupt):
        write_files(tmp_path, TWO, overwrite=True)
    assert inside(tmp_path) == old


def test_a_folder_of_that_name_is_never_replaced(tmp_path):
    (tmp_path / "a.txt").mkdir()
    (tmp_path / "a.txt" / "mine").write_bytes(b"mine")
    with pytest.raises(OutputError, match="nothing was written"):
        write_files(tmp_path, {"a.txt": b"one"}, overwrite=True)
    assert (tmp_path / "a.txt" / "mine").read_bytes() == b"mine"


def test_a_file_that_turns_up_meanwhile_is_kept(tmp_path, monkeypatch):
    real, target = os.path.lexists, tmp_path / "a.txt"

    def lexists(path):
        found = real(path)
        if not found and os.fspath(path) == os.fspath(target):
            target.write_bytes(b"theirs")  # just after the first look
        return found

    monkeypatch.setattr(output.os.path, "lexists", lexists)
    with pytest.raises(OutputError, match="nothing was written"):
        write_files(tmp_path, {"a.txt": b"one"})
    monkeypatch.undo()
    assert inside(tmp_path) == {"a.txt": b"theirs"}


def test_contents_that_are_not_bytes_leave_no_draft(tmp_path):
    with pytest.raises(TypeError):
        write_files(tmp_path, {"a.txt": b"one", "b.txt": "text"})
    assert inside(tmp_path) == {}


KILLED = """
import os, sys
from foamcalc.ask.output import write_files
place, stop, fails = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
real, calls = os.replace, [0]
def replace(source, target):
    calls[0] += 1
    if calls[0] == stop:
        os._exit(9)
    if calls[0] == fails:
        raise OSError(28, "No space left on device")
    real(source, target)
os.replace = replace
write_files(place, {"a": b"new a", "b": b"new b", "c": b"new c"}, overwrite=True)
"""
"""Exact by hand: all files are the new ones, or all the old ones, and no other is left."""


@pytest.mark.parametrize(("stop", "fails"), [(1, 0), (2, 0), (3, 0), (3, 2), (4, 3), (5, 3)])
def test_what_was_begun_is_finished_or_undone_by_the_next_run(tmp_path, capsys, stop, fails):
    old = {"a": b"old a", "b": b"old b", "mine": b"mine"}  # c is new
    for name, data in old.items():
        (tmp_path / name).write_bytes(data)
    order = [sys.executable, "-c", KILLED, str(tmp_path), str(stop), str(fails)]
    assert subprocess.run(order, check=False).returncode == 9
    names = set(inside_files(tmp_path))
    assert names >= set(old)  # no name without its file
    write_files(tmp_path, {"d": b"d"})
    new = {"a": b"new a", "b": b"new b", "c": b"new c", "mine": b"mine"}
    assert inside(tmp_path) == {**(old if fails else new), "d": b"d"}
    said = capsys.readouterr().err
    assert "an earlier run was stopped; its files were" in said
    assert ("put back as they were" if fails else "put in place now") in said


def inside_files(folder) -> list[str]:
    return [path.name for path in folder.iterdir() if path.is_file()]


def test_what_a_maker_wrote_after_the_stop_is_kept(tmp_path):
    (tmp_path / "c").write_bytes(b"old c")
    order = [sys.executable, "-c", KILLED, str(tmp_path), "2", "0"]
    assert subprocess.run(order, check=False).returncode == 9
    (tmp_path / "c").write_bytes(b"filled in since")
    write_files(tmp_path, {"d": b"d"})
    assert (tmp_path / "c").read_bytes() == b"filled in since"
    assert (tmp_path / "b").read_bytes() == b"new b"


def test_a_run_stopped_before_its_set_is_complete_leaves_nothing(tmp_path, capsys):
    (tmp_path / ".foamcalc-draft-x").mkdir()
    (tmp_path / ".foamcalc-draft-x" / "new-a").write_bytes(b"half")
    write_files(tmp_path, {"d": b"d"})
    assert inside(tmp_path) == {"d": b"d"}
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("names", [["a"], ["a", "b"]])
def test_a_file_that_is_replaced_keeps_its_mode(tmp_path, names):
    (tmp_path / "a").write_bytes(b"old")
    (tmp_path / "a").chmod(0o640)
    write_files(tmp_path, dict.fromkeys(names, b"new"), overwrite=True)
    assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == 0o640


BLANK = b"piece,happened,note\r\nback,,\r\n"


@pytest.mark.parametrize(
    ("old", "kept"),
    [
        (BLANK, False),
        (b"piece,happened,note\r\nrim,,\r\nback,,\r\n", False),  # the blank of another plan
        (b"piece,happened,note\r\nback,268 mm,\r\n", True),
        (b"piece,happened,note\r\nback,,tight\r\n", True),
        (b"piece;happened;note\r\nback;268;\r\n", True),
        (b"piece,happened,note,mine\r\nback,,,4\r\n", True),
        (b"", True),
        (b"\xff", True),
    ],
)
def test_what_a_maker_wrote_in_is_replaced_by_no_option(tmp_path, old, kept):
    (tmp_path / "r.csv").write_bytes(old)
    (tmp_path / "a").write_bytes(b"old")
    contents = {"a": b"new", "r.csv": BLANK}
    if kept:
        with pytest.raises(OutputError, match=r"r\.csv, which you may have written in"):
            write_files(tmp_path, contents, overwrite=True, yours=["r.csv"])
    else:
        write_files(tmp_path, contents, overwrite=True, yours=["r.csv"])
    assert inside(tmp_path) == ({"a": b"old", "r.csv": old} if kept else contents)


def test_a_file_from_which_others_are_made_is_never_one_of_them(tmp_path):
    (tmp_path / "back.csv").write_bytes(b"measured")
    with pytest.raises(OutputError, match="you may have written in"):
        write_files(tmp_path, {"back.csv": b"x"}, overwrite=True, yours=[tmp_path / "back.csv"])
    assert inside(tmp_path) == {"back.csv": b"measured"}


# Tables for spreadsheets ------------------------------------------------------------------------


def read_back(data: bytes) -> list[list[str]]:
    """Independent: the table as the csv module of Python reads it, the mark left out."""
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))


def one_cell(value: object) -> str:
    """What is read back from a cell."""
    ((_, cell),) = read_back(csv_bytes(["n", "cell"], [[1, value]]))[1:]
    return cell


def test_the_bytes_of_a_table():
    """Exact by hand: mark EF BB BF, commas, CR LF, ± and ° as UTF-8 (C2 B1 and C2 B0)."""
    assert csv_bytes(["piece", "cut [mm]"], [["scute ± 1°", 173.5]]) == (
        b"\xef\xbb\xbfpiece,cut [mm]\r\nscute \xc2\xb1 1\xc2\xb0,173.5\r\n"
    )
    assert csv_bytes(["piece"], []) == b"\xef\xbb\xbfpiece\r\n"


def test_texts_come_back_as_they_were():
    """Exact by hand: what is no formula is not changed by a sign, quotes and breaks included."""
    texts = [
        'a "quoted" one',
        "a, b",
        "two\nlines",
        "a;b",
        "",
        " spaced ",
        "5 - 3",
        "knee-cup",
        "é",
    ]
    assert read_back(csv_bytes(texts, [texts])) == [texts, texts]


@pytest.mark.parametrize(
    "start",
    [
        "=",
        "+",
        "-",
        "@",
        "\uff1d",
        "\uff0b",
        "\uff0d",
        "\uff20",
        "\ufe62",
        "−",
        " =",
        "\u00a0=",
        "\u200b=",
        "\ufeff@",
    ],
)
def test_a_text_that_would_be_a_formula_is_made_harmless(start):
    """Exact by hand: an apostrophe before it, and nothing else."""
    assert one_cell(f"{start}1+1") == f"'{start}1+1"
    head = read_back(csv_bytes([f"{start}1+1"], []))
    assert head == [[f"'{start}1+1"]]


@pytest.mark.parametrize("text", ["\t1", "\r1", "\n1", "-5 mm", "=", "- a list", '"=1'])
def test_other_beginnings_that_are_made_harmless(text):
    assert one_cell(text) == f"'{text}"


@pytest.mark.parametrize(
    ("text", "written"),
    [("a;=1", "a;'=1"), ("a\t@b", "a\t'@b"), ("a\n -1", "a\n' -1"), ('a;"=1"', 'a;\'"=1"')],
)
def test_a_formula_after_a_sign_that_divides_cells_is_made_harmless(text, written):
    """Exact by hand: where a semicolon divides cells, the part behind it is a cell of its own."""
    assert one_cell(text) == written


@pytest.mark.parametrize(
    ("number", "written"),
    [(-5.0, "-5.0"), (-5, "-5"), (0.1, "0.1"), (1e-7, "1e-07"), (np.float64(2) / 3, repr(2 / 3))],
)
def test_numbers_stay_numbers(number, written):
    """Exact by hand: no apostrophe, no quotes, every digit that tells a float from the next."""
    line = csv_bytes(["n"], [[number]]).splitlines()[1]
    assert line == written.encode()
    assert float(line) == number


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (None, ""),
        (math.nan, ""),
        (np.float64("nan"), ""),
        (math.inf, "infinite"),
        (-math.inf, "minus infinite"),
        (True, "yes"),
        (np.bool_(False), "no"),
        (np.int64(7), "7"),
        (np.str_("=1"), "'=1"),
    ],
)
def test_what_is_no_plain_number_or_text(value, written):
    assert one_cell(value) == written


def test_cells_that_cannot_be_written_are_named():
    with pytest.raises(TypeError, match=r"row 2, 'cut \[mm\]': a cell must be a number.*1j"):
        csv_bytes(["cut [mm]"], [[1], [1j]])
    for text in ("\ud800", "a\0b"):
        with pytest.raises(ValueError, match=r"row 1, 'piece': the text .* no file"):
            csv_bytes(["piece"], [[text]])
    for row in ([], [1, 2], "a"):
        with pytest.raises(ValueError, match="row 1 must have 1 cells"):
            csv_bytes(["piece"], [row])


def test_pandas_reads_the_numbers():
    """Independent: pandas tells numbers from texts by itself."""
    data = csv_bytes(["piece", "gap [mm]"], [["a", -1.5], ["b", None], ["c", 2.0]])
    frame = pd.read_csv(io.BytesIO(data))
    assert list(frame.columns) == ["piece", "gap [mm]"]
    np.testing.assert_array_equal(frame["gap [mm]"], [-1.5, np.nan, 2.0])
