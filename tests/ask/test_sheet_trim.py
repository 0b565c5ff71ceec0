"""Strips along edges in a job sheet: read, checked in one go, planned, and put on the cut list."""

from __future__ import annotations

import csv
import io
import shutil

import numpy as np
import pytest

from foamcalc.ask.cutlist import Panel, Strip
from foamcalc.ask.cutting.pieces import items_of
from foamcalc.ask.files import plan_files
from foamcalc.ask.plan import plan
from foamcalc.ask.sheet import SheetFault, demo_sheet_path, parse_sheet, read_sheet
from foamcalc.ask.summary import plan_lines
from foamcalc.ask.trim.answer import ask

DEMO = demo_sheet_path().with_name("knee_cup.svg")

SHIN = """
[curve.shin]
measured_on = "outside"
girth = 377
"""
RIM = """
[[trim]]
name = "shin rim"
kind = "rim"
curve = "shin"
width = 30
thickness = 6
"""
BAND = """
[[trim]]
name = "cup band"
kind = "band"
length = 330
turn = "0 deg"
width = 20
thickness = 5
"""
DRAWN = """
[[trim]]
name = "knee rim"
kind = "rim"
drawing = "knee_cup.svg"
edge = "inner half"
from = "top"
to = "bottom"
width = 12
thickness = 5
"""
SLIT = """
[[trim]]
name = "slit strip"
kind = "slit"
radius = 60
turn = "180 deg"
width = 20
thickness = 10
depth = 7
pitch = 5
"""
BINDING = """
[[trim]]
name = "edging"
kind = "binding"
round = 300
edge_thickness = 10
legs = [12, 8]
thickness = 5
"""


@pytest.fixture
def folder(tmp_path):
    shutil.copy(DEMO, tmp_path)
    return tmp_path


def faults(text: str, folder=".") -> list[str]:
    with pytest.raises(SheetFault) as told:
        parse_sheet(text, folder, "turtle.toml")
    return [line.removeprefix("turtle.toml, ") for line in told.value.faults]


def planned(text: str, folder="."):
    return plan(parse_sheet(text, folder, "turtle.toml"))


def trim(text: str, folder="."):
    (found,) = planned(text, folder).trims
    return found


# Read -----------------------------------------------------------------------------------------


def test_a_rim_by_a_curve_of_the_sheet_is_read():
    found = trim(SHIN + RIM)
    job = found.job
    assert (job.name, job.kind, job.count) == ("shin rim", "rim", 1)
    assert job.edge.curve.length == pytest.approx(377) and job.edge.curve.closed
    # exact by hand: a full turn at half its thickness over the edge, and 0.5 % less to hug it
    needed = 377 + 2 * np.pi * 3
    (strip,) = found.answer.result.strips
    assert strip.cut_length == pytest.approx(0.995 * needed, rel=1e-9)
    assert found.answer.rests_on[0] == (
        "edge 377 mm long, closed, turn 360° ([curve.shin]: its girth, taken as a circle, on the "
        "outside)"
    )
    assert found.answer.rests_on[1] == "foam EVA medium (assumed, none was named)"


def test_a_straight_band_is_as_long_as_its_edge_and_what_is_left_at_its_end():
    (strip,) = trim(BAND + 'ends = ["flush", "free"]\nspare = 12').answer.result.strips
    assert strip.cut_length == pytest.approx(330 + 12)  # exact by hand
    assert (strip.before, strip.after) == (0, 12)
    (strip,) = trim(BAND + 'ends = "free"\nspare = 12').answer.result.strips
    assert strip.cut_length == pytest.approx(330 + 24)  # exact by hand: one word is for both ends


