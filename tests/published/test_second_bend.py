"""A base that also bends the other way, against felupe in three dimensions.

Half a turn of radius 150 mm to its middle, 300 mm wide, 10 mm thick, its profile carried along an
arc of a second radius; 5 mm of the same foam lie over all of it, 3 % too short round the bend. A
quarter is meshed with 27-node elements. Compared is how far the mouth opens, mean over the width,
with that of a base that bends one way only: the figures of limits.csv come from other elements.
"""

from __future__ import annotations

from functools import cache

import felupe
import numpy as np
import pytest
from felupe_pair import foam

from foamcalc.fit.rest import at_rest
from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import HyperFoam
from foamcalc.shape.curve import Arc
from foamcalc.tables import look_up

RADIUS, WIDTH, BASE, OVERLAY, STRETCH = 150.0, 300.0, 10.0, 5.0, 0.03
ELEMENTS = (6, 4)
"""Along a quarter turn, across half the width; one through each layer."""


class Short:
    """A law in front of which the overlay is stretched in one direction."""

    x = (np.zeros((3, 3)), np.zeros(0))

    def __init__(self, law, direction, where):
        self.law, self.where = law, where
        self.dyad = np.einsum("i...,j...->ij...", direction, direction)
        self.stretch_by(0.0)

    def stretch_by(self, strain):
        self.volume = np.where(self.where, 1 + strain, 1.0)
        self.before = np.eye(3)[:, :, None, None] + (self.volume - 1) * self.dyad

    def _whole(self, x):
        return [np.einsum("ij...,jk...->ik...", x[0], self.before), None]

    def gradient(self, x):
        stress = self.law.gradient(self._whole(x))[0]
        return [np.einsum("iJ...,jJ...->ij...", stress, self.before) / self.volume, x[-1]]

    def hessian(self, x):
        a = self.law.hessian(self._whole(x))[0]
        return [
            np.einsum("iJkL...,jJ...,lL...->ijkl...", a, self.before, self.before) / self.volume
        ]


def middle(turn, across, second):
    """The middle of the base: a profile carried along an arc."""
    fall = 0 * across if second is None else second - np.sqrt(second**2 - across**2)
    return np.stack([-RADIUS * np.sin(turn), RADIUS * np.cos(turn) - fall, across])


def directions(turn, across, second, step=1e-4):
    """Round the bend, and out of the surface."""
    round_it = middle(turn + step, across, second) - middle(turn - step, across, second)
    along = middle(turn, across + step, second) - middle(turn, across - step, second)
    out = np.cross(round_it, along, axis=0)
    return tuple(v / np.linalg.norm(v, axis=0) for v in (round_it, out))


@cache
def openings(second):
    """Places across half the width [mm], and how far the inside ends move apart there [mm]."""
    grid = felupe.mesh.Grid(
        np.linspace(0, np.pi / 2, ELEMENTS[0] + 1),
        np.linspace(0, WIDTH / 2, ELEMENTS[1] + 1),
        np.array([0.0, BASE, BASE + OVERLAY]),
    )
    mesh = grid.convert(order=2, calc_points=True, calc_midfaces=True, calc_midvolumes=True)
    flat = mesh.points.copy()
    turn, across, height = flat.T
    _, out = directions(turn, across, second)
    out = out * np.sign((out * middle(turn, across, second)).sum())
    mesh.points[:] = (middle(turn, across, second) + out * (height - BASE / 2)).T
    region = felupe.RegionTriQuadraticHexahedron(mesh)
    field = felupe.FieldContainer([felupe.Field(region, dim=3)])
    at = felupe.Field(region, dim=3, values=flat).interpolate()
    law = Short(foam([0.6], [2.0], [0.25]), directions(at[0], at[1], second)[0], at[2] > BASE)
    crown = (turn == 0) & (across == 0) & np.isclose(height, BASE / 2)
    held = {
        "crown": felupe.Boundary(field[0], mask=turn == 0, skip=(0, 1, 1)),
        "middle": felupe.Boundary(field[0], mask=across == 0, skip=(1, 1, 0)),
        "point": felupe.Boundary(field[0], mask=crown, skip=(1, 0, 1)),
    }
    dof0, dof1 = felupe.dof.partition(field, held)
    solid = felupe.SolidBody(law, field)
    for share in (0.5, 1.0):
        law.stretch_by(share * STRETCH)
        felupe.newtonraphson(
            x0=field, items=[solid], dof0=dof0, dof1=dof1, tol=1e-8, maxiter=20, verbose=0
        )
    end = np.flatnonzero(np.isclose(turn, np.pi / 2) & np.isclose(height, 0))
    end = end[np.argsort(across[end])]
    return across[end], -2 * field[0].values[end, 0]


def mean(second):
    places, found = openings(second)
    return np.sum((found[1:] + found[:-1]) / 2 * np.diff(places)) / (WIDTH / 2)


def test_bent_one_way_it_opens_as_the_sum_says():
    """Six elements a quarter turn are 1.5 % stiff; a wide sheet moves up to 3 % less."""
    law = HyperFoam(0.6, 2.0, 0.25)
    piece = Piece(thickness=OVERLAY, law=law, width=WIDTH, formed=1)
    base = Piece(thickness=BASE, law=law, width=WIDTH, formed=1)
    curve = Arc(RADIUS - BASE / 2, np.pi)
    needed = np.pi * (RADIUS + BASE / 2 + OVERLAY / 2)
    cover = Cover(piece=piece, cut_length=needed / (1 + STRETCH))
    rest = at_rest(Shell(base=base, curve=curve, face="inside", covers=(cover,)))
    assert mean(None) == pytest.approx(float(rest.size) - rest.size_before, rel=0.05)


@pytest.mark.parametrize("second", [500, 300, 200])
def test_a_second_bend_takes_off_what_the_table_says(second):
    """Two sets of elements: 2 hundredths of the opening apart at most."""
    row = look_up("limits", "habit", f"opening_left_at_{second}_mm")
    left = mean(float(second)) / mean(None)
    assert 100 * left == pytest.approx(row.value, abs=2.0)
    _, found = openings(float(second))
    _, single = openings(None)
    # the least is in the middle of the width, the most at its edges
    assert 100 * found[0] / single[0] == pytest.approx(row.low, abs=2.0)
    assert 100 * found[-1] / single[-1] == pytest.approx(row.high, abs=2.5)
