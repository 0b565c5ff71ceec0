"""Measured curves: known shapes read with known noise, and what is refused.

The points are invented: exact shapes plus normally distributed noise of a fixed seed. Kinds of
expected values are named beside them. Tolerances are stated in standard errors wherever noise
decides.
"""

from __future__ import annotations

import dataclasses
import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ellipe

from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Run
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.measured import MeasuredCurve
from foamcalc.shape.smoothing import scatter

few = settings(deadline=None, max_examples=8)
TURN = 2 * np.pi


# Exact shapes: points at shares of the length, length and turn ----------------------------------


def along(curve, shares):
    """Points of a curve at shares of its length: headings summed in 4000 steps, outside left.

    Each step is a chord of its own turn, exact for arcs; the rest is off by (turn/4000)².
    """
    places = np.linspace(0, curve.length, 4001)
    heading = -curve.heading(places)
    middle, step = (heading[1:] + heading[:-1]) / 2, np.diff(heading)
    chord = curve.length / 4000 * np.sinc(step / TURN)
    x = np.append(0, np.cumsum(chord * np.cos(middle)))
    y = np.append(0, np.cumsum(chord * np.sin(middle)))
    at = np.asarray(shares) * 4000
    return np.column_stack([np.interp(at, range(4001), x), np.interp(at, range(4001), y)])


ARC = Arcs([50 * np.pi], [np.pi])
DOME = Ellipse(60, 45, 0, np.pi)
BACK = Arcs([40, 180, 40], [0.9, 0.7, 0.9])
"""A shell with a flatter top and rounder sides."""
ESS = Arcs([30 * np.pi, 30 * np.pi], [np.pi / 2, -np.pi / 2])
FLAT = Arcs([150], [0])
SHAPES = {"arc": ARC, "dome": DOME, "back": BACK, "ess": ESS, "flat": FLAT}


def readings(curve, count, seed, noise=0.5):
    """Points at uneven steps along a curve, with noise in x and y."""
    rng = np.random.default_rng([seed, count])
    shares = np.linspace(0, 1, count)
    shares[1:-1] += rng.uniform(-0.2, 0.2, count - 2) / count
    return along(curve, shares) + rng.normal(0, noise, (count, 2))


def ring(count, seed, noise=0.5, a=60, b=45):
    """Points round an ellipse, counter-clockwise."""
    rng = np.random.default_rng([seed, count])
    angle = TURN * np.arange(count) / count
    exact = np.column_stack([a * np.cos(angle), b * np.sin(angle)])
    return exact + rng.normal(0, noise, exact.shape)


# How good it is, and whether it knows -----------------------------------------------------------


@pytest.fixture(scope="module")
def trials():
    """Errors and standard errors of length and turn: 5 shapes, 20, 40 and 60 points, 6 seeds."""
    rows = []
    for name, curve in SHAPES.items():
        for count in (20, 40, 60):
            for seed in range(6):
                got = MeasuredCurve(readings(curve, count, seed), 0.5)
                off = (got.length - curve.length, got.turn - curve.turn)
                rows.append((name, count, *off, got.length_error, got.turn_error, got))
    return rows


def test_the_truth_lies_within_two_standard_errors(trials):
    """Independent: normal errors lie there in 95.4 % of cases. 90 trials: 80 at least (3 σ)."""
    for error, spread in ((2, 4), (3, 5)):
        ratio = np.array([row[error] / row[spread] for row in trials])
        assert np.sum(np.abs(ratio) < 2) >= 80
        # Nor are the standard errors mere words: they are borne out within a factor of two.
        assert 0.5 < np.sqrt(np.mean(ratio**2)) < 1.2


@pytest.mark.parametrize(
    ("name", "most"), [("arc", 2), ("flat", 2.5), ("dome", 6), ("ess", 8), ("back", 10)]
)
def test_turns_are_good_to_a_few_degrees(trials, name, most):
    """Regression, rounded up: root mean square error of the turn [deg] over all counts."""
    off = [row[3] for row in trials if row[0] == name]
    assert np.degrees(np.sqrt(np.mean(np.square(off)))) < most


