"""Chains of arcs: exact circles, an integrator, the Fresnel integrals, and the rules of moving."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.special import fresnel

from foamcalc.shape.curve import Arc
from foamcalc.shape.profile import Profile, chain

patient = settings(deadline=None)  # the first example may have to load scipy

#: Up to eight arcs of 1 to 300 mm, bends and hollows mixed.
arcs = st.lists(st.tuples(st.floats(1, 300), st.floats(-2, 2)), min_size=1, max_size=8).map(
    lambda pairs: tuple(np.array(column) for column in zip(*pairs, strict=True))
)

#: An invented shell: rim, shoulder, crown, a hollow behind it, back.
LENGTHS = np.array([40.0, 55.0, 80.0, 30.0, 60.0])
TURNS = np.array([0.3, 1.1, 0.8, -0.5, 0.9])


# Exact by hand ----------------------------------------------------------------------------------


def test_half_a_circle_in_four_pieces():
    """Exact by hand: radius 50 about (50, 0), from due up to due down, one point every 45°."""
    shell = chain([50 * math.pi / 4] * 4, [math.pi / 4] * 4)
    phi = np.arange(5) * math.pi / 4
    np.testing.assert_allclose(shell.x, 50 - 50 * np.cos(phi), atol=1e-13)
    np.testing.assert_allclose(shell.y, 50 * np.sin(phi), atol=1e-13)
    np.testing.assert_allclose(shell.heading, math.pi / 2 - phi, atol=1e-15)
    assert shell.mouth == pytest.approx(100, rel=1e-15)


@pytest.mark.parametrize("turn", [0.1, 2.0, math.pi, 5.0, 2 * math.pi, -0.1, -2.0, -5.0])
def test_every_point_of_an_arc_lies_on_its_circle(turn):
    """Exact by hand: the centre lies below a bend and above a hollow; the ends are level."""
    radius = 80.0
    one = chain(radius * abs(turn), turn, points_per_arc=12)
    sign = math.copysign(1.0, turn)
    cx, cy = radius * math.sin(abs(turn) / 2), -sign * radius * math.cos(turn / 2)
    np.testing.assert_allclose(np.hypot(one.x - cx, one.y - cy), radius, rtol=1e-14)
    assert one.y[-1] == pytest.approx(0, abs=1e-12)
    assert one.mouth == pytest.approx(2 * radius * abs(math.sin(turn / 2)), abs=1e-12)
    np.testing.assert_allclose(
        one.heading, turn * np.linspace(0.5, -0.5, 13), rtol=1e-13, atol=1e-15
    )


def test_two_quarters_of_different_radius():
    """Exact by hand: radius 10 goes up and over to (10, 10), radius 20 down to (30, −10)."""
    two = chain([5 * math.pi, 10 * math.pi], [math.pi / 2, math.pi / 2])
    np.testing.assert_allclose(two.x, [0, 10, 30], atol=1e-14)
    np.testing.assert_allclose(two.y, [0, 10, -10], atol=1e-14)
    np.testing.assert_allclose(two.heading, [math.pi / 2, 0, -math.pi / 2], atol=1e-15)
    assert two.mouth == pytest.approx(math.sqrt(1000), rel=1e-14)
    level = two.levelled()
    np.testing.assert_allclose(level.x[[0, -1]], [-math.sqrt(250), math.sqrt(250)], rtol=1e-14)
    np.testing.assert_allclose(level.y[[0, -1]], 0, atol=1e-13)
    # The tilt undone is atan(10/30) upwards.
    assert level.heading[1] == pytest.approx(math.atan2(1, 3), rel=1e-14)


def test_an_s_of_two_half_turns():
    """Exact by hand: no turn in all, so both faces of the S are equally long, end to end."""
    s = chain([60 * math.pi, 60 * math.pi], [math.pi, -math.pi])
    np.testing.assert_allclose(s.x, 0, atol=1e-13)
    np.testing.assert_allclose(s.y, [0, -120, -240], atol=1e-13)
    assert s.heading[-1] == pytest.approx(s.heading[0], abs=1e-15)
    x, y = s.offset(5)  # 5 mm to the left of the way, at both ends to the same side
    np.testing.assert_allclose(x, 0, atol=1e-13)
    np.testing.assert_allclose(y, [5, -125, -235], rtol=1e-14)
    outer = chain([65 * math.pi, 55 * math.pi], [math.pi, -math.pi])
    assert outer.mouth == pytest.approx(s.mouth, rel=1e-14)
    level = s.levelled()
    np.testing.assert_allclose(level.x, [-120, 0, 120], atol=1e-13)
    np.testing.assert_allclose(level.y, 0, atol=1e-13)
    np.testing.assert_allclose(level.heading, [math.pi / 2, -math.pi / 2, math.pi / 2], rtol=1e-14)


def test_straight_pieces_lie_on_a_line():
    """Exact by hand."""
    flat = chain([10, 20, 30], 0)
    np.testing.assert_array_equal(flat.x, [0, 10, 30, 60])
    np.testing.assert_array_equal(flat.y, [0, 0, 0, 0])
    assert flat.mouth == 60
    x, y = flat.offset(3)
    np.testing.assert_array_equal(x, flat.x)
    np.testing.assert_array_equal(y, [3, 3, 3, 3])


def test_offset_moves_to_the_outside():
    """Exact by hand: a half circle of radius 50 becomes one of 57.5 outside, 40 inside."""
    shell = chain([50 * math.pi / 4] * 4, [math.pi / 4] * 4)
    for distance in (7.5, -10.0):
        x, y = shell.offset(distance)
        np.testing.assert_allclose(np.hypot(x - 50, y), 50 + distance, rtol=1e-14)
    x, y = shell.offset([0, 1, 2, 3, 4])  # one distance for each joint
    np.testing.assert_allclose(np.hypot(x - 50, y), [50, 51, 52, 53, 54], rtol=1e-14)
    hollow = chain(50 * math.pi, -math.pi, points_per_arc=4)
    x, y = hollow.offset(7.5)  # the outside of a hollow is towards its centre
    np.testing.assert_allclose(np.hypot(x - 50, y), 42.5, rtol=1e-14)


# Independent library ----------------------------------------------------------------------------


def test_a_chain_against_an_integrator():
    """Independent library: x' = cos θ, y' = sin θ, θ' = −turn/length, arc by arc, to 1e-12."""
    got = chain(LENGTHS, TURNS)
    state = np.array([0.0, 0.0, TURNS.sum() / 2])
    for i, (length, turn) in enumerate(zip(LENGTHS, TURNS, strict=True), start=1):
        run = solve_ivp(
            lambda s, q, bend=turn / length: [math.cos(q[2]), math.sin(q[2]), -bend],
            (0, length),
            state,
            rtol=1e-12,
            atol=1e-12,
            method="DOP853",
        )
        state = run.y[:, -1]
        assert (got.x[i], got.y[i], got.heading[i]) == pytest.approx(tuple(state), abs=1e-9)
    assert got.mouth == pytest.approx(math.hypot(state[0], state[1]), abs=1e-9)


