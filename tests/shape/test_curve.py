"""Arcs and turned lengths: the sums of a circle, the bench rule, and what is refused.

Kinds of expected values are named beside them. Where a tolerance is not the printed digits it is a
small multiple of the rounding of float64 (2.2e-16) times what the formula makes of it.
"""

from __future__ import annotations

import dataclasses
import math
import re
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays_of

from foamcalc.shape.curve import (
    FULL_TURN,
    Arc,
    Curve,
    Extreme,
    Run,
    TurnedLength,
    checked_turn,
)
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.opening import Opening
from foamcalc.units import angle

patient = settings(deadline=None)  # the first example may have to load scipy
radii = st.floats(1.0, 1e4)
turns = st.floats(0.01, 2 * math.pi).flatmap(lambda a: st.sampled_from([a, -a]))
lengths = st.floats(1.0, 1e4)


# Arc: the sums of a circle ----------------------------------------------------------------------


def test_half_a_circle():
    """Exact by hand: radius 50, half a turn."""
    bend = Arc(radius=50, turn=math.pi)
    assert bend.length == pytest.approx(50 * math.pi, rel=1e-15)
    assert bend.chord == pytest.approx(100, rel=1e-15)
    assert bend.rise == pytest.approx(50, rel=1e-15)
    assert not bend.closed


def test_a_quarter_circle_and_three_quarters():
    """Exact by hand: both have the chord R√2; the rises are R(1 ∓ √½)."""
    quarter, rest = Arc(radius=10, turn=math.pi / 2), Arc(radius=10, turn=3 * math.pi / 2)
    assert quarter.chord == pytest.approx(10 * math.sqrt(2), rel=1e-15)
    assert rest.chord == pytest.approx(10 * math.sqrt(2), rel=1e-15)
    assert quarter.rise == pytest.approx(10 * (1 - math.sqrt(0.5)), rel=1e-14)
    assert rest.rise == pytest.approx(10 * (1 + math.sqrt(0.5)), rel=1e-14)


def test_a_hollow_mirrors_the_bend():
    """Exact by hand: a hollow of radius 80 and a sixth of a turn has the chord R, rise down."""
    hollow = Arc(radius=80, turn=-math.pi / 3)
    assert hollow.length == pytest.approx(80 * math.pi / 3, rel=1e-15)
    assert hollow.chord == pytest.approx(80, rel=1e-14)
    assert hollow.rise == pytest.approx(-80 * (1 - math.sqrt(3) / 2), rel=1e-14)


@pytest.mark.parametrize("turn", [FULL_TURN, -FULL_TURN])
def test_a_whole_circle_closes(turn):
    """Exact by hand: no distance between the ends, the middle is a diameter away."""
    ring = Arc(radius=40, turn=turn, closed=True)
    assert ring.closed
    assert ring.length == pytest.approx(80 * math.pi, rel=1e-15)
    assert ring.chord == pytest.approx(0, abs=1e-13)
    assert ring.rise == pytest.approx(math.copysign(80, turn), rel=1e-15)


@patient
@given(radius=radii, turn=turns)
def test_curvature_and_heading_of_an_arc(radius, turn):
    """Exact by hand: 1/R everywhere; the heading grows evenly and ends at the turn."""
    bend = Arc(radius=radius, turn=turn)
    place = np.array([[0.0, 0.25], [0.5, 1.0]]) * bend.length
    sign = math.copysign(1.0, turn)
    np.testing.assert_allclose(bend.curvature(place), np.full((2, 2), sign / radius), rtol=1e-15)
    np.testing.assert_allclose(
        bend.heading(place), np.array([[0.0, 0.25], [0.5, 1.0]]) * turn, rtol=1e-14
    )
    assert np.shape(bend.curvature(bend.length / 2)) == ()
    assert np.shape(bend.heading(bend.length / 2)) == ()


def test_an_arc_is_evenly_curved():
    """Exact by hand: the most hollow and the most convex place are one, named by the middle."""
    assert Arc(radius=50, turn=math.pi).extremes() == (Extreme(0.02, 25 * math.pi),) * 2
    assert Arc(radius=50, turn=-math.pi).extremes() == (Extreme(-0.02, 25 * math.pi),) * 2