def test_lengths_are_as_good_as_the_two_ends(trials):
    """Exact by hand: two ends, each off by 0.5 mm along the way, are 0.71 mm; little comes on top.

    18 trials estimate a standard deviation within 1/√36 = 17 %; three of these are 50 %.
    """
    for name in SHAPES:
        off = [row[2] for row in trials if row[0] == name]
        assert 0.35 < np.sqrt(np.mean(np.square(off))) < 1.15
    spread = [row[4] for row in trials]
    assert 0.70 < min(spread) <= max(spread) < 1.0


def test_what_is_left_over_is_the_noise(trials):
    """Exact by hand: points off by 0.5 mm across the way, less what the curve took up."""
    for row in trials:
        assert 0.2 < row[6].residual < 0.75
    assert np.mean([row[6].residual for row in trials]) == pytest.approx(0.47, abs=0.04)


def test_noise_invents_no_hollows(trials):
    """Exact by hand: three shapes are convex all along, the flat one is straight.

    54 convex trials; a doubtful run counts past two standard errors, so 1 may slip through.
    """
    slips = 0
    for name, _, *_, got in trials:
        runs = got.runs()
        assert (runs[0].start, runs[-1].end) == (0.0, got.length)
        assert all(a.end == b.start for a, b in pairwise(runs))
        if name in ("arc", "dome", "back"):
            slips += any(run.hollow for run in runs)
    assert slips <= 1


def test_the_hollow_of_an_ess_is_found(trials):
    """Exact by hand: +90° and −90°, changing at half the length."""
    for name, _, *_, got in trials:
        if name == "ess":
            bend, hollow = got.runs()
            assert hollow.hollow and not bend.hollow
            for run, want in ((bend, np.pi / 2), (hollow, -np.pi / 2)):
                error = got.turn_error_between(run.start, run.end)
                assert abs(run.turn - want) < 4 * error
            assert bend.end == pytest.approx(30 * np.pi, abs=12)


def test_a_straight_edge_stays_straight(trials):
    """Exact by hand. In 18 trials a turn passes two standard errors once or twice at most."""
    runs = [row[6].runs() for row in trials if row[0] == "flat"]
    level = [run for run in runs if len(run) == 1 and run[0].turn == 0]
    assert len(level) >= 16


def test_the_length_round_a_closed_curve():
    """Independent: scipy's complete elliptic integral; 12 and 40 points, 12 seeds each."""
    want = 4 * 60 * ellipe(1 - (45 / 60) ** 2)
    for count in (12, 40):
        off, spread = [], []
        for seed in range(12):
            got = MeasuredCurve(ring(count, seed), 0.5, closed=True)
            assert got.turn == TURN
            assert got.turn_error == 0
            off.append(got.length - want)
            spread.append(got.length_error)
        ratio = np.array(off) / np.array(spread)
        assert np.sum(np.abs(ratio) < 2) >= 10
        assert 0.4 < np.sqrt(np.mean(ratio**2)) < 1.5


def test_more_points_and_less_noise_help():
    """Exact by hand: all three help; regression, rounded: by how much at least."""
    rough = MeasuredCurve(readings(DOME, 40, 1, 0.5), 0.5)
    fine = MeasuredCurve(readings(DOME, 40, 1, 0.05), 0.05)
    dense = MeasuredCurve(readings(DOME, 400, 1, 0.5), 0.5)
    assert fine.length_error < 0.2 * rough.length_error
    assert fine.turn_error < 0.3 * rough.turn_error
    assert dense.turn_error < 0.85 * rough.turn_error
    assert dense.turn == pytest.approx(np.pi, abs=2 * dense.turn_error)


@pytest.mark.parametrize("closed", [False, True])
def test_five_thousand_points(closed):
    """Exact: the most that are taken; half a millimetre of noise at a spacing of 0.03 or 0.07."""
    points = ring(5000, 3) if closed else readings(ARC, 5000, 3)
    got = MeasuredCurve(points, 0.5, closed=closed)
    want = 4 * 60 * ellipe(1 - (45 / 60) ** 2) if closed else ARC.length
    assert abs(got.length - want) < 3 * got.length_error
    assert got.residual == pytest.approx(0.5, rel=0.03)  # 3 σ of 1/√10000
    assert len(got.runs()) == 1


