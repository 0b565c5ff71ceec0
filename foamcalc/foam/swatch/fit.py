"""A foam law, its limits and its set, from strips of the maker's own sheet.

No public table of EVA sheet can be trusted, and foams differ by a factor of three. A strip, a
ruler, a bag of known weight and a clock tell more.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from foamcalc.foam.grades import foam_entries
from foamcalc.foam.law import Floats, HyperFoam
from foamcalc.foam.swatch.recovery import MOST_LEFT, reach, recovery, relaxation, working_limit
from foamcalc.foam.swatch.result import MEASURED, Estimate, PointCheck, Swatch
from foamcalc.foam.swatch.strips import (
    ROOT3,
    WARMTHS,
    ReadingErrors,
    Strip,
    Warmth,
    odd_ones,
    strip_faults,
)
from foamcalc.guards import one_of
from foamcalc.tables import Entry

SECANT = 0.10
"""Strain either way at which pulled and squeezed are compared."""
SIDE_WIDTH = 120.0
"""Least width of a strip whose side stretch counts, in errors of reading: 60 mm by a ruler.

Two errors less will do, for a strip that was cut to it."""
LEAST_FOR_ALPHA = 4
"""Points from which the shape of the curve is fitted (assumed)."""
_LEAST_SPAN = 0.10
"""Spread of stretches from which the shape of the curve is fitted (assumed)."""
_LEAST_FOR_TWO = 3
"""Points either way from which two terms are fitted (assumed)."""
_WIDEST_RATIO = 0.15
"""Error of Poisson's ratio, for 90 %, above which the table is better (assumed)."""
_HIGHEST_RATIO = 0.49
_NEARLY = 0.8
"""Share of `SECANT` to which both sides must have been tested."""
_BELIEVED = f"{MEASURED}, together with what was believed beforehand"
_MOST_STEPS = 300
_STEP = 1e-4
"""Step of a difference, as a share of the range of a parameter."""


def fit_swatch(
    strips: Sequence[Strip],
    *,
    warmth: Warmth = "cold",
    errors: ReadingErrors | None = None,
    grade: str = "EVA medium",
    most_left: float = MOST_LEFT,
) -> Swatch:
    """What strips of one sheet say about its foam.

    Parameters
    ----------
    strips : sequence of Strip
        Everything that was hung up and squeezed; cold and warm are never mixed.
    warmth : {"cold", "warm"}
        Which of them to use.
    errors : ReadingErrors, optional
        How far the readings may be off; a ruler and a kitchen scale if left out.
    grade : str
        Row of foams.csv for what the strips cannot tell.
    most_left : float
        Share of a stretch that may be left of it in a strip that came back [1], 0 to 1.

    Returns
    -------
    Swatch
        The law with its intervals, limits and what is forgotten.

    Raises
    ------
    ValueError
        For readings that cannot be right, with strip, reading, value and remedy, all of them
        together; for fewer than two loads; for a law that takes less force for more stretch
        inside the range that was tested.
    ArithmeticError
        If no law is found near the readings.

    Notes
    -----
    Pulled only, or squeezed only: one term, with modulus and alpha from the first reading under
    each load (alpha from four loads up, over 10 % of stretch at least; else from the table), and
    Poisson's ratio from the widths of strips that are 120 errors of reading wide (60 mm by a
    ruler), else from the table. At least three of each: two terms with their own ratios. The
    intervals hold the truth in 90 of 100 swatches if the stated errors are true and the foam is
    alike along the sheet (pulled) and through it (squeezed); where the strips scatter more than
    that they are widened by it. Errors that all strips share are only in
    the modulus. The law is that of the minute of the first reading.

    Examples
    --------
    Invented strips, 60 by 5 mm, 150 mm between the marks, read after one minute:

    >>> from foamcalc.foam.swatch.strips import StripReading
    >>> rows = [(22.4, 157.5, 59.5), (45.2, 165, 59.5), (72.0, 172.5, 59), (101, 180, 59)]
    >>> strips = [Strip(name=f"{n}", width=60, thickness=5, gauge=150,
    ...                 readings=[StripReading(load=f, length=l, time=1, width_now=w)])
    ...           for n, (f, l, w) in enumerate(rows, 1)]
    >>> swatch = fit_swatch(strips)
    >>> e = swatch.modulus
    >>> print(f"modulus {e.value:.1f} MPa ({e.low:.1f} to {e.high:.1f}), {swatch.alpha[0].basis}")
    modulus 1.4 MPa (1.3 to 1.6), measured
    """
    errors = errors or ReadingErrors()
    chosen = _chosen(strips, warmth, errors)
    points, owners = measured_points(chosen, errors)
    count = len(owners)
    if count < 2:
        raise ValueError(
            f"{count} load(s) on {warmth} strips; a law needs two at least, and five "
            "fresh strips with a load each say much more"
        )
    rows = {row.quantity: row for row in foam_entries(grade)}
    fit = _fit(points, sum(strip.sign > 0 for strip in owners), rows)
    _refuse_folded(fit.law, points)
    alpha, poisson = (_estimates(fit, first) for first in (1, 2))
    modulus, secants = _curve(fit, points, owners, errors)
    back = tuple(r for r in (recovery(s, errors) for s in chosen) if r is not None)
    return Swatch(
        strips=chosen,
        errors=errors,
        law=fit.law,
        modulus=modulus,
        alpha=alpha,
        poisson=poisson,
        secant_ratio=secants,
        scatter=fit.scatter,
        left_over=fit.left_over,
        forgets=relaxation(chosen, fit.law, errors),
        pull_limit=working_limit(back, "pull", most_left=most_left),
        squeeze_limit=working_limit(back, "squeeze", most_left=most_left),
        most_left=most_left,
        recovery=back,
        points=tuple(
            PointCheck(strip=strip.name, stretch=float(x), stress=float(p), off=float(off))
            for strip, x, p, off in zip(owners, points.stretch, points.stress, fit.off, strict=True)
        ),
        rests_on=tuple(dict.fromkeys(p.row for p in fit.parameters if p.row)),
    )


