"""Seams out of a drawing: the demo pattern, which stretch is meant, and marks moved in it."""

from __future__ import annotations

import runpy
from pathlib import Path

import numpy as np
import pytest

from foamcalc.ask.seam import SeamQuestion, answer_seam
from foamcalc.ask.seam.dome import dome_words, doming
from foamcalc.ask.seam.drawing import Wanted, drawn_seam
from foamcalc.ask.seam.files import corrected_drawing, file_stem, moved_marks, seam_csv
from foamcalc.ask.seam.listing import edge_lines
from foamcalc.ask.sheet import demo_sheet_path
from foamcalc.shape.pattern import read_pattern
from foamcalc.shape.solid import CurvedSeam

DEMO = demo_sheet_path().with_name("knee_cup.svg")
SCRIPT = Path(__file__).with_name("draw_demo_pattern.py")
NEAR = {"abs": 1e-4}
"""Paths are written to a hundred-thousandth of a mm."""

PIECES = """<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="120mm"
viewBox="0 0 200 120"><path d="M10 10h100v30h-100z"><title>left</title></path>
<path d="M110 60h-100v30h100z"><title>right</title></path>
<circle id="lp" cx="10" cy="10" r="2"><title>p</title></circle>
<circle id="lm" cx="58" cy="10" r="2"><title>m</title></circle>
<circle id="lq" cx="110" cy="10" r="2"><title>q</title></circle>
<circle id="rp" cx="10" cy="60" r="2"><title>p</title></circle>
<circle id="rm" cx="70" cy="60" r="2"><title>m</title></circle>
<circle id="rq" cx="110" cy="60" r="2"><title>q</title></circle>
MORE</svg>"""
"""Two boxes; the second is drawn the other way, so that from p to q it runs round the back."""


@pytest.fixture(scope="module")
def demo():
    return read_pattern(DEMO)


@pytest.fixture
def boxes(tmp_path):
    def made(more: str = "", **change: str):
        text = PIECES.replace("MORE", more)
        for old, new in change.items():
            text = text.replace(old, new)
        file = tmp_path / "boxes.svg"
        file.write_text(text, encoding="utf-8")
        return read_pattern(file)

    return made


def knee(demo, **said):
    both = {"edge": "inner half", "other_edge": "outer half"}
    return answer_seam(SeamQuestion(**{"start": "top", "end": "bottom", **both, **said}), demo)


def box(pattern, **said):
    said = {"edge": "left", "start": "p", "end": "q", "other_edge": "right"} | said
    return answer_seam(SeamQuestion(**said), pattern)


# The demo pattern -----------------------------------------------------------------------------


def test_the_kept_drawing_is_what_the_script_draws():
    assert runpy.run_path(str(SCRIPT))["drawing"]() == DEMO.read_bytes()


def test_the_demo_says_its_size_and_that_its_numbers_are_invented(demo):
    assert "All numbers are invented" in DEMO.read_text(encoding="utf-8")
    assert demo.question == "" and demo.notes == ()
    assert (demo.width, demo.height) == (297.0, 210.0)
    assert [bar.declared for bar in demo.check_bars] == [100.0, 100.0]
    # both ways: one across and one down
    assert [bar.name.split()[-1] for bar in demo.check_bars] == ["across", "down"]
    marks = [m.name for m in demo.outline("inner half").marks]
    assert marks == ["top", "thigh", "cap", "shin", "bottom"]


def test_the_lengths_of_the_knee_cup_are_what_a_hand_gets(demo):
    """Exact by hand: marks at 0, 40, 81, 122, 162; a mark 4 mm too far, the end 3 mm let out."""
    between = knee(demo).choice.seam.intervals
    assert between.a == pytest.approx([40, 41, 41, 40], **NEAR)
    assert between.b == pytest.approx([44, 37, 41, 43], **NEAR)
    assert between.difference == pytest.approx([4, -4, 0, 3], **NEAR)
    assert between.total == pytest.approx(3, **NEAR)


