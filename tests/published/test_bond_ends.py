"""The end of a stretched overlay against felupe, an independent finite element library."""

from __future__ import annotations

import felupe_end
import pytest

from foamcalc.fit.ends import End
from foamcalc.foam.bond import end_factors
from foamcalc.foam.grades import foam


def test_a_base_that_does_not_give():
    pull, bend = felupe_end.solve_end(), felupe_end.solve_end(bend=True)
    factors = end_factors()
    # independent library: felupe; three digits are stored, this mesh is good to half a percent
    assert factors.shear == pytest.approx(pull.shear, rel=0.005)
    assert factors.opening == pytest.approx(pull.opening, rel=0.005)
    assert factors.reach == pytest.approx(pull.reach, rel=0.01)
    assert factors.bend_shear == pytest.approx(bend.shear, rel=0.01)
    assert factors.bend_opening == pytest.approx(bend.opening, rel=0.01)


@pytest.mark.parametrize(
    ("softness", "ratio", "model"),
    # on a stored figure, and between four of them
    [(1.0, 1.0, 0.005), (1.0, 2.0, 0.005), (0.25, 4.0, 0.005), (1.4, 1.4, 0.03), (0.05, 0.7, 0.03)],
)
def test_a_base_that_gives(softness, ratio, model):
    pull = felupe_end.solve_end(base=ratio, softness=softness, length=30.0)
    bend = felupe_end.solve_end(base=ratio, softness=softness, length=12.0, bend=True)
    factors = end_factors(softness=softness, thickness_ratio=ratio)
    # independent library: felupe. Stated: within 3 % between the figures.
    assert factors.shear == pytest.approx(pull.shear, rel=model)
    assert factors.opening == pytest.approx(pull.opening, rel=model)
    assert factors.reach == pytest.approx(pull.reach, rel=2 * model)  # the mesh is coarse there
    assert factors.bend_shear == pytest.approx(bend.shear, rel=0.005 + model)
    assert factors.bend_opening == pytest.approx(bend.opening, rel=0.005 + model)


def test_a_smaller_side_strain_changes_no_figure_by_more_than_is_said():
    pull = felupe_end.solve_end(poisson=0.1)
    factors = end_factors()
    # independent library: felupe with 0.1 in the place of 1/3. Stated: shear and opening up to 7 %
    # more, the reach 10 % less.
    assert 1.0 < pull.shear / factors.shear < 1.07
    assert 1.0 < pull.opening / factors.opening < 1.07
    assert 0.90 < pull.reach / factors.reach < 1.0


@pytest.mark.parametrize("strain", [0.05, 0.2])
def test_the_length_to_hold_is_not_short_of_a_hard_pull(strain):
    eva = foam("EVA medium")
    found = felupe_end.reach_of(eva, strain)
    end = End(thickness=1, law=eva, stretch=1 + strain)
    # independent library: felupe at large strain. The figures alone are 15 % short at 20 %; the
    # side strain they are made for puts the hold up to 9 % long at small strain.
    assert 0.99 < end.reach / found < 1.09
