"""Edges of a seam as they are typed or drawn, and their marks matched by name or by order."""

from __future__ import annotations

import math

import numpy as np
import pytest

from foamcalc.fit.seam import Seam, SeamEdge
from foamcalc.fit.seam.match import match
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import Linear
from foamcalc.shape.curve import Arc
from foamcalc.shape.pattern import read_pattern
from foamcalc.shape.polyline import Polyline

FOAM = Piece(thickness=10, law=Linear(1.5, 0.25))


def edge(name="front", places=(0.0, 50.0, 90.0, 120.0), **said) -> SeamEdge:
    return SeamEdge(name=name, piece=FOAM, places=places, **said)


# One edge -------------------------------------------------------------------------------------


def test_lengths_between_marks_and_end_to_end():
    shin = edge(places=(12.0, 62.0, 102.0))
    # exact by hand: the tape need not begin at 0
    assert shin.lengths == pytest.approx([50, 40])
    assert shin.length == 90


def test_marks_without_names_are_counted_and_ends_are_called_start_and_end():
    assert edge().labels == ("start", "1", "2", "end")
    assert edge(names=("knee", "calf")).labels == ("start", "knee", "calf", "end")
    assert edge(names=("top", "knee", "calf", "hem")).labels == ("top", "knee", "calf", "hem")


def test_walked_from_the_other_end_everything_is_turned_round():
    back = edge(names=("A", "B"), turns=(0.1, 0.2, -0.3)).backwards()
    # exact by hand
    assert back.places == (0.0, 30.0, 70.0, 120.0)
    assert back.names == ("B", "A")
    assert back.turns == (-0.3, 0.2, 0.1)
    assert back.backwards().places == edge().places


def test_a_drawn_edge_brings_its_marks_and_its_turns():
    drawn = SeamEdge.from_curve(
        Arc(100, 1.2), name="crown", piece=FOAM, marks=[("B", 90), ("A", 30)], depth=40
    )
    # exact by hand: an arc turns by length over radius; marks in any order
    assert drawn.places == pytest.approx((0, 30, 90, 120))
    assert drawn.labels == ("start", "A", "B", "end")
    assert drawn.turns == pytest.approx((0.3, 0.6, 0.3))
    assert drawn.depth == 40


def test_an_edge_of_a_pattern_brings_its_marks_along(tmp_path):
    drawing = tmp_path / "shin.svg"
    drawing.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" '
        'viewBox="0 0 200 100"><path id="shin" d="M10 20 h150"/>'
        '<path id="knee" d="M70 15 v10"/></svg>',
        encoding="utf-8",
    )
    drawn = read_pattern(drawing).edge("shin")
    found = SeamEdge.from_curve(drawn, name="shin", piece=FOAM, marks=drawn.marks)
    # exact by hand: true size
    assert found.places == pytest.approx((0, 60, 150))
    assert found.labels == ("start", "knee", "end")


def test_marks_at_the_very_ends_of_a_drawing_name_the_ends():
    drawn = SeamEdge.from_curve(
        Arc(100, 1.2), name="crown", piece=FOAM, marks=[("nape", 0), ("A", 30), ("brow", 120)]
    )
    assert drawn.labels == ("nape", "A", "brow")
    half = SeamEdge.from_curve(Arc(100, 1.2), name="crown", piece=FOAM, marks=[("brow", 120)])
    assert half.labels == ("start", "brow")


def test_a_corner_at_a_mark_is_shared_by_both_intervals():
    bent = Polyline([(0, 0), (100, 0), (100, 80)], outside="right")
    drawn = SeamEdge.from_curve(bent, name="rim", piece=FOAM, marks=[("corner", 100)])
    # exact by hand: a quarter turn, half of it on either side
    assert np.abs(drawn.turns) == pytest.approx([math.pi / 4, math.pi / 4])


