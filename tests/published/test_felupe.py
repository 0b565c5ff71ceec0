"""The foam law and the settled pair against felupe, an independent finite element library.

felupe: A. Dutzler, a Python package for finite element analysis of solid bodies, pypi.org. Its foam
law is differentiated automatically by tensortrax; it shares no line with ours.
"""

from __future__ import annotations

import felupe_pair
import numpy as np
import pytest

from foamcalc.fit.overlay import Overlay
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import HyperFoam
from foamcalc.foam.section import Layer, settle
from foamcalc.shape.curve import Arc

LAWS = {
    "alpha 2": HyperFoam(0.6, 2.0, 0.25),
    "alpha 8": HyperFoam(0.681818, 8.0, 0.1),
    "three terms, one ratio": HyperFoam([0.3, 0.15, 0.05], [2.0, 7.0, -4.0], [0.2] * 3),
    "two terms, two ratios": HyperFoam([0.4, 0.2], [2.0, 6.0], [0.3, 0.1]),
}
STRETCHES = np.array([0.6, 0.8, 0.95, 1.05, 1.2, 1.5])


def felupe_law(law):
    return felupe_pair.foam(law.mu, law.alpha, law.poisson)


@pytest.mark.parametrize("name", LAWS)
@pytest.mark.parametrize("width", ["free", "held"])
def test_law_in_one_direction(name, width):
    law = LAWS[name]
    ours = law.response(STRETCHES, width)
    gradient = np.zeros((3, 3, 1, STRETCHES.size))
    gradient[0, 0, 0] = STRETCHES
    gradient[1, 1, 0] = ours.side if width == "free" else 1.0
    gradient[2, 2, 0] = ours.side
    material = felupe_law(law)
    stress = material.gradient([gradient, None])[0][:, :, 0]
    # independent library: felupe's stress in the direction of pull, and none on the free sides.
    # Tolerance: felupe moves equal stretches apart by the root of the machine's precision, 1.5e-8,
    # before it differentiates; that is worth up to the stiffest slope here times as much.
    blur = np.sqrt(np.finfo(float).eps) * ours.tangent.max()
    assert ours.stress == pytest.approx(stress[0, 0], rel=0, abs=blur)
    assert stress[2, 2] == pytest.approx(np.zeros(STRETCHES.size), abs=blur)

    # independent library: slope along the pull with the free sides giving way
    a = np.einsum("iijj...->ij...", material.hessian([gradient, None])[0])[:, :, 0]
    free = [1, 2] if width == "free" else [2]
    for i in range(STRETCHES.size):
        give = np.linalg.solve(a[np.ix_(free, free)][..., i], a[free, 0, i])
        assert ours.tangent[i] == pytest.approx(a[0, 0, i] - a[0, free, i] @ give, rel=1e-6)
        assert ours.side_slope[i] == pytest.approx(-give[-1], rel=1e-6)


@pytest.mark.parametrize(
    ("name", "base", "overlay", "radius", "stretch"),
    [
        ("alpha 2", 10.0, 5.0, 50.0, 0.10),
        ("alpha 8", 10.0, 5.0, 50.0, 0.10),
        ("two terms, two ratios", 10.0, 5.0, 50.0, 0.10),
        ("alpha 2", 6.0, 4.0, 40.0, 0.15),
    ],
)
def test_change_of_curvature_of_a_pair_let_go(name, base, overlay, radius, stretch):
    law = LAWS[name]
    solved = felupe_pair.solve_pair(
        felupe_law(law), base=base, overlay=overlay, radius=radius, stretch=stretch
    )
    before = 1 / (radius + base / 2)
    # The middle of the arc is a plain bend: one curvature, whichever stretch of it is looked at.
    near, far = solved.curvature(0.1), solved.curvature(0.25)
    assert near - before == pytest.approx(far - before, rel=1e-4)

    pair = settle(
        [
            Layer(thickness=base, law=law, inner_length=radius, outer_length=radius + base),
            Layer(
                thickness=overlay,
                law=law,
                inner_length=(radius + base + overlay / 2) / (1 + stretch),
            ),
        ]
    )
    # independent library: felupe. Promised: 0.1 % of the change of curvature.
    assert float(pair.curvature(0, 0.5)) - before == pytest.approx(near - before, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "base", "overlay", "radius", "stretch", "within", "pull"),
    [
        ("alpha 8", 10.0, 5.0, 50.0, 0.1364, 0.01, 0.02),
        ("alpha 8", 10.0, 5.0, 20.0, 0.30, 0.01, 0.04),
        ("alpha 2", 10.0, 5.0, 20.0, 0.30, 0.01, 0.04),
        ("alpha 8", 10.0, 10.0, 40.0, 0.2222, 0.01, 0.04),
        ("alpha 8", 20.0, 5.0, 20.0, 0.20, 0.01, 0.04),
        ("alpha 8", 10.0, 10.0, 20.0, 0.40, 0.03, 0.14),
        ("alpha 8", 10.0, 10.0, 20.0, 0.10, 0.03, 0.14),
        ("alpha 2", 10.0, 10.0, 20.0, 0.40, 0.03, 0.14),
    ],
)
def test_stretch_and_pull_while_it_is_held(name, base, overlay, radius, stretch, within, pull):
    law = LAWS[name]
    needed = radius + base + overlay / 2
    joint = Overlay.from_curve(
        Arc(radius, np.pi),
        face="inside",
        base=Piece(thickness=base, law=law, width=1, formed=1),
        overlay=Piece(thickness=overlay, law=law, width=1),
        cut=np.pi * needed / (1 + stretch),
    )
    strain, force = felupe_pair.hold_pair(
        felupe_law(law), base=base, overlay=overlay, radius=radius, stretch=1 + stretch
    )
    # independent library: felupe, with the inside of the base held on its form. The squeeze counts:
    # a base that does not give would be off by up to 16 percentage points, 2.3 times the pull.
    assert joint.strain == pytest.approx(strain, abs=within)
    assert float(joint.force()) == pytest.approx(force, rel=pull)
    assert strain < joint.strain + within < joint.rigid_strain + within
