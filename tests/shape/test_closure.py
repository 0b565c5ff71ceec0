"""What ties the ends of a chain of arcs together: values on circles, slopes against differences."""

from __future__ import annotations

import math
from functools import partial

import mpmath
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.shape.closure import between, closure, distance, reach
from foamcalc.shape.profile import chain

PI = math.pi
LENGTHS = np.array([12.0, 30.0, 7.5, 22.0, 40.0])
TURNS = np.array([0.4, -0.7, 1.3, 0.0, 0.9])
TIES = {
    "reach": reach,
    "between": partial(between, start=1, stop=4),
    "distance": partial(distance, start=0, stop=5),
    "distance within": partial(distance, start=1, stop=4),
    "closure": closure,
}


# Values ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("parts", [1, 2, 7, 60])
@pytest.mark.parametrize("turn", [0.3, PI / 2, PI, 5.0])
def test_the_end_of_a_circle(parts, turn):
    end = reach(np.full(parts, 50 * turn / parts), np.full(parts, turn / parts))
    # exact by hand: it sets out along x and falls: R sin, R (cos - 1)
    assert end.value == pytest.approx(
        [50 * math.sin(turn), 50 * (math.cos(turn) - 1)], rel=1e-12, abs=1e-12
    )


@pytest.mark.parametrize("parts", [1, 3, 60])
def test_a_full_circle_closes(parts):
    held = closure(np.full(parts, 120 * PI / parts), np.full(parts, 2 * PI / parts))
    # exact by hand
    assert held.value == pytest.approx([0, 0, 2 * PI], abs=1e-12)


def test_the_distance_across_a_part_of_a_circle():
    lengths, turns = np.full(12, 50 * PI / 12), np.full(12, PI / 12)
    for start, stop in ((0, 12), (0, 6), (3, 5), (11, 12)):
        apart = distance(lengths, turns, start=start, stop=stop)
        # exact by hand: chord 2 R sin(turn/2)
        chord = 100 * math.sin((stop - start) * PI / 24)
        assert apart.value == pytest.approx([chord], rel=1e-13)


@given(
    lengths=st.lists(st.floats(1, 100), min_size=4, max_size=4),
    turns=st.lists(st.floats(-3, 3), min_size=4, max_size=4),
)
@settings(max_examples=40, deadline=None)
def test_the_distance_is_the_mouth_of_the_chain(lengths, turns):
    profile = chain(lengths, turns)
    apart = distance(np.array(lengths), np.array(turns), start=0, stop=4).value[0]
    # independent: the points of the drawn chain
    assert apart == pytest.approx(float(profile.mouth), rel=1e-9, abs=1e-9)
    seen = between(np.array(lengths), np.array(turns), start=1, stop=3).value
    dx, dy = profile.x[3] - profile.x[1], profile.y[3] - profile.y[1]
    assert np.hypot(*seen) == pytest.approx(math.hypot(dx, dy), rel=1e-9, abs=1e-9)
    # independent: as seen from the direction of travel at the first of the two joints
    away = math.atan2(dy, dx) - profile.heading[1]
    assert seen == pytest.approx(
        math.hypot(dx, dy) * np.array([math.cos(away), math.sin(away)]), abs=1e-9
    )


# Slopes ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TIES)
def test_slopes_against_differences(name):
    tie = TIES[name](LENGTHS, TURNS)
    for i in range(LENGTHS.size):
        step = np.zeros(LENGTHS.size)
        step[i] = 1e-5
        longer = TIES[name](LENGTHS + step, TURNS).value - TIES[name](LENGTHS - step, TURNS).value
        bent = TIES[name](LENGTHS, TURNS + step).value - TIES[name](LENGTHS, TURNS - step).value
        # independent: central differences
        assert tie.by_length[:, i] == pytest.approx(longer / 2e-5, abs=1e-8)
        assert tie.by_turn[:, i] == pytest.approx(bent / 2e-5, abs=1e-6)


