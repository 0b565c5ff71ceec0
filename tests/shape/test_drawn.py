"""Drawn edges: what a curve tells, against the other curves, mpmath, shapely and by hand.

Kinds of expected values are named beside them. Where shapely is the judge, curves are drawn for it
with chords that leave less than the tolerance used; how much is said there.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Corner, Drawn, Run
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.segments import Bezier, EllipseArc

patient = settings(deadline=None, max_examples=15)
QUARTER = np.pi / 2

SQUARE = [(0, 0), (100, 0), (100, 100), (0, 100)]
ELL = [(0, 0), (100, 0), (100, 40), (60, 40), (60, 100), (0, 100)]
"""An L: five convex corners, one hollow one."""
STEPS = [(0, 0), (50, 0), (110, 80), (125, 100), (160, 100), (160, 140), (0, 140)]
"""A hollow corner and convex ones; (110, 80) is no corner."""
ARCH = Bezier([(0, 0), (30, 60), (80, 60), (100, 0)])
ESS = Bezier([(0, 0), (60, 0), (40, 80), (100, 80)])
LOOP = Bezier([(0, 0), (120, 80), (-20, 80), (100, 0)])


def lines(points, closed=False, **more):
    """Straight segments from point to point."""
    ends = [*points, points[0]] if closed else points
    return Drawn([Bezier(pair) for pair in pairwise(ends)], closed, **more)


def arc(centre, radius, start, sweep):
    """Part of a circle."""
    return EllipseArc(centre, (radius, 0), (0, radius), start, sweep)


def chain(lengths, turns):
    """Arcs and lines without a kink from the origin on, to the right; turns to the left."""
    at, way, found = 0j, 1 + 0j, []
    for length, turn in zip(lengths, turns, strict=True):
        if turn == 0:
            end = at + length * way
            found.append(Bezier([(at.real, at.imag), (end.real, end.imag)]))
        else:
            middle = at + 1j * way * length / turn
            begin = np.angle(at - middle)
            found.append(arc((middle.real, middle.imag), abs(length / turn), begin, turn))
            end = middle + (at - middle) * np.exp(1j * turn)
        at, way = end, way * np.exp(1j * turn)
    return found


def blob(rng, count=6, hollow=0.4):
    """A closed smooth outline of cubics through points round the origin (invented)."""
    angle = 2 * np.pi * (np.arange(count) + rng.uniform(-0.2, 0.2, count)) / count
    radius = 100 * (1 + rng.uniform(-hollow, hollow, count))
    xy = np.column_stack([radius * np.cos(angle), radius * np.sin(angle)])
    way = (np.roll(xy, -1, axis=0) - np.roll(xy, 1, axis=0)) / 6
    after, way_after = np.roll(xy, -1, axis=0), np.roll(way, -1, axis=0)
    return [
        Bezier([p, p + a, q - b, q]) for p, a, q, b in zip(xy, way, after, way_after, strict=True)
    ]


def sampled(curve, count=4000):
    """Points along a curve, close together."""
    return curve.point(np.linspace(0, curve.length, count + 1))


def as_told(curve, offset, **part):
    """The length at an offset, or that it folds."""
    try:
        return pytest.approx(float(curve.length_at(offset, **part)), rel=1e-9)
    except ValueError as fault:
        assert "folds the layer over itself" in str(fault)
        return "fold"


def flanks(cusp):
    """A cubic with a cusp half-way, as a drawing has it with a node there."""
    first, last = (cusp.cut(*ends).points.copy() for ends in ((0, 0.5), (0.5, 1)))
    first[2], last[1] = first[3], last[0]  # the handles are drawn in, but for rounding
    return [Bezier(first), Bezier(last)]


def spun(segments, turn=0.7, x=40.0, y=-15.0):
    """The same segments turned about the origin and shifted."""
    cos, sin = np.cos(turn), np.sin(turn)
    return [s.transformed([[cos, -sin, x], [sin, cos, y]]) for s in segments]


# What it is, beside the other curves ------------------------------------------------------------


@pytest.mark.parametrize("outside", ["left", "right"])
def test_arcs_without_kinks_are_a_chain_of_arcs(outside):
    """Independent: Arcs. A turn to the left is convex where the outside lies to the right."""
    lengths = [30, 45, 20, 40, 25]
    turns = np.array([0.6, 0.0, 1.1, -0.8, 0.5])
    drawn = Drawn(chain(lengths, turns), outside=outside)
    want = Arcs(lengths, turns if outside == "right" else -turns)
    assert drawn.length == pytest.approx(want.length, rel=1e-14)
    assert drawn.turn == pytest.approx(want.turn, rel=1e-13)
    assert drawn.corners == ()
    assert drawn.joints == pytest.approx(want.joints, rel=1e-13)
    places = np.array([0, 1, 29, 31, 74, 76, 94, 96, 134, 136, 160])
    np.testing.assert_allclose(drawn.curvature(places), want.curvature(places), atol=1e-14)
    np.testing.assert_allclose(drawn.heading(places), want.heading(places), atol=1e-13)
    for a, b in zip(drawn.runs(), want.runs(), strict=True):
        assert a == pytest.approx(b, rel=1e-12, abs=1e-12)
    for run in ((0, 160), (10, 60), (35, 70), (80, 120)):
        for a, b in zip(drawn.extremes(*run), want.extremes(*run), strict=True):
            assert a.curvature == pytest.approx(b.curvature, rel=1e-12)
        part = {"start": run[0], "end": run[1]}
        np.testing.assert_allclose(
            drawn.length_at([-5, 3, 10], **part), want.length_at([-5, 3, 10], **part), rtol=1e-13
        )


def test_a_whole_ellipse_in_one_segment():
    """Independent: Ellipse, whose perimeter is scipy's; Steiner: 2π more for each mm."""
    drawn = Drawn(spun([EllipseArc((0, 0), (60, 0), (0, 45), 0, 2 * np.pi)]), closed=True)
    want = Ellipse(60, 45)
    assert f"{drawn.length:.4f}" == "331.5524"
    assert drawn.length == pytest.approx(want.length, rel=1e-10)
    assert float(drawn.length_at(7.5)) == pytest.approx(want.length + 15 * np.pi, rel=1e-11)
    assert drawn.extremes()[1].curvature == pytest.approx(60 / 45**2, rel=1e-12)
    assert drawn.extremes()[0].curvature == pytest.approx(45 / 60**2, rel=1e-12)
    low, high = drawn.extremes(10, 50)
    assert (low.place, high.place) == pytest.approx((50, 10))
    with pytest.raises(ValueError, match=r"34 mm folds .* the bend has a radius of only 33\.75"):
        drawn.length_at(-34)
    assert drawn.runs() == (Run(0.0, drawn.length, pytest.approx(2 * np.pi)),)
    assert drawn.outside == "right"
    assert Drawn([drawn.segments[0].reversed()], closed=True).outside == "left"


