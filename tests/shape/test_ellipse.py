"""The ellipse and its parts, against quadrature and differentiation at 30 digits (mpmath)."""

from __future__ import annotations

import dataclasses
import math

import mpmath as mp
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.shape.curve import FULL_TURN, Arc
from foamcalc.shape.ellipse import Ellipse

patient = settings(deadline=None)  # the first example may have to load scipy
axes = st.floats(1.0, 500.0)
QUARTER = math.pi / 2


@pytest.fixture(autouse=True)
def thirty_digits():
    with mp.workdps(30):
        yield


# Independent formulas: nothing but the two coordinates, differentiated and integrated. -----------


def derivative(a, b, t):
    return -a * mp.sin(t), b * mp.cos(t)


def breaks(start, end):
    """The ends and every quarter between, so that the quadrature sees smooth pieces."""
    first, last = mp.ceil(mp.mpf(start) / (mp.pi / 2)), mp.floor(mp.mpf(end) / (mp.pi / 2))
    inner = [k * mp.pi / 2 for k in range(int(first), int(last) + 1)]
    return [mp.mpf(start), *[t for t in inner if start < t < end], mp.mpf(end)]


def true_length(a, b, start, end):
    return mp.quad(lambda t: mp.hypot(*derivative(a, b, t)), breaks(start, end))


def true_curvature(a, b, t):
    """x' y″ − y' x″ over the cube of the speed, by numerical differentiation of x and y."""
    x, y = (lambda u: a * mp.cos(u)), (lambda u: b * mp.sin(u))
    dx, dy, ddx, ddy = mp.diff(x, t), mp.diff(y, t), mp.diff(x, t, 2), mp.diff(y, t, 2)
    return (dx * ddy - dy * ddx) / mp.hypot(dx, dy) ** 3


def true_turn(a, b, start, end):
    """The curvature, integrated over the length."""
    ds_times_k = lambda t: a * b / ((a * mp.sin(t)) ** 2 + (b * mp.cos(t)) ** 2)  # noqa: E731
    return mp.quad(ds_times_k, breaks(start, end))


def true_offset_length(a, b, start, end, offset):
    """Length of the curve of points moved along the outward normal, differentiated by number."""

    def speed(t):
        def moved(u):
            n = mp.hypot(b * mp.cos(u), a * mp.sin(u))
            return a * mp.cos(u) + offset * b * mp.cos(u) / n, (
                b * mp.sin(u) + offset * a * mp.sin(u) / n
            )

        return mp.hypot(mp.diff(lambda u: moved(u)[0], t), mp.diff(lambda u: moved(u)[1], t))

    with mp.workdps(20):
        return mp.quad(speed, breaks(start, end), maxdegree=5)


PARTS = [
    (60, 45, 0.0, FULL_TURN),
    (45, 60, 0.0, FULL_TURN),
    (60, 45, 0.0, math.pi),
    (60, 45, 0.4, 1.3),
    (45, 60, 0.4, 1.3),
    (60, 45, -2.0, 1.0),
    (120, 10, 1.0, 5.5),
    (10, 120, -4.0, 1.0),
    (60, 45, 7.0, 12.0),
    (50, 50, -0.5, 2.5),
]


# Length -----------------------------------------------------------------------------------------


def test_the_perimeter_of_60_by_45():
    """Independent library: 4 a E(1 − b²/a²) by the complete integral; 331.5524 as printed."""
    from scipy.special import ellipe

    assert Ellipse(60, 45).length == pytest.approx(4 * 60 * ellipe(1 - 45**2 / 60**2), rel=1e-14)
    assert Ellipse(60, 45).length == pytest.approx(331.5524, abs=5e-5)
    assert Ellipse(45, 60).length == pytest.approx(Ellipse(60, 45).length, rel=1e-14)


@pytest.mark.parametrize(("a", "b", "start", "end"), PARTS)
def test_length_of_a_part(a, b, start, end):
    """Independent formula: quadrature of the speed."""
    want = float(true_length(a, b, start, end))
    assert Ellipse(a, b, start, end).length == pytest.approx(want, rel=1e-14)


@pytest.mark.parametrize(("a", "b"), [(1000, 1), (1, 1000)])
def test_a_nearly_flat_ellipse(a, b):
    """Independent library: mpmath's complete integral. Twice there and back is 4000 mm."""
    want = float(4 * 1000 * mp.ellipe(1 - mp.mpf(10) ** -6))
    assert Ellipse(a, b).length == pytest.approx(want, rel=1e-14)
    assert 4000 < want < 4001