def far_end(lengths, turns):
    """The end of the chain as a complex number, in many digits: the integral of its direction."""
    place, heading = mpmath.mpc(0), mpmath.mpf(0)
    for length, turn in zip(lengths, turns, strict=True):
        if turn:
            ahead = (mpmath.exp(-1j * turn) - 1) / (-1j * turn)
        else:
            ahead = mpmath.mpf(1)
        place += length * mpmath.exp(1j * heading) * ahead
        heading -= turn
    return place


@pytest.mark.parametrize("turn", [0.0, 1e-9, 1e-7, 9e-5, 1.1e-4, 1e-3, 0.1, 2.0])
def test_slopes_of_gentle_arcs_in_many_digits(turn):
    lengths, turns = [30.0, 25.0], [turn, 0.5]
    tie = reach(np.array(lengths), np.array(turns))
    with mpmath.workdps(60):
        exact = far_end(lengths, [mpmath.mpf(x) for x in turns])
        step = mpmath.mpf(10) ** -18

        def slope(d_length, d_turn):
            ends = [
                far_end([30 + k * d_length, 25], [mpmath.mpf(turn) + k * d_turn, mpmath.mpf("0.5")])
                for k in (1, -1)
            ]
            return (ends[0] - ends[1]) / (2 * step)

        longer, bent = slope(step, 0), slope(0, step)
    # independent library: mpmath in 60 digits; the worst is where the series hands over
    for found, true in ((tie.value, exact), (tie.by_length[:, 0], longer)):
        assert found == pytest.approx([float(true.real), float(true.imag)], rel=1e-13, abs=1e-13)
    assert tie.by_turn[:, 0] == pytest.approx([float(bent.real), float(bent.imag)], abs=1e-9)


def test_arcs_outside_the_strap_do_not_count():
    for tie in (TIES["distance within"], TIES["between"]):
        found = tie(LENGTHS, TURNS)
        # exact by hand: arcs 0 and 4 lie outside joints 1 to 4
        for slopes in (found.by_length, found.by_turn):
            assert (slopes[:, [0, 4]] == 0).all() and (np.abs(slopes[:, 1:4]).sum(0) > 0).all()


def test_a_straight_chain_is_as_long_as_its_parts():
    tie = distance(np.array([3.0, 4.0, 5.0]), np.zeros(3), start=0, stop=3)
    # exact by hand: pulling straight lengthens one for one, and no small turn changes it
    assert tie.value == pytest.approx([12.0], rel=1e-15)
    assert tie.by_length[0] == pytest.approx([1, 1, 1], rel=1e-14)
    assert tie.by_turn[0] == pytest.approx([0, 0, 0], abs=1e-12)


@pytest.mark.parametrize("name", TIES)
def test_many_cases_are_single_cases_side_by_side(name):
    rng = np.random.default_rng(3)
    lengths, turns = rng.uniform(5, 40, (2, 3, 5)), rng.uniform(-1, 1, (2, 3, 5))
    many = TIES[name](lengths, turns)
    for i, j in np.ndindex(2, 3):
        one = TIES[name](lengths[i, j], turns[i, j])
        # independent: one at a time
        assert many.value[:, i, j] == pytest.approx(one.value, rel=1e-13)
        assert many.by_length[:, i, j] == pytest.approx(one.by_length, rel=1e-13)
        assert many.by_turn[:, i, j] == pytest.approx(one.by_turn, rel=1e-12, abs=1e-12)


def test_a_ring_may_start_anywhere():
    lengths, turns = np.array([20.0, 35, 12, 50, 31]), np.array([1.0, 1.6, 0.3, 2.0, 1.2])
    turns[-1] = 2 * PI - turns[:-1].sum()
    away = [np.hypot(*closure(np.roll(lengths, k), np.roll(turns, k)).value[:2]) for k in range(5)]
    # exact by hand: a full turn is only moved, so the misfit is as long wherever it starts
    assert away == pytest.approx([away[0]] * 5, rel=1e-12)
