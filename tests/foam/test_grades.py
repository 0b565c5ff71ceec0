"""Grades of foam in the tables, as laws; and the guess from a density, by hand, with its doubts."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from foamcalc.foam import grades
from foamcalc.foam.grades import foam, foam_entries, foam_from_density
from foamcalc.tables import look_up, subjects


@pytest.mark.parametrize("name", subjects("foams"))
def test_every_grade_in_the_table_is_a_law_that_can_be_used(name):
    law, entries = foam(name), foam_entries(name)
    modulus, alpha, poisson = (e.value for e in entries)
    # exact by hand: E = 2 mu (1 + nu)
    assert law.mu == pytest.approx((modulus / (2 + 2 * poisson),), rel=1e-12)
    assert (law.alpha, law.poisson) == ((alpha,), (poisson,))
    assert [(e.quantity, e.unit) for e in entries] == [
        ("modulus", "MPa"),
        ("alpha", "1"),
        ("poisson", "1"),
    ]
    low, high = law.stable_range()
    assert low < 0.8 and high > 1.3


@pytest.mark.parametrize("name", ["EVA meduim", "eva medium", "EVA", ""])
def test_an_unknown_grade_is_refused_with_how_to_choose_one(name):
    choose = r"choose a grade by the weight of a piece.*EVA medium 70 to 140.*kg/m3 \(assumed\)"
    with pytest.raises(ValueError, match=f"unknown foam '{name}'.*{choose}") as caught:
        foam(name)
    assert ("did you mean 'EVA medium'" in str(caught.value)) == (
        name in ("EVA meduim", "eva medium")
    )


def test_a_modulus_in_another_unit_is_refused_not_converted(monkeypatch):
    def in_kilopascal(table, subject, quantity):
        row = look_up(table, subject, quantity)
        return replace(row, unit="kPa") if quantity == "modulus" else row

    monkeypatch.setattr(grades, "look_up", in_kilopascal)
    with pytest.raises(ValueError, match="'kPa'"):
        foam("EVA medium")


# From a density -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "modulus"),
    [
        # exact by hand: a tenth of solid; 20 (0.36 x 0.01), 20 (0.4 x 0.1), 0.1 (1 - 0.2)/0.9, the
        # table's ratio being 0.10
        ({"density": 94, "solid_density": 940, "edge_share": 0.6}, 0.072 + 0.8 + 0.08 / 0.9),
        # exact by hand: all in the edges, the square of the density, 20/400; 0.1 x 0.8/0.95
        ({"density": 47, "edge_share": 1}, 0.05 + 0.08 / 0.95),
    ],
)
def test_edges_faces_and_air_by_hand(given, modulus):
    found = foam_from_density(solid_modulus=20, **given)
    assert found.modulus == pytest.approx(modulus, rel=1e-12)
    assert found.law.modulus == pytest.approx(modulus, rel=1e-12)
    # a known plastic: a factor of two either way
    assert (found.low, found.high) == pytest.approx((modulus / 2, 2 * modulus), rel=1e-12)


def test_an_unknown_plastic_is_far_more_doubtful_than_the_formula():
    found = foam_from_density(100)
    # exact by hand: ln 2 and ln(120/30) in quadrature up, ln 2 and ln(30/7) down
    assert math.log(found.high / found.modulus) == pytest.approx(1.5495, abs=1e-3)
    assert math.log(found.modulus / found.low) == pytest.approx(1.6124, abs=1e-3)


@pytest.mark.parametrize(("density", "grade"), [(45, 0.8), (100, 1.5), (180, 3.0)])
def test_denser_is_stiffer_as_the_grades_are(density, grade):
    # assumed rows of foams.csv: a guess within a factor of two of a guess
    assert grade / 2 < foam_from_density(density).modulus < 2 * grade


def test_every_assumption_is_named():
    said = " ".join(foam_from_density(100).rests_on)
    for words in (
        "guessed from a density of 100 kg/m3, not tested",
        "30 MPa (assumed, 7 to 120)",
        "density of the plastic",
        "edges",
        "air in the cells",
        "alpha 8",
        "poisson 0.10",
    ):
        assert words in said
    assert "20 MPa (your own)" in " ".join(foam_from_density(100, solid_modulus=20).rests_on)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"density": 0}, "density in kg/m3 must be a finite number above 0, got 0.0"),
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
