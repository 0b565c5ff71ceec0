"""The glued pair for small stretch against the bi-metal strip of Timoshenko.

S. Timoshenko, Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11 (1925) 233-255. Two strips that
would differ in length by the share e, glued: thickness t1 and t2, moduli E1 and E2, h = t1 + t2,
m = t1/t2, n = E1/E2. The formula here is from memory of that paper.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.foam.section import Layer, settle


def bimetal_curvature(e, t1, t2, n=1.0):
    """6 e (1 + m)**2 / (h (3 (1 + m)**2 + (1 + m n)(m**2 + 1/(m n)))) [1/mm]."""
    m, h = t1 / t2, t1 + t2
    return 6 * e * (1 + m) ** 2 / (h * (3 * (1 + m) ** 2 + (1 + m * n) * (m**2 + 1 / (m * n))))


def pair(e, t1, t2, base, overlay, length=100.0):
    """A base that is longer than its overlay by the share e."""
    return settle(
        [
            Layer(thickness=t1, law=base, inner_length=length * (1 + np.asarray(e))),
            Layer(thickness=t2, law=overlay, inner_length=length),
        ]
    )


@pytest.mark.parametrize(
    ("t1", "t2", "radius"),
    # exact by hand from the formula at 5 %, one decimal
    [(5, 5, 133.3), (10, 5, 225.0), (5, 2, 114.3)],
)
def test_arithmetic_of_the_formula(t1, t2, radius):
    assert 1 / bimetal_curvature(0.05, t1, t2) == pytest.approx(radius, abs=0.05)


def test_worked_bimetal_strip():
    """Published: strip of 3000 by 300 mm, both halves alike, 50 K x (10e-6 - 5e-6), tip 5.625 mm.

    J. R. Cho, Hyfeast examples, E.15 "Temperature Load by Bimetal" (jrcho.github.io/Hyfeast),
    read in a stored copy. Its formula is 3 L**2/(4 h) x e. (The page prints the unit "m" once; its
    own elements give 5.67551 mm.)
    """
    e, length, half = 50 * (10e-6 - 5e-6), 3000.0, 150.0
    assert bimetal_curvature(e, half, half) * length**2 / 2 == pytest.approx(5.625, rel=1e-12)
    strip = pair(e, half, half, Linear(1.5), Linear(1.5), length)
    # Clamped at one end, the other end of an arc moves aside by R(1 - cos(turn)).
    tip = -float((1 - np.cos(strip.turn)) / strip.curvature(0, 1.0))
    # Tolerance: the formula leaves out what is smaller by strain, e = 2.5e-4, and by the square of
    # the turn, 0.00375**2/12.
    assert tip == pytest.approx(5.625, rel=e + 0.00375**2 / 12)


LAWS = {
    "linear": (Linear(1.5), Linear(1.5)),
    "base half as stiff": (Linear(0.75), Linear(1.5)),
    "base three times as stiff": (Linear(3.0), Linear(1.0)),
    "hyperfoam": (HyperFoam(0.6, 2.0, 0.25), HyperFoam(0.5, 8.0, 0.1)),
    "several terms": (HyperFoam([0.4, 0.2], [2.0, 6.0], [0.3, 0.1]), HyperFoam(0.6, 2.0, 0.25)),
}


@pytest.mark.parametrize("laws", LAWS)
@pytest.mark.parametrize(("t1", "t2"), [(5.0, 5.0), (10.0, 5.0), (5.0, 2.0), (2.0, 8.0)])
def test_settle_runs_into_the_formula_as_the_stretch_goes_to_nothing(laws, t1, t2):
    base, overlay = LAWS[laws]
    e = np.array([1e-2, 1e-3, 1e-4])
    expected = bimetal_curvature(e, t1, t2, base.modulus / overlay.modulus)
    # the minus sign: the stretched overlay pulls its own side hollow
    apart = -pair(e, t1, t2, base, overlay).curvature(0, 0.5) / expected - 1
    # published formula, exact in the limit; what is left falls with the strain
    assert np.all(np.abs(apart) < 4 * e)
    assert apart[1] / apart[0] == pytest.approx(0.1, rel=0.1)
    assert apart[2] / apart[1] == pytest.approx(0.1, rel=0.01)


def test_a_wide_sheet_runs_into_the_same_formula():
    law, e = HyperFoam(0.6, 2.0, 0.25), 1e-5
    layers = [
        Layer(thickness=10, law=law, inner_length=100 * (1 + e)),
        Layer(thickness=5, law=law, inner_length=100),
    ]
    # exact in the limit: E/(1 - nu**2) in both layers leaves n = 1
    assert -float(settle(layers, width="held").curvature(0, 0.5)) == pytest.approx(
        bimetal_curvature(e, 10, 5), rel=4 * e
    )


def test_formula_is_the_same_seen_from_the_other_face():
    # exact: swapping the strips turns m and n over
    assert math.isclose(bimetal_curvature(0.01, 10, 4, 3.0), bimetal_curvature(0.01, 4, 10, 1 / 3))
