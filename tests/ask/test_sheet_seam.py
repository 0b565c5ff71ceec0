"""Seams in a job sheet: read, checked in one go, planned. Texts are exact by hand."""

from __future__ import annotations

import shutil

import numpy as np
import pytest

from foamcalc.ask.files import plan_files
from foamcalc.ask.plan import plan
from foamcalc.ask.sheet import SheetFault, demo_sheet_path, parse_sheet, read_sheet, seams
from foamcalc.ask.summary import plan_lines
from foamcalc.shape.pattern import read_pattern

DEMO = demo_sheet_path().with_name("knee_cup.svg")

TAPES = """
[[seam]]
name = "side"
marks = "0 48 100 160"
other_marks = [0, 50, 98, 166]
thickness = 10
"""
DRAWN = """
[[seam]]
name = "knee cup"
drawing = "knee_cup.svg"
edge = "inner half"
from = "top"
to = "bottom"
other_edge = "outer half"
thickness = 10
"""
PX = """<svg xmlns="http://www.w3.org/2000/svg" width="400" height="300">
<path id="left" d="M20 280v-260"/><path id="right" d="M200 280v-260"/></svg>"""


@pytest.fixture
def folder(tmp_path):
    shutil.copy(DEMO, tmp_path)
    (tmp_path / "px.svg").write_text(PX)
    return tmp_path


def other(marks: str) -> str:
    """A seam by tape with other places on its second edge."""
    return TAPES.replace("[0, 50, 98, 166]", marks)


def faults(text: str, folder=".") -> list[str]:
    with pytest.raises(SheetFault) as told:
        parse_sheet(text, folder, "turtle.toml")
    return list(told.value.faults)


def seam(text: str, folder="."):
    (found,) = parse_sheet(text, folder, "turtle.toml").seams
    return found


# Read -----------------------------------------------------------------------------------------


def test_a_seam_by_tape_is_read(folder):
    job = seam(TAPES)
    assert job.name == "side"
    assert job.seam.intervals.difference.tolist() == [2, -4, 8]
    assert job.seam.intervals.names == ("first edge", "second edge")
    assert (job.situation.already_cut, job.situation.free_end) == (True, "none")
    assert "places read off a tape, each good to ± 1 mm (assumed)" in job.rests_on
    assert "foam EVA medium (assumed, none was named)" in job.rests_on
    assert job.rests_on[-1].endswith("write depth and other_depth")


def test_a_seam_from_a_drawing_is_read(folder):
    job = seam(DRAWN, folder)
    assert job.seam.intervals.names == ("inner half", "outer half")
    assert job.seam.intervals.difference == pytest.approx([4, -4, 0, 3], abs=1e-4)
    assert job.drawn.pattern.file == "knee_cup.svg"


def test_all_that_a_seam_may_say_is_heard(folder):
    job = seam(
        TAPES
        + """
edge = "front"
other_edge = "back"
mark_names = ["waist", "hip"]
other_thickness = 6
foam = "EVA firm"
other_foam = "mine"
depth = 80
other_depth = 100
held = "second"
already_cut = false
free_end = "either"
marks_move = false
adhesive = "glue"
most_stretch = "3 %"
reverse = true
bevel = "20 deg"
face = "inside"
valley = true
turn = ["10 deg", "20 deg", "30 deg"]
other_turn = "-60 deg"
[foam.mine]
grade = "EVA soft"
[adhesive.glue]
kind = "hot glue"
"""
    )
    one, two = job.seam.a, job.seam.b
    assert (one.name, two.name, one.labels) == ("front", "back", ("start", "waist", "hip", "end"))
    assert (one.piece.thickness, two.piece.thickness) == (10, 6)
    assert (one.depth, two.depth, one.held, two.held) == (80, 100, False, True)
    assert np.degrees(one.turns) == pytest.approx([10, 20, 30])
    assert sum(np.degrees(two.turns)) == pytest.approx(-60)
    assert job.seam.matched.reversed
    assert one.piece.law.modulus > two.piece.law.modulus
    said = job.situation
    assert (said.already_cut, said.free_end, said.marks_move) == (False, "either", False)
    assert said.adhesive == "hot glue"
    assert job.limits["stretch a"].value == job.limits["stretch b"].value == 0.03
    assert [(f.drawn, f.cut_back) for f in job.bevels] == [("inside", "outside")] * 2


def test_inches_are_answered_in_inches_whatever_the_sheet_of_foam_is_sold_in():
    inches = TAPES.replace('"0 48 100 160"', '"0, 1 7/8, 4, 6 1/4 in"').replace(
        "[0, 50, 98, 166]", '["0 in", "2 in", "4 in", "6 1/2 in"]'
    )
    assert parse_sheet(inches.replace("= 10", '= "10 mm"'), ".").system == "in"
    in_mm = other('"0 50 98 166 mm"').replace('"0 48 100 160"', '"0 48 100 160 mm"')
    bought = in_mm.replace("= 10", '= "3/8 in"') + 'depth = "4 in"'
    assert parse_sheet(bought, ".").system == "mm"


