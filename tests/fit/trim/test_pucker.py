"""When a strip glued along one line puckers, against the plate equation solved another way.

The constants 1.17, 1.96 and 1.47 belong to a plate whose glued line is clamped and whose side
strain is a quarter of its strain; a line that can turn has about a third of the first.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.linalg import eig
from scipy.optimize import minimize_scalar

from foamcalc.fit.trim.pucker import pucker_constant, pucker_limit

CASES = [((-1, -1), 1.17), ((0, -1), 1.47), ((1, -1), 1.96)]
"""Strains at the glue and at the free edge, and the constant of the trade's rule."""


def collocated(glue, free, poisson, wave, clamped):
    """Lowest load at which a plate 1 wide buckles in waves of this wave number.

    Strong form, ``f'''' - 2 q f'' + q**2 f = load q g f`` with q the wave number squared and g the
    squeeze, asked at Chebyshev points of one polynomial of degree 23; the four edge conditions
    take the place of four of them.
    """
    count, q = 24, wave**2
    points = (1 - np.cos(np.pi * np.arange(count) / (count - 1))) / 2
    powers = [np.polynomial.Chebyshev.basis(j, domain=[0, 1]) for j in range(count)]

    def at(x, order):
        return np.stack([(p.deriv(order) if order else p)(x) for p in powers], axis=-1)

    left = at(points, 4) - 2 * q * at(points, 2) + q**2 * at(points, 0)
    squeeze = -(glue + (free - glue) * points)
    right = q * squeeze[:, None] * at(points, 0)
    zero, one = np.zeros(1), np.ones(1)
    left[0] = at(zero, 0)[0]
    left[1] = at(zero, 1 if clamped else 2)[0]
    left[-2] = (at(one, 2) - poisson * q * at(one, 0))[0]
    left[-1] = (at(one, 3) - (2 - poisson) * q * at(one, 1))[0]
    right[[0, 1, -2, -1]] = 0
    loads = eig(left, right, right=False)
    loads = loads[np.isfinite(loads) & (np.abs(loads.imag) < 1e-6 * np.abs(loads.real))].real
    return float(loads[loads > 1e-6].min())


def from_the_plate_equation(glue, free, poisson, *, clamped=True, around=1.65):
    """C: the lowest load over half waves of about `around` times the width."""
    best = minimize_scalar(
        lambda half: collocated(glue, free, poisson, np.pi / half, clamped),
        bounds=(0.7 * around, 1.4 * around),
        method="bounded",
    )
    return best.fun / (12 * (1 - poisson**2))


@pytest.mark.parametrize(("strains", "rule"), CASES)
def test_constants_of_a_clamped_line(strains, rule):
    found = pucker_constant(at_glue=strains[0], at_free=strains[1], poisson=0.25)
    # independent formula: the trade's constants, to the digits given
    assert found == pytest.approx(rule, abs=0.005)


@pytest.mark.parametrize(("strains", "poisson"), [((-1, -1), 0.25), ((1, -1), 0.1), ((0, -1), 0.4)])
def test_the_plate_equation_solved_another_way(strains, poisson):
    found = pucker_constant(at_glue=strains[0], at_free=strains[1], poisson=poisson)
    # independent calculation: the strong form, by collocation
    assert found == pytest.approx(from_the_plate_equation(*strains, poisson), rel=1e-3)


def test_a_line_that_can_turn_takes_a_third():
    # independent calculation: a long half wave, 30 widths; then only twisting resists,
    # C = 6 (1 - nu)/(12 (1 - nu**2)) = 1/(2 (1 + nu))
    hinged = from_the_plate_equation(-1, -1, 0.25, clamped=False, around=30)
    assert hinged == pytest.approx(1 / (2 * 1.25), rel=0.01)
    ratio = hinged / pucker_constant(at_glue=-1, at_free=-1, poisson=0.25)
    assert 0.33 < ratio < 0.36


def test_only_proportions_and_signs_count():
    one = pucker_constant(at_glue=0.02, at_free=-0.04)
    # exact
    assert pucker_constant(at_glue=0.1, at_free=-0.2) == pytest.approx(one, rel=1e-12)
    assert pucker_constant(at_glue=0.1, at_free=0.2) == math.inf
    assert pucker_constant(at_glue=0.0, at_free=0.0) == math.inf