# Places along it --------------------------------------------------------------------------------


def test_place_and_point_of_cubics_against_mpmath():
    """Independent: mpmath integrates the speed up to the point that is found."""
    import mpmath

    for segment in (ARCH, ESS, LOOP):
        curve, form = Drawn([segment]), np.diff(segment.points, axis=0)
        for share in (0.01, 0.37, 0.5, 0.93):
            place = share * curve.length
            xy = curve.point(place)
            t = np.linspace(0, 1, 40_001)
            near = t[np.argmin(np.abs(segment.point(t) - xy).sum(axis=1))]

            def speed(u, form=form):
                share = [(1 - u) ** 2, 2 * u * (1 - u), u**2]
                x, y = (
                    3 * sum(s * d for s, d in zip(share, form[:, k], strict=True)) for k in (0, 1)
                )
                return mpmath.hypot(x, y)

            length = float(mpmath.quad(speed, np.linspace(0, near, 9).tolist()))
            along = curve.direction(place) @ (xy - segment.point(near))
            assert length + along == pytest.approx(place, abs=1e-7)  # the rest of one step


@patient
@given(st.integers(0, 10**6))
def test_places_and_points_belong_together(seed):
    """Exact by hand: the nearest place to a point of the curve is that place."""
    rng = np.random.default_rng(seed)
    curve = Drawn(blob(rng), closed=True)
    places = np.append(np.sort(rng.uniform(0, curve.length, 5)), curve.length / 2)
    for place, xy in zip(places, curve.point(places), strict=True):
        found = curve.place_of(xy)
        assert found.place == pytest.approx(place, abs=1e-9 * curve.length)
        assert found.distance == pytest.approx(0, abs=1e-9)


def test_places_are_as_far_apart_as_they_say():
    """Independent: chords between many points; 1/24 of (step × curvature)² is missing, 1e-8."""
    curve = Drawn([ESS, Bezier([(100, 80), (130, 80)]), arc((130, 110), 30, -QUARTER, 4.0)])
    for start, end in ((0, 50), (40, 170), (120, curve.length)):
        track = curve.point(np.linspace(start, end, 20001))
        chords = np.hypot(*np.diff(track, axis=0).T).sum()
        assert chords == pytest.approx(end - start, rel=1e-8)


def test_direction_and_shape_of_answers():
    """Independent: differences of points."""
    curve = Drawn([ESS])
    places = np.array([[0.0, 20.0], [60.0, 100.0]])
    step = (curve.point(places + 1e-5) - curve.point(places)) / 1e-5
    np.testing.assert_allclose(curve.direction(places), step, atol=1e-5)
    assert curve.point(places).shape == curve.direction(places).shape == (2, 2, 2)
    assert curve.curvature(places).shape == curve.heading(places).shape == (2, 2)
    assert curve.point(5).shape == (2,)
    assert np.shape(curve.curvature(5)) == np.shape(curve.heading(5)) == ()
    square = lines(SQUARE, closed=True)
    np.testing.assert_allclose(square.direction([100, 150, 400]), [(0, 1), (0, 1), (0, -1)])


@pytest.mark.parametrize("place", [-1, 200.0, math.nan])
def test_places_off_the_curve_are_refused(place):
    for ask in (Drawn([ARCH]).point, Drawn([ARCH]).curvature, Drawn([ARCH]).heading):
        with pytest.raises(ValueError, match=r"^place must be"):
            ask(place)


def test_curvature_of_a_cubic():
    """Independent: differences of the direction, and the densest of many places."""
    curve = Drawn([ARCH, ESS.transformed([[1, 0, 100], [0, 1, 0]])])
    places = np.linspace(1, curve.length - 1, 50)
    places = places[np.abs(places - curve.corners[0].place) > 1]
    turn = curve.heading(places + 1e-4) - curve.heading(places - 1e-4)
    np.testing.assert_allclose(curve.curvature(places), turn / 2e-4, atol=1e-6)
    alone = Drawn([ESS])
    many = alone.curvature(np.linspace(0, alone.length, 400_001))
    low, high = alone.extremes()
    assert low.curvature == pytest.approx(many.min(), rel=1e-8)
    assert high.curvature == pytest.approx(many.max(), rel=1e-8)
    assert low.curvature <= many.min()
    assert high.curvature >= many.max()
    assert float(alone.curvature(low.place)) == pytest.approx(low.curvature, rel=1e-9)


@patient
@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=3, max_size=4))
def test_no_turning_is_lost(points):
    """Independent: the angles of 20 000 directions, joined without jumps."""
    segment = Bezier(np.round(points, 2))
    try:
        curve = Drawn([segment], outside="right")
    except ValueError as fault:
        assert "no length" in str(fault) or "turns back" in str(fault)
        return
    speed = segment.derivative(np.linspace(1e-7, 1 - 1e-7, 20_001))
    angle = np.unwrap(np.arctan2(speed[:, 1], speed[:, 0]))
    if np.abs(np.diff(angle)).max() > 1:
        return  # too tight a bend for this way of counting
    assert curve.turn == pytest.approx(angle[-1] - angle[0], abs=2e-3)


