"""Chains of arcs: one arc cut up is that arc, and each piece keeps to itself.

Kinds of expected values are named beside them. Where a tolerance is not the printed digits it is a
small multiple of the rounding of float64.
"""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import FULL_TURN, Arc, Extreme, Run

patient = settings(deadline=None)

QUARTER = np.pi / 2
BOX = Arcs([15 * np.pi, 100, 15 * np.pi], [QUARTER, 0, QUARTER])
"""Radius 30, flat for 100 mm, radius 30."""
S = Arcs([60 * np.pi, 60 * np.pi], [np.pi, -np.pi])
"""Two half turns of radius 60, there and back."""

pieces = st.lists(
    st.tuples(
        st.floats(1, 300),
        st.one_of(st.just(0.0), st.floats(0.01, 1.2).flatmap(lambda a: st.sampled_from([a, -a]))),
    ),
    min_size=1,
    max_size=8,
).filter(lambda p: abs(sum(t for _, t in p)) < 6.2)


def chain_of(parts):
    return Arcs(*zip(*parts, strict=True))


# What it is -------------------------------------------------------------------------------------


def test_a_box_with_rounded_edges():
    """Exact by hand: 2 · 30 · π/2 + 100, half a turn, 1/30 or 0."""
    assert BOX.length == pytest.approx(30 * np.pi + 100, rel=1e-15)
    assert BOX.turn == pytest.approx(np.pi, rel=1e-15)
    assert not BOX.closed
    assert BOX.corners == ()
    np.testing.assert_allclose(BOX.curvature([0, 40, 60, 140, 160]), [1 / 30, 1 / 30, 0, 0, 1 / 30])
    np.testing.assert_allclose(
        BOX.heading([0, 15 * np.pi / 2, 50, 147, BOX.length]),
        [0, np.pi / 4, QUARTER, QUARTER, np.pi],
        atol=1e-12,
    )
    assert np.shape(BOX.curvature(3.0)) == np.shape(BOX.heading(3.0)) == ()
    assert BOX.heading([[0.0], [50.0]]).shape == (2, 1)


def test_a_joint_has_the_curvature_of_the_piece_that_begins_there():
    """Exact by hand: as the Notes say; the very end belongs to the last piece."""
    chain = Arcs([10, 20, 30], [0.1, -0.4, 0.9])
    np.testing.assert_allclose(chain.curvature([0, 10, 30, 60]), [0.01, -0.02, 0.03, 0.03])


@patient
@given(
    radius=st.floats(5, 500),
    turn=st.floats(0.1, 6.2),
    shares=st.lists(st.floats(0.05, 1), min_size=1, max_size=6),
    offset=st.floats(-0.9, 3),
)
def test_an_arc_in_pieces_is_the_arc(radius, turn, shares, offset):
    """Independent: Arc of the whole."""
    share = np.array(shares) / sum(shares)
    whole, chain = Arc(radius, turn), Arcs(share * radius * turn, share * turn)
    assert chain.length == pytest.approx(whole.length, rel=1e-13)
    assert chain.turn == pytest.approx(whole.turn, rel=1e-13)
    got = float(chain.length_at(offset * radius))
    assert got == pytest.approx(float(whole.length_at(offset * radius)), rel=1e-9)
    assert chain.profile().mouth == pytest.approx(whole.chord, rel=1e-9, abs=1e-9 * radius)
    assert len(chain.runs()) == 1
    assert chain.extremes()[0].curvature == pytest.approx(1 / radius, rel=1e-12)


def test_an_s_needs_nothing_in_all_and_something_in_each_half():
    """Exact by hand: +5π and −5π; each half is 60π long."""
    assert float(S.length_at(5)) == pytest.approx(S.length, rel=1e-14)
    half = 60 * np.pi
    assert float(S.length_at(5, end=half)) - half == pytest.approx(5 * np.pi, rel=1e-12)
    assert float(S.length_at(5, start=half)) - half == pytest.approx(-5 * np.pi, rel=1e-12)


