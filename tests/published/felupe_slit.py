"""One pitch of a slit or toothed strip bent round an edge, solved with felupe.

Half of the pitch is meshed, from the middle of a slit to the middle of the piece beside it, flat
and free of stress as it was cut. The middle of the slit stays on the line x = 0: the web on it, the
faces of the slit free. The middle of the piece stays plane and is turned by half of the pitch's
turn about the centre of the bend. The glued face lies on a circle about that centre and slides
along it; its radius is an unknown too, so nothing pushes on it as a whole, and so nothing pulls
along the strip. felupe gives forces and stiffness for the places of the points; here they are
written in the places that the supports leave free, and Newton's method is run on those.
"""

from __future__ import annotations

from typing import NamedTuple

import felupe
import numpy as np
from felupe_pair import PlaneStress
from scipy.sparse import coo_matrix, csr_matrix
from scipy.sparse.linalg import spsolve


class Cell(NamedTuple):
    """One pitch at rest; thickness, web, pitch and gap as cut [mm]."""

    thickness: float
    web: float
    pitch: float
    gap: float
    opens: bool
    """Whether the slit is on the outside of the bend."""
    turn: float
    """Turn of the whole pitch [rad]."""
    inside: float
    """Radius of the inner face [mm], mean over its points."""
    outside: float
    """Radius of the outer face [mm], mean over its points."""
    mouth: float
    """Width of the slit or gap at the tips [mm]."""
    root: float
    """Width of the gap at its root [mm]."""
    moment: float
    """Moment that bends it, for each mm of its width [N]."""
    pull: float
    """Net pull along the strip, for each mm of its width [N/mm]."""

    @property
    def back(self):
        """Radius of the back of the web [mm]."""
        return self.inside if self.opens else self.outside

    @property
    def height(self):
        """Height of the line that keeps its length above the back of the web [mm]."""
        line = self.pitch / self.turn - self.back
        return line if self.opens else -line


def steps(start, end, first, growth):
    """Places from start to end, ever farther apart; `first` is the first step."""
    span, count = abs(end - start), 1
    while first * (growth**count - 1) / (growth - 1) < span:
        count += 1
    places = np.expm1(np.log(growth) * np.arange(count + 1))
    return start + (end - start) * places / places[-1]


def mesh_of(thickness, web, pitch, gap, opens, fine, growth):
    """Nine-node mesh of half a pitch; smallest elements at the root of the slit."""
    side = gap / 2
    x = steps(side, pitch / 2, fine, growth)
    if gap:
        x = np.concatenate([steps(side, 0.0, fine, growth)[:0:-1], x])
    y = np.concatenate([steps(web, 0.0, fine, growth)[:0:-1], steps(web, thickness, fine, growth)])
    grid = felupe.mesh.Grid(x, y)
    middle = grid.points[grid.cells].mean(1)
    keep = (middle[:, 0] > side) | (middle[:, 1] < web)
    if not keep.all():
        used, cells = np.unique(grid.cells[keep], return_inverse=True)
        grid = felupe.Mesh(grid.points[used], cells.reshape(-1, 4), grid.cell_type)
    mesh = grid.convert(order=2, calc_points=True, calc_midfaces=True)
    if not opens:  # web on top; mirrored along too, so that elements keep their sense
        mesh.points[:, 1] = thickness - mesh.points[:, 1]
        mesh.cells[:] = mesh.cells[:, [1, 0, 3, 2, 4, 7, 6, 5, 8]]
    return mesh