@pytest.mark.parametrize("miss", [1e-2, 1e-4, 1e-6])
@pytest.mark.parametrize("side", [1, -1])
def test_a_bend_just_short_of_a_cusp_turns_the_right_way(miss, side):
    """Exact by hand: x' = 6t - 3, y' = 3 (2t - 1)² + miss: from one slope to the other, past 0."""
    # r' = (6t - 3) + i (12 (t - 1/2)² + miss): the way turns over the top if miss is positive
    d = [complex(-3, 3 + side * miss), complex(0, -3 + side * miss), complex(3, 3 + side * miss)]
    xy = np.cumsum([0, *d]) / 3
    curve = Drawn([Bezier(np.column_stack([xy.real, xy.imag]))], outside="right")
    slope = math.atan2(3 + side * miss, 3)
    want = -(math.pi - 2 * slope) if side > 0 else math.pi + 2 * slope
    assert curve.turn == pytest.approx(want, abs=1e-9)
    assert curve.corners == ()


def test_a_loop_turns_by_more_than_half_a_turn():
    """Exact by hand: once round, but for the slopes of 2 in 3 at its ends."""
    assert Drawn([LOOP]).turn == pytest.approx(-2 * np.pi + 2 * math.atan(2 / 3), rel=1e-12)


def test_the_end_of_a_curve_is_its_end_even_where_it_stands_still():
    """Exact by hand: the last handle is drawn in, so the way comes in from the one before it."""
    curve = Drawn([Bezier([(0, 0), (50, -100), (0, 50), (0, 50)])])
    np.testing.assert_array_equal(curve.point(curve.length), (0, 50))
    assert float(curve.heading(curve.length)) == pytest.approx(curve.turn, rel=1e-12)
    np.testing.assert_allclose(curve.direction(0), np.array([1, -2]) / 5**0.5)
    np.testing.assert_allclose(curve.direction(curve.length), np.array([-1, 3]) / 10**0.5)
    tail = Bezier([(2, -4), (3, -6), (2, -3), (2, -3)])
    behind = Drawn([Bezier([(1, -2), (2, -4)]), tail])
    np.testing.assert_allclose(behind.point(behind.length), (2, -3), atol=1e-12)
    assert float(behind.heading(behind.length)) == pytest.approx(behind.turn, rel=1e-9)


def test_a_spiral_turns_more_than_once():
    """Exact by hand: two and a half turns."""
    lengths, turns = [50, 45, 40, 35, 30], [np.pi] * 5
    curve = Drawn(chain(lengths, turns), outside="right")
    assert curve.turn == pytest.approx(5 * np.pi, rel=1e-12)
    assert float(curve.length_at(3)) == pytest.approx(200 + 15 * np.pi, rel=1e-12)


# Corners, tips and cusps ------------------------------------------------------------------------


def test_a_corner_between_bends():
    """Exact by hand: a quarter of a circle, a right angle, a line."""
    curve = Drawn([arc((0, 0), 50, 0, QUARTER), Bezier([(0, 50), (0, 90)])], outside="right")
    assert curve.corners == (Corner(pytest.approx(25 * np.pi), pytest.approx(-QUARTER)),)
    assert curve.turn == pytest.approx(0, abs=1e-12)
    at = curve.corners[0].place
    np.testing.assert_allclose(
        curve.heading([at - 1e-3, at, at + 1e-3]), [QUARTER - 2e-5, QUARTER / 2, 0], atol=1e-9
    )
    assert float(curve.curvature(at)) == -np.inf
    np.testing.assert_allclose(curve.curvature([at - 1, at + 1]), [1 / 50, 0], atol=1e-12)
    assert curve.extremes()[0] == (-np.inf, at)
    assert curve.extremes()[1].curvature == pytest.approx(1 / 50)
    assert curve.joints == (at,)
    assert curve.runs() == (
        Run(0.0, pytest.approx(at), pytest.approx(QUARTER)),
        Run(pytest.approx(at), curve.length, pytest.approx(-QUARTER)),
    )


def test_rounding_in_a_drawing_makes_no_corner():
    """Exact by hand: 0.05 deg is no corner, 0.2 deg is one; both are part of the turn."""
    for degrees, corners in ((0.05, 0), (0.2, 1)):
        bend = math.radians(degrees)
        way = [(0, 0), (50, 0), (50 + 50 * math.cos(bend), 50 * math.sin(bend))]
        curve = lines(way, outside="right")
        assert len(curve.corners) == corners
        assert curve.turn == pytest.approx(bend, rel=1e-9)
        assert float(curve.length_at(10)) == pytest.approx(100 + 10 * bend, rel=1e-12)
        assert [run.turn for run in curve.runs()] == pytest.approx([bend * corners], rel=1e-9)


def test_a_cusp_is_a_corner_of_half_a_turn():
    """Exact by hand: (t², t³) bends left by atan(3/2) up to its cusp and as much behind it.

    Its flanks lie like those of a tip that turns right, so half a turn goes off.
    """
    cusp = Bezier([(1, -1), (-1 / 3, 1), (-1 / 3, -1), (1, 1)])
    with pytest.raises(
        ValueError, match=r"segment 1 stands still and turns back at \(.*put a node"
    ):
        Drawn(spun([cusp]), outside="right")
    curve = Drawn(spun(flanks(cusp)), outside="right")
    whole, bend = 2 * (13**1.5 - 8) / 27, math.atan(3 / 2)
    assert curve.length == pytest.approx(whole, rel=1e-12)
    (corner,) = curve.corners
    assert corner == (pytest.approx(whole / 2, rel=1e-9), pytest.approx(-np.pi))
    assert curve.turn == pytest.approx(2 * bend - np.pi, rel=1e-9)
    assert [run.turn for run in curve.runs()] == pytest.approx([bend, -np.pi, bend], rel=1e-9)
    assert float(curve.curvature(corner.place)) == -np.inf
    assert curve.extremes()[1] == (np.inf, pytest.approx(corner.place))
    near = curve.curvature(corner.place + np.array([-1e-6, 1e-6]))
    assert (near > 100).all()
    assert curve.place_of(curve.point(corner.place)).place == pytest.approx(corner.place, abs=1e-6)


