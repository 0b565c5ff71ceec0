"""The curve behind measured points: how smooth it is, the points and their noise decide."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from foamcalc.shape.family import Family, family
from foamcalc.shape.plane import Floats

_MOST_SPANS = 100
"""Pieces of the curvature spline; as many as there are points, but no more than this."""
_LEVELS = np.geomspace(0.03, 1e6, 50)
"""How freely the curvature may swing: from 'as good as an arc' to 'through every point'."""
_MOST_GROUPS = 200
"""Groups of points that the first guess is made from."""
_SEAM = 1e-3
"""How far the ends of a closed curve may stay apart, in units of the noise."""


class Smooth(NamedTuple):
    """A curve fitted to points."""

    family: Family
    state: Floats
    """First point x, y [mm], first direction [rad], length [mm], then the spline's numbers."""
    covariance: Floats
    share: Floats
    """Where along the curve each point belongs, 0 to 1."""
    residuals: Floats
    """Distance of each point from the curve [mm], positive to the left of the way."""
    credit: float
    """Logarithm of how well this noise explains the points, whatever the curve."""

    @property
    def length(self) -> float:
        """Length along the curve [mm]."""
        return float(self.state[3])

    @property
    def stations(self) -> Floats:
        """Where each point belongs, as a length along the curve [mm]."""
        return self.share * self.length

    @property
    def length_error(self) -> float:
        """Standard error of the length [mm]."""
        return float(np.sqrt(self.covariance[3, 3]))

    def turn_error(self, start: float, end: float) -> float:
        """Standard error of the turn between two lengths along the curve [rad]."""
        both = self.family.turning(np.array([start, end]) / self.length)
        lever = np.concatenate([np.zeros(4), (both[1] - both[0]) @ self.family.spread])
        return float(np.sqrt(max(lever @ self.covariance @ lever, 0.0)))

    def heading(self, place: Floats) -> Floats:
        """Direction of travel [rad] at lengths along the curve [mm]."""
        return self.family.heading(np.clip(place / self.length, 0, 1), self.state)

    def curvature(self, place: Floats) -> Floats:
        """Change of direction to the left along the curve [1/mm]."""
        return self.family.swing(np.clip(place / self.length, 0, 1), self.state) / self.length

    def place(self, place: Floats) -> Floats:
        """Points x, y at lengths along the curve [mm], shape (n, 2)."""
        return self.family.place(np.clip(place / self.length, 0, 1), self.state)


def smooth(xy: Floats, noise: float, closed: bool) -> Smooth:
    """The curve behind points that scatter by `noise` [mm], with its covariance.

    Least squares of the distances to the curve, plus a cost for swings of the curvature. How
    dear a swing is, is not chosen but averaged over: each price counts by how well it explains
    the points (its marginal likelihood), so that the standard errors hold what the points leave
    open. The first and the last point also hold the curve along its way; a closed curve is held
    by its first point.
    """
    centre, size = xy.mean(axis=0), float(np.ptp(xy, axis=0).max())
    fit = _Fit(
        family(min(max(len(xy), 8), _MOST_SPANS), closed),
        (xy - centre) / size,
        noise / size,
        [0] if closed else [0, -1],
    )
    state, share = fit.first_guess(closed)
    level, mix = 10.0, np.eye(len(fit.family.costs))[0]
    for _ in range(4):
        state, share = fit.settled(state, share, level, mix)
        mean, covariance, mix, new, credit = fit.averaged(state, share, level)
        level, old = new, level
        if abs(np.log(level / old)) < 0.1:
            break
    share = fit.nearest(mean, share)
    residuals = fit.family.apart(mean, fit.points, share)[0]
    scale = np.ones(mean.size)
    scale[[0, 1, 3]] = size
    mean = mean * scale
    mean[:2] += centre
    covariance *= np.outer(scale, scale)
    return Smooth(fit.family, mean, covariance, share, residuals * size, credit)


