"""Polylines: corners, their runs, and parallel lines against shapely and by hand.

Kinds of expected values are named beside them. shapely draws round corners as chords; 2000 of them
to a quarter circle are short by (π/4000)²/24 = 2.6e-8 of the arc, far below the 1e-6 used.
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

from foamcalc.shape.curve import Arc, Corner, Extreme, Run
from foamcalc.shape.polyline import Polyline

patient = settings(deadline=None)
QUARTER = np.pi / 2

SQUARE = [(0, 0), (100, 0), (100, 100), (0, 100)]
ELL = [(0, 0), (100, 0), (100, 40), (60, 40), (60, 100), (0, 100)]
"""An L: five convex corners, one hollow one."""
STEP = [(0, 0), (50, 0), (80, 40), (140, 40)]
"""Up by atan(4/3) and level again; both corners have the half-angle tangent 1/2 (3-4-5)."""
BEND = math.atan(4 / 3)


def star(count, radii):
    """Corners round the origin at even angles."""
    angle = 2 * np.pi * np.arange(count) / count
    return np.column_stack([np.cos(angle), np.sin(angle)]) * np.asarray(radii)[:, None]


convex = st.integers(3, 12).flatmap(
    lambda n: st.tuples(st.just(n), st.floats(30, 200), st.floats(0.3, 1), st.floats(0, 6))
)


def hull(case):
    """A convex polygon: even angles on an ellipse, turned."""
    count, size, flat, turn = case
    points = star(count, np.full(count, size)) * [1, flat]
    cos, sin = np.cos(turn), np.sin(turn)
    return points @ np.array([[cos, sin], [-sin, cos]])


# What it is -------------------------------------------------------------------------------------


def test_a_square():
    """Exact by hand: 400 mm round; 10 mm farther out 2π·10 more, 10 mm farther in 8·10 less."""
    square = Polyline(SQUARE, closed=True)
    assert square.length == 400
    assert square.turn == pytest.approx(2 * np.pi, rel=1e-15)
    assert square.corners == tuple(Corner(place, QUARTER) for place in (0.0, 100.0, 200.0, 300.0))
    assert float(square.length_at(10)) == pytest.approx(400 + 20 * np.pi, rel=1e-14)
    assert float(square.length_at(-10)) == pytest.approx(320, rel=1e-14)
    assert square.runs() == (Run(0.0, 400.0, pytest.approx(2 * np.pi)),)


@pytest.mark.parametrize("points", [ELL, ELL[::-1], ELL[2:] + ELL[:2], [*ELL, ELL[0]]])
def test_a_closed_curve_finds_its_outside_and_drops_a_repeated_point(points):
    """Independent: shapely's buffer, round joins outside and mitres inside."""
    curve, area = Polyline(points, closed=True), shapely.Polygon(ELL)
    assert curve.length == area.length == 400
    assert sum(corner.turn for corner in curve.corners) == pytest.approx(2 * np.pi, rel=1e-14)
    assert len(curve.corners) == 6
    for offset in (0, 3, 12, -3, -12):
        want = area.buffer(offset, quad_segs=2000).length
        assert float(curve.length_at(offset)) == pytest.approx(want, rel=1e-6)


@patient
@given(case=convex, share=st.floats(-0.5, 2))
def test_convex_polygons(case, share):
    """Independent: shapely's buffer. Outwards also exact by hand: 2π for each mm."""
    points = hull(case)
    curve, area = Polyline(points, closed=True), shapely.Polygon(points)
    inner = shapely.maximum_inscribed_circle(area, 1e-3).length
    offset = share * inner
    if offset >= 0:
        assert float(curve.length_at(offset)) == pytest.approx(
            curve.length + 2 * np.pi * offset, rel=1e-12
        )
    else:
        smaller = area.buffer(offset, join_style="mitre", mitre_limit=1e6)
        if len(smaller.exterior.coords) - 1 != len(points):
            return  # a piece is gone: refused, see below
        assert float(curve.length_at(offset)) == pytest.approx(smaller.length, rel=1e-6)