def test_a_layer_inside_and_round_a_horn():
    """Exact by hand, with one root each from scipy: the horn (t², t³) from -1 to 1, by 100 mm.

    Inside at a depth d its two sides meet on the axis, and each meets the line across the mouth.
    Outside shapely's buffer, 40 000 chords: round the tip in an arc of half a turn.
    """
    from scipy.optimize import brentq

    cusp = Bezier([(1, -1), (-1 / 3, 1), (-1 / 3, -1), (1, 1)])
    horn = [s.transformed([[100, 0, 0], [0, 100, 0]]) for s in (cusp, Bezier([(1, 1), (1, -1)]))]
    curve = Drawn(spun([*flanks(horn[0]), horn[1]]), closed=True)
    turns = [corner.turn for corner in curve.corners]
    bend = math.atan(3 / 2)
    assert turns == pytest.approx([QUARTER + bend, np.pi, QUARTER + bend], rel=1e-9)
    for d in (0.01, 1, 5, 20, 35):

        def y(t, d=d):
            return 100 * t**3 - 2 * d / math.hypot(2, 3 * t)

        def x(t, d=d):
            return 100 * t**2 + 3 * t * d / math.hypot(2, 3 * t) - (100 - d)

        tip, mouth = brentq(y, 1e-9, 2, xtol=1e-15), brentq(x, 0, 2, xtol=1e-15)
        side = 100 * ((4 + 9 * mouth**2) ** 1.5 - (4 + 9 * tip**2) ** 1.5) / 27
        side += d * (math.atan(1.5 * mouth) - math.atan(1.5 * tip))  # it lies in the hollow
        want = 2 * side + 2 * y(mouth)
        assert float(curve.length_at(-d)) == pytest.approx(want, rel=1e-10)
    area = shapely.Polygon(horn[0].point(np.linspace(0, 1, 40_001)))
    want = area.buffer(1, quad_segs=2000).length
    assert float(curve.length_at(1)) == pytest.approx(want, rel=1e-7)
    with pytest.raises(ValueError, match=r"hollow has a radius of only 1\.5"):
        curve.length_at(2)  # beside the tip


def test_where_a_handle_is_drawn_in_the_curvature_has_no_bounds():
    """Exact by hand: r' = t g, curvature g × g' / (t |g|³); small folds there are not minded."""
    curve = Drawn([Bezier([(0, 0), (0, 0), (50, 0), (50, 50)])], outside="right")
    assert float(curve.curvature(0)) == np.inf
    place = 1e-4
    assert float(curve.curvature(place)) == pytest.approx(1 / 48.9898 / place**0.5, rel=1e-2)
    assert curve.extremes()[1] == (np.inf, 0.0)
    assert curve.turn == pytest.approx(QUARTER, rel=1e-12)
    assert float(curve.length_at(-5)) == pytest.approx(curve.length - 5 * QUARTER, rel=1e-12)
    with pytest.raises(ValueError, match="folds the layer over itself"):
        curve.length_at(-45)


@pytest.mark.parametrize("offset", [-12, -4, 4, 12])
@pytest.mark.parametrize(
    "outline",
    [
        [arc((0, 0), 50, 0, 4.5), Bezier([arc((0, 0), 50, 0, 4.5).point(1), (0, 0)]),
         Bezier([(0, 0), (50, 0)])],
        [arc((0, -60), 100, math.acos(0.8), np.pi - 2 * math.acos(0.8)),
         arc((0, 60), 100, np.pi + math.acos(0.8), np.pi - 2 * math.acos(0.8))],
        [Bezier([(0, 0), (40, -30), (70, 20), (100, 0)]), Bezier([(100, 0), (60, 40), (130, 70)]),
         arc((80, 70), 50, 0, np.pi), Bezier([(30, 70), (-10, 60), (0, 0)])],
    ],
    ids=["pie", "lens", "scute"],
)  # fmt: skip
def test_corners_between_bends(outline, offset):
    """Independent: shapely's buffer, 1000 chords a segment, short by 1e-6 at the most.

    shapely first smooths hollows that are less than a hundredth of the offset deep.
    """
    curve = Drawn(spun(outline), closed=True)
    t = np.linspace(0, 1, 1001)
    area = shapely.Polygon(np.concatenate([s.point(t)[:-1] for s in curve.segments]))
    assert curve.length == pytest.approx(area.length, rel=1e-6)
    want = area.buffer(offset, quad_segs=2000).length
    assert float(curve.length_at(offset)) == pytest.approx(want, rel=1e-5)
    # and three parts of it together
    edges = curve.length * np.array([0, 0.15, 0.37, 1])
    parts = [float(curve.length_at(offset, start=a, end=b)) for a, b in pairwise(edges)]
    assert sum(parts) == pytest.approx(float(curve.length_at(offset)), rel=1e-9)


def test_the_rule_of_straight_lines_would_be_off_between_bends():
    """Exact by hand: inside a lens of two arcs of radius R the parallel arcs have R - d.

    Their tips move in: sin of half the arc's angle is that of the old rise over R - d.
    """
    half = math.acos(0.6)  # arcs of radius 100, centres 60 off the middle
    outline = [
        arc((0, -60), 100, QUARTER - half, 2 * half),
        arc((0, 60), 100, 3 * QUARTER - half, 2 * half),
    ]
    lens = Drawn(outline, closed=True)
    assert lens.length == pytest.approx(400 * half, rel=1e-12)
    want = 4 * 90 * math.acos(60 / 90)
    assert float(lens.length_at(-10)) == pytest.approx(want, rel=1e-9)
    a = lens.corners[0].turn
    rule = lens.length - 10 * 4 * half - 2 * 2 * 10 * math.tan(a / 2)
    assert rule - want == pytest.approx(1.04, abs=0.01)  # regression: a millimetre too much


# Folds ------------------------------------------------------------------------------------------


def test_a_bend_that_is_too_tight():
    """Exact by hand: an arc of radius 30 folds 30 mm inwards, an S on either side."""
    curve = Drawn(chain([20, 30 * QUARTER, 20, 40 * QUARTER], [0, QUARTER, 0, -QUARTER]))
    assert float(curve.length_at(29.9)) == pytest.approx(curve.length, rel=1e-12)
    with pytest.raises(ValueError, match=r"30 mm folds .* hollow has a radius of only 30\.00 mm"):
        curve.length_at(30)
    with pytest.raises(ValueError, match=r"41 mm folds .* bend has a radius of only 40\.00 mm"):
        curve.length_at(-41)
    assert float(curve.length_at(35, start=100)) > 0  # past the hollow


