"""The least squares behind a swatch, against a nested search and against the laws themselves.

Kinds of expected values are named beside them.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize, minimize_scalar
from scipy.stats import norm, t

from foamcalc.foam.law import HyperFoam
from foamcalc.foam.swatch.fitting import _Problem, fit_law
from foamcalc.foam.swatch.law import two_terms
from foamcalc.foam.swatch.points import Parameter, Points, reach, unlikely

SIZES = [1.05, 1.1, 1.2, 0.9]


def stress(stretch, modulus, alpha, poisson):
    """One term, free sides, by the closed formula."""
    mu = modulus / (2 * (1 + poisson))
    return 2 * mu / (alpha * stretch) * (stretch**alpha - stretch ** (-alpha * poisson))


def one_terms(values):
    modulus, alpha, poisson = np.exp(values[0]), values[1], values[2]
    return np.array([[modulus / (2 * (1 + poisson))], [alpha], [poisson]])


def parameters(poisson=0.1, held=0.0):
    return (
        Parameter(start=0.0, low=-5, high=5, scale=0.1),
        Parameter(start=5.0, low=-5, high=40, scale=1.0),
        Parameter(start=poisson, low=0.0, high=0.49, scale=0.05, held=held),
    )


def noisy(seed, off=0.006, share=0.05):
    """Points of modulus 1.5, alpha 8, Poisson's ratio 0.1 that are off in both readings."""
    rng = np.random.default_rng(seed)
    true = np.array([1.04, 1.08, 1.12, 1.16, 1.2, 1.25, 0.93])
    return Points(
        stretch=true + off * rng.standard_normal(true.size),
        stress=stress(true, 1.5, 8.0, 0.1) * (1 + share * rng.standard_normal(true.size)),
        stretch_cov=np.diag(np.full(true.size, off**2)),
        stress_cov=np.diag((share * stress(true, 1.5, 8.0, 0.1)) ** 2),
    )


# The fit ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("modulus", "alpha"), [(1.5, 8.0), (0.4, 2.0), (6.0, 14.0), (2.0, -1.5)])
def test_points_of_a_law_give_the_law_back(modulus, alpha):
    exact = stress(np.array(SIZES), modulus, alpha, 0.1)
    points = Points(
        stretch=SIZES,
        stress=exact,
        stretch_cov=np.diag([1e-5] * 4),
        stress_cov=np.diag((0.02 * exact) ** 2),
    )
    fit = fit_law(points, parameters(), one_terms)
    # exact: with no errors every weight gives the law itself
    assert np.exp(fit.values[0]) == pytest.approx(modulus, rel=1e-4)
    assert fit.values[1] == pytest.approx(alpha, abs=1e-2)
    assert fit.law.stress(SIZES) == pytest.approx(exact, rel=1e-3)
    assert np.abs(fit.residuals).max() < 0.02


@pytest.mark.parametrize("seed", range(4))
def test_errors_in_both_readings_against_a_nested_search(seed):
    points = noisy(seed)
    off_x, off_p = np.sqrt(np.diag(points.stretch_cov)), np.sqrt(np.diag(points.stress_cov))

    def distance(x, p, sx, sp, modulus, alpha):
        """Least squared distance of one point from the curve, by a search along the curve."""

        def at(place):
            return ((x - place) / sx) ** 2 + ((p - stress(place, modulus, alpha, 0.1)) / sp) ** 2

        return minimize_scalar(
            at, bounds=(x - 6 * sx, x + 6 * sx), method="bounded", options={"xatol": 1e-10}
        ).fun

    def whole(values):
        modulus, alpha = np.exp(values[0]), values[1]
        return sum(
            distance(*each, modulus, alpha)
            for each in zip(points.stretch, points.stress, off_x, off_p, strict=True)
        )

    # independent library: Nelder and Mead over a bounded search for each point
    found = minimize(
        whole, [0.3, 6.0], method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-9}
    )
    fit = fit_law(points, parameters(), one_terms)
    sizes = np.sqrt(np.diag(fit.covariance))
    assert np.abs(fit.values[0] - found.x[0]) < 0.01 * sizes[0]
    assert np.abs(fit.values[1] - found.x[1]) < 0.01 * sizes[1]
    assert (fit.residuals**2).sum() == pytest.approx(found.fun, rel=1e-3)
    # exact by hand: 7 points, 2 parameters
    assert fit.left_over == pytest.approx(5)
    assert fit.scatter == pytest.approx(np.sqrt(found.fun / 5), rel=1e-3)