def test_values_are_kept_as_plain_floats_that_cannot_be_changed():
    bend = Arc(radius=np.int64(50), turn=np.float32(1.5))
    assert type(bend.radius) is float
    assert type(bend.turn) is float
    piece = TurnedLength(length=np.int8(100), turn=0)
    assert type(piece.length) is float
    assert type(piece.turn) is float
    for curve, field in ((bend, "radius"), (piece, "length")):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(curve, field, 1.0)


# Arc: from what can be measured -----------------------------------------------------------------


def test_a_contour_21_across_and_6_high():
    """Exact by hand: R = (10.5² + 6²)/12 = 146.25/12; arc = R·4·atan(12/21) = 25.308373."""
    bend = Arc.from_chord(chord=21, rise=6)
    assert bend.radius == pytest.approx(12.1875, rel=1e-15)
    assert bend.turn == pytest.approx(4 * math.atan2(12, 21), rel=1e-15)
    assert bend.length == pytest.approx(25.308373, abs=5e-7)
    assert bend.chord == pytest.approx(21, rel=1e-14)
    assert bend.rise == pytest.approx(6, rel=1e-14)


def test_rise_of_half_the_chord_is_half_a_turn_and_more_is_more():
    """Exact by hand: 2h = c is a half circle; 3-4-5: chord 6, rise 9 is radius 5, centre 4 up."""
    assert Arc.from_chord(chord=100, rise=50).turn == pytest.approx(math.pi, rel=1e-15)
    beyond = Arc.from_chord(chord=6, rise=9)
    assert beyond.radius == pytest.approx(5, rel=1e-15)
    assert beyond.turn == pytest.approx(2 * math.pi - 2 * math.asin(3 / 5), rel=1e-14)


@patient
@given(radius=radii, turn=turns.filter(lambda a: abs(a) < 6.28))
def test_chord_and_rise_give_the_arc_back(radius, turn):
    """Round trip, hollows and more than half a turn included.

    The rise of a gentle arc is the small difference of two numbers near R, so its rounding of
    about 2e-16·R becomes 8·2e-16/turn in a turn of 8·rise/chord.
    """
    bend = Arc(radius=radius, turn=turn)
    back = Arc.from_chord(chord=bend.chord, rise=bend.rise)
    slack = 32 * np.finfo(float).eps / turn**2 + 1e-13
    assert back.turn == pytest.approx(turn, rel=slack)
    assert back.radius == pytest.approx(radius, rel=slack)


@patient
@given(length=lengths, turn=st.floats(0.05, 6.28))
def test_length_and_mouth_give_the_arc_back(length, turn):
    """Round trip. mouth/length is flat at turn 0: 1 − turn²/24; rounding grows to 12·eps/turn."""
    mouth = length * math.sin(turn / 2) / (turn / 2)
    back = Arc.from_mouth(length=length, mouth=mouth)
    slack = 48 * np.finfo(float).eps / turn**2 + 1e-12
    assert back.turn == pytest.approx(turn, rel=slack)
    assert back.length == pytest.approx(length, rel=1e-14)
    assert back.chord == pytest.approx(mouth, rel=1e-11, abs=1e-13 * length)


def test_known_mouths():
    """Exact by hand: half a turn keeps 2/π of the length, a third of a turn 3√3/2π."""
    half = Arc.from_mouth(length=50 * math.pi, mouth=100)
    assert (half.radius, half.turn) == pytest.approx((50, math.pi), rel=1e-12)
    third = Arc.from_mouth(length=2 * math.pi, mouth=3 * math.sqrt(3))
    assert (third.radius, third.turn) == pytest.approx((3, 2 * math.pi / 3), rel=1e-12)


def test_a_mouth_measured_between_the_inside_ends():
    """Exact by hand: 60 outside and 10 thick is 50 inside; half a turn is 100 across there."""
    shell = Arc.from_mouth(length=60 * math.pi, mouth=100, depth=10)
    assert (shell.radius, shell.turn) == pytest.approx((60, math.pi), rel=1e-12)


@patient
@given(radius=radii, turn=st.floats(0.05, 6.28), share=st.floats(0, 0.9))
def test_length_outside_and_mouth_inside_give_the_arc_back(radius, turn, share):
    """Round trip: the mouth is the chord of the circle `depth` farther in."""
    depth = share * radius
    mouth = 2 * (radius - depth) * math.sin(turn / 2)
    back = Arc.from_mouth(length=radius * turn, mouth=mouth, depth=depth)
    slack = 96 * np.finfo(float).eps / turn**2 + 2e-12
    assert back.turn == pytest.approx(turn, rel=slack)
    assert back.radius == pytest.approx(radius, rel=slack)


