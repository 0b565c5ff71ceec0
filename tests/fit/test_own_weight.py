"""A shell that lies on its crown: against an elastica with its own weight, solved by scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from foamcalc.fit.own_weight import lying, mouth_lying
from foamcalc.fit.rest import at_rest
from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import Linear
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc
from foamcalc.shape.profile import chain
from foamcalc.units import GRAVITY

MODULUS, DENSITY, WIDTH, THICK = 1.5, 100.0, 300.0, 10.0
STIFF = MODULUS * WIDTH * THICK**3 / 12
HEAVY = DENSITY * 1e-9 * WIDTH * THICK * GRAVITY
"""N for each mm of length."""


def elastica(radius, turn, *, heavy=HEAVY, stiff=STIFF):
    """Mouth of the arc and heading at its end; it is held level at the crown."""
    length = radius * turn / 2

    def slope(s, u):
        heading, moment = u[2], u[3]
        return np.vstack(
            [
                np.cos(heading),
                np.sin(heading),
                1 / radius - moment / stiff,
                -heavy * (length - s) * np.cos(heading),
            ]
        )

    s = np.linspace(0, length, 100)
    guess = np.vstack([np.sin(s / radius) * radius, s, s / radius, 0 * s])
    found = solve_bvp(
        slope, lambda a, b: np.array([a[0], a[1], a[2], b[3]]), s, guess, tol=1e-8, max_nodes=9000
    )
    assert found.success
    return 2 * found.y[0, -1], found.y[2, -1]


def lies(lengths, *given):
    return float(chain(lengths, lying(lengths, *given)).mouth)


def shell(radius, turn, **base):
    """A formed base whose middle has that radius."""
    piece = Piece(thickness=THICK, law=Linear(MODULUS), width=WIDTH, formed=1, **base)
    return Shell(base=piece, curve=Arc(radius - THICK / 2, turn), face="inside")


@pytest.mark.parametrize(("radius", "turn"), [(100, math.pi), (150, math.pi), (200, 3.0), (250, 2)])
def test_a_chain_lies_as_the_elastica_does(radius, turn):
    """Independent solution. 60 arcs: the opening within 1 % of itself."""
    lengths = np.full(60, radius * turn / 60)
    found = lies(lengths, np.full(60, turn / 60), lengths / STIFF, HEAVY * lengths)
    meant, right = 2 * radius * math.sin(turn / 2), elastica(radius, turn)[0]
    assert found - meant == pytest.approx(right - meant, rel=0.01)


def test_it_opens_by_an_eighth_of_pi_at_each_end_while_it_opens_little():
    """Exact to first order: pi/4 q R^4/EI for half a turn."""
    lengths = np.full(200, 100 * math.pi / 200)
    found = lies(lengths, np.full(200, math.pi / 200), lengths / STIFF, HEAVY * lengths / 100)
    assert found - 200 == pytest.approx(math.pi / 4 * HEAVY / 100 * 100**4 / STIFF, rel=0.01)


@pytest.mark.parametrize("radius", [100, 150, 200])
def test_a_shell_lies_as_the_elastica_does(radius):
    """Independent solution for its middle; its inside lies half a thickness nearer."""
    rest = at_rest(shell(radius, math.pi))
    middle, heading = elastica(radius, math.pi)
    right = middle - THICK * math.sin(heading) - (2 * radius - THICK)
    assert mouth_lying(rest, [DENSITY]) - float(rest.size) == pytest.approx(right, rel=0.01)


def test_a_soft_shell_lies_flat_and_no_part_of_it_below_the_floor():
    """Exact: where the weight would bend it the other way the floor carries it."""
    lengths = np.full(60, 400 * math.pi / 60)
    found = lies(lengths, np.full(60, math.pi / 60), 50 * lengths / STIFF, HEAVY * lengths)
    assert 0.8 * lengths.sum() < found <= lengths.sum()


@pytest.mark.usefixtures("whole_ends")
def test_an_overlay_adds_its_weight_and_far_more_stiffness():
    """Exact by hand: the same sheet in two layers is one of both thicknesses."""
    law = Linear(MODULUS)
    two = Shell(
        base=Piece(thickness=6, law=law, width=WIDTH, formed=1),
        curve=Arc(145, math.pi),
        face="inside",
        covers=(Cover(piece=Piece(thickness=4, law=law, width=WIDTH, formed=1)),),
    )
    one, pair = at_rest(shell(150, math.pi)), at_rest(two)
    assert mouth_lying(pair, [DENSITY, DENSITY]) == pytest.approx(
        mouth_lying(one, [DENSITY]), abs=0.05
    )


def test_an_uneven_shell_rocks_till_its_weight_is_over_its_foot():
    """Exact: a mirror image opens as far."""
    sizes = []
    for way in (1, -1):
        curve = Arcs((100.0, 300.0, 60.0)[::way], (0.2, 2.4, 0.0)[::way])
        base = Piece(thickness=THICK, law=Linear(MODULUS), width=WIDTH, formed=1)
        rest = at_rest(Shell(base=base, curve=curve))
        sizes.append(mouth_lying(rest, [DENSITY]) - float(rest.size))
    assert sizes[0] == pytest.approx(sizes[1], rel=1e-6)
    assert sizes[0] > 1


def test_a_ring_has_no_mouth():
    curve = Arc(50, 2 * math.pi, closed=True)
    rest = at_rest(Shell(base=Piece(thickness=5, law=Linear(1.5)), curve=curve))
    with pytest.raises(ValueError, match="a ring has no mouth"):
        mouth_lying(rest, [DENSITY])
