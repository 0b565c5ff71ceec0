"""Parts of an edge between corners: where they are, what is summed up along them."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from foamcalc.fit.trim.parts import (
    even_curvature,
    offset_upto,
    parts_of,
    tighter_runs,
    tightest,
)
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc, TurnedLength
from foamcalc.shape.drawn import Drawn
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline
from foamcalc.shape.segments import Bezier

QUARTER = np.pi / 2
STEP = Polyline([(0, 0), (0, 100), (150, 100), (150, 50), (250, 50)])
"""Two convex quarter turns and a hollow one, at 100, 250 and 300 mm."""
PLATE = Polyline([(0, 0), (100, 0), (130, 40), (260, 40), (0, 180)], closed=True)
LEAF = Drawn(
    [
        Bezier([(30, 0), (50, 10), (60, 30)]),
        Bezier([(60, 30), (100, 60), (0, 100)]),
        Bezier([(0, 100), (-30, 50), (0, 0)]),
        Bezier([(0, 0), (30, 0)]),
    ],
    closed=True,
)
"""Curved sides with corners between them (invented)."""
LOOP = Drawn(
    [
        Bezier([(15, 0), (40, 0)]),
        Bezier([(40, 0), (80, 0), (60, 50)]),
        Bezier([(60, 50), (40, 100), (0, 0)]),
        Bezier([(0, 0), (15, 0)]),
    ],
    closed=True,
)
"""One corner, which is not at its start."""


def test_an_edge_is_parted_at_its_corners():
    parts = parts_of(STEP)
    # exact by hand
    assert [(p.start, p.end) for p in parts] == [(0, 100), (100, 250), (250, 300), (300, 400)]
    assert [p.before for p in parts] == pytest.approx([0, QUARTER, QUARTER, -QUARTER])
    assert [p.after for p in parts] == pytest.approx([QUARTER, QUARTER, -QUARTER, 0])
    assert [p.turn for p in parts] == pytest.approx([0] * 4, abs=1e-12)
    assert not any(p.ring for p in parts)


def test_a_smooth_edge_is_one_part():
    (open_part,) = parts_of(Ellipse(60, 45, 0, np.pi))
    (ring,) = parts_of(Arc(50, 2 * np.pi, closed=True))
    assert (open_part.ring, ring.ring) == (False, True)
    # exact by hand: half a turn, a full turn
    assert open_part.turn == pytest.approx(np.pi, rel=1e-12)
    assert ring.turn == pytest.approx(2 * np.pi, rel=1e-12)


@pytest.mark.parametrize("curve", [PLATE, LEAF, LOOP])
def test_the_parts_of_a_closed_edge_go_once_round(curve):
    parts = parts_of(curve)
    assert len(parts) == len(curve.corners)
    # exact by hand: lengths add up to the whole, turns and corners to a full turn
    assert sum(p.length for p in parts) == pytest.approx(curve.length, rel=1e-12)
    assert sum(p.turn + p.before for p in parts) == pytest.approx(2 * np.pi, rel=1e-12)


def test_a_part_may_run_over_the_joint_of_its_edge():
    (part,) = parts_of(LOOP)
    (corner,) = LOOP.corners
    assert (part.start, part.end) == (corner.place, corner.place + LOOP.length)
    # exact: the way from its corner to its corner ends where it began
    there, aside = part.way([part.start, part.end])
    assert [np.ptp(there), np.ptp(aside)] == pytest.approx([0, 0], abs=1e-6)
    # exact: its curvature is that of the edge, behind the joint as well
    assert part.curvature(LOOP.length + 30.0) == LOOP.curvature(30.0)
    whole = part.upto(np.ones_like, [part.start, LOOP.length, part.end])
    assert whole == pytest.approx([0, LOOP.length - part.start, LOOP.length], rel=1e-12)


def test_the_tightest_place_leaves_corners_out():
    hollow, convex = tightest(STEP)
    assert (hollow.curvature, convex.curvature) == (0, 0)
    hollow, convex = tightest(LEAF)
    grid = np.linspace(0, LEAF.length, 20001)[1:-1]
    smooth = LEAF.curvature(grid)
    smooth = smooth[np.isfinite(smooth)]
    # independent: a fine look at the curvature
    assert convex.curvature == pytest.approx(smooth.max(), rel=1e-3)
    assert hollow.curvature == pytest.approx(smooth.min(), rel=1e-3)


def test_an_even_edge_is_known():
    # exact by hand
    assert even_curvature(Arc(50, -1.0)) == pytest.approx(-1 / 50)
    assert even_curvature(TurnedLength(100, 0.5)) == pytest.approx(1 / 200)
    assert even_curvature(TurnedLength(100, 0.0)) == 0
    assert even_curvature(Ellipse(60, 45, 0, np.pi)) is None
    assert even_curvature(Arcs([100, 50], [0.5, 0.4])) is None
    assert even_curvature(STEP) is None


def test_sums_along_an_edge():
    curve = Ellipse(80, 30, 0, np.pi)
    (part,) = parts_of(curve)
    places = [0.0, 40.0, 100.0, curve.length]
    sums = part.upto(lambda k: np.sqrt(k), places)
    for place, found in zip(places, sums, strict=True):
        # independent library: scipy's quadrature
        expected = quad(lambda s: float(np.sqrt(curve.curvature(s))), 0, place, limit=200)[0]
        assert found == pytest.approx(expected, rel=1e-7, abs=1e-9)


@pytest.mark.parametrize("offset", [4.0, -4.0, 0.0])
@pytest.mark.parametrize(
    "curve", [STEP, PLATE, LEAF, LOOP, Ellipse(60, 45, 0, 3.0), Arc(50, 2 * np.pi, closed=True)]
)
def test_the_parallel_curve_is_measured_from_the_start(curve, offset):
    upto = offset_upto(curve, offset)
    places = np.linspace(0, curve.length, 501)
    gone = upto(places)
    # independent: the curve's own length at the offset, all of it
    assert gone[[0, -1]] == pytest.approx([0, float(curve.length_at(offset))], abs=1e-7)
    assert (np.diff(gone) >= -1e-9).all()
    # away from corners by more than they reach: as the curve has it
    ends = [c.place for c in curve.corners] + [0.0, curve.length]
    clear = [s for s in places[1:-1] if min(abs(s - end) for end in ends) > 17]
    assert len(clear) > 20
    for place in clear[:: len(clear) // 6]:
        expected = float(curve.length_at(offset, end=place))
        assert upto(np.array([place]))[0] == pytest.approx(expected, abs=0.05)
    if curve.closed:
        ahead = upto(places + curve.length) - gone
        assert ahead == pytest.approx(float(curve.length_at(offset)), rel=1e-9)


def test_beside_a_hollow_corner_all_marks_lie_at_the_corner():
    upto = offset_upto(STEP, 6.0)
    places = np.array([293.9, 294.1, 300.0, 305.9, 306.1])
    # exact by hand: 6 mm on each side of it are cut off; 6 x pi/2 gained at each corner before
    base = 294.0 + 6 * np.pi
    assert upto(places) - base == pytest.approx([-0.1, 0, 0, 0, 0.1], abs=1e-9)


@pytest.mark.parametrize(
    ("curve", "where"),
    [(Ellipse(80, 30, 0, np.pi), 1 / 40), (Ellipse(30, 80, 0, np.pi), 1 / 60)],
)
def test_where_an_edge_is_tighter_than_a_limit(curve, where):
    runs = tighter_runs(curve, hollow=-1e-3, convex=where)
    ends = [x for run in runs for x in run if 0 < x < curve.length]
    for place in ends:
        # exact: the curvature is the limit there
        assert float(curve.curvature(place)) == pytest.approx(where, rel=1e-9)
    middle = curve.length / 2
    root = brentq(lambda s: float(curve.curvature(s)) - where, 0, middle)
    # independent library: scipy's root on one half; mirrored on the other
    assert sorted(ends) == pytest.approx([root, curve.length - root], abs=1e-6)


def test_tight_runs_of_arcs():
    edge = Arcs([60, 100, 60], [1.0, 0.5, -1.0])
    runs = tighter_runs(edge, hollow=-0.02, convex=0.01)
    # exact by hand: curvatures 1/60, 1/200, -1/60; the last is within its limit
    assert [x for run in runs for x in run] == pytest.approx([0, 60], abs=1e-9)
    assert tighter_runs(edge, hollow=-0.1, convex=0.1) == ()
    assert tighter_runs(STEP, hollow=0.0, convex=0.0) == ()