def test_an_edge_out_of_a_drawing_brings_its_marks(folder):
    found = trim(DRAWN + "marks = [20]", folder)
    # exact by hand: 40, 41, 41 and 40 mm between the marks stand in the drawing
    assert found.job.edge.curve.length == pytest.approx(162, abs=1e-3)
    assert [m.name for m in found.job.marks] == ["", "thigh", "cap", "shin"]
    assert found.job.marks[0].place == 20
    assert any("mm" in line for line in found.answer.first)


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        (
            BINDING,
            {
                "kind": "binding",
                "round": "300",
                "edge_thickness": "10",
                "legs": "12 8",
                "thickness": "5",
            },
        ),
        (
            SLIT + 'face = "inside"\nmarks = "0 50"\nslit_width = "3 mm"',
            {
                "kind": "slit",
                "radius": "60",
                "turn": "180 deg",
                "width": "20",
                "thickness": "10",
                "depth": "7",
                "pitch": "5",
                "face": "inside",
                "marks": "0 50",
                "slit_width": "3",
            },
        ),
        (
            SLIT.replace('"slit"', '"toothed"') + "longest = 90",
            {
                "kind": "toothed",
                "radius": "60",
                "turn": "180 deg",
                "width": "20",
                "thickness": "10",
                "depth": "7",
                "pitch": "5",
                "longest": "90",
            },
        ),
        (
            BAND.replace('"0 deg"', '"-60 deg"').replace("= 20", "= 12")
            + 'side = "outside"\nfoam = "EVA firm"\nadhesive = "hot glue"\n'
            'ends = "wrapped"\nwrap = 15\nedge_thickness = 10\nlap = 10\nlongest = 300',
            {
                "kind": "band",
                "length": "330",
                "turn": "-60 deg",
                "width": "12",
                "thickness": "5",
                "side": "outside",
                "foam": "EVA firm",
                "adhesive": "hot glue",
                "ends": ("wrapped",),
                "wrap": "15",
                "edge_thickness": "10",
                "lap": "10",
                "longest": "300",
            },
        ),
    ],
    ids=["binding", "slit", "toothed", "band"],
)
def test_a_table_and_the_same_words_at_the_bench_have_one_answer(text, asked):
    """Independent: the same strip, asked in the other way."""
    bench = ask(**asked)
    found = trim(text).answer
    assert found.sentence == bench.sentence
    lengths = ([s.cut_length for s in one.result.strips] for one in (found, bench))
    assert next(lengths) == next(lengths)
    assert [s.marks for s in found.result.strips] == [s.marks for s in bench.result.strips]
    assert found.result.width == bench.result.width
    assert found.result.steps == bench.result.steps
    assert found.notes == bench.notes


def test_a_foam_with_a_fibre_of_its_own_moves_the_length():
    foam = '[foam.strip]\ngrade = "EVA soft"\nfibre = 0.25\n'
    found = trim(foam + SHIN + RIM + 'foam = "strip"')
    needed = 377 + 2 * np.pi * 1.5  # exact by hand: a quarter of 6 mm over the edge
    assert found.answer.result.strips[0].cut_length == pytest.approx(0.995 * needed, rel=1e-9)
    assert any(
        line.startswith("foam strip (EVA soft): fibre 0.25") for line in found.answer.rests_on
    )


def test_a_bead_of_the_sheet_lifts_the_rim():
    glue = '[adhesive.thick]\nkind = "hot glue"\nbead = 1\n'
    found = trim(glue + SHIN + RIM + 'adhesive = "thick"')
    needed = 377 + 2 * np.pi * 4  # exact by hand: 3 mm and the bead
    assert found.job.cut.rim.needed == pytest.approx(needed, rel=1e-9)


def test_inches_are_answered_in_inches_whatever_the_strip_is_sold_in():
    bought = BAND.replace("= 330", '= "330 mm"').replace("= 20", '= "3/4 in"')
    assert parse_sheet(bought.replace("= 5", '= "1/4 in"'), ".").system == "mm"
    inches = BAND.replace("= 330", '= "13 in"').replace("= 20", '= "3/4 in"')
    found = trim(inches.replace("= 5", '= "1/4 in"'))
    assert found.answer.sentence.startswith("Cut it 13 in long, 3/4 in wide, straight")
    assert found.answer.result.strips[0].cut_length == pytest.approx(13 * 25.4)  # exact by hand


# Refused --------------------------------------------------------------------------------------