def test_what_lies_between_two_corners_is_used_up():
    """Exact by hand: between right angles a half circle of radius 40 loses what is 10 mm deep.

    At a depth d its parallel curve meets the lines where 40 + d lies d above the middle.
    """
    hump = [
        Bezier([(-90, 0), (-40, 0)]),
        arc((0, 0), 40, np.pi, -np.pi),
        Bezier([(40, 0), (90, 0)]),
    ]
    curve = Drawn(hump, outside="left")
    assert [c.turn for c in curve.corners] == pytest.approx([-QUARTER, -QUARTER])
    want = 2 * (90 - math.sqrt(50**2 - 10**2)) + 50 * (np.pi - 2 * math.asin(10 / 50))
    assert float(curve.length_at(10)) == pytest.approx(want, rel=1e-10)
    for depth in (51, 200):
        with pytest.raises(ValueError, match=r"folds .* is used up by its corners at a depth of "):
            curve.length_at([1, depth], end=curve.length - 45)


@pytest.mark.parametrize("count", [3700, 6000])
def test_a_circle_of_short_lines_folds_at_its_radius(count):
    """Exact by hand: chords that turn by less than 0.1 deg are no corners, but they do turn."""
    angle = 2 * np.pi * np.arange(count) / count
    ring = lines((100 * np.column_stack([np.cos(angle), np.sin(angle)])).tolist(), closed=True)
    assert ring.corners == ()
    assert ring.runs() == (Run(0.0, ring.length, pytest.approx(2 * np.pi)),)
    assert float(ring.length_at(-90)) == pytest.approx(20 * np.pi, rel=1e-5)
    assert float(ring.length_at(50)) == pytest.approx(ring.length + 100 * np.pi, rel=1e-12)
    with pytest.raises(ValueError, match=r"-101 mm folds .* drawn in many short segments"):
        ring.length_at([-101, 5])


# Nearest places and crossings -------------------------------------------------------------------


@patient
@given(seed=st.integers(0, 10**6), x=st.floats(-150, 150), y=st.floats(-150, 150))
def test_the_nearest_place(seed, x, y):
    """Independent: shapely's distance and projection on 20 000 chords, off by 1e-4 at the most."""
    curve = Drawn(blob(np.random.default_rng(seed)), closed=True)
    track = shapely.LineString(sampled(curve, 20_000))
    point = shapely.Point(x, y)
    found = curve.place_of((x, y))
    assert found.distance == pytest.approx(track.distance(point), abs=1e-4)
    assert found.distance == pytest.approx(math.dist(curve.point(found.place), (x, y)), rel=1e-12)
    beside = track.project(point)
    if abs(beside - found.place) > 0.5:
        other = track.interpolate(beside)  # then it is as near, but for the chords
        assert other.distance(point) == pytest.approx(found.distance, abs=1e-4)
    if found.distance > 1e-6:  # square to the way
        away = (np.array([x, y]) - curve.point(found.place)) / found.distance
        assert abs(away @ curve.direction(found.place)) < 1e-6


def test_nearest_at_corners_ends_and_on_lines():
    """Exact by hand."""
    curve = lines([(0, 0), (100, 0), (100, 50)])
    assert curve.place_of((30, 7)) == (30, 7)
    assert curve.place_of((103, -4)) == (100, 5)
    assert curve.place_of((-3, 4)) == (0, 5)
    assert curve.place_of((100, 80)) == (150, 30)
    assert curve.place_of((90, 10)) == (90, 10)  # and (110, 10) is as near


def test_of_equally_near_places_the_first_is_named():
    """Exact by hand: on the axis of a symmetrical arch; the middle of a circle has no nearest."""
    hill = Drawn([Bezier([(0, 0), (0, 100), (100, 100), (100, 0)])])
    assert hill.place_of((50, 20)).place < hill.length / 2
    assert hill.place_of((50.1, 20)).place > hill.length / 2
    ring = Drawn([arc((0, 0), 50, 1, 2 * np.pi)], closed=True)
    assert ring.place_of((0, 0)).distance == pytest.approx(50)
    # the start of a closed curve is named as the start
    assert ring.place_of((60 * math.cos(1), 60 * math.sin(1))) == (
        (pytest.approx(0, abs=1e-9), pytest.approx(10))
    )


def test_nearest_on_a_bulge_with_another_end_near_by():
    """Exact by hand: 10 mm from the bulge, 20 mm from the end, far from every chord."""
    at = 110 * np.array([math.cos(0.59), math.sin(0.59)])
    bow = arc((0, 0), 100, 0, 1.5 * np.pi)
    curve = Drawn(
        [bow, Bezier([(0, -100), (300, -100)]), Bezier([(300, -100), (at[0] + 20, at[1])])]
    )
    assert curve.place_of(at) == (pytest.approx(59), pytest.approx(10))


def test_nearest_in_a_narrow_loop():
    """Independent: the least of 200 000 distances, point by point along the curve."""
    curve = Drawn([Bezier([(0, 0), (150, 0.2), (-50, 0.2), (100, 0)])])
    track = sampled(curve, 200_000)
    rng = np.random.default_rng(3)
    for xy in rng.uniform([-5, -3], [105, 3], (12, 2)):
        want = np.hypot(*(track - xy).T).min()
        assert curve.place_of(xy).distance == pytest.approx(want, abs=1e-5)


def test_crossings_of_lines():
    """Exact by hand."""
    square = lines(SQUARE, closed=True)
    assert square.crossed_by((50, -5), (50, 5)) == (50,)
    assert square.crossed_by((50, -5), (50, 105)) == (50, 250)
    assert square.crossed_by((50, 10), (50, 90)) == ()
    assert square.crossed_by((130, 60), (70, 60)) == (160,)
    assert square.crossed_by((30, 0), (30, 8)) == (30,)  # begins on the edge
    through = square.crossed_by((-10, -10), (10, 10))  # the corner at the start
    assert through == (pytest.approx(0, abs=1e-12),)
    assert square.crossed_by((90, 90), (110, 110)) == (200,)
    assert square.crossed_by((-10, 10), (10, -10)) == ()  # touches that corner
    assert square.crossed_by((20, 0), (60, 0)) == ()  # along an edge
    bent = lines([(0, 0), (100, 0), (100, 50)])
    assert bent.crossed_by((0, -5), (0, 5)) == (0,)  # at its very end
    assert bent.crossed_by((90, 50), (110, 50)) == (150,)
    assert bent.crossed_by((90, 50.1), (110, 50.1)) == ()


