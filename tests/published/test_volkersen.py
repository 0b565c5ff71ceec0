"""The shear of a lap against Volkersen's values and against the equations themselves.

O. Volkersen, Die Nietkraftverteilung in zugbeanspruchten Nietverbindungen mit konstanten
Laschenquerschnitten, Luftfahrtforschung 15 (1938) 41-47; not opened. For two equal sheets his
formula is (w/2) coth(w/2), from memory; here it is also found from the equations of the lap.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad, solve_bvp

from foamcalc.foam.bond import glue_stiffness, lap_number, lap_profile, lap_shear, peak_factor


def test_values_for_equal_sheets():
    # derived from the formula, four decimals
    assert peak_factor([1, 2, 4]) == pytest.approx([1.0820, 1.3130, 2.0746], abs=5e-5)


def test_short_and_long_laps():
    # exact in the limit: even shear in a short lap, w/2 in a long one
    assert float(peak_factor(0)) == 1.0
    assert float(peak_factor(1e-6)) == pytest.approx(1.0, rel=1e-12)
    assert float(peak_factor(2000)) == pytest.approx(1000, rel=1e-12)


@pytest.mark.parametrize("number", [0.1, 1.0, 4.0, 40.0, 3000.0])
def test_profile(number):
    ends = lap_profile(number, [-0.5, 0.5])
    assert ends == pytest.approx([float(peak_factor(number))] * 2, rel=1e-9)
    mean, _ = quad(
        lambda x: float(lap_profile(number, x)), 0, 0.5, points=[0.5 - min(0.4, 5 / number)]
    )
    # exact: its mean is 1
    assert 2 * mean == pytest.approx(1.0, rel=1e-6)
    with pytest.raises(ValueError, match=r"from -0\.5 to 0\.5"):
        lap_profile(number, 0.6)


@pytest.mark.parametrize("overlap", [8.0, 20.0, 45.0])
def test_a_lap_of_foam_against_a_boundary_value_problem(overlap):
    modulus, thick, pull = 1.5, 5.0, 0.4
    stiffness = float(
        glue_stiffness(
            shear_modulus=0.4, glue_thickness=0.5, foam_shear_modulus=0.6, foam_thickness=thick
        )
    )

    def slopes(x, y):
        """Movement and pull of the upper sheet, then of the lower; the glue hands over shear."""
        shear = stiffness * (y[2] - y[0])
        return np.vstack([y[1] / (modulus * thick), -shear, y[3] / (modulus * thick), shear])

    def ends(start, end):
        """The upper sheet is pulled at the start, the lower at the end; one point is held."""
        return np.array([start[0], start[1] - pull, start[3], end[1]])

    x = np.linspace(0, overlap, 200)
    solved = solve_bvp(slopes, ends, x, np.zeros((4, x.size)), tol=1e-9, max_nodes=20000)
    assert solved.success
    shear = stiffness * (solved.sol(x)[2] - solved.sol(x)[0])
    number = lap_number(overlap=overlap, stiffness=stiffness, modulus=modulus, thickness=thick)
    # independent library: scipy's solve_bvp of both sheets and the glue. The upper sheet is
    # stretched where the lower is not: the shear has its sign from that.
    found = pull / overlap * lap_profile(number, x / overlap - 0.5)
    assert found == pytest.approx(np.abs(shear), rel=1e-6)
    peak = lap_shear(pull=pull, overlap=overlap, number=number)
    assert float(peak) == pytest.approx(np.abs(shear).max(), rel=1e-6)
