"""The balance of a section against its energy, integrated by scipy through the thickness."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.foam.section import Layer, settle

HAND = Linear(1.5)
SOFT = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
FIRM = HyperFoam(mu=0.9, alpha=8.0, poisson=0.1)


def flat(thickness: Any, length: Any, law: Any = HAND, width: Any = 1.0) -> Layer:
    return Layer(thickness=thickness, law=law, inner_length=length, width=width)


def formed(thickness: Any, radius: Any, turn: Any, law: Any = HAND, width: Any = 1.0) -> Layer:
    """A layer formed without stress to an inside radius."""
    return Layer(
        thickness=thickness,
        law=law,
        inner_length=np.multiply(radius, turn),
        outer_length=np.multiply(np.add(radius, thickness), turn),
        width=width,
    )


# The independent balance: the energy of the whole section, integrated by scipy.


def energy_and_side(law, stretch, width):
    """Energy per volume as cut and side stretch, from the printed formulas of one term."""
    if isinstance(law, Linear):
        held = width == "held"
        stiffness = law.modulus / (1 - law.poisson**2 if held else 1)
        ratio = law.poisson / (1 - law.poisson if held else 1)
        return stiffness * (stretch - 1) ** 2 / 2, 1 - ratio * (stretch - 1)
    (mu,), (a,), (v,) = law.mu, law.alpha, law.poisson
    beta = v / (1 - 2 * v)
    side = stretch ** (-v if width == "free" else -v / (1 - v))
    other = side if width == "free" else 1.0
    bulk = ((stretch * other * side) ** (-a * beta) - 1) / beta
    return 2 * mu / a**2 * (stretch**a + other**a + side**a - 3 + bulk), side


def energy_of_section(layers, inner, turn, width="free"):
    """Energy of the section and the length at every layer's outer face."""
    total, length, ends = 0.0, inner, []
    for p in layers:
        t, low, high = (float(x) for x in (p.thickness, p.inner_length, p.outer_length))

        def slope(z, state, p=p, t=t, low=low, high=high):
            natural = low + (high - low) * z / t
            energy, side = energy_and_side(p.law, state[0] / natural, width)
            return [turn * side, float(p.width) * natural * energy]

        ode = solve_ivp(slope, (0, t), [length, 0.0], method="DOP853", rtol=1e-12, atol=1e-12)
        length = ode.y[0, -1]
        total += ode.y[1, -1]
        ends.append(length)
    return total, np.array(ends)


STACKS = {
    "pair": [flat(10, 110, SOFT), flat(5, 100, SOFT)],
    "formed base, narrow firm overlay": [
        formed(10, 50, 2.0, SOFT, 30.0),
        flat(5, 105, FIRM, 12.0),
    ],
    "three layers": [flat(6, 100, FIRM), formed(3, 60, 1.7, SOFT), flat(2, 112, FIRM, 0.5)],
    "linear that thins": [flat(5, 105, Linear(1.5, 0.3)), flat(5, 100, Linear(0.9, 0.2))],
    "linear": [formed(10, 50, 2.0, HAND), flat(5, 110, HAND)],
}


@pytest.mark.parametrize("stack", STACKS)
@pytest.mark.parametrize("width", ["free", "held"])
def test_at_rest_the_energy_is_least(stack, width):
    layers = STACKS[stack]
    rest = settle(layers, width=width)
    inner, turn = float(rest.inner_length), float(rest.turn)

    def energy(d_inner, d_turn):
        return energy_of_section(layers, inner + d_inner, turn + d_turn, width)[0]

    step = 0.02  # mm at the inner face; the turn that moves the outer face as much is step/15
    here = energy(0.0, 0.0)
    for a, b in ((step, 0.0), (0.0, step / 15), (step, -step / 15), (step, step / 15)):
        up, down = energy(a, b), energy(-a, -b)
        # independent library: scipy's integrals. The energy is a bowl with its lowest point here:
        # it rises both ways, and the slope vanishes beside the rise.
        assert up > here
        assert down > here
        assert abs(up - down) < 1e-3 * (up + down - 2 * here)


@pytest.mark.parametrize("stack", STACKS)
@pytest.mark.parametrize("width", ["free", "held"])
@pytest.mark.parametrize("turn", [-0.5, 0.0, 2.0])
def test_held_turn_needs_the_moment_that_the_energy_gives(stack, width, turn):
    layers = STACKS[stack]
    held = settle(layers, turn=turn, width=width)
    inner = float(held.inner_length)
    step = 1e-3

    def slope(of_inner, of_turn):
        """Fourth-order central difference of the energy."""
        values = [
            energy_of_section(layers, inner + k * of_inner, turn + k * of_turn, width)[0]
            for k in (-2, -1, 1, 2)
        ]
        return (values[0] - 8 * values[1] + 8 * values[2] - values[3]) / (12 * step)

    # independent library: scipy's integrals
    scale = sum(float(p.width * p.thickness) for p in layers)  # N at a stress of 1 MPa
    assert float(held.turn) == turn
    assert slope(step, 0.0) == pytest.approx(0.0, abs=1e-7 * scale)
    assert float(held.pull) == pytest.approx(0.0, abs=1e-8 * scale)
    assert float(held.moment) == pytest.approx(slope(0.0, step), rel=1e-7, abs=1e-6 * scale)


@pytest.mark.parametrize("stack", STACKS)
def test_strains_and_pulls_follow_from_the_line(stack):
    layers = STACKS[stack]
    rest = settle(layers)
    ends = energy_of_section(layers, float(rest.inner_length), float(rest.turn))[1]
    starts = np.concatenate([[float(rest.inner_length)], ends[:-1]])
    for i, p in enumerate(layers):
        # independent library: scipy's line through the thickness; strain = length/natural - 1
        assert rest.inner_strain[i] == pytest.approx(
            starts[i] / float(p.inner_length) - 1, abs=1e-10
        )
        assert rest.outer_strain[i] == pytest.approx(ends[i] / float(p.outer_length) - 1, abs=1e-10)
        assert float(rest.length(i, 0.0)) == pytest.approx(starts[i], rel=1e-12)
        assert float(rest.length(i, 1.0)) == pytest.approx(ends[i], rel=1e-10)
        assert float(rest.curvature(i, 1.0)) == pytest.approx(float(rest.turn) / ends[i], rel=1e-10)

        def stress(fibre, p=p, i=i):
            natural = p.inner_length + (p.outer_length - p.inner_length) * fibre
            return float(p.law.stress(rest.length(i, fibre) / natural))

        # independent library: scipy's adaptive integral over the thickness
        pull = float(p.thickness) * quad(stress, 0, 1, epsabs=1e-13)[0]
        assert rest.force[i] == pytest.approx(pull, rel=1e-8, abs=1e-10)
