"""A straight strip laid flat along a circle, solved with felupe: the strains of its two edges.

A band bends in its own plane, its two faces free: plane stress. Laid without pull it is the strip
of felupe_bending.py, whose thickness is the width here. Pulled till its inner edge is just
unstrained, that edge is glued to the circle without slipping: every point of it is held where it
belongs on a quarter circle as long as the strip was cut, and both ends stay plane, in the radial
direction.
"""

from __future__ import annotations

from typing import NamedTuple

import felupe
import numpy as np
from felupe_bending import TURN, bend
from felupe_pair import PlaneStress


class Laid(NamedTuple):
    """A strip along a quarter circle."""

    curvature: float
    """Curvature of the line of points that were the middle of its width [1/mm]."""
    inner: float
    """Strain of its inner edge [1]."""
    outer: float
    """Strain of its outer edge [1]."""


def laid(law, radii, *, width):
    """Strips laid without pull; radii of the inner edge to aim at [mm], the gentlest first."""
    found = []
    for strip in bend(law, radii, thickness=width, held=False):
        middle, top = strip.heights[len(strip.heights) // 2], strip.heights[-1]
        inner, outer = ((strip.radius + y) * TURN / strip.length - 1 for y in (0.0, top))
        found.append(Laid(1 / (strip.radius + middle), inner, outer))
    return found


def pulled(law, *, radius, width, through=6, along=24):
    """Strain of the outer edge of a strip whose inner edge lies unstrained on a circle [1]."""
    length = TURN * radius
    grid = felupe.mesh.Grid(np.linspace(0, length, along + 1), np.linspace(0, width, through + 1))
    mesh = grid.convert(order=2, calc_points=True, calc_midfaces=True)
    x, y = mesh.points.T
    angle = TURN * x / length
    start = np.column_stack([(radius + y) * np.sin(angle), (radius + y) * np.cos(angle)])
    kept, turned, inner = x == 0, x == length, y == 0
    start[turned, 1] = 0.0

    region = felupe.RegionBiQuadraticQuad(mesh)
    field = felupe.FieldContainer([felupe.Field(region, dim=2, values=start - mesh.points)])
    solid = felupe.SolidBody(PlaneStress(law, region.dV.shape), field)
    supports = {
        "kept": felupe.Boundary(field[0], mask=kept, skip=(0, 1)),
        "turned": felupe.Boundary(field[0], mask=turned, skip=(1, 0)),
        "glued": felupe.Boundary(field[0], mask=inner, skip=(0, 0)),
    }
    dof0, dof1 = felupe.dof.partition(field, supports)
    felupe.newtonraphson(
        x0=field,
        items=[solid],
        dof0=dof0,
        dof1=dof1,
        ext0=field[0].values.ravel()[dof0],
        tol=1e-9,
        maxiter=25,
        verbose=0,
    )
    place = mesh.points + field[0].values
    outer = np.hypot(*place[y == width].T)
    assert np.ptp(outer) < 1e-4 * outer.mean()  # every section does the same
    return float(outer.mean()) * TURN / length - 1