def test_the_dome_of_the_knee_cup_is_what_a_hand_gets(demo):
    """Exact by hand: arcs of 45 mm turning 12 degrees, 72 turning 60, 45 turning 12.

    From top to thigh 12 x 40/45 on one half and 12 x 44/45 on the other, and so on.
    """
    seam = knee(demo).choice.seam
    inner = [12 * 40 / 45, 12 * 5 / 45 + 60 * 36 / 72, 60 * 36 / 72 + 12 * 5 / 45, 12 * 40 / 45]
    outer = [12 * 44 / 45, 12 * 1 / 45 + 60 * 36 / 72, inner[2], inner[3]]
    found = np.degrees(doming(seam))
    assert found == pytest.approx(np.add(inner, outer), abs=1e-3)
    assert found.sum() == pytest.approx(168, abs=1e-3)
    assert dome_words(seam) == (
        "Glued together they dome the sheet by 168° in all (half a ball: 360°), most from cap to "
        "shin: 63°."
    )


def test_the_dome_agrees_with_the_curved_seam_of_the_solid(demo):
    """Independent: `CurvedSeam` takes the two curves and looks up its marks by itself."""
    drawn = knee(demo).drawn
    edges = drawn.a.walked, drawn.b.walked
    marks = [[m.place for m in edge.marks] for edge in edges]
    solid = CurvedSeam(edges[0].curve, edges[1].curve, *marks, opposite=False)
    assert doming(knee(demo).choice.seam) == pytest.approx(solid.between_marks(), abs=1e-9)


def test_two_scutes_lie_flat_though_one_is_drawn_the_other_way(demo):
    said = {"edge": "scute 1", "start": "rim", "end": "ridge", "other_edge": "scute 2"}
    answer = answer_seam(SeamQuestion(**said), demo)
    # exact by hand: 90 mm in two halves; the outline of the first one runs from ridge to rim
    assert answer.choice.seam.intervals.a == pytest.approx([45, 45], **NEAR)
    assert (answer.drawn.a.turned, answer.drawn.b.turned) == (True, False)
    assert answer.choice.choice == "as cut"
    assert dome_words(answer.choice.seam).startswith("Glued together they leave the sheet flat")
    # exact by hand: half of 45 degrees, out on one and in on the other
    assert np.degrees(answer.choice.seam.a.turns) == pytest.approx([22.5, 22.5], abs=1e-3)
    assert np.degrees(answer.choice.seam.edge("b").turns) == pytest.approx([-22.5] * 2, abs=1e-3)


def test_what_there_is_in_a_drawing_is_listed(demo):
    assert edge_lines(demo)[1] == (
        "outer half, 330 mm once round: top 0 mm, thigh 44 mm, cap 81 mm, shin 122 mm, "
        "bottom 165 mm"
    )
    assert len(edge_lines(demo)) == 4
    assert "bottom 6 1/2 in" in edge_lines(demo, "in")[1]  # exact by hand: 165/25.4 = 6.496


# Which stretch is meant -----------------------------------------------------------------------


def test_of_two_ways_round_the_one_with_the_shared_marks_is_taken(boxes):
    answer = box(boxes())
    # exact by hand: 48 and 52 along the first box, 60 and 40 along the second
    assert answer.choice.seam.intervals.a == pytest.approx([48, 52])
    assert answer.choice.seam.intervals.b == pytest.approx([60, 40])
    assert answer.drawn.notes == ()
    assert answer.choice.seam.matched.reversed is False


def test_ends_named_the_other_way_round_make_the_same_seam(boxes):
    forth, back = box(boxes()), box(boxes(), other_start="q", other_end="p")
    assert back.choice.seam.matched.reversed is True
    assert back.choice.seam.intervals.b == pytest.approx(forth.choice.seam.intervals.b)


def test_without_shared_marks_both_ways_are_told(boxes):
    answer = box(boxes(), edge="left", other_edge="left", leave_out="m")
    taken = answer.drawn.notes
    # exact by hand: 100 mm straight, 160 mm round the back
    assert taken[0].startswith(
        "left from p to q: 100.0 mm are taken, as the outline is drawn; the other way round it "
        "is 160.0 mm. If that is meant, draw a mark"
    )
    assert len(taken) == 2 and "note: left from p to q" in "\n".join(answer.lines())


def test_a_piece_may_be_glued_to_its_mirror_image(demo):
    answer = knee(demo, other_edge="inner half")
    assert answer.choice.seam.intervals.names == ("inner half", "inner half mirrored")
    assert answer.choice.choice == "as cut"