def _chosen(strips: Sequence[Strip], warmth: Warmth, errors: ReadingErrors) -> tuple[Strip, ...]:
    """The strips of one warmth; ValueError with everything that cannot be right."""
    one_of(warmth, "warmth", WARMTHS)
    if isinstance(strips, Strip) or not all(isinstance(s, Strip) for s in strips):
        raise TypeError("strips must be a list of Strip")
    names = [s.name for s in strips]
    if twice := sorted({n for n in names if names.count(n) > 1}):
        raise ValueError(f"strip {twice[0]} stands twice; give each strip its own name")
    chosen = tuple(s for s in strips if s.warmth == warmth)
    if not chosen:
        raise ValueError(f"there is no {warmth} strip; cold and warm ones are never mixed")
    wrong = [
        f"strip {strip.name}{'' if f.reading is None else f', reading {f.reading + 1}'}, "
        f"{f.what}: {f.text}"
        for strip in chosen
        for f in strip_faults(strip, errors)
    ]
    wrong = wrong or [f"strip {strip.name} {text}" for strip, text in odd_ones(chosen, errors)]
    if wrong:
        raise ValueError("\n".join(wrong))
    return chosen


def _refuse_folded(law: HyperFoam, points: Points) -> None:
    low, high = law.stable_range("free")
    least, most = points.stretch.min(), points.stretch.max()
    if not (low < least and most < high):
        raise ValueError(
            f"the fitted law takes less force for more stretch outside {low:.3f} to {high:.3f}, "
            f"but strips were read from {least:.3f} to {most:.3f}; look for a strip that "
            "tore, slipped in its clamp or was read late, and leave it out"
        )


def _estimates(fit: Fit, first: int) -> tuple[Estimate, ...]:
    """Alpha (from the parameter 1 on) or Poisson's ratio (from 2 on) of each term."""
    found = []
    for k in range(first, len(fit.parameters), 3):
        parameter, value, wide = fit.parameters[k], float(fit.values[k]), fit.half_width(k)
        basis = MEASURED if len(fit.parameters) == 3 else _BELIEVED
        low, high = value - wide, value + wide
        if parameter.held is not None:
            low, high = parameter.low, parameter.high
            basis = f"from the table: {parameter.row}" if parameter.row else MEASURED
        elif first == 2:
            low, high = max(low, 0.0), min(high, 0.5)
        found.append(Estimate(value=value, low=low, high=high, basis=basis))
    return tuple(found)


