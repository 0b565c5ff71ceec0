"""From strips to a law: one term, or two where foam was both pulled and squeezed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamcalc.foam.law import Floats
from foamcalc.foam.swatch.fitting import Fit, fit_law
from foamcalc.foam.swatch.points import Parameter, Points, reach
from foamcalc.foam.swatch.strips import ROOT3, ReadingErrors, Strip, StripReading
from foamcalc.tables import Entry

SIDE_WIDTH = 120.0
"""Least width of a strip whose side stretch counts, in errors of reading: 60 mm by a ruler.

Two errors less will do, for a strip that was cut to it."""
WIDEST_RATIO = 0.15
"""Error of Poisson's ratio, for 90 %, above which the table is better (assumed)."""
LEAST_FOR_ALPHA = 4
"""Points from which the shape of the curve is fitted (assumed)."""
LEAST_SPAN = 0.10
"""Spread of stretches from which the shape of the curve is fitted (assumed)."""
LEAST_FOR_TWO = 3
"""Points either way from which two terms are fitted (assumed)."""
HIGHEST_RATIO = 0.49


@dataclass(frozen=True, kw_only=True, eq=False)
class Bench:
    """The points of all strips, with whose they are."""

    points: Points
    strips: tuple[Strip, ...]
    """The strip of each point."""
    readings: tuple[StripReading, ...]
    """The reading of each point."""

    def both_ways(self) -> bool:
        """Whether there are enough pulls and squeezes for two terms."""
        ups = sum(strip.sign > 0 for strip in self.strips)
        return min(ups, len(self.strips) - ups) >= LEAST_FOR_TWO


@dataclass(frozen=True, kw_only=True)
class Ratio:
    """Poisson's ratio from the widths of the strips."""

    value: float
    """As measured; noise may put it below 0."""
    error: float
    """Standard deviation, widened where the strips scatter."""
    reach: float

    @property
    def interval(self) -> tuple[float, float]:
        """The part of the 90 % interval that a foam may have."""
        wide = self.reach * self.error
        return max(self.value - wide, 0.0), min(self.value + wide, 0.5)


def bench(strips: Sequence[Strip], errors: ReadingErrors) -> Bench:
    """The points of strips with the covariance of their errors.

    Readings of one strip share the errors of its gauge length, its width and its thickness, and
    its own stiffness.
    """
    pairs = [(strip, r) for strip in strips for r in strip.points(errors)]
    stretch = np.array([strip.stretch(r) for strip, r in pairs])
    stress = np.array([strip.stress(r) for strip, r in pairs])
    owner = np.array([id(strip) for strip, _ in pairs])
    same = (owner[:, None] == owner).astype(float)
    gauge, width, thick, area = (
        np.array([getattr(strip, n) for strip, _ in pairs])
        for n in ("gauge", "width", "thickness", "area")
    )
    pulled = np.array([strip.sign > 0 for strip, _ in pairs])
    length = errors.length / ROOT3 / gauge
    share = (errors.width / width) ** 2 + errors.strips**2
    share += (np.where(pulled, errors.thickness, errors.width) / thick) ** 2
    seen = [
        i
        for i, (strip, r) in enumerate(pairs)
        if r.width_now is not None and strip.width >= (SIDE_WIDTH - 2) * errors.width
    ]
    side = np.array([float(pairs[i][1].width_now or 0) / pairs[i][0].width for i in seen])
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
    return Bench(
        points=points,
        strips=tuple(strip for strip, _ in pairs),
        readings=tuple(r for _, r in pairs),
    )


def side_ratio(points: Points) -> Ratio | None:
    """Poisson's ratio for which the widths fall as ``stretch**-nu``; None without widths."""
    if not points.side.size:
        return None
    seen = list(points.side_of)
    log, fall = np.log(points.stretch[seen]), -np.log(points.side)
    cov = points.side_cov / np.outer(points.side, points.side)
    value = 0.0
    for _ in range(3):  # the stretch is off too, which matters by as much as the foam narrows
        lengths = points.stretch_cov[np.ix_(seen, seen)]
        lengths = lengths / np.outer(points.stretch[seen], points.stretch[seen])
        weight = np.linalg.inv(cov + value**2 * lengths)
        value = float(log @ weight @ fall / (log @ weight @ log))
    off, left_over = fall - value * log, fall.size - 1.0
    scatter = math.sqrt(float(off @ weight @ off) / left_over) if left_over else 1.0
    return Ratio(
        value=value,
        error=max(scatter, 1.0) / math.sqrt(float(log @ weight @ log)),
        reach=reach(scatter, left_over),
    )


