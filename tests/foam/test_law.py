"""Foam laws against closed formulas, against the energy they come from, and with bad input."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import mpmath
import numpy as np
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from foamcalc.foam.law import FoamLaw, HyperFoam, Linear, Response

SOFT = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
STIFF_IN_TENSION = HyperFoam(mu=0.5, alpha=8.0, poisson=0.25)
SLIM = HyperFoam(mu=0.5, alpha=8.0, poisson=0.10)
CORK = HyperFoam(mu=0.5, alpha=3.0, poisson=0.0)
TWO = HyperFoam(mu=[0.4, 0.2], alpha=[2.0, 6.0], poisson=[0.3, 0.1])
THREE = HyperFoam(mu=[0.5, 0.1, 0.05], alpha=[1.5, -3.0, 9.0], poisson=[0.4, 0.0, 0.2])
LAWS = [SOFT, STIFF_IN_TENSION, SLIM, CORK, TWO, THREE]
STRETCHES = [0.6, 0.8, 0.95, 1.0, 1.02, 1.2, 1.5]
WIDTHS = ["free", "held"]


# The independent calculation: the energy as printed by Storåkers, differentiated by sympy, the side
# stretch from the condition that the free side carries no stress.


@cache
def derivatives(law):
    """Slopes of the energy over the first and the third stretch, as sympy expressions."""
    first, second, third = sympy.symbols("first second third", positive=True)
    volume = first * second * third
    energy = 0
    for mu, alpha, poisson in zip(law.mu, law.alpha, law.poisson, strict=True):
        a, v = sympy.Rational(str(alpha)), sympy.Rational(str(poisson))
        beta = v / (1 - 2 * v)
        # The limit of (J**(-a b) - 1)/b for b = 0 is -a log J.
        bulk = (volume ** (-a * beta) - 1) / beta if beta else -a * sympy.log(volume)
        powers = first**a + second**a + third**a - 3
        energy += 2 * sympy.Rational(str(mu)) / a**2 * (powers + bulk)
    arguments = (first, second, third)
    return arguments, sympy.diff(energy, first), sympy.diff(energy, third)


@cache
def functions(law, numbers):
    """The two slopes as functions of float ("math") or of many digits ("mpmath")."""
    arguments, along, across = derivatives(law)
    return sympy.lambdify(arguments, along, numbers), sympy.lambdify(arguments, across, numbers)


def independent(law, stretch, width):
    """Stress and side stretch by scipy's root finder."""
    along, across = functions(law, "math")

    def second(side):
        return side if width == "free" else 1.0

    side = brentq(lambda s: across(stretch, second(s), s), 0.2, 5.0, xtol=1e-15, rtol=1e-14)
    return along(stretch, second(side), side), side


def independent_slopes(law, stretch, width):
    """Slopes of stress and side stretch: numerical differentiation in 30 digits."""
    along, across = functions(law, "mpmath")
    start = independent(law, stretch, width)[1]

    def side(x):
        if width == "free":
            return mpmath.findroot(lambda s: across(x, s, s), start)
        return mpmath.findroot(lambda s: across(x, 1, s), start)

    def stress(x):
        s = side(x)
        return along(x, s if width == "free" else 1, s)

    with mpmath.workdps(30):
        return float(mpmath.diff(stress, stretch)), float(mpmath.diff(side, stretch))


# Check values --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("law", "stretch", "expected"),
    [  # exact by hand from the closed formula, rounded to five decimals
        (SOFT, 1.1, 0.13993),
        (SOFT, 1.2, 0.26356),
        (SOFT, 0.8, -0.35853),
        (STIFF_IN_TENSION, 1.1, 0.14968),
        (STIFF_IN_TENSION, 0.8, -0.21793),
        (SLIM, 1.1, 0.13830),
        (SLIM, 0.8, -0.16057),
    ],
)
def test_stress_of_a_free_strip_meets_the_closed_formula(law, stretch, expected):
    assert float(law.stress(stretch)) == pytest.approx(expected, abs=5e-6)