def test_all_faults_are_told_together_each_with_its_place():
    text = (
        SHIN
        + RIM.replace("width = 30\n", "depth = 7\n").replace('curve = "shin"', 'curve = "shim"')
        + BAND.replace("turn", "trun")
        + SLIT.replace("pitch = 5\n", 'side = "inside"\n')
        + BINDING.replace('"binding"', '"bindin"').replace("= 5", "= -5")
    )
    found = faults(text)
    assert [line.split(":")[0] for line in found] == [
        '[[trim]] "shin rim" width',
        '[[trim]] "shin rim" depth',
        '[[trim]] "shin rim" curve',
        '[[trim]] "cup band" trun',
        '[[trim]] "slit strip" side',
        '[[trim]] "slit strip" pitch',
        '[[trim]] "edging" kind',
        '[[trim]] "edging" thickness',
    ]
    assert found[1].endswith(
        "depth: goes with slit or toothed only, and this is a rim strip; leave it out"
    )
    assert found[0].endswith("width: is missing: width of the strip; write for example width = 20")
    assert "there is no [curve.shim] in this sheet; did you mean 'shin'?" in found[2]
    assert "did you mean turn?" in found[3]
    assert "did you mean 'binding'?" in found[6]


FAULTS = [
    (BAND.replace('length = 330\nturn = "0 deg"\n', ""), 'band": say the edge in one '),
    (BAND + "round = 300", "radius with turn or round; got length and round"),
    (BAND + 'edge = "rim"', "edge: goes with drawing only, and the edge is given by length"),
    (BAND + "per_inch = 90", "per_inch: goes with drawing only, and the edge is given"),
    (BAND.replace('turn = "0 deg"', ""), "turn: is missing beside length: angle between the"),
    (SHIN + RIM + 'turn = "360 deg"', "turn: goes with length, radius or round only, and the"),
    (DRAWN.replace('edge = "inner half"', ""), "edge: is missing beside drawing: the outline"),
    (DRAWN.replace("inner", "iner"), "drawing: knee_cup.svg: "),
    (
        DRAWN.replace('to = "bottom"', ""),
        "drawing: knee_cup.svg: 'inner half' is closed: name both",
    ),
    (DRAWN.replace("knee_cup", "knee"), "drawing: "),
    (BINDING + 'turn = "180 deg"', "round: turn of an edge that goes once round must be 360 deg"),
    (BINDING + "width = 30", "width: goes with band, rim, slit or toothed only, and this is a bin"),
    (BINDING.replace("legs = [12, 8]", ""), "legs: is missing: how far it reaches over each face"),
    (BINDING.replace("[12, 8]", "[12, 8, 3]"), "legs: must be one length, or a list of two, got"),
    (BAND + "edge_thickness = 10", "edge_thickness: goes with binding or a wrapped end only"),
    (BAND + "spare = 10", 'spare: goes with ends = "free"; leave it out, or add that'),
    (BAND + 'ends = "free"\nwrap = 10', 'wrap: goes with ends = "wrapped"; leave it out'),
    (BAND + 'ends = "wrapped"', "wrap: is missing: what is glued down behind a wrapped end"),
    (BAND + 'ends = "fre"', "ends: must be 'flush' or 'free' or 'wrapped', got 'fre'; did you"),
    (BAND + "ends = 5", "ends: must be one word, or a list of two, got 5"),
    (BAND + 'ends = ["free", "free", "free"]', "ends: must be one word, or a list of two, got a"),
    (SHIN + RIM + 'ends = "free"', 'rim": a closed edge has no open ends'),
    (SLIT + "lap = 10", "lap: goes with band, rim or binding only, and this is a slit strip"),
    (BAND + "count = 0", "count: must be a whole number from 1 to 10000, got 0"),
    (BAND + 'marks = "0 x"', "marks: place 2: 'x' is not one number with one unit"),
    (BAND + "marks = [0, -5]", "marks: entry 2 must be a length of 0 mm or more"),
    (BAND + "marks = [0, 400]", "marks: 400 mm lies past the end of the edge, which is 330 mm lo"),
    (BAND + "marks = [9, 5]", "marks: must go from the nearer to the farther place, none twice"),
    (BAND + 'marks = "0 5 5"', "marks: must go from the nearer to the farther place, none twice"),
    (BAND + 'foam = "EVA firn"', "did you mean 'EVA firm'?"),
    (BAND.replace("= 20", '= "3/4 in"'), "'330' has no unit while width is in inches"),
    (BAND + BAND, "name: 'cup band' stands twice; give each trim its own name"),
    (SLIT.replace("depth = 7", "depth = 11"), 'strip": depth'),
    (BAND.replace("[[trim]]", "[trim]"), "[trim]: write [[trim]], with two brackets on each side"),
]


