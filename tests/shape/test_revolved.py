"""Shapes wanted: caps, bands, spheroids and profiles, against areas and plain integrals.

Kinds of expected values are named beside them. Where a tolerance is not the printed digits it is a
small multiple of the rounding of float64.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc, TurnedLength
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.measured import MeasuredCurve
from foamcalc.shape.polyline import Polyline
from foamcalc.shape.revolved import Revolved, band_curvature, cap_curvature
from foamcalc.shape.travel import travel

PI = math.pi
patient = settings(deadline=None, max_examples=40)


# Where a curve leads ----------------------------------------------------------------------------


@patient
@given(radius=st.floats(1, 1e3), turn=st.floats(-6.2, 6.2), heading=st.floats(-3, 3))
def test_where_an_arc_leads(radius, turn, heading):
    """Exact by hand: r (sin − sin) and r (cos − cos) of the directions at its ends."""
    if abs(turn) < 1e-3:
        return
    r = math.copysign(radius, turn)
    share = np.array([[0.0, 0.31], [0.5, 1.0]])
    ahead, aside = travel(Arc(radius, turn), share * radius * abs(turn), heading=heading)
    direction = heading + share * turn
    np.testing.assert_allclose(
        ahead, r * (np.sin(direction) - math.sin(heading)), atol=1e-12 * radius
    )
    np.testing.assert_allclose(
        aside, r * (math.cos(heading) - np.cos(direction)), atol=1e-12 * radius
    )


def test_where_corners_and_jumps_lead():
    """Exact by hand: the corners of an L, and half circles with a straight between."""
    bent = Polyline([(0, 0), (37, 0), (37, 11)], outside="right")
    ahead, aside = travel(bent, [10, 37, 40, 48])
    np.testing.assert_allclose(ahead, [10, 37, 37, 37], atol=1e-12)
    np.testing.assert_allclose(aside, [0, 0, 3, 11], atol=1e-12)
    np.testing.assert_allclose(travel(bent, [36, 48]), [[36, 37], [0, 11]], atol=1e-12)
    way = Arcs([7 * PI, 13.7, 7 * PI], [PI, 0, PI])
    ahead, aside = travel(way, way.length)
    np.testing.assert_allclose([ahead, aside], [-13.7, 14 - 14], atol=1e-11)
    assert np.shape(travel(way, 3.0)[0]) == ()


def test_where_an_ellipse_leads():
    """Exact by hand: a quarter of an ellipse ends at its other axis."""
    quarter = Ellipse(60, 45, PI / 2, PI)
    np.testing.assert_allclose(travel(quarter, quarter.length), [60, 45], rtol=1e-12)


# Caps and bands of a ball -----------------------------------------------------------------------


def test_caps_of_a_ball():
    """Exact by hand: half a ball has one full turn, a whole ball two; 60 deg is half of one."""
    np.testing.assert_allclose(cap_curvature([PI / 3, PI / 2, PI]), [PI, 2 * PI, 4 * PI])


@patient
@given(radius=st.floats(1, 1e3), half_angle=st.floats(0.01, PI))
def test_a_cap_is_its_area_over_the_square_of_the_radius(radius, half_angle):
    """Independent: area by quad, 2π r ds, with 1/R² on each mm²."""
    area = quad(lambda s: 2 * PI * radius * math.sin(s / radius), 0, radius * half_angle)[0]
    assert float(cap_curvature(half_angle)) == pytest.approx(area / radius**2, rel=1e-9)


def test_bands_of_a_ball_add_up():
    """Exact by hand: from pole to pole 4π; the upper half above 30 deg has half of it."""
    latitudes = np.radians([-90, -30, 0, 30, 90])
    bands = band_curvature(low=latitudes[:-1], high=latitudes[1:])
    np.testing.assert_allclose(bands, [PI, PI, PI, PI], rtol=1e-14)
    assert float(band_curvature(low=0.2, high=PI / 2)) == pytest.approx(
        float(cap_curvature(PI / 2 - 0.2)), rel=1e-13
    )


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: cap_curvature(0), r"^half_angle must be a finite angle above 0 rad, got 0\.0$"),
        (
            lambda: cap_curvature([1, 90]),
            r"at most half a turn \(3\.1416 rad\), got 90; .* rad",
        ),
        (lambda: cap_curvature(math.nan), r"^half_angle must be .* got nan$"),
        (lambda: band_curvature(low=0, high=30), r"^high must be at most a quarter .* got 30"),
        (lambda: band_curvature(low=-2, high=0), r"^low must be at most a quarter .* got 2"),
        (lambda: band_curvature(low=0.5, high=0.5), r"^low must be below high, got low 0\.5"),
    ],
)
def test_what_is_no_part_of_a_ball(call, words):
    with pytest.raises(ValueError, match=words):
        call()


# Profiles ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("radius", [20.0, 100.0])
def test_the_zones_of_a_ball(radius):
    """Independent: the bands between latitudes. By hand: R sin x across, R (1 − cos x) deep."""
    ball = Revolved(Arc(radius, PI))
    x = np.radians([0, 15, 40, 90, 130, 180])
    np.testing.assert_allclose(
        ball.zones(radius * x), band_curvature(low=PI / 2 - x[1:], high=PI / 2 - x[:-1]), atol=1e-13
    )
    np.testing.assert_allclose(ball.radius_at(radius * x), radius * np.sin(x), atol=1e-11)
    np.testing.assert_allclose(ball.depth_at(radius * x), radius * (1 - np.cos(x)), atol=1e-11)
    np.testing.assert_allclose(ball.slope_at(radius * x), x, atol=1e-14)
    assert ball.zones([0, radius * PI])[0] == pytest.approx(4 * PI, rel=1e-14)


def test_gores_share_a_ball_between_them():
    """Exact by hand: 4π over 8, and the zones each in proportion."""
    ball = Revolved(Arc(100, PI))
    places = np.array([0, 50 * PI, 75 * PI, 100 * PI])
    np.testing.assert_allclose(ball.share(places, gores=8) * 8, ball.zones(places), rtol=1e-15)
    assert ball.share(places, gores=np.int64(8)).sum() == pytest.approx(PI / 2, rel=1e-14)


@pytest.mark.parametrize(("a", "b"), [(60, 45), (40, 90)])
def test_a_spheroid(a, b):
    """Independent: product of the two curvatures of the surface times its area, by quad."""
    cap = Revolved(Ellipse(a, b, PI / 2, PI))
    angles = np.array([PI / 2, 1.9, 2.4, PI])  # parametric, from the crown to the equator
    places = np.array([Ellipse(a, b, PI / 2, t).length if t > PI / 2 else 0.0 for t in angles])

    def on_ring(u):
        # the two curvatures, the girth of the ring and its width
        speed = math.hypot(a * math.sin(u), b * math.cos(u))
        along, across = a * b / speed**3, b / (a * speed)
        return along * across * 2 * PI * a * abs(math.cos(u)) * speed

    rings = [quad(on_ring, u, v)[0] for u, v in pairwise(angles)]
    np.testing.assert_allclose(cap.zones(places), rings, rtol=1e-9)
    assert cap.zones([0, places[-1]])[0] == pytest.approx(2 * PI, rel=1e-12)
    np.testing.assert_allclose(cap.radius_at(places), -a * np.cos(angles), rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(cap.depth_at(places), b * (1 - np.sin(angles)), rtol=1e-9, atol=1e-9)


def test_a_profile_with_a_flared_rim():
    """Independent: quad over curvature · sin(slope) along the profile, times 2π."""
    bell = Revolved(Arcs([80, 40, 30], [1.2, 0.0, -0.9]), slope=0.1, radius=5)
    cuts = [0, 37, 80, 120, 135, 150]
    want = [
        quad(
            lambda s: (
                2
                * PI
                * float(bell.profile.curvature(s))
                * math.sin(float(bell.slope + bell.profile.heading(s)))
            ),
            low,
            high - 1e-9,
        )[0]
        for low, high in pairwise(cuts)
    ]
    np.testing.assert_allclose(bell.zones(cuts), want, atol=1e-7)
    # by hand: out along the first arc, radius 80/1.2
    out = 5 + 80 / 1.2 * (math.sin(1.3) - math.sin(0.1))
    assert float(bell.radius_at(80)) == pytest.approx(out, rel=1e-12)
    assert float(bell.radius_at(0)) == 5
    assert want[-1] < 0 < want[0]  # the flare is a saddle
    assert bell.zones(cuts)[2] == 0  # a cone between


def test_a_pointed_cone_has_it_all_at_the_point():
    """Exact by hand: the side has none; the point has that of a cap as steep."""
    cone = Revolved(TurnedLength(100, 0), slope=0.7)
    np.testing.assert_allclose(cone.zones([0, 50, 100]), 0, atol=1e-15)
    assert float(cone.radius_at(100)) == pytest.approx(100 * math.cos(0.7), rel=1e-12)
    assert float(cone.depth_at(100)) == pytest.approx(100 * math.sin(0.7), rel=1e-12)
    sector = 2 * PI * math.cos(0.7)  # angle of the flat cone
    assert float(cap_curvature(0.7)) == pytest.approx(2 * PI - sector, rel=1e-14)


def test_a_faceted_dome():
    """Exact by hand: rings of cones; a ring where the slope jumps from s to t has cos s − cos t."""
    points = [(0, 0), (30, 0), (60, -20), (60, -50)]
    dome = Revolved(Polyline(points))
    tilt = math.atan2(20, 30)
    long = math.hypot(30, 20)
    np.testing.assert_allclose(
        dome.zones([0, 10, 50, 40 + long]),
        2 * PI * np.array([0, 1 - math.cos(tilt), math.cos(tilt)]),
        atol=1e-12,
    )
    np.testing.assert_allclose(dome.radius_at([30, 30 + long, 60 + long]), [30, 60, 60], rtol=1e-12)


def test_a_measured_profile():
    """Independent: the ball behind the points, read to half a millimetre (invented readings)."""
    angle = np.linspace(PI / 2, 0, 24)
    reading = np.round(2 * 80 * np.column_stack([np.cos(angle), np.sin(angle)])) / 2
    profile = MeasuredCurve(reading, 0.2)
    dome = Revolved(profile)
    cut = [0, profile.length / 2, profile.length]
    sure = 2 * PI * 2 * profile.turn_error + 0.05  # the start may be off level as well
    np.testing.assert_allclose(
        dome.zones(cut), 2 * PI * np.array([1 - math.cos(PI / 4), math.cos(PI / 4)]), atol=sure
    )
    assert sure < 0.6
    assert float(dome.radius_at(profile.length)) == pytest.approx(80, abs=1.5)


# What is refused --------------------------------------------------------------------------------

BALL = Revolved(Arc(100, PI))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: BALL.zones([0, 50, 40]), r"^places must be two or more in rising order, got \[0"),
        (lambda: BALL.zones([3]), r"^places must be two or more in rising order, got \[3\.0\]$"),
        (lambda: BALL.zones([0, 400]), r"^place must be from 0 to 314\.159 mm along the curve"),
        (lambda: BALL.share([0, 50], gores=1), r"^gores must be 2 or more, got 1$"),
        (lambda: BALL.share([0, 50], gores=8.5), r"^gores must be a whole number, got 8\.5$"),
        (lambda: BALL.share([0, 50], gores=True), r"^gores must be a whole number, got True$"),
        (lambda: Revolved(Arc(100, 4)), r"^the profile crosses the axis 314\.\d mm along; .*crown"),
        (lambda: Revolved(Arc(50, PI), slope=PI / 2, radius=40), r"the axis .* crown down, with"),
        (lambda: Revolved(Arc(100, PI), slope=90), r"^slope must be at most half a turn .* got 90"),
        (lambda: Revolved(Arc(100, PI), radius=-1), r"^radius must be .* 0 mm or more, got -1\.0$"),
    ],
)
def test_what_is_no_round_shape(call, words):
    with pytest.raises(ValueError, match=words):
        call()


def test_a_profile_must_be_a_curve():
    with pytest.raises(TypeError, match=r"^profile must be a Curve, got list$"):
        Revolved([1, 2])