def test_a_line_through_a_joint_crosses_once():
    """Exact by hand, in 25 positions: through corners, and where two straight lines make one."""
    rng = np.random.default_rng(36)  # where rounding would hide three of them
    plain = lines([*SQUARE[:3], (50, 100), SQUARE[3]], closed=True).segments
    for turn in rng.uniform(0, 6, 25):
        square = Drawn(spun(plain, turn, *rng.uniform(-300, 300, 2)), closed=True)
        middle = square.point([0, 200]).mean(axis=0)
        for place in (200, 250, 0):
            got = square.crossed_by(middle, middle + 1.5 * (square.point(place) - middle))
            assert got == (pytest.approx(place, abs=1e-9),)


@pytest.mark.parametrize("turn", [0, 0.1, 0.37, 1.4])
def test_a_line_that_just_cuts_off_a_bulge_crosses_twice(turn):
    """Exact by hand: 1 mm and 0.1 µm below the top of a circle of radius 100."""
    ring = Drawn([arc((0, 0), 100, 0, 2 * np.pi)], closed=True)
    for below in (1, 1e-4):
        half = math.acos(1 - below / 100)
        ends = [
            (100 - below) * np.array([math.cos(turn), math.sin(turn)])
            + side * 50 * np.array([-math.sin(turn), math.cos(turn)])
            for side in (-1, 1)
        ]
        want = sorted(100 * ((turn + side * half) % (2 * np.pi)) for side in (-1, 1))
        assert ring.crossed_by(*ends) == pytest.approx(want, rel=1e-9)
    assert ring.crossed_by(*(1.03 * np.array(ends))) == ()


@patient
@given(seed=st.integers(0, 10**6), at=st.floats(0, 6), off=st.floats(-80, 80))
def test_crossings_of_bends(seed, at, off):
    """Independent: shapely's intersection with 20 000 chords; as many, and 1e-3 near."""
    curve = Drawn(blob(np.random.default_rng(seed)), closed=True)
    way = np.array([math.cos(at), math.sin(at)])
    start, end = off * way[::-1] * [1, -1] - 300 * way, off * way[::-1] * [1, -1] + 300 * way
    track = shapely.LineString(sampled(curve, 20_000))
    met = shapely.get_parts(track.intersection(shapely.LineString([start, end])))
    got = curve.crossed_by(start, end)
    want = sorted(track.project(point) for point in met if not point.is_empty)
    if len(got) != len(want):  # a line may just touch the curve
        assert any(abs(curve.direction(place) @ way) > 0.999 for place in [*got, *want]), (
            got,
            want,
        )
        return
    assert got == pytest.approx(want, abs=0.05)
    for place in got:
        away = curve.point(place) - start
        assert abs(way[0] * away[1] - way[1] * away[0]) < 1e-9


@pytest.mark.parametrize("ask", ["place_of", "crossed_by"])
def test_points_that_are_none_are_refused(ask):
    points = [(math.nan, 0)] if ask == "place_of" else [(0, 0), (math.nan, 0)]
    with pytest.raises(ValueError, match="must be a finite length in mm"):
        getattr(Drawn([ARCH]), ask)(*points)
    with pytest.raises(ValueError, match="must be one pair of x and y, got shape"):
        getattr(Drawn([ARCH]), ask)(*[(1, 2, 3)] * len(points))
    if ask == "crossed_by":
        with pytest.raises(
            ValueError, match=r"ends? of the line must lie apart, got \(5, 5\) twice"
        ):
            Drawn([ARCH]).crossed_by((5, 5), (5, 5))


# Parts, turned round, turned over ---------------------------------------------------------------


@patient
@given(seed=st.integers(0, 10**6), cuts=st.lists(st.floats(0.01, 0.99), min_size=2, max_size=2))
def test_parts(seed, cuts):
    """Exact by hand: a part is what lies between; over the joint it is the rest."""
    curve = Drawn(blob(np.random.default_rng(seed)), closed=True)
    start, end = sorted(c * curve.length for c in cuts)
    if end - start < 1:
        return
    part, rest = curve.part(start, end), curve.part(end, start)
    assert part.length == pytest.approx(end - start, rel=1e-10)
    assert part.length + rest.length == pytest.approx(curve.length, rel=1e-10)
    assert part.turn + rest.turn == pytest.approx(
        2 * np.pi - sum(c.turn for c in curve.corners if c.place in (start, end)), rel=1e-9
    )
    assert not part.closed
    assert part.outside == curve.outside
    inner = np.linspace(0, part.length, 7)
    np.testing.assert_allclose(part.point(inner), curve.point(start + inner), atol=1e-8)
    np.testing.assert_allclose(
        rest.point([0, curve.length - end, rest.length]), curve.point([end, 0, start]), atol=1e-8
    )
    assert as_told(part, 0.5) == as_told(curve, 0.5, start=start, end=end)
    np.testing.assert_allclose(
        part.curvature(inner[1:-1]), curve.curvature(start + inner[1:-1]), rtol=1e-6, atol=1e-9
    )


def test_parts_at_joints_and_corners():
    """Exact by hand: corners at the ends of a part are gone; nothing of no length is left."""
    square = lines(SQUARE, closed=True)
    assert square.part(100, 300).corners == (Corner(100.0, QUARTER),)
    assert len(square.part(100, 300).segments) == 2
    over = square.part(300, 100)
    assert over.corners == (Corner(100.0, QUARTER),)
    np.testing.assert_array_equal(over.point([0, 100, 200]), [(0, 100), (0, 0), (100, 0)])
    assert square.part(350, 50).length == 100
    assert square.part(0, 400).length == 400
    assert square.part(400, 100).length == 100