def _curve(
    fit: Fit, points: Points, owners: Sequence[Strip], errors: ReadingErrors
) -> tuple[Estimate, Estimate]:
    """Modulus at rest, and pulled over squeezed, with their intervals."""

    def logs(values: Floats) -> Floats:
        law = fit.law_of(values)
        pulled, squeezed = law.stress([1 + SECANT, 1 - SECANT])
        return np.log([law.modulus, -pulled / squeezed])

    slopes = _slopes(logs, fit.values, fit.parameters)
    wide = np.sqrt(((slopes @ fit.covariance) * slopes).sum(1))
    wide[0] = math.hypot(wide[0], errors.calibration / ROOT3)
    signs = {strip.sign for strip in owners}
    far = _NEARLY * SECANT
    basis = MEASURED
    if len(signs) == 1:
        basis = f"from the law: nothing was {'squeezed' if 1 in signs else 'pulled'}"
    elif points.stretch.min() > 1 - far or points.stretch.max() < 1 + far:
        basis = f"{MEASURED}, carried on to {SECANT:.0%} by the law"
    middle, ends = logs(fit.values), fit.reach * wide
    modulus, secants = (
        Estimate(value=value, low=low, high=high, basis=said)
        for value, low, high, said in zip(
            *np.exp([middle, middle - ends, middle + ends]).tolist(), (MEASURED, basis), strict=True
        )
    )
    return modulus, secants


# Points -----------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True, eq=False)
class Points:
    """n measured points of one foam, and m side stretches that belong to some of them."""

    stretch: Floats
    """Length now over length as marked [1], shape (n,)."""
    stress: Floats
    """Force over area as cut [MPa], shape (n,), negative where squeezed."""
    stretch_cov: Floats
    """Covariance of the errors of `stretch` [1], shape (n, n)."""
    stress_cov: Floats
    """Covariance of the errors of `stress` [MPa2], shape (n, n)."""
    side: Floats = field(default_factory=lambda: np.empty(0))
    """Width now over width as cut [1], shape (m,)."""
    side_of: Sequence[int] = ()
    """The point, from 0, that each `side` belongs to."""
    side_cov: Floats = field(default_factory=lambda: np.empty((0, 0)))
    """Covariance of the errors of `side` [1], shape (m, m)."""


def measured_points(
    strips: Sequence[Strip], errors: ReadingErrors
) -> tuple[Points, tuple[Strip, ...]]:
    """The points of strips with the covariance of their errors, and whose they are.

    Readings of one strip share the errors of its gauge length, its width and its thickness, and
    its own stiffness.
    """
    pairs = [(strip, r) for strip in strips for r in strip.points(errors)]
    owners = tuple(strip for strip, _ in pairs)
    stretch = np.array([strip.stretch(r) for strip, r in pairs])
    stress = np.array([strip.stress(r) for strip, r in pairs])
    owner = np.array([id(strip) for strip in owners])
    same = (owner[:, None] == owner).astype(float)
    gauge, width, thick, area = (
        np.array([getattr(strip, n) for strip in owners])
        for n in ("gauge", "width", "thickness", "area")
    )
    pulled = np.array([strip.sign > 0 for strip in owners])
    length = errors.length / ROOT3 / gauge
    share = (errors.width / width) ** 2 + errors.strips**2
    share += (np.where(pulled, errors.thickness, errors.width) / thick) ** 2
    least = (SIDE_WIDTH - 2) * errors.width
    seen = [i for i, (s, r) in enumerate(pairs) if r.width_now is not None and s.width >= least]
    side = np.array([pairs[i][1].width_now for i in seen], dtype=float) / width[seen]
    off = errors.width / ROOT3 / width[seen]
    points = Points(
        stretch=stretch,
        stress=stress,
        stretch_cov=same * np.outer(length * stretch, length * stretch) + np.diag(length**2),
        stress_cov=same * np.outer(stress, stress) * share / 3
        + np.diag((errors.load / ROOT3 / area) ** 2),
        side=side,
        side_of=seen,
        side_cov=same[np.ix_(seen, seen)] * np.outer(off * side, off * side) + np.diag(off**2),
    )
    return points, owners


