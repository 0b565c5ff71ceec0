"""A quarter of a strip with a hole under stretch, solved with felupe: large strain, plane stress.

Nine-node elements, rays from the hole to a square, and a plain grid from there to the end that is
pulled. felupe's own foam law, made plane in `felupe_pair`.
"""

from __future__ import annotations

from typing import NamedTuple

import felupe
import numpy as np


class SolvedHole(NamedTuple):
    """The hole under stretch; lengths are halves."""

    along: float
    across: float
    edge: float
    """Local strain at its side."""
    stress: float
    """Nominal stress of the strip away from the hole [MPa]."""


def block(across_u, across_v, place):
    grid = felupe.mesh.Grid(np.linspace(0, 1, across_u + 1), np.linspace(0, 1, across_v + 1))
    mesh = grid.convert(order=2, calc_points=True, calc_midfaces=True)
    mesh.points[:] = place(*mesh.points.T.copy())
    return mesh


def mesh_of(along, across, half_width, length, rays=12, rings=14, columns=10):
    growth = np.log(half_width / max(along, across))

    def round_the_hole(u, v):
        turn = v * np.pi / 2
        x = np.where(v <= 0.5, half_width, half_width / np.tan(np.maximum(turn, 1e-9)))
        y = np.where(v <= 0.5, half_width * np.tan(np.minimum(turn, np.pi / 4)), half_width)
        out = np.expm1(growth * u) / np.expm1(growth)
        x0, y0 = along * np.cos(turn), across * np.sin(turn)
        return np.column_stack([x0 + (x - x0) * out, y0 + (y - y0) * out])

    def to_the_end(u, v):
        x = half_width + (length - half_width) * np.expm1(1.5 * u) / np.expm1(1.5)
        return np.column_stack([x, half_width * np.tan(v * np.pi / 4)])

    blocks = [block(rings, rays, round_the_hole), block(columns, rays // 2, to_the_end)]
    return felupe.mesh.merge_duplicate_points(felupe.mesh.concatenate(blocks), decimals=8)


def solve_hole(material, *, along, across, half_width, strain, steps=2):
    """Pull the end of a strip three widths long by a strain, end to end; `material` makes one."""
    length = 3 * half_width
    mesh = mesh_of(along, across, half_width, length)
    region = felupe.RegionBiQuadraticQuad(mesh)
    field = felupe.FieldContainer([felupe.Field(region, dim=2)])
    solid = felupe.SolidBody(material(region.dV.shape), field)
    x, y = mesh.points.T
    supports = {
        "mirror across": felupe.Boundary(field[0], mask=np.isclose(x, 0), skip=(0, 1)),
        "mirror along": felupe.Boundary(field[0], mask=np.isclose(y, 0), skip=(1, 0)),
        "pulled": felupe.Boundary(field[0], mask=np.isclose(x, length), skip=(0, 1)),
    }
    for share in np.linspace(0, 1, steps + 1)[1:]:
        supports["pulled"].value = share * strain * length
        dof0, dof1 = felupe.dof.partition(field, supports)
        felupe.newtonraphson(
            x0=field,
            items=[solid],
            dof0=dof0,
            dof1=dof1,
            ext0=felupe.dof.apply(field, supports, dof0),
            tol=1e-9,
            maxiter=25,
            verbose=0,
        )
    moved = field[0].values
    tip = np.flatnonzero(np.isclose(y, 0) & np.isclose(x, along))[0]
    side = np.flatnonzero(np.isclose(x, 0) & np.isclose(y, across))[0]
    # Along the edge from the side: the movement is odd in x, so two nodes give its slope there.
    edge = np.flatnonzero(np.isclose((x / along) ** 2 + (y / across) ** 2, 1, atol=1e-3))
    near = edge[np.argsort(x[edge])][1:3]
    slope = np.linalg.solve(np.column_stack([x[near], x[near] ** 3]), moved[near, 0])[0]
    forces = solid.assemble.vector().toarray().reshape(-1, 2)
    stress = forces[np.isclose(x, length), 0].sum() / half_width
    return SolvedHole(along + moved[tip, 0], across + moved[side, 1], slope, stress)


def neck_of(material, strain, *, cells=8, steps=4):
    """How far an edge of a square 1 wide comes in halfway between its clamps."""
    places = np.linspace(0, 0.5, cells + 1)
    grid = felupe.mesh.Grid(places, places)
    mesh = grid.convert(order=2, calc_points=True, calc_midfaces=True)
    region = felupe.RegionBiQuadraticQuad(mesh)
    field = felupe.FieldContainer([felupe.Field(region, dim=2)])
    solid = felupe.SolidBody(material(region.dV.shape), field)
    x, y = mesh.points.T
    clamp = np.isclose(x, 0.5)
    supports = {
        "mirror across": felupe.Boundary(field[0], mask=np.isclose(x, 0), skip=(0, 1)),
        "mirror along": felupe.Boundary(field[0], mask=np.isclose(y, 0), skip=(1, 0)),
        "pulled": felupe.Boundary(field[0], mask=clamp, skip=(0, 1)),
        "clamped": felupe.Boundary(field[0], mask=clamp, skip=(1, 0)),
    }
    for part in np.linspace(0, 0.5 * strain, steps + 1)[1:]:
        supports["pulled"].value = part
        dof0, dof1 = felupe.dof.partition(field, supports)
        felupe.newtonraphson(
            x0=field,
            items=[solid],
            dof0=dof0,
            dof1=dof1,
            ext0=felupe.dof.apply(field, supports, dof0),
            tol=1e-9,
            maxiter=25,
            verbose=0,
        )
    return -float(field[0].values[np.isclose(x, 0) & np.isclose(y, 0.5), 1][0])