@patient
@given(a=axes, b=axes, factor=st.floats(0.01, 100), start=st.floats(-7, 7), run=st.floats(0.1, 6))
def test_scale_and_mirror(a, b, factor, start, run):
    """Exact by hand: lengths scale, turns do not; x and y swapped is the same curve backwards."""
    part = Ellipse(a, b, start, start + run)
    larger = Ellipse(factor * a, factor * b, start, start + run)
    assert larger.length == pytest.approx(factor * part.length, rel=1e-11)
    assert larger.turn == pytest.approx(part.turn, rel=1e-11)
    swapped = Ellipse(b, a, QUARTER - start - run, QUARTER - start)
    assert swapped.length == pytest.approx(part.length, rel=1e-11)
    assert swapped.turn == pytest.approx(part.turn, rel=1e-11)


@patient
@given(a=axes, b=axes, start=st.floats(-7, 7), first=st.floats(0.05, 3), second=st.floats(0.05, 3))
def test_two_parts_make_the_whole(a, b, start, first, second):
    """Exact by hand: length and turn add up, and the heading goes on where the first part ended."""
    middle, end = start + first, start + first + second
    whole, left, right = (
        Ellipse(a, b, start, end),
        Ellipse(a, b, start, middle),
        Ellipse(a, b, middle, end),
    )
    assert left.length + right.length == pytest.approx(whole.length, rel=1e-12)
    assert left.turn + right.turn == pytest.approx(whole.turn, rel=1e-12)
    # The heading's error is the place's error (1e-13 of the length) times the sharpest curvature.
    slack = 1e-12 * (1 + whole.length * max(e.curvature for e in whole.extremes()))
    place = right.length * np.array([0.0, 0.3, 0.9])
    np.testing.assert_allclose(
        left.turn + right.heading(place), whole.heading(left.length + place), rtol=0, atol=slack
    )


@patient
@given(radius=axes, start=st.floats(-7, 7), run=st.floats(0.1, 6.28))
def test_equal_axes_are_an_arc(radius, start, run):
    """Exact by hand: a circle."""
    round_one, arc = Ellipse(radius, radius, start, start + run), Arc(radius, run)
    assert round_one.length == pytest.approx(arc.length, rel=1e-12)
    assert round_one.turn == pytest.approx(run, rel=1e-12)
    place = arc.length * np.array([0.0, 0.2, 1.0])
    np.testing.assert_allclose(round_one.curvature(place), 1 / radius, rtol=1e-12)
    np.testing.assert_allclose(round_one.heading(place), arc.heading(place), rtol=0, atol=1e-11)


# Turn, heading, curvature -----------------------------------------------------------------------


@pytest.mark.parametrize("quarters", [1, 2, 3, 4])
@pytest.mark.parametrize("first", [-5, -1, 0, 3, 6])
def test_quarters_turn_by_right_angles(first, quarters):
    """Exact by hand: at every quarter the normal lies along an axis."""
    part = Ellipse(60, 45, first * QUARTER, (first + quarters) * QUARTER)
    assert part.turn == pytest.approx(quarters * QUARTER, rel=1e-14)
    assert part.heading(part.length) == pytest.approx(quarters * QUARTER, rel=1e-13)
    assert part.length == pytest.approx(quarters / 4 * Ellipse(60, 45).length, rel=1e-14)


@pytest.mark.parametrize(("a", "b", "start", "end"), PARTS)
def test_turn_of_a_part(a, b, start, end):
    """Independent formula: quadrature of the curvature over the length."""
    want = float(true_turn(a, b, start, end))
    assert Ellipse(a, b, start, end).turn == pytest.approx(want, rel=1e-13)


@pytest.mark.parametrize(("a", "b", "start", "end"), PARTS)
def test_curvature_and_heading_along_a_part(a, b, start, end):
    """Independent formulas: places by quadrature, curvature by differentiation."""
    angles = [start + share * (end - start) for share in (0.0, 0.13, 0.5, 0.77, 1.0)]
    place = [float(true_length(a, b, start, t)) if t > start else 0.0 for t in angles]
    part = Ellipse(a, b, start, end)
    bend = [float(true_curvature(a, b, mp.mpf(t))) for t in angles]
    turned = [float(true_turn(a, b, start, t)) if t > start else 0.0 for t in angles]
    np.testing.assert_allclose(part.curvature(place), bend, rtol=1e-11)
    np.testing.assert_allclose(part.heading(place), turned, rtol=0, atol=1e-12)


