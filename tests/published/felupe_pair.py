"""A glued pair of foam layers solved with felupe, an independent finite element library.

Half of the arc is meshed, from its middle to a free end, with nine-node elements in plane stress (a
narrow strip); a pair still on its form is a quarter of a ring between mirror planes. The base is
free of stress in its formed shape, which is also the shape of the mesh. The overlay was flat when
it was cut: the map from its flat shape to the mesh, layer by layer of its thickness, is known
exactly, and its gradient goes in front of the gradient that felupe computes on the mesh. Stress
comes from felupe's own foam law by automatic differentiation; the stretch across the width follows
from no stress across the width.
"""

from __future__ import annotations

from dataclasses import dataclass

import felupe
import felupe.constitution.tensortrax as models
import numpy as np


def foam(mu, alpha, poisson):
    """felupe's foam law in three dimensions; lists, one entry a term."""
    beta = [v / (1 - 2 * v) for v in poisson]
    return models.Hyperelastic(
        models.models.hyperelastic.storakers, mu=list(mu), alpha=list(alpha), beta=beta
    )


class PlaneStress:
    """A law in three dimensions made plane: no stress across the width, from a natural shape.

    `shape` is that of the integration points: points in an element, elements.
    """

    def __init__(self, law, shape):
        self.law, self.across = law, np.ones(shape)
        self.set_before(np.ones(shape), np.zeros((2, *shape)))

    def set_before(self, stretch, direction):
        """Map from the natural shape to the mesh: a stretch in a direction of the plane."""
        dyad = np.einsum("i...,j...->ij...", direction, direction)
        self.before = np.eye(2)[:, :, None, None] + (stretch - 1) * dyad
        self.volume = stretch

    def _whole(self, gradient):
        """The gradient in three dimensions, its width relaxed by Newton's method."""
        whole = np.zeros((3, 3, *self.across.shape))
        whole[:2, :2] = np.einsum("ij...,jk...->ik...", gradient, self.before)
        for _ in range(25):
            whole[2, 2] = self.across
            stress = self.law.gradient([whole, None])[0][2, 2]
            if np.abs(stress).max() < 1e-12:
                return whole
            self.across = self.across - stress / self.law.hessian([whole, None])[0][2, 2, 2, 2]
        raise ArithmeticError("the stretch across the width was not found")

    def gradient(self, x):
        whole = self._whole(x[0])
        stress = self.law.gradient([whole, None])[0][:2, :2]
        return [np.einsum("iJ...,jJ...->ij...", stress, self.before) / self.volume, x[-1]]

    def hessian(self, x):
        a = self.law.hessian([self._whole(x[0]), None])[0]
        plane = (
            a[:2, :2, :2, :2]
            - np.einsum("ij...,kl...->ijkl...", a[:2, :2, 2, 2], a[2, 2, :2, :2]) / a[2, 2, 2, 2]
        )
        return [
            np.einsum("iJkL...,jJ...,lL...->ijkl...", plane, self.before, self.before) / self.volume
        ]


@dataclass(frozen=True)
class SolvedPair:
    """Where the mesh came to rest."""

    angle: np.ndarray
    """Angle of the points along the middle of the base on the mesh [rad], from the middle."""
    place: np.ndarray
    """Where those points came to rest [mm], shape (points, 2)."""

    def curvature(self, angle):
        """Curvature of the middle of the base from the arc's middle to a mesh angle [1/mm].

        Circle through the middle, the point at that angle and its mirror image.
        """
        i = int(np.argmin(np.abs(self.angle - angle)))
        x, y = self.place[i] - self.place[0]
        return -2 * y / (x**2 + y**2)


def mesh_of(base, overlay, radius, half_turn, through, along):
    """Nine-node mesh of half the arc in the formed shape, with angle and radius of each point."""
    heights = [np.linspace(0, base, through[0] + 1)]
    heights.append(base + np.linspace(0, overlay, through[1] + 1)[1:])
    grid = felupe.mesh.Grid(np.linspace(0, half_turn, along + 1), radius + np.concatenate(heights))
    mesh = grid.convert(order=2, calc_points=True, calc_midfaces=True)
    angle, r = mesh.points.T.copy()
    mesh.points[:] = np.column_stack([r * np.sin(angle), r * np.cos(angle)])
    return mesh, angle, r


