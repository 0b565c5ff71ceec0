"""What the glue must carry, and what it can: formulas, tests of the maker's own, caps."""

from __future__ import annotations

import math
from datetime import date

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import t as student

from foamcalc.foam import bond
from foamcalc.foam.bond import BondCheck, BondTest, Strength, foam_cap, peel_force
from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.foam.section import Layer

RIGHT = math.pi / 2
EVEN = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)


# The end of an overlay --------------------------------------------------------------------------


def test_an_end_on_a_base_that_does_not_give():
    # derived by other elements than ours, two digits: .80, .57, 2.5 t and 1.33 E t/(12 R)
    factors = bond.end_factors()
    assert float(factors.shear) == pytest.approx(0.80, abs=0.01)
    assert float(factors.opening) == pytest.approx(0.57, abs=0.01)
    assert float(factors.reach) == pytest.approx(2.5, abs=0.1)
    assert float(factors.bend_opening) == pytest.approx(1.33, abs=0.01)


def test_an_end_on_the_same_foam_once_and_twice_as_thick():
    factors = bond.end_factors(softness=1, thickness_ratio=[1, 2])
    # derived by other elements than ours, one digit: .3 and .2; reach 4.9 to 6.2 (our own mesh
    # gives 6.5 for the second, 6.3 at side strain 0.25)
    assert factors.shear == pytest.approx([0.3, 0.3], abs=0.05)
    assert factors.opening == pytest.approx([0.2, 0.2], abs=0.05)
    assert factors.reach == pytest.approx([4.9, 6.2], rel=0.05)


def test_shear_and_opening_are_summed_by_hand():
    given = {"modulus": 1.5, "thickness": 5.0, "curvature": [1 / 60, 0]}
    f = bond.end_factors(softness=1, thickness_ratio=2)
    # exact by hand: E t/(12 R) = 1.5 x 5/(12 x 60) = 0.0104166..., and nothing where it is flat
    bend = np.array([1.5 * 5 / 720, 0])
    shear, opening = bond.end_loads(stress=0.07, softness=1, thickness_ratio=2, **given)
    assert shear == pytest.approx(0.07 * f.shear + bend * f.bend_shear, rel=1e-14)
    assert opening == pytest.approx(0.07 * f.opening + bend * f.bend_opening, rel=1e-14)
    # a flat layer on a convex bend: it wants to open, and its glued face is squeezed
    assert float(f.bend_opening) > 0 > float(f.bend_shear)


def test_stored_figures_are_met_and_join_without_a_step():
    stored = bond.end_factors(softness=[0.25, 1.0], thickness_ratio=[4.0, 0.25])
    # regression: figures of our own finite elements, as stored
    assert stored.shear == pytest.approx([0.492, 0.525], rel=1e-12)
    near = bond.end_factors(softness=1 + np.array([-1e-9, 1e-9]), thickness_ratio=2)
    for figure in near:
        # exact: straight lines (of logarithms) meet at the figures
        assert figure[0] == pytest.approx(figure[1], rel=1e-7)
    even = bond.end_factors(softness=0, thickness_ratio=[0.25, 3, 8])
    # exact: under a base that does not give its thickness does not matter
    assert np.ptp(even.shear) == pytest.approx(0, abs=1e-14)


def test_a_softer_base_eases_the_end_and_lengthens_the_reach():
    factors = bond.end_factors(softness=np.linspace(0, 2, 41), thickness_ratio=1.7)
    # exact in direction: what gives carries less
    assert (np.diff(factors.shear) < 0).all() and (np.diff(factors.opening) < 0).all()
    assert (np.diff(factors.reach) > 0).all()


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"softness": 2.1}, "softness must be from 0 to 2, got 2.1"),
        ({"thickness_ratio": 9}, "thickness ratio must be from 0.25 to 8, got 9"),
        ({"thickness_ratio": [1, 0.2]}, "got 0.2; outside nothing is known"),
        ({"softness": -1}, "softness must be a finite number of 0 or more"),
        ({"softness": math.nan}, "softness must be a finite number"),
    ],
)
def test_no_end_is_guessed(given, message):
    with pytest.raises(ValueError, match=message.replace(".", r"\.")):
        bond.end_factors(**given)


def test_arrays_go_through_with_their_shape():
    shear, _ = bond.end_loads(stress=[[0.05], [0.1]], modulus=1.5, thickness=[2, 5, 10])
    assert shear.shape == (2, 3)
    reach = bond.end_reach(thickness=[2, 5], softness=1, thickness_ratio=[[1], [2]])
    # exact by hand: in proportion to the thickness
    assert reach[:, 1] == pytest.approx(2.5 * reach[:, 0], rel=1e-14)


def test_a_taut_layer_lifts_off_a_hollow_and_hugs_a_bend():
    found = bond.hollow_pull(stress=0.06, thickness=5, curvature=[-1 / 100, 1 / 100])
    # exact by hand: 0.06 x 5/100, balance of a taut strip
    assert found == pytest.approx([0.003, -0.003], rel=1e-14)