@patient
@given(parts=pieces, offset=st.floats(-15, 15))
def test_parallel_pieces_one_by_one(parts, offset):
    """Independent: each piece by itself, l + d·turn, refused where one of them folds."""
    chain = chain_of(parts)
    each = [length + offset * turn for length, turn in parts]
    if min(x / length for x, (length, _) in zip(each, parts, strict=True)) <= 1e-9:
        with pytest.raises(ValueError, match="folds the layer over itself"):
            chain.length_at(offset)
        return
    assert float(chain.length_at(offset)) == pytest.approx(sum(each), rel=1e-12)
    ends = np.cumsum([0.0, *(length for length, _ in parts)])
    for start, end, want in zip(ends[:-1], ends[1:], each, strict=True):
        got = float(chain.length_at(offset, start=start, end=end))
        assert got == pytest.approx(want, rel=1e-9, abs=1e-9 * chain.length)


@patient
@given(parts=pieces)
def test_walked_backwards(parts):
    """Exact by hand: same length, turn and extremes; the runs in the other order."""
    chain, back = chain_of(parts), chain_of(parts[::-1])
    assert back.length == pytest.approx(chain.length, rel=1e-14)
    assert back.turn == pytest.approx(chain.turn, abs=1e-13)
    np.testing.assert_allclose(
        [run.turn for run in back.runs()], [run.turn for run in chain.runs()][::-1], atol=1e-12
    )
    for mine, theirs in zip(chain.extremes(), back.extremes(), strict=True):
        assert mine.curvature == pytest.approx(theirs.curvature, rel=1e-14)


@patient
@given(parts=pieces, factor=st.floats(0.1, 10))
def test_a_larger_one_has_the_same_turns(parts, factor):
    """Exact by hand: lengths and offsets grow alike, turns stay."""
    chain = chain_of(parts)
    large = Arcs(factor * np.array(chain.lengths), chain.turns)
    assert large.turn == chain.turn
    assert large.length == pytest.approx(factor * chain.length, rel=1e-13)
    assert float(large.length_at(0.3 * factor)) == pytest.approx(
        factor * float(chain.length_at(0.3)), rel=1e-12
    )


# Runs and extremes ------------------------------------------------------------------------------


def test_the_runs_of_a_box():
    """Exact by hand."""
    assert [run.hollow for run in BOX.runs()] == [False, False, False]
    np.testing.assert_allclose(
        BOX.runs(),
        [
            (0, 15 * np.pi, QUARTER),
            (15 * np.pi, 15 * np.pi + 100, 0),
            (15 * np.pi + 100, BOX.length, QUARTER),
        ],
        rtol=1e-13,
    )
    assert BOX.runs()[1].turn == 0.0


def test_neighbours_that_bend_the_same_way_are_one_run():
    """Exact by hand."""
    chain = Arcs([10, 20, 30, 5, 5], [0.1, 0.5, -0.2, -0.1, 0.3])
    assert chain.runs() == (
        Run(0.0, 30.0, pytest.approx(0.6)),
        Run(30.0, 65.0, pytest.approx(-0.3)),
        Run(65.0, 70.0, pytest.approx(0.3)),
    )
    assert [run.hollow for run in chain.runs()] == [False, True, False]


def test_a_short_hollow_between_long_bends_is_found():
    """Exact by hand: 0.01 mm in 2000, which 1024 looks would not meet."""
    chain = Arcs([1000, 0.01, 1000], [1, -0.001, 1])
    assert [run.hollow for run in chain.runs()] == [False, True, False]


def test_the_tightest_piece_of_each_kind_by_its_middle():
    """Exact by hand."""
    chain = Arcs([10, 20, 30, 40], [0.5, -0.1, 0.3, -0.4])
    assert chain.extremes() == (Extreme(-0.01, 80.0), Extreme(0.05, 5.0))
    assert chain.extremes(12, 55) == (Extreme(-0.005, 21.0), Extreme(0.01, 42.5))
    assert chain.extremes(10, 30) == (Extreme(-0.005, 20.0),) * 2  # touching is not within