def grouped(xy: Floats, noise: float, closed: bool) -> tuple[Floats, Floats, Floats]:
    """Groups of neighbouring points that stand clear of each other, for a first look."""

    def clear(one: tuple[Floats, float, int], other: tuple[Floats, float, int]) -> bool:
        far = 4 * noise * np.sqrt(1 / one[2] + 1 / other[2])
        return bool(np.hypot(*(one[0] - other[0])) >= far)

    def joined(
        one: tuple[Floats, float, int], other: tuple[Floats, float, int]
    ) -> tuple[Floats, float, int]:
        both = one[2] + other[2]
        share = other[2] / both
        return one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]), both

    size, count = float(np.ptp(xy, axis=0).max()), len(xy)
    many = (size * np.sqrt(count) / (6 * noise)) ** (2 / 3) if noise > 0 else np.inf
    groups: list[tuple[Floats, float, int]] = []
    for part in np.array_split(np.arange(count), int(min(count, _MOST_GROUPS, max(1.0, many)))):
        group = (xy[part].mean(axis=0), float(part.mean()), len(part))
        while groups and not clear(groups[-1], group):
            group = joined(groups.pop(), group)
        groups.append(group)
    while closed and len(groups) > 2 and not clear(groups[-1], groups[0]):
        group = groups.pop()
        groups.append(joined(groups.pop(), group))
    return (
        np.array([g[0] for g in groups]),
        np.array([g[1] for g in groups]),
        np.array([g[2] for g in groups], dtype=float),
    )


def scatter(xy: Floats, closed: bool) -> float:
    """How much points scatter [mm], by each one's distance from the cubic through its neighbours.

    ``p[0] - (4 p[-1] + 4 p[1] - p[-2] - p[2])/6`` across the way has 35/18 of the variance of a
    point; the median of its size is 0.6745 standard deviations. Bends that are tight beside the
    distance of the points count as scatter.
    """
    track = np.concatenate([xy[-2:], xy, xy[:2]]) if closed else xy
    a, b, c, d, e = (track[i : len(track) - 4 + i] for i in range(5))
    off, along = c - (4 * b + 4 * d - a - e) / 6, d - b
    way = np.hypot(along[:, 0], along[:, 1])
    across = np.abs(along[:, 0] * off[:, 1] - along[:, 1] * off[:, 0])[way > 0] / way[way > 0]
    return float(np.median(across) / (0.6745 * np.sqrt(35 / 18))) if across.size else 0.0