@pytest.mark.parametrize(("text", "fault"), FAULTS)
def test_a_fault_is_told_with_table_key_value_and_remedy(text, fault, folder):
    (line,) = faults(text, folder)
    assert fault in line
    assert "--" not in line


def test_a_trim_and_an_overlay_need_names_of_their_own():
    overlay = '[[overlay]]\nname = "Cup band"\ncut = 173\nneeded = 188\nbase = 10\nthickness = 5\n'
    (fault,) = faults(overlay + BAND)
    assert fault == (
        "[[trim]] \"cup band\" name: 'cup band' stands twice; give each overlay and trim its own "
        "name"
    )


# Planned --------------------------------------------------------------------------------------


def test_each_trim_of_a_plan_is_one_sentence_in_the_order_of_the_sheet():
    lines = plan_lines(planned(SHIN + BAND + RIM + "count = 2\nlongest = 250\nlap = 10"))
    first = lines.index("Trims")
    said = " ".join(" ".join(lines[first:]).split())
    # exact by hand: no turn, no strain; 0.995 (377 + 6 pi) and two laps, in two strips
    assert "1. cup band: Cut it 330 mm long, 20 mm wide, straight" in said
    assert "2. shin rim, 2 alike, for each: Cut 2 strips, each 208 mm long, 30 mm wide" in said
    assert not any("Trims" in line for line in plan_lines(planned(OVERLAY)))


OVERLAY = "[[overlay]]\ncut = 173\nneeded = 188\nbase = 10\nthickness = 5"


def test_a_trim_is_found_by_its_name_as_an_overlay_is():
    worked = planned(SHIN + RIM + "count = 3\n" + OVERLAY)
    assert worked.answer("shin rim") is worked.trims[0].answer
    lines = worked.answer("shin rim").lines()
    assert "note: the sheet asks for 3 alike: cut all of it 3 times" in lines
    with pytest.raises(ValueError, match=r"piece must be .*did you mean 'shin rim'"):
        worked.answer("shin rin")


def test_trims_are_written_as_a_table_row_by_row():
    files = plan_files(planned(SHIN + BAND + RIM + "count = 2\nlongest = 250\nlap = 10"))
    rows = list(csv.DictReader(io.StringIO(files["turtle_trims.csv"].decode("utf-8-sig"))))
    assert [row["trim"] for row in rows] == ["cup band", "shin rim"]
    assert (rows[0]["count"], rows[0]["length [mm]"], rows[0]["width [mm]"]) == (
        "1",
        "330.0",
        "20.0",
    )
    assert (rows[1]["count"], rows[1]["strips"]) == ("4", "strips 1 to 2")  # exact by hand: 2 x 2
    assert "turtle_trims.csv" not in plan_files(planned(OVERLAY))


def test_progress_counts_the_trims():
    told = []
    sheet = parse_sheet(SHIN + BAND + RIM, ".")
    plan(sheet, progress=lambda *said: told.append(said))
    assert told == [(0, 2, "cup band"), (1, 2, "shin rim")]


# On the cut list ------------------------------------------------------------------------------


def test_the_strips_of_a_trim_join_the_cut_list_divided_already():
    (item,) = items_of(planned(SHIN + RIM + 'foam = "EVA firm"\ncount = 3\nlongest = 250'))
    assert isinstance(item, Strip) and not item.joins
    assert (item.name, item.foam, item.thickness) == ("shin rim", "EVA firm", 6)
    assert (item.width, item.count) == (30, 6)  # exact by hand: 3 of 2 strips
    assert item.cut_length == pytest.approx(0.995 * (377 + 6 * np.pi) / 2, rel=1e-9)