@patient
@given(
    radii=st.lists(st.floats(60, 140), min_size=5, max_size=11),
    offset=st.floats(0.5, 6).flatmap(lambda d: st.sampled_from([d, -d])),
)
def test_stars_with_hollow_corners(radii, offset):
    """Independent: shapely's buffer, wherever no piece is used up and no parts run together."""
    points = star(len(radii), radii)
    curve = Polyline(points, closed=True)
    try:
        got = float(curve.length_at(offset))
    except ValueError as fault:
        assert "is used up by its corners" in str(fault)
        return
    area = shapely.Polygon(points)
    corners = area.buffer(offset, join_style="mitre", mitre_limit=1e6).exterior.coords
    if len(corners) - 1 != len(points):
        return
    assert got == pytest.approx(area.buffer(offset, quad_segs=2000).length, rel=1e-5)


@pytest.mark.parametrize("offset", [5, 30, -5, -30])
@pytest.mark.parametrize("outside", ["left", "right"])
def test_an_open_step(offset, outside):
    """Exact by hand: +d·a at one corner, −d (half-angle tangent 1/2, twice) at the other.

    Independent: shapely's offset_curve, which is positive to the left.
    """
    curve = Polyline(STEP, outside=outside)
    size = abs(offset)
    assert float(curve.length_at(offset)) == pytest.approx(160 + size * (BEND - 1), rel=1e-14)
    left = offset if outside == "left" else -offset
    theirs = shapely.LineString(STEP).offset_curve(left, quad_segs=2000).length
    assert float(curve.length_at(offset)) == pytest.approx(theirs, rel=1e-6)


def test_which_side_is_outside():
    """Exact by hand: to the left of the way up, the first corner is hollow."""
    left, right = Polyline(STEP), Polyline(STEP, outside="right")
    assert [c.turn for c in left.corners] == pytest.approx([-BEND, BEND], rel=1e-14)
    assert [c.turn for c in right.corners] == pytest.approx([BEND, -BEND], rel=1e-14)
    assert left.turn == right.turn == 0


def test_heading_and_curvature():
    """Exact by hand: all of a corner behind it, half of it at it."""
    curve = Polyline(STEP)
    places = np.array([[0, 20], [50, 70], [100, 160]])
    np.testing.assert_allclose(
        curve.heading(places), [[0, 0], [-BEND / 2, -BEND], [-BEND / 2, 0]], atol=1e-15
    )
    np.testing.assert_array_equal(curve.curvature(places), [[0, 0], [-np.inf, 0], [np.inf, 0]])
    assert np.shape(curve.heading(5.0)) == np.shape(curve.curvature(5.0)) == ()
    square = Polyline(SQUARE, closed=True)
    np.testing.assert_allclose(
        square.heading([0, 50, 100, 350, 400]) / QUARTER, [0, 0.5, 1, 3.5, 4], atol=1e-15
    )


def test_a_point_on_the_way_is_no_corner():
    """Exact by hand."""
    curve = Polyline([(0, 0), (30, 0), (50, 0), (50, 50)])
    assert curve.corners == (Corner(50.0, -QUARTER),)
    assert curve.runs() == (Run(0.0, 100.0, pytest.approx(-QUARTER)),)
    line = Polyline([(0, 0), (30, 40)])
    assert line.runs() == (Run(0.0, 50.0, 0.0),)
    assert float(line.length_at(1e6)) == 50
    assert line.extremes() == (Extreme(0.0, 25.0),) * 2


def test_runs_change_half_way_between_corners():
    """Exact by hand: convex over 160 to 210, the middles of the two pieces beside the hollow."""
    runs = Polyline(ELL, closed=True).runs()
    assert [(run.start, run.end, run.hollow) for run in runs] == [
        (0, 160, False),
        (160, 210, True),
        (210, 400, False),
    ]
    np.testing.assert_allclose([run.turn for run in runs], np.array([2.5, -1, 2.5]) * QUARTER)


def test_extremes_are_the_sharpest_corners_of_the_run():
    """Exact by hand."""
    curve = Polyline([(0, 0), (50, 0), (100, 10), (150, 0), (200, 0), (200, 50)])
    low, high = curve.extremes()
    assert low == (-np.inf, pytest.approx(curve.length - 50))
    assert high == (np.inf, pytest.approx(50 + math.hypot(50, 10)))
    assert curve.extremes(0, 40) == (Extreme(0.0, 20.0),) * 2
    assert curve.extremes(40, 60)[0] == (-np.inf, 50)
    assert curve.extremes(40, 60)[1] == (0.0, 50)


# Parts ------------------------------------------------------------------------------------------