def test_stress_and_side_stretch_at_stretches_with_whole_roots():
    # exact by hand, mu 0.6, alpha 2, nu 1/4: free 0.6/4 (16 - 1/2); held (exponent -2/3)
    # 0.6/8 (64 - 1/4); side stretch 16**(-1/4) free and 8**(-1/3) held
    assert float(SOFT.stress(4.0)) == pytest.approx(2.325, rel=1e-14)
    assert float(SOFT.stress(8.0, "held")) == pytest.approx(4.78125, rel=1e-14)
    assert float(SOFT.side_stretch(16.0)) == pytest.approx(0.5, rel=1e-14)
    assert float(SOFT.side_stretch(8.0, "held")) == pytest.approx(0.5, rel=1e-14)


@pytest.mark.parametrize("law", [SOFT, STIFF_IN_TENSION, SLIM, CORK])
def test_modulus_at_rest_of_one_term(law):
    # exact by hand: E = 2 mu (1 + nu)
    assert law.modulus == pytest.approx(2 * law.mu[0] * (1 + law.poisson[0]), rel=1e-14)


@pytest.mark.parametrize("law", LAWS)
def test_slope_at_rest_is_the_modulus(law):
    shear, bulk = sum(law.mu), 0.0
    for mu, poisson in zip(law.mu, law.poisson, strict=True):
        bulk += 2 * mu * (1 / 3 + poisson / (1 - 2 * poisson))
    # independent formula: E from bulk and shear modulus, E = 9KG/(3K + G); a wide sheet
    # has E/(1 - nu**2) with nu = (3K - 2G)/(2(3K + G))
    modulus = 9 * bulk * shear / (3 * bulk + shear)
    poisson = (3 * bulk - 2 * shear) / (2 * (3 * bulk + shear))
    assert law.modulus == pytest.approx(modulus, rel=1e-13)
    assert float(law.response(1.0).tangent) == pytest.approx(modulus, rel=1e-12)
    assert float(law.response(1.0).side_slope) == pytest.approx(-poisson, abs=1e-12)
    held = law.response(1.0, "held")
    assert float(held.tangent) == pytest.approx(modulus / (1 - poisson**2), rel=1e-12)
    assert float(held.side_slope) == pytest.approx(-poisson / (1 - poisson), abs=1e-12)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("width", WIDTHS)
def test_no_stress_and_no_thinning_at_rest(law, width):
    # exact: a piece as cut carries nothing
    assert float(law.stress(1.0, width)) == pytest.approx(0.0, abs=1e-15)
    assert float(law.side_stretch(1.0, width)) == pytest.approx(1.0, abs=1e-15)


# Against the energy --------------------------------------------------------------------------


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("width", WIDTHS)
def test_stress_and_side_stretch_follow_from_the_energy(law, width):
    answer = law.response(STRETCHES, width)
    for i, stretch in enumerate(STRETCHES):
        # independent library: sympy derivatives, scipy root
        stress, side = independent(law, stretch, width)
        assert answer.stress[i] == pytest.approx(stress, rel=1e-11, abs=1e-13)
        assert answer.side[i] == pytest.approx(side, rel=1e-12)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("width", WIDTHS)
def test_slopes_follow_from_the_energy(law, width):
    answer = law.response(STRETCHES, width)
    for i, stretch in enumerate(STRETCHES):
        # independent library: mpmath differentiation in 30 digits
        tangent, side_slope = independent_slopes(law, stretch, width)
        assert answer.tangent[i] == pytest.approx(tangent, rel=1e-10)
        assert answer.side_slope[i] == pytest.approx(side_slope, rel=1e-10, abs=1e-13)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("width", WIDTHS)
def test_slope_is_the_central_difference_of_the_stress(law, width):
    x, h = np.linspace(0.5, 1.8, 27), 1e-4
    # independent formula: fourth-order central difference; its error is h**4 times the fifth
    # derivative, and rounding over h
    far = law.stress(x + 2 * h, width) - law.stress(x - 2 * h, width)
    near = law.stress(x + h, width) - law.stress(x - h, width)
    assert law.response(x, width).tangent == pytest.approx((8 * near - far) / (12 * h), rel=1e-8)


