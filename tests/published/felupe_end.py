"""The end of an overlay under stretch, solved with felupe, an independent finite element library.

Small strain, plane, nine-node elements, graded towards the end and towards the glue line. The far
end is a mirror plane. Far from its end the overlay has the stress of its stretch, or of its bend;
at the end it has none. So the end face is loaded by that stress turned round, and both are added.
"""

from __future__ import annotations

from typing import NamedTuple

import felupe
import numpy as np
from felupe_pair import PlaneStress, foam
from scipy.sparse.linalg import spsolve


class SolvedEnd(NamedTuple):
    """Means over the last half thickness, for a stress of 1; reach in thicknesses."""

    shear: float
    opening: float
    reach: float


def graded(length, first, growth):
    """Places from 0 to a length, ever farther apart."""
    places = [0.0]
    while places[-1] < length:
        places.append(places[-1] + first)
        first *= growth
    return np.array(places) * length / places[-1]


def from_both_ends(length, first, growth):
    half = graded(length / 2, first, growth)
    return np.concatenate([half, length - half[::-1][1:]])


def mesh_of(base, length, first, growth):
    """Overlay 1 thick above 0, base below; a grid line at half a thickness from the end."""
    near = graded(0.5, first, growth)
    x = np.concatenate([near, 0.5 + graded(length - 0.5, near[-1] - near[-2], growth)[1:]])
    y = from_both_ends(1.0, first, growth)
    if base:
        y = np.concatenate([from_both_ends(base, first, growth) - base, y[1:]])
    grid = felupe.mesh.Grid(x, y)
    return grid.convert(order=2, calc_points=True, calc_midfaces=True), x


def end_loads(mesh, stress):
    """Nodal forces of a stress on the overlay's end face, by Gauss points on its edges."""
    points, weights = np.polynomial.legendre.leggauss(4)
    shapes = np.array([points * (points - 1) / 2, 1 - points**2, points * (points + 1) / 2])
    x, y = mesh.points.T
    face = np.flatnonzero((x == 0) & (y > -1e-12))
    face = face[np.argsort(y[face])]
    loads = np.zeros((mesh.npoints, 2))
    for i in range(0, face.size - 2, 2):
        nodes = face[i : i + 3]
        size = y[nodes[2]] - y[nodes[0]]
        height = y[nodes[0]] + (points + 1) / 2 * size
        loads[nodes, 0] += (shapes * stress(height) * weights).sum(1) * size / 2
    return loads


def solve_end(*, base=0.0, softness=1.0, bend=False, poisson=1 / 3, length=12.0, first=0.03):
    """An overlay 1 thick, modulus 1, on a base held at its underside; base 0: it does not give.

    The stress far away is 1, or, for a bend, E t/(12 R) = 1: stress 12 (y - 1/2) E t/(12 R).
    """
    mesh, x = mesh_of(base, length, first, 1.15)
    above = mesh.points[mesh.cells].mean(1)[:, 1] > 0

    def stiffness(cells):
        part = felupe.Mesh(mesh.points, cells, mesh.cell_type)
        field = felupe.FieldContainer([felupe.Field(felupe.RegionBiQuadraticQuad(part), dim=2)])
        law = felupe.LinearElasticPlaneStress(E=1.0, nu=poisson)
        return felupe.SolidBody(law, field).assemble.matrix().tocsr()

    matrix = stiffness(mesh.cells[above])
    if base:
        matrix = matrix + stiffness(mesh.cells[~above]) / softness
    far = (lambda y: 12 * (y - 0.5)) if bend else np.ones_like
    loads = end_loads(mesh, far)
    fixed = np.zeros((mesh.npoints, 2), dtype=bool)
    fixed[np.isclose(mesh.points[:, 1], -base)] = True
    fixed[np.isclose(mesh.points[:, 0], length), 0] = True
    free = ~fixed.ravel()
    moved = np.zeros(free.size)
    moved[free] = spsolve(matrix[free][:, free].tocsc(), loads.ravel()[free])
    return along(mesh, x, moved.reshape(-1, 2), above, poisson, bend)


def along(mesh, x, moved, above, poisson, bend):
    """Pull and cross force of the overlay in each column of elements, and what follows."""
    region = felupe.RegionBiQuadraticQuad(mesh)
    slope = np.einsum("cai,ajqc->ijqc", moved[mesh.cells], region.dhdX)
    pull = (slope[0, 0] + poisson * slope[1, 1]) / (1 - poisson**2)
    cross = (slope[0, 1] + slope[1, 0]) / (2 * (1 + poisson))
    column = np.searchsorted(x, mesh.points[mesh.cells].mean(1)[:, 0]) - 1
    forces = np.zeros((2, x.size - 1))
    for force, stress in zip(forces, (pull, cross), strict=True):
        np.add.at(force, column[above], (stress * region.dV)[:, above].sum(0))
    forces /= np.diff(x)
    middle = (x[1:] + x[:-1]) / 2
    total = forces[0] + (0.0 if bend else 1.0)
    # The overlay's end piece is in balance: what goes through its cut comes from the glue.
    shear, opening = (float(np.interp(0.5, middle, f)) / 0.5 for f in (total, forces[1]))
    first = int(np.argmax(total > 0.9))
    reach = float(np.interp(0.9, total[: first + 1], middle[: first + 1]))
    return SolvedEnd(shear, opening, reach)


def reach_of(law, strain, *, length=10.0, steps=8):
    """Where an overlay 1 thick has 90 % of its pull: large strain, a base that does not give.

    Its shape as cut is meshed; the glued side is carried out by the strain. In thicknesses, along
    the base as glued.
    """
    mesh, x = mesh_of(0.0, length, 0.05, 1.18)
    region = felupe.RegionBiQuadraticQuad(mesh)
    field = felupe.FieldContainer([felupe.Field(region, dim=2)])
    material = PlaneStress(foam(law.mu, law.alpha, law.poisson), region.dV.shape)
    solid = felupe.SolidBody(material, field)
    places = mesh.points[:, 0]
    glued, far = np.isclose(mesh.points[:, 1], 0), np.isclose(places, length)
    for part in strain * np.linspace(0, 1, steps + 1)[1:]:
        supports = {
            "flat": felupe.Boundary(field[0], mask=glued, skip=(1, 0)),
            "glued": felupe.Boundary(field[0], mask=glued, skip=(0, 1), value=part * places[glued]),
            "far": felupe.Boundary(field[0], mask=far, skip=(0, 1), value=part * length),
        }
        dof0, dof1 = felupe.dof.partition(field, supports)
        felupe.newtonraphson(
            x0=field,
            items=[solid],
            dof0=dof0,
            dof1=dof1,
            ext0=felupe.dof.apply(field, supports, dof0),
            tol=1e-8,
            maxiter=30,
            verbose=0,
        )
    stress = material.gradient([field.extract()[0], None])[0][0, 0]
    pull = np.zeros(x.size - 1)
    column = np.searchsorted(x, mesh.points[mesh.cells].mean(1)[:, 0]) - 1
    np.add.at(pull, column, (stress * region.dV).sum(0))
    pull /= np.diff(x) * float(law.stress(1 + strain))
    first = int(np.argmax(pull > 0.9))
    middle = (x[1:] + x[:-1]) / 2
    return float(np.interp(0.9, pull[: first + 1], middle[: first + 1])) * (1 + strain)