def test_a_noisy_stretch_does_not_make_the_foam_softer():
    both, stress_only = [], []
    for k in range(200):
        points = noisy(100 + k, off=0.012, share=0.02)
        blind = Points(
            stretch=points.stretch,
            stress=points.stress,
            stretch_cov=np.zeros((7, 7)),
            stress_cov=points.stress_cov,
        )
        both.append(fit_law(points, parameters(), one_terms).values[0])
        stress_only.append(fit_law(blind, parameters(), one_terms).values[0])
    # exact: the truth is log 1.5; three standard errors of the mean of 200, seeded
    assert abs(np.mean(both) - np.log(1.5)) < 3 * np.std(both) / np.sqrt(200)
    # exact: noise along the stretch flattens a curve that is fitted to the stress alone
    lower = np.array(both) - stress_only
    assert lower.mean() > 4 * lower.std() / np.sqrt(200)
    assert np.mean(stress_only) < np.log(1.5) - 0.02


def test_the_covariance_is_that_of_many_repeats():
    fits = [fit_law(noisy(500 + k), parameters(), one_terms) for k in range(400)]
    # independent formula: standard deviation over 400 seeded repeats, itself known to 3.5 %;
    # the stated one without the widening by scatter
    for i in (0, 1):
        stated = [np.sqrt(f.covariance[i, i]) / max(f.scatter, 1) for f in fits]
        assert np.mean(stated) == pytest.approx(np.std([f.values[i] for f in fits]), rel=0.12)


def test_a_held_number_widens_the_others_by_as_much_as_they_move_with_it():
    points, step = noisy(3), 0.07
    fit = fit_law(points, parameters(held=step), one_terms)
    firm = fit_law(points, parameters(), one_terms)
    up, down = (fit_law(points, parameters(0.1 + s), one_terms).values for s in (step, -step))
    for i in (0, 1):
        # independent formula: the fit done again with the held number moved either way
        moved = (up[i] - down[i]) / 2
        expected = np.sqrt(firm.covariance[i, i] + moved**2)
        assert np.sqrt(fit.covariance[i, i]) == pytest.approx(expected, rel=0.05)
    # the same; second derivatives, left out in the covariance, are a tenth of it here
    assert fit.covariance[1, 2] == pytest.approx(moved * step, rel=0.12)
    assert fit.covariance[2, 2] == step**2
    assert fit.values[2] == 0.1


def test_readings_that_share_their_error_are_not_counted_twice():
    alone = noisy(5)
    twice = Points(
        stretch=np.repeat(alone.stretch, 2),
        stress=np.repeat(alone.stress, 2),
        stretch_cov=np.kron(alone.stretch_cov, np.ones((2, 2))),
        stress_cov=np.kron(alone.stress_cov, np.ones((2, 2))) + 1e-12 * np.eye(14),
    )
    one, two = (fit_law(p, parameters(), one_terms) for p in (alone, twice))
    # exact: a copy with the very same error tells nothing new
    assert two.values == pytest.approx(one.values, rel=1e-3)
    sizes = [np.sqrt(np.diag(f.covariance))[:2] / max(f.scatter, 1) for f in (one, two)]
    assert sizes[1] == pytest.approx(sizes[0], rel=2e-2)


def test_the_spread_of_an_answer_is_its_slopes_through_the_covariance():
    fit = fit_law(noisy(6), parameters(held=0.02), one_terms)
    (wide,) = fit.spread(lambda law: [np.log(law.modulus)])
    # exact: the logarithm of the modulus is the first parameter
    assert wide == pytest.approx(np.sqrt(fit.covariance[0, 0]), rel=1e-4)


