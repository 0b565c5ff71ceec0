"""A smooth curve through every one of its points, taken as exact."""

from __future__ import annotations

from typing import Any

import numpy as np

from foamcalc.shape.outline import steps
from foamcalc.shape.plane import FULL_TURN, Floats

_PANELS = 4
"""Panels between two points for the length."""
_NODES, _SHARES = np.polynomial.legendre.leggauss(5)


class Through:
    """A cubic spline over the chords between its points, asked by length along it.

    Parameters
    ----------
    xy : ndarray, shape (n, 2)
        Points in order [mm], 4 or more.
    closed : bool
        Whether the last point is joined to the first.
    """

    def __init__(self, xy: Floats, closed: bool) -> None:
        from scipy.interpolate import CubicSpline

        knots = np.append(0.0, np.cumsum(np.hypot(*steps(xy, closed).T)))
        ends = "periodic" if closed else "not-a-knot"
        spline = CubicSpline(knots, np.append(xy, xy[:1], axis=0) if closed else xy, bc_type=ends)
        self._place: Any = spline
        self._velocity: Any = spline.derivative()
        self._bend: Any = spline.derivative(2)
        parts = np.linspace(0, 1, _PANELS, endpoint=False)
        inner = (knots[:-1, None] + np.diff(knots)[:, None] * parts).ravel()
        self._edges = np.append(inner, knots[-1])
        run = self._way(self._edges[:-1], self._edges[1:])
        self._runs = np.append(0.0, np.cumsum(run))
        self._angles = np.unwrap(np.arctan2(*self._velocity(self._edges).T[::-1]))
        self.length = float(self._runs[-1])

        self.stations = self._runs[::_PANELS][: len(xy)]
        self.length_error, self.residuals = 0.0, np.zeros(len(xy))

    def turn_error(self, start: float, end: float) -> float:
        """Standard error of the turn [rad]: none, for the points are exact."""
        return 0.0

    def _way(self, start: Floats, end: Floats) -> Floats:
        """Length between two parameters within one panel."""
        half = (end - start)[..., None] / 2
        t = start[..., None] + half * (_NODES + 1)
        speed = np.hypot(*np.moveaxis(self._velocity(t), -1, 0))
        return np.asarray((speed * _SHARES * half).sum(-1))

    def _parameter(self, place: Floats) -> Floats:
        """Parameter at a length along the curve: panel, then Newton."""
        i = np.clip(np.searchsorted(self._runs, place, side="right") - 1, 0, self._edges.size - 2)
        low, wide = self._edges[i], self._edges[i + 1] - self._edges[i]
        t = low + wide * (place - self._runs[i]) / (self._runs[i + 1] - self._runs[i])
        for _ in range(5):
            speed = np.hypot(*np.moveaxis(self._velocity(t), -1, 0))
            t = t - (self._runs[i] + self._way(low, t) - place) / speed
        return np.asarray(t)

    def heading(self, place: Floats) -> Floats:
        """Direction of travel [rad], counted on through whole turns."""
        t = self._parameter(place)
        velocity = np.moveaxis(self._velocity(t), -1, 0)
        raw, near = np.arctan2(velocity[1], velocity[0]), np.interp(t, self._edges, self._angles)
        return np.asarray(raw + FULL_TURN * np.round((near - raw) / FULL_TURN))

    def curvature(self, place: Floats) -> Floats:
        """Change of direction to the left along the curve [1/mm]."""
        t = self._parameter(place)
        (vx, vy), (ax, ay) = (np.moveaxis(f(t), -1, 0) for f in (self._velocity, self._bend))
        return np.asarray((vx * ay - vy * ax) / np.hypot(vx, vy) ** 3)

    def place(self, place: Floats) -> Floats:
        """Points x, y at lengths along the curve [mm], shape (n, 2)."""
        return np.asarray(self._place(self._parameter(place)))