# Exact points -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("count", "slack"), [(20, 0.2), (40, 0.03), (80, 0.005)])
def test_through_exact_points_of_an_arc(count, slack):
    """Exact by hand: half a turn of radius 50; a cubic gets better with its spacing cubed."""
    got = MeasuredCurve(along(ARC, np.linspace(0, 1, count)), 0)
    assert got.length == pytest.approx(ARC.length, abs=0.01)
    assert np.degrees(got.turn) == pytest.approx(180, abs=slack)
    assert got.length_error == got.turn_error == got.residual == 0
    assert got.runs() == (Run(0.0, got.length, got.turn),)
    step = np.pi / (count - 1)  # the second derivative of a cubic is off by step²/12
    assert got.curvature(got.length / 2) == pytest.approx(1 / 50, rel=step**2 / 8)


def test_through_exact_points_of_an_ellipse():
    """Independent: scipy's elliptic integral, and Ellipse itself place by place."""
    got = MeasuredCurve(ring(80, 0, noise=0), 0, closed=True)
    whole = Ellipse(60, 45)
    assert got.length == pytest.approx(whole.length, rel=1e-6)
    places = np.linspace(0, 331, 50)
    np.testing.assert_allclose(got.heading(places), whole.heading(places), atol=1e-4)
    np.testing.assert_allclose(got.curvature(places), whole.curvature(places), atol=2e-4)
    for mine, theirs in zip(got.extremes(), whole.extremes(), strict=True):
        assert mine.curvature == pytest.approx(theirs.curvature, rel=4e-3)


@pytest.mark.parametrize("closed", [False, True])
def test_no_noise_means_through_every_point(closed):
    """Exact by hand: each point lies on the curve; shapely measures from a fine polyline."""
    points = ring(30, 5, noise=0.3)
    got = MeasuredCurve(points, 0, closed=closed)
    drawn = got.profile(20_000)
    line = shapely.LineString(np.column_stack([drawn.x, drawn.y * got._mirrored]))
    assert max(line.distance(shapely.Point(p)) for p in points) < 1e-4


def test_little_noise_keeps_to_the_points_and_finds_the_arc():
    """Exact by hand: the swing of an arc costs nothing, so that 20 points give it to the digit."""
    got = MeasuredCurve(along(ARC, np.linspace(0, 1, 20)), 0.001)
    assert got.length == pytest.approx(ARC.length, abs=2e-4)
    assert np.degrees(got.turn) == pytest.approx(180, abs=1e-3)
    np.testing.assert_allclose(got.curvature([0, 70, got.length]), 1 / 50, rtol=1e-4)


# One curve, however it is given ------------------------------------------------------------------


@few
@given(
    angle=st.floats(0, 6.2),
    shift=st.tuples(st.floats(-500, 500), st.floats(-500, 500)),
    factor=st.floats(0.2, 20),
    noise=st.sampled_from([0.0, 0.5]),
    name=st.sampled_from(["arc", "dome", "back"]),
)
def test_moved_turned_enlarged(angle, shift, factor, noise, name):
    """Exact by hand: turns stay, lengths grow by the factor; to 1/50 of a standard error."""
    points = readings(SHAPES[name], 25, 2)
    spin = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    plain = MeasuredCurve(points, noise)
    moved = MeasuredCurve(factor * (points @ spin + shift), factor * noise)
    slack = 0.02 * plain.turn_error + 1e-9
    assert moved.turn == pytest.approx(plain.turn, abs=slack)
    assert moved.turn_error == pytest.approx(plain.turn_error, rel=0.02)
    slack = 0.02 * plain.length_error + 1e-7
    assert moved.length / factor == pytest.approx(plain.length, abs=slack)
    assert moved.residual == pytest.approx(factor * plain.residual, rel=0.01)