def test_a_mouth_of_nothing_is_a_whole_turn():
    """Exact by hand: ends that touch make a circle of girth 100."""
    ring = Arc.from_mouth(length=100, mouth=0)
    assert ring.turn == pytest.approx(2 * math.pi, rel=1e-14)
    assert ring.radius == pytest.approx(50 / math.pi, rel=1e-14)


# The length at an offset ------------------------------------------------------------------------


def test_half_a_turn_at_7_5_mm():
    """Exact by hand: 7.5 π = 23.562, whatever the radius."""
    for radius in (20, 50, 300):
        bend = Arc(radius=radius, turn=math.pi)
        gap = bend.length_at(7.5) - bend.length
        assert gap == pytest.approx(7.5 * math.pi, rel=1e-12)
        assert f"{gap:.3f}" == "23.562"


def test_a_ring_costs_2_pi_per_mm_and_an_arc_its_own_angle():
    """Exact by hand: concentric circles."""
    assert Arc(40, FULL_TURN, closed=True).length_at(10) == pytest.approx(100 * math.pi, rel=1e-15)
    assert Arc(100, math.pi / 2).length_at(5) == pytest.approx(105 * math.pi / 2, rel=1e-15)
    assert Arc(100, math.pi / 2).length_at(-5) == pytest.approx(95 * math.pi / 2, rel=1e-15)


def test_outside_a_hollow_the_piece_is_too_long():
    """Exact by hand: the face 5 mm out of a hollow of radius 60 has radius 55."""
    assert Arc(60, -math.pi).length_at(5) == pytest.approx(55 * math.pi, rel=1e-15)
    assert Arc(60, -math.pi).length_at(-5) == pytest.approx(65 * math.pi, rel=1e-15)


def test_an_s_of_two_half_turns_needs_nothing_in_all():
    """Exact by hand: +d π and −d π; each half by itself is off by 5/60."""
    bend, hollow = Arc(60, math.pi), Arc(60, -math.pi)
    total = bend.length_at([0, 5, 10]) + hollow.length_at([0, 5, 10])
    np.testing.assert_allclose(total, 120 * math.pi, rtol=1e-15)
    assert bend.length_at(5) / bend.length - 1 == pytest.approx(5 / 60, rel=1e-13)
    assert hollow.length_at(5) / hollow.length - 1 == pytest.approx(-5 / 60, rel=1e-13)
    assert TurnedLength(120 * math.pi, turn=0).length_at(5) == pytest.approx(120 * math.pi)


@patient
@given(radius=radii, turn=turns, share=st.floats(-0.99, 50))
def test_a_parallel_arc_is_an_arc_of_the_new_radius(radius, turn, share):
    """Exact by hand: |turn|·(R ± d) with the sign of the turn."""
    offset = share * radius * math.copysign(1.0, turn)
    got = float(Arc(radius, turn).length_at(offset))
    assert got == pytest.approx(abs(turn) * (radius + share * radius), rel=1e-12)


@patient
@given(length=lengths, turn=turns, offset=st.floats(-100, 100), factor=st.floats(0, 1))
def test_the_gap_is_in_proportion_to_the_turn_and_blind_to_the_length(length, turn, offset, factor):
    """Exact by hand: gap = offset·turn. An offset that folds the curve is refused."""
    full, part = TurnedLength(length, turn), TurnedLength(length, factor * turn)
    if length + offset * turn <= 1e-9 * length:
        if length + offset * turn <= -1e-9 * length:
            with pytest.raises(ValueError, match="folds the layer"):
                full.length_at(offset)
        return
    gap = float(full.length_at(offset)) - length
    slack = 1e-15 * (length + abs(offset * turn)) * 4
    assert gap == pytest.approx(offset * turn, rel=1e-12, abs=slack)
    assert float(part.length_at(offset)) - length == pytest.approx(
        factor * gap, rel=1e-12, abs=2 * slack
    )
    assert float(TurnedLength(2 * length, turn).length_at(offset)) - 2 * length == pytest.approx(
        gap, rel=1e-12, abs=3 * slack
    )


