"""Arcs, ellipses and parallel curves against the outside world.

Published numbers: circle segments and an ellipse, with their pages. Independent library: shapely
(the GEOS library) offsets polygons by its own road, knowing nothing of turn or curvature. An
inscribed and a circumscribed polygon hold the true curve between them, and finer polygons must run
into our length at the rate that polygons do.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Polygon

from foamcalc.shape.curve import Arc, TurnedLength
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.profile import chain

# Published numbers ------------------------------------------------------------------------------

# "Circular Sections", matheass.eu/help/en/E210-Circular_Sections.html, read in a stored copy. It
# prints two worked cases with decimal commas; its distance d is from the centre to the chord.
# Tolerance: half a unit of the last printed digit.


def test_segment_from_arc_and_angle():
    """Published: arc b = 1, angle α = 45°."""
    bend = Arc(radius=1 / math.radians(45), turn=math.radians(45))
    assert bend.length == pytest.approx(1, rel=1e-15)
    assert bend.radius == pytest.approx(1.2732395, abs=5e-8)
    assert bend.chord == pytest.approx(0.97449536, abs=5e-9)
    assert bend.rise == pytest.approx(0.096919589, abs=5e-10)
    assert bend.radius - bend.rise == pytest.approx(1.17632, abs=5e-6)


def test_segment_from_arc_and_chord():
    """Published: the same case, entered by its length and its mouth.

    The mouth is printed to ±5e-9; it changes by 0.0649 for each radian of turn (derived), so the
    turn is known to 8e-8 rad and the radius to 1.3e-7.
    """
    bend = Arc.from_mouth(length=1, mouth=0.97449536)
    assert bend.turn == pytest.approx(math.radians(45), abs=8e-8)
    assert bend.radius == pytest.approx(1.2732395, abs=1.3e-7 + 5e-8)


def test_segment_from_chord_and_rise():
    """Published: chord s = 21, height h = 6, the rim of a broken plate."""
    bend = Arc.from_chord(chord=21, rise=6)
    assert bend.radius == pytest.approx(12.1875, abs=5e-5)
    assert math.degrees(bend.turn) == pytest.approx(118.97953, abs=5e-6)
    assert bend.length == pytest.approx(25.308373, abs=5e-7)
    assert bend.radius - bend.rise == pytest.approx(6.1875, abs=5e-5)


def test_segment_from_its_three_points():
    """Independent formula: chord over the tangent angles; the chain of arcs ends at the chord."""
    bend = Arc.from_chord(chord=21, rise=6)
    points = chain(bend.length, bend.turn, points_per_arc=2)
    assert points.x == pytest.approx([0, 10.5, 21], abs=1e-13)
    assert points.y == pytest.approx([0, 6, 0], abs=1e-13)


def test_perimeter_of_an_ellipse():
    """Published: SciPy reference guide, page scipy.special.ellipe, example: a = 3.5, b = 2.1."""
    assert Ellipse(3.5, 2.1).length == pytest.approx(17.868899204378693, rel=1e-15 * 4)


def test_sheet_metal_allowance():
    """Exact by hand, for contrast: radius, thickness and angle 1, 1, 90°, allowance 2.1.

    Then K = 2.1/(π/2) − 1, printed 0.337: the length of the parallel curve at 0.337.
    """
    assert float(Arc(1, math.pi / 2).length_at(0.337)) == pytest.approx(2.1, abs=5e-4 * math.pi / 2)


# Polygons ---------------------------------------------------------------------------------------


def inscribed(a, b, n, start=0.0, end=2 * math.pi):
    """Corners on the ellipse."""
    t = np.linspace(start, end, n + 1)
    return np.column_stack([a * np.cos(t), b * np.sin(t)])


def circumscribed(a, b, n, start=0.0, end=2 * math.pi):
    """Corners where neighbouring tangents cross, plus the two end points on the ellipse."""
    t = np.linspace(start, end, n + 1)
    middle, half = (t[1:] + t[:-1]) / 2, (end - start) / n / 2
    corners = np.column_stack([a * np.cos(middle), b * np.sin(middle)]) / math.cos(half)
    ends = inscribed(a, b, 1, start, end)
    return np.vstack([ends[:1], corners, ends[1:]])


def grown(corners, offset, join="mitre"):
    """Length round the polygon after shapely moved its edge by `offset`."""
    return Polygon(corners).buffer(offset, join_style=join, mitre_limit=10, quad_segs=16).length


def moved(corners, offset):
    """Length of the open line after shapely moved it by `offset` to the left of its way."""
    line = LineString(corners).offset_curve(offset, join_style="mitre", mitre_limit=10)
    assert line.geom_type == "LineString"
    return line.length


def closes_in_on(got, length_of, n):
    """Assert that extrapolated polygons run into this length, and how fast.

    The error of a polygon falls with the square of its corners, that of two polygons extrapolated
    (Richardson) with the fourth power: twice the corners leave a sixteenth. A wrong length leaves
    an error that does not fall. The last polygons must come within 2e-7.
    """
    length = [length_of(k * n) for k in (1, 2, 4)]
    first, second = (4 * length[1] - length[0]) / 3, (4 * length[2] - length[1]) / 3
    assert abs(second - got) < abs(first - got) / 10
    assert second == pytest.approx(got, rel=2e-7)


# Circles and ellipses all round -----------------------------------------------------------------

ROUND = [(50, 50), (60, 45), (45, 60), (100, 20)]


@pytest.mark.parametrize(("a", "b"), ROUND)
@pytest.mark.parametrize("share", [-0.9, -0.5, 0.1, 1.0, 3.0])
def test_between_two_polygons(a, b, share):
    """Independent library. A convex curve inside another is shorter, so no tolerance is needed.

    Inside: the inscribed polygon, its corners rounded by short straight pieces that stay inside.
    Outside: the circumscribed polygon with sharp corners. `share` is the offset in terms of the
    tightest radius.
    """
    offset = share * min(a, b) ** 2 / max(a, b)
    got = float(Ellipse(a, b).length_at(offset))
    below = grown(inscribed(a, b, 600)[:-1], offset, "round")
    above = grown(circumscribed(a, b, 600)[1:-1], offset)
    assert below < got < above
    assert above - below < 1e-3 * got  # the bracket is tight enough to mean something


@pytest.mark.parametrize(("a", "b"), ROUND)
@pytest.mark.parametrize("offset", [-2.0, 1.0, 7.5, 40.0])
def test_extrapolated_polygons(a, b, offset):
    """Independent library, all round an ellipse and a ring."""
    curves = [Ellipse(a, b)] + ([Arc(a, 2 * math.pi, closed=True)] if a == b else [])
    for curve in curves:
        got = float(curve.length_at(offset))
        closes_in_on(got, lambda n: grown(circumscribed(a, b, n)[1:-1], offset), 100)


@pytest.mark.parametrize("corners", [3, 4, 5, 12, 60])
@pytest.mark.parametrize("offset", [0.5, 7.5, 100.0])
def test_rounding_a_polygon_costs_one_full_turn(corners, offset):
    """Independent library: any convex outline, corners rounded, needs 2π per mm (Steiner).

    shapely draws each rounded corner with straight pieces of at most 90°/4096: short by a
    share of (90°/4096)²/24 = 6e-9 of the corners' 2π·offset.
    """
    outline = inscribed(50, 50, corners)[:-1]
    got = Polygon(outline).buffer(offset, quad_segs=4096).length
    length = Polygon(outline).length
    want = float(TurnedLength(length, 2 * math.pi, closed=True).length_at(offset))
    assert got == pytest.approx(want, abs=2 * math.pi * offset * 7e-9 + 1e-11)


# Open pieces ------------------------------------------------------------------------------------

# Steps stay above 0.3 mm: below a hundredth of the offset shapely may leave corners out.


@pytest.mark.parametrize("turn", [0.5, math.pi / 2, math.pi, 4.0])
@pytest.mark.parametrize("offset", [-20.0, 7.5, 30.0])
@pytest.mark.parametrize("hollow", [False, True])
def test_open_arcs_bend_and_hollow(turn, offset, hollow):
    """Independent library. A bend is walked clockwise, a hollow the other way: outside left."""

    def length_of(n):
        way = circumscribed(50, 50, n, 0.0, turn)
        return moved(way if hollow else way[::-1], offset)

    got = float(Arc(50, -turn if hollow else turn).length_at(offset))
    closes_in_on(got, length_of, math.ceil(16 * turn))


@pytest.mark.parametrize(("start", "end"), [(0.0, math.pi), (0.3, 2.0), (-1.2, 0.9), (2.0, 6.0)])
@pytest.mark.parametrize("offset", [-15.0, 7.5, 30.0])
def test_open_parts_of_an_ellipse(start, end, offset):
    """Independent library: the ellipse is walked backwards to have its outside on the left."""
    got = float(Ellipse(60, 45, start, end).length_at(offset))
    closes_in_on(
        got,
        lambda n: moved(circumscribed(60, 45, n, start, end)[::-1], offset),
        math.ceil(20 * (end - start)),
    )


@pytest.mark.parametrize(("a", "b"), ROUND)
def test_half_a_turn_of_anything_costs_the_same(a, b):
    """Independent library: 7.5 mm over half a turn is 7.5 π = 23.562 mm, circle or ellipse."""
    half = Ellipse(a, b, 0, math.pi)

    def gap(n):
        way = circumscribed(a, b, n, 0.0, math.pi)[::-1]
        return moved(way, 7.5) - LineString(way).length

    mine = float(half.length_at(7.5)) - half.length
    closes_in_on(mine, gap, 120)
    assert f"{mine:.3f}" == "23.562"


def test_an_s_of_two_half_turns():
    """Independent library: 5 mm beside an S of radius 60 nothing is gained or lost in all."""
    half = 60 * math.pi

    def gap(n):
        s = chain([half, half], [math.pi, -math.pi], points_per_arc=n)
        # The last chord stands half a small turn off the end of the curve at both ends; the two
        # errors of the S have opposite signs.
        way = LineString(np.column_stack([s.x, s.y]))
        return way.offset_curve(5, join_style="mitre", mitre_limit=10).length - way.length

    mine = Arc(60, math.pi).length_at(5) + Arc(60, -math.pi).length_at(5) - 2 * half
    assert float(mine) == pytest.approx(0, abs=1e-12)
    assert gap(200) == pytest.approx(float(mine), abs=1e-9)


def test_offset_points_of_a_chain():
    """Independent library: the moved joints of a chain lie on shapely's moved line.

    An invented shell in 5 spans, 100 points each. The normal of a joint stands off that of its
    chord by half a small turn, h ≤ 1.1/200: the corner of the moved line lies d/cos(h) out.
    """
    shell = chain([40, 55, 80, 30, 60], [0.3, 1.1, 0.8, -0.5, 0.9], points_per_arc=100)
    line = LineString(np.column_stack([shell.x, shell.y]))
    slack = 8 * (1 / math.cos(1.1 / 200) - 1) + 1e-10
    for distance in (8.0, -8.0):
        outer = line.offset_curve(distance, join_style="mitre", mitre_limit=10)
        x, y = shell.offset(distance)
        joints = shapely.points(x[1:-1], y[1:-1])  # the two ends have a chord on one side only
        assert shapely.distance(joints, outer).max() < slack
        np.testing.assert_allclose(shapely.distance(joints, line), 8, rtol=0, atol=slack)
