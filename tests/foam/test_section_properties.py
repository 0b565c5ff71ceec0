"""What must hold for any section at rest: properties tried on many made-up cases."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.foam.section import Layer, settle

HAND = Linear(1.5)
SOFT = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
FIRM = HyperFoam(mu=0.9, alpha=8.0, poisson=0.1)
MIXED = HyperFoam(mu=[0.4, 0.2], alpha=[2.0, 6.0], poisson=[0.3, 0.1])


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


thicknesses = st.floats(2.0, 12.0)
radii = st.floats(40.0, 400.0)
turns = st.floats(0.2, 3.0)
stretches = st.floats(0.0, 0.15)
laws = st.sampled_from([HAND, SOFT, FIRM, Linear(2.0, 0.3), MIXED])
scales = st.floats(0.2, 5.0)
stacks = st.tuples(thicknesses, thicknesses, radii, turns, stretches, laws, laws)


def stack_of(values, scale=1.0, longer=1.0, widths=(1.0, 0.6)):
    first, second, radius, turn, stretch, law, other = values
    over = turn * (radius + first + second / 2) / (1 + stretch)
    return [
        Layer(
            thickness=scale * first,
            law=law,
            inner_length=scale * longer * turn * radius,
            outer_length=scale * longer * turn * (radius + first),
            width=widths[0],
        ),
        flat(scale * second, scale * longer * over, other, widths[1]),
    ]


def slack(rest):
    """Most that the turns of two settled sections like this one may differ by [rad].

    Settling stops when no stretch moves by more than 1e-9 of itself. Two sections, each with its
    faces off by that in opposite directions, differ in turn by 4e-9 x length over thickness.
    """
    longest = max(float(p.outer_length) for p in rest.layers)
    return 4e-9 * longest / float(sum(p.thickness for p in rest.layers))


@settings(deadline=None)
@given(thicknesses, radii, turns, laws, st.sampled_from(["free", "held"]))
def test_one_layer_keeps_its_own_shape(t, radius, turn, law, width):
    rest = settle([formed(t, radius, turn, law)], width=width)
    # exact: nothing holds it away from the lengths it has on its own
    assert float(rest.turn) == pytest.approx(turn, rel=1e-8)
    assert float(rest.inner_length) == pytest.approx(turn * radius, rel=1e-9)
    assert rest.inner_strain[0] == pytest.approx(0.0, abs=1e-9)
    assert rest.outer_strain[0] == pytest.approx(0.0, abs=1e-9)
    assert float(rest.moment) == pytest.approx(0.0, abs=1e-6)


@settings(deadline=None)
@given(thicknesses, st.integers(2, 4), laws)
def test_equal_flat_layers_stay_flat(t, count, law):
    rest = settle([flat(t, 200.0, law)] * count)
    # exact: they agree already
    assert float(rest.turn) == pytest.approx(0.0, abs=1e-9)
    assert float(rest.inner_length) == pytest.approx(200.0, rel=1e-10)


@settings(deadline=None)
@given(stacks, st.floats(0.1, 0.9))
def test_a_layer_cut_in_two_through_its_thickness_changes_nothing(values, place):
    base, overlay = stack_of(values)
    middle = base.inner_length + (base.outer_length - base.inner_length) * place
    parts = [
        Layer(
            thickness=base.thickness * place,
            law=base.law,
            inner_length=base.inner_length,
            outer_length=middle,
        ),
        Layer(
            thickness=base.thickness * (1 - place),
            law=base.law,
            inner_length=middle,
            outer_length=base.outer_length,
        ),
    ]
    whole, split = settle([base, overlay]), settle([*parts, overlay])
    # exact but for the Gauss points: the same foam, described twice
    assert float(split.turn) == pytest.approx(float(whole.turn), abs=slack(whole))
    assert float(split.inner_length) == pytest.approx(float(whole.inner_length), rel=1e-8)


@settings(deadline=None)
@given(stacks, scales)
def test_size_scales_the_radius(values, scale):
    one, other = settle(stack_of(values)), settle(stack_of(values, scale=scale))
    # exact: everything twice as large turns as far on twice the radius, with the same strains
    assert float(other.turn) == pytest.approx(float(one.turn), abs=slack(other))
    assert float(other.inner_length) == pytest.approx(scale * float(one.inner_length), rel=1e-8)
    assert other.inner_strain == pytest.approx(one.inner_strain, abs=1e-8)


@settings(deadline=None)
@given(stacks, scales)
def test_a_longer_piece_of_the_same_bend_has_the_same_radius(values, longer):
    one, other = settle(stack_of(values)), settle(stack_of(values, longer=longer))
    # exact: turn and length grow together
    assert float(other.turn) == pytest.approx(longer * float(one.turn), abs=slack(other))
    assert float(other.inner_length) == pytest.approx(longer * float(one.inner_length), rel=1e-8)


@settings(deadline=None)
@given(stacks, scales)
def test_only_the_proportion_of_widths_counts(values, scale):
    turn = 1.2 * values[3]
    one = settle(stack_of(values), turn=turn)
    other = settle(stack_of(values, widths=(scale, 0.6 * scale)), turn=turn)
    # exact: same shape, forces in proportion
    assert float(other.inner_length) == pytest.approx(float(one.inner_length), rel=1e-8)
    assert float(other.moment) == pytest.approx(scale * float(one.moment), rel=1e-6, abs=1e-6)
    free, wider = settle(stack_of(values)), settle(stack_of(values, widths=(scale, 0.6 * scale)))
    assert float(wider.turn) == pytest.approx(float(free.turn), abs=slack(free))


@settings(deadline=None)
@given(stacks)
def test_more_stretch_opens_more(values):
    first, second, radius, turn, _, law, other = values
    stretch = np.linspace(0.0, 0.2, 6)
    rest = settle(stack_of((first, second, radius, turn, stretch, law, other)))
    # exact: a shorter overlay pulls the outside shorter
    assert np.all(np.diff(rest.turn) < 0)
    assert np.all(np.diff(rest.inner_radius[rest.inner_radius > 0]) > 0)


@settings(deadline=None)
@given(thicknesses, thicknesses, stretches, laws, laws)
def test_flat_layers_in_the_other_order_bend_the_other_way(first, second, stretch, law, other):
    layers = [flat(first, 100.0 * (1 + stretch), law), flat(second, 100.0, other)]
    one, turned = settle(layers), settle(layers[::-1])
    # exact: the same section seen from the other face
    assert float(turned.turn) == pytest.approx(-float(one.turn), abs=slack(one))
    assert float(turned.inner_length) == pytest.approx(float(one.length(1, 1.0)), rel=1e-8)
    assert turned.inner_strain == pytest.approx(one.outer_strain[::-1], abs=1e-8)