@pytest.mark.parametrize("width", WIDTHS)
def test_terms_of_one_ratio_add_up(width):
    terms = [(0.3, 2.0), (0.15, 7.0), (0.05, -4.0)]
    whole = HyperFoam([m for m, _ in terms], [a for _, a in terms], [0.2] * 3)
    alone = [HyperFoam(m, a, 0.2).response(STRETCHES, width) for m, a in terms]
    together = whole.response(STRETCHES, width)
    # exact: with one ratio every term thins alike, so stresses and slopes add
    assert together.stress == pytest.approx(sum(x.stress for x in alone), rel=1e-13, abs=1e-15)
    assert together.tangent == pytest.approx(sum(x.tangent for x in alone), rel=1e-13)
    assert together.side == pytest.approx(alone[0].side, rel=1e-14)


@pytest.mark.parametrize("width", WIDTHS)
def test_the_solve_for_the_side_meets_the_closed_formula_as_the_ratios_meet(width):
    nearly = HyperFoam([0.3, 0.2], [2.0, 5.0], [0.2, 0.2 + 1e-9])
    equal = HyperFoam([0.3, 0.2], [2.0, 5.0], [0.2, 0.2])
    # exact in the limit: the two roads through the code agree to the size of the difference
    assert nearly.stress(STRETCHES, width) == pytest.approx(
        equal.stress(STRETCHES, width), rel=1e-8, abs=1e-15
    )


@pytest.mark.parametrize("width", WIDTHS)
def test_foam_with_ratio_zero_never_thins(width):
    # exact by hand, nu = 0: P = 2 mu/(alpha s) (s**alpha - 1), free or held
    expected = [2 * 0.5 / (3 * s) * (s**3 - 1) for s in STRETCHES]
    answer = CORK.response(STRETCHES, width)
    assert answer.stress == pytest.approx(expected, rel=1e-13, abs=1e-15)
    assert np.all(answer.side == 1.0)
    assert np.all(answer.side_slope == 0.0)


term = st.tuples(st.floats(0.05, 2.0), st.floats(1.0, 12.0), st.floats(0.0, 0.45))


@settings(deadline=None)
@given(st.lists(term, min_size=2, max_size=3), st.floats(0.5, 1.8), st.sampled_from(WIDTHS))
def test_the_free_side_of_any_law_carries_no_stress(terms, stretch, width):
    law = HyperFoam(*(list(values) for values in zip(*terms, strict=True)))
    side = float(law.side_stretch(stretch, width))
    other = side if width == "free" else 1.0
    volume = stretch * other * side
    # exact: the slope of the energy over the free side stretch, written out, is 0
    parts = []
    for mu, a, v in terms:
        parts += [2 * mu / a * side**a, -2 * mu / a * volume ** (-a * v / (1 - 2 * v))]
    assert math.fsum(parts) == pytest.approx(0.0, abs=1e-11 * max(abs(x) for x in parts))


# Where the law is stable ---------------------------------------------------------------------


@pytest.mark.parametrize("alpha", [-2.0, -0.5, 0.3, 0.5])
@pytest.mark.parametrize("width", WIDTHS)
def test_stable_range_ends_where_the_slope_is_zero(alpha, width):
    law = HyperFoam(mu=0.6, alpha=alpha, poisson=0.25)
    v = 0.25 if width == "free" else 1 / 3
    # exact by hand: (alpha - 1) s**(alpha - 2) + (alpha v + 1) s**(-alpha v - 2) = 0
    expected = ((1 + alpha * v) / (1 - alpha)) ** (1 / (alpha * (1 + v)))
    low, high = law.stable_range(width)
    assert high == pytest.approx(expected, abs=2e-6)
    # exact: such a law stiffens without end when squeezed, so the search ends at its limit
    assert low == 0.15
    # independent library: mpmath differentiates the stress that follows from the energy
    assert independent_slopes(law, high - 1e-4, width)[0] > 0
    assert independent_slopes(law, high + 1e-4, width)[0] < 0


def test_stable_range_with_both_ends_inside_the_search():
    law = HyperFoam(mu=[1.0, -0.5], alpha=[2.0, 6.0], poisson=[0.2, 0.2])
    for end, inward in zip(law.stable_range(), (1e-4, -1e-4), strict=True):
        # independent library: mpmath on the closed formula in 30 digits
        with mpmath.workdps(30):

            def stress(s):
                return (s**2 - s ** mpmath.mpf("-0.4")) / s - (s**6 - s ** mpmath.mpf("-1.2")) / (
                    6 * s
                )

            place = mpmath.findroot(lambda s: mpmath.diff(stress, s), end + inward)
        assert end == pytest.approx(float(place), abs=2e-6)
    assert law.stable_range()[0] < 1 < law.stable_range()[1]