FAULTS = {
    "one place": ({"places": (0.0,)}, r"edge 'front': places must be two or more.*\[0.0\]"),
    "nothing": ({"places": ()}, r"edge 'front': places must be a finite length"),
    "not a number": ({"places": (0, math.nan, 9)}, r"'front': places .* got nan at index 1"),
    "endless": ({"places": (0, math.inf)}, r"'front': places .* got inf at index 1"),
    "out of order": (
        {"places": (0, 60, 50, 90), "names": ("knee", "calf")},
        r"mark 'calf' at 50 mm comes before mark 'knee' at 60 mm; .*walk it again",
    ),
    "no length": ({"places": (0, 50, 50)}, r"mark 'end' at 50 mm stands at the same place as"),
    "doubled name": (
        {"names": ("knee", "knee")},
        r"the name 'knee' stands twice, at 50 and 90 mm; give every mark its own",
    ),
    "name of an end": ({"names": ("end", "B")}, r"the name 'end' stands twice, at 50 and 120"),
    "empty name": ({"names": ("knee", " ")}, r"the name of a mark must be a word.*nothing"),
    "too few names": ({"names": ("knee",)}, r"4 places need 4 names, or 2 if.*got 1: knee"),
    "no depth": ({"depth": 0.0}, r"edge 'front': depth must be a finite length above 0 mm"),
    "depth nan": ({"depth": math.nan}, r"edge 'front': depth"),
    "too few turns": ({"turns": (0.1,)}, r"turns must be one angle an interval, 3 in all, got 1"),
    "turn nan": ({"turns": (0.1, math.nan, 0)}, r"'front': turns .* got nan at index 1"),
    "no name": ({"name": " "}, r"name of an edge must be a word"),
    "off the curve": (
        {"curve": Arc(100, 1.0)},
        r"must lie on the curve, from 0 to 100 mm.* 0 to 12",
    ),
    "curve and turns": (
        {"curve": Arc(100, 1.2), "turns": (0, 0, 0)},
        r"give either the turns or the curve",
    ),
}


@pytest.mark.parametrize(("said", "message"), FAULTS.values(), ids=FAULTS)
def test_a_faulty_edge_is_refused_with_edge_mark_and_value(said, message):
    with pytest.raises(ValueError, match=message):
        edge(**said)


@pytest.mark.parametrize("said", [{"name": 3}, {"names": "AB"}, {"names": (1, 2)}])
def test_what_is_no_word_is_refused(said):
    with pytest.raises(TypeError, match="word"):
        edge(**said)


def test_two_drawn_marks_in_one_place_are_refused():
    with pytest.raises(ValueError, match=r"marks 'A' and 'B' both stand at 30 mm"):
        SeamEdge.from_curve(Arc(99, 1), name="x", piece=FOAM, marks=[("A", 30), ("B", 30)])
    with pytest.raises(ValueError, match=r"edge 'x': mark 'A' must be a finite length"):
        SeamEdge.from_curve(Arc(99, 1), name="x", piece=FOAM, marks=[("A", math.nan)])


# Two edges ------------------------------------------------------------------------------------


def test_names_in_the_same_order_run_the_same_way():
    found = match(edge(names=("A", "B")), edge("back", (0, 51, 88, 118), names=("A", "B")))
    assert (found.reversed, found.by, found.direction) == (False, "name", "names")
    assert found.b.lengths == pytest.approx([51, 37, 30])


def test_names_in_reverse_order_turn_the_second_edge():
    found = match(edge(names=("A", "B")), edge("back", (0, 30, 67, 118), names=("B", "A")))
    assert (found.reversed, found.by, found.direction) == (True, "name", "names")
    # exact by hand
    assert found.b.lengths == pytest.approx([51, 37, 30])


def test_named_ends_tell_the_direction_too():
    a, b = edge(places=(0, 9), names=("top", "hem")), edge("b", (0, 8), names=("hem", "top"))
    assert match(a, b).reversed
    a = edge(places=(0, 9, 20), names=("A",))
    b = edge("b", (0, 11, 19), names=("hem", "A", "top"))
    with pytest.raises(
        ValueError, match=r"mark 'hem' of edge 'b' \(at 0 mm\) is not on edge 'front'"
    ):
        match(a, b)


def test_an_end_named_on_both_drawings_turns_the_second_one():
    a = SeamEdge.from_curve(Arc(100, 1.2), name="a", piece=FOAM, marks=[("A", 30), ("brow", 120)])
    b = SeamEdge.from_curve(Arc(100, 1.2), name="b", piece=FOAM, marks=[("A", 88), ("brow", 0)])
    found = match(a, b)
    assert found.reversed
    # exact by hand
    assert found.b.lengths == pytest.approx([32, 88])