@patient
@given(
    offsets=arrays_of.arrays(
        float,
        arrays_of.array_shapes(min_dims=0, max_dims=3, max_side=4),
        elements=st.floats(-49, 1e3),
    )
)
def test_offsets_may_be_an_array_of_any_shape(offsets):
    """Independent: plain Python, one number at a time."""
    got = Arc(50, math.pi).length_at(offsets)
    assert np.shape(got) == offsets.shape
    for index in np.ndindex(offsets.shape):
        assert got[index] == pytest.approx(50 * math.pi + math.pi * offsets[index], rel=1e-13)


# Folding ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("turn", "offset", "side"),
    [(math.pi, -50.5, "bend"), (-math.pi, 50.5, "hollow"), (math.pi / 2, -1e6, "bend")],
)
def test_a_fold_is_refused_with_place_and_depth(turn, offset, side):
    """Exact by hand: the middle of the arc stands for all of it, the depth is its radius."""
    place = 25 * abs(turn)
    with pytest.raises(ValueError, match="folds the layer over itself") as caught:
        Arc(50, turn).length_at(offset)
    text = str(caught.value)
    assert f"{abs(offset):g} mm" in text
    assert f"{place:.1f} mm along the curve" in text
    assert f"the {side} has a radius of only 50.00 mm" in text
    assert "use an offset below that" in text


@pytest.mark.parametrize("radius", [50, 49, 98, 103, 107, 161, 0.1, 12.1875])
@pytest.mark.parametrize("sign", [1, -1])
def test_exactly_at_the_limit_the_layer_folds(radius, sign):
    """Exact by hand: at the depth of the radius nothing is left of the arc.

    49, 98, 103 … are radii for which r·(1/r) is not 1 in floating point.
    """
    curve = Arc(radius, sign * math.pi)
    with pytest.raises(ValueError, match="folds the layer over itself"):
        curve.length_at(-sign * radius)
    assert curve.length_at(-sign * radius * (1 - 1e-6)) == pytest.approx(
        radius * math.pi * 1e-6, rel=1e-8
    )
    assert curve.length_at(sign * radius) == pytest.approx(2 * radius * math.pi, rel=1e-14)


def test_one_bad_offset_in_an_array_is_enough():
    with pytest.raises(ValueError, match=r"60 mm folds the layer over itself: 78\.5 mm along"):
        Arc(50, math.pi).length_at([[0, 5], [-60, 10]])
    with pytest.raises(ValueError, match=r"70 mm folds"):  # the deepest one is named
        Arc(50, math.pi).length_at([-60, 5, -70])
    assert Arc(50, math.pi).length_at([0, 60, -40]).shape == (3,)


def test_a_turned_length_folds_as_if_evenly_curved():
    """Exact by hand: 100 mm over 2 rad is a radius of 50; a straight piece never folds."""
    with pytest.raises(ValueError, match=r"50\.0 mm along the curve the bend .* 50\.00 mm"):
        TurnedLength(100, 2).length_at(-50.1)
    with pytest.raises(ValueError, match=r"hollow has a radius of only 50\.00 mm"):
        TurnedLength(100, -2).length_at(50.1)
    np.testing.assert_array_equal(TurnedLength(100, 0).length_at([-1e6, 1e6]), [100.0, 100.0])


@pytest.mark.parametrize("offset", [math.nan, math.inf, [0, math.nan], []])
def test_an_offset_that_is_no_length_is_refused(offset):
    with pytest.raises(ValueError, match=r"^offset must be a finite length in mm, got"):
        Arc(50, math.pi).length_at(offset)


def test_an_offset_in_words_is_refused():
    with pytest.raises(TypeError, match=r"^offset must be .* read text through foamcalc.units"):
        Arc(50, math.pi).length_at("7.5 mm")


# Between two places ----------------------------------------------------------------------------


class Swing(Curve):
    """Curvature a·sin(2πs/100) over 100 mm, for whatever Curve does by itself.

    Exact by hand: the heading is a·100/2π·(1 − cos(2πs/100)).
    """

    length = 100.0
    turn = 0.0

    def __init__(self, most=0.05, shift=0.0):
        self.most, self.shift = most, shift

    def curvature(self, place):
        return self.most * np.sin(2 * np.pi * self.on_curve(place) / 100) + self.shift

    def heading(self, place):
        s = self.on_curve(place)
        wave = self.most * 100 / (2 * np.pi) * (1 - np.cos(2 * np.pi * s / 100))
        return wave + self.shift * s

    def extremes(self, start=0.0, end=None):
        places = np.linspace(*self.between(start, end), 4001)
        k = self.curvature(places)
        return tuple(Extreme(float(k[i]), float(places[i])) for i in (k.argmin(), k.argmax()))


