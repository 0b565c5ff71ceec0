"""The program at the bench: what is printed where, and the exit codes.

Expected texts are exact by hand unless a comment says more: they are what a maker shall read.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from foamcalc.__main__ import main
from foamcalc.ask.bench import answer
from foamcalc.commands.demo import demo_question

JOINT = ["overlay", "173", "188", "--base", "10", "--overlay", "5", "--turn", "180 deg"]


def run(capsys, *words: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of one command."""
    try:
        code = main(list(words))
    except SystemExit as end:
        code = int(end.code or 0)
    shown = capsys.readouterr()
    return code, shown.out, shown.err


# One joint ------------------------------------------------------------------------------------


def test_one_joint_is_answered(capsys):
    code, out, err = run(capsys, *JOINT)
    # exact by hand: 188 + 2.5 pi - 173 = 22.85 mm of 173
    assert (code, err) == (0, "")
    assert out.startswith("23 mm short (13.2% of its length):")
    assert "cut                                           173 mm" in out


def test_two_readings_are_enough(capsys):
    code, out, err = run(capsys, "overlay", "173", "188")
    assert (code, err) == (0, "")
    assert " mm short (" in out
    assert "better: add --turn, --mouth, --inside or" in out


def test_needed_shorter_than_cut_says_it_is_long(capsys):
    code, out, _ = run(capsys, *JOINT[:1], "200", *JOINT[2:])
    assert code == 0
    # exact by hand: 200 - 195.85
    assert out.startswith("4 mm too long, not short: trim it to 195 mm long (1 mm under what it")


def test_inches_are_answered_in_inches(capsys):
    words = ("6 7/8 in", "7 3/8 in", "--base", "3/8 in", "--overlay", "3/16 in")
    code, out, _ = run(capsys, "overlay", *words, "--turn", "180 deg")
    assert code == 0
    # exact by hand: 0.5 + 3/32 x pi = 0.7945 in, 12.7/16
    assert out.startswith("13/16 in short (11.6% of its length):")
    assert " mm" not in out.partition("\n\n")[0]


def test_a_tolerance_is_said_not_to_be_used_yet(capsys):
    code, out, err = run(capsys, "overlay", "173 ± 1", *JOINT[2:])
    assert (code, err) == (0, "")
    assert "note: cut: ± 1 mm read, not used yet" in out


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        (
            ("--not-cut",),
            "cut it 215 mm long (195 mm, 1 mm under what it needs so that it hugs, and 10",
        ),
        (("--not-cut", "--free-ends", "1"), "so that it hugs, and 10 mm at the free end"),
        (("--formed", "0"), "base formed by 0 %, only held in the curve"),
        (("--formed", "50%"), "base formed by 50 %"),
        (("--adhesive", "hot glue"), "Glue with hot glue: join the faces"),
        (("--shell", "376"), "taken to lie in the middle of the base (assumed)"),
        (("--shell", "376", "--start", "20"), "its first line, which is 20 mm along the base"),
        (("--width", "80", "--base-width", "160"), "overlay 50% as wide as its base"),
        (("--density", "38 kg/m3"), "guessed from a density of 38 kg/m3"),
        (("--foam", "EVA firm"), "foam EVA firm: modulus 3.0 MPa"),
        (("--most-opening", "7"), "(limit 7 mm, your own)"),
        (("--most-stretch", "6"), "(limit 6 %, your own)"),
        (("--peel-held", "2 g", "--peel-width", "25"), "times what your test carried"),
    ],
)
def test_what_else_is_said_is_heard(capsys, words, shown):
    code, out, _ = run(capsys, *JOINT, *words)
    assert code == 0
    # exact by hand: 0.995 (188 + 2.5 pi) = 194.9 mm where a length is shown
    assert shown in " ".join(out.split())


# What is not understood -----------------------------------------------------------------------

REFUSED = [
    (("0", "188"), "cut must be a finite length above 0 mm, got 0"),
    (("173", "0"), "needed must be a finite length above 0 mm, got 0"),
    (("nan", "188"), "cut: 'nan' is not a finite number"),
    (("173", "inf"), "needed: 'inf' is not a finite number"),
    (("173,5", "188"), "cut: '173,5' has a decimal comma: write '173.5'"),
    (("173", "7.4"), "needed 7.4 mm is 0.043 times cut 173 mm"),
    (("173", "7 3/8 in"), "cut '173' has no unit while needed is in inches"),
    (("6 7/8 in", "7 3/8 in", "--base", "10"), "base '10' has no unit while cut is in inches"),
    (("173", "188", "--radius", "-5"), "radius must be a finite length above 0 mm, got -5"),
    (("173", "188", "--turn", "400 deg"), "turn of an arc must be at most a full turn"),
    (("173", "188", "--turn", "90"), "turn: 90 has no unit: write '90 deg'"),
    (("173", "188", "--foam", "EVA meduim"), "did you mean 'EVA medium'?"),
    (("173", "188", "--adhesive", "hot glu"), "did you mean 'hot glue'?"),
    (("173", "188", "--mouth", "300"), "mouth must be from 0 mm to below the length"),
    (("173", "188", "--turn", "1 rad", "--mouth", "9"), "give only one of --turn and --mouth"),
    (("173", "188", "--overlay", "0"), "overlay thickness must be"),
    (("1e300", "1e300"), "cut"),
]