def test_fine_arcs_run_into_a_clothoid():
    """Independent library: scipy's Fresnel integrals.

    A curve whose curvature grows evenly from nothing turns by s²/2A². Each small arc gets its own
    exact turn; only the way the turn is spread inside it is wrong, so twice the arcs must leave a
    quarter of the error.
    """
    scale, length = 120.0, 300.0  # A and L [mm]: turn L²/2A² = 3.125 rad
    # Travelled from heading 0 with the outside on the left the clothoid bends down.
    s_end, c_end = fresnel(length / (scale * math.sqrt(math.pi)))
    end = scale * math.sqrt(math.pi) * np.array([c_end, -s_end])
    error = []
    for n in (100, 200, 400):
        s = np.linspace(0, length, n + 1)
        got = chain(np.diff(s), np.diff(s**2) / (2 * scale**2))
        tilt = got.heading[0]  # it sets out at half its turn; lay it down
        x = got.x[-1] * math.cos(tilt) + got.y[-1] * math.sin(tilt)
        y = got.y[-1] * math.cos(tilt) - got.x[-1] * math.sin(tilt)
        error.append(math.hypot(x - end[0], y - end[1]))
        assert got.heading[0] - got.heading[-1] == pytest.approx(3.125, rel=1e-12)
    assert error[0] / error[1] == pytest.approx(4, rel=0.01)
    assert error[1] / error[2] == pytest.approx(4, rel=0.01)
    assert error[2] < 1e-3