@patient
@given(
    radius=st.floats(5, 500),
    turn=st.floats(0.1, 6.28),
    cut=st.tuples(st.floats(0, 1), st.floats(0, 1)).filter(lambda c: abs(c[0] - c[1]) > 0.01),
    share=st.floats(-0.9, 3),
)
def test_a_part_of_an_arc_is_the_arc_of_that_part(radius, turn, cut, share):
    """Exact by hand: the part has the same radius and its share of the turn."""
    low, high = min(cut), max(cut)
    for curve in (Arc(radius, turn), TurnedLength(radius * turn, turn)):
        got = curve.length_at(
            share * radius, start=low * curve.length, end=min(high * curve.length, curve.length)
        )
        want = (high - low) * turn * radius * (1 + share)
        assert float(got) == pytest.approx(want, rel=1e-9)


@pytest.mark.parametrize(
    "curve", [Arc(50, 2.5), TurnedLength(90, -1), Ellipse(60, 45), Ellipse(80, 30, 0.2, 4)]
)
def test_without_places_nothing_has_changed(curve):
    """Exact by hand: L + d·turn, to the last bit, also where both ends are named."""
    for offset in (-3.3, 0.0, 7.7):
        plain = curve.length + offset * curve.turn
        assert float(curve.length_at(offset)) == plain
        assert float(curve.length_at(offset, start=0, end=curve.length)) == plain


@patient
@given(
    a=st.floats(20, 90),
    b=st.floats(20, 90),
    cuts=st.lists(st.floats(0.02, 0.98), min_size=1, max_size=4, unique=True),
    offset=st.floats(-4, 20),
)
def test_parts_add_up_to_the_whole(a, b, cuts, offset):
    """Exact by hand: what the parallel curve is long, its parts are long together."""
    curve = Ellipse(a, b, 0.3, 5.5)
    places = [0.0, *sorted(c * curve.length for c in cuts), curve.length]
    pieces = [(i, j) for i, j in pairwise(places) if j - i > 1e-6]
    if len(pieces) != len(places) - 1:
        return
    try:
        whole = float(curve.length_at(offset))
    except ValueError:
        return
    parts = sum(float(curve.length_at(offset, start=i, end=j)) for i, j in pieces)
    assert parts == pytest.approx(whole, rel=1e-9)


def test_a_quarter_of_an_ellipse_by_place():
    """Independent: the ellipse cut there by its angle; tightest where its own end is."""
    whole, quarter = Ellipse(60, 45), Ellipse(60, 45, np.pi / 2, np.pi)
    start = Ellipse(60, 45, 0, np.pi / 2).length
    part = {"start": start, "end": start + quarter.length}
    assert float(whole.length_at(5, **part)) == pytest.approx(float(quarter.length_at(5)), rel=1e-9)
    for mine, theirs in zip(whole.extremes(**part), quarter.extremes(), strict=True):
        assert mine.curvature == pytest.approx(theirs.curvature, rel=1e-9)
        assert mine.place == pytest.approx(theirs.place + start, abs=1e-6)


def test_the_fold_is_looked_for_within_the_run_only():
    """Exact by hand: radius 33.75 at the long axis, 80 at the short one, 60·45/75³ between."""
    curve = Ellipse(60, 45)
    quarter = curve.length / 4
    with pytest.raises(ValueError, match=r"34 mm folds .*: 0\.0 mm along .* only 33\.75 mm"):
        curve.length_at(-34, end=20)
    gentle = curve.length_at(-34, start=quarter - 20, end=quarter + 20)
    assert 0 < float(gentle) < 40
    with pytest.raises(ValueError, match=r"80\.5 mm folds"):
        curve.length_at(-80.5, start=quarter - 1, end=quarter + 1)


@pytest.mark.parametrize("run", [(50, 50), (60, 40), (-1, 40), (10, 101), (101, None), (100, None)])
def test_places_out_of_order_are_refused(run):
    with pytest.raises(ValueError, match=r"^start and end must lie in this order .* 100 mm, got"):
        TurnedLength(100, 1).length_at(5, start=run[0], end=run[1])