# Laws of one term and of two --------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Parameter:
    """One number of a law: fitted from a start, or held and uncertain by so much."""

    start: float
    """Where the search begins, or the value that is held."""
    low: float
    high: float
    """The range that is searched, or that is believed."""
    prior: float | None = None
    """Standard deviation with which `start` is believed before anything is measured."""
    held: float | None = None
    """Keep it at `start`, and let this standard deviation, 0 or more, widen the others."""
    row: str = ""
    """The row of the table that it is from."""


def _fit(points: Points, pulls: int, rows: dict[str, Entry]) -> Fit:
    """Two terms where enough was pulled and squeezed, else one; what is not told, by the table."""
    count = points.stretch.size
    ratio = _side_ratio(points)
    poisson = ratio or _from_row(rows["poisson"])
    if min(pulls, count - pulls) >= _LEAST_FOR_TWO:
        return two_terms(points, None if ratio else poisson)
    row = rows["alpha"]
    if count >= LEAST_FOR_ALPHA and np.ptp(points.stretch) >= _LEAST_SPAN:
        fit = _one_term(points, poisson, None)
        if row.low is None or row.high is None or fit.half_width(1) <= (row.high - row.low) / 2:
            return fit
    return _one_term(points, poisson, _from_row(row))


def _from_row(row: Entry) -> Parameter:
    """A number that is held at the table's value, uncertain by the table's range."""
    low, high = row.low, row.high
    if low is None or high is None:
        raise ValueError(f"{row.row_id} in {row.table}.csv needs low and high; fill them in")
    error = (high - low) / 2 / ROOT3
    return Parameter(start=row.value, low=low, high=high, held=error, row=row.describe())


def _side_ratio(points: Points) -> Parameter | None:
    """Poisson's ratio for which the widths fall as ``stretch**-nu``; None: they do not tell it."""
    if not points.side.size:
        return None
    seen = list(points.side_of)
    log, fall = np.log(points.stretch[seen]), -np.log(points.side)
    cov = points.side_cov / np.outer(points.side, points.side)
    lengths = points.stretch_cov[np.ix_(seen, seen)]
    lengths = lengths / np.outer(points.stretch[seen], points.stretch[seen])
    value = 0.0
    for _ in range(3):  # the stretch is off too, which matters by as much as the foam narrows
        weight = np.linalg.inv(cov + value**2 * lengths)
        value = float(log @ weight @ fall / (log @ weight @ log))
    off, left_over = fall - value * log, fall.size - 1.0
    scatter = math.sqrt(float(off @ weight @ off) / left_over) if left_over else 1.0
    error = max(scatter, 1.0) / math.sqrt(float(log @ weight @ log))
    wide = reach(scatter, left_over) * error
    low, high = max(value - wide, 0.0), min(value + wide, 0.5)
    if low > high or low >= 0.5:
        raise ValueError(
            f"the widths make Poisson's ratio {value:.2f}, which no foam has; read widths as "
            "cut and now again, half way between the marks"
        )
    if wide > _WIDEST_RATIO:
        return None
    start = min(max(value, 0.0), _HIGHEST_RATIO)
    return Parameter(start=start, low=low, high=high, held=error)


def _one_term(points: Points, poisson: Parameter, alpha: Parameter | None) -> Fit:
    """A law of one term; `alpha` None: fitted too.

    Parameters are the logarithm of the modulus at rest, alpha, and Poisson's ratio, which is held.
    """
    least = np.sqrt(np.diag(points.stretch_cov))
    strain = np.maximum(np.abs(points.stretch - 1), least)  # never so near 0 that it means nothing
    stiff = float(np.log(np.median(np.abs(points.stress) / strain)))
    shape = alpha or Parameter(start=6.0, low=-12.0, high=40.0)
    modulus = Parameter(start=stiff, low=stiff - 5, high=stiff + 5)
    plain = replace(points, side=np.empty(0), side_of=(), side_cov=np.empty((0, 0)))

    def law_of(values: Floats) -> HyperFoam:
        return HyperFoam.from_modulus(math.exp(values[0]), alpha=values[1], poisson=values[2])

    return fit_law(plain, (modulus, shape, poisson), law_of)