@pytest.mark.parametrize(
    ("closed", "start", "end", "text"),
    [
        (True, 50, 50, r"^start and end must lie in this order"),
        (False, 60, 50, r"^start and end must lie in this order"),
        (False, 60, 301, r"^place must be from 0 to 300 mm along the curve"),
        (True, math.nan, 10, r"^place must be a finite length"),
    ],
)
def test_parts_that_are_none_are_refused(closed, start, end, text):
    with pytest.raises(ValueError, match=text):
        lines(SQUARE, closed).part(start, end)


@settings(deadline=None, max_examples=8)
@given(seed=st.integers(0, 10**6), closed=st.booleans(), outside=st.sampled_from(["left", "right"]))
def test_turned_round_and_turned_over(seed, closed, outside):
    """Exact by hand: the same lengths at every offset; places counted from the other end, or not.

    Turned over, x becomes -x.
    """
    rng = np.random.default_rng(seed)
    segments = blob(rng) if closed else blob(rng)[:4]
    segments.append(Bezier([segments[-1].points[-1], (0, 5)]))
    if closed:
        segments.append(Bezier([(0, 5), segments[0].points[0]]))
    try:
        curve = Drawn(segments, closed, outside)
    except ValueError as fault:
        assert "goes round once" in str(fault)
        return
    back, over = curve.reversed(), curve.mirrored()
    assert back.length == pytest.approx(curve.length, rel=1e-12)
    assert over.length == pytest.approx(curve.length, rel=1e-12)
    assert back.turn == pytest.approx(curve.turn, rel=1e-9, abs=1e-9)
    assert over.turn == pytest.approx(curve.turn, rel=1e-9, abs=1e-9)
    places = np.linspace(0.01, 0.99, 7) * curve.length
    np.testing.assert_allclose(back.point(curve.length - places), curve.point(places), atol=1e-8)
    np.testing.assert_allclose(over.point(places), curve.point(places) * [-1, 1], atol=1e-8)
    np.testing.assert_allclose(
        back.curvature(curve.length - places), curve.curvature(places), rtol=1e-5, atol=1e-9
    )
    np.testing.assert_allclose(
        over.curvature(places), curve.curvature(places), rtol=1e-5, atol=1e-9
    )
    for offset in (0.5, -0.5, 4):
        want = as_told(curve, offset)
        assert as_told(back, offset) == want
        assert as_told(over, offset) == want
    runs = [(r.hollow, pytest.approx(r.turn, abs=1e-6)) for r in curve.runs()]
    assert [(r.hollow, r.turn) for r in over.runs()] == runs
    assert [(r.hollow, r.turn) for r in back.runs()] == runs[::-1]
    assert back.outside != curve.outside
    assert over.outside != curve.outside


@patient
@given(seed=st.integers(0, 10**6), turn=st.floats(0, 6))
def test_moved_and_turned(seed, turn):
    """Exact by hand: length, turn, curvature and corners do not mind."""
    segments = blob(np.random.default_rng(seed))[:3]
    curve, moved = Drawn(segments), Drawn(spun(segments, turn, 300, -40))
    assert moved.length == pytest.approx(curve.length, rel=1e-10)
    assert moved.turn == pytest.approx(curve.turn, abs=1e-9)
    places = np.linspace(0, curve.length, 9)
    np.testing.assert_allclose(moved.curvature(places), curve.curvature(places), atol=1e-9)
    np.testing.assert_allclose(moved.heading(places), curve.heading(places), atol=1e-9)
    for a, b in zip(moved.extremes(), curve.extremes(), strict=True):
        assert a.curvature == pytest.approx(b.curvature, abs=1e-10)


# Runs -------------------------------------------------------------------------------------------


def test_an_ess_changes_in_its_middle():
    """Exact by hand: point-symmetrical, so half-way; each half turns as much as the other."""
    runs = Drawn([ESS], outside="right").runs()
    assert [run.hollow for run in runs] == [False, True]
    assert runs[0].end == pytest.approx(runs[1].end / 2, rel=1e-9)
    assert runs[0].turn == pytest.approx(-runs[1].turn, rel=1e-9)
    k = Drawn([ESS]).curvature([runs[0].end - 1e-3, runs[0].end + 1e-3])
    assert k[0] * k[1] < 0


def test_runs_of_lines_bends_and_corners():
    """Exact by hand: what each line and corner belongs to."""
    way = [
        Bezier([(0, 0), (30, 0)]),  # straight, no corner beside it
        arc((30, 20), 20, -QUARTER, QUARTER),  # convex
        Bezier([(50, 20), (50, 40)]),  # straight, with the corner behind it
        Bezier([(50, 40), (80, 40)]),  # between a hollow corner and a convex one
        Bezier([(80, 40), (80, 90)]),
    ]
    runs = Drawn(way, outside="right").runs()
    bend = 10 * np.pi
    want = [(30, 0), (30 + bend, QUARTER), (30 + bend + 35, -QUARTER), (30 + bend + 100, QUARTER)]
    assert [(run.end, run.turn) for run in runs] == [
        (pytest.approx(end), pytest.approx(turn)) for end, turn in want
    ]
    assert runs[0].start == 0
    assert all(a.end == b.start for a, b in pairwise(runs))


def test_a_slight_wobble_is_no_run():
    """Exact by hand: a hollow that turns by less than 0.1 deg is straight, a short line nothing."""
    wobble = chain([40, 2, 40, 0.05, 40], [1.0, -0.001, 1.0, 0.0, 1.0])
    curve = Drawn(wobble, outside="right")
    assert [(round(r.start), round(r.end), r.hollow) for r in curve.runs()] == [
        (0, 40, False),
        (40, 42, False),
        (42, 122, False),
    ]
    assert [r.turn for r in curve.runs()] == pytest.approx([1, 0, 2], abs=1e-9)


# What is left out, and what is refused ----------------------------------------------------------


