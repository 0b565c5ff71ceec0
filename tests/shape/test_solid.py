"""Curved seams: lids, lenses, gores, and a dome whose angles are summed on a fine mesh.

Kinds of expected values are named beside them. Where a tolerance is not the printed digits it is a
small multiple of the rounding of float64, or the stated error of the mesh.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import ellipeinc

from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc, Curve, TurnedLength
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline
from foamcalc.shape.revolved import Revolved
from foamcalc.shape.solid import CurvedSeam

PI = math.pi
patient = settings(deadline=None, max_examples=40)


class GoreEdge(Curve):
    """The edge y = w R cos(u), x = R u of a gore, from u0 to u1; written for the tests only."""

    def __init__(self, radius, w, u0, u1):
        self.radius, self.w, self.u0, self.u1 = radius, w, u0, u1

    @property
    def length(self):
        return float(self._run(self.u1))

    @property
    def turn(self):
        return math.atan(self.w * math.sin(self.u1)) - math.atan(self.w * math.sin(self.u0))

    def _run(self, u):
        m = -(self.w**2)
        return self.radius * (ellipeinc(u, m) - ellipeinc(self.u0, m))

    def _at(self, place):
        s = self.on_curve(place)
        u = self.u0 + (self.u1 - self.u0) * s / self.length
        for _ in range(30):
            u = u - (self._run(u) - s) / (self.radius * np.hypot(1, self.w * np.sin(u)))
        return u

    def curvature(self, place):
        u = self._at(place)
        return self.w / self.radius * np.cos(u) / np.hypot(1, self.w * np.sin(u)) ** 3

    def heading(self, place):
        return np.arctan(self.w * np.sin(self._at(place))) - math.atan(self.w * math.sin(self.u0))

    def extremes(self, start=0.0, end=None):
        raise NotImplementedError


def gore_seam(radius, w, latitudes):
    """The seam of two neighbouring gores, with a mark at each latitude but the ends."""
    a = GoreEdge(radius, w, latitudes[0], latitudes[-1])
    b = GoreEdge(radius, w, -latitudes[-1], -latitudes[0])  # gone round the other way
    marks_a = a._run(np.array(latitudes[1:-1]))
    return CurvedSeam(a, b, marks_a, (a.length - marks_a)[::-1])


# One seam ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("radius", [12.0, 50.0, 300.0])
def test_the_lid_of_a_can(radius):
    """Exact by hand: 1/r all round, and one full turn in all."""
    lid = Arc(radius, 2 * PI, closed=True)
    seam = CurvedSeam(lid, TurnedLength(2 * PI * radius, 0))
    assert seam.length == pytest.approx(2 * PI * radius, rel=1e-15)
    places = np.array([[0.0, 0.3], [0.7, 1.0]]) * seam.length
    np.testing.assert_allclose(seam.curvature(places), 1 / radius, rtol=1e-14)
    np.testing.assert_allclose(seam.turned(places), [[0, 0.6 * PI], [1.4 * PI, 2 * PI]], atol=1e-13)
    assert seam.turn == pytest.approx(2 * PI, rel=1e-14)
    assert np.shape(seam.curvature(1.0)) == np.shape(seam.turned(1.0)) == ()


def test_a_cushion_of_two_equal_leaves():
    """Exact by hand: each edge of radius 80 turns 1, so the seam has 2/80 on each mm."""
    seam = CurvedSeam(Arc(80, 1), Arc(80, 1))
    np.testing.assert_allclose(seam.curvature([0, 40, 80]), 2 / 80, rtol=1e-14)
    assert seam.turn == pytest.approx(2, rel=1e-14)


@pytest.mark.parametrize("opposite", [True, False])
def test_equal_and_opposite_edges_stay_flat(opposite):
    """Exact by hand: what one bulges the other is hollowed out; cutting a sheet adds nothing."""
    bulge = Arcs([30, 20, 40], [0.5, 0.1, 0.9])
    hollow = Arcs([30, 20, 40], [-0.5, -0.1, -0.9])
    if opposite:
        hollow = Arcs([40, 20, 30], [-0.9, -0.1, -0.5])
    seam = CurvedSeam(bulge, hollow, opposite=opposite)
    places = np.linspace(0, 90, 31) + 0.01
    np.testing.assert_allclose(seam.curvature(places[:-1]), 0, atol=1e-16)
    np.testing.assert_allclose(seam.turned(places[:-1]), 0, atol=1e-14)


def test_a_hollow_edge_makes_a_saddle():
    """Exact by hand: a straight edge in a hollow of radius 60 has less than no dome."""
    seam = CurvedSeam(Arc(60, -1), TurnedLength(60, 0))
    assert float(seam.curvature(30)) == pytest.approx(-1 / 60, rel=1e-14)
    assert seam.turn == pytest.approx(-1, rel=1e-14)


def test_which_way_the_edges_run():
    """Exact by hand: 1 rad on the first 30 mm of each; drawn against each other, or along."""
    bent_first = Arcs([30, 70], [1, 0])
    against, along = (CurvedSeam(bent_first, bent_first, opposite=way) for way in (True, False))
    np.testing.assert_allclose(against.turned([0, 30, 50, 70, 100]), [0, 1, 1, 1, 2], atol=1e-14)
    np.testing.assert_allclose(along.turned([0, 15, 30, 100]), [0, 1, 2, 2], atol=1e-14)
    np.testing.assert_allclose(against.curvature([10, 50, 90]), [1 / 30, 0, 1 / 30])
    np.testing.assert_allclose(along.curvature([10, 50, 90]), [2 / 30, 0, 0])


def test_edges_of_different_length_are_matched_from_mark_to_mark():
    """Exact by hand: 40 mm on 44, then 60 on 58; the middle of each meets the middle."""
    a = Arcs([40, 60], [0.8, 0.3])
    b = Arcs([58, 44], [0.1, 0.5])
    seam = CurvedSeam(a, b, [40], [58])
    np.testing.assert_allclose(seam.marks, [0, 42, 101], rtol=1e-15)
    assert seam.length == pytest.approx(101)
    at_a, at_b = seam.on_edges([0, 21, 42, 71.5, 101])
    np.testing.assert_allclose(at_a, [0, 20, 40, 70, 100], atol=1e-12)
    np.testing.assert_allclose(at_b, [102, 80, 58, 29, 0], atol=1e-12)
    np.testing.assert_allclose(seam.between_marks(), [1.3, 0.4], rtol=1e-13)
    # 0.8 + 0.5 on 42 mm, 0.3 + 0.1 on 59 mm
    np.testing.assert_allclose(seam.curvature([5, 42.5, 90]), [1.3 / 42, 0.4 / 59, 0.4 / 59])
    np.testing.assert_allclose(seam.edge_curvatures(5)[1], 0.5 / 44)
    same_way = CurvedSeam(a, Arcs([44, 58], [0.5, 0.1]), [40], [44], opposite=False)
    np.testing.assert_allclose(same_way.turned(seam.marks), seam.turned(seam.marks), atol=1e-13)


SMOOTH = {
    "ellipses, against": (Ellipse(60, 45, 0.2, 2.2), Ellipse(55, 50, 0.1, 2.1), True),
    "ellipses, along": (Ellipse(60, 45, 0.2, 2.2), Ellipse(50, 58, 0.9, 3.1), False),
    "bulge and hollow": (Ellipse(90, 30, 0.5, 2.0), Arc(105, -1.1), True),
}


@pytest.mark.parametrize("name", SMOOTH)
def test_turning_is_the_integral_of_the_curvature(name):
    """Independent: scipy.integrate.quad over the curvature, interval by interval."""
    a, b, opposite = SMOOTH[name]
    marks_a, marks_b = np.array([0.3, 0.62]) * a.length, np.array([0.34, 0.67]) * b.length
    seam = CurvedSeam(a, b, marks_a, marks_b, opposite=opposite)
    each = [
        quad(lambda s: float(seam.curvature(s)), low + 1e-9, high - 1e-9, epsabs=1e-12)[0]
        for low, high in pairwise(seam.marks)
    ]
    np.testing.assert_allclose(seam.between_marks(), each, atol=1e-8)
    assert seam.turn == pytest.approx(a.turn + b.turn, rel=1e-12)
    whole = quad(lambda s: float(a.curvature(s)), 0, a.length)[0]
    whole += quad(lambda s: float(b.curvature(s)), 0, b.length)[0]
    assert seam.turn == pytest.approx(whole, rel=1e-9)


@patient
@given(
    lengths=st.lists(st.floats(5, 100), min_size=2, max_size=6),
    turns=st.lists(st.floats(-0.9, 0.9), min_size=12, max_size=12),
    factor=st.floats(0.1, 20),
)
def test_a_larger_seam_gives_the_same(lengths, turns, factor):
    """Exact by hand: angles do not know the size, and the two edges may change places."""
    n = len(lengths)
    grown = factor * np.array(lengths)
    small = CurvedSeam(Arcs(lengths, turns[:n]), Arcs(lengths, turns[n : 2 * n]), opposite=False)
    large = CurvedSeam(Arcs(grown, turns[n : 2 * n]), Arcs(grown, turns[:n]), opposite=False)
    places = np.linspace(0, 1, 9)
    np.testing.assert_allclose(
        small.turned(places * small.length), large.turned(places * large.length), atol=1e-11
    )


# Corners in an edge -----------------------------------------------------------------------------


def strip_of_three(start):
    """Outline of three squares in a row, 3 by 1, from one of its eight points on."""
    points = [(0, 0), (1, 0), (2, 0), (3, 0), (3, 1), (2, 1), (1, 1), (0, 1)]
    return Polyline(points[start:] + points[:start], closed=True)


def test_a_cube_from_two_bent_strips():
    """Exact by hand: at each of the eight corners of the cube one strip turns by a right angle."""
    seam = CurvedSeam(strip_of_three(0), strip_of_three(1), np.arange(1, 8), np.arange(1, 8))
    places = np.arange(0, 8) + 0.5
    np.testing.assert_allclose(np.diff(seam.turned(places)), PI / 2, atol=1e-12)
    assert seam.turn == pytest.approx(4 * PI, rel=1e-14)
    # a corner at a mark counts half on either side of it
    np.testing.assert_allclose(seam.between_marks(), PI / 2, atol=1e-12)
    assert (seam.curvature(places) == 0).all()
    assert (seam.curvature(np.arange(8)) == np.inf).all()


def test_teeth_that_fit_leave_the_sheet_flat():
    """Exact by hand: a zigzag cut through a sheet and glued again."""
    points = [(0, 0), (10, 8), (20, 0), (30, 8), (45, 0)]
    upper, lower = (Polyline(points, outside=side) for side in ("left", "right"))
    seam = CurvedSeam(upper, lower, opposite=False)
    corners = np.array([corner.place for corner in upper.corners])
    np.testing.assert_allclose(seam.curvature([5, *corners, 40]), 0, atol=1e-7)
    np.testing.assert_allclose(seam.turned(np.linspace(0, seam.length, 50)), 0, atol=1e-12)
    blunt = Polyline([(0, 0), (10, 6), (20, 0), (30, 6), (45, 0)], outside="right")
    marks = [[corner.place for corner in edge.corners] for edge in (upper, blunt)]
    apart = CurvedSeam(upper, blunt, *marks, opposite=False)
    # the upper is sharper: its hilltops dome, its valleys are saddles
    assert apart.curvature(apart.marks[1:-1]).tolist() == [np.inf, -np.inf, np.inf]


# Gores against the ball -------------------------------------------------------------------------


@pytest.mark.parametrize("gores", [3, 6, 8, 12])
def test_the_seams_and_poles_of_a_ball_from_gores(gores):
    """Exact by hand: a seam 4 atan(π/N), a pole 2π − 2N atan(π/N), 4π in all."""
    w = PI / gores
    seam = gore_seam(100, w, [-PI / 2, PI / 2])
    assert seam.turn == pytest.approx(4 * math.atan(w), rel=1e-13)
    pole = 2 * PI - gores * 2 * math.atan(w)
    assert gores * seam.turn + 2 * pole == pytest.approx(4 * PI, rel=1e-14)
    if gores > 3:
        # derived, printed with four decimals: edge over centre line of a whole gore
        ratio = {6: 1.0654, 8: 1.0375, 12: 1.0169}[gores]
        assert seam.length / (100 * PI) == pytest.approx(ratio, abs=5e-5)


def test_many_gores_come_to_the_ball():
    """Derived: the error of a zone falls with the square of the number of gores."""
    latitudes = np.radians([-90, -50, -10, 0, 35, 70, 90])
    ball = Revolved(Arc(100, PI))
    worst = []
    for gores in (8, 16, 32, 64):
        seam = gore_seam(100, PI / gores, latitudes)
        wanted = ball.share(100 * (latitudes + PI / 2), gores=gores)
        check = seam.compared(wanted)
        worst.append(gores * np.abs(check.difference[1:-1]).max())
        # the first term that is left out: −2N/3 (π/N)³ sin³
        left_out = -2 / 3 * (PI / gores) ** 3 * np.diff(np.sin(latitudes) ** 3)
        np.testing.assert_allclose(check.difference, left_out, atol=(PI / gores) ** 5)
    falls = np.array(worst[:-1]) / worst[1:]
    assert (np.abs(falls - 4) < [0.3, 0.08, 0.02]).all()


def dome_mesh(gores, radius, latitudes):
    """Angle missing at each point of one seam of a dome of bent gores, from a fine mesh.

    Each gore is rolled about level lines only, so that its middle is a quarter circle; gores meet
    in the upright planes between them. Two gores side by side, four triangles to a step.
    """
    rise = np.column_stack([radius * np.cos(latitudes), radius * np.sin(latitudes)])
    points = {}
    for name, turn, share in (("left", -1, 0.0), ("seam", -1, 1.0), ("right", 1, 0.0)):
        half = turn * PI / gores
        out, side = rise[:, 0], share * rise[:, 0] * math.tan(PI / gores)
        points[name] = np.column_stack(
            [
                out * math.cos(half) - side * math.sin(half),
                out * math.sin(half) + side * math.cos(half),
                rise[:, 1],
            ]
        )
    assert np.abs(points["seam"][:, 1]).max() < 1e-9 * radius
    total = np.zeros(len(latitudes))
    seam = points["seam"]
    for side in ("left", "right"):
        middle = points[side]
        for i in range(len(latitudes) - 1):
            # two triangles: middle i, seam i, seam i + 1, and middle i, seam i + 1, middle i + 1
            for at, others in (
                (i, (middle[i], seam[i + 1])),
                (i + 1, (middle[i], seam[i])),
                (i + 1, (middle[i], middle[i + 1])),
            ):
                u, v = (other - seam[at] for other in others)
                total[at] += math.acos(u @ v / np.linalg.norm(u) / np.linalg.norm(v))
    return 2 * PI - total


@pytest.mark.parametrize("gores", [5, 8])
def test_a_dome_of_gores_against_a_mesh_in_space(gores):
    """Independent: angles missing round the points of the seam, summed between marks."""
    marks = np.radians([10.0, 30.0, 50.0, 75.0])
    each = 150  # mesh error falls with the square: 1e-5 here
    parts = [np.linspace(low, high, each, endpoint=False) for low, high in pairwise(marks)]
    latitudes = np.concatenate([*parts, marks[-1:]])
    missing = dome_mesh(gores, 100.0, latitudes)
    seam = gore_seam(100, math.tan(PI / gores), marks)
    sums = []
    for i in range(len(marks) - 1):
        inner = missing[i * each + 1 : (i + 1) * each].sum()
        # the two end points belong half to this interval
        step = latitudes[1 + i * each] - latitudes[i * each]
        ends = [np.sum(seam.curvature(seam.marks[j])) for j in (i, i + 1)]
        speed = [100 * math.hypot(1, math.tan(PI / gores) * math.sin(m)) for m in marks[i : i + 2]]
        sums.append(inner + sum(k * v * step / 2 for k, v in zip(ends, speed, strict=True)))
    np.testing.assert_allclose(seam.between_marks(), sums, rtol=2e-5)


def test_the_table_of_a_seam():
    """Exact by hand: 1 rad given, 0.75 wanted, in two intervals."""
    check = CurvedSeam(Arc(100, 0.5), Arc(100, 0.5), [20], [30]).compared([0.15, 0.6])
    np.testing.assert_allclose(check.given, [0.4, 0.6], rtol=1e-13)
    np.testing.assert_allclose(check.difference, [0.25, 0.0], atol=1e-14)
    table = check.table()
    assert list(table) == [
        "from [mm]",
        "to [mm]",
        "given [deg]",
        "wanted [deg]",
        "difference [deg]",
    ]
    np.testing.assert_allclose(table["to [mm]"], [20, 50])
    np.testing.assert_allclose(table["from [mm]"], [0, 20])
    np.testing.assert_allclose(table["difference [deg]"], np.degrees([0.25, 0]), atol=1e-12)
    np.testing.assert_allclose(table["wanted [deg]"], np.degrees([0.15, 0.6]))


# What is refused --------------------------------------------------------------------------------

LINE = TurnedLength(100, 0)


@pytest.mark.parametrize(
    ("a", "b", "marks_a", "marks_b", "words"),
    [
        (LINE, TurnedLength(121, 0), (), (), r"within 20 %, but in all they are 100 and 121 mm .*"),
        (
            LINE,
            LINE,
            [50],
            [35],
            r"but in interval 1 they are 50 and 65 mm long; check the marks and which edges",
        ),
        (LINE, LINE, [50], (), r"^both edges must have as many marks, got 1 on edge a and 0 on"),
        (
            LINE,
            LINE,
            [50, 40],
            [1, 2],
            r"^marks_a must be places between .* order, got \[50",
        ),
        (
            LINE,
            LINE,
            [50],
            [100],
            r"^marks_b must be .* the ends of edge b \(0 and 100 mm\)",
        ),
        (LINE, LINE, [math.nan], [50], r"^marks_a must be a finite length in mm, got nan"),
        (LINE, LINE, [[50]], [50], r"^marks_a must be places between"),
    ],
)
def test_what_is_no_seam(a, b, marks_a, marks_b, words):
    with pytest.raises(ValueError, match=words):
        CurvedSeam(a, b, marks_a, marks_b)


def test_20_percent_is_still_a_seam():
    assert CurvedSeam(LINE, TurnedLength(119.9, 0)).length == pytest.approx(109.95)


def test_other_things_are_refused():
    with pytest.raises(TypeError, match=r"^edge b must be a Curve, got int$"):
        CurvedSeam(LINE, 100)
    seam = CurvedSeam(LINE, LINE, [50], [50])
    with pytest.raises(ValueError, match=r"^place must be from 0 to 100 mm along the seam, got 5"):
        seam.curvature([5, 101])
    with pytest.raises(ValueError, match=r"^place must be a finite length in mm, got nan"):
        seam.turned(math.nan)
    with pytest.raises(ValueError, match=r"^wanted must have one entry for each of the 2 interv"):
        seam.compared([1.0])
    with pytest.raises(ValueError, match=r"^wanted must be a finite angle in rad, got inf"):
        seam.compared([1.0, math.inf])
    seam.marks[:] = 7  # a copy
    assert seam.marks[0] == 0