def two_terms(points: Points, poisson: Parameter | None) -> Fit:
    """A law of two terms, one that rules when pulled and one that rules when squeezed.

    `poisson` None: each term's own ratio is fitted to the side stretches.

    Parameters are each term's own stress at the farthest point of its side, its alpha (above 1,
    below -0.2) and its ratio. Eight numbers do not tell six parameters well, so alpha is believed
    to be 8 ± 6 and -4 ± 3 beforehand, and a ratio 0.2 ± 0.2 (standard deviations, assumed). The
    curve is known better than its parameters.
    """
    far = np.array([points.stretch.max(), points.stretch.min()])
    ratio = poisson or Parameter(start=0.2, low=0.0, high=_HIGHEST_RATIO, prior=0.2)
    parameters: list[Parameter] = []
    for end, share, alpha, low, high, belief in (
        (far[0], 0.9, 8.0, 1.0, 30.0, 6.0),
        (far[1], 0.5, -4.0, -15.0, -0.2, 3.0),
    ):
        most = abs(float(points.stress[np.argmin(np.abs(points.stretch - end))]))
        parameters += [
            Parameter(start=share * most, low=most / 50, high=3 * most),
            Parameter(start=alpha, low=low, high=high, prior=belief),
            ratio,
        ]

    def law_of(values: Floats) -> HyperFoam:
        pull, alpha, ratios = values.reshape(2, 3).T
        whole = far**alpha - far ** (-alpha * ratios)
        mu = pull * np.abs(alpha * far / (2 * whole))
        return HyperFoam(*(tuple(terms) for terms in (mu, alpha, ratios)))

    return fit_law(points, parameters, law_of)


# Least squares ----------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True, eq=False)
class Fit:
    """A fitted law, with the covariance of its parameters."""

    law: HyperFoam
    law_of: Callable[[Floats], HyperFoam]
    parameters: Sequence[Parameter]
    values: Floats
    """All parameters in the order given, fitted and held."""
    covariance: Floats
    """Of all parameters, with errors as large as they look where that is more than stated."""
    off: Floats
    """How far each point is off the law, in units of its stated error; above 0: too stiff."""
    scatter: float
    """How many times as large as stated the errors of the points look."""
    left_over: float
    """What `scatter` rests on: points more than parameters; 0: nothing."""

    @property
    def reach(self) -> float:
        """Standard deviations to either end of an interval."""
        return reach(self.scatter, self.left_over)

    def half_width(self, k: int) -> float:
        """Half of the interval of a parameter."""
        return self.reach * math.sqrt(self.covariance[k, k])


def fit_law(
    points: Points, parameters: Sequence[Parameter], law_of: Callable[[Floats], HyperFoam]
) -> Fit:
    r"""The law for which the measured points are likeliest.

    A strip tells a stretch and a stress, and both are off by what a ruler and a scale are off. The
    error of a stretch counts through the slopes of stress and side stretch over it, stacked in J:
    least is :math:`r^T(\Sigma_{p,s} + J\Sigma_\lambda J^T)^{-1}r` over what stress and side are off
    the law, plus the same for what is believed beforehand. (Blind to the noise of the stretch, a
    foam would look softer than it is.) The covariance is that of the problem made straight at its
    rest, with the errors of the points, and those of the sides, multiplied by their scatter where
    that is above 1. What is held is carried through it.
    """
    from scipy.optimize import least_squares

    problem = _Problem(points, tuple(parameters), law_of)
    start, low, high = np.array([(p.start, p.low, p.high) for p in parameters]).T
    free = np.array([p.held is None for p in parameters])

    def whole(unknowns: Floats) -> Floats:
        values: Floats = start.copy()
        values[free] = unknowns
        return values

    found = least_squares(
        lambda unknowns: problem.rows(whole(unknowns)),
        start[free],
        bounds=(low[free], high[free]),
        x_scale=(high - low)[free],
        ftol=1e-6,
        xtol=1e-6,
        max_nfev=_MOST_STEPS,
    )
    if found.status <= 0:
        raise ArithmeticError(
            f"no law was found near these points in {_MOST_STEPS} steps; look for a reading that "
            "is far off"
        )
    return problem.finished(whole(found.x), free)