@pytest.mark.parametrize(("name", "value"), [("start", math.nan), ("end", math.inf)])
def test_a_place_that_is_no_length_is_refused(name, value):
    with pytest.raises(ValueError, match=f"^{name} must be a finite length in mm"):
        TurnedLength(100, 1).length_at(5, **{name: value})


# Runs -------------------------------------------------------------------------------------------


def test_simple_curves_are_one_run_and_have_no_corners():
    """Exact by hand."""
    assert Arc(50, 2).runs() == (Run(0.0, 100.0, 2.0),)
    assert Arc(50, -2).runs() == (Run(0.0, 100.0, -2.0),)
    assert TurnedLength(100, 0).runs() == (Run(0.0, 100.0, 0.0),)
    assert [run.hollow for curve in (Arc(50, 2), Arc(50, -2)) for run in curve.runs()] == [
        False,
        True,
    ]
    assert not TurnedLength(100, 0).runs()[0].hollow
    (ring,) = Ellipse(60, 45).runs()
    assert ring == pytest.approx((0, Ellipse(60, 45).length, 2 * np.pi))
    assert Arc(50, 2).corners == Ellipse(60, 45).corners == ()


def test_a_swing_is_a_bend_and_a_hollow():
    """Exact by hand: the curvature is 0 at 50 mm; each half turns by a·100/π."""
    bend, hollow = Swing().runs()
    assert bend == pytest.approx((0, 50, 5 / np.pi), abs=1e-6)
    assert hollow == pytest.approx((50, 100, -5 / np.pi), abs=1e-6)
    assert hollow.hollow and not bend.hollow
    assert bend.end == hollow.start
    assert hollow.end == Swing.length


@pytest.mark.parametrize("shift", [0.02, -0.03])
def test_the_runs_end_where_the_curvature_is_nothing(shift):
    """Exact by hand: a·sin(2πs/100) = −shift."""
    crossing = sorted(
        (100 * np.arcsin(-shift / 0.05) / (2 * np.pi)) % 100
        if k == 0
        else (50 - 100 * np.arcsin(-shift / 0.05) / (2 * np.pi)) % 100
        for k in (0, 1)
    )
    runs = Swing(shift=shift).runs()
    # A curvature below 1e-9 of 1/length counts as none: 1e-11 over a slope of 0.003, 4e-9 mm.
    assert [run.end for run in runs[:-1]] == pytest.approx(crossing, abs=1e-8)
    assert sum(run.turn for run in runs) == pytest.approx(100 * shift, rel=1e-12)
    for before, after in pairwise(runs):
        assert before.end == after.start
        assert before.hollow != after.hollow


def test_a_curvature_that_touches_nothing_is_still_one_run():
    """Exact by hand: a·sin + a is 0 at 75 mm only."""
    (run,) = Swing(shift=0.05).runs()
    assert run == pytest.approx((0, 100, 5), rel=1e-12)


class Bent(Swing):
    """Radius 100 with a straight piece from 30.03 to 60.07 mm; exact by hand."""

    turn = 0.01 * (100 - 30.04)

    def curvature(self, place):
        s = self.on_curve(place)
        return np.where((s > 30.03) & (s < 60.07), 0.0, 0.01)

    def heading(self, place):
        s = self.on_curve(place)
        return 0.01 * (np.minimum(s, 30.03) + np.maximum(s - 60.07, 0))


def test_a_straight_piece_is_a_run_of_its_own():
    """Exact by hand."""
    first, level, last = Bent().runs()
    assert first == pytest.approx((0, 30.03, 0.3003), abs=1e-9)
    assert level == pytest.approx((30.03, 60.07, 0), abs=1e-9)
    assert level.turn == 0.0
    assert last == pytest.approx((60.07, 100, 0.3993), abs=1e-9)


# TurnedLength -----------------------------------------------------------------------------------


