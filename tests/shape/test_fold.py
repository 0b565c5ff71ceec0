"""Fold angles: roofs, cans, creases, and a dome whose sheets are known in space.

Kinds of expected values are named beside them. Where a tolerance is not the printed digits it is a
small multiple of the rounding of float64, or the stated error of the line.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc, TurnedLength
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.fold import fold, ruling, seam_fold
from foamcalc.shape.measured import MeasuredCurve
from foamcalc.shape.polyline import Polyline
from foamcalc.shape.solid import CurvedSeam
from foamcalc.shape.space import SpaceCurve

PI = math.pi
patient = settings(deadline=None, max_examples=40)


def sheet_angle(one, other):
    """Angle between two sheets [rad], from the directions from the seam into each."""
    across = np.linalg.norm(
        np.cross(*(np.append(way, [0.0] * (3 - len(way))) for way in (one, other)))
    )
    return math.atan2(across, one @ other)


# Round seams ------------------------------------------------------------------------------------


@patient
@given(radius=st.floats(5, 500), beta=st.floats(0.05, 1.5))
def test_a_cone_on_a_tube(radius, beta):
    """Exact by hand: edge 1/slant, seam 1/(slant sin β): the side stands π/2 − β off level."""
    slant = radius / math.sin(beta)
    roof = fold(a=1 / slant, b=0, seam=1 / radius)
    assert float(roof.tilt_a) == pytest.approx(PI / 2 - beta, rel=1e-9)
    assert float(roof.tilt_b) == pytest.approx(PI / 2, rel=1e-14)
    assert float(roof.apart) == pytest.approx(PI - beta, rel=1e-9)  # a roof on its wall
    assert float(roof.together) == pytest.approx(beta, rel=1e-7)  # a funnel in its tube
    assert not roof.one_way


@patient
@given(beta=st.floats(0.1, 1.4), gamma=st.floats(0.1, 1.4))
def test_two_cones_rim_to_rim(beta, gamma):
    """Independent: angle between the two sides in a plane through the axis."""
    both = fold(a=math.sin(beta) / 40, b=math.sin(gamma) / 40, seam=1 / 40)
    up = np.array([-math.sin(beta), math.cos(beta)])
    down = np.array([-math.sin(gamma), -math.cos(gamma)])
    assert float(both.apart) == pytest.approx(sheet_angle(up, down), abs=1e-7)
    assert float(both.together) == pytest.approx(sheet_angle(up, down * [1, -1]), abs=1e-7)


def test_the_waist_of_two_cones_is_a_valley():
    """Exact by hand: two hollow edges, each 30 deg off the axis, meet at 240 deg inside."""
    waist = fold(a=-0.5 / 20, b=-0.5 / 20, seam=1 / 20)
    assert np.degrees(waist.apart) == pytest.approx(240, rel=1e-12)
    assert float(waist.together) == pytest.approx(0, abs=1e-15)


def test_a_lid_on_a_can():
    """Exact by hand: the lid lies in the plane of its rim: a right angle, and only one way."""
    can = fold(a=1 / 50, b=0, seam=1 / 50)
    assert float(can.tilt_a) == 0
    assert float(can.apart) == float(can.together) == pytest.approx(PI / 2, rel=1e-14)
    assert can.one_way
    assert fold(a=0, b=1 / 50, seam=1 / 50).one_way


def test_a_crease_drawn_in_one_sheet():
    """Exact by hand: uncreased the sheet runs on; k flat and K in space fold it by 2 acos(k/K)."""
    k, seam = 1 / 80, 1 / 50
    crease = fold(a=k, b=-k, seam=seam)
    assert float(crease.apart) == pytest.approx(PI, rel=1e-14)
    assert PI - float(crease.together) == pytest.approx(2 * math.acos(k / seam), rel=1e-12)


def test_many_places_at_once():
    """Independent: one at a time."""
    a, b = np.array([[0.0, 0.01], [-0.005, 0.02]]), np.array([0.004, -0.01])
    many = fold(a=a, b=b, seam=0.025)
    assert many.apart.shape == many.together.shape == many.one_way.shape == (2, 2)
    for i, j in np.ndindex(2, 2):
        one = fold(a=a[i, j], b=b[j], seam=0.025)
        assert many.apart[i, j] == one.apart
        assert many.together[i, j] == one.together
    assert list(fold(a=0, b=0.01, seam=0.02).table()) == [
        "tilt of a [deg]",
        "tilt of b [deg]",
        "sheets apart [deg]",
        "sheets together [deg]",
    ]
    table = fold(a=[0, 0.01], b=0.01, seam=0.02).table()
    np.testing.assert_allclose(table["sheets apart [deg]"], [150, 120])
    np.testing.assert_allclose(table["sheets together [deg]"], [30, 0], atol=1e-12)
    np.testing.assert_allclose(table["tilt of a [deg]"], [90, 60])
    np.testing.assert_allclose(table["tilt of b [deg]"], [60, 60])


# A dome of gores that are rolled about level lines -----------------------------------------------

N, R = 7, 90.0
W = math.tan(PI / N)


def flat_edge(u):
    """Curvature of the edge y = W R cos u of the flat gore [1/mm]."""
    return W / R * np.cos(u) / np.hypot(1, W * np.sin(u)) ** 3


def on_seam(u):
    """The seam in space, in the upright plane between two gores."""
    return np.column_stack([R * np.cos(u) / math.cos(PI / N), 0 * u, R * np.sin(u)])


def into_gore(u, side):
    """Direction in a gore, square to the seam, from the seam into the sheet."""
    level = np.array([-math.sin(PI / N), side * math.cos(PI / N), 0.0])
    along = np.array([-math.sin(u) / math.cos(PI / N), 0.0, math.cos(u)])
    along /= np.linalg.norm(along)
    return level - (level @ along) * along


def test_the_ridges_of_a_dome_of_gores():
    """Independent: the sheets in space. The seam is an ellipse, its edges are not arcs."""
    oval = Ellipse(R / math.cos(PI / N), R)
    for u in np.radians([3, 20, 45, 70, 87]):
        seam = oval.curvature(Ellipse(R / math.cos(PI / N), R, 0, u).length)
        ridge = fold(a=flat_edge(u), b=flat_edge(u), seam=seam)
        true = sheet_angle(into_gore(u, 1), into_gore(u, -1))
        assert float(ridge.apart) == pytest.approx(true, rel=1e-9)
        assert true < PI
        assert float(ridge.together) == pytest.approx(0, abs=1e-12)


def test_a_seam_on_its_line_in_space():
    """Independent: the sheets in space; edges and line both given by points only."""
    u = np.linspace(0.2, 1.3, 90)
    flat = np.column_stack([R * u, W * R * np.cos(u)])
    up = MeasuredCurve(flat, 0, outside="left")
    down = MeasuredCurve((flat * [1, -1])[::-1], 0, outside="left")
    seam = CurvedSeam(up, down)
    line = SpaceCurve(on_seam(u))
    assert line.length == pytest.approx(seam.length, rel=1e-6)
    for at in (0.4, 0.8, 1.1):
        place, _ = quad(lambda t: R * math.hypot(1, W * math.sin(t)), 0.2, at)
        found = float(seam_fold(seam, line, place).apart)
        assert found == pytest.approx(sheet_angle(into_gore(at, 1), into_gore(at, -1)), rel=1e-4)


def test_a_seam_on_a_plane_curve():
    """Exact by hand: cone of 30 deg, slant 80, on a tube of radius 40, whichever edge is a."""
    cone, rim = Arc(80, PI), TurnedLength(80 * PI, 0)
    circle = Arc(40, 2 * PI, closed=True)
    for seam in (CurvedSeam(cone, rim), CurvedSeam(rim, cone)):
        roof = seam_fold(seam, circle, [[0, 10], [100, seam.length]])
        np.testing.assert_allclose(np.degrees(roof.apart), np.full((2, 2), 150), rtol=1e-12)
    hollow = seam_fold(CurvedSeam(cone, rim), Arc(40, -2 * PI, closed=True), 5)
    assert np.degrees(hollow.apart) == pytest.approx(150)  # a line in space has no outside


def test_a_line_a_little_longer_than_its_seam():
    """Exact by hand: the last tenth of a line of 110 mm is the last tenth of a seam of 100."""
    line = Arcs([99, 11], [99 / 40, 11 / 20])
    seam = CurvedSeam(TurnedLength(100, 1), TurnedLength(100, 0))
    found = seam_fold(seam, line, [89, 91])
    np.testing.assert_allclose(found.tilt_a, np.arccos([0.01 * 40, 0.01 * 20]), rtol=1e-12)


# How a sheet is rolled --------------------------------------------------------------------------


def test_gores_are_rolled_about_level_lines():
    """Independent: the level line of the gore in space, into the sheet."""
    oval = Ellipse(R / math.cos(PI / N), R)

    def tilt(u):
        seam = oval.curvature(Ellipse(R / math.cos(PI / N), R, 0, u).length)
        return math.acos(flat_edge(u) / float(seam)), float(seam)

    for u in (0.3, 0.7, 1.2):
        speed = R * math.hypot(math.sin(u) / math.cos(PI / N), math.cos(u))
        rate = (tilt(u + 1e-5)[0] - tilt(u - 1e-5)[0]) / (2e-5 * speed)
        along = np.array([-math.sin(u) / math.cos(PI / N), 0.0, math.cos(u)]) * R / speed
        for side, sign in ((-1, 1), (1, -1)):  # looking up, clockwise off inward is -y
            level = np.array([-math.sin(PI / N), side * math.cos(PI / N), 0.0])
            found = float(ruling(tilt=sign * tilt(u)[0], tilt_rate=sign * rate, seam=tilt(u)[1]))
            # a line has two directions; the one into the sheet counts
            assert found == pytest.approx(sheet_angle(along, level), rel=1e-6)


def test_a_strip_wound_round_a_tube():
    """Exact by hand: a straight edge on a helix; the tube is rolled about its axis."""
    t = np.linspace(0, 4, 60)
    line = SpaceCurve(np.column_stack([30 * np.cos(t), 30 * np.sin(t), 40 * t]))
    at = np.array([60.0, 110.0])
    above = ruling(tilt=PI / 2, tilt_rate=0, seam=line.curvature(at), torsion=line.torsion(at))
    np.testing.assert_allclose(above, math.acos(40 / 50), rtol=1e-5)
    below = ruling(tilt=-PI / 2, tilt_rate=0, seam=line.curvature(at), torsion=line.torsion(at))
    np.testing.assert_allclose(below, PI - math.acos(40 / 50), rtol=1e-5)


# Lines in space ---------------------------------------------------------------------------------


@pytest.mark.parametrize("spacing", ["even", "uneven"])
def test_a_circle_in_space(spacing):
    """Exact by hand: 1/R all round, flat, 2πR long; tilted so that no axis is special."""
    t = np.linspace(0, 2 * PI, 48, endpoint=False)
    if spacing == "uneven":
        t = t + 0.04 * np.sin(5 * t) + 0.02 * np.cos(7 * t)
    tilted = np.array([[2, 1, 2], [-2, 2, 1]]) / 3
    line = SpaceCurve(100 * np.column_stack([np.cos(t), np.sin(t)]) @ tilted, closed=True)
    places = np.linspace(0, line.length, 200)
    np.testing.assert_allclose(line.curvature(places), 0.01, rtol=1e-5)
    np.testing.assert_allclose(line.torsion(places), 0, atol=1e-8)
    assert line.length == pytest.approx(200 * PI, rel=1e-8)
    assert np.shape(line.curvature(3.0)) == ()


@pytest.mark.parametrize(("count", "middle", "ends"), [(24, 1e-4, 2e-3), (48, 1e-5, 2e-4)])
def test_how_near_the_curvature_of_an_open_line_is(count, middle, ends):
    """Exact by hand: 234 deg of a circle, the points unevenly spaced; as the Notes say."""
    t = np.linspace(0, 1.3 * PI, count)
    t = t + (t[1] - t[0]) * 0.4 * np.sin(11 * np.arange(count))
    line = SpaceCurve(np.column_stack([100 * np.cos(t), 100 * np.sin(t), 0 * t]))
    places = np.linspace(0, line.length, 400)
    off = np.abs(100 * line.curvature(places) - 1)
    inside = (places > 0.2 * line.length) & (places < 0.8 * line.length)
    assert off[inside].max() < middle
    assert off.max() < ends


def test_a_helix():
    """Exact by hand: r/(r² + c²) and c/(r² + c²); left-handed: torsion below 0."""
    t = np.linspace(0, 6, 120)
    for hand in (1, -1):
        line = SpaceCurve(np.column_stack([30 * np.cos(t), 30 * np.sin(t), hand * 40 * t]))
        assert line.length == pytest.approx(300, rel=1e-9)
        np.testing.assert_allclose(line.curvature([50, 150, 299]), 30 / 2500, rtol=1e-4)
        np.testing.assert_allclose(line.torsion([50, 150, 250]), hand * 40 / 2500, rtol=1e-4)


def test_an_oval_in_space_is_the_oval_in_a_plane():
    """Independent: Ellipse, at the same lengths along it."""
    oval = Ellipse(60, 45)
    t = np.linspace(0, 2 * PI, 81)
    points = np.column_stack([60 * np.cos(t), 0 * t, 45 * np.sin(t)])
    points[-1] = points[0]  # repeated at the end
    line = SpaceCurve(points, closed=True)
    assert len(line.points) == 80
    places = np.linspace(0, 1, 40)
    np.testing.assert_allclose(
        line.curvature(places * line.length), oval.curvature(places * oval.length), rtol=2e-5
    )


def test_rough_points_spoil_the_curvature_no_more_than_the_notes_say():
    """Regression of the bounds in the Notes: 15 e/h² inside, 100 e/h² at open ends; seeded."""
    rng = np.random.default_rng(5)
    t = np.linspace(0, PI, 60)
    step = 100 * (t[1] - t[0])
    error = 0.01
    worst_inside = worst = 0.0
    for _ in range(20):
        points = np.column_stack([100 * np.cos(t), 100 * np.sin(t), 0 * t])
        line = SpaceCurve(points + error * rng.uniform(-1, 1, points.shape))
        places = np.linspace(0, line.length, 500)
        off = np.abs(line.curvature(places) - 0.01) * step**2 / error
        inside = (places > 6 * step) & (places < line.length - 6 * step)
        worst_inside, worst = max(worst_inside, off[inside].max()), max(worst, off.max())
    assert 5 < worst_inside < 15
    assert worst_inside < worst < 100


# What is refused --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("a", "b", "seam", "words"),
    [
        (
            0.021,
            0,
            0.02,
            r"^no such fold: edge a has a curvature of 0\.021 1/mm and its seam only 0\.02; sheet "
            r"that is not stretched .* cut a straighter edge, or lay the seam on a tighter line$",
        ),
        (0, [0.01, -0.03], 0.02, r"^no such fold: edge b .* of -0\.03 1/mm .* 0\.02 at index \(1,"),
        (0, 0, 0, r"^seam must be curved: a straight seam between straight edges folds to any"),
        (0, 0, -0.01, r"^seam must be a finite curvature above 0 1/mm, got -0\.01$"),
        (math.inf, 0, 0.02, r"^a must be a finite curvature in 1/mm, got inf$"),
        (0, math.nan, 0.02, r"^b must be a finite curvature in 1/mm, got nan$"),
        (0, 0, math.nan, r"^seam must be a finite curvature in 1/mm, got nan$"),
        ([0, 0], [0, 0, 0], 0.1, r"^a, b and seam do not go together: shapes \(2,\), \(3,\) and"),
    ],
)
def test_folds_that_cannot_be(a, b, seam, words):
    with pytest.raises(ValueError, match=words):
        fold(a=a, b=b, seam=seam)


def test_seams_that_do_not_fit_their_line():
    """What cannot be: a hat brim on a larger ring, a corner, a line of another length."""
    brim = CurvedSeam(Arc(40, -2 * PI, closed=True), TurnedLength(80 * PI, 0))
    assert np.degrees(seam_fold(brim, Arc(40, 2 * PI), 3).apart) == pytest.approx(270)
    with pytest.raises(ValueError, match=r"^no such fold: edge a has .* -0\.025 .* only 0\.022727"):
        seam_fold(brim, Arc(44, 2 * PI), 3)
    with pytest.raises(
        ValueError, match=r"^line must be as long as the seam .* of 314\.2 mm for a "
    ):
        seam_fold(brim, Arc(50, 2 * PI), 3)
    bent = Polyline([(0, 0), (30, 0), (30, -30)])
    with pytest.raises(ValueError, match=r"^there is no fold angle at a corner: 30\.0 mm along"):
        seam_fold(CurvedSeam(bent, bent), Arc(40, 1.5), [10, 30])
    with pytest.raises(ValueError, match=r"^place must be from 0 to"):
        seam_fold(brim, Arc(40, 2 * PI), 300)


CIRCLE = np.linspace(0, 2, 12)
GOOD = np.column_stack([50 * np.cos(CIRCLE), 50 * np.sin(CIRCLE), CIRCLE])


@pytest.mark.parametrize(
    ("points", "words"),
    [
        (GOOD[:7], r"^points must be 8 to 5000, got 7$"),
        (
            GOOD[:, :2],
            r"^points must be x, y and z, an array of shape \(n, 3\), got shape \(12, 2\)",
        ),
        (np.where(GOOD == 50, np.nan, GOOD), r"^points must be .* got nan at index \(0, 0\)$"),
        (GOOD[[0, 1, 2, 3, 3, 4, 5, 6, 7]], r"^points 4 and 5 are the same; leave one out$"),
        (GOOD[[0, 1, 2, 3, 4, 2, 6, 7, 8]], r"^the line turns by 1\d\d deg at point 5, and 60 is"),
    ],
)
def test_what_is_no_line(points, words):
    with pytest.raises(ValueError, match=words):
        SpaceCurve(points)


def test_more_that_is_no_line():
    with pytest.raises(
        ValueError, match=r"^the line turns by 90 deg at point 1, and 60 is the most"
    ):
        square = [(0, 0), (1, 0), (2, 0), (2, 1), (2, 2), (1, 2), (0, 2), (0, 1)]
        SpaceCurve([(10 * x, 10 * y, 0) for x, y in square], closed=True)
    line = SpaceCurve(GOOD)
    with pytest.raises(
        ValueError, match=r"^place must be from 0 to 100\.\d+ mm along the line, got"
    ):
        line.curvature([0, 150])
    flat = SpaceCurve(np.column_stack([np.arange(9), np.zeros(9), np.zeros(9)]))
    np.testing.assert_allclose(flat.curvature([0, 4]), 0, atol=1e-12)
    with pytest.raises(ValueError, match=r"^torsion has no meaning .* straight: 4\.0 mm along$"):
        flat.torsion(4)


def test_a_sheet_that_is_not_rolled_by_its_seam():
    with pytest.raises(ValueError, match=r"^tilt must not be 0 or half a turn"):
        ruling(tilt=[1, PI], tilt_rate=0, seam=0.01)
    with pytest.raises(ValueError, match=r"^seam must be a finite curvature above 0 1/mm, got 0"):
        ruling(tilt=1, tilt_rate=0, seam=0)
    with pytest.raises(ValueError, match=r"^tilt_rate must be a finite curvature in 1/mm, got nan"):
        ruling(tilt=1, tilt_rate=math.nan, seam=1)
