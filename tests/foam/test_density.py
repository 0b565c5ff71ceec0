"""A modulus from density: the formula by hand, its doubts, and that it says it is a guess.

Kinds of expected values are named beside them.
"""

from __future__ import annotations

import math

import pytest

from foamcalc.foam.density import foam_from_density
from foamcalc.foam.layer import Layer
from foamcalc.foam.section import settle


def test_the_three_parts_by_hand():
    found = foam_from_density(94.0, solid_modulus=20.0, solid_density=940.0, edge_share=0.6)
    # exact by hand: a tenth of solid; 20 (0.36 x 0.01), 20 (0.4 x 0.1), 0.1 (1 - 0.2)/0.9, the
    # table's ratio being 0.10
    assert found.parts == pytest.approx((0.072, 0.8, 0.0888889), rel=1e-6)
    assert found.modulus == pytest.approx(0.9608889, rel=1e-6)
    assert found.law.modulus == pytest.approx(found.modulus, rel=1e-12)
    # a known plastic: a factor of two either way
    assert found.low == pytest.approx(found.modulus / 2, rel=1e-12)
    assert found.high == pytest.approx(2 * found.modulus, rel=1e-12)


def test_open_cells_and_no_faces_bend_only():
    found = foam_from_density(47.0, solid_modulus=20.0, edge_share=1.0)
    # exact by hand: all in the edges, square of the density: 20/400
    assert found.parts[:2] == pytest.approx((0.05, 0.0), abs=1e-12)


def test_an_unknown_plastic_is_far_more_doubtful_than_the_formula():
    found = foam_from_density(100.0)
    # exact by hand: ln 2 and ln(120/30) in quadrature up, ln 2 and ln(30/7) down
    assert math.log(found.high / found.modulus) == pytest.approx(1.5495, abs=1e-3)
    assert math.log(found.modulus / found.low) == pytest.approx(1.6124, abs=1e-3)


def test_denser_is_stiffer_in_the_order_of_the_grades():
    soft, medium, firm = (foam_from_density(d).modulus for d in (45, 100, 180))
    assert soft < medium < firm
    # assumed rows of foams.csv: 0.8, 1.5 and 3.0 MPa; a guess within a factor of two of a guess
    for found, grade in ((soft, 0.8), (medium, 1.5), (firm, 3.0)):
        assert grade / 2 < found < 2 * grade


def test_every_assumption_is_named_and_the_guess_is_flagged():
    found = foam_from_density(100.0)
    assert found.assumed is True
    said = " ".join(found.rests_on)
    for word in ("guessed from a density of 100 kg/m3, not tested", "30 MPa (assumed, 7 to 120)"):
        assert word in said
    for word in ("density of the plastic", "edges", "air in the cells", "alpha 8", "poisson 0.10"):
        assert word in said
    assert "20 MPa (your own)" in " ".join(foam_from_density(100.0, solid_modulus=20).rests_on)
    table = found.table()
    assert table["value [MPa]"].iloc[3] == pytest.approx(table["value [MPa]"].iloc[:3].sum())
    assert set(table["basis"]) == {"assumed"}


def test_the_guess_can_be_used_by_a_section():
    law = foam_from_density(100.0).law
    pair = settle(
        [
            Layer(thickness=5, law=law, inner_length=105),
            Layer(thickness=5, law=law, inner_length=100),
        ]
    )
    # exact by hand for a linear law: -141.67 mm whatever the modulus; foam within a tenth
    assert float(pair.inner_radius) == pytest.approx(-141.67, rel=0.1)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"density": 0}, "density in kg/m3 must be a finite number above 0, got 0.0"),
        ({"density": -5}, "density in kg/m3 must be a finite number above 0"),
        ({"density": math.inf}, "density in kg/m3 must be a finite number above 0"),
        ({"density": 900}, "at most 30% of the plastic's 940 kg/m3 for this formula, got 900"),
        ({"density": 100, "solid_modulus": 0}, "solid_modulus must be a finite stress above 0 MPa"),
        ({"density": 100, "solid_density": 0}, "solid_density in kg/m3 must be a finite number"),
        ({"density": 100, "edge_share": 70}, "edge_share must be a number from 0 to 1, got 70"),
        ({"density": 100, "grade": "EVA meduim"}, "did you mean 'EVA medium'"),
    ],
)
def test_bad_numbers_are_refused(arguments, words):
    with pytest.raises(ValueError, match=words.replace(".", r"\.")):
        foam_from_density(**arguments)