@pytest.mark.parametrize("noise", [0.0, 0.5])
@pytest.mark.parametrize("name", ["dome", "back", "ess"])
def test_walked_from_the_other_end(name, noise):
    """Exact by hand: with the outside on the other hand the turn is the same, else its negative."""
    points = readings(SHAPES[name], 30, 4)
    plain = MeasuredCurve(points, noise)
    back = MeasuredCurve(points[::-1], noise, outside="right")
    other = MeasuredCurve(points, noise, outside="right")
    slack = 0.02 * plain.turn_error + 1e-9
    assert back.turn == pytest.approx(plain.turn, abs=slack)
    assert back.length == pytest.approx(plain.length, abs=0.02 * plain.length_error + 1e-7)
    assert other.turn == pytest.approx(-plain.turn, abs=slack)
    np.testing.assert_allclose(
        [run.turn for run in back.runs()],
        [run.turn for run in plain.runs()][::-1],
        atol=0.05 * plain.turn_error + 1e-9,
    )


@pytest.mark.parametrize("noise", [0.0, 0.5])
def test_a_closed_curve_finds_its_outside(noise):
    """Exact by hand: the outside is where nothing is enclosed, whichever way it is walked."""
    points = ring(40, 6)
    there = MeasuredCurve(points, noise, closed=True)
    back = MeasuredCurve(points[::-1], noise, closed=True)
    again = MeasuredCurve(np.vstack([points, points[:1]]), noise, closed=True)
    assert there.turn == back.turn == TURN
    assert back.length == pytest.approx(there.length, abs=0.02)
    assert again.length == there.length
    assert float(there.length_at(5)) == pytest.approx(there.length + 10 * np.pi, rel=1e-12)
    assert there.heading(there.length) == pytest.approx(TURN, abs=1e-6)
    assert there.curvature(0.0) == pytest.approx(float(there.curvature(there.length)), abs=1e-4)


# What every curve can tell ----------------------------------------------------------------------


def test_heading_is_the_integral_of_the_curvature():
    """Independent: trapezoids in 20 000 steps."""
    for noise in (0.0, 0.5):
        curve = MeasuredCurve(readings(BACK, 40, 7), noise)
        places = np.linspace(0, curve.length, 20_001)
        k = curve.curvature(places)
        summed = np.append(0, np.cumsum((k[1:] + k[:-1]) / 2) * curve.length / 20_000)
        np.testing.assert_allclose(curve.heading(places), summed, atol=1e-5)
        assert curve.heading(curve.length) == pytest.approx(curve.turn, rel=1e-12)
        assert np.shape(curve.heading(3.0)) == np.shape(curve.curvature(3.0)) == ()
        assert curve.corners == ()


def test_the_parallel_curve_costs_its_turn():
    """Exact by hand: d·turn in all, d·(turn between) in part; refused where it folds."""
    curve = MeasuredCurve(readings(BACK, 40, 8), 0.5)
    assert float(curve.length_at(7.5)) == pytest.approx(curve.length + 7.5 * curve.turn, rel=1e-12)
    part = float(curve.heading(150)) - float(curve.heading(60))
    got = float(curve.length_at(7.5, start=60, end=150))
    assert got == pytest.approx(90 + 7.5 * part, rel=1e-12)
    tight = curve.extremes()[1]
    with pytest.raises(ValueError, match=f"folds .*: {tight.place:.1f} mm along the curve the b"):
        curve.length_at(-1.01 / tight.curvature)
    assert curve.extremes(80, 180)[1].curvature < tight.curvature


def test_the_profile_is_the_curve_as_measured():
    """Independent: places and directions summed up from the headings; the outside to the left."""
    points = readings(DOME, 40, 9)
    for outside, mirror in (("left", 1), ("right", -1)):
        curve = MeasuredCurve(points * [1, mirror], 0.5, outside=outside)
        drawn = curve.profile(300)
        assert drawn.x.shape == drawn.y.shape == drawn.heading.shape == (301,)
        np.testing.assert_allclose(
            drawn.heading[0] - drawn.heading, curve.heading(np.linspace(0, curve.length, 301))
        )
        middle = (drawn.heading[1:] + drawn.heading[:-1]) / 2
        step = curve.length / 300
        np.testing.assert_allclose(np.diff(drawn.x), step * np.cos(middle), atol=1e-4)
        np.testing.assert_allclose(np.diff(drawn.y), step * np.sin(middle), atol=1e-4)
        line = shapely.LineString(np.column_stack([drawn.x, drawn.y]))
        apart = [line.distance(shapely.Point(p)) for p in points]
        assert np.sqrt(np.mean(np.square(apart))) == pytest.approx(curve.residual, rel=0.2)
        x, y = drawn.offset(5)
        longer = np.hypot(np.diff(x), np.diff(y)).sum()
        assert longer == pytest.approx(float(curve.length_at(5)), rel=1e-4)
    assert MeasuredCurve(points, 0.5).profile().x.shape == (121,)
    for bad in (0, -1, 2.5, True):
        with pytest.raises(ValueError, match=r"^count must be a whole number, 1 or more, got"):
            curve.profile(bad)