def from_row(row: Entry, *, scale: float) -> Parameter:
    """A number that is held at the table's value, uncertain by the table's range."""
    low, high = row.low, row.high
    if low is None or high is None:
        raise ValueError(f"{row.row_id} in {row.table}.csv needs low and high; fill them in")
    error = (high - low) / 2 / ROOT3
    return Parameter(start=row.value, low=low, high=high, scale=scale, held=error)


def held_ratio(ratio: Ratio) -> Parameter:
    """The measured ratio as a number that is held."""
    value = min(max(ratio.value, 0.0), HIGHEST_RATIO)
    return Parameter(start=value, low=0.0, high=HIGHEST_RATIO, scale=0.05, held=ratio.error)


def one_term(points: Points, poisson: Parameter, alpha: Parameter | None) -> Fit:
    """A law of one term; `alpha` None: fitted too.

    Parameters are the logarithm of the modulus at rest, alpha, and Poisson's ratio, which is held.
    """
    stiff = float(np.log(np.median(np.abs(points.stress / _strain(points)))))
    shape = alpha or Parameter(start=6.0, low=-12.0, high=40.0, scale=1.0)
    modulus = Parameter(start=stiff, low=stiff - 5, high=stiff + 5, scale=0.1)
    plain = Points(
        stretch=points.stretch,
        stress=points.stress,
        stretch_cov=points.stretch_cov,
        stress_cov=points.stress_cov,
    )
    return fit_law(plain, (modulus, shape, poisson), _one_terms)


def _one_terms(values: Floats) -> Floats:
    modulus, alpha, poisson = math.exp(values[0]), values[1], values[2]
    return np.array([[modulus / (2 * (1 + poisson))], [alpha], [poisson]])


def _strain(points: Points) -> Floats:
    """Strain, but never so near 0 that a stiffness made of it means nothing."""
    least = np.sqrt(np.diag(points.stretch_cov))
    strain = points.stretch - 1
    return np.where(np.abs(strain) > least, strain, np.copysign(least, points.stress))


def two_terms(points: Points, poisson: Parameter | None) -> Fit:
    """A law of two terms, one that rules when pulled and one that rules when squeezed.

    `poisson` None: each term's own ratio is fitted to the side stretches.

    Parameters are each term's own stress at the farthest point of its side, its alpha (above 1,
    below -0.2) and its ratio. Eight numbers do not tell six parameters well, so alpha is believed
    to be 8 ± 6 and -4 ± 3 beforehand, and a ratio 0.2 ± 0.2 (standard deviations, assumed). The
    curve is known better than its parameters.
    """
    far = points.stretch.max(), points.stretch.min()
    stress = [abs(float(points.stress[np.argmin(np.abs(points.stretch - x))])) for x in far]
    parameters = []
    for most, share, alpha, low, high, belief in (
        (stress[0], 0.9, 8.0, 1.0, 30.0, 6.0),
        (stress[1], 0.5, -4.0, -15.0, -0.2, 3.0),
    ):
        ratio = poisson or Parameter(start=0.2, low=0.0, high=HIGHEST_RATIO, scale=0.1, prior=0.2)
        parameters += [
            Parameter(start=share * most, low=most / 50, high=3 * most, scale=most / 10),
            Parameter(start=alpha, low=low, high=high, scale=1.0, prior=belief),
            ratio,
        ]

    def terms(values: Floats) -> Floats:
        pull, alpha, ratio = values.reshape(2, 3).T
        whole = np.array(far) ** alpha - np.array(far) ** (-alpha * ratio)
        return np.array([pull * np.abs(alpha * np.array(far) / (2 * whole)), alpha, ratio])

    return fit_law(points, parameters, terms)