@pytest.mark.parametrize("law", [SOFT, STIFF_IN_TENSION, SLIM, CORK, TWO, Linear(1.5)])
@pytest.mark.parametrize("width", WIDTHS)
def test_a_law_that_never_softens_is_stable_in_the_whole_search(law, width):
    # exact: with every alpha from 1 up, each part of the slope is positive
    assert law.stable_range(width) == (0.15, 4.0)


# Linear --------------------------------------------------------------------------------------


def test_linear_law_free_and_held():
    law = Linear(1.5, poisson=0.25)
    # exact by hand: 1.5 x 0.1; held 0.15/(1 - 1/16); thickness 1 - 0.25 x 0.1 and 1 - 0.1/3
    assert float(law.stress(1.1)) == pytest.approx(0.15, rel=1e-13)
    assert float(law.stress(1.1, "held")) == pytest.approx(0.16, rel=1e-13)
    assert float(law.side_stretch(1.1)) == pytest.approx(0.975, rel=1e-13)
    assert float(law.side_stretch(1.1, "held")) == pytest.approx(1 - 0.1 / 3, rel=1e-13)
    answer = law.response([0.9, 1.2], "held")
    assert answer.tangent == pytest.approx([1.6, 1.6], rel=1e-13)
    assert answer.side_slope == pytest.approx([-1 / 3, -1 / 3], rel=1e-13)


def test_hyperfoam_starts_as_the_linear_law():
    strain = np.array([-1e-4, 1e-4])
    linear = Linear(SOFT.modulus, poisson=0.25)
    for width in WIDTHS:
        # exact in the limit: they part by the square of the strain
        assert SOFT.stress(1 + strain, width) == pytest.approx(
            linear.stress(1 + strain, width), rel=3e-4
        )


# Shapes --------------------------------------------------------------------------------------


@pytest.mark.parametrize("law", [SOFT, TWO, Linear(1.5, 0.25)])
@pytest.mark.parametrize("width", WIDTHS)
def test_answers_have_the_shape_of_the_stretch(law, width):
    grid = np.linspace(0.7, 1.4, 6).reshape(2, 1, 3)
    answer = law.response(grid, width)
    for name in ("stress", "tangent", "side", "side_slope"):
        values = getattr(answer, name)
        assert values.shape == (2, 1, 3)
        one_by_one = [float(getattr(law.response(x, width), name)) for x in grid.flat]
        # exact: an array is its entries
        assert values.ravel() == pytest.approx(one_by_one, rel=1e-12, abs=1e-15)
    assert np.shape(law.stress(1.1, width)) == ()
    assert law.stress([1.1], width).shape == (1,)
    assert np.all(law.side_stretch(grid, width) == answer.side)


def test_whole_numbers_and_lists_are_stretches():
    assert float(SOFT.stress(4)) == pytest.approx(2.325, rel=1e-14)  # exact by hand, see above
    assert SOFT.stress([1, 4])[1] == float(SOFT.stress(4.0))


def test_numbers_and_lists_of_one_make_the_same_law():
    law = HyperFoam([0.6], np.array([2.0]), (0.25,))
    assert law == SOFT
    assert hash(law) == hash(SOFT)
    assert law.mu == (0.6,)