def test_the_size_is_that_of_the_points():
    """Exact by hand."""
    points = ring(12, 0, noise=0)
    assert MeasuredCurve(points, 0.1, closed=True).size == pytest.approx((120, 90), abs=1e-9)
    assert MeasuredCurve(points, 0.1, closed=True).points[3] == pytest.approx((0, 45), abs=1e-12)


def test_the_doubt_of_a_part_and_of_the_whole():
    """Exact by hand: the whole is the whole; a middle part is known better than an end."""
    curve = MeasuredCurve(readings(DOME, 40, 10), 0.5)
    assert curve.turn_error_between() == curve.turn_error
    third = curve.length / 3
    assert curve.turn_error_between(third, 2 * third) < curve.turn_error_between(2 * third)
    assert MeasuredCurve(readings(DOME, 40, 10), 0).turn_error_between(0, 50) == 0


def test_it_cannot_be_changed_and_two_alike_are_equal():
    points = readings(ARC, 20, 11)
    curve = MeasuredCurve(points, 0.5)
    before = curve.length
    points[:] = 0
    assert curve.length == before
    assert curve == MeasuredCurve(readings(ARC, 20, 11), 0.5)
    assert hash(curve) == hash(MeasuredCurve(readings(ARC, 20, 11), 0.5))
    assert curve != MeasuredCurve(readings(ARC, 20, 11), 0.4)
    with pytest.raises(dataclasses.FrozenInstanceError):
        curve.noise = 1.0


def test_scatter_of_the_points():
    """Exact by hand: the noise put in, to four of its own standard errors (1.2/√400 of it)."""
    for noise in (0.05, 0.5):
        assert scatter(readings(ARC, 400, 12, noise), False) == pytest.approx(noise, rel=0.25)
        assert scatter(ring(400, 12, noise), True) == pytest.approx(noise, rel=0.25)
    assert scatter(along(ARC, np.linspace(0, 1, 100)), False) < 1e-4


# What is refused --------------------------------------------------------------------------------

GOOD = readings(ARC, 30, 0)


def with_changes(**changes):
    """The good points with some of them changed; keys are p and the number counted from 1."""
    points = GOOD.copy()
    for key, value in changes.items():
        points[int(key[1:]) - 1] = value
    return points


def swapped(first, second):
    points = GOOD.copy()
    points[[first - 1, second - 1]] = points[[second - 1, first - 1]]
    return points


SHUFFLED = GOOD[np.random.default_rng(0).permutation(30)]
LOOP = np.linspace(-2.5, 2.5, 60)
LOOP = np.column_stack([100 * (LOOP - 1.8 * np.sin(LOOP)), 60 * np.cos(LOOP)])
EIGHT = TURN * np.arange(60) / 60
EIGHT = np.column_stack([60 * np.sin(EIGHT), 40 * np.sin(2 * EIGHT)])
COIL = np.linspace(0, 4 * np.pi, 90)
COIL = np.column_stack([np.cos(COIL), np.sin(COIL)]) * (40 + 3 * COIL)[:, None]


TWICE = TURN * np.arange(60) / 60
TWICE = np.column_stack([np.cos(TWICE), np.sin(TWICE)]) * (30 + 60 * np.cos(TWICE))[:, None]
"""A loop within a loop."""