@pytest.mark.parametrize(("words", "message"), REFUSED)
def test_a_reading_that_cannot_be_is_refused_by_name(capsys, words, message):
    code, out, err = run(capsys, "overlay", *words)
    assert (code, out) == (2, "")
    assert err.startswith("foamcalc overlay: ")
    assert message in err
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("--formed", "150"), "--formed"),
        (("--formed", "-1"), "--formed"),
        (("--formed", "nan"), "--formed"),
        (("--free-ends", "3"), "free"),
        (("--free-ends", "two"), "--free-ends"),
        (("--most-stretch", "a lot"), "--most-stretch"),
        (("--most-stretch", "nan"), "most stretch"),
        (("--most-opening", "0"), "most opening"),
        (("--glue", "much"), "--glue"),
    ],
)
def test_an_option_that_cannot_be_is_refused_by_name(capsys, words, name):
    code, out, err = run(capsys, *JOINT, *words)
    assert (code, out) == (2, "")
    assert name in err.splitlines()[-1]


def test_a_share_that_is_no_number_is_refused_in_plain_words(capsys):
    code, _, err = run(capsys, *JOINT, "--formed", "half")
    assert code == 2
    last = err.splitlines()[-1]
    assert "--formed" in last
    assert "half" in last
    # exact by hand: no name of the program's own insides
    assert "_share" not in last


@pytest.mark.parametrize("words", [("overlay", "173"), ("overlay",), ("ovrelay", "173", "188")])
def test_a_command_that_is_not_whole_is_refused_with_the_usage(capsys, words):
    code, out, err = run(capsys, *words)
    assert (code, out) == (2, "")
    assert err.startswith("usage: python -m foamcalc")


# Help -----------------------------------------------------------------------------------------


def test_no_arguments_print_help(capsys):
    code, out, err = run(capsys)
    assert (code, err) == (0, "")
    for words in ("overlay 173 188", "foamcalc chart", "foamcalc demo", "A bare number is mm"):
        assert words in out


@pytest.mark.parametrize("words", [("--help",), ("overlay", "--help"), ("chart", "--help")])
def test_help_is_help(capsys, words):
    code, out, err = run(capsys, *words)
    assert (code, err) == (0, "")
    assert out.startswith("usage: python -m foamcalc")


def test_the_examples_in_the_help_run(capsys):
    import shlex

    _, out, _ = run(capsys)
    examples = [
        shlex.split(line)[3:]
        for line in out.splitlines()
        if line.startswith("  python -m foamcalc overlay") and "--help" not in line
    ]
    assert len(examples) == 3
    for words in examples:
        code, shown, err = run(capsys, *words)
        assert (code, err) == (0, "")
        assert " short (" in shown


def test_it_runs_as_a_module():
    words = [sys.executable, "-m", "foamcalc", "overlay", "0", "188"]
    root = Path(__file__).parents[1]
    done = subprocess.run(words, capture_output=True, text=True, cwd=root, check=False)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith("foamcalc overlay: cut must be")


# Chart and demo -------------------------------------------------------------------------------


def test_the_chart_is_written_once_and_again_only_when_asked(capsys, tmp_path):
    place = tmp_path / "print"
    words = ("chart", "--out", str(place))
    code, out, err = run(capsys, *words)
    assert (code, err) == (0, "")
    names = ["gap_chart_A4.pdf", "gap_chart_Letter.pdf"]
    assert sorted(path.name for path in place.iterdir()) == names
    for name in names:
        assert str(place / name) in out
        assert (place / name).read_bytes().startswith(b"%PDF")
    assert "100 %" in out

    (place / names[0]).write_bytes(b"mine")
    code, out, err = run(capsys, *words)
    assert (code, out) == (2, "")
    assert err.startswith("foamcalc chart: ")
    assert names[0] in err
    assert "--overwrite" in err
    assert (place / names[0]).read_bytes() == b"mine"

    code, _, _ = run(capsys, *words, "--overwrite")
    assert code == 0
    assert (place / names[0]).read_bytes().startswith(b"%PDF")


def test_the_chart_for_one_paper(capsys, tmp_path):
    code, _, _ = run(capsys, "chart", "--paper", "A4", "--out", str(tmp_path))
    assert code == 0
    assert [path.name for path in tmp_path.iterdir()] == ["gap_chart_A4.pdf"]


def test_the_chart_into_a_file_is_refused(capsys, tmp_path):
    (tmp_path / "file").write_bytes(b"mine")
    code, out, err = run(capsys, "chart", "--out", str(tmp_path / "file"))
    assert (code, out) == (2, "")
    assert "is a file, not a folder" in err


def test_the_demo_ends_with_the_line_that_opens_the_notebooks(capsys):
    code, out, err = run(capsys, "demo")
    assert (code, err) == (0, "")
    assert out.startswith("Demo with invented numbers")
    last = out.strip().splitlines()[-1]
    assert " -m jupyterlab " in last
    assert last.rstrip().endswith("notebooks")


def test_the_demo_shows_the_command_and_its_answer(capsys):
    import shlex

    _, out, _ = run(capsys, "demo")
    assert "\n".join(answer(demo_question()).lines()) in out
    command = next(line for line in out.splitlines() if "foamcalc overlay" in line)
    code, shown, _ = run(capsys, *shlex.split(command)[3:])
    assert code == 0
    assert shown.strip() in out
