"""A straight strip bent round by a quarter turn with no net pull, solved with felupe.

The mesh is flat, as the strip was cut, and free of stress. One end stays on the line x = 0, the
other is turned by 90 degrees and slides on the line y = 0. Both stay plane and square to the bend,
and the two faces are free. Nothing pushes along either line, so the pull on the one end has no pull
on the other to be in balance with: the net pull is none without being asked for.
"""

from __future__ import annotations

from typing import NamedTuple

import felupe
import numpy as np
from felupe_pair import PlaneStress

TURN = np.pi / 2


class Bent(NamedTuple):
    """A strip after a quarter turn; moment and pull for each mm of its width."""

    length: float
    """Length as cut [mm]."""
    radius: float
    """Distance of the inner face from the centre of the bend [mm], mean over its points."""
    out_of_round: float
    """The longest less the shortest of these distances [mm]."""
    heights: np.ndarray
    """Heights of the points of the kept end above the inner face [mm]."""
    moment: float
    """Moment on the turned end, positive where it bends the strip tighter [N]."""
    pull: float
    """Pull on the turned end, along the strip [N/mm]."""

    def fibre(self, thickness):
        """The k of the rule length = turn x (radius + k thickness), thickness as cut."""
        return (self.length / TURN - self.radius) / thickness


def quarter_turn(law, *, length, thickness, held, radius, heights, along):
    """Bend a strip whose sides keep their width (held: plane strain) or not (plane stress).

    The search starts from an inside radius and from heights of points above the inner face, evenly
    apart before the bend. Every second of them is a line between elements, `along` of which are in
    a row.
    """
    cut = np.linspace(0, thickness, len(heights))
    grid = felupe.mesh.Grid(np.linspace(0, length, along + 1), cut[::2])
    mesh = grid.convert(order=2, calc_points=True, calc_midfaces=True)
    x, y = mesh.points.T
    kept, turned, inner = x == 0, x == length, y == 0
    distance, angle = radius + np.interp(y, cut, heights), TURN * x / length
    start = np.column_stack([distance * np.sin(angle), distance * np.cos(angle)])
    start[turned, 1] = 0.0

    region = felupe.RegionBiQuadraticQuad(mesh)
    kind = felupe.FieldPlaneStrain if held else felupe.Field
    field = felupe.FieldContainer([kind(region, dim=2, values=start - mesh.points)])
    solid = felupe.SolidBody(law if held else PlaneStress(law, region.dV.shape), field)
    supports = {
        "kept": felupe.Boundary(field[0], mask=kept, skip=(0, 1)),
        "turned": felupe.Boundary(field[0], mask=turned, skip=(1, 0)),
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
    force = solid.assemble.vector(field).toarray().reshape(-1, 2)[turned, 1]
    inside, section = np.hypot(*place[inner].T), np.sort(place[kept, 1])
    return Bent(
        length=length,
        radius=float(inside.mean()),
        out_of_round=float(np.ptp(inside)),
        heights=section - section[0],
        moment=float(-force @ place[turned, 0]),
        pull=float(-force.sum()),
    )


def bend(law, radii, *, thickness, held, through=4, along=8):
    """Bend a strip to each inside radius; give the gentlest first, the next starts from its shape.

    How long a strip must be cut for its radius is found by bending it twice, the second time with
    the fibre of the first; the radius is met within about a thousandth of the thickness. There are
    `through` elements through the thickness, and `along` times the root of (radius/thickness + 1)
    along the strip.
    """
    heights, fibre, found = np.linspace(0, thickness, 2 * through + 1), 0.5, []
    for radius in radii:
        for _ in range(2):
            strip = quarter_turn(
                law,
                length=TURN * (radius + fibre * thickness),
                thickness=thickness,
                held=held,
                radius=radius,
                heights=heights,
                along=int(np.ceil(along * np.sqrt(radius / thickness + 1))),
            )
            heights, fibre = strip.heights, strip.fibre(thickness)
        found.append(strip)
    return found