# Bad input -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (([0.6, 0.1], 2.0, 0.25), r"one value for each term.*'mu': 2, 'alpha': 1, 'poisson': 1"),
        ((0.6, [2.0, 3.0], [0.2, 0.2]), r"one value for each term.*'mu': 1, 'alpha': 2"),
        (([[0.6]], 2.0, 0.25), "mu must be one number or one flat list"),
        (([], [], []), "mu must be a finite stress in MPa, got nothing"),
        ((0.6, 0.0, 0.25), "alpha of term 1 must not be 0"),
        (([0.6, 0.1], [2.0, 0.0], [0.2, 0.2]), "alpha of term 2 must not be 0"),
        ((0.6, 2.0, 0.5), "poisson of term 1 must be from 0 to below 0.5, got 0.5"),
        (([0.6, 0.1], [2.0, 3.0], [0.2, -0.1]), "poisson of term 2 must be .* got -0.1"),
        ((0.0, 2.0, 0.25), "sum of mu must be above 0 MPa, got 0.0"),
        (([0.6, -0.7], [2.0, 3.0], [0.2, 0.2]), "sum of mu must be above 0 MPa, got -0.0?"),
        ((math.nan, 2.0, 0.25), "mu must be a finite stress in MPa, got nan"),
        ((0.6, math.inf, 0.25), "alpha must be a finite number, got inf"),
        (([0.6, 0.1], [2.0, 3.0], [0.2, math.nan]), "poisson must be .* got nan at index 1"),
    ],
)
def test_bad_constants_are_refused(arguments, words):
    with pytest.raises(ValueError, match=words):
        HyperFoam(*arguments)


@pytest.mark.parametrize("constant", ["0.6", True, None, 1j])
def test_constants_that_are_no_numbers_are_refused(constant):
    with pytest.raises(TypeError, match="mu must be a finite stress"):
        HyperFoam(constant, 2.0, 0.25)


@pytest.mark.parametrize("law", [SOFT, TWO, Linear(1.5)])
@pytest.mark.parametrize("question", ["response", "stress", "side_stretch"])
@pytest.mark.parametrize(
    ("stretch", "words"),
    [
        (0.0, "stretch must be a finite number above 0, got 0.0"),
        (-1.0, "stretch must be .* got -1.0"),
        (math.nan, "stretch must be .* got nan"),
        (math.inf, "stretch must be .* got inf"),
        ([1.0, 0.0], "stretch must be .* got 0.0 at index 1"),
    ],
)
def test_bad_stretches_are_refused(law, question, stretch, words):
    with pytest.raises(ValueError, match=words):
        getattr(law, question)(stretch)


@pytest.mark.parametrize("law", [SOFT, Linear(1.5)])
def test_an_unknown_width_is_refused(law):
    with pytest.raises(ValueError, match="width must be one of 'free', 'held', got 'wide'"):
        law.stress(1.1, "wide")
    with pytest.raises(ValueError, match="got 'Held'; did you mean 'held'"):
        law.stress(1.1, "Held")
    with pytest.raises(ValueError, match="width must be one of 'free', 'held', got 'wide'"):
        law.stable_range("wide")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((0.0,), "modulus must be a finite stress above 0 MPa, got 0.0"),
        ((-1.5,), "modulus must be .* got -1.5"),
        ((math.nan,), "modulus must be .* got nan"),
        ((1.5, 0.5), "poisson must be from 0 to below 0.5, got 0.5"),
        ((1.5, -0.1), "poisson must be .* got -0.1"),
        ((1.5, math.nan), "poisson must be a finite number, got nan"),
    ],
)
def test_bad_constants_of_the_linear_law_are_refused(arguments, words):
    with pytest.raises(ValueError, match=words):
        Linear(*arguments)


@dataclass(frozen=True)
class Crumbling(FoamLaw):
    """A law that carries less the more it is pulled, from the start."""

    modulus: float = 1.5

    def unchecked(self, stretch, width):
        flat = np.ones_like(stretch)
        return Response(-self.modulus * (stretch - 1), -self.modulus * flat, flat, 0 * flat)


@pytest.mark.parametrize("width", WIDTHS)
def test_a_law_without_stiffness_at_rest_has_no_stable_range(width):
    with pytest.raises(ValueError, match=r"Crumbling\(.*\) has no positive stiffness at rest"):
        Crumbling().stable_range(width)


def test_a_side_stretch_that_cannot_be_found_is_refused_with_the_place():
    # Squeezed to 0.3, the second term pushes the sides out harder the farther they go.
    law = HyperFoam(mu=[1.0, -0.5], alpha=[2.0, 6.0], poisson=[0.2, 0.1])
    with pytest.raises(ArithmeticError, match=r"HyperFoam.* not found at stretch 0\.3;"):
        law.stress([1.1, 0.3])