class _Fit(NamedTuple):
    """Points of size 1, and the curves that may lie behind them."""

    family: Family
    points: Floats
    noise: float
    held: list[int]
    """Points that hold the curve along its way too."""

    def first_guess(self, closed: bool) -> tuple[Floats, Floats]:
        """A state and the points' shares from the directions between groups of points."""
        middle, number, _ = grouped(self.points, self.noise, closed)
        count = len(self.points)
        if closed:
            middle = np.concatenate([middle, middle[:1]])
            number = np.append(number, number[0] + count)
        step = np.diff(middle, axis=0)
        run = np.append(0.0, np.cumsum(np.hypot(*step.T)))
        pace = np.diff(run) / np.diff(number)
        index = np.arange(count)
        before, after = np.minimum(index - number[0], 0), np.maximum(index - number[-1], 0)
        way = np.interp(index, number, run) + before * pace[0] + after * pace[-1]
        length = run[-1] if closed else way[-1] - way[0]
        share = (way - way[0]) / length
        between = np.clip(((run[1:] + run[:-1]) / 2 - way[0]) / length, 0, 1)
        angle = np.unwrap(np.arctan2(step[:, 1], step[:, 0]))
        lever = self.family.turning(between)
        rows = np.column_stack([np.ones(len(angle)), lever @ self.family.spread])
        stiff = _padded(self.family.costs[0])[3:, 3:] / 1e4 + 1e-9 * np.eye(rows.shape[1])
        sought = rows.T @ (angle - lever @ self.family.level)
        free = np.linalg.solve(rows.T @ rows + stiff, sought)
        return np.concatenate([self.points[0], free[:1], [length], free[1:]]), share

    def nearest(self, state: Floats, share: Floats) -> Floats:
        """Where along the curve each point is nearest to it."""
        for _ in range(4):
            aside, ahead = self.family.apart(state, self.points, share)[:2]
            bend = 1 - self.family.swing(share, state) / state[3] * aside
            share = share + ahead / (state[3] * np.maximum(bend, 0.3))
            share = self.family.kept(share)
            share[self.held] = np.array(self.held) % 2.0  # 0 for the first, 1 for the last
        return share

    def system(self, state: Floats, share: Floats) -> tuple[Floats, Floats]:
        """What is off, in units of the noise, and how it changes with the state."""
        aside, ahead, by_aside, by_ahead = self.family.rows(state, self.points, share)
        off, by = [aside, ahead[self.held]], [by_aside, by_ahead[self.held]]
        if self.family.closed:
            gap, by_gap = self.family.seam(state)
            off.append(gap / _SEAM)
            by.append(by_gap / _SEAM)
        return np.concatenate(off) / self.noise, np.concatenate(by) / self.noise

    def bill(self, state: Floats, share: Floats, cost: Floats) -> float:
        """Squares of what is off, and the cost of the swings."""
        aside, ahead = self.family.apart(state, self.points, share)[:2]
        off = float((aside**2).sum() + (ahead[self.held] ** 2).sum())
        if self.family.closed:
            first, last = self.family.place(np.array([0.0, 1.0]), state)
            off += float(((last - first) ** 2).sum()) / _SEAM**2
        return off / self.noise**2 + float(state @ cost @ state)

    def settled(
        self, state: Floats, share: Floats, level: float, mix: Floats
    ) -> tuple[Floats, Floats]:
        """The best curve at one price of swings (Gauss-Newton, steps halved till they help)."""
        cost = _padded(np.tensordot(mix, np.array(self.family.costs), axes=1)) / level**2
        share = self.nearest(state, share)
        bill = self.bill(state, share, cost)
        for _ in range(40):
            off, by = self.system(state, share)
            step = _solved(by.T @ by + cost, by.T @ off - cost @ state)
            swing = float(np.abs(self.family.at_edges @ self.family.spread @ step[4:]).max())
            step *= min(1.0, 0.5 / max(1e-9, swing, abs(step[3]) / state[3]))
            for _ in range(8):
                new = self.nearest(state + step, share)
                now = self.bill(state + step, new, cost)
                if now <= bill:
                    break
                step /= 2
            else:
                break
            done = bill - now < 1e-4
            state, share, bill = state + step, new, now
            if done:
                break
        return state, share

    def averaged(
        self, state: Floats, share: Floats, level: float
    ) -> tuple[Floats, Floats, Floats, float, float]:
        """Mean and covariance over all prices of swings; mix of costs; the price; the credit."""
        from scipy.linalg import eigh

        off, by = self.system(state, share)
        target = off + by @ state
        plain, sought = by.T @ by, by.T @ target
        said, means, spreads, frames = [], [], [], []
        for cost, log in zip(self.family.costs, self.family.cost_logs, strict=True):
            priced = _padded(cost) / level**2
            whole = plain + priced
            unit = 1 / np.sqrt(np.diag(whole))
            part, frame = eigh(priced * np.outer(unit, unit), whole * np.outer(unit, unit))
            frame, part = unit[:, None] * frame, np.clip(part, 0.0, 1.0)
            weight = (1 - part) + np.outer((level / _LEVELS) ** 2, part)
            best = (frame.T @ sought) / weight
            explained = (best * (frame.T @ sought)).sum(axis=1)
            size = np.log(weight).sum(axis=1) - 2 * np.linalg.slogdet(frame)[1]
            said.append((explained - size + log) / 2 - self.family.rank * np.log(_LEVELS))
            means.append(best @ frame.T)
            spreads.append(1 / weight)
            frames.append(frame)
        weight = np.exp(np.array(said) - np.max(said))
        credit = float(np.max(said) + np.log(weight.sum()) - target @ target / 2)
        credit -= target.size * np.log(self.noise)
        weight /= weight.sum()
        mean = np.tensordot(weight, np.array(means), axes=2)
        covariance = np.zeros((mean.size, mean.size))
        for w, m, s, frame in zip(weight, means, spreads, frames, strict=True):
            covariance += (frame * (w @ s)) @ frame.T + ((m - mean) * w[:, None]).T @ (m - mean)
        level = float(np.exp(weight.sum(axis=0) @ np.log(_LEVELS)))
        return mean, covariance, weight.sum(axis=1), level, credit


def _padded(cost: Floats) -> Floats:
    """A cost of the spline's numbers as one of the whole state: place and length cost nothing."""
    whole = np.zeros((len(cost) + 4, len(cost) + 4))
    whole[4:, 4:] = cost
    return whole


def _solved(matrix: Floats, sought: Floats) -> Floats:
    """Solution of a symmetric system whose unknowns have very different sizes."""
    unit = 1 / np.sqrt(np.diag(matrix))
    return unit * np.linalg.solve(matrix * np.outer(unit, unit), unit * sought)