def test_segments_without_length_are_left_out():
    """Exact by hand: a closing line to where the way is already, and points drawn twice."""
    ends = [*SQUARE[:2], SQUARE[1], *SQUARE[2:], (0, 0), (1e-13, 0), (0, 0)]
    square = Drawn([Bezier(p) for p in pairwise(ends)] + [Bezier([(0, 0)] * 4)], closed=True)
    assert len(square.segments) == 4
    assert square.length == 400
    assert [c.turn for c in square.corners] == pytest.approx([QUARTER] * 4)


@pytest.mark.parametrize("outside", ["left", "right"])
def test_what_only_goes_there_and_back(outside):
    """Exact by hand: 5 mm there and 5 back, and a tip that is taken for convex."""
    curve = lines([(0, 0), (5, 0), (0, 0)], outside=outside)
    assert curve.length == 10
    assert curve.corners == (Corner(pytest.approx(5), pytest.approx(np.pi)),)
    assert curve.heading([1, 9]) == pytest.approx([0, np.pi])
    assert float(curve.length_at(2)) == pytest.approx(10 + 2 * np.pi)
    with pytest.raises(ValueError, match="folds the layer over itself"):
        curve.length_at(-2)
    flat = lines([(0, 0), (30, 10)], closed=True)
    assert [c.turn for c in flat.corners] == pytest.approx([np.pi, np.pi])
    assert float(flat.length_at(3)) == pytest.approx(flat.length + 6 * np.pi, rel=1e-12)
    for doubled in (
        Bezier([(0, 0), (10, 0), (0, 0)]),
        EllipseArc((0, 0), (30, 0), (10, 0), 0, 2 * np.pi),
    ):
        with pytest.raises(ValueError, match="segment 1 stands still and turns back"):
            Drawn([doubled])


def test_a_crescent_has_two_tips():
    """Exact by hand: two arcs that touch at their ends; the inner one is hollow.

    Outside by 5 mm: the arcs get longer and shorter by their turns, and each tip adds half a turn.
    """
    outer = arc((0, 0), 50, -QUARTER, np.pi)
    inner = Bezier([(0, 50), (26, 50), (26, -50), (0, -50)])
    curve = Drawn(spun([outer, inner]), closed=True)
    assert [c.turn for c in curve.corners] == pytest.approx([np.pi, np.pi])
    assert curve.length_at(5) == pytest.approx(curve.length + 10 * np.pi, rel=1e-12)
    other = Drawn([s.reversed() for s in reversed(curve.segments)], closed=True)
    assert float(other.length_at(5)) == pytest.approx(float(curve.length_at(5)), rel=1e-12)
    t = np.linspace(0, 1, 2001)
    area = shapely.Polygon(np.concatenate([s.point(t)[:-1] for s in curve.segments]))
    want = area.buffer(-5, quad_segs=2000).length
    assert float(curve.length_at(-5)) == pytest.approx(want, rel=1e-5)


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (lambda: Drawn([]), r"^segments must be 1 to 100000, got 0; draw a line"),
        (
            lambda: Drawn([Bezier([(3, 4)] * 3)] * 2),
            r"^the segments have no length: all .* \(3, 4\)",
        ),
        (
            lambda: Drawn([ARCH, ESS]),
            r"^segment 1 ends at \(100, 0\), but segment 2 begins at \(0, 0\), 100 mm away; join",
        ),
        (
            lambda: Drawn([ARCH, ESS.transformed([[1, 0, 100], [0, 1, 2e-6]])]),
            r"^segment 1 ends at \(100, 0\), but segment 2 begins at \(100, 2e-06\), 2e-06 mm away",
        ),
        (
            lambda: Drawn([ARCH], closed=True),
            r"^segment 1 \(the last\) ends at \(100, 0\), but segment 1 .* closed curve comes back",
        ),
        (
            lambda: lines([(0, 0), (100, 0), (0, 50), (100, 50)], closed=True),
            r"^a closed curve goes round once, got 0 times; take out loops",
        ),
        (
            lambda: Drawn([arc((0, 0), 9, 0, 2 * np.pi)] * 2, closed=True),
            r"^a closed curve goes round once, got 2 times",
        ),
        (lambda: Drawn([ARCH], outside="up"), r"^outside must be one of 'left', 'right'"),
    ],
)
def test_what_is_refused(make, text):
    with pytest.raises(ValueError, match=text):
        make()


def test_ends_may_be_a_millionth_apart():
    """Exact by hand."""
    curve = Drawn([ARCH, ESS.transformed([[1, 0, 100], [0, 1, 0.9e-6]])])
    assert curve.length == pytest.approx(Drawn([ARCH]).length + Drawn([ESS]).length, rel=1e-12)


def test_a_long_edge():
    """Independent: one Drawn for each hundredth part. 10 000 segments, 1000 places at once."""
    rng = np.random.default_rng(8)
    parts = []
    way = np.array([0.0, 0.0])
    for n in range(2500):
        step = rng.uniform(2, 5, 2)
        xy = way + np.cumsum(rng.uniform(-1, 3, (6, 2)), axis=0)
        parts += [
            Bezier([way, xy[0]]),
            Bezier([xy[0], xy[1], xy[2]]),
            Bezier([xy[2], xy[3], xy[4], xy[5]]),
            EllipseArc(xy[5] - [step[0], 0], (step[0], 0), (0, step[1]), 0, 0.3 + n / 2500),
        ]
        way = parts[-1].point(1)
    curve = Drawn(parts)
    shorter = [Drawn(parts[n : n + 100]) for n in range(0, 10_000, 100)]
    starts = np.append(0, np.cumsum([part.length for part in shorter]))
    assert curve.length == pytest.approx(starts[-1], rel=1e-12)
    places = rng.uniform(0, curve.length, 1000)
    xy, k = curve.point(places), curve.curvature(places)
    for n in (0, 37, 99):
        own = (places > starts[n] + 1e-6) & (places < starts[n + 1] - 1e-6)
        at = places[own] - starts[n]
        np.testing.assert_allclose(xy[own], shorter[n].point(at), atol=1e-8)
        np.testing.assert_allclose(k[own], shorter[n].curvature(at), rtol=1e-5, atol=1e-9)
    found = curve.place_of(xy[0])
    assert found == (pytest.approx(places[0]), pytest.approx(0, abs=1e-8))