def test_without_names_the_order_counts_and_the_way_is_said():
    b = edge("back", (0, 30, 67, 118))
    same, turned = match(edge(names=("A", "B")), b), match(edge(), b, reverse=True)
    assert (same.reversed, same.by) == (False, "order")
    assert same.direction.startswith("taken to run the same way")
    assert (turned.reversed, turned.direction) == (True, "given")
    assert turned.b.lengths == pytest.approx([51, 37, 30])


def test_one_name_alone_does_not_tell_the_way():
    a, b = edge(places=(0, 5, 9), names=("A",)), edge("back", (0, 3, 9), names=("A",))
    assert not match(a, b).reversed
    assert match(a, b).direction.endswith("too few names")
    assert match(a, b, reverse=True).b.lengths == pytest.approx([6, 3])


MISMATCHES = {
    "counts": (
        edge("back", (0, 50, 120), names=("A",)),
        r"edge 'front' has 4 marks with its ends, edge 'back' has 3; .*\('B'\)",
    ),
    "unknown name": (
        edge("back", names=("A", "Bee")),
        r"mark 'B' of edge 'front' \(at 90 mm\) is not on edge 'back', which has 'A', 'Bee'",
    ),
    "crossing": (
        edge("back", (0, 20, 40, 60, 80, 99), names=("A", "C", "B", "D")),
        r"marks cross: edge 'long' has 'B' before 'C', but edge 'back', which otherwise runs the "
        r"same way, has 'C' at 40 mm before 'B' at 60 mm",
    ),
    "crossing the other way": (
        edge("back", (0, 20, 40, 60, 80, 99), names=("D", "B", "C", "A")),
        r"marks cross: .*otherwise runs the other way, has 'B' at 40 mm before 'C' at 60 mm",
    ),
    "an end that is a mark": (
        edge("back", (0, 20, 60, 80, 99, 120), names=("A", "B", "C", "x", "y", "D")),
        r"mark 'x' of edge 'back' \(at 80 mm\) is not on edge 'long'",
    ),
}


@pytest.mark.parametrize(("b", "message"), MISMATCHES.values(), ids=MISMATCHES)
def test_marks_that_do_not_match_are_refused(b, message):
    long = len(b.places) == 6
    a = (
        edge("long", (0, 10, 30, 50, 70, 90), names=("A", "B", "C", "D"))
        if long
        else edge(names=("A", "B"))
    )
    with pytest.raises(ValueError, match=message):
        match(a, b)


def test_a_near_miss_gets_a_suggestion():
    with pytest.raises(ValueError, match=r"did you mean 'knee'\?"):
        match(edge(names=("kneee", "B")), edge("back", names=("knee", "B")))


def test_a_mark_that_is_an_end_on_the_other_edge_is_refused():
    a = edge("a", (0, 10, 30, 50), names=("A", "B", "C", "end"))
    b = edge("b", (0, 10, 30, 50), names=("start", "A", "B", "C"))
    with pytest.raises(ValueError, match=r"mark 'A' is number 1 along edge 'a'.* number 2 along"):
        match(a, b)


def test_names_against_the_said_direction_are_refused():
    a, b = edge(names=("A", "B")), edge("back", names=("B", "A"))
    with pytest.raises(ValueError, match=r"run the other way as on edge 'front'.*reverse=False"):
        match(a, b, reverse=False)
    assert match(a, b, reverse=True).reversed
    with pytest.raises(TypeError, match=r"reverse must be True, False or left out, got 'yes'"):
        match(a, b, reverse="yes")


def test_two_edges_of_one_name_are_refused():
    with pytest.raises(ValueError, match=r"both edges are called 'side'.*'side left'"):
        Seam(a=edge("side"), b=edge("side"))


def test_two_held_edges_are_refused():
    with pytest.raises(ValueError, match=r"edges 'front' and 'back' are both held"):
        Seam(a=edge(held=True), b=edge("back", held=True))
