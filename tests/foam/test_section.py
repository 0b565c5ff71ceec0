"""What a glued section does when it is let go: by hand, against its energy, and for any section."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from foamcalc.foam.law import FoamLaw, HyperFoam, Linear, Response
from foamcalc.foam.section import Layer, NoEquilibrium, settle

HAND = Linear(1.5)
SOFT = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
FIRM = HyperFoam(mu=0.9, alpha=8.0, poisson=0.1)
MIXED = HyperFoam(mu=[0.4, 0.2], alpha=[2.0, 6.0], poisson=[0.3, 0.1])
BRITTLE = HyperFoam(mu=0.6, alpha=-0.5, poisson=0.25)
"""Loses its slope at a stretch of 2.3688."""
PI = math.pi


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


# By hand, linear foam ---------------------------------------------------------------------------


@pytest.mark.parametrize("count", [2, 3, 4, 5])
@pytest.mark.parametrize("radius", [60.0, 500.0])
def test_flat_layers_glued_round_a_form_spring_back(count, radius):
    t, turn = 2.0, 1.5
    own = [turn * (radius + (i + 0.5) * t) for i in range(count)]
    rest = settle([flat(t, n) for n in own])
    # exact by hand: with A and H the arithmetic and the harmonic mean of the lengths, the
    # curvature at the middle of the stack keeps 1/(1 + (turn t)**2/(12 A (A - H))) of the form's.
    # Two layers: 3/4 at any radius; thin layers: 1 - 1/count**2, the rule of bent lamination.
    mean, harmonic = math.fsum(own) / count, count / math.fsum(1 / n for n in own)
    kept = 1 / (1 + (turn * t) ** 2 / (12 * mean * (mean - harmonic)))
    middle = (count // 2 - 1, 1.0) if count % 2 == 0 else (count // 2, 0.5)
    left = float(rest.curvature(*middle)) * (radius + count * t / 2)
    assert left == pytest.approx(kept, rel=1e-9)
    assert 1 - left == pytest.approx(1 / count**2, abs=(count * t / radius) ** 2)
    if count == 2:
        assert left == pytest.approx(0.75, rel=1e-10)


def exact_pair(first, second, stretch):
    """Inside radius of two flat layers, plain force and moment balance in exact fractions."""
    lengths = [1 + stretch, Fraction(1)]
    k11 = k12 = k22 = p1 = p2 = Fraction(0)
    low = Fraction(0)
    for t, n in zip((Fraction(first), Fraction(second)), lengths, strict=True):
        high = low + t
        one, two = (high**2 - low**2) / 2, (high**3 - low**3) / 3
        k11, k12, k22 = k11 + t / n, k12 + one / n, k22 + two / n
        p1, p2 = p1 + t, p2 + one
        low = high
    turn = (k11 * p2 - k12 * p1) / (k11 * k22 - k12**2)
    return float((p1 - k12 * turn) / k11 / turn)


@pytest.mark.parametrize(
    ("first", "second", "printed"),
    # exact by hand, rounded to two decimals; the minus sign: bent the other way
    [(5, 5, -141.67), (10, 5, -237.92), (5, 2, -120.47)],
)
def test_flat_pair_with_five_percent_stretch(first, second, printed):
    radius = float(settle([flat(first, 105), flat(second, 100)]).inner_radius)
    assert radius == pytest.approx(printed, abs=0.005)
    assert radius == pytest.approx(exact_pair(first, second, Fraction(5, 100)), rel=1e-9)


@pytest.mark.parametrize(
    ("overlay", "radius", "digits", "ends_apart"),
    [  # worked from the two balances, rounded as given; mouth of half a turn, 100 mm before
        (flat(5, PI * 55), 174.3, 0.05, 159),
        (flat(5, PI * 55, width=0.5), 125, 0.5, None),
        (flat(5, PI * 55, width=0.2), 85, 0.5, None),
        (flat(5, PI * 62.5), 52.0, 0.05, None),
        (flat(5, PI * 62.5 / 1.02), None, None, 115),
    ],
)
def test_overlay_on_a_formed_base_opens_the_shell(overlay, radius, digits, ends_apart):
    layers = [formed(10, 50, PI), overlay]
    rest = settle(layers)
    if radius is not None:
        assert float(rest.inner_radius) == pytest.approx(radius, abs=digits)
    if ends_apart is not None:
        mouth = float(2 * rest.inner_radius * np.sin(rest.turn / 2))
        assert mouth == pytest.approx(ends_apart, abs=0.5)
    assert float(rest.inner_radius) == pytest.approx(radius_by_quad(layers), rel=1e-8)


def radius_by_quad(layers):
    """Inside radius from the two linear balances, integrals by scipy."""
    matrix, right, low = np.zeros((2, 2)), np.zeros(2), 0.0
    for p in layers:
        t, a, b, w = (float(x) for x in (p.thickness, p.inner_length, p.outer_length, p.width))

        def share(z, power, t=t, a=a, b=b, low=low):
            return z**power / (a + (b - a) * (z - low) / t)

        for i in range(2):
            for j in range(2):
                matrix[i, j] += w * quad(share, low, low + t, args=(i + j,))[0]
            right[i] += w * ((low + t) ** (i + 1) - low ** (i + 1)) / (i + 1)
        low += t
    inner, turn = np.linalg.solve(matrix, right)
    return inner / turn


def test_base_only_held_in_the_curve():
    base = flat(10, PI * 55)
    # exact by hand: two flat pieces of one length are flat again
    assert float(settle([base, flat(5, PI * 55)]).turn) == pytest.approx(0.0, abs=1e-9)
    # worked from the two balances, rounded to one decimal: overlay cut to its needed length
    rest = settle([base, flat(5, PI * 62.5)])
    assert float(rest.inner_radius) == pytest.approx(80.8, abs=0.05)


def test_closed_ring_of_two_flat_layers():
    t, turn = 3.0, 2 * math.pi
    rest = settle([flat(t, turn * 51.5), flat(t, turn * 54.5)], turn=turn)
    # exact by hand: force of each layer E t (mean length/n - 1); with mean lengths x and
    # x + turn t the balance is x/n1 + (x + turn t)/n2 = 2, solved by x = n1: own length each
    assert float(rest.inner_length) == pytest.approx(turn * 50, rel=1e-9)
    # exact by hand: each layer is bent from flat: moment E turn t**3/12 (1/n1 + 1/n2)
    moment = 1.5 * turn * t**3 / 12 * (1 / (turn * 51.5) + 1 / (turn * 54.5))
    assert float(rest.moment) == pytest.approx(moment, rel=1e-9)
    assert rest.force == pytest.approx([0.0, 0.0], abs=1e-9)


def test_a_pull_through_the_middle_only_stretches():
    strip = [Layer(thickness=8, law=HAND, inner_length=200, width=50)]
    rest = settle(strip, pull=30.0, moment=30.0 * 4)
    # exact by hand: 30 N over 8 x 50 mm2 x 1.5 MPa is 5 %; a pull at the inner face with its
    # moment about it acts in the middle
    assert float(rest.inner_length) == pytest.approx(210, rel=1e-12)
    assert float(rest.turn) == pytest.approx(0, abs=1e-12)
    assert rest.force == pytest.approx([30 / 50], rel=1e-12)


def test_a_pull_at_the_inner_face_alone_bends_the_other_way():
    strip = [Layer(thickness=8, law=HAND, inner_length=200, width=50)]
    rest = settle(strip, pull=3.0)
    # exact by hand: strain N/(E A) in the middle, curvature -N (t/2)/(E I) over the cut length
    middle, bend = 3 / (1.5 * 400), -3 * 4 / (1.5 * 50 * 8**3 / 12)
    assert float(rest.turn) == pytest.approx(200 * bend, rel=1e-12)
    assert float(rest.length(0, 0.5)) == pytest.approx(200 * (1 + middle), rel=1e-12)


def test_a_moment_bends_a_formed_layer():
    base = [Layer(thickness=10, law=HAND, inner_length=50 * PI, outer_length=60 * PI, width=100)]
    rest = settle(base, moment=70.0)
    # exact by hand: lengths grow by a + b z, strains by that over pi (50 + z); no pull is left and
    # the moment is 70; c_k is the integral of z^k/(50 + z)
    c0 = math.log(60 / 50)
    c1, c2 = 10 - 50 * c0, 50 - 50 * (10 - 50 * c0)
    b = 70.0 * PI / (1.5 * 100) / (c2 - c1**2 / c0)
    assert float(rest.turn) == pytest.approx(PI + b, rel=1e-9)
    assert float(rest.inner_length) == pytest.approx(50 * PI - b * c1 / c0, rel=1e-9)


@dataclass(frozen=True)
class TwoModuli(FoamLaw):
    """Stress in proportion to strain, stiffer in tension."""

    tension: float
    squeeze: float = 1.0

    @property
    def modulus(self) -> float:
        return (self.tension + self.squeeze) / 2

    def unchecked(self, stretch, width):
        slope = np.where(stretch > 1, self.tension, self.squeeze)
        flat_line = np.ones_like(stretch)
        return Response(slope * (stretch - 1), slope, flat_line, 0 * flat_line)


@pytest.mark.parametrize(("ratio", "printed"), [(1.8, 0.573), (2.0, 0.586), (2.8, 0.626)])
@pytest.mark.parametrize("turn", [0.5, 3.0])
def test_fibre_of_a_foam_with_two_moduli(ratio, printed, turn):
    # One sheet of 10 mm, entered as 20 of 0.5 mm, because the law has a kink at the fibre.
    sheets, length = 20, 300.0
    rest = settle([flat(10 / sheets, length, TwoModuli(ratio))] * sheets, turn=turn)
    fibre = (length - float(rest.inner_length)) / turn / 10
    # exact by hand: E_c k**2 = E_t (1 - k)**2, so k = 1/(1 + sqrt(E_c/E_t)), whatever the bend.
    exact = 1 / (1 + math.sqrt(1 / ratio))
    assert exact == pytest.approx(printed, abs=5e-4)
    # Five Gauss points on |x - a| over 0 to 1 miss at most 1/72, so the kink costs the pull up to
    # half the change of modulus x (1/sheets)**2/72; the mean modulus turns that into a height.
    mean = exact + ratio * (1 - exact)
    assert fibre == pytest.approx(exact, abs=(ratio - 1) / 2 / sheets**2 / 72 / mean)


# Against its energy -----------------------------------------------------------------------------


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
@pytest.mark.parametrize("turn", [-0.3, 0.0, 2.0])
def test_loads_are_the_slopes_of_the_energy(stack, width, turn):
    layers = STACKS[stack]
    held = settle(layers, turn=turn, pull=2.0, width=width)
    inner = float(held.inner_length)

    def slope(of_inner, of_turn):
        """Fourth-order central difference of the energy, in steps of 1e-3 mm or rad."""
        values = [
            energy_of_section(layers, inner + k * of_inner, turn + k * of_turn, width)[0]
            for k in (-2, -1, 1, 2)
        ]
        return (values[0] - 8 * values[1] + 8 * values[2] - values[3]) / 0.012

    # independent library: scipy's integrals of the energy as printed
    scale = sum(float(p.width * p.thickness) for p in layers)  # N at a stress of 1 MPa
    assert slope(1e-3, 0.0) == pytest.approx(2.0, abs=1e-7 * scale)
    assert float(held.moment) == pytest.approx(slope(0.0, 1e-3), rel=1e-7, abs=1e-6 * scale)
    freed = settle(layers, moment=held.moment, pull=2.0, width=width)
    # exact by hand: a moment from outside that is all that holds the turn
    assert float(freed.turn) == pytest.approx(turn, abs=1e-9)
    assert float(freed.inner_length) == pytest.approx(inner, rel=1e-10)


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


def shell(law):
    """A formed base of 10 mm with a narrower flat layer of 5 mm that is stretched onto it."""
    return [
        Layer(thickness=10, law=law, inner_length=100.0, outer_length=113.0, width=120),
        Layer(thickness=5, law=law, inner_length=112.0, width=80),
    ]


@pytest.mark.parametrize(("law", "within"), [(HAND, 1e-7), (SOFT, 0.01), (FIRM, 0.01)])
def test_stiffness_is_the_slope_of_the_loads(law, within):
    layers = shell(law)
    rest = settle(layers, pull=15.0, moment=400.0)

    def give(pull: float, moment: float) -> np.ndarray:
        there = settle(layers, pull=15.0 + pull, moment=400.0 + moment)
        back = settle(layers, pull=15.0 - pull, moment=400.0 - moment)
        return np.array([there.inner_length - back.inner_length, there.turn - back.turn]) / 2

    slope = np.linalg.inv(np.column_stack([give(1e-2, 0) / 1e-2, give(0, 0.1) / 0.1]))
    k11, k12, k22 = rest.stiffness
    # independent: differences of settled sections; foam that thins has terms that are left out,
    # a percent at most
    assert [[k11, k12], [k12, k22]] == pytest.approx(slope, rel=within)


# For any section --------------------------------------------------------------------------------

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


# Arrays, and cases without rest -----------------------------------------------------------------


def test_arrays_equal_loops_of_single_cases():
    thickness = np.array([[4.0], [8.0], [12.0]])
    stretch = np.array([0.0, 0.03, 0.08, 0.15])
    widths = np.array([[1.0], [0.5], [0.2]])

    def stack(t, e, w):
        overlay = np.multiply(2.0, 50 + np.asarray(t) + 2.5) / (1 + np.asarray(e))
        return [formed(t, 50, 2.0, SOFT), flat(5, overlay, FIRM, w)]

    together = settle(stack(thickness, stretch, widths))
    assert together.turn.shape == (3, 4)
    assert together.force.shape == (2, 3, 4)
    assert together.failed.shape == (3, 4)
    assert not together.failed.any()
    for i in range(3):
        for j in range(4):
            one = settle(stack(thickness[i, 0], stretch[j], widths[i, 0]))
            # exact: an array is its entries; both stop within 1e-9 of the same stretches
            assert together.turn[i, j] == pytest.approx(float(one.turn), rel=1e-7)
            assert together.inner_length[i, j] == pytest.approx(float(one.inner_length), rel=1e-8)
            assert together.inner_strain[:, i, j] == pytest.approx(one.inner_strain, abs=1e-8)
            assert together.outer_strain[:, i, j] == pytest.approx(one.outer_strain, abs=1e-8)
            assert together.force[:, i, j] == pytest.approx(one.force, abs=1e-7)
            assert together.length(1, 0.3)[i, j] == pytest.approx(
                float(one.length(1, 0.3)), rel=1e-8
            )


def test_arrays_of_loads_are_single_cases_side_by_side():
    layers = STACKS["pair"]
    pulls, moments = np.array([0.0, 1.0, -1.5]), np.array([[0.0], [15.0]])
    rest = settle(layers, pull=pulls, moment=moments)
    assert rest.turn.shape == (2, 3) and rest.stiffness.shape == (3, 2, 3)
    for i, j in np.ndindex(2, 3):
        one = settle(layers, pull=pulls[j], moment=moments[i, 0])
        # independent: one at a time
        assert float(rest.turn[i, j]) == pytest.approx(float(one.turn), rel=1e-9)
        assert rest.stiffness[:, i, j] == pytest.approx(one.stiffness, rel=1e-9)


def hard_pull(length):
    """A thick base, and a thin overlay of a law that gives way at a stretch of 2.3688."""
    return [flat(20, length, HAND), flat(1, 100, BRITTLE, 0.1)]


def test_a_case_past_the_stable_range_is_masked_in_an_array():
    lengths = np.array([105.0, 300.0, 200.0])
    rest = settle(hard_pull(lengths))
    assert rest.failed.tolist() == [False, True, False]
    for name in ("turn", "inner_length", "moment", "pull", "inner_radius"):
        values = getattr(rest, name)
        assert np.ma.getmaskarray(values).tolist() == [False, True, False], name
        assert np.isnan(np.ma.getdata(values)[1]), name
    for name in ("force", "inner_strain", "outer_strain"):
        mask = np.ma.getmaskarray(getattr(rest, name))
        assert mask.tolist() == [[False, True, False]] * 2, name
    for values in (rest.length(1, 0.5), rest.curvature(0, 0.5)):
        assert np.ma.getmaskarray(values).tolist() == [False, True, False]
    for i in (0, 2):
        one = settle(hard_pull(lengths[i]))
        # exact: a neighbour that fails changes nothing
        assert rest.turn[i] == pytest.approx(float(one.turn), rel=1e-7)


def test_a_single_case_past_the_stable_range_is_refused_with_the_place():
    with pytest.raises(
        ValueError,
        match=r"layer 1, inner face: stretch 2\.9\d+ is outside 0\.150 to 2\.369.*HyperF",
    ):
        settle(hard_pull(300.0))


def test_the_stable_range_is_that_of_the_width():
    # exact by hand: a free strip of this law gives way at 2.3688, a held one at 2.4150 (see the
    # tests of the law); this overlay is pulled to about 2.4
    with pytest.raises(
        ValueError, match=r"layer 1, inner face: stretch 2\.4\d+ is outside .* 2\.369"
    ):
        settle(hard_pull(242.0))
    assert 1 + settle(hard_pull(242.0), width="held").inner_strain[1] == pytest.approx(
        2.4, abs=0.014
    )
    with pytest.raises(
        ValueError, match=r"layer 1, inner face: stretch 2\.4\d+ is outside .* 2\.415"
    ):
        settle(hard_pull(244.0), width="held")


def test_a_bend_that_full_steps_would_miss():
    # Nobody bends foam this far; full Newton steps run past the rest of this case and never return.
    law = HyperFoam(mu=0.68, alpha=20.0, poisson=0.3)
    held = settle([flat(10, 100, law), flat(1, 60, law)], turn=-15.0)
    # exact: no pull is left over. Settling stops within 1e-9 of each stretch, which is within
    # alpha x 1e-9 of each stress.
    assert float(held.pull) == pytest.approx(0.0, abs=20e-9 * np.abs(held.force).max())


def test_a_turn_that_cannot_be_held():
    # exact: bent by 30 rad a layer of 5 mm differs by 150 mm between its faces; its 100 mm cannot
    layers = [flat(5, 100, SOFT)]
    with pytest.raises(NoEquilibrium, match=r"no equilibrium found .* section of 1 layers"):
        settle(layers, turn=60.0)
    rest = settle(layers, turn=[0.5, 60.0])
    assert rest.failed.tolist() == [False, True]
    assert np.ma.getmaskarray(rest.moment).tolist() == [False, True]
    assert float(rest.moment[0]) == pytest.approx(float(settle(layers, turn=0.5).moment), rel=1e-7)


# What is left of it the next day ----------------------------------------------------------------


def on_the_form(share: float) -> list[Layer]:
    """A formed base of inside radius 50 and an overlay cut like it, held on the form a while."""
    base = Layer(thickness=10, law=HAND, inner_length=50 * PI, outer_length=60 * PI)
    over = Layer(thickness=5, law=HAND, inner_length=55 * PI)
    return [base, over.relaxed(inner_length=60 * PI, outer_length=65 * PI, share=share)]


@pytest.mark.parametrize(("share", "radius"), [(0.0, 174.3), (0.5, 79.8), (1.0, 50.0)])
def test_stretch_that_has_relaxed_before_release_opens_less(share, radius):
    rest = settle(on_the_form(share))
    # derived check values: 174.3 with nothing forgotten, 79.8 with half; exact by hand: 50 with all
    assert float(rest.inner_radius) == pytest.approx(radius, abs=0.05)


@pytest.mark.parametrize("share", [0.0, 0.25, 1.0])
def test_natural_lengths_creep_by_a_power(share):
    over = on_the_form(share)[1]
    # exact by hand: n^(1 - r) l^r at both faces
    assert float(over.inner_length) == pytest.approx(55 * PI * (60 / 55) ** share, rel=1e-13)
    assert float(over.outer_length) == pytest.approx(55 * PI * (65 / 55) ** share, rel=1e-13)


@pytest.mark.parametrize("name", STACKS)
def test_what_is_all_forgotten_stays_as_it_was_held(name):
    held = settle(STACKS[name], turn=1.5)
    free = settle(held.relaxed(1.0))
    # exact by hand: nothing pulls, so the foam that has thinned keeps its turn too
    within = 1e-10
    assert float(free.turn) == pytest.approx(1.5, rel=within)
    assert float(free.inner_length) == pytest.approx(float(held.inner_length), rel=within)
    assert free.inner_strain == pytest.approx(np.zeros(len(STACKS[name])), abs=within)


def test_a_section_held_keeps_a_share_that_grows():
    layers = STACKS["pair"]
    free, held = settle(layers), settle(layers, turn=1.5)
    turns = [float(settle(held.relaxed(r)).turn) for r in (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)]
    # exact by hand: from the free shape towards the held one, in order
    assert turns[0] == pytest.approx(float(free.turn), rel=1e-10)
    assert turns[-1] == pytest.approx(1.5, rel=1e-10)
    assert (np.diff(turns) > 0.05).all()


def test_a_section_that_was_let_go_keeps_its_shape():
    free = settle(shell(HAND))
    later = settle(free.relaxed(0.5))
    # exact by hand to first order: all strains fade by half, so none is out of balance; the rest
    # is their square
    assert float(later.turn) == pytest.approx(float(free.turn), rel=2e-3)
    assert later.inner_strain == pytest.approx(free.inner_strain / 2, abs=2e-3)


# Bad input --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["thickness", "inner_length", "outer_length", "width"])
@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf, [5.0, 0.0]])
def test_bad_numbers_of_a_layer_are_refused(name, value):
    numbers = {"thickness": 5, "inner_length": 100, "outer_length": 100, "width": 1, name: value}
    with pytest.raises(ValueError, match=rf"layer {name} must be a finite length above 0 mm, got"):
        Layer(law=HAND, **numbers)


def test_layers_of_the_wrong_kind_are_refused():
    with pytest.raises(ValueError, match="layers must hold at least one Layer, got none"):
        settle([])
    with pytest.raises(TypeError, match=r"layers\[1\] must be a Layer, got float"):
        settle([flat(5, 100), 5.0])
    with pytest.raises(TypeError, match=r"layers\[0\] must be a Layer, got str"):
        settle("ab")
    with pytest.raises(TypeError, match=r"layer law must be a foam law such as HyperFoam, got 1.5"):
        flat(5, 100, law=1.5)
    with pytest.raises(TypeError, match=r"layer thickness must be .* got the text '5 mm'"):
        flat("5 mm", 100)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"turn": 1.0, "moment": 5.0}, "give turn or moment, not both"),
        ({"moment": math.nan}, "moment must be a finite moment in N mm, got nan"),
        ({"pull": math.inf}, "pull must be a finite force in N, got inf"),
        ({"turn": math.nan}, "turn must be a finite angle in rad, got nan"),
        ({"width": "wide"}, "width must be one of 'free', 'held', got 'wide'"),
        (
            {"pull": [1.0, 2.0], "moment": [1.0, 2.0, 3.0]},
            r"do not go together: moment \(3,\), pull \(2,\)",
        ),
    ],
)
def test_loads_that_cannot_be_are_refused(said, message):
    with pytest.raises(ValueError, match=message):
        settle(STACKS["pair"], **said)


@pytest.mark.parametrize(
    ("fibre", "words"), [(-0.1, "got -0.1"), (1.1, "got 1.1"), (math.nan, "got nan")]
)
def test_a_height_outside_the_layer_is_refused(fibre, words):
    rest = settle([flat(5, 100)])
    with pytest.raises(ValueError, match=f"fibre must be a number from 0 to 1, {words}"):
        rest.length(0, fibre)
    with pytest.raises(ValueError, match=f"fibre must be a number from 0 to 1, {words}"):
        rest.curvature(0, fibre)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"share": -0.1}, "share must be a number from 0 to 1, got -0.1"),
        ({"share": math.nan}, "share must be a number from 0 to 1, got nan"),
        ({"outer_length": 0.0}, "outer_length must be a finite length above 0 mm"),
    ],
)
def test_a_memory_that_cannot_be_is_refused(wrong, message):
    with pytest.raises(ValueError, match=message):
        flat(5, 100).relaxed(**{"inner_length": 100, "outer_length": 100, "share": 0.5, **wrong})