def test_a_turned_length_is_evenly_curved():
    """Exact by hand: 200 mm over 4 rad."""
    piece = TurnedLength(200, 4)
    np.testing.assert_allclose(piece.curvature([0, 50, 200]), [0.02, 0.02, 0.02], rtol=1e-15)
    np.testing.assert_allclose(piece.heading([0, 50, 200]), [0, 1, 4], rtol=1e-15)
    assert piece.extremes() == (Extreme(0.02, 100.0), Extreme(0.02, 100.0))
    hollow = TurnedLength(200, -4)
    assert hollow.extremes() == (Extreme(-0.02, 100.0), Extreme(-0.02, 100.0))
    np.testing.assert_allclose(hollow.curvature([0, 200]), [-0.02, -0.02], rtol=1e-15)
    np.testing.assert_allclose(hollow.heading([0, 200]), [0, -4], rtol=1e-15)
    assert np.shape(piece.curvature(3.0)) == np.shape(piece.heading(3.0)) == ()


@patient
@given(radius=radii, turn=turns, share=st.floats(-0.9, 9))
def test_a_turned_length_agrees_with_the_arc_of_its_length_and_turn(radius, turn, share):
    """Independent: two classes, one rule."""
    arc = Arc(radius, turn)
    piece = TurnedLength(arc.length, turn)
    offset = share * radius * math.copysign(1, turn)
    assert float(piece.length_at(offset)) == pytest.approx(float(arc.length_at(offset)), rel=1e-12)


# What is refused --------------------------------------------------------------------------------

BAD_LENGTHS = [0, -1.5, math.nan, math.inf, -math.inf]


@pytest.mark.parametrize("value", BAD_LENGTHS)
@pytest.mark.parametrize(
    ("name", "make"),
    [
        ("radius", lambda v: Arc(v, 1.0)),
        ("length", lambda v: TurnedLength(v, 1.0)),
        ("chord", lambda v: Arc.from_chord(chord=v, rise=1.0)),
        ("length", lambda v: Arc.from_mouth(length=v, mouth=1.0)),
    ],
)
def test_a_length_must_be_above_0(name, make, value):
    text = f"{name} must be a finite length above 0 mm, got {float(value)!r}"
    with pytest.raises(ValueError, match=f"^{re.escape(text)}$"):
        make(value)


@pytest.mark.parametrize("kind", [Arc, TurnedLength])
@pytest.mark.parametrize("sign", [1, -1])
def test_more_than_a_full_turn_is_refused(kind, sign):
    """400 deg is refused and said back in degrees; exactly 360 deg passes."""
    with pytest.raises(ValueError, match=rf"at most a full turn .*, got {sign * 400} deg; "):
        kind(50, sign * math.radians(400))
    assert kind(50, sign * math.radians(360)).turn == pytest.approx(sign * 2 * math.pi)
    with pytest.raises(ValueError, match="at most a full turn"):
        kind(50, sign * (2 * math.pi + 1e-6))


@pytest.mark.parametrize("kind", [Arc, TurnedLength])
def test_degrees_typed_as_radians_get_the_remedy(kind):
    """The remedy named in the error must itself work."""
    with pytest.raises(ValueError, match="if it was meant in degrees") as caught:
        kind(50, 90)
    assert "got 5157 deg" in str(caught.value)  # exact by hand: 90 · 180/π = 5156.6
    assert "the number given was 90 rad" in str(caught.value)
    assert "foamcalc.units.angle('90 deg') gives radians" in str(caught.value)
    assert kind(50, angle("90 deg")).turn == pytest.approx(math.pi / 2, rel=1e-15)


@pytest.mark.parametrize("turn", [math.nan, math.inf])
@pytest.mark.parametrize("kind", [Arc, TurnedLength])
def test_a_turn_must_be_finite(kind, turn):
    with pytest.raises(ValueError, match=f"^turn must be a finite angle in rad, got {turn}$"):
        kind(50, turn)


def test_turns_are_checked_alike_everywhere():
    assert checked_turn(-1) == -1.0
    assert type(checked_turn(np.float32(0.5))) is float
    with pytest.raises(TypeError, match=r"^turn must be .* read text through foamcalc.units"):
        checked_turn("90 deg")


def test_a_straight_arc_is_refused_and_a_straight_length_is_not():
    for zero in (0, 0.0, -0.0):
        with pytest.raises(ValueError, match=r"^turn of an arc must not be 0"):
            Arc(50, zero)
        with pytest.raises(ValueError, match=r"^rise must not be 0"):
            Arc.from_chord(chord=21, rise=zero)
    assert TurnedLength(50, 0).turn == 0