# Energy -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("stretch", [0.9, 1.0, 1.05, 1.3])
def test_stored_energy_is_the_area_under_the_curve(stretch):
    expected, _ = quad(lambda s: float(EVEN.stress(s)), 1, stretch, epsabs=1e-13)
    # independent library: scipy's quad
    assert float(bond.stored_energy(EVEN, stretch)) == pytest.approx(expected, rel=1e-9, abs=1e-14)
    # exact by hand: E e**2/2, and 1/(1 - nu**2) of it where the width is held
    linear = Linear(1.5, 0.3)
    half = 1.5 * (stretch - 1) ** 2 / 2
    assert float(bond.stored_energy(linear, stretch)) == pytest.approx(half, rel=1e-12)
    held = float(bond.stored_energy(linear, stretch, "held"))
    assert held == pytest.approx(half / (1 - 0.3**2), rel=1e-12)


def test_peel_demand_is_all_that_comes_free():
    def freed(y):
        """Linear strain of stretch and bend at a height from the middle, E e**2/2."""
        return 1.5 * (0.05 + y / 60) ** 2 / 2

    expected, _ = quad(freed, -2.5, 2.5)
    energy = bond.stored_energy(Linear(1.5), 1.05)
    found = bond.peel_demand(energy=energy, modulus=1.5, thickness=5, curvature=1 / 60)
    # independent: the energy of each fibre, summed by scipy's quad
    assert float(found) == pytest.approx(expected, rel=1e-12)


def test_peel_demand_counts_the_area_that_is_glued():
    foam = HyperFoam(0.6, 2.0, 0.25)
    energy = bond.stored_energy(foam, 1.2)
    side = float(foam.side_stretch(1.2))
    glued = 100.0 * 1.2 * 20.0 * side  # mm2, of a strip cut 100 x 20 x 5 mm
    found = bond.peel_demand(energy=energy, modulus=1.5, thickness=5, area=1.2 * side)
    # exact by hand: all that the strip's volume stored, over the area that comes off
    assert float(found) == pytest.approx(float(energy) * 100 * 20 * 5 / glued, rel=1e-12)


# The maker's own test ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "strength"),
    [
        # exact by hand: 90 N over 30 x 30 mm; 60 N over 25 x 40 mm
        ({"kind": "pull", "forces": (90,), "width": 30, "length": 30}, 0.1),
        ({"kind": "shear", "forces": (60,), "width": 25, "length": 40}, 0.06),
        # exact by hand: 10 N over 25 mm straight up; folded back the same force frees twice as much
        ({"kind": "peel", "forces": (10,), "width": 25, "angle": RIGHT}, 0.4),
        ({"kind": "peel", "forces": (10,), "width": 25, "angle": math.pi}, 0.8),
        ({"kind": "peel", "forces": (10,), "width": 25, "angle": math.pi / 3}, 0.2),
    ],
)
def test_strength_of_one_test(given, strength):
    found = BondTest(**given).strength()
    assert found.value == pytest.approx(strength, rel=1e-12)
    assert (found.low, found.high) == (None, None)  # one test tells nothing of the scatter
    assert found.basis == "your own test" and not found.is_cap
    assert found.unit == {"peel": "N/mm"}.get(given["kind"], "MPa")


def test_range_for_the_next_joint():
    forces = np.array([9.0, 11.0, 10.0, 8.0])
    test = BondTest(kind="peel", forces=forces, width=25, angle=RIGHT, confidence=0.9)
    found = test.strength()
    logs = np.log(forces / 25)
    # independent library: scipy.stats; the range for one more value of a normal sample
    half = student(3).ppf(0.95) * logs.std(ddof=1) * math.sqrt(1 + 1 / 4)
    assert found.value == pytest.approx(math.exp(logs.mean()), rel=1e-12)
    assert found.low == pytest.approx(math.exp(logs.mean() - half), rel=1e-9)
    assert found.high == pytest.approx(math.exp(logs.mean() + half), rel=1e-9)
    assert found.basis == "your own 4 tests"


def test_the_range_holds_the_next_joint_as_often_as_it_says():
    rng = np.random.default_rng(7)
    hits = []
    for _ in range(1500):
        drawn = np.exp(rng.normal(1.0, 0.3, size=4))
        found = BondTest(kind="peel", forces=drawn[:3], width=1, angle=RIGHT).strength()
        hits.append(found.low <= drawn[3] <= found.high)
    # exact: 95 %; 1500 draws scatter by 0.6 %, three times that is allowed
    assert np.mean(hits) == pytest.approx(0.95, abs=0.017)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"kind": "peel", "forces": (9,), "width": 25}, "a peel test needs its angle"),
        ({"kind": "pull", "forces": (9,), "width": 25}, "a pull test needs its length"),
        (
            {"kind": "pull", "forces": (9,), "width": 25, "length": 20, "angle": 1.0},
            "and has no angle",
        ),
        ({"kind": "peel", "forces": (), "width": 25, "angle": 1.0}, "forces .* got nothing"),
        ({"kind": "peel", "forces": (9, -1), "width": 25, "angle": 1.0}, "-1.0 at index 1"),
        ({"kind": "peel", "forces": (9,), "width": 25, "angle": 90}, "up to half a turn"),
        ({"kind": "peal", "forces": (9,), "width": 25, "angle": 1.0}, "did you mean 'peel'"),
        (
            {"kind": "peel", "forces": (9,), "width": 25, "angle": 1.0, "confidence": 1.0},
            "confidence must be above 0 and below 1",
        ),
    ],
)
def test_a_faulty_test_is_refused(given, message):
    with pytest.raises(ValueError, match=message):
        BondTest(**given)