def test_slopes_are_those_of_the_law_itself():
    law = HyperFoam([0.4, 0.1], [8.0, -3.0], [0.1, 0.3])
    x = np.array([1.05, 1.1, 1.2, 1.3, 0.9, 0.7, 0.5])
    answer = law.response(x)
    points = Points(
        stretch=x,
        stress=answer.stress,
        stretch_cov=np.diag(np.full(7, 1e-5)),
        stress_cov=np.diag(np.full(7, 1e-4)),
        side=answer.side[:4],
        side_of=range(4),
        side_cov=np.diag(np.full(4, 1e-4)),
    )
    names = [0.4, 8.0, 0.1, 0.1, -3.0, 0.3]
    free = [Parameter(start=v, low=-20, high=30, scale=abs(v)) for v in names]
    problem = _Problem(points, tuple(free), lambda v: np.reshape(v, (2, 3)).T)
    there = np.concatenate([names, np.linspace(-1, 1, 7)])
    slopes = problem.slopes(there)
    for i in range(there.size):
        step = np.zeros(there.size)
        step[i] = 1e-4 * max(abs(there[i]), 1e-2)
        # independent formula: central differences of the residuals, each through HyperFoam
        expected = (problem.rows(there + step) - problem.rows(there - step)) / (2 * step[i])
        assert slopes[:, i] == pytest.approx(expected, rel=2e-4, abs=2e-4 * abs(expected).max())


def test_two_terms_are_found_again_from_their_own_points():
    truth = HyperFoam([0.42, 0.10], [9.0, -3.0], [0.10, 0.20])
    x = np.array([1.05, 1.1, 1.2, 1.3, 0.9, 0.75, 0.6, 0.5])
    answer = truth.response(x)
    fit = two_terms(
        Points(
            stretch=x,
            stress=answer.stress,
            stretch_cov=np.diag(np.full(8, 1e-9)),
            stress_cov=np.diag((1e-3 * answer.stress) ** 2),
            side=answer.side,
            side_of=range(8),
            side_cov=np.diag(np.full(8, 1e-8)),
        ),
        None,
    )
    # exact: with hardly any error, what is believed beforehand weighs nothing
    assert fit.law.mu == pytest.approx(truth.mu, rel=0.02)
    assert fit.law.alpha == pytest.approx(truth.alpha, rel=0.02)
    assert fit.law.poisson == pytest.approx(truth.poisson, abs=0.01)
    assert fit.law.modulus == pytest.approx(truth.modulus, rel=2e-3)


# Intervals --------------------------------------------------------------------------------------


def test_reach_is_normal_while_scatter_may_be_chance_and_students_where_not():
    # independent library: scipy.stats
    assert reach(1.0, 4) == pytest.approx(norm.ppf(0.95), rel=1e-12)
    assert reach(0.2, 0) == pytest.approx(norm.ppf(0.95), rel=1e-12)
    assert reach(3.0, 4) == pytest.approx(t.ppf(0.95, 4), rel=1e-12)
    # exact: chi-square of 2 degrees of freedom passes x with the chance exp(-x/2)
    assert unlikely(np.sqrt(-np.log(0.099)), 2)
    assert not unlikely(np.sqrt(-np.log(0.101)), 2)
    assert not unlikely(9.0, 0)


# Bad input --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"stretch": [1.05, -1.0]}, "stretch must be a finite number above 0, got -1.0 at index 1"),
        ({"stress": [0.1, np.nan]}, "stress must be a finite stress in MPa"),
        ({"stress": [0.1]}, r"stress must have shape \(2,\), got \(1,\)"),
        ({"stretch_cov": [1e-4, 1e-4]}, r"stretch_cov must have shape \(2, 2\)"),
        ({"side_of": [0], "side": [0.99]}, "side_cov must"),
        (
            {"side_of": [2], "side": [0.99], "side_cov": [[1e-4]]},
            r"side_of must name points from 0 up, got \[2\]",
        ),
    ],
)
def test_points_that_do_not_go_together_are_refused(change, words):
    good = {
        "stretch": [1.05, 1.1],
        "stress": [0.1, 0.2],
        "stretch_cov": np.eye(2) * 1e-5,
        "stress_cov": np.eye(2) * 1e-5,
    }
    with pytest.raises((ValueError, TypeError), match=words):
        Points(**(good | change))