class Supports:
    """Places of the points written in the unknowns that are left, and their slopes."""

    def __init__(self, mesh, *, web, thickness, pitch, gap, glued, opens):
        x, y = mesh.points.T
        y = y if opens else thickness - y
        near = 1e-9 * thickness
        self.turned = np.abs(x - pitch / 2) < near
        kept = (x < near) & (y < web + near)
        level = {"back": 0.0, "tips": thickness, "none": -1.0}[glued]
        ring = np.abs(y - level) < near
        self.kept = np.flatnonzero(kept & ~ring)
        self.far = np.flatnonzero(self.turned & ~ring)
        self.free = np.flatnonzero(~(kept | self.turned | ring))
        self.still = np.flatnonzero(kept & ring)
        self.end = np.flatnonzero(self.turned & ring)
        self.slide = np.flatnonzero(ring & ~kept & ~self.turned)
        self.ring, self.points = ring, len(x)
        side = np.flatnonzero(np.abs(x - gap / 2) < near)
        self.tip, self.root = (side[np.argmin(np.abs(y[side] - at))] for at in (thickness, web))
        sizes = [
            2 * self.free.size,
            self.kept.size,
            self.far.size,
            self.slide.size,
            int(ring.any()),
        ]
        self.ends = np.cumsum([0, *sizes])

    def part(self, q, i):
        return q[self.ends[i] : self.ends[i + 1]]

    def unknowns(self, place):
        """The unknowns of a shape; the radius of the circle from its points' mean."""
        angle = np.arctan2(place[:, 0], place[:, 1])
        distance = np.hypot(*place.T)
        q = [place[self.free].ravel(), place[self.kept, 1], distance[self.far], angle[self.slide]]
        if self.ring.any():
            q.append([distance[self.ring].mean()])
        return np.concatenate(q)

    def place(self, q, half):
        place = np.zeros((self.points, 2))
        place[self.free] = self.part(q, 0).reshape(-1, 2)
        place[self.kept, 1] = self.part(q, 1)
        place[self.far] = self.part(q, 2)[:, None] * [np.sin(half), np.cos(half)]
        if self.ring.any():
            a, r = self.part(q, 3), self.part(q, 4)[0]
            place[self.slide] = r * np.column_stack([np.sin(a), np.cos(a)])
            place[self.still] = [0.0, r]
            place[self.end] = [r * np.sin(half), r * np.cos(half)]
        return place

    def slopes(self, q, half, force):
        """Slopes of all places over the unknowns, and what the bend of the circle adds."""
        rows, cols, values = [], [], []

        def add(row, col, value):
            row, col, value = np.broadcast_arrays(row, col, value)
            rows.append(row.ravel())
            cols.append(col.ravel())
            values.append(value.ravel())

        at = self.ends
        add((2 * self.free[:, None] + [0, 1]).ravel(), np.arange(at[0], at[1]), 1.0)
        add(2 * self.kept + 1, np.arange(at[1], at[2]), 1.0)
        add(2 * self.far, np.arange(at[2], at[3]), np.sin(half))
        add(2 * self.far + 1, np.arange(at[2], at[3]), np.cos(half))
        bend = csr_matrix((at[-1], at[-1]))
        if self.ring.any():
            a, r, col, last = self.part(q, 3), self.part(q, 4)[0], np.arange(at[3], at[4]), at[4]
            add(2 * self.slide, col, r * np.cos(a))
            add(2 * self.slide + 1, col, -r * np.sin(a))
            for nodes, angle in ((self.slide, a), (self.still, 0.0), (self.end, half)):
                add(2 * nodes, last, np.sin(angle))
                add(2 * nodes + 1, last, np.cos(angle))
            f = force.reshape(-1, 2)[self.slide]
            out = f[:, 0] * np.sin(a) + f[:, 1] * np.cos(a)
            along = f[:, 0] * np.cos(a) - f[:, 1] * np.sin(a)
            lasts = np.full(col.size, last)
            bend = csr_matrix(
                (
                    np.concatenate([-r * out, along, along]),
                    (np.concatenate([col, col, lasts]), np.concatenate([col, lasts, col])),
                ),
                shape=(at[-1], at[-1]),
            )
        slope = coo_matrix(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(cols))),
            shape=(2 * self.points, at[-1]),
        )
        return slope.tocsr(), bend


def cells(
    law,
    *,
    thickness,
    web,
    pitch,
    turns,
    gap=0.0,
    opens=True,
    held=False,
    glued="back",
    fine=0.04,
    growth=2.0,
):
    """Bend one pitch to each of the turns [rad], one after the other from the gentlest on.

    `law` is felupe's; `held` sides keep their width (plane strain), else they are free (plane
    stress). `glued` is the face on the circle: the back of the web, the tips, or none. Turns below
    0 close the slit. `fine` is the smallest element, in the lesser of web, depth and half a pitch.
    """
    size = fine * min(web, thickness - web, (pitch - gap) / 2)
    mesh = mesh_of(thickness, web, pitch, gap, opens, size, growth)
    region = felupe.RegionBiQuadraticQuad(mesh)
    kind = felupe.FieldPlaneStrain if held else felupe.Field
    field = felupe.FieldContainer([kind(region, dim=2)])
    solid = felupe.SolidBody(law if held else PlaneStress(law, region.dV.shape), field)
    supports = Supports(
        mesh, web=web, thickness=thickness, pitch=pitch, gap=gap, glued=glued, opens=opens
    )
    x, y = mesh.points.T
    above = y - (web / 2 if opens else thickness - web / 2)  # of a line that may keep its length
    share, found = x / pitch, []
    for turn in turns:
        half, distance = turn / 2, pitch / turn + above
        start = distance[:, None] * np.column_stack([np.sin(share * turn), np.cos(share * turn)])
        q = supports.unknowns(start)
        for _ in range(40):
            place = supports.place(q, half)
            field[0].values[:] = place - mesh.points
            force = solid.assemble.vector(field).toarray().ravel()
            slope, bend = supports.slopes(q, half, force)
            stiff = slope.T @ solid.assemble.matrix(field) @ slope + bend
            step = spsolve(stiff.tocsc(), slope.T @ force)
            q = q - step
            if np.abs(step).max() < 1e-9 * thickness:
                break
        else:
            raise ArithmeticError(f"a turn of {turn} was not found")
        place = supports.place(q, half)
        distance = np.hypot(*place.T)
        above, share = distance - pitch / turn, np.arctan2(*place.T) / turn
        ends = force.reshape(-1, 2)[supports.turned]
        pulls = ends @ [np.cos(half), -np.sin(half)]
        found.append(
            Cell(
                thickness=thickness,
                web=web,
                pitch=pitch,
                gap=gap,
                opens=opens,
                turn=turn,
                inside=float(distance[np.isclose(y, 0)].mean()),
                outside=float(distance[np.isclose(y, thickness)].mean()),
                mouth=2 * float(place[supports.tip, 0]),
                root=2 * float(place[supports.root, 0]),
                moment=float(pulls @ distance[supports.turned]),
                pull=float(pulls.sum()),
            )
        )
    return found
