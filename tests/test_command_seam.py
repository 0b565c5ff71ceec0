"""``python -m foamcalc seam``: what is printed, what is written, the exit codes.

Expected texts are exact by hand unless a comment says more.
"""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from foamcalc.__main__ import main
from foamcalc.ask.sheet import demo_sheet_path
from foamcalc.shape.pattern import read_pattern

DEMO = demo_sheet_path().with_name("knee_cup.svg")
TAPES = ["seam", "0 48 100 160", "0 50 98 166"]
KNEE = "--edge|inner half|--from|top|--to|bottom|--other-edge|outer half".split("|")
PX = """<svg xmlns="http://www.w3.org/2000/svg" width="400" height="300">
<path id="left" d="M20 280v-260"/><path id="right" d="M200 280v-260"/></svg>"""
BLANK = "knee_try_on_blank.csv"
NAME = "knee_cup_inner_half_to_outer_half"


@pytest.fixture
def here(tmp_path, monkeypatch):
    shutil.copy(DEMO, tmp_path)
    (tmp_path / "px.svg").write_text(PX)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(capsys, *words: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of one command."""
    try:
        code = main(list(words))
    except SystemExit as end:
        code = int(end.code or 0)
    shown = capsys.readouterr()
    return code, shown.out, shown.err


# Asked ----------------------------------------------------------------------------------------


def test_two_tapes_are_answered_and_nothing_is_written(here, capsys):
    before = sorted(here.iterdir())
    code, out, err = run(capsys, *TAPES, "--names", "waist hip")
    assert (code, err) == (0, "")
    assert out.startswith("From end to end second edge is 6 mm longer; the most is hip to end,")
    assert "Order of work" in out and "Take care:" in out and "Rests on" in out
    assert sorted(here.iterdir()) == before


def test_a_drawing_says_its_size_first_then_the_sentence(here, capsys):
    code, out, err = run(capsys, "seam", "knee_cup.svg", *KNEE, "--not-cut")
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[0] == "the drawing is 297.0 × 210.0 mm"
    assert lines[1].startswith("check bar 'check bar 100 mm across' measures 100.00 mm of 100")
    assert lines[4].startswith("From end to end outer half is 3 mm longer; the most is")
    assert "Glued together they dome the sheet by 168° in all" in out


def test_a_drawing_alone_is_listed(here, capsys):
    code, out, err = run(capsys, "seam", "knee_cup.svg")
    assert (code, err) == (0, "")
    assert "outer half, 330 mm once round: top 0 mm, thigh 44 mm, cap 81 mm" in out
    assert "--edge NAME --other-edge NAME" in out
    _, inches, _ = run(capsys, "seam", "knee_cup.svg", "--units", "in")
    assert "bottom 6 1/2 in" in " ".join(inches.split())


def test_what_the_drawing_leaves_open_is_noted_in_the_list(here, capsys):
    (here / "loose.svg").write_text(
        """<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="300mm"
viewBox="0 0 400 300"><path id="left" d="M20 280v-260"/>
<circle id="stray" cx="100" cy="100" r="2"/></svg>"""
    )
    _, out, _ = run(capsys, "seam", "loose.svg")
    assert "note: line 3: the mark 'stray' touches no edge" in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--not-cut"], "Cut second edge again: 60 mm from 2 to end"),
        (["--free-end", "end", "--marks-fixed"], "Trim 6 mm off second edge at end"),
        (["--reverse"], "second edge runs the other way as first edge, as you said."),
        (["--held", "first"], "second edge squeezed"),
        (["--edge", "front", "--other-edge", "back"], "From end to end back is 6 mm longer"),
        (["--thickness", "5", "--other-thickness", "10"], "foam EVA medium"),
        (["--most-stretch", "2", "--marks-fixed"], "(limit 2 %, your own)"),
        (["--bevel", "20 deg", "--turn", "0 deg", "--other-turn", "0 deg"], "Cut first edge at 20"),
        (["--units", "in"], "From end to end second edge is 1/4 in longer"),
    ],
)
def test_what_else_is_said_is_heard(capsys, words, said):
    code, out, _ = run(capsys, *TAPES, *words)
    assert code == 0
    assert said in " ".join(out.split())


# Refused --------------------------------------------------------------------------------------

REFUSED = [
    (["0 48 100 160"], "'0 48 100 160' is one edge, or no drawing that is there: a seam has two"),
    (["0", "48", "100", "0", "50", "98"], "got 6 words where two edges were expected: write the"),
    (["0 48 100", "0 50"], "edge 'first edge' has 3 marks with its ends, edge 'second edge' has 2"),
    (["0 x 100", "0 50 98"], "first edge, place 2: 'x' is not one number"),
    (["0 nan 100", "0 50 98"], "first edge, place 2: 'nan' is not a finite number"),
    (["0 48 40", "0 50 98"], "mark 'end' at 40 mm comes before mark '1' at 48 mm"),
    (["48 100", "50 98"], "first edge: begins at 48 mm, but the first place is the end where the"),
    (["0 48 100", "0 50 98", "--from", "top"], "--from goes with a drawing only; leave it out"),
    (["0 48 100", "0 50 98", "--per-inch", "90"], "--per-inch goes with a drawing only"),
    (["knee_cop.svg"], "knee_cop.svg is not there: check the name and the folder"),
    (
        ["knee_cup.svg", "--edge", "inner half"],
        "--other-edge NAME is missing: a seam has two edges",
    ),
    (["knee_cup.svg", "--other-edge", "inner half"], "--edge NAME is missing"),
    (["knee_cup.svg", *KNEE[:1], "iner half", *KNEE[2:]], "did you mean 'inner half'?"),
    (["knee_cup.svg", *KNEE[:3], "tap", *KNEE[4:]], "no mark called 'tap' is on it"),
    (["knee_cup.svg", *KNEE[:2], *KNEE[6:]], "'inner half' is closed: name the marks where"),
    (["knee_cup.svg", *KNEE, "--names", "a"], "--names goes with tape readings only"),
    (["knee_cup.svg", *KNEE, "--per-inch", "90"], "--per-inch 90 changes nothing"),
    (["knee_cup.svg", "--out", "bench"], "--out is for a seam: name its two edges"),
]


@pytest.mark.parametrize(("words", "fault"), REFUSED)
def test_what_cannot_be_is_refused_and_nothing_is_written(here, capsys, words, fault):
    before = sorted(here.iterdir())
    more = [] if "--out" in words else ["--out", "bench"]
    code, out, err = run(capsys, "seam", *words, *more)
    assert (code, out) == (2, "")
    assert err.startswith("foamcalc seam: ") and fault in err
    assert sorted(here.iterdir()) == before


def test_a_drawing_in_px_is_refused_with_its_three_sizes_until_they_are_said(here, capsys):
    code, out, err = run(capsys, "seam", "px.svg")
    assert (code, out) == (2, "")
    # 400 px at 96, 90 and 72 to the inch
    assert "105.8 × 79.4 mm at 96, 112.9 × 84.7 mm at 90, 141.1 × 105.8 mm at 72" in err
    assert "add --per-inch 72, 90 or 96; nothing is worked out before" in err
    code, out, _ = run(capsys, "seam", "px.svg", "--per-inch", "90")
    assert code == 0
    assert "90 px to the inch were taken, as asked" in out
    assert "left, 73 mm from end to end" in out  # 260/90 x 25.4 = 73.4


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (["--held", "third"], "--held"),
        (["--per-inch", "91"], "--per-inch"),
        (["--free-end", "both"], "--free-end"),
        (["--most-stretch", "much"], "--most-stretch"),
        (["--glue", "x"], "--glue"),
    ],
)
def test_an_option_that_cannot_be_is_refused_by_name(capsys, words, name):
    code, out, err = run(capsys, *TAPES, *words)
    assert (code, out) == (2, "")
    assert name in err.splitlines()[-1]


# Written --------------------------------------------------------------------------------------


def test_the_files_of_a_drawn_seam_are_written(here, capsys):
    order = ["seam", "knee_cup.svg", *KNEE, "--not-cut", "--out", "bench", "--paper", "A4"]
    code, out, err = run(capsys, *order)
    assert (code, err) == (0, "")
    found = {p.name: p.read_bytes() for p in (here / "bench").iterdir()}
    assert set(found) == {f"{NAME}.csv", f"{NAME}_corrected.svg", f"{NAME}_A4.pdf"}
    assert found[f"{NAME}_A4.pdf"].startswith(b"%PDF")
    assert found[f"{NAME}.csv"].decode("utf-8-sig").startswith("from,to,inner half [mm]")
    new = read_pattern(here / "bench" / f"{NAME}_corrected.svg")
    # 40 mm of the inner half, times 165/162
    assert new.edge("outer half", "top", "bottom").marks[0].place == pytest.approx(40.741, abs=1e-3)

    assert "In the corrected drawing only marks have moved" in out


def test_a_file_that_is_there_is_kept_unless_it_may_be_replaced(here, capsys):
    order = [*TAPES, "--out", "bench", "--paper", "A4"]
    (here / "bench").mkdir()
    (here / "bench" / "seam.csv").write_bytes(b"mine")
    code, _, err = run(capsys, *order)
    assert code == 2 and "nothing was written" in err
    assert [(p.name, p.read_bytes()) for p in (here / "bench").iterdir()] == [("seam.csv", b"mine")]
    assert run(capsys, *order, "--overwrite")[0] == 0
    found = {p.name: p.read_bytes() for p in (here / "bench").iterdir()}
    assert run(capsys, *order, "--overwrite")[0] == 0
    # the same seam gives the same bytes
    assert {p.name: p.read_bytes() for p in (here / "bench").iterdir()} == found


def test_a_seam_by_tape_is_written_without_a_drawing(here, capsys):
    code, _, _ = run(capsys, *TAPES, "--out", "bench", "--paper", "Letter")
    assert code == 0
    assert sorted(p.name for p in (here / "bench").iterdir()) == ["seam.csv", "seam_Letter.pdf"]


def test_a_mark_that_cannot_move_alone_leaves_the_drawing_and_says_so(here, capsys):
    # one circle in the middle between two edges 1.5 mm apart marks both
    (here / "both.svg").write_text(
        """<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm"
viewBox="0 0 200 100"><path id="left" d="M10 50h100"/><path id="right" d="M20 51.5h100"/>
<circle id="m" cx="70" cy="50.75" r="2"/></svg>"""
    )
    order = ["seam", "both.svg", "--edge", "left", "--other-edge", "right", "--not-cut"]
    code, out, _ = run(capsys, *order, "--out", "bench", "--paper", "A4")
    assert code == 0
    assert "The drawing with its marks moved was not written: both.svg, line 3" in out
    assert not list((here / "bench").glob("*.svg"))


# Help -----------------------------------------------------------------------------------------


def test_the_examples_in_the_help_run(here, capsys):
    code, out, err = run(capsys, "seam", "--help")
    assert (code, err) == (0, "")
    _, welcome, _ = run(capsys)
    text = re.sub(r"\\\n\s+", "", out + welcome)
    lines = [line for line in text.splitlines() if line.startswith("  python -m foamcalc seam ")]
    examples = [shlex.split(line)[3:] for line in lines if "--help" not in line]
    assert len(examples) == 6
    for words in examples:
        code, shown, err = run(capsys, *words)
        assert (code, err) == (0, "")
        assert shown


def test_the_session_in_the_readme_is_what_is_printed(here, capsys):
    text = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    part = text.partition("## Close a seam")[2].partition("\n## ")[0]
    fence = "```"
    blocks = [block.partition("\n") for block in part.split(fence)[1::2]]
    sheets = [body.splitlines() for kind, _, body in blocks if kind == "sh"]
    orders = [line.partition(" -m foamcalc ")[2] for lines in sheets for line in lines]
    (shown,) = (body for kind, _, body in blocks if kind == "text")
    code, out, _ = run(capsys, *shlex.split(orders[0]))
    assert code == 0
    assert out.startswith(shown)
    shutil.copytree(here, here / "bench")
    for order in orders[1:]:
        code, out, _ = run(
            capsys, *shlex.split(order), *(["--paper", "A4"] if "--out" in order else [])
        )
        assert code == 0
    quoted = part.partition("`Glued")[2].partition("`")[0]
    assert " ".join(f"Glued{quoted}".split()) in " ".join(out.split())


def test_plan_shows_one_seam_in_full(here, capsys):
    shutil.copy(demo_sheet_path(), here)
    (here / "knee.toml").write_text(
        '[[seam]]\nname = "knee cup"\ndrawing = "knee_cup.svg"\nedge = "inner half"\n'
        'from = "top"\nto = "bottom"\nother_edge = "outer half"\nthickness = 10\n'
    )
    code, out, _ = run(capsys, "plan", "knee.toml", "--piece", "knee cup")
    assert code == 0
    assert out.startswith("the drawing is 297.0 × 210.0 mm")
    assert "Order of work" in out
    code, out, _ = run(capsys, "plan", "knee.toml", "--out", "bench", "--paper", "A4")
    assert code == 0
    assert "1. knee cup: From end to end outer half is 3 mm longer" in out
    names = {p.name for p in (here / "bench").iterdir()}
    # no overlays and no shells: no card for them
    assert names == {"knee_joints.csv", "knee_seams.csv", "knee_seams_A4.pdf", BLANK}