def test_squeezed_at_the_glue_it_takes_more():
    most = [pucker_constant(at_glue=g, at_free=f) for g, f in ((-1, -1), (-1, 0), (-1, 1))]
    # the free edge is what gives way: the less it is squeezed, the later
    assert most == sorted(most)
    assert most[1] > 5


def sheared(thickness, glue, free, poisson):
    """Squeeze at which a thick plate 1 wide puckers: Reissner and Mindlin, by Ritz.

    Deflection and both rotations on their own, clamped at the line; shear factor 5/6.
    """
    x, w = np.polynomial.legendre.leggauss(20)
    x, w = (x + 1) / 2, w / 2
    terms = [np.polynomial.Polynomial([0, 1]) ** (i + 1) for i in range(6)]
    f, d = np.array([p(x) for p in terms]), np.array([p.deriv()(x) for p in terms])
    n, none = len(terms), np.zeros((6, 20))
    bend = thickness**3 / (12 * (1 - poisson**2))
    shear = 5 / 6 * thickness / (2 * (1 + poisson))
    squeeze = -(glue + (free - glue) * x)
    least = math.inf
    for wave in np.linspace(1.5, 3.0, 16):

        def rows(deflection, along, across):
            return np.vstack([deflection, along, across])

        kx, ky = rows(none, -wave * f, none), rows(none, none, d)
        twist = rows(none, d, wave * f)
        gx, gy = rows(wave * f, -f, none), rows(d, none, -f)
        energy = bend * (
            (kx * w) @ kx.T
            + (ky * w) @ ky.T
            + poisson * ((kx * w) @ ky.T + (ky * w) @ kx.T)
            + (1 - poisson) / 2 * (twist * w) @ twist.T
        ) + shear * ((gx * w) @ gx.T + (gy * w) @ gy.T)
        load = np.zeros((3 * n, 3 * n))
        load[:n, :n] = thickness * wave**2 * (f * w * squeeze) @ f.T
        inverse = np.linalg.inv(np.linalg.cholesky(energy))
        gain = np.linalg.eigvalsh(inverse @ load @ inverse.T)[-1]
        least = min(least, 1 / gain)
    return least


@pytest.mark.parametrize(("strains", "rule"), CASES)
def test_thick_strips_pucker_sooner_than_thin_plates(strains, rule):
    thin = sheared(0.01, *strains, 0.25) / 0.01**2
    # independent calculation: as a thin plate
    assert thin == pytest.approx(rule, abs=0.01)
    for ratio in (0.1, 0.25, 0.4):
        ours = float(pucker_limit(thickness=ratio, width=1, at_glue=strains[0], at_free=strains[1]))
        there = sheared(ratio, *strains, 0.25)
        # independent calculation: on the safe side, by 16 % at most
        assert 0.84 * there < ours < 1.01 * there
    # exact by hand: 0.8 of a thin plate at a quarter
    quarter = pucker_limit(thickness=5, width=20, at_glue=strains[0], at_free=strains[1])
    assert float(quarter) == pytest.approx(0.8 * rule / 16, rel=4e-3)


def test_limits_of_strips_side_by_side():
    found = pucker_limit(thickness=[2, 5, 10], width=20, at_glue=1, at_free=-1)
    # exact by hand: 1.96 x**2/(1 + 4 x**2) with x = 0.1, 0.25, 0.5
    assert found == pytest.approx([1.96 * 0.01 / 1.04, 1.96 * 0.05, 1.96 * 0.125], rel=2e-3)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"thickness": 0.0}, "thickness must be a finite length above 0 mm, got 0.0"),
        ({"width": math.nan}, "width must be .*got nan"),
        ({"at_glue": math.inf}, "at_glue must be a finite number, got inf"),
        ({"poisson": 0.5}, "poisson must be from 0 to below 0.5, got 0.5"),
    ],
)
def test_bad_input_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        pucker_limit(**{"thickness": 5, "width": 20, "at_glue": 1, "at_free": -1, **said})