def test_two_stretches_of_one_outline_are_told_apart(boxes):
    answer = box(boxes(), other_edge="left", other_start="q", other_end="p", by_order=True)
    names = answer.choice.seam.intervals.names
    assert names == ("left from p to q", "left from q to p")


def test_marks_of_other_names_meet_by_order(boxes):
    other = {'cx="70" cy="60" r="2"><title>m': 'cx="70" cy="60" r="2"><title>n'}
    same_way = {"M110 60h-100v30h100z": "M10 60h100v30h-100z"}
    with pytest.raises(ValueError, match=r"that only 'left' has \('m'\), .* the other way r"):
        box(boxes(**other))  # nothing tells that not the back is meant, so both are told
    pattern = boxes(**other, **same_way)
    with pytest.raises(ValueError) as told:
        box(pattern)
    assert str(told.value).startswith(
        "the marks on left are called 'm', those on right 'n': give marks that meet one title, or "
        "match them by order; left from p to q: 100.0 mm are taken"
    )
    answer = box(pattern, by_order=True)
    assert answer.choice.seam.intervals.b == pytest.approx([60, 40])
    assert answer.choice.seam.matched.direction == "given"


def test_a_mark_that_only_one_has_is_named_and_can_be_left_out(boxes):
    pattern = boxes('<circle id="x" cx="30" cy="10" r="2"><title>strap</title></circle>')
    with pytest.raises(ValueError, match=r"leave out the marks that only 'left' has \('strap'\)"):
        box(pattern)
    assert box(pattern, leave_out="strap").choice.seam.a.labels == ("p", "m", "q")
    with pytest.raises(ValueError, match=r"mark to leave out must be .*did you mean 'stra"):
        box(pattern, leave_out="strp")
    with pytest.raises(ValueError, match="mark 'p' is an end of the seam, so it cannot be left"):
        box(pattern, leave_out="p")


def test_ends_of_other_names_meet_where_both_are_named(boxes):
    pattern = boxes(
        **{
            'id="rp" cx="10" cy="60" r="2"><title>p': 'id="rp" cx="10" cy="60" r="2"><title>a',
            'id="rq" cx="110" cy="60" r="2"><title>q': 'id="rq" cx="110" cy="60" r="2"><title>b',
        }
    )
    with pytest.raises(ValueError, match="no mark called 'p' is on it"):
        box(pattern)
    answer = box(pattern, other_start="a", other_end="b")
    assert answer.choice.seam.edge("b").labels == ("p", "m", "q")
    assert answer.choice.seam.intervals.b == pytest.approx([60, 40])


def test_a_closed_outline_needs_both_ends(demo):
    with pytest.raises(ValueError) as told:
        knee(demo, start=None, end=None)
    assert "'inner half' is closed: name the marks where the seam begins and" in str(told.value)
    assert "marks on it are 'top', 'thigh', 'cap', 'shin', 'bottom'" in str(told.value)


OPEN = """<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm"
viewBox="0 0 200 100"><path id="rim" d="M10 90a50 50 0 0 1 100 0"/>
<path id="strip" d="M20 20h157.07963"/><path id="tab" d="M20 40h150"/>
<path id="near" d="M30 36v8"/><path id="far" d="M160 36v8"/></svg>"""


def test_of_an_open_line_the_side_of_the_foam_must_be_said(tmp_path):
    (tmp_path / "open.svg").write_text(OPEN)
    pattern = read_pattern(tmp_path / "open.svg")

    def asked(**said):
        return answer_seam(SeamQuestion(edge="rim", other_edge="strip", **said), pattern)

    assert dome_words(asked().choice.seam) == ""
    with pytest.raises(ValueError, match="bevel: say with it --outside and --other-outside"):
        asked(bevel="10 deg")
    # exact by hand: half a turn, and a straight strip; on paper the half circle bulges to the left
    sided = asked(outside="left", other_outside="left", bevel="45 deg")
    assert "dome the sheet by 180°" in dome_words(sided.choice.seam)
    hollow = asked(outside="right", other_outside="left")
    assert "like a saddle by 180°" in dome_words(hollow.choice.seam)
    # exact by hand: a half circle of radius 50 with 10 mm set back is 40 pi long inside
    assert sided.bevels[0].inside == pytest.approx([40 * np.pi])