@patient
@given(
    radii=st.lists(st.floats(60, 140), min_size=4, max_size=9),
    cuts=st.lists(st.floats(0.02, 0.98), min_size=1, max_size=3, unique=True),
    offset=st.floats(-3, 3),
    at_corner=st.booleans(),
)
def test_parts_add_up_to_the_whole(radii, cuts, offset, at_corner):
    """Exact by hand: also where a part ends at a corner, which two parts share."""
    curve = Polyline(star(len(radii), radii), closed=True)
    inner = [c.place for c in curve.corners[1:2]] if at_corner else []
    places = sorted({0.0, *inner, *(c * curve.length for c in cuts), curve.length})
    parts = list(pairwise(places))
    try:
        whole = float(curve.length_at(offset))
        got = sum(float(curve.length_at(offset, start=i, end=j)) for i, j in parts)
    except ValueError:
        return  # a cut too near a corner folds; by hand below
    assert got == pytest.approx(whole, rel=1e-9)


def test_a_part_that_ends_at_a_corner_has_half_of_it():
    """Exact by hand: d·a/2 outside, d·tan(a/2) inside."""
    curve = Polyline([(0, 0), (0, 100), (100, 100)])
    for part in ({"end": 100}, {"start": 100}):
        assert float(curve.length_at(8, **part)) == pytest.approx(100 + 4 * QUARTER, rel=1e-14)
        assert float(curve.length_at(-8, **part)) == pytest.approx(92, rel=1e-14)
    assert float(curve.length_at(8, end=99)) == 99


def test_offsets_may_be_an_array():
    """Independent: one at a time."""
    curve, offsets = Polyline(STEP), np.array([[-9.0, 0.0], [4.0, 11.0]])
    got = curve.length_at(offsets, start=10, end=150)
    for index in np.ndindex(2, 2):
        assert got[index] == float(curve.length_at(offsets[index], start=10, end=150))