# Rules ------------------------------------------------------------------------------------------


@patient
@given(radius=st.floats(5, 500), turn=st.floats(0.05, 6.28), sign=st.sampled_from([1, -1]))
def test_one_arc_has_the_mouth_of_its_chord(radius, turn, sign):
    """Exact by hand, and the arc's own chord by the other road."""
    arc = Arc(radius, sign * turn)
    mouth = chain(arc.length, arc.turn).mouth
    assert mouth == pytest.approx(2 * radius * math.sin(turn / 2), rel=1e-11, abs=1e-12 * radius)
    assert mouth == pytest.approx(arc.chord, rel=1e-11, abs=1e-12 * radius)


@patient
@given(arcs=arcs, points=st.integers(2, 7))
def test_more_points_leave_the_joints_where_they_are(arcs, points):
    """Exact by hand: an arc cut into equal arcs is the same arc."""
    length, turn = arcs
    coarse, fine = chain(length, turn), chain(length, turn, points_per_arc=points)
    assert fine.x.shape == fine.y.shape == fine.heading.shape == (points * length.size + 1,)
    slack = 1e-13 * length.sum()
    for name in ("x", "y"):
        np.testing.assert_allclose(
            getattr(fine, name)[::points], getattr(coarse, name), rtol=0, atol=slack
        )
    np.testing.assert_allclose(fine.heading[::points], coarse.heading, rtol=0, atol=1e-13)
    assert fine.mouth == pytest.approx(float(coarse.mouth), abs=slack)


@patient
@given(arcs=arcs)
def test_the_way_between_joints_is_as_long_as_the_arcs_and_bends_to_the_right_side(arcs):
    """Exact by hand: chord² of an arc is (2 R sin(turn/2))²; the heading falls by each turn."""
    length, turn = arcs
    got = chain(length, turn)
    assert (got.x[0], got.y[0]) == (0, 0)
    assert got.heading[0] == pytest.approx(turn.sum() / 2, abs=1e-14)
    np.testing.assert_allclose(-np.diff(got.heading), turn, rtol=0, atol=1e-13)
    step = np.hypot(np.diff(got.x), np.diff(got.y))
    bent = np.abs(turn) > 1e-3
    want = 2 * length[bent] / turn[bent] * np.sin(turn[bent] / 2)
    np.testing.assert_allclose(step[bent], want, rtol=1e-9)
    np.testing.assert_allclose(step[~bent], length[~bent], rtol=1e-6)  # 1 − turn²/24
    assert got.mouth <= length.sum() * (1 + 1e-12)


@patient
@given(arcs=arcs, share=st.floats(-0.9, 2.0))
def test_a_parallel_chain_is_the_chain_of_parallel_arcs(arcs, share):
    """Exact by hand: each arc gets distance·turn longer, the turns stay; S-bends included."""
    length, turn = arcs
    tightest = np.min(length / np.maximum(np.abs(turn), 1e-9))
    distance = max(-200.0, min(200.0, share * tightest))
    if (length + distance * turn <= 1e-3 * length).any():
        distance = -0.5 * distance
    if (length + distance * turn <= 1e-3 * length).any():
        return
    x, y = chain(length, turn).offset(distance)
    parallel = chain(length + distance * turn, turn)
    slack = 1e-12 * (length.sum() + abs(distance))
    np.testing.assert_allclose(x - x[0], parallel.x, rtol=0, atol=slack)
    np.testing.assert_allclose(y - y[0], parallel.y, rtol=0, atol=slack)


@patient
@given(arcs=arcs)
def test_walked_from_the_other_end_the_mouth_is_the_same(arcs):
    """Exact by hand: the order turned round is the mirror image."""
    length, turn = arcs
    assert chain(length[::-1], turn[::-1]).mouth == pytest.approx(
        float(chain(length, turn).mouth), abs=1e-12 * length.sum()
    )