def test_an_open_line_is_walked_either_way(tmp_path):
    (tmp_path / "open.svg").write_text(OPEN)
    pattern = read_pattern(tmp_path / "open.svg")
    for start, end, turned in (("near", "far", False), ("far", "near", True)):
        found = drawn_seam(pattern, Wanted("tab", start, end), Wanted("tab", start, end))
        assert found.a.turned is turned
        assert found.a.edge.length == pytest.approx(130)  # exact by hand: from 30 to 160
        assert found.a.ends == (start, end)


# Back into the drawing ------------------------------------------------------------------------


def test_marks_of_the_knee_cup_move_to_where_a_hand_puts_them(demo, tmp_path):
    """Exact by hand: places of the inner half, times 165/162."""
    answer = knee(demo, already_cut=False)
    assert answer.choice.choice == "move marks"
    wanted = {"thigh": 40 * 165 / 162, "cap": 81 * 165 / 162, "shin": 122 * 165 / 162}
    assert {m.mark: m.place for m in moved_marks(answer)} == pytest.approx(wanted, **NEAR)
    (tmp_path / "new.svg").write_bytes(corrected_drawing(answer))
    edge = read_pattern(tmp_path / "new.svg").edge("outer half", "top", "bottom")
    assert {m.name: m.place for m in edge.marks} == pytest.approx(wanted, **NEAR)
    inner = read_pattern(tmp_path / "new.svg").edge("inner half", "top", "bottom")
    assert [m.place for m in inner.marks] == pytest.approx([40, 81, 122], **NEAR)


@pytest.mark.parametrize("ends", [("p", "q"), ("q", "p")])
def test_a_mark_moves_the_right_way_on_an_outline_drawn_the_other_way(boxes, tmp_path, ends):
    answer = box(boxes(), held="first", already_cut=False, other_start=ends[0], other_end=ends[1])
    (tmp_path / "new.svg").write_bytes(corrected_drawing(answer))
    new = read_pattern(tmp_path / "new.svg")
    (mark,) = new.edge("right", "q", "p").marks
    # exact by hand: 48 mm from p is 52 mm from q, where the outline begins
    assert mark.place == pytest.approx(52, abs=1e-6)


def test_a_mark_on_the_first_edge_moves_too(boxes, tmp_path):
    answer = box(boxes(), start="q", end="p", held="second", already_cut=False)
    (tmp_path / "new.svg").write_bytes(corrected_drawing(answer))
    (mark,) = read_pattern(tmp_path / "new.svg").edge("left", "p", "q").marks
    assert mark.place == pytest.approx(60, abs=1e-6)  # exact by hand: as on the second box


def test_where_no_mark_moves_there_is_no_new_drawing(demo):
    assert corrected_drawing(knee(demo, marks_move=False)) is None
    assert corrected_drawing(answer_seam(SeamQuestion(first="0 50 100", second="0 60 100"))) is None


# The table ------------------------------------------------------------------------------------


def test_the_table_has_each_interval_and_the_whole(demo):
    lines = seam_csv(knee(demo)).decode("utf-8-sig").splitlines()
    assert lines[0].startswith("from,to,inner half [mm],outer half [mm],difference [mm]")
    assert lines[0].endswith("domes the sheet by [deg]")
    assert len(lines) == 6
    assert lines[1].startswith("top,thigh,40.0,44.0,4.0") and lines[1].endswith(",22.4")
    assert lines[5].startswith("top,bottom,162.0,165.0,3.0") and lines[5].endswith(",168.0")
    assert "-0.0" not in "".join(lines)


def test_names_of_the_drawing_cannot_start_a_formula_in_the_table(boxes):
    pattern = boxes(**{"<title>m</title>": "<title>=1+1</title>"})
    assert ",'=1+1," in seam_csv(box(pattern)).decode("utf-8-sig")


def test_files_are_called_after_the_edges(demo, boxes):
    assert file_stem(knee(demo)) == "knee_cup_inner_half_to_outer_half"
    assert file_stem(answer_seam(SeamQuestion(first="0 50", second="0 51"))) == "seam"
    named = SeamQuestion(first="0 50", second="0 51", edge="../fro nt", other_edge="back")
    assert file_stem(answer_seam(named)) == "seam_fro_nt_to_back"
