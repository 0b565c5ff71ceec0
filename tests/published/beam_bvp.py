"""A layered curved beam as a boundary value problem, solved by scipy: no line in common with ours.

Geometrically exact: no limit on turns or displacements, the line along the inside of the base may
stretch, sections stay plane and square to it. Foam is linear and does not thin. Along the length s
of the inside as it was meant, the unknowns are where the line is (x, y), its heading (falling where
it is convex), and the moment M about the inside. A section stretched by a and bent by k (turn for
each mm of s) has at height z the length a + k z for each mm of s, and each layer the natural length
n(z) there. Its pull N and moment M are

    N = sum of E w (a I0 + k I1 - t),  M = sum of E w (a I1 + k I2 - (zt^2 - zb^2)/2),
    I_p = integral of z^p / n(z) dz from zb to zt,

and a force F that is the same all along the beam gives N = F . along and M' = a F . across.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy.integrate import solve_bvp


class Sheet(NamedTuple):
    """One layer: natural length for each mm of the inside is n0 + n1 z, z from the inside."""

    bottom: float
    top: float
    stiff: float
    """Modulus times width [N/mm]."""
    n0: float
    n1: float = 0.0

    def integrals(self):
        """I0, I1, I2 by hand: powers for a flat layer, a logarithm for a formed one."""
        b, t, n0, n1 = self.bottom, self.top, self.n0, self.n1
        if n1 == 0:
            return (t - b) / n0, (t**2 - b**2) / 2 / n0, (t**3 - b**3) / 3 / n0
        i0 = np.log((n0 + n1 * t) / (n0 + n1 * b)) / n1
        i1 = ((t - b) - n0 * i0) / n1
        return i0, i1, ((t**2 - b**2) / 2 - n0 * i1) / n1


@dataclass(frozen=True)
class Run:
    """A stretch of the beam with one stack."""

    length: float
    """Along the inside as it was meant [mm]."""
    sheets: tuple[Sheet, ...]

    def constants(self):
        a, p = np.zeros(3), np.zeros(2)
        for sheet in self.sheets:
            a += sheet.stiff * np.array(sheet.integrals())
            p += sheet.stiff * np.array(
                [sheet.top - sheet.bottom, (sheet.top**2 - sheet.bottom**2) / 2]
            )
        return a, p


@dataclass(frozen=True)
class Solved:
    """The beam at rest."""

    x: np.ndarray
    y: np.ndarray
    heading: np.ndarray
    moment: np.ndarray
    force: np.ndarray
    """Fx, Fy [N]: what the end does to the beam; Fx below 0 pushes it back."""
    girth: float
    """Length of the inside at rest [mm]."""


def solve(runs, *, turn, ends, points=60):
    """The beam at rest, from a start in which it is as it was meant, evenly bent by `turn` in all.

    `ends` says what the two ends are: a number is the distance they are held at, free to turn;
    None is a ring. All runs share one variable from 0 to 1, side by side.
    """
    count = len(runs)
    known = [run.constants() for run in runs]
    whole = sum(run.length for run in runs)

    def section(i, heading, moment, force):
        (i0, i1, i2), (p0, p1) = known[i]
        along = force[0] * np.cos(heading) + force[1] * np.sin(heading)
        det = i0 * i2 - i1**2
        n, m = along + p0, moment + p1
        return (i2 * n - i1 * m) / det, (i0 * m - i1 * n) / det

    def slope(u, state, force):
        rows = []
        for i, run in enumerate(runs):
            _, _, heading, moment, _ = state[5 * i : 5 * i + 5]
            a, k = section(i, heading, moment, force)
            across = -force[0] * np.sin(heading) + force[1] * np.cos(heading)
            change = (a * np.cos(heading), a * np.sin(heading), -k, a * across, a)
            rows += [run.length * c for c in change]
        return np.vstack(rows)

    def conditions(start, end, force):
        first, last = start[:5], end[-5:]
        joins = [start[5 * i + j] - end[5 * i - 5 + j] for i in range(1, count) for j in range(5)]
        own = [first[0], first[1], first[4], last[1]]
        if ends is None:
            own += [first[2], last[0], last[2] + turn]
        else:
            own += [first[3], last[3], last[0] - ends]
        return np.array(joins + own)

    u = np.linspace(0, 1, points)
    guess, begun = [], 0.0
    for run in runs:
        s = begun + u * run.length
        first = 0.0 if ends is None else turn / 2
        heading = first - turn * s / whole
        radius = whole / turn
        guess += [
            radius * (np.sin(first) - np.sin(heading)),
            radius * (np.cos(heading) - np.cos(first)),
            heading,
            np.zeros_like(s),
            s,
        ]
        begun += run.length
    found = solve_bvp(
        slope, conditions, u, np.vstack(guess), p=np.zeros(2), tol=1e-7, max_nodes=20000
    )
    if not found.success:
        raise ArithmeticError(found.message)
    fine = found.sol(np.linspace(0, 1, 2001))
    x, y, heading, moment, length = (
        np.concatenate([fine[5 * i + j] for i in range(count)]) for j in range(5)
    )
    return Solved(x, y, heading, moment, found.p, float(length[-1]))
