"""Two sheets joined along unequal edges, solved with felupe, an independent library.

Plane stress, nine-node elements. Each sheet is a rectangle with its own lengths between the marks;
marks meet marks, and between them the edges meet in proportion. The joined edges are brought
together by leaving out the movements of one of them: they are those of the other one, and the
distance apart. Far edges are free; the ends are free, or planes of mirrors that stay upright.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import felupe
import felupe_pair
import numpy as np
from scipy.sparse import block_diag, csr_matrix
from scipy.sparse.linalg import spsolve


class Sheet(NamedTuple):
    """One sheet: lengths between its marks, depth, thickness, and a maker of its material.

    `material` takes the shape of the integration points: points in an element, elements.
    """

    lengths: np.ndarray
    depth: float
    thickness: float
    material: object


class SolvedSeam(NamedTuple):
    """Where two joined sheets came to rest."""

    glued: np.ndarray
    """Lengths between the marks."""
    depths: np.ndarray
    """Distances from the seam at which the next is given, in the first sheet."""
    strain: np.ndarray
    """Strain along the seam under the middle of an interval, one row an interval."""


def linear(modulus, poisson):
    """Material of small strain, or of hand calculation."""
    return lambda shape: felupe.LinearElasticPlaneStress(E=modulus, nu=poisson)


def foam(mu, alpha, poisson):
    """felupe's own foam law made plane."""
    law = felupe_pair.foam([mu], [alpha], [poisson])
    return lambda shape: felupe_pair.PlaneStress(law, shape)


def graded(length, first, growth):
    """Places from 0 to a length, ever farther apart."""
    places = [0.0]
    while places[-1] < length:
        places.append(places[-1] + first)
        first *= growth
    return np.array(places) * length / places[-1]


def along(lengths, first, growth):
    """Places along an edge, close at each mark; `first` is a share of the shortest interval."""
    places = [np.zeros(1)]
    for length in lengths:
        half = graded(length / 2, first * min(lengths), growth)
        places.append(places[-1][-1] + np.concatenate([half[1:], length - half[::-1][1:]]))
    return np.concatenate(places)


class _Half:
    """One sheet on its mesh; `up` is 1 for the one above the seam, -1 for the one below."""

    def __init__(self, sheet, x, first, growth, up):
        down = graded(sheet.depth, first * min(sheet.lengths), growth)
        y = down if up > 0 else -down[::-1]
        grid = felupe.mesh.Grid(x, y)
        self.mesh = grid.convert(order=2, calc_points=True, calc_midfaces=True)
        region = felupe.RegionBiQuadraticQuad(self.mesh)
        self.field = felupe.FieldContainer([felupe.Field(region, dim=2)])
        self.body = felupe.SolidBody(sheet.material(region.dV.shape), self.field)
        self.thickness = sheet.thickness
        self.places = self.mesh.points
        edge = np.flatnonzero(np.isclose(self.places[:, 1], 0))
        self.edge = edge[np.argsort(self.places[edge, 0])]

    def ends(self):
        x = self.places[:, 0]
        return (np.flatnonzero(np.isclose(x, end)) for end in (0, x.max()))

    def forces(self, moved):
        """Forces on the nodes and the stiffness at this movement."""
        self.field[0].values[:] = moved.reshape(-1, 2)
        force = self.body.assemble.vector(self.field).toarray().ravel()
        return self.thickness * force, self.thickness * self.body.assemble.matrix(self.field)


def solve_seam(a, b, *, ends="free", first=0.05, growth=1.4):
    """Join two sheets; `ends` is "free" or "mirror".

    `first` is the smallest element as a share of the shortest interval, `growth` how much wider
    each is than its neighbour.
    """
    x = along(a.lengths, first, growth)
    marks = [np.concatenate([[0.0], np.cumsum(s.lengths)]) for s in (a, b)]
    one = _Half(a, x, first, growth, 1)
    two = _Half(b, np.interp(x, *marks), first, growth, -1)
    apart = two.places[two.edge, 0] - one.places[one.edge, 0]
    shift = 2 * one.mesh.npoints
    count = shift + 2 * two.mesh.npoints
    leads, start = np.arange(count), np.zeros(count)
    for k in (0, 1):
        leads[2 * one.edge + k] = shift + 2 * two.edge + k
    start[2 * one.edge] = apart
    held = [shift + 2 * two.edge[0] + 1]
    if ends == "mirror":
        (left_1, right_1), (left_2, right_2) = one.ends(), two.ends()
        last = shift + 2 * two.edge[-1]
        leads[2 * right_1] = leads[shift + 2 * right_2] = last
        start[2 * right_1] = apart[-1]
        held += [*(2 * left_1), *(shift + 2 * left_2)]
    else:
        held += [shift + 2 * two.edge[0], shift + 2 * two.edge[-1] + 1]
    moved = _at_rest(one, two, leads, start, np.unique(leads[np.array(held)]))
    return _read(one, moved[:shift].reshape(-1, 2), marks[0])


def _at_rest(one, two, leads, start, held):
    """Newton's method for the movements that are left."""
    left = np.unique(leads)
    column = np.searchsorted(left, leads)
    spread = csr_matrix((np.ones(leads.size), (np.arange(leads.size), column)))
    free = ~np.isin(left, held)
    shift, q = 2 * one.mesh.npoints, np.zeros(left.size)
    for _ in range(20):
        moved = spread @ q + start
        parts = one.forces(moved[:shift]), two.forces(moved[shift:])
        rest = (spread.T @ np.concatenate([force for force, _ in parts]))[free]
        if np.abs(rest).max() < 1e-8 * max(np.abs(f).max() for f, _ in parts):
            return moved
        stiff = spread.T @ block_diag([k for _, k in parts]).tocsr() @ spread
        q[free] -= spsolve(stiff.tocsr()[free][:, free].tocsc(), rest)
    raise ArithmeticError("the joined sheets did not come to rest")


def _read(one, moved, marks):
    """Lengths between the marks, and the strain under the middle of each interval."""
    x, y = one.places.T
    at = [one.edge[np.argmin(np.abs(x[one.edge] - mark))] for mark in marks]
    glued = np.diff(x[at] + moved[at, 0])
    depths, strain = np.unique(y.round(9)), []
    for mark, after in pairwise(marks):
        columns = np.unique(x.round(9))
        i = int(np.argmin(np.abs(columns - (mark + after) / 2)))
        near = [np.flatnonzero(np.isclose(x, columns[j])) for j in (i - 1, i + 1)]
        near = [n[np.argsort(y[n])] for n in near]
        strain.append((moved[near[1], 0] - moved[near[0], 0]) / (columns[i + 1] - columns[i - 1]))
    return SolvedSeam(glued, depths, np.array(strain))