@patient
@given(
    radii=st.lists(st.floats(60, 140), min_size=4, max_size=9),
    turn=st.floats(0, 6),
    factor=st.floats(0.1, 10),
    offset=st.floats(-2, 2),
)
def test_moved_turned_enlarged_reversed(radii, turn, factor, offset):
    """Exact by hand: only the size may change the lengths, and nothing the turns."""
    points = star(len(radii), radii)
    spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    plain = Polyline(points, closed=True)
    try:
        want = float(plain.length_at(offset))
    except ValueError:
        return
    moved = Polyline(factor * points @ spin + [300, -20], closed=True)
    back = Polyline(np.roll(points[::-1], 1, axis=0), closed=True)
    assert float(moved.length_at(factor * offset)) == pytest.approx(factor * want, rel=1e-9)
    assert float(back.length_at(offset)) == pytest.approx(want, rel=1e-12)
    turns = [c.turn for c in plain.corners]
    np.testing.assert_allclose([c.turn for c in moved.corners], turns, atol=1e-9)
    np.testing.assert_allclose(
        [c.turn for c in back.corners], [turns[0], *turns[:0:-1]], atol=1e-12
    )
    half = points[: len(points) // 2 + 1]  # half a star turns by less than a full turn
    opened = Polyline(half)
    mirrored = Polyline(half[::-1], outside="right")
    assert float(mirrored.length_at(1)) == pytest.approx(float(opened.length_at(1)), rel=1e-12)


# Folds ------------------------------------------------------------------------------------------


def test_a_piece_that_is_used_up_is_a_fold():
    """Exact by hand: 30 mm between two right hollow corners are gone at a depth of 15."""
    tray = Polyline([(0, 60), (0, 0), (30, 0), (30, 60)])
    assert float(tray.length_at(14.9)) == pytest.approx(150 - 4 * 14.9)
    assert float(tray.length_at(-1e3)) == pytest.approx(150 + 1e3 * np.pi)
    text = (
        r"15\.5 mm folds the layer over itself: the part from 60\.0 to 90\.0 mm along "
        r"the curve is used up by its corners at a depth of 15\.00 mm; use an offset below"
    )
    with pytest.raises(ValueError, match=text):
        tray.length_at([3, 15.5])
    with pytest.raises(ValueError, match="15 mm folds"):  # exactly at the limit
        tray.length_at(15)


def test_the_fold_is_looked_for_within_the_run_only():
    """Exact by hand: from 70 mm on, 20 mm are left before the corner."""
    tray = Polyline([(0, 60), (0, 0), (30, 0), (30, 60)])
    assert float(tray.length_at(25, end=50)) == 50
    assert float(tray.length_at(19, start=70)) == pytest.approx(80 - 2 * 19)
    with pytest.raises(ValueError, match=r"from 70\.0 to 90\.0 mm .* depth of 20\.00 mm"):
        tray.length_at(21, start=70)
    with pytest.raises(ValueError, match=r"-13 mm folds .* from 40\.0 to 52\.0 mm"):
        Polyline([(0, 0), (0, 40), (12, 40), (12, 0)]).length_at(-13)


@pytest.mark.parametrize("run", [(50, 50), (60, 40), (-1, 40), (10, 161)])
def test_places_out_of_order_are_refused(run):
    with pytest.raises(ValueError, match=r"^start and end must lie in this order"):
        Polyline(STEP).length_at(5, start=run[0], end=run[1])


@pytest.mark.parametrize("offset", [math.nan, math.inf])
def test_an_offset_that_is_no_length_is_refused(offset):
    with pytest.raises(ValueError, match=r"^offset must be a finite length in mm, got"):
        Polyline(STEP).length_at(offset)


# Rounded ----------------------------------------------------------------------------------------


def test_a_rounded_right_angle():
    """Exact by hand: 2·10 mm of the legs become 10·π/2."""
    bent = Polyline([(0, 0), (0, 50), (80, 50)]).rounded(10)
    np.testing.assert_allclose(bent.lengths, [40, 5 * np.pi, 70], rtol=1e-14)
    np.testing.assert_allclose(bent.turns, [0, QUARTER, 0], rtol=1e-14)
    assert bent.profile().mouth == pytest.approx(math.hypot(50, 80), rel=1e-13)


@pytest.mark.parametrize("radius", [1, 8, 19.9])
def test_a_rounded_ell(radius):
    """Independent: shapely, opened and then closed with round joins; the ring closes."""
    ring, area = Polyline(ELL, closed=True).rounded(radius), shapely.Polygon(ELL)
    q = {"quad_segs": 2000}
    opened = area.buffer(-radius, **q).buffer(2 * radius, **q).buffer(-radius, **q)
    # Opening rounds the convex corners and closing the hollow one, both with the radius.
    want = opened.length
    assert ring.closed
    assert ring.turn == pytest.approx(2 * np.pi, rel=1e-13)
    assert ring.length == pytest.approx(want, rel=1e-5)
    assert ring.length == pytest.approx(400 - 6 * radius * (2 - QUARTER), rel=1e-12)  # by hand
    assert ring.profile(3).mouth == pytest.approx(0, abs=1e-9)
    assert ring.extremes()[0].curvature == pytest.approx(-1 / radius, rel=1e-9)


@patient
@given(radii=st.lists(st.floats(60, 140), min_size=4, max_size=9), radius=st.floats(0.1, 5))
def test_a_rounded_star_keeps_its_turns(radii, radius):
    """Exact by hand: each corner loses 2 r tan(|a|/2) and wins r |a|; the ends stay."""
    sharp = Polyline(star(len(radii) + 2, [*radii, 100, 100])[:-2])
    soft = sharp.rounded(radius)
    won = sum(radius * (abs(c.turn) - 2 * math.tan(abs(c.turn) / 2)) for c in sharp.corners)
    assert soft.turn == pytest.approx(sharp.turn, abs=1e-12)
    assert soft.length == pytest.approx(sharp.length + won, rel=1e-12)
    first, last = sharp.points[0], sharp.points[-1]
    assert float(soft.profile().mouth) == pytest.approx(math.dist(first, last), rel=1e-9)


def test_rounding_uses_pieces_up():
    """Exact by hand: two quarter turns of radius 15 fill 30 mm; more does not fit."""
    tray = Polyline([(0, 60), (0, 0), (30, 0), (30, 60)])
    full = tray.rounded(15)
    np.testing.assert_allclose(full.lengths, [45, 7.5 * np.pi, 7.5 * np.pi, 45], rtol=1e-12)
    text = r"^radius must be at most 15 mm, got 15\.1: the straight piece from 60\.0 to 90\.0 mm"
    with pytest.raises(ValueError, match=text):
        tray.rounded(15.1)
    for bad in (0, -1, math.nan):
        with pytest.raises(ValueError, match=r"^radius must be a finite length above 0 mm"):
            tray.rounded(bad)


def test_many_short_pieces_of_a_circle():
    """Independent: the circle. 5000 corners; a polygon is short by (π/5000)²/6 of itself."""
    angle = 2 * np.pi * np.arange(5000) / 5000
    ring = Polyline(50 * np.column_stack([np.cos(angle), np.sin(angle)]), closed=True)
    assert ring.length == pytest.approx(100 * np.pi, rel=1e-6)
    got = float(ring.length_at(7.5)) - ring.length
    assert got == pytest.approx(15 * np.pi, rel=1e-12)
    assert float(Arc(50, 2 * np.pi).length_at(7.5)) == pytest.approx(
        float(ring.rounded(20).length_at(7.5)), rel=1e-6
    )


# What is refused --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("points", "closed", "words"),
    [
        ([(0, 0)], False, r"^points must be at least 2, got 1"),
        ([(0, 0), (1, 0)], True, r"^points must be at least 3, got 2"),
        ([(0, 0), (1, 0), (1, 0), (2, 5)], False, r"^points 2 and 3 are the same \(1, 0\); leave"),
        ([(0, 0), (1, 0), (1 + 1e-9, 0), (2, 5)], False, r"^points 2 and 3 are the same"),
        ([(0, 0), (1e-7, 0), (2e-7, 1e-8)], False, r"^points must reach over 1e-06 mm, got 2e-07"),
        ([(3, 4), (3, 4)], False, r"^points 1 and 2 are the same \(3, 4\)"),
        ([(0, 0), (1, 0), (2, 5), (0, 0)], False, r"^the first and the last point are the same"),
        ([(0, 0), (1, math.nan), (2, 0)], False, r"^y of point 2 must be a finite length in mm"),
        ([(0, 0), (1, 0), (math.inf, 0)], False, r"^x of point 3 must be a finite .* got inf"),
        ([1, 2, 3], False, r"^points must be pairs of x and y, .* got shape \(3,\)$"),
        ([(0, 0, 0), (1, 1, 1)], False, r"^points must be pairs .* got shape \(2, 3\)$"),
        ([(0, 0), (1, 0), (1,)], False, r"^points must be .* rows of different lengths$"),
        (np.zeros((5001, 2)), False, r"^points must be at most 5000, got 5001"),
        ([(0, 0), (1e10, 0)], False, r"^points must lie within 1e9 mm .* check the unit$"),
        (
            [(0, 0), (10, 0), (4, 0), (20, 5)],
            False,
            r"^the way doubles back on itself at point 2 \(10, 0\); put the points in order",
        ),
        (
            [(0, 0), (10, 0), (5, 5), (5, -5)],
            False,
            r"crosses itself at \(5, 0\): the piece after point 1 meets the piece after point 3",
        ),
        (
            [(0, 0), (10, 10), (10, 0), (0, 10)],
            True,
            r"crosses itself at \(5, 5\): the piece after point 1 meets the piece after point 3",
        ),
        (
            [(0, 0), (10, 0), (20, 0), (20, 10), (0, 10), (5, 0)],
            False,
            r"crosses itself at \(5, 0\): the piece after point 1 meets the piece after point 5",
        ),
        (
            [(0, 0), (10, 0), (10, 10), (4, 10), (4, 0), (8, 0), (8, -5)],
            False,
            r"crosses itself at \(4, 0\): the piece after point 1 meets",
        ),
        (
            [(0, 0), (10, 0), (10, 10), (0, 10), (0, 2), (8, 2), (8, 8), (3, 8), (3, 3)],
            False,
            r"^the points make 630 deg, more than a full turn \(360 deg\), on an open curve",
        ),
    ],
)
def test_what_is_no_polyline(points, closed, words):
    """Exact by hand."""
    with pytest.raises(ValueError, match=words):
        Polyline(points, closed=closed)


def test_other_faults_are_named():
    with pytest.raises(ValueError, match=r"^outside must be one of 'left', 'right', got 'up'"):
        Polyline(STEP, outside="up")
    with pytest.raises(TypeError, match=r"^points must be .* read text through foamcalc.units"):
        Polyline([(0, "5 mm"), (3, 4)])
    with pytest.raises(ValueError, match=r"^place must be from 0 to 160 mm"):
        Polyline(STEP).heading([0, 161])


def test_it_cannot_be_changed_and_two_alike_are_equal():
    points = np.array(STEP, dtype=float)
    curve = Polyline(points)
    points[:] = 0
    assert curve.length == 160
    assert curve == Polyline(STEP)
    assert hash(curve) == hash(Polyline(STEP))
    assert curve != Polyline(STEP, outside="right")
    with pytest.raises(dataclasses.FrozenInstanceError):
        curve.closed = True