def test_a_drawing_in_px_is_asked_for_its_size(folder):
    text = DRAWN.replace("knee_cup.svg", "px.svg").replace("inner half", "left")
    text = text.replace("outer half", "right").replace('from = "top"\nto = "bottom"\n', "")
    (fault,) = faults(text, folder)
    assert fault.startswith(
        'turtle.toml, [[seam]] "knee cup" per_inch: is missing: the drawing says its size in px '
        "only: it is 105.8 × 79.4 mm at 96, 112.9 × 84.7 mm at 90"
    )
    assert fault.endswith("write per_inch = 72, 90 or 96")
    # exact by hand: 260 px at 90 to the inch
    assert seam(text + "per_inch = 90", folder).seam.a.length == pytest.approx(260 / 90 * 25.4)


# Refused --------------------------------------------------------------------------------------


def test_all_faults_are_told_together_each_with_its_place(folder):
    text = (
        TAPES.replace("0 48 100 160", "0 48 x 160").replace("= 10", "= -10")
        + DRAWN.replace('"knee_cup.svg"', '"knee.svg"')
        + TAPES.replace('"side"', '"back"').replace("marks = [", "mrks = [")
    )
    found = faults(text, folder)
    assert [line.split(":")[0] for line in found] == [
        'turtle.toml, [[seam]] "side" marks',
        'turtle.toml, [[seam]] "side" thickness',
        'turtle.toml, [[seam]] "knee cup" drawing',
        'turtle.toml, [[seam]] "back" other_mrks',
    ]
    assert "marks: place 3: 'x' is not one number with one unit" in found[0]


FAULTS = [
    (TAPES.replace("marks =", "#", 1), "marks: is missing: a seam has two edges"),
    ("[[seam]]\nthickness = 5", "number 1: where its edges are is not said: write drawing ="),
    (DRAWN + "marks = [0, 5]", 'cup" marks: does not go with drawing, which has the marks'),
    (TAPES + 'from = "top"', 'side" from: goes with drawing only; leave it out'),
    (DRAWN + 'turn = "60 deg"', "turn: goes with marks only; leave it out"),
    (DRAWN.replace("other_edge", "# "), "other_edge: is missing: a seam has two edges"),
    (DRAWN.replace("thickness", "# "), "thickness: is missing: thickness of the first piece"),
    (DRAWN.replace("inner", "iner"), "no edge is called 'iner half'; did you mean 'inner half'?"),
    (DRAWN.replace('"top"', '"tap"'), "edge: knee_cup.svg, line"),
    (DRAWN + "per_inch = 90", "drawing: knee_cup.svg, line 2, svg"),
    (DRAWN + "per_inch = 91", "per_inch: must be 72, 90 or 96, got 91"),
    (DRAWN.replace("knee_cup.svg", "../knee_cup.svg"), "leaves the folder of the sheet"),
    (other("[0, 50, 98]"), "marks: edge 'first edge' has 4 marks with"),
    (
        other("[10, 50, 98, 166]"),
        "other_marks: begins at 10 mm, but the",
    ),
    (
        other("[0, 50, 40, 166]"),
        "marks: edge 'second edge': mark '2' at",
    ),
    (other("[0, 5, 9, 16]"), "marks: second edge, 16 mm, is 0.1 times"),
    (
        other("166"),
        "other_marks: must be a list of 2 to 200 places, or",
    ),
    (
        other('[0, "nan", 9]'),
        "other_marks: entry 2: 'nan' is not a fin",
    ),
    (
        other('"0, 2, 4, 6 in"'),
        "no unit while other_marks entry 2 is in",
    ),
    (TAPES + 'mark_names = "a b c"', "marks: edge 'first edge': 4 places need 4 names"),
    (TAPES + 'mark_names = ["a", 5]', "mark_names: entry 2 must be text in quotes, got 5"),
    (TAPES + 'foam = "EVA firn"', "did you mean 'EVA firm'?"),
    (TAPES + 'adhesive = "hot glu"', "did you mean 'hot glue'?"),
    (TAPES + 'held = "frist"', "held: must be 'first' or 'second', got 'frist'; did you mean 'fi"),
    (TAPES + 'free_end = "both"', "free_end: must be 'none' or 'start' or 'end' or 'either'"),
    (TAPES + 'bevel = "20 deg"', "bevel: say with it how much each edge turns"),
    (TAPES + 'bevel = "90 deg"', "bevel: must be an angle from 0 to below 90 deg, got '90 deg'"),
    (TAPES + "bevel = 20", "bevel: 20 has no unit"),
    (TAPES + 'turn = ["1 deg"]\nother_turn = ["1 deg", "2 deg"]', "turns must be one angle an int"),
    (TAPES + TAPES, "name: 'side' stands twice; give each"),
    (TAPES + "depth = 0.01", "marks: a piece must be at least 0.0005 of its seam deep"),
    (TAPES.replace("[[seam]]", "[seam]"), "[seam]: write [[seam]], with two brackets on each side"),
    ("seam = 5", "seam: write [[seam]], with two brackets"),
]


