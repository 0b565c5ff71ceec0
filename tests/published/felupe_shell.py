"""A curved base with an overlay over a part of it, solved with felupe in plane stress.

Half of a shell that is its own mirror image is meshed, from the middle of its overlay on: a half
ring, or half of an open arc. The way stretched layers are modelled is that of `felupe_pair`.
"""

from __future__ import annotations

from dataclasses import dataclass

import felupe
import numpy as np
from felupe_pair import PlaneStress


@dataclass(frozen=True)
class SolvedShell:
    """Where the mesh came to rest."""

    angle: np.ndarray
    """Angle of the points along the inside of the base on the mesh [rad], from the middle."""
    inside: np.ndarray
    """Where those points came to rest [mm], shape (points, 2)."""
    force: float
    """Force that holds the inside end, along x, over the whole width of 1 mm [N]."""


def _mesh(base, overlay, radius, half_turn, covered, through, along):
    """Nine-node mesh of half the shell; `along` counts elements under the overlay and beyond."""
    heights = [np.linspace(0, base, through[0] + 1)]
    heights.append(base + np.linspace(0, overlay, through[1] + 1)[1:])
    # finer towards the end of the overlay, from both sides
    share = np.linspace(0, 1, along[0] + 1)
    angles = [covered * (1 - (1 - share) ** 1.5)]
    share = np.linspace(0, 1, along[1] + 1)[1:]
    angles.append(covered + (half_turn - covered) * share**1.5)
    grid = felupe.mesh.Grid(np.concatenate(angles), radius + np.concatenate(heights))
    mesh = grid.convert(order=2, calc_points=True, calc_midfaces=True)
    middle = mesh.points[mesh.cells].mean(1)
    cells = mesh.cells[(middle[:, 0] < covered) | (middle[:, 1] < radius + base)]
    used, cells = np.unique(cells, return_inverse=True)
    angle, r = mesh.points[used].T
    points = np.column_stack([r * np.sin(angle), r * np.cos(angle)])
    return felupe.Mesh(points, cells.reshape(-1, 9), "quad9"), angle, r


def solve_shell(
    law,
    *,
    base,
    overlay,
    radius,
    half_turn,
    covered,
    cut,
    ring=False,
    closed_by=0.0,
    through=(2, 1),
    along=(16, 16),
    steps=4,
):
    """Let a shell go: thicknesses base and overlay, inside radius of the base when formed.

    The overlay lies from the middle to the angle `covered`; half of it was cut `cut` long, flat.
    A ring is held by its mirror planes. In an open shell the inside end is held at `closed_by`
    from where it was meant [mm along x], or is free where that is None.
    """
    mesh, angle, r = _mesh(base, overlay, radius, half_turn, covered, through, along)
    region = felupe.RegionBiQuadraticQuad(mesh)
    field = felupe.FieldContainer([felupe.Field(region, dim=2)])
    x, y = felupe.Field(region, dim=2, values=mesh.points).interpolate()
    distance = np.hypot(x, y)
    round_the_arc = np.stack([y, -x]) / distance
    wanted = np.where(distance > radius + base, distance * covered / cut, 1.0)

    material = PlaneStress(law, wanted.shape)
    solid = felupe.SolidBody(material, field)
    inner = np.isclose(r, radius)
    end = inner & np.isclose(angle, half_turn)
    supports = {
        "mirror": felupe.Boundary(field[0], mask=angle == 0, skip=(0, 1)),
        "one point": felupe.Boundary(field[0], mask=(angle == 0) & inner, skip=(1, 0)),
    }
    if ring:
        far = np.isclose(angle, half_turn)
        supports["other mirror"] = felupe.Boundary(field[0], mask=far, skip=(0, 1))
    elif closed_by is not None:
        supports["strap"] = felupe.Boundary(field[0], mask=end, skip=(0, 1), value=-closed_by)
    dof0, dof1 = felupe.dof.partition(field, supports)
    for share in np.linspace(0, 1, steps + 1)[1:]:
        material.set_before(wanted**share, round_the_arc)
        ext0 = felupe.dof.apply(field, supports, dof0) * share
        felupe.newtonraphson(
            x0=field,
            items=[solid],
            dof0=dof0,
            dof1=dof1,
            ext0=ext0,
            tol=1e-9,
            maxiter=25,
            verbose=0,
        )
    force = solid.assemble.vector(field).toarray().reshape(-1, 2)[end, 0].sum()
    line = np.flatnonzero(inner)
    line = line[np.argsort(angle[line])]
    return SolvedShell(angle[line], (mesh.points + field[0].values)[line], float(force))
