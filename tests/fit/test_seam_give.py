"""Who gives how much: wide sheets, narrow strips, held pieces, reach and pucker."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from foamcalc.fit.seam import SeamEdge
from foamcalc.fit.seam.give import Sheet, gives, lean, share_at, sheet_of, wide_share
from foamcalc.fit.seam.reach import CLAMPED, faded, pucker_strain, reach
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import HyperFoam

WIDE = Sheet(1.0, 0.25, np.inf)


def sheet(softness=1.0, poisson=0.25, depth=np.inf) -> Sheet:
    return Sheet(softness, poisson, depth)


# Wide sheets ----------------------------------------------------------------------------------


def test_equal_wide_sheets_give_half_and_half():
    # exact by hand: by symmetry
    assert float(
        wide_share(stiffness=7, other_stiffness=7, poisson=0.3, other_poisson=0.3)
    ) == pytest.approx(0.5, rel=1e-14)


def test_the_thicker_of_two_gives_a_little_more_than_a_third():
    share = float(wide_share(stiffness=20, other_stiffness=10, poisson=0.25, other_poisson=0.25))
    # exact by hand: b = 0.75 (1/2 - 1)/(2 x 3/2) = -1/8; (1/3)(1 + 3/64)/(1 - 1/64) = 67/189
    assert share == pytest.approx(67 / 189, rel=1e-14)


@given(st.floats(0.05, 20), st.floats(0.05, 20), st.floats(0, 0.49), st.floats(0, 0.49))
def test_the_shares_of_two_wide_sheets_sum_to_one(one, two, v, w):
    given_one = wide_share(stiffness=one, other_stiffness=two, poisson=v, other_poisson=w)
    given_two = wide_share(stiffness=two, other_stiffness=one, poisson=w, other_poisson=v)
    # exact: who gives the rest is the other one
    assert float(given_one + given_two) == pytest.approx(1.0, rel=1e-12)
    assert 0 < float(given_one) < 1


def test_wide_shares_take_arrays():
    found = wide_share(
        stiffness=[10, 20], other_stiffness=[[10], [40]], poisson=0.25, other_poisson=0.25
    )
    assert found.shape == (2, 2)
    assert found[0] == pytest.approx([0.5, 67 / 189])


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"stiffness": 0}, "stiffness must be a finite force per length above 0"),
        ({"poisson": 0.5}, r"poisson must be from 0 to below 0\.5, got 0\.5"),
        ({"other_poisson": -0.1}, "other poisson must be a finite number of 0 or more"),
    ],
)
def test_impossible_sheets_are_refused(said, message):
    usual = {"stiffness": 1, "other_stiffness": 1, "poisson": 0.2, "other_poisson": 0.2}
    with pytest.raises(ValueError, match=message):
        wide_share(**{**usual, **said})


# Strips ---------------------------------------------------------------------------------------


def test_deep_strips_are_wide_sheets():
    a, b = sheet(0.5, 0.25, 1000.0), sheet(1.0, 0.4, 1000.0)
    # independent formula: the closed form of two half planes
    expected = wide_share(stiffness=2, other_stiffness=1, poisson=0.25, other_poisson=0.4)
    assert share_at([0.02, 0.1, 5.0], a, b) == pytest.approx([float(expected)] * 3, rel=1e-9)


def test_a_very_narrow_trim_on_a_wide_panel_gives_by_its_section():
    k, depth = 1e-3, 1.0
    # independent formula: a rod c/(k w) beside a half plane 2c
    rod = 1 / (k * depth)
    assert float(share_at(k, sheet(depth=depth), WIDE)) == pytest.approx(rod / (rod + 2), rel=1e-3)


@pytest.mark.parametrize(("depths", "stiff"), [((3.0, 2.0), (1.0, 1.0)), ((1.0, 5.0), (2.0, 0.7))])
def test_two_narrow_strips_under_a_long_wave_bend_like_bimetal(depths, stiff):
    (h1, h2), (e1, e2) = depths, stiff
    found = float(share_at(1e-3, sheet(1 / e1, 0.25, h1), sheet(1 / e2, 0.25, h2)))
    # independent formula: Timoshenko 1925 for unit mismatch, then the strain at the joined edge
    m, n, h = h1 / h2, e1 / e2, h1 + h2
    bend = 6 * (1 + m) ** 2 / (h * (3 * (1 + m) ** 2 + (1 + m * n) * (m**2 + 1 / (m * n))))
    pull = 2 * bend * (e1 * h1**3 + e2 * h2**3) / 12 / h
    assert found == pytest.approx(pull / (e1 * h1) + bend * h1 / 2, rel=1e-5)


@settings(max_examples=50)
@given(
    st.floats(0.001, 10),
    st.floats(0.1, 5),
    st.floats(0.1, 5),
    st.floats(0.2, 50),
    st.floats(0.2, 50),
    st.floats(0, 0.45),
    st.floats(0, 0.45),
)
def test_the_shares_of_two_strips_sum_to_one_at_any_wave(k, c1, c2, w1, w2, v1, v2):
    a, b = Sheet(c1, v1, w1), Sheet(c2, v2, w2)
    # exact; at the longest waves five digits are lost in the difference of large numbers
    assert float(share_at(k, a, b) + share_at(k, b, a)) == pytest.approx(1.0, abs=1e-6)


# A whole seam ---------------------------------------------------------------------------------


def test_wide_sheets_share_every_interval_alike():
    found = gives([50, 70, 30], [2.0, -3.0, 0.5], sheet(0.5), sheet(1.0))
    # exact by hand
    assert found == pytest.approx(67 / 189 * np.array([2.0, -3.0, 0.5]), rel=1e-12)


def test_differences_by_turns_are_one_wave_and_its_odd_multiples():
    a, b, size = sheet(depth=20.0), sheet(depth=80.0), 50.0
    found = gives([size] * 8, 1.0 * (-1.0) ** np.arange(8), a, b)
    # independent formula: a square wave is 8/(pi n)**2 of each odd multiple n in the mean
    n = np.arange(1, 20001, 2)
    weight = 8 / (np.pi * n) ** 2
    expected = weight @ share_at(n * np.pi / size, a, b) + (1 - weight.sum()) * 0.5
    assert found == pytest.approx(expected * (-1.0) ** np.arange(8), abs=1e-7)


def test_a_lone_difference_on_a_long_seam_by_integration():
    a, b, size = sheet(0.5, depth=30.0), sheet(1.0, 0.1, depth=30.0), 50.0
    found = gives([2000, size, 2000], [0.0, 1.0, 0.0], a, b)[1]
    last = float(share_at(1e6, a, b))

    def part(z):
        return (np.sin(z) / z) ** 2 * (float(share_at(2 * z / size, a, b)) - last)

    # independent: Fourier's integral for one interval, by adaptive quadrature
    whole, _ = quad(part, 1e-6, 60.0, limit=400)
    assert found == pytest.approx(last + 2 / np.pi * whole, abs=2e-4)


def test_a_narrow_trim_strains_the_interval_beside_a_difference():
    found = gives([50] * 5, [0, 0, 2.0, 0, 0], sheet(depth=10.0), WIDE)
    # by hand, direction: the trim stays stretched for a while beyond the marks
    assert found[1] > 0.01
    assert found == pytest.approx(found[::-1], abs=1e-12)


@pytest.mark.parametrize(
    ("depth", "share"), [(2.5, 0.72), (5.0, 0.61), (10.0, 0.53), (20.0, 0.52), (50.0, 0.51)]
)
def test_how_much_a_trim_gives_between_marks_50_mm_apart(depth, share):
    by_turns = gives([50] * 8, 1.0 * (-1.0) ** np.arange(8), sheet(depth=depth), WIDE)
    # regression, checked against felupe elsewhere: much less than its section E t w alone says
    assert by_turns[0] == pytest.approx(share, abs=0.005)


def test_a_long_seam_that_is_short_all_along_is_taken_by_its_trim():
    even = gives([50] * 20, [1.0] * 20, sheet(depth=10.0), WIDE)
    # regression, as the docstring says: over a hundred depths
    assert even.mean() == pytest.approx(0.90, abs=0.005)


def test_a_held_piece_gives_nothing():
    d = np.array([2.0, -1.0])
    assert gives([50, 50], d, sheet(0.0), sheet(1.0, depth=7.0)) == pytest.approx([0, 0])
    assert gives([50, 50], d, sheet(1.0, depth=7.0), sheet(0.0)) == pytest.approx(d)
    with pytest.raises(ValueError, match="both pieces are held"):
        gives([50, 50], d, sheet(0.0), sheet(0.0))


def test_a_piece_too_narrow_for_its_seam_is_refused():
    with pytest.raises(
        ValueError, match=r"at least 0\.0005 of its seam deep \(0\.5 mm\), got 0\.4"
    ):
        gives([500, 500], [1, 1], sheet(depth=0.4), WIDE)
    assert np.isfinite(gives([500, 500], [1, 1], sheet(depth=0.6), WIDE)).all()


@pytest.mark.parametrize(
    ("lengths", "differences"), [([50, 0], [1, 1]), ([50, 50], [1, math.nan]), ([-1], [0])]
)
def test_impossible_intervals_are_refused(lengths, differences):
    with pytest.raises(ValueError, match=r"(lengths|differences) must be"):
        gives(lengths, differences, WIDE, WIDE)


def test_a_sheet_takes_stiffness_and_side_strain_from_its_foam():
    law = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
    piece = Piece(thickness=4, law=law)
    edge = SeamEdge(name="front", piece=piece, places=(0, 9), depth=33)
    # exact by hand: E = 2 x 0.6 x 1.25 = 1.5, times 4 mm
    assert sheet_of(edge) == pytest.approx((1 / 6, 0.25, 33))


# Reach ----------------------------------------------------------------------------------------


def test_strain_begins_whole_at_the_edge():
    for pattern in ("lone", "alternating"):
        # exact
        assert float(faded(0.0, pattern=pattern, poisson=0.1, lean=0.2)) == pytest.approx(1.0)


def test_the_reaches_of_the_two_patterns():
    # derived by other elements than ours, two decimals: side strain 0.25, equal sheets
    assert reach("alternating") == pytest.approx(0.39, abs=0.005)
    assert reach("lone") == pytest.approx(1.30, abs=0.005)


@pytest.mark.parametrize("poisson", [0.0, 0.1, 0.4])
@pytest.mark.parametrize("depth", [0.2, 0.7])
def test_the_closed_sums_are_the_sums_of_their_waves(poisson, depth):
    g = (1 + poisson) / 2
    n = np.arange(1, 401, 2)
    wave = 4 / (np.pi * n) * (-1.0) ** (n // 2) * (1 - g * n * np.pi * depth)
    # independent: the sum of each wave by itself, and Fourier's integral
    expected = (wave * np.exp(-n * np.pi * depth)).sum()
    assert float(faded(depth, pattern="alternating", poisson=poisson)) == pytest.approx(expected)
    whole, _ = quad(
        lambda k: np.sin(k / 2) / k * (1 - g * k * depth) * np.exp(-k * depth), 1e-12, 200
    )
    lone = faded(depth, pattern="lone", poisson=poisson)
    assert float(lone) == pytest.approx(2 / np.pi * whole, rel=1e-6)


def test_a_stiffer_neighbour_changes_the_reach_a_little():
    tilt = float(lean(1 / 3, 1.0, 0.25, 0.25))
    # by hand, direction: the two lean opposite ways
    assert reach("lone", lean=tilt) < reach("lone") < reach("lone", lean=-tilt)


def test_an_unknown_pattern_is_refused():
    with pytest.raises(
        ValueError, match=r"pattern must be one of 'lone', 'alternating', got 'one'"
    ):
        faded(0.1, pattern="one")
    with pytest.raises(ValueError, match="depth must be a finite number of 0 or more"):
        faded(-0.1, pattern="lone")


# Pucker ---------------------------------------------------------------------------------------


def test_thin_foam_puckers_first():
    found = 100 * pucker_strain(thickness=[10, 5, 2], spacing=50)
    # exact by hand: pi**2 t**2/(12 a**2), in per cent 3.3, 0.8, 0.13
    assert found == pytest.approx([100 * math.pi**2 / 300, math.pi**2 / 12, 4 * math.pi**2 / 300])
    assert CLAMPED == 4


@pytest.mark.parametrize("said", [{"thickness": 0}, {"spacing": -1}, {"spacing": math.nan}])
def test_impossible_runs_do_not_pucker(said):
    with pytest.raises(ValueError, match="must be a finite length above 0 mm"):
        pucker_strain(**{"thickness": 5, "spacing": 50, **said})


def test_shapes_that_do_not_fit_are_refused_in_words():
    """Exact by hand: the shapes as they were given."""
    with pytest.raises(ValueError, match=r"stiffness \(2,\), other stiffness \(3,\)"):
        wide_share(stiffness=[1, 2], other_stiffness=[1, 2, 3], poisson=0.1, other_poisson=0.1)