def test_a_closed_arc_makes_one_full_turn():
    with pytest.raises(ValueError, match=r"^a closed curve makes one full turn, got 180\.0 deg$"):
        Arc(50, math.pi, closed=True)
    assert not Arc(50, FULL_TURN).closed  # a ring with an open joint


@pytest.mark.parametrize("mouth", [100, 100.5, -1e-9])
def test_a_mouth_outside_0_to_the_length_is_refused(mouth):
    with pytest.raises(ValueError, match=r"^mouth must be from 0 mm to below .* \(100 mm\), got"):
        Arc.from_mouth(length=100, mouth=mouth)


def test_a_depth_that_leaves_no_inside_is_refused():
    """Exact by hand: 100 long, 20 thick, inside ends that touch: 5 rad about a single point."""
    with pytest.raises(ValueError, match="depth"):
        Arc.from_mouth(length=100, mouth=0, depth=20)
    ring = Arc.from_mouth(length=100, mouth=0, depth=15)  # radius 50/π = 15.9 leaves 0.9 inside
    assert ring.turn == pytest.approx(2 * math.pi, rel=1e-14)


def test_a_mouth_as_long_as_the_piece_to_the_last_digit_is_straight():
    with pytest.raises(ValueError, match=r"is a straight piece: no turn$"):
        Arc.from_mouth(length=100, mouth=100 - 1e-9)


@pytest.mark.parametrize(
    ("name", "make"),
    [
        ("rise", lambda: Arc.from_chord(chord=21, rise=math.nan)),
        ("mouth", lambda: Arc.from_mouth(length=100, mouth=math.nan)),
        ("depth", lambda: Arc.from_mouth(length=100, mouth=50, depth=math.nan)),
        ("place", lambda: Arc(50, 1).curvature(math.nan)),
        ("place", lambda: Arc(50, 1).heading([1, math.inf])),
        ("place", lambda: TurnedLength(50, 1).curvature(math.nan)),
        ("place", lambda: TurnedLength(50, 1).heading([1, math.inf])),
    ],
)
def test_the_argument_that_is_not_finite_is_named(name, make):
    with pytest.raises(ValueError, match=f"^{name} must be a finite length in mm"):
        make()


@pytest.mark.parametrize(
    ("name", "make"),
    [
        ("radius", lambda: Arc([50, 60], 1.0)),
        ("turn", lambda: Arc(50, [1.0, 2.0])),
        ("length", lambda: TurnedLength([50, 60], 1.0)),
        ("chord", lambda: Arc.from_chord(chord=[21, 22], rise=6)),
    ],
)
def test_one_arc_takes_one_number_and_says_which(name, make):
    with pytest.raises((TypeError, ValueError), match=f"^{name} "):
        make()


@pytest.mark.parametrize("curve", [Arc(50, math.pi), TurnedLength(100, 2)])
@pytest.mark.parametrize("beyond", [-1.0, 1.0])
def test_a_place_off_the_curve_is_refused(curve, beyond):
    place = -1.0 if beyond < 0 else curve.length + 1.0
    for ask in (curve.curvature, curve.heading):
        with pytest.raises(ValueError, match=r"^place must be"):
            ask([0.0, place])


def test_a_closed_length_makes_one_full_turn():
    with pytest.raises(ValueError, match="full turn"):
        TurnedLength(100, 1.0, closed=True)
    assert TurnedLength(100, FULL_TURN, closed=True).closed


def test_an_opening_is_the_edge_of_its_disc_turned_inside_out():
    disc = Ellipse(60, 45, 0, 2 * np.pi)
    hole, shape = Opening(disc), shapely.Point(0, 0).buffer(1, quad_segs=4000)
    inside = shapely.affinity.scale(shape, 60, 45).buffer(-4, quad_segs=4000)
    # independent library: shapely's buffer of the disc, 4 mm inwards
    assert hole.length_at(4) == pytest.approx(inside.exterior.length, rel=1e-6)
    assert hole.closed and hole.turn == -2 * np.pi and all(run.hollow for run in hole.runs())
    hollow, convex = hole.extremes()
    # exact by hand: an ellipse is tightest at its tips, b^2/a, and easiest beside them, a^2/b
    assert (hollow.curvature, convex.curvature) == pytest.approx((-60 / 45**2, -45 / 60**2))
    assert hole.heading(disc.length) == pytest.approx(-2 * np.pi)
    with pytest.raises(ValueError, match="folds"):
        hole.length_at(34)
