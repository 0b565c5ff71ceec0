"""Curves whose curvature is a spline: where they lie, and what it costs them to swing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamcalc.shape.plane import FULL_TURN, Floats

_ZONE, _LOOSER = 0.15, 10.0
"""An end zone as a share of the length, and how much freer the curvature may be in it."""
_ENDS = ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (1.0, 1.0))
"""Which end is freer than the rest: none, the first, the last, both."""
_NODES, _SHARES = np.polynomial.legendre.leggauss(3)


@dataclass(frozen=True, eq=False)
class Family:
    """The curves that the fit chooses from, and what it costs to swing."""

    knots: Floats
    spread: Floats
    """From the free numbers to the coefficients of the spline."""
    level: Floats
    """Coefficients that are there without any free number: the full turn of a closed curve."""
    turned: Any
    """Antiderivative of the spline of each coefficient."""
    edges: Floats
    at_edges: Floats
    at_nodes: Floats
    """Turning up to each edge and each node of the panels, for each coefficient."""
    lever: Floats
    """The same at the nodes, for each free number."""
    costs: tuple[Floats, ...]
    cost_logs: tuple[float, ...]
    rank: int
    closed: bool

    def coefficients(self, state: Floats) -> Floats:
        """Coefficients of the spline of curvature times length."""
        return np.asarray(self.level + self.spread @ state[4:])

    def turning(self, share: Floats) -> Floats:
        """Turning from the start to a share of the length, for each coefficient."""
        return np.asarray(self.turned(share))

    def swing(self, share: Floats, state: Floats) -> Floats:
        """Curvature times length at a share of the length [rad]."""
        from scipy.interpolate import BSpline

        return np.asarray(BSpline(self.knots, self.coefficients(state), 3)(share))

    def heading(self, share: Floats, state: Floats) -> Floats:
        """Direction of travel [rad]."""
        from scipy.interpolate import BSpline

        spline = BSpline(self.knots, self.coefficients(state), 3).antiderivative()
        return np.asarray(state[2] + spline(share) - spline(0.0))

    def place(self, share: Floats, state: Floats) -> Floats:
        """Points x, y, shape (n, 2)."""
        inner = state[2] + self.at_nodes @ self.coefficients(state)
        way = state[3] * self._summed(np.column_stack([np.cos(inner), np.sin(inner)]))
        edge = state[2] + self.at_edges @ self.coefficients(state)
        tangent = state[3] * self.edges[1] * np.column_stack([np.cos(edge), np.sin(edge)])
        i, f = self._panel(share)
        point = (  # cubic between the edges of a panel: place and direction fit at both
            (1 + 2 * f) * (1 - f) ** 2 * way[i]
            + f * (1 - f) ** 2 * tangent[i]
            + f**2 * (3 - 2 * f) * way[i + 1]
            + f**2 * (f - 1) * tangent[i + 1]
        )
        return np.asarray(state[:2] + point)

    def slopes(self, share: Floats, state: Floats, place: Floats) -> tuple[Floats, Floats]:
        """How x and y of the points on the curve change with each number of the state."""
        inner = state[2] + self.at_nodes @ self.coefficients(state)
        dx = -state[3] * self._summed(np.sin(inner)[:, None] * self.lever)
        dy = state[3] * self._summed(np.cos(inner)[:, None] * self.lever)
        i, f = self._panel(share)
        one, none, off = np.ones(share.size), np.zeros(share.size), place - state[:2]
        by_x = [one, none, -off[:, 1], off[:, 0] / state[3], (1 - f) * dx[i] + f * dx[i + 1]]
        by_y = [none, one, off[:, 0], off[:, 1] / state[3], (1 - f) * dy[i] + f * dy[i + 1]]
        return np.column_stack(by_x), np.column_stack(by_y)

    def _panel(self, share: Floats) -> tuple[NDArray[np.intp], Floats]:
        """The panel in which each share lies, and how far along it."""
        panels = self.edges.size - 1
        i = np.clip((share * panels).astype(int), 0, panels - 1)
        return i, (share * panels - i)[:, None]

    def _summed(self, f: Floats) -> Floats:
        """Integral from the start to the edge of each panel, of values at the nodes."""
        panels = self.edges.size - 1
        steps = np.tensordot(f.reshape(panels, 3, -1), _SHARES / (2 * panels), axes=(1, 0))
        return np.concatenate([np.zeros((1, steps.shape[1])), np.cumsum(steps, axis=0)])

    def kept(self, share: Floats) -> Floats:
        """Shares brought back to 0 to 1."""
        return np.asarray(share % 1.0 if self.closed else np.clip(share, 0.0, 1.0))

    def apart(
        self, state: Floats, points: Floats, share: Floats
    ) -> tuple[Floats, Floats, Floats, Floats]:
        """How far points lie to the left and ahead; where the curve is, and its direction."""
        place, heading = self.place(share, state), self.heading(share, state)
        cos, sin, off = np.cos(heading), np.sin(heading), points - place
        aside, ahead = off[:, 1] * cos - off[:, 0] * sin, off[:, 0] * cos + off[:, 1] * sin
        return aside, ahead, place, heading

    def rows(
        self, state: Floats, points: Floats, share: Floats
    ) -> tuple[Floats, Floats, Floats, Floats]:
        """How far points lie to the left and ahead, and how both change with the state."""
        aside, ahead, place, heading = self.apart(state, points, share)
        by_x, by_y = self.slopes(share, state, place)
        cos, sin = np.cos(heading)[:, None], np.sin(heading)[:, None]
        return aside, ahead, by_y * cos - by_x * sin, by_x * cos + by_y * sin

    def seam(self, state: Floats) -> tuple[Floats, Floats]:
        """From the end to the start of a closed curve, and how its end moves with the state."""
        both = np.array([0.0, 1.0])
        place = self.place(both, state)
        by_x, by_y = self.slopes(both, state, place)
        return place[0] - place[1], np.array([by_x[1] - by_x[0], by_y[1] - by_y[0]])


@lru_cache(maxsize=32)
def family(spans: int, closed: bool) -> Family:
    """Cubic splines for the curvature, with the cost of its second derivative."""
    from scipy.interpolate import BSpline

    count = spans + 3
    steps = np.linspace(0.0, 1.0, spans + 1)
    if closed:
        knots = np.arange(-3, spans + 4) / spans
        wrap = np.eye(spans)[np.arange(count) % spans]
        level_free = np.linalg.svd(np.ones((1, spans)))[2][1:].T  # they sum to nothing
        spread, level = wrap @ level_free, np.full(count, -FULL_TURN)
    else:
        knots = np.concatenate([np.zeros(3), steps, np.ones(3)])
        spread, level = np.eye(count), np.zeros(count)
    edges = np.linspace(0.0, 1.0, max(200, 4 * spans) + 1)
    width = edges[1]
    nodes = (edges[:-1, None] + (_NODES + 1) * width / 2).ravel()
    anti = BSpline(knots, np.eye(count), 3).antiderivative()
    anti.c = anti.c - anti(0.0)
    bend = BSpline(knots, np.eye(count), 3).derivative(2)(nodes) @ spread
    weight = np.tile(_SHARES * width / 2, edges.size - 1)
    free = 0 if closed else 2  # an even swing of the curvature costs nothing
    costs = []
    for first, last in ((0.0, 0.0),) if closed else _ENDS:
        near = first * np.exp(-((nodes / _ZONE) ** 2)) + last * np.exp(
            -(((1 - nodes) / _ZONE) ** 2)
        )
        costs.append(bend.T @ (bend * (weight * _LOOSER ** (-2 * near))[:, None]))
    stiff = np.linalg.eigh(costs[0])[1][:, free:]
    logs = tuple(float(np.linalg.slogdet(stiff.T @ c @ stiff)[1]) for c in costs)
    rank = spread.shape[1] - free
    inside = (edges, anti(edges), anti(nodes), anti(nodes) @ spread)
    return Family(knots, spread, level, anti, *inside, tuple(costs), logs, rank, closed)