def test_shapes_of_places():
    part = Ellipse(60, 45, 0.2, 2.0)
    assert np.shape(part.curvature(3.0)) == np.shape(part.heading(3.0)) == ()
    assert part.curvature(np.full((2, 3), 4.0)).shape == (2, 3)
    assert part.heading(np.full((2, 3), 4.0)).shape == (2, 3)


# Extremes ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("a", "b"), [(60, 45), (45, 60)])
def test_extremes_of_the_whole(a, b):
    """Exact by hand: a/b² at the ends of the x axis, b/a² at the ends of the y axis."""
    low, high = Ellipse(a, b).extremes()
    at_x, at_y = a / b**2, b / a**2
    assert (low.curvature, high.curvature) == pytest.approx(
        (min(at_x, at_y), max(at_x, at_y)), rel=1e-14
    )
    quarter = Ellipse(60, 45).length / 4
    on_x, on_y = (high, low) if a > b else (low, high)
    assert on_x.place / quarter == pytest.approx(round(on_x.place / quarter), abs=1e-12)
    assert round(on_x.place / quarter) in (0, 2, 4)
    assert on_y.place / quarter == pytest.approx(round(on_y.place / quarter), abs=1e-12)
    assert round(on_y.place / quarter) in (1, 3)


def test_extremes_between_two_axes_are_the_ends():
    """Exact by hand: inside one quarter the curvature only falls or only rises."""
    for part, tight_first in (
        (Ellipse(60, 45, 0.2, 1.2), True),
        (Ellipse(45, 60, 0.2, 1.2), False),
    ):
        low, high = part.extremes()
        ends = (high, low) if tight_first else (low, high)
        assert [e.place for e in ends] == pytest.approx([0.0, part.length], abs=1e-12)


def test_an_axis_inside_a_part_is_found():
    """Independent formula: on the way from 1 to 2 rad the flattest place is at a right angle."""
    low, high = Ellipse(60, 45, 1.0, 2.0).extremes()
    assert low.place == pytest.approx(float(true_length(60, 45, 1.0, mp.pi / 2)), rel=1e-13)
    assert low.curvature == pytest.approx(45 / 3600, rel=1e-14)
    assert high.place == pytest.approx(0.0, abs=1e-12)  # 1 rad is farther from π/2 than 2 rad
    assert high.curvature == pytest.approx(float(true_curvature(60, 45, mp.mpf(1))), rel=1e-12)


@patient
@given(a=axes, b=axes, start=st.floats(-7, 7), run=st.floats(0.1, 6.28))
def test_no_place_is_beyond_the_extremes(a, b, start, run):
    """Independent: 400 places looked at, none tighter or flatter; the named ones are as said."""
    part = Ellipse(a, b, start, start + run)
    low, high = part.extremes()
    t = np.linspace(start, start + run, 400)
    seen = a * b / ((a * np.sin(t)) ** 2 + (b * np.cos(t)) ** 2) ** 1.5
    assert low.curvature <= seen.min() * (1 + 1e-12)
    assert high.curvature >= seen.max() * (1 - 1e-12)
    for extreme in (low, high):
        assert part.curvature(np.clip(extreme.place, 0, part.length)) == pytest.approx(
            extreme.curvature, rel=1e-7
        )


# Offsets ----------------------------------------------------------------------------------------


def test_an_offset_costs_the_turn_whatever_the_shape():
    """Exact by hand: 2π per mm all round, π per mm over the upper half: 23.562 at 7.5 mm."""
    whole, upper = Ellipse(60, 45), Ellipse(60, 45, 0, math.pi)
    offset = np.array([1.0, 7.5, -10.0])
    np.testing.assert_allclose(whole.length_at(offset) - whole.length, FULL_TURN * offset)
    assert upper.length_at(7.5) - upper.length == pytest.approx(7.5 * math.pi, rel=1e-12)
    assert f"{upper.length_at(7.5) - upper.length:.3f}" == "23.562"


@pytest.mark.parametrize(
    ("a", "b", "start", "end", "offset"),
    [
        (60, 45, 0.0, FULL_TURN, 10),
        (60, 45, 0.4, 1.3, 25),
        (60, 45, -0.7, 2.2, -30),
        (45, 60, 1.0, 4.0, -12.5),
    ],
)
def test_length_of_the_parallel_curve(a, b, start, end, offset):
    """Independent formula: the moved points, differentiated and integrated by number."""
    want = float(true_offset_length(a, b, start, end, offset))
    assert float(Ellipse(a, b, start, end).length_at(offset)) == pytest.approx(want, rel=1e-11)


