"""A straight strip bent in its plane: the strains of its two edges.

Against felupe and the stored elements see tests/published/test_felupe_band.py.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import minimize_scalar

from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.across import band_edges, offsets
from foamcalc.foam.bond import stored_energy
from foamcalc.foam.law import HyperFoam, Linear

LINEAR = Piece(thickness=5, width=20, law=Linear(1.5))
SOFT = Piece(thickness=5, width=20, law=HyperFoam.from_modulus(1.5, alpha=2, poisson=0.25))
STIFF = Piece(thickness=5, width=20, law=HyperFoam.from_modulus(1.5, alpha=8, poisson=0.1))


def test_where_the_edges_lie():
    # exact by hand
    assert offsets(20, "inside") == (-20, 0)
    assert offsets(20, "middle") == (-10, 10)
    assert offsets(20, "outside") == (0, 20)


@pytest.mark.parametrize(
    ("side", "curvature", "inner", "outer"),
    [
        # exact by hand: a foam without side strain keeps its middle: 10 mm over its radius
        ("middle", 1 / 100, -10 / 100, 10 / 100),
        ("middle", -1 / 100, 10 / 100, -10 / 100),
        ("inside", 1 / 100, -10 / 90, 10 / 90),
        ("inside", -1 / 100, 10 / 110, -10 / 110),
        ("outside", 1 / 100, -10 / 110, 10 / 110),
        ("outside", -1 / 100, 10 / 90, -10 / 90),
    ],
)
def test_laid_without_pull(side, curvature, inner, outer):
    found = band_edges(LINEAR, curvature, side=side)
    assert float(found.inner) == pytest.approx(inner, rel=1e-9)
    assert float(found.outer) == pytest.approx(outer, rel=1e-9)
    assert float(found.force) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("side", "curvature", "inner", "outer"),
    [
        # exact by hand: from 0 at the shorter edge to the width over its radius
        ("middle", 1 / 100, 0, 20 / 90),
        ("middle", -1 / 100, 20 / 90, 0),
        ("inside", 1 / 100, 0, 20 / 80),
        ("inside", -1 / 100, 20 / 100, 0),
        ("outside", 1 / 100, 0, 20 / 100),
        ("outside", -1 / 100, 20 / 80, 0),
    ],
)
def test_pulled_till_the_shorter_edge_is_unstrained(side, curvature, inner, outer):
    found = band_edges(LINEAR, curvature, side=side, pull=1.0)
    assert float(found.inner) == pytest.approx(inner, rel=1e-9, abs=1e-9)
    assert float(found.outer) == pytest.approx(outer, rel=1e-9, abs=1e-9)
    # exact by hand: E t w times the mean strain
    assert float(found.force) == pytest.approx(1.5 * 5 * 20 * max(inner, outer) / 2, rel=1e-9)


@pytest.mark.parametrize("strip", [LINEAR, SOFT, STIFF])
@pytest.mark.parametrize("pull", [0.25, 0.5, 0.9])
def test_in_between_the_squeeze_goes_with_the_pull(strip, pull):
    none, some = (band_edges(strip, 1 / 80, side="outside", pull=p) for p in (0.0, pull))
    # exact: as `pull` is defined
    assert float(some.inner) == pytest.approx((1 - pull) * float(none.inner), rel=1e-9)
    assert float(some.outer) > float(none.outer)
    assert float(some.force) > 0


@pytest.mark.parametrize("strip", [LINEAR, SOFT, STIFF])
@pytest.mark.parametrize("pull", [0.0, 0.4, 1.0])
@pytest.mark.parametrize(("side", "other"), [("inside", "outside"), ("middle", "middle")])
def test_a_hollow_is_a_bend_seen_from_the_other_side(strip, pull, side, other):
    bend = band_edges(strip, [1 / 60, 1 / 200], side=side, pull=pull)
    hollow = band_edges(strip, [-1 / 60, -1 / 200], side=other, pull=pull)
    # exact: mirrored, inner and outer change places
    assert bend.inner == pytest.approx(hollow.outer, rel=1e-12, abs=1e-14)
    assert bend.outer == pytest.approx(hollow.inner, rel=1e-12, abs=1e-14)
    assert bend.line == pytest.approx(hollow.line, rel=1e-12, abs=1e-14)
    assert bend.force == pytest.approx(hollow.force, rel=1e-9, abs=1e-12)


def section(law, inner, turn):
    """Stretches over the width for a length at the inner edge and a turn, per mm as cut."""

    def slope(_, length):
        return turn * 20.0 * law.side_stretch(length)

    return solve_ivp(slope, (0, 1), [inner], rtol=1e-10, atol=1e-12, dense_output=True).sol


@pytest.mark.parametrize("strip", [SOFT, STIFF])
def test_without_pull_the_energy_is_least(strip):
    found = band_edges(strip, 1 / 60, side="outside")
    nodes, weights = np.polynomial.legendre.leggauss(12)
    turn = (1 + float(found.inner)) / 60

    def energy(inner):
        stretch = section(strip.law, inner, turn)((nodes + 1) / 2)[0]
        return float(weights @ stored_energy(strip.law, stretch))

    least = minimize_scalar(energy, bounds=(0.7, 1.0), method="bounded", options={"xatol": 1e-9})
    # independent library: scipy's minimum of the stored work at this turn, its ODE for the width
    assert least.x - 1 == pytest.approx(float(found.inner), abs=2e-6)
    assert section(strip.law, least.x, turn)(1.0)[0] - 1 == pytest.approx(
        float(found.outer), abs=2e-6
    )


@pytest.mark.parametrize("strip", [SOFT, STIFF])
@pytest.mark.parametrize("side", ["inside", "middle", "outside"])
@pytest.mark.parametrize("pull", [0.0, 0.3, 1.0])
def test_the_line_has_the_curvature_that_was_asked_for(strip, side, pull):
    found = band_edges(strip, 1 / 70, side=side, pull=pull)
    inner, line, outer = (1 + float(x) for x in (found.inner, found.line, found.outer))
    part = {"inside": 1.0, "middle": 0.5, "outside": 0.0}[side]
    way = section(strip.law, inner, line / 70)
    # independent library: scipy's ODE for the width; the turn for each mm as cut is line/R
    assert float(way(part)[0]) == pytest.approx(line, rel=1e-6)
    assert float(way(1.0)[0]) == pytest.approx(outer, rel=1e-6)
    nodes, weights = np.polynomial.legendre.leggauss(12)
    stress = strip.law.stress(way((nodes + 1) / 2)[0])
    # independent library: the pull is the stress over the section
    assert float(found.force) == pytest.approx(5 * 20 * float(weights @ stress) / 2, abs=1e-5)


def test_a_straight_run_is_not_strained():
    found = band_edges(STIFF, [0.0, 1 / 100], pull=1.0)
    # exact by hand
    assert [float(x[0]) for x in found] == [0, 0, 0, 0]


def test_arrays_keep_their_shape_and_order():
    bends = np.array([[1 / 50, -1 / 80, 0.0], [1 / 80, 1 / 50, -1 / 50]])
    found = band_edges(SOFT, bends, side="inside")
    for index in np.ndindex(bends.shape):
        one = band_edges(SOFT, bends[index], side="inside")
        # exact: each as if it was alone
        assert [float(x[index]) for x in found] == pytest.approx([float(x) for x in one], abs=1e-9)


@settings(deadline=None, max_examples=15)
@given(
    ratio=st.floats(0.005, 0.3),
    width=st.floats(1, 80),
    pull=st.floats(0, 1),
    side=st.sampled_from(["inside", "middle", "outside"]),
)
def test_strains_depend_on_width_over_radius_only(ratio, width, pull, side):
    one = Piece(thickness=3, width=width, law=STIFF.law)
    ten = Piece(thickness=7, width=10 * width, law=STIFF.law)
    small = band_edges(one, ratio / width, side=side, pull=pull)
    large = band_edges(ten, ratio / (10 * width), side=side, pull=pull)
    # exact: nothing else has a length
    assert float(small.inner) == pytest.approx(float(large.inner), rel=1e-7, abs=1e-10)
    assert float(small.outer) == pytest.approx(float(large.outer), rel=1e-7, abs=1e-10)
    # a stronger bend is worse on both edges
    more = band_edges(one, 1.1 * ratio / width, side=side, pull=pull)
    assert float(more.outer) > float(small.outer) > 0


def test_where_the_foam_folds_there_is_no_number():
    found = band_edges(STIFF, [1 / 100, 1 / 20.5], side="inside")
    assert np.isfinite(found.inner[0])
    assert np.isnan([x[1] for x in found]).all()


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"side": "under"}, "side must be one of 'inside', 'middle', 'outside', got 'under'"),
        ({"pull": 1.2}, "pull must be a number from 0 to 1, got 1.2"),
        ({"pull": math.nan}, "pull must be a number from 0 to 1, got nan"),
        ({"curvature": math.nan}, "curvature must be a finite curvature in 1/mm, got nan"),
    ],
)
def test_bad_input_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        band_edges(SOFT, **{"curvature": 0.01, **said})