@pytest.mark.parametrize("angle", [RIGHT, math.pi, 1.0])
def test_the_weight_to_hang_asks_as_much_as_the_joint(angle):
    force = float(peel_force(demand=0.0112, width=25, angle=angle))
    # exact: a test that lets go at that force has just the strength asked for
    test = BondTest(kind="peel", forces=(force,), width=25, angle=angle)
    assert test.strength().value == pytest.approx(0.0112, rel=1e-12)


# Verdicts ---------------------------------------------------------------------------------------

SURE = Strength(kind="peel", value=0.4, low=0.3, high=0.5, basis="invented")
ONE = Strength(kind="peel", value=0.4, basis="invented")


@pytest.mark.parametrize(
    ("strength", "demand", "verdict"),
    [
        (SURE, 0.3, "holds"),
        (SURE, 0.31, "may lift"),
        (SURE, 0.5, "may lift"),
        (SURE, 0.51, "wants to lift"),
        (ONE, 0.4, "holds"),
        (ONE, 0.41, "wants to lift"),
        (foam_cap("peel", 0.4), 0.39, "may lift"),  # a cap never says that it holds
        (foam_cap("peel", 0.4), 0.41, "wants to lift"),
        (foam_cap("peel", 0.4), -0.1, "holds"),  # pressed together
    ],
)
def test_verdicts(strength, demand, verdict):
    # exact by hand
    check = BondCheck(demand=demand, strength=strength)
    assert check.verdict == verdict
    assert check.ratio == pytest.approx(demand / 0.4, rel=1e-14)
    assert check.basis == strength.basis


def test_a_cap_says_that_it_is_assumed():
    cap = foam_cap("pull", 0.8)
    assert cap.is_cap and cap.unit == "MPa"
    assert cap.describe() == "pull at most 0.8 MPa, foam's own strength (assumed)"


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"low": 0.3, "high": None}, "both ends"),
        ({"low": 0.5, "high": 0.3}, "must rise"),
        ({"low": None, "high": None, "value": 0.0}, "above 0"),
    ],
)
def test_a_faulty_strength_is_refused(given, message):
    with pytest.raises(ValueError, match=message):
        Strength(**{"kind": "peel", "value": 0.4, "basis": "invented", **given})


@pytest.mark.parametrize(
    "ask",
    [
        lambda two, three: bond.end_factors(softness=two, thickness_ratio=three),
        lambda two, three: bond.end_loads(stress=two, modulus=1.5, thickness=three),
        lambda two, three: bond.end_loads(stress=two, modulus=1.5, thickness=5, softness=three),
        lambda two, three: bond.end_reach(thickness=two, softness=three),
        lambda two, three: bond.hollow_pull(stress=two, thickness=three, curvature=-0.01),
        lambda two, three: bond.peel_demand(energy=two, modulus=1.5, thickness=three),
        lambda two, three: peel_force(demand=two, width=three),
    ],
)
def test_arrays_that_do_not_go_together_are_named_with_their_shapes(ask):
    """Common practice: the words are the house's own, not numpy's."""
    with pytest.raises(ValueError, match=r"do not go together: .*\(2,\), .*\(3,\)"):
        ask(np.array([0.5, 1.0]), np.array([1.0, 1.5, 2.0]))


@pytest.mark.parametrize("wrong", [[1, 2], b"x", None, date(2020, 1, 1), 10**400, "eva"])
def test_what_is_no_law_or_no_number_is_refused_in_words(wrong):
    """Common practice."""
    for ask in (
        lambda: bond.stored_energy(wrong, 1.1),
        lambda: Layer(thickness=5, law=wrong, inner_length=100),
        lambda: HyperFoam.from_modulus(wrong, alpha=2, poisson=0.2),
        lambda: HyperFoam.from_modulus(1.5, alpha=2, poisson=wrong),
        lambda: BondCheck(demand=0.1, strength=wrong),
    ):
        with pytest.raises(TypeError, match="must be"):
            ask()


def test_a_bend_tighter_than_three_thicknesses_is_refused():
    """Derived: the figures for the ends hold for gentle bends, radius from 3 t up."""
    bond.end_loads(stress=0.07, modulus=1.5, thickness=5, curvature=[1 / 15, -1 / 15])
    with pytest.raises(ValueError, match="bent to a radius of 3 times its thickness at least"):
        bond.end_loads(stress=0.07, modulus=1.5, thickness=5, curvature=[1 / 60, -1 / 14])