@pytest.mark.parametrize("noise", [0, 0.5])
@pytest.mark.parametrize(
    ("points", "closed", "words"),
    [
        (GOOD[:3], False, r"^points must be at least 8, got 3; .* Arc\.from_chord$"),
        (GOOD[:7], False, r"^points must be at least 8, got 7; for a smooth curve measure more"),
        (GOOD[:, 0], False, r"^points must be pairs of x and y"),
        (with_changes(p5=(1, math.nan)), False, r"^y of point 5 must be a finite length in mm"),
        (with_changes(p5=GOOD[3]), False, r"^points 4 and 5 are the same \(.*\); leave one"),
        (with_changes(p30=GOOD[0]), False, r"^the first and the last point are the same"),
        (swapped(11, 13), False, r"^the way turns back by 1\d\d deg at point 1[0-4] \(.* in order"),
        (SHUFFLED, False, r"^the way turns back by 1\d\d deg at point \d+ \("),
        (
            LOOP,
            False,
            r"^the curve crosses itself at .* near points 10 and 51; put the points in",
        ),
        (EIGHT, True, r"^the points of a closed curve go round once, got 0 times"),
        (TWICE, True, r"^the points of a closed curve go round once, got 2 times"),
        (COIL, False, r"^the points make 7\d\d deg, more than a full turn \(360 deg\), on an open"),
    ],
)
def test_points_that_are_no_curve(points, closed, words, noise):
    """Exact by hand: the fault was put in."""
    with pytest.raises(ValueError, match=words):
        MeasuredCurve(points, noise, closed=closed)


@pytest.mark.parametrize("up", [4, 8])
def test_a_stray_point_is_named(up):
    """Exact by hand: point 18, near the middle, was moved out by 8 or 16 times the noise."""
    with pytest.raises(ValueError, match=r"point 18 lies \d.*|near points 1[6-9] and 1[7-9]; meas"):
        MeasuredCurve(with_changes(p18=GOOD[17] + [up, 0]), 0.5)


@pytest.mark.parametrize("noise", [0.001, 0.02, 0.1])
def test_noise_said_too_small_is_refused(noise):
    """Exact by hand: the points scatter by 0.5 mm, give or take a quarter (30 points)."""
    with pytest.raises(ValueError, match=r"^the points scatter by about 0\.[3-7]\d* mm round any"):
        MeasuredCurve(GOOD, noise)


@pytest.mark.parametrize("name", list(SHAPES))
@pytest.mark.parametrize("count", [20, 40])
def test_noise_that_is_as_said_is_taken(name, count):
    """Exact by hand: 0.05 mm put in and said."""
    MeasuredCurve(readings(SHAPES[name], count, 13, 0.05), 0.05)


@pytest.mark.parametrize("noise", [10, 30, 1000])
def test_noise_that_hides_the_curve_is_refused(noise):
    text = (
        rf"^noise must leave a curve to be seen: at {noise} mm only [1-4] groups of the 30 points, "
        r"[\d.]+ mm across, stand clear of each other, and 5 are needed"
    )
    with pytest.raises(ValueError, match=text):
        MeasuredCurve(GOOD, noise)


@pytest.mark.parametrize("noise", [-0.1, math.nan, math.inf])
def test_noise_that_is_no_length_is_refused(noise):
    with pytest.raises(ValueError, match=r"^noise must be a finite length of 0 mm or more, got"):
        MeasuredCurve(GOOD, noise)


def test_other_faults_are_named():
    with pytest.raises(ValueError, match=r"^noise must be 0, or at least a millionth of the size"):
        MeasuredCurve(GOOD, 1e-9)
    with pytest.raises(ValueError, match=r"^outside must be one of 'left', 'right', got 'up'"):
        MeasuredCurve(GOOD, 0.5, outside="up")
    with pytest.raises(TypeError, match=r"^noise must be .* read text through foamcalc.units"):
        MeasuredCurve(GOOD, "0.5 mm")
    with pytest.raises(ValueError, match=r"^points must be at most 5000, got 5001"):
        MeasuredCurve(np.zeros((5001, 2)), 0.5)
    with pytest.raises(ValueError, match=r"^place must be from 0 to"):
        MeasuredCurve(GOOD, 0.5).heading(1e4)