def solve_pair(
    law, *, base, overlay, radius, stretch, half_turn=1.0, through=(4, 2), along=24, steps=5
):
    """Let a pair go: thicknesses base and overlay, inside radius of the base, overlay stretch.

    The overlay was cut flat, turn x (radius + base + overlay/2)/(1 + stretch) long. `through` and
    `along` count elements: through base and overlay, and along half the arc. The stretch is brought
    on in `steps`.
    """
    mesh, angle, r = mesh_of(base, overlay, radius, half_turn, through, along)
    region = felupe.RegionBiQuadraticQuad(mesh)
    field = felupe.FieldContainer([felupe.Field(region, dim=2)])

    x, y = felupe.Field(region, dim=2, values=mesh.points).interpolate()
    distance = np.hypot(x, y)
    round_the_arc = np.stack([y, -x]) / distance
    # A length c a at the mesh angle a, in the flat overlay, became distance x a on the mesh.
    cut = (radius + base + overlay / 2) / (1 + stretch)
    wanted = np.where(distance > radius + base, distance / cut, 1.0)

    material = PlaneStress(law, wanted.shape)
    solid = felupe.SolidBody(material, field)
    middle = (angle == 0) & np.isclose(r, radius + base / 2)
    supports = {
        "mirror": felupe.Boundary(field[0], mask=angle == 0, skip=(0, 1)),
        "one point": felupe.Boundary(field[0], mask=middle, skip=(1, 0)),
    }
    dof0, dof1 = felupe.dof.partition(field, supports)
    for share in np.linspace(0, 1, steps + 1)[1:]:
        material.set_before(wanted**share, round_the_arc)
        felupe.newtonraphson(
            x0=field, items=[solid], dof0=dof0, dof1=dof1, tol=1e-9, maxiter=20, verbose=0
        )
    line = np.flatnonzero(np.isclose(r, radius + base / 2))
    line = line[np.argsort(angle[line])]
    return SolvedPair(angle[line], (mesh.points + field[0].values)[line])


def hold_pair(law, *, base, overlay, radius, stretch, through=(4, 3), along=8, steps=5):
    """A pair on a form that holds the base's inside: strain of the overlay's middle, pull [N/mm].

    The overlay was cut flat, to its length at its middle over `stretch`.
    """
    turn = np.pi / 2
    mesh, angle, r = mesh_of(base, overlay, radius, turn, through, along)
    region = felupe.RegionBiQuadraticQuad(mesh)
    field = felupe.FieldContainer([felupe.Field(region, dim=2)])
    x, y = felupe.Field(region, dim=2, values=mesh.points).interpolate()
    distance, above = np.hypot(x, y), np.hypot(x, y) > radius + base
    round_the_arc = np.stack([y, -x]) / distance
    cut = (radius + base + overlay / 2) / stretch  # a turn of one radian
    wanted = np.where(above, distance / cut, 1.0)
    material = PlaneStress(law, wanted.shape)
    solid = felupe.SolidBody(material, field)
    supports = {
        "mirror": felupe.Boundary(field[0], mask=np.isclose(angle, 0), skip=(0, 1)),
        "other mirror": felupe.Boundary(field[0], mask=np.isclose(angle, turn), skip=(1, 0)),
        "form": felupe.Boundary(field[0], mask=np.isclose(r, radius)),
    }
    dof0, dof1 = felupe.dof.partition(field, supports)
    for share in np.linspace(0, 1, steps + 1)[1:]:
        material.set_before(wanted**share, round_the_arc)
        felupe.newtonraphson(
            x0=field, items=[solid], dof0=dof0, dof1=dof1, tol=1e-9, maxiter=25, verbose=0
        )
    middle = np.isclose(r, radius + base + overlay / 2)
    strain = np.hypot(*(mesh.points + field[0].values)[middle].T).mean() / cut - 1
    stress = np.einsum(
        "ij...,i...,j...->...",
        material.gradient([field.extract()[0], None])[0],
        round_the_arc,
        round_the_arc,
    )
    return strain, float((stress * region.dV / distance * above).sum() / turn)