@pytest.mark.parametrize(("text", "fault"), FAULTS)
def test_a_fault_is_told_with_table_key_value_and_remedy(text, fault, folder):
    found = faults(text, folder)
    assert fault in found[0]
    assert len(found) == 1
    assert found[0].startswith("turtle.toml, ")


def test_a_seam_and_an_overlay_need_names_of_their_own():
    overlay = '[[overlay]]\nname = "Side"\ncut = 173\nneeded = 188\nbase = 10\nthickness = 5\n'
    (fault,) = faults(overlay + TAPES)
    assert fault.startswith("turtle.toml, [[seam]] \"side\" name: 'side' stands twice")


def test_a_sheet_of_nothing_asks_for_something_to_work_out():
    (fault,) = faults('title = "turtle"')
    assert "nothing to work out: add a [shell.NAME], " in fault and "a [[seam]]" in fault


# Planned --------------------------------------------------------------------------------------


def test_the_seams_of_a_plan_are_told_with_the_widest_trouble_first(folder):
    lines = plan_lines(plan(parse_sheet(DRAWN + TAPES, folder, "turtle.toml")))
    i = lines.index("Seams, the widest trouble first (limit used: glued cold as they are)")
    # the squeeze of the tape seam is 4/68 of the longest interval: 5.9 % of the 2 % it puckers at
    assert lines[i + 2].split()[1:10] == "side 160 mm 166 mm +6 mm +8 mm".split()
    assert lines[i + 3].split()[1:11] == "knee cup 162 mm 165 mm +3 mm +4 mm".split()
    what = " ".join(lines[lines.index("What to do at the seams") :])
    assert "1. side: From end to end second edge is 6 mm longer" in what
    assert "2. knee cup: From end to end outer half is 3 mm longer" in " ".join(what.split())


def test_seams_are_written_as_a_table_row_by_row(folder):
    worked = plan(parse_sheet(DRAWN + TAPES, folder, "turtle.toml"))
    lines = plan_files(worked)["turtle_seams.csv"].decode("utf-8-sig").splitlines()
    assert len(lines) == 1 + 3 + 4
    assert lines[1].startswith("side,first edge,second edge,start,1,48.0,50.0,2.0,")
    assert lines[4].startswith("knee cup,inner half,outer half,top,thigh,40.0,44.0,4.0,5.0,-4.55,")
    assert "turtle_seams.csv" not in plan_files(plan(parse_sheet(OVERLAY, ".")))


OVERLAY = "[[overlay]]\ncut = 173\nneeded = 188\nbase = 10\nthickness = 5"


def test_a_plan_without_seams_says_nothing_of_them():
    assert not any("eam" in line for line in plan_lines(plan(parse_sheet(OVERLAY, "."))))


def test_a_seam_is_found_by_its_name_as_an_overlay_is(folder):
    worked = plan(parse_sheet(DRAWN + OVERLAY.replace("cut", 'name = "cover"\ncut'), folder))
    assert worked.answer("knee cup") is worked.seams[0].answer
    assert worked.answer("cover") is worked.joints[0].answer
    with pytest.raises(ValueError, match=r"piece must be .*did you mean 'knee cup'"):
        worked.answer("knee cop")


def test_a_drawing_is_read_once_for_all_its_seams(folder, monkeypatch):
    count = []

    def counted(path, **said):
        count.append(path)
        return read_pattern(path, **said)

    monkeypatch.setattr(seams, "read_pattern", counted)
    scutes = DRAWN.replace("knee cup", "scutes").replace("inner half", "scute 1")
    scutes = scutes.replace("outer half", "scute 2").replace('"top"', '"rim"')
    parse_sheet(DRAWN + scutes.replace('"bottom"', '"ridge"'), folder)
    assert len(count) == 1


def test_progress_counts_the_seams(folder):
    told = []
    plan(parse_sheet(DRAWN + TAPES, folder), progress=lambda *said: told.append(said))
    assert told == [(0, 2, "knee cup"), (1, 2, "side")]


def test_the_demo_has_a_seam_from_a_drawing_and_one_by_tape():
    """Exact by hand, from the numbers that stand in the demo sheet and in its drawing."""
    by_name = {job.name: job for job in read_sheet(demo_sheet_path()).seams}
    assert set(by_name) == {"knee cup", "back to flank"}
    knee = by_name["knee cup"].seam.intervals
    assert knee.difference == pytest.approx([4, -4, 0, 3], abs=1e-4)
    flank = by_name["back to flank"]
    assert flank.seam.intervals.difference.tolist() == [2, -1, 2]
    assert flank.seam.a.labels == ("start", "armpit", "waist", "end")
    # 60 mm, a third of 40 degrees, 10 mm of foam set back by tan 20 degrees
    inside = 60 - 10 * np.tan(np.radians(20)) * np.radians(40) / 3
    assert flank.bevels[0].inside == pytest.approx([inside] * 3)
    assert flank.bevels[1].inside[0] == pytest.approx(
        62 + 5 * np.tan(np.radians(20)) * np.radians(25) * 62 / 183
    )