def test_the_place_of_a_fold():
    """Exact by hand: the second piece has radius 200/π, its middle is 75 mm along."""
    chain = Arcs([50, 50, 100], [0.2, -np.pi / 4, 0])
    with pytest.raises(ValueError, match=r"65 mm folds .* 75\.0 mm .* hollow .* only 63\.66 mm"):
        chain.length_at(65)
    assert float(chain.length_at(65, end=50)) == pytest.approx(50 + 65 * 0.2)
    with pytest.raises(ValueError, match=r"65 mm folds .* 55\.0 mm along"):
        chain.length_at(65, start=0, end=60)


# Closed -----------------------------------------------------------------------------------------


def test_a_stadium():
    """Exact by hand: two straights of 100 and a circle of radius 40."""
    ring = Arcs([100, 40 * np.pi, 100, 40 * np.pi], [0, np.pi, 0, np.pi], closed=True)
    assert ring.closed
    assert ring.length == pytest.approx(200 + 80 * np.pi, rel=1e-15)
    assert float(ring.length_at(10)) == pytest.approx(200 + 100 * np.pi, rel=1e-14)
    assert ring.profile(5).mouth == pytest.approx(0, abs=1e-12)


def test_tape_readings_need_not_close_exactly():
    """Exact by hand: a straight of 101 for 100 leaves the ends 1 mm apart on 452 mm."""
    assert Arcs([101, 40 * np.pi, 100, 40 * np.pi], [0, np.pi, 0, np.pi], closed=True).closed
    with pytest.raises(ValueError, match=r"they are 12\.0 mm apart on a length of 463\.3"):
        Arcs([112, 40 * np.pi, 100, 40 * np.pi], [0, np.pi, 0, np.pi], closed=True)


def test_a_closed_chain_makes_one_full_turn():
    with pytest.raises(ValueError, match=r"^a closed curve makes one full turn, got 180\.0 deg$"):
        Arcs([100, 100], [np.pi, 0], closed=True)
    assert Arcs([100, 100], [np.pi, np.pi]).turn == FULL_TURN  # a ring with an open joint


# What is refused --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lengths", "turns", "words"),
    [
        ([10, 0], [1, 1], r"^lengths must be a finite length above 0 mm, got 0\.0 at index 1$"),
        ([10, math.nan], [1, 1], r"^lengths must be .* got nan at index 1$"),
        ([10, 10], [1, math.inf], r"^turns must be a finite angle in rad, got inf at index 1$"),
        ([10, 2e9], [1, 1], r"^lengths must be at most 1e\+09 mm, got 2e\+09$"),
        ([10, 10], [1], r"one entry for each piece, got shapes \(2,\) and \(1,\)$"),
        (10, 1, r"one entry for each piece, got shapes \(\) and \(\)$"),
        ([], [], r"^lengths must be .* got nothing"),
        ([10, 10], [1, 90], r"^turn of piece 2 must be at most .* got 5157 deg; .* radians$"),
        ([10, 10], [4, 4], r"^turns must come to at most a full turn .* got 458 deg"),
        (np.ones(10_002), np.zeros(10_002), r"^lengths must be at most 10001 pieces, got 10002$"),
    ],
)
def test_what_is_no_chain(lengths, turns, words):
    with pytest.raises(ValueError, match=words):
        Arcs(lengths, turns)


def test_words_are_refused():
    with pytest.raises(TypeError, match=r"^lengths must be .* read text through foamcalc.units"):
        Arcs(["10 mm"], [1])


def test_a_place_off_the_chain_is_refused():
    with pytest.raises(ValueError, match=r"^place must be from 0 to"):
        BOX.curvature([0, 500])


def test_it_cannot_be_changed_and_two_alike_are_equal():
    lengths = np.array([10.0, 20.0])
    chain = Arcs(lengths, [0, 1])
    lengths[:] = 5
    assert chain.length == 30
    assert chain == Arcs((10, 20), (0.0, 1.0))
    assert hash(chain) == hash(Arcs((10, 20), (0.0, 1.0)))
    assert chain != Arcs((10, 20), (0.0, 1.1))
    with pytest.raises(dataclasses.FrozenInstanceError):
        chain.turns = (1,)