def test_folding_starts_at_the_tightest_place():
    """Exact by hand: 45²/60 = 33.75 mm at the ends of the long axis."""
    whole = Ellipse(60, 45)
    left = whole.length - FULL_TURN * 33.749
    assert whole.length_at(-33.749) == pytest.approx(left, rel=1e-12)
    for offset in (-33.75, -33.8, -60):
        with pytest.raises(ValueError, match=r"bend has a radius of only 33\.75 mm"):
            whole.length_at(offset)
    assert np.isfinite(whole.length_at(1e5))


def test_a_deep_offset_names_the_tightest_place_too():
    """Exact by hand: at 200 mm the flat sides (80 mm) fold as well, but 33.75 mm is the limit."""
    with pytest.raises(ValueError, match=r"radius of only 33\.75 mm; use an offset below that"):
        Ellipse(60, 45).length_at(-200)


def test_a_part_without_the_tight_ends_may_go_deeper():
    """Exact by hand: at 45° the speed² is (60² + 45²)/2 = 2812.5, the radius 2812.5^1.5/2700."""
    crown = Ellipse(60, 45, math.pi / 4, 3 * math.pi / 4)
    limit = 2812.5**1.5 / 2700
    assert f"{limit:.2f}" == "55.24"
    assert crown.length_at(-55.2) == pytest.approx(crown.length - 55.2 * crown.turn, rel=1e-12)
    with pytest.raises(ValueError, match=r"bend has a radius of only 55\.24 mm") as caught:
        crown.length_at(-55.3)
    ends = ("0.0 mm along", f"{crown.length:.1f} mm along")
    assert any(end in str(caught.value) for end in ends)


# What is refused --------------------------------------------------------------------------------


def test_the_whole_is_closed_and_a_part_is_not():
    assert Ellipse(60, 45).closed
    assert Ellipse(60, 45, -math.pi, math.pi).closed
    assert Ellipse(60, 45, math.radians(350), math.radians(710)).closed
    assert not Ellipse(60, 45, 0, math.pi).closed
    assert not Ellipse(60, 45, 0, FULL_TURN - 0.01).closed


@pytest.mark.parametrize("value", [0, -45, math.nan, math.inf])
@pytest.mark.parametrize("name", ["a", "b"])
def test_a_semi_axis_must_be_above_0(name, value):
    sizes = {"a": 60, "b": 45} | {name: value}
    with pytest.raises(ValueError, match=rf"^semi-axis {name} must be a finite length above 0 mm"):
        Ellipse(**sizes)


@pytest.mark.parametrize(
    ("start", "end", "said"),
    [
        (math.pi, 0.0, "180.0 to 0.0 deg"),
        (1.0, 1.0, "57.3 to 57.3 deg"),
        (0.0, math.radians(400), "0.0 to 400.0 deg"),
        (0.0, 180, "0.0 to 10313.2 deg"),
        (-math.pi, math.pi + 1e-6, "-180.0 to 180.0 deg"),
    ],
)
def test_reversed_and_too_long_angles_are_refused(start, end, said):
    with pytest.raises(ValueError, match=f"^end must be above start by .* full turn, got {said}$"):
        Ellipse(60, 45, start, end)


@pytest.mark.parametrize("name", ["start", "end"])
def test_angles_must_be_finite(name):
    with pytest.raises(ValueError, match=f"^{name} must be a finite angle in rad, got nan$"):
        Ellipse(60, 45, **{name: math.nan})


def test_words_and_several_numbers_are_refused_by_name():
    with pytest.raises(TypeError, match=r"^end must be .* read text through foamcalc.units"):
        Ellipse(60, 45, 0, "180 deg")
    with pytest.raises((TypeError, ValueError), match=r"^semi-axis b "):
        Ellipse(60, [45, 46])


def test_a_place_must_be_a_finite_length_on_the_curve():
    part = Ellipse(60, 45, 0, math.pi)
    for ask in (part.curvature, part.heading):
        with pytest.raises(ValueError, match=r"^place must be a finite length in mm, got nan"):
            ask(math.nan)
        for place in (-1.0, part.length + 1.0):
            with pytest.raises(ValueError, match=r"^place must be"):
                ask([0.0, place])


def test_an_ellipse_cannot_be_changed():
    with pytest.raises(dataclasses.FrozenInstanceError):
        Ellipse(60, 45).a = 50
