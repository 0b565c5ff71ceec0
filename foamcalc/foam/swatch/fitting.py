"""Least squares of a foam law to measured points, with the errors of both readings as weights.

A strip tells a stretch and a stress, and both are off by what a ruler and a scale are off. The
places on the curve where the points belong are found together with the law; without that a noisy
stretch makes a foam look softer than it is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from foamcalc.foam.law import Floats, HyperFoam
from foamcalc.foam.swatch.points import Parameter, Points, reach

_TINY = 1e-5
"""Step of a difference, as a share of a parameter's scale."""
_MOST_STEPS = 300

MakeTerms = Callable[[Floats], Floats]
"""From all parameters to mu, alpha and Poisson's ratio of each term, shape (3, terms)."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Fit:
    """A fitted law, with the covariance of its parameters."""

    law: HyperFoam
    values: Floats
    """All parameters in the order given, fitted and held."""
    covariance: Floats
    """Of all parameters, with errors as large as they look where that is more than stated."""
    residuals: Floats
    """How far each point is off the law, in units of its stated error; above 0: too stiff."""
    scatter: float
    """How many times as large as stated the errors of the points look."""
    left_over: float
    """What `scatter` rests on: points more than parameters; 0: nothing."""
    make_terms: MakeTerms
    parameters: tuple[Parameter, ...]

    @property
    def reach(self) -> float:
        """Standard deviations to either end of an interval of `CONFIDENCE`."""
        return reach(self.scatter, self.left_over)

    def spread(self, questions: Callable[[HyperFoam], Sequence[float]]) -> Floats:
        """Standard deviations of numbers that the law answers, each in its own unit."""
        steps = np.array([1e-3 * p.scale for p in self.parameters])
        low, high = np.array([(p.low, p.high) for p in self.parameters]).T
        middle = np.clip(self.values, low + steps, high - steps)
        slopes = []
        for step in np.diag(steps):
            there, back = (
                np.array(questions(HyperFoam(*self.make_terms(middle + s)))) for s in (step, -step)
            )
            slopes.append((there - back) / (2 * step.sum()))
        by_value = np.array(slopes)
        variance: Floats = ((by_value.T @ self.covariance) * by_value.T).sum(1)
        return np.sqrt(variance)


def fit_law(points: Points, parameters: Sequence[Parameter], make_terms: MakeTerms) -> Fit:
    r"""The law for which the measured points are likeliest.

    Least is, over the law and the places :math:`\hat\lambda` on its curve,

    .. math::
        (\lambda-\hat\lambda)^T\Sigma_\lambda^{-1}(\lambda-\hat\lambda)
        + (p-P(\hat\lambda))^T\Sigma_p^{-1}(p-P(\hat\lambda))

    plus the same for the side stretches and for what is believed beforehand. The covariance is
    that of the problem made straight at its rest, with the errors of the points, and those of
    the sides, multiplied by their scatter where that is above 1. What is held is carried through
    it.
    """
    from scipy.optimize import least_squares

    problem = _Problem(points, tuple(parameters), make_terms)
    found = least_squares(
        problem.rows,
        problem.start,
        jac=problem.slopes,
        bounds=problem.bounds,
        x_scale=problem.scales,
        ftol=1e-6,
        xtol=1e-6,
        max_nfev=_MOST_STEPS,
    )
    if found.status <= 0:
        raise ArithmeticError(
            f"no law was found near these points in {_MOST_STEPS} steps; look for a reading that "
            "is far off"
        )
    return problem.finished(found.x)


class _Problem:
    """Unknowns: the parameters that are free, then each point's shift along the stretch."""

    def __init__(
        self, points: Points, parameters: tuple[Parameter, ...], make_terms: MakeTerms
    ) -> None:
        self.points, self.parameters, self.make_terms = points, parameters, make_terms
        self.size, self.sides = points.stretch.size, list(points.side_of)
        self.free = np.array([p.held is None for p in parameters])
        self.keep = np.concatenate([self.free, np.full(self.size, True)])
        self.known = [i for i, p in enumerate(parameters) if p.prior is not None and self.free[i]]
        self.priors = np.array([parameters[i].prior for i in self.known])
        self.values = np.array([p.start for p in parameters])
        sizes, axes = np.linalg.eigh(points.stretch_cov)
        self.shift = axes * np.sqrt(np.maximum(sizes, 0.0))
        self.weight = np.linalg.inv(np.linalg.cholesky(points.stress_cov))
        self.side_weight = np.linalg.inv(np.linalg.cholesky(points.side_cov))
        chosen = [p for p in parameters if p.held is None]
        # A place may move by half its stretch at most, so that it stays one.
        room = float(np.abs(self.shift).sum(1).max())
        most = float(points.stretch.min()) / (2 * room) if room else np.inf
        zero, far = np.zeros(self.size), np.full(self.size, most)
        self.start = np.concatenate([[p.start for p in chosen], zero])
        self.bounds = (
            np.concatenate([[p.low for p in chosen], -far]),
            np.concatenate([[p.high for p in chosen], far]),
        )
        self.scales = np.concatenate([[p.scale for p in chosen], zero + 1])

    def whole(self, unknowns: Floats) -> tuple[Floats, Floats]:
        """All parameters, and the places on the curve."""
        values = self.values.copy()
        values[self.free] = unknowns[: -self.size]
        return values, self.points.stretch + self.shift @ unknowns[-self.size :]

    def rows(self, unknowns: Floats) -> Floats:
        """Shifts, then how far stress, side and beliefs are off, each over its error."""
        values, places = self.whole(unknowns)
        answer = HyperFoam(*self.make_terms(values)).unchecked(places, "free")
        return np.concatenate(
            [
                unknowns[-self.size :],
                self.weight @ (self.points.stress - answer.stress),
                self.side_weight @ (self.points.side - answer.side[self.sides]),
                (values - self.values)[self.known] / self.priors,
            ]
        )

    def slopes(self, unknowns: Floats) -> Floats:
        """Slopes of the rows over the unknowns."""
        return self.all_slopes(unknowns)[:, self.keep]

    def all_slopes(self, unknowns: Floats) -> Floats:
        """Slopes of the rows over all parameters and the shifts."""
        values, places = self.whole(unknowns)
        count = values.size
        answer = HyperFoam(*self.make_terms(values)).unchecked(places, "free")
        stress, side = self._by_value(values, places, answer.side)
        by_value = np.vstack(
            [
                np.zeros((self.size, count)),
                -self.weight @ stress,
                -self.side_weight @ side[self.sides],
                np.eye(count)[self.known] / self.priors[:, None],
            ]
        )
        by_shift = np.vstack(
            [
                np.eye(self.size),
                -self.weight @ (answer.tangent[:, None] * self.shift),
                -self.side_weight @ (answer.side_slope[:, None] * self.shift)[self.sides],
                np.zeros((len(self.known), self.size)),
            ]
        )
        return np.hstack([by_value, by_shift])

    def _by_value(self, values: Floats, places: Floats, side: Floats) -> tuple[Floats, Floats]:
        """Slopes of stress and of side stretch over each parameter, shape (n, parameters).

        The side that carries no stress moves with the parameters, by the rule for a function
        that is given by an equation.
        """
        high = np.array([p.high for p in self.parameters])
        steps = np.array([_TINY * p.scale for p in self.parameters])
        steps = np.where(values + steps > high, -steps, steps)
        moved = [values, *(values + step for step in np.diag(steps))]
        terms = np.array([self.make_terms(v) for v in moved]).transpose(1, 0, 2)[..., None]
        log, y = np.log(places), np.log(side)
        along, across = _pulls(terms, log, y)
        tiny = 1e-6
        along_y, across_y = _pulls(terms[:, :1], log, y + tiny)
        along_y, across_y = (along_y[0] - along[0]) / tiny, (across_y[0] - across[0]) / tiny
        turned = -(across[1:] - across[0]) / across_y
        stress = (along[1:] - along[0] + along_y * turned) / places
        return (stress / steps[:, None]).T, (side * turned / steps[:, None]).T

    def finished(self, unknowns: Floats) -> Fit:
        """The fit at rest."""
        values, _ = self.whole(unknowns)
        rows, slopes, n = self.rows(unknowns), self.all_slopes(unknowns), self.size
        keep = self.keep
        fitted = slopes[:, keep]
        hat = np.einsum("ij,jk,ik->i", fitted, np.linalg.inv(fitted.T @ fitted), fitted)
        sides = slice(2 * n, 2 * n + len(self.sides))
        scatter, left_over = _scatter(rows[: 2 * n], hat[: 2 * n])
        slopes[: 2 * n] /= max(scatter, 1.0)
        slopes[sides] /= max(_scatter(rows[sides], hat[sides])[0], 1.0)
        fitted, held = slopes[:, keep], slopes[:, ~keep]
        inverse = np.linalg.inv(fitted.T @ fitted)
        # Columns: how every unknown moves with the readings' errors and with what is held.
        moves = np.zeros((keep.size, int((~keep).sum())))
        moves[keep], moves[~keep] = -inverse @ fitted.T @ held, np.eye(moves.shape[1])
        doubt = np.array([p.held for p in self.parameters if p.held is not None])
        covariance = moves * doubt**2 @ moves.T
        covariance[np.ix_(keep, keep)] += inverse
        return Fit(
            law=HyperFoam(*self.make_terms(values)),
            values=values,
            covariance=covariance[: values.size, : values.size],
            residuals=np.sign(rows[n : 2 * n]) * np.hypot(rows[:n], rows[n : 2 * n]),
            scatter=scatter,
            left_over=left_over,
            make_terms=self.make_terms,
            parameters=self.parameters,
        )


def _scatter(rows: Floats, hat: Floats) -> tuple[float, float]:
    """How many times as large as stated errors look, and the readings left over to tell."""
    left_over = float(rows.size - hat.sum())
    if left_over < 0.5:
        return 1.0, 0.0
    return float(np.sqrt(rows @ rows / left_over)), left_over


def _pulls(terms: Floats, log: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Stress times stretch, and side stress times side stretch [MPa], shape (laws, points).

    Terms have the shape (3, laws, terms, 1); `log` and `y` are the logarithms of the stretch and
    of the side stretch.
    """
    mu, alpha, poisson = terms
    bulk = np.exp(-alpha * poisson / (1 - 2 * poisson) * (log + 2 * y))
    stiff = 2 * mu / alpha
    along, across = np.exp(alpha * log) - bulk, np.exp(alpha * y) - bulk
    return (stiff * along).sum(1), (stiff * across).sum(1)
