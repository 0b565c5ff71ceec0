"""Bevelled edges: set-back, faces, folds, and the words for the knife."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foamcalc.fit.bevel import (
    bevel_check,
    bevels_for_fold,
    face_difference,
    set_back,
)
from foamcalc.fit.bevel_faces import bevelled
from foamcalc.fit.bevel_words import bevel_words
from foamcalc.fit.limits import Limit
from foamcalc.fit.seam import Seam, SeamEdge
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import Linear
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline

FOAM = Piece(thickness=10, law=Linear(1.5, 0.25))
EIGHTH = math.radians(22.5)


def crown(places=(0, 100, 200), turns=(0.5, 1.0), **said) -> SeamEdge:
    return SeamEdge(name="crown", piece=FOAM, places=places, turns=turns, **said)


# Set-back -------------------------------------------------------------------------------------


def test_ten_mm_at_22_5_degrees_round_half_a_turn():
    # exact by hand: 10 (sqrt 2 - 1) pi = 13.01
    found = face_difference(thickness=10, bevel=EIGHTH, turn=math.pi)
    assert float(found) == pytest.approx(10 * (math.sqrt(2) - 1) * math.pi, rel=1e-14)
    assert float(found) == pytest.approx(13.0, abs=0.05)


def test_a_square_cut_has_equal_faces_and_a_hollow_the_other_sign():
    found = face_difference(thickness=[10, 5], bevel=[0, math.pi / 4], turn=[2, -2])
    # exact by hand
    assert found == pytest.approx([0, -10])
    assert set_back(thickness=5, bevel=math.pi / 4) == pytest.approx(5)


@pytest.mark.parametrize(
    ("bevel", "message"),
    [
        (math.pi / 2, r"from 0 \(cut square\) to below 90 deg, got 90 deg"),
        (-0.1, r"got -5\.73 deg"),
        (22.5, r"if 22\.5 was meant in degrees, write angle\('22\.5 deg'\)"),
        (math.nan, "bevel must be a finite angle in rad, got nan"),
    ],
)
def test_absurd_bevels_are_refused(bevel, message):
    with pytest.raises(ValueError, match=message):
        set_back(thickness=10, bevel=bevel)


# Folds ----------------------------------------------------------------------------------------


def test_equal_sheets_take_half_of_the_fold_each():
    folds = np.radians([0, 30, 90, 120])
    one, two = bevels_for_fold(fold=folds, thickness_a=8, thickness_b=8)
    # exact by hand
    assert one == pytest.approx(folds / 2) and two == pytest.approx(folds / 2)


@given(st.floats(0.05, 3.0), st.floats(2, 12), st.floats(0.5, 2))
def test_unequal_sheets_cover_each_other_face_to_face(fold, thickness, ratio):
    other = thickness * ratio
    if min(ratio, 1 / ratio) < math.cos(fold):
        with pytest.raises(ValueError, match="have no common cut"):
            bevels_for_fold(fold=fold, thickness_a=thickness, thickness_b=other)
        return
    one, two = bevels_for_fold(fold=fold, thickness_a=thickness, thickness_b=other)
    # exact: the cut faces are equally wide and the angles make up the fold
    assert thickness / math.cos(float(one)) == pytest.approx(other / math.cos(float(two)), rel=1e-6)
    assert float(one + two) == pytest.approx(fold)


def test_a_box_corner_of_10_and_5_mm_by_hand():
    one, two = bevels_for_fold(fold=math.pi / 2, thickness_a=10, thickness_b=5)
    # exact by hand: the cut runs over 5 and 10 mm
    assert np.degrees([one, two]) == pytest.approx([math.degrees(math.atan(0.5)), 63.43494882])


@pytest.mark.parametrize(
    ("fold", "message"),
    [
        (math.pi, r"below 180 deg, got 180 deg"),
        (-0.5, r"got -28\.65 deg; in a valley give its size"),
        (math.nan, "fold must be a finite angle"),
    ],
)
def test_impossible_folds_are_refused(fold, message):
    with pytest.raises(ValueError, match=message):
        bevels_for_fold(fold=fold, thickness_a=10, thickness_b=10)


def test_flat_pieces_of_unequal_thickness_have_no_common_cut():
    with pytest.raises(ValueError, match=r"at a fold of 0 deg pieces of 10 and 5 mm"):
        bevels_for_fold(fold=0.0, thickness_a=10, thickness_b=5)


def test_the_steepest_bevel_by_hand_can_be_changed():
    assert bevel_check(math.radians(60)).met
    assert not bevel_check(math.radians(60.1)).met
    mine = Limit(value=0.5, unit="rad", basis="your own", reason="My knife.")
    assert not bevel_check(0.6, mine).met


# Faces ----------------------------------------------------------------------------------------


def test_each_interval_by_its_own_turn():
    found = bevelled(crown(), bevel=math.pi / 4)
    # exact by hand: 10 mm of set-back times 0.5 and 1 rad
    assert found.outside == pytest.approx([100, 100])
    assert found.inside == pytest.approx([95, 90])
    assert found.set_back == pytest.approx(10)
    table = found.table()
    assert table["outside longer by [mm]"].tolist() == pytest.approx([5, 10])


@pytest.mark.parametrize(
    ("drawn", "cut_back", "inside"),
    # exact by hand: the face set back is the shorter one on a convex edge
    [("outside", "inside", 95), ("outside", "outside", 105)],
)
def test_which_face_is_set_back_decides_which_is_longer(drawn, cut_back, inside):
    found = bevelled(crown(), bevel=math.pi / 4, drawn=drawn, cut_back=cut_back)
    assert (found.outside[0], found.inside[0]) == (pytest.approx(100), pytest.approx(inside))
    other = bevelled(crown(), bevel=math.pi / 4, drawn="inside", cut_back=cut_back)
    # exact by hand: drawn for the other face, the difference is the same
    assert other.inside[0] == pytest.approx(100)
    assert other.outside - other.inside == pytest.approx(found.outside - found.inside)


def test_a_drawn_curve_gives_the_same_as_its_turns():
    arc = SeamEdge.from_curve(Arc(100, 1.5), name="crown", piece=FOAM, marks=[("A", 60)])
    plain = SeamEdge(name="crown", piece=FOAM, places=(0, 60, 150), turns=(0.6, 0.9))
    one, two = (bevelled(e, bevel=EIGHTH).inside for e in (arc, plain))
    assert one == pytest.approx(two)
    # independent: an arc of a smaller radius
    assert one == pytest.approx(np.array([0.6, 0.9]) * (100 - 10 * math.tan(EIGHTH)))


def test_an_ellipse_all_round_is_shorter_by_a_full_turn():
    ring = SeamEdge.from_curve(Ellipse(60, 45), name="rim", piece=FOAM)
    found = bevelled(ring, bevel=EIGHTH)
    # exact by hand: 2 pi per mm of set-back
    expected = 2 * math.pi * 10 * math.tan(EIGHTH)
    assert float((found.outside - found.inside).sum()) == pytest.approx(expected)


def test_a_convex_corner_loses_its_two_tangents():
    bent = Polyline([(0, 0), (100, 0), (100, 80)], outside="right")
    edge = SeamEdge.from_curve(bent, name="rim", piece=FOAM)
    found = bevelled(edge, bevel=math.pi / 4)
    # exact by hand: 180 less 2 x 10 x tan 45 deg
    assert found.inside == pytest.approx([160])


def test_marks_carried_across_make_a_seam_on_the_other_face():
    round_ = bevelled(crown(), bevel=math.pi / 4).on("inside")
    flat = SeamEdge(name="wall", piece=FOAM, places=(0, 100, 200), turns=(0, 0))
    there = bevelled(flat, bevel=math.pi / 4).on("inside")
    found = Seam(a=round_, b=there).intervals
    # exact by hand: equal on the outside, 5 and 10 mm apart on the inside
    assert Seam(a=crown(), b=flat).intervals.total == 0
    assert found.difference == pytest.approx([5, 10])
    assert round_.turns == (0.5, 1.0) and round_.labels == crown().labels
    assert bevelled(crown(), bevel=0.3).on("outside") == crown()


@pytest.mark.parametrize(
    ("edge", "message"),
    [
        (crown(turns=None), r"edge 'crown': give its turns"),
        (crown(turns=(0.5, 11.0)), r"from 1 to end the other face would be -10\.0 mm long"),
        (crown(depth=9.0), r"runs 10\.0 mm into a piece that is 9 mm deep"),
        (
            SeamEdge.from_curve(Arc(9, 1.0), name="tight", piece=FOAM),
            r"an offset of 10 mm folds the layer over itself",
        ),
    ],
)
def test_faces_that_cannot_be_are_refused(edge, message):
    with pytest.raises(ValueError, match=message):
        bevelled(edge, bevel=math.pi / 4)


@pytest.mark.parametrize("said", [{"drawn": "top"}, {"cut_back": "top"}])
def test_a_face_is_inside_or_outside(said):
    with pytest.raises(ValueError, match=r"must be one of 'inside', 'outside', got 'top'"):
        bevelled(crown(), bevel=0.3, **said)
    with pytest.raises(ValueError, match=r"face must be one of"):
        bevelled(crown(), bevel=0.3).on("top")


# Words ----------------------------------------------------------------------------------------


def test_the_words_say_angle_faces_and_caution():
    step = bevel_words(bevelled(crown(turns=(math.pi / 2, math.pi / 2)), bevel=EIGHTH))
    assert "Cut crown at 22.5° from square, along the line on the outside" in step.what
    # exact by hand: 13 mm less
    assert "The outside is 200 mm long, the inside 187 mm" in step.what
    assert "cut away from you" in step.caution
    past = bevel_words(bevelled(crown(), bevel=math.pi / 4, cut_back="outside"))
    assert "the inside runs past it by 10 mm" in past.what
    assert "7 7/8 in" in bevel_words(bevelled(crown(), bevel=EIGHTH), system="in").what


def test_a_square_cut_and_a_steep_one():
    assert bevel_words(bevelled(crown(), bevel=0.0)).what == (
        "Cut crown square: both faces are alike."
    )
    steep = bevel_words(bevelled(crown(turns=(0.1, 0.1)), bevel=math.radians(70)))
    assert "By hand no more than 60° (assumed)" in steep.what
    straight = bevel_words(bevelled(crown(turns=(0, 0)), bevel=EIGHTH))
    assert "Both faces are 200 mm long." in straight.what


def test_shapes_that_do_not_fit_are_refused_in_words():
    """Exact by hand: the shapes as they were given."""
    for call in (
        lambda: set_back(thickness=[1, 2], bevel=[0.1, 0.2, 0.3]),
        lambda: face_difference(thickness=[1, 2], bevel=0.1, turn=[1, 2, 3]),
        lambda: bevels_for_fold(fold=[0.1, 0.2], thickness_a=[1, 2, 3], thickness_b=1),
    ):
        with pytest.raises(ValueError, match=r"do not go together: .*\(2,\).*\(3,\)"):
            call()