def test_a_trim_without_a_foam_takes_the_only_foam_of_the_usual_grade():
    own = '[foam.sheet]\ngrade = "EVA medium"\n'
    (item,) = items_of(planned(own + SHIN + RIM))
    assert item.foam == "sheet (EVA medium)"
    firm = own.replace("medium", "firm")
    (item,) = items_of(planned(firm + SHIN + RIM))
    assert item.foam == "EVA medium"  # another grade is not what was meant
    (item,) = items_of(planned(own + own.replace("sheet", "other") + SHIN + RIM))
    assert item.foam == "EVA medium"  # two of them: which one is not known


def test_strips_of_unlike_length_are_items_of_their_own():
    found = items_of(planned(BAND + 'longest = 200\nends = ["free", "flush"]\nspare = 12'))
    assert [item.name for item in found] == ["cup band, strip 1", "cup band, strip 2"]
    assert sum(item.cut_length for item in found) == pytest.approx(342)  # exact by hand
    assert all(item.cut_length <= 200 for item in found)


def test_a_binding_is_cut_as_wide_as_its_answer_says():
    build = planned(BINDING)
    (item,) = items_of(build)
    told = build.trims[0].answer.result
    assert item.width == told.width > 12 + 10 + 8  # exact: legs and edge, and the folds on top
    assert item.cut_length == told.strips[0].cut_length


def test_a_band_cut_to_shape_is_a_panel_by_the_rectangle_round_it():
    half = SLIT.replace('"slit"', '"band"').replace("depth = 7\npitch = 5\n", "count = 4\n")
    (item,) = items_of(planned(half + "[cutting]\ngap = 3\n"))
    assert isinstance(item, Panel)
    assert (item.name, item.count, item.gap) == ("slit strip, cut to shape", 4, 3)
    # exact by hand: half a ring of radii 40 and 60 mm; equal ones clear each other sqrt(60² - 40²)
    # further on, and the gap
    assert item.length == pytest.approx(120, abs=1e-3)
    assert item.width == pytest.approx(60, abs=1e-3)
    assert item.nest == pytest.approx(np.sqrt(60**2 - 40**2) + 3, abs=1e-3)
    (sawn,) = items_of(planned(half + "[cutting]\ngap = 3\nkerf = 4\n"))
    assert sawn.nest == pytest.approx(np.sqrt(60**2 - 40**2) + 4, abs=1e-3)
    (wide,) = items_of(planned(half + "[cutting]\ngap = 20\n"))
    assert wide.nest is None  # exact by hand: 44.7 and 20 mm are more than its 60 mm


def test_the_demo_has_a_rim_by_a_curve_and_a_band_by_the_tape():
    """Exact by hand, from the numbers that stand in the demo sheet."""
    build = plan(read_sheet(demo_sheet_path()))
    by_name = {found.job.name: found for found in build.trims}
    assert set(by_name) == {"shin rim", "knee cup band"}
    rim = by_name["shin rim"].job
    assert rim.edge.curve.length == pytest.approx(300)
    band = by_name["knee cup band"]
    # 330 mm, 120 degrees; its middle lies half its width within the edge; 10 mm spare
    assert band.answer.result.strips[0].cut_length == pytest.approx(
        330 - np.radians(120) * 6 + 10, abs=0.5
    )
    items = {item.name: item for item in items_of(build)}
    assert items["shin rim"].count == items["knee cup band"].count == 2


def test_an_opening_is_said_in_the_sheet():
    said = RIM.replace('curve = "shin"', 'round = 377\naround = "opening"')
    # exact by hand: 377 - 2 pi 3
    assert trim(said).job.cut.rim.needed == pytest.approx(377 - 6 * np.pi, abs=1e-6)
    (fault,) = faults(BAND + 'around = "opening"\n')
    assert "around: goes with curve, drawing or round only" in fault