@patient
@given(arcs=arcs)
def test_levelled_turns_the_profile_and_bends_nothing(arcs):
    """Exact by hand: ends on one level, first end left, the middle of the mouth at 0, 0."""
    length, turn = arcs
    before = chain(length, turn, points_per_arc=3)
    after = before.levelled()
    slack = 1e-12 * length.sum()
    half = float(before.mouth) / 2
    assert after.mouth == pytest.approx(2 * half, abs=slack)
    if half < 1e-6 * length.sum():
        return  # ends that meet have no level
    assert (after.x[0], after.x[-1]) == pytest.approx((-half, half), abs=slack)
    assert (after.y[0], after.y[-1]) == pytest.approx((0, 0), abs=slack)
    for point in (1, -2):
        for end in (0, -1):
            assert math.hypot(
                after.x[point] - after.x[end], after.y[point] - after.y[end]
            ) == pytest.approx(
                math.hypot(before.x[point] - before.x[end], before.y[point] - before.y[end]),
                abs=slack,
            )
    # The headings turn with the points: the first chord stands half a small turn below the first.
    first = math.atan2(after.y[1] - after.y[0], after.x[1] - after.x[0])
    wound = (first - (after.heading[0] - turn[0] / 6)) / (2 * math.pi)
    assert wound == pytest.approx(round(wound), abs=1e-10)
    np.testing.assert_allclose(np.diff(after.heading), np.diff(before.heading), atol=1e-12)
    again = after.levelled()
    np.testing.assert_allclose(again.x, after.x, atol=slack)
    np.testing.assert_allclose(again.y, after.y, atol=slack)


# Many cases at once -----------------------------------------------------------------------------


def test_a_leading_axis_is_a_list_of_cases():
    """Independent: each case by itself."""
    lengths = LENGTHS * np.array([[1.0], [1.1], [0.5]])
    turns = np.array([TURNS, 0.5 * TURNS, TURNS[::-1]])
    together = chain(lengths, turns, points_per_arc=2)
    assert together.x.shape == together.y.shape == together.heading.shape == (3, 11)
    assert together.mouth.shape == (3,)
    level, (x, y) = together.levelled(), together.offset(4)
    for i in range(3):
        alone = chain(lengths[i], turns[i], points_per_arc=2)
        np.testing.assert_allclose(together.x[i], alone.x, rtol=1e-13, atol=1e-12)
        np.testing.assert_allclose(together.y[i], alone.y, rtol=1e-13, atol=1e-12)
        np.testing.assert_allclose(together.heading[i], alone.heading, rtol=1e-13, atol=1e-14)
        assert together.mouth[i] == pytest.approx(float(alone.mouth), rel=1e-14)
        np.testing.assert_allclose(level.x[i], alone.levelled().x, atol=1e-11)
        np.testing.assert_allclose(level.y[i], alone.levelled().y, atol=1e-11)
        np.testing.assert_allclose(level.heading[i], alone.levelled().heading, atol=1e-13)
        np.testing.assert_allclose(x[i], alone.offset(4)[0], atol=1e-12)
        np.testing.assert_allclose(y[i], alone.offset(4)[1], atol=1e-12)


def test_lengths_and_turns_are_broadcast_to_each_other():
    """Independent: written out in full."""
    turns = np.linspace(0.1, 1.0, 4)[:, None, None] * TURNS
    short = chain(LENGTHS, turns)
    full = chain(np.broadcast_to(LENGTHS, turns.shape), turns)
    assert short.x.shape == (4, 1, 6)
    np.testing.assert_array_equal(short.x, full.x)
    np.testing.assert_array_equal(short.y, full.y)
    even = chain(100, [0.1, 0.2])
    np.testing.assert_array_equal(even.x, chain([100, 100], [0.1, 0.2]).x)


