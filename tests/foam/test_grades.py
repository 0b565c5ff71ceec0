"""Grades of foam in the tables, as laws."""

from __future__ import annotations

from dataclasses import replace

import pytest

from foamcalc.foam import grades
from foamcalc.foam.grades import foam, foam_entries
from foamcalc.tables import look_up, subjects


@pytest.mark.parametrize("name", subjects("foams"))
def test_every_grade_in_the_table_is_a_law_that_can_be_used(name):
    law = foam(name)
    modulus, alpha, poisson = (
        look_up("foams", name, q).value for q in ("modulus", "alpha", "poisson")
    )
    # exact by hand: the law at rest has the modulus of the table, E = 2 mu (1 + nu)
    assert law.modulus == pytest.approx(modulus, rel=1e-12)
    assert law.mu == pytest.approx((modulus / (2 + 2 * poisson),), rel=1e-12)
    assert law.alpha == (alpha,)
    assert law.poisson == (poisson,)
    low, high = law.stable_range()
    assert low < 0.8
    assert high > 1.3


def test_eva_medium():
    # exact by hand: 1.5/(2 x 1.10)
    assert foam("EVA medium").mu == pytest.approx((1.5 / 2.2,), rel=1e-12)
    # derived check value of the law at mu 0.5, alpha 8, poisson .10, to its printed digits
    assert foam("EVA medium").stress(1.1) * 0.5 / (1.5 / 2.2) == pytest.approx(0.13830, abs=6e-6)


def test_the_rows_come_in_order_with_their_basis():
    entries = foam_entries("EVA soft")
    # exact by hand
    assert [e.quantity for e in entries] == ["modulus", "alpha", "poisson"]
    assert [e.unit for e in entries] == ["MPa", "1", "1"]
    assert all(e.basis and e.subject == "EVA soft" for e in entries)


@pytest.mark.parametrize("name", ["EVA meduim", "eva medium", "EVA", ""])
def test_an_unknown_grade_is_refused_with_how_to_choose_one(name):
    choose = r"choose a grade by the weight of a piece.*EVA medium 70 to 140.*kg/m3 \(assumed\)"
    with pytest.raises(ValueError, match=f"unknown foam '{name}'.*{choose}"):
        foam(name)


def test_a_near_miss_is_answered_with_the_name_that_was_meant():
    with pytest.raises(ValueError, match="did you mean 'EVA medium'"):
        foam("EVA meduim")


def test_a_modulus_in_another_unit_is_refused_not_converted(monkeypatch):
    def in_kilopascal(table, subject, quantity):
        row = look_up(table, subject, quantity)
        return replace(row, unit="kPa") if quantity == "modulus" else row

    monkeypatch.setattr(grades, "look_up", in_kilopascal)
    with pytest.raises(ValueError, match="'kPa'"):
        foam("EVA medium")