@dataclass(frozen=True, eq=False)
class _Problem:
    points: Points
    parameters: tuple[Parameter, ...]
    law_of: Callable[[Floats], HyperFoam]

    def off(self, values: Floats) -> tuple[Floats, Floats]:
        """How far stress and side stretch are off the law, and the covariance of that."""
        from scipy.linalg import block_diag

        seen, sides = self.points, list(self.points.side_of)
        answer = self.law_of(values).unchecked(seen.stretch, "free")
        slopes = np.vstack([np.diag(answer.tangent), np.diag(answer.side_slope)[sides]])
        off = np.concatenate([seen.stress - answer.stress, seen.side - answer.side[sides]])
        own = block_diag(seen.stress_cov, seen.side_cov)
        return off, own + slopes @ seen.stretch_cov @ slopes.T

    def rows(self, values: Floats, covariance: Floats | None = None) -> Floats:
        """The same in stated errors, none shared, then how far off what was believed each is."""
        from scipy.linalg import cholesky, solve_triangular

        off, there = self.off(values)
        root = cholesky(there if covariance is None else covariance, lower=True)
        beliefs = [
            (value - p.start) / p.prior
            for value, p in zip(values, self.parameters, strict=True)
            if p.prior is not None and p.held is None
        ]
        return np.concatenate([solve_triangular(root, off, lower=True), beliefs])

    def finished(self, values: Floats, free: NDArray[np.bool_]) -> Fit:
        """The fit at rest."""
        off, stated = self.off(values)
        rows = self.rows(values, stated)
        slopes = _slopes(lambda v: self.rows(v, stated), values, self.parameters)
        fitted = slopes[:, free]
        hat = np.einsum("ij,jk,ik->i", fitted, np.linalg.inv(fitted.T @ fitted), fitted)
        n = self.points.stretch.size
        stress, sides = slice(0, n), slice(n, off.size)
        scatter, left_over = _scatter(rows[stress], hat[stress])
        slopes[stress] /= max(scatter, 1.0)
        slopes[sides] /= max(_scatter(rows[sides], hat[sides])[0], 1.0)
        fitted, held = slopes[:, free], slopes[:, ~free]
        inverse = np.linalg.inv(fitted.T @ fitted)
        moves = np.zeros((free.size, held.shape[1]))  # how all move with what is held
        moves[free], moves[~free] = -inverse @ fitted.T @ held, np.eye(held.shape[1])
        doubt = np.array([p.held for p in self.parameters if p.held is not None])
        covariance = moves * doubt**2 @ moves.T
        covariance[np.ix_(free, free)] += inverse
        return Fit(
            law=self.law_of(values),
            law_of=self.law_of,
            parameters=self.parameters,
            values=values,
            covariance=covariance,
            off=off[stress] / np.sqrt(np.diag(stated)[stress]),
            scatter=scatter,
            left_over=left_over,
        )


def _slopes(
    answers: Callable[[Floats], Floats], values: Floats, parameters: Sequence[Parameter]
) -> Floats:
    """Slopes of some answers over each parameter, by differences within its range."""
    columns = []
    for k, parameter in enumerate(parameters):
        step = _STEP * ((parameter.high - parameter.low) or 1.0)
        there, back = values.copy(), values.copy()
        there[k] = min(values[k] + step, max(parameter.high, values[k]))
        back[k] = max(values[k] - step, min(parameter.low, values[k]))
        apart = there[k] - back[k]
        columns.append((answers(there) - answers(back)) / apart if apart else 0 * answers(values))
    return np.column_stack(columns)


def _scatter(off: Floats, hat: Floats) -> tuple[float, float]:
    """How many times as large as stated errors look, and the readings left over to tell."""
    left_over = float(off.size - hat.sum())
    if left_over < 0.5:
        return 1.0, 0.0
    return math.sqrt(float(off @ off) / left_over), left_over