def test_a_profile_does_not_hold_on_to_what_it_was_given():
    lengths, turns = LENGTHS.copy(), TURNS.copy()
    before = chain(lengths, turns)
    x = before.x.copy()
    lengths[:], turns[:] = 1, 0
    np.testing.assert_array_equal(before.x, x)
    with pytest.raises(dataclasses.FrozenInstanceError):
        before.x = x


# What is refused --------------------------------------------------------------------------------


@pytest.mark.parametrize("value", [0, -3, math.nan, math.inf])
def test_a_length_must_be_above_0(value):
    text = f"lengths must be a finite length above 0 mm, got {float(value)!r} at index 1"
    with pytest.raises(ValueError, match=f"^{text}$"):
        chain([10, value], [0.1, 0.1])


@pytest.mark.parametrize("value", [math.nan, -math.inf])
def test_a_turn_must_be_finite(value):
    text = f"turns must be a finite angle in rad, got {value!r} at index 1"
    with pytest.raises(ValueError, match=f"^{text}$"):
        chain([10, 10], [0.1, value])


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_a_distance_must_be_finite(value):
    text = f"distance must be a finite length in mm, got {value!r}"
    with pytest.raises(ValueError, match=f"^{text}$"):
        chain(LENGTHS, TURNS).offset(value)


def test_lengths_and_turns_that_do_not_belong_together_are_named():
    with pytest.raises(ValueError, match=r"lengths.*turns"):
        chain([10, 20, 30], [0.1, 0.2])


@pytest.mark.parametrize("points", [0, -1, 2.5, True, math.nan])
def test_points_per_arc_is_a_whole_number_from_1(points):
    with pytest.raises((TypeError, ValueError), match=r"^points_per_arc must be"):
        chain(LENGTHS, TURNS, points_per_arc=points)


def test_an_arc_of_more_than_a_full_turn_is_refused():
    """Exact by hand: 180 typed for half a turn is 28 turns and more."""
    with pytest.raises(ValueError, match="full turn"):
        chain([100, 100], [0.5, 180])
    assert chain([100, 100], [2 * math.pi, 0.1]).heading[0] == pytest.approx(math.pi + 0.05)


def test_an_offset_that_folds_the_profile_is_refused():
    """Exact by hand: radius 50 can be thinned by less than 50, also when cut into short arcs."""
    shell = chain([25 * math.pi] * 2, [math.pi / 2] * 2, points_per_arc=5)
    assert isinstance(shell, Profile)
    for distance in (-50.5, -60):
        with pytest.raises(ValueError, match="folds"):
            shell.offset(distance)
    x, y = shell.offset(-49)
    np.testing.assert_allclose(np.hypot(x - 50, y), 1, rtol=1e-12)


def test_the_ends_of_a_ring_meet_and_levelling_leaves_it_alone():
    """Exact by hand: a closed ring has no level of its own; it stays as it stood."""
    ring = chain([20 * math.pi] * 4, [math.pi / 2] * 4)
    assert ring.mouth == pytest.approx(0, abs=1e-12)
    np.testing.assert_allclose(ring.levelled().heading, ring.heading, atol=1e-9)


@pytest.mark.parametrize("radius", [49, 50, 11, 22, 44, 88, 176])
@pytest.mark.parametrize("pieces", [1, 2, 3])
@pytest.mark.parametrize("sign", [1, -1])
def test_exactly_at_the_limit_the_profile_folds(radius, pieces, sign):
    """Exact by hand: at the depth of the radius every joint is the centre."""
    shell = chain(radius * math.pi, sign * math.pi, points_per_arc=pieces)
    with pytest.raises(ValueError, match="folds"):
        shell.offset(-sign * radius)
    shell.offset(-sign * radius * (1 - 1e-6))


@pytest.mark.parametrize("joint", range(5))
def test_one_joint_too_deep_is_enough(joint):
    """Exact by hand: four arcs of radius 50, one of the five joints moved in by 60."""
    shell = chain([50 * math.pi / 4] * 4, [math.pi / 4] * 4)
    distance = np.zeros(5)
    distance[joint] = -60
    with pytest.raises(ValueError, match="folds"):
        shell.offset(distance)
    distance[joint] = 60
    shell.offset(distance)
