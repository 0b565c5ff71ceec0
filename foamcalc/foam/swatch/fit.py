"""A foam law, its limits and its set, from strips of the maker's own sheet.

No public table of EVA sheet can be trusted, and foams differ by a factor of three. A strip, a
ruler, a bag of known weight and a clock tell more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from foamcalc.foam.grades import foam_entries
from foamcalc.foam.law import HyperFoam
from foamcalc.foam.swatch.checks import odd_ones, strip_faults
from foamcalc.foam.swatch.fitting import Fit
from foamcalc.foam.swatch.law import (
    LEAST_FOR_ALPHA,
    LEAST_SPAN,
    WIDEST_RATIO,
    Bench,
    Ratio,
    bench,
    from_row,
    held_ratio,
    one_term,
    side_ratio,
    two_terms,
)
from foamcalc.foam.swatch.notes import notes
from foamcalc.foam.swatch.points import Parameter
from foamcalc.foam.swatch.recovery import MOST_LEFT, forgotten, recovery, working_limit
from foamcalc.foam.swatch.result import MEASURED, Estimate, PointCheck, Swatch
from foamcalc.foam.swatch.strips import ROOT3, WARMTHS, ReadingErrors, Strip, StripReading, Warmth
from foamcalc.guards import one_of
from foamcalc.tables import Entry

__all__ = ["Estimate", "ReadingErrors", "Strip", "StripReading", "Swatch", "fit_swatch"]

SECANT = 0.10
"""Strain either way at which pulled and squeezed are compared."""
_NEARLY = 0.8
"""Share of that strain to which both sides must have been tested."""
_BELIEVED = f"{MEASURED}, together with what was believed beforehand"


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
    chosen = _chosen(strips, warmth)
    _refuse(chosen, errors)
    seen = bench(chosen, errors)
    if len(seen.strips) < 2:
        raise ValueError(
            f"{len(seen.strips)} load(s) on {warmth} strips; a law needs two at least, and five "
            "fresh strips with a load each say much more"
        )
    rows = {row.quantity: row for row in foam_entries(grade)}
    ratio = side_ratio(seen.points)
    if ratio is not None:
        _refuse_ratio(ratio)
    known = ratio is not None and ratio.reach * ratio.error <= WIDEST_RATIO
    poisson = held_ratio(ratio) if ratio and known else from_row(rows["poisson"], scale=0.05)
    if seen.both_ways():
        fit = two_terms(seen.points, None if known else poisson)
    else:
        fit = one_term(seen.points, poisson, _alpha_held(seen, rows["alpha"]))
        if fit.parameters[1].held is None and not _told(fit, rows["alpha"]):
            fit = one_term(seen.points, poisson, from_row(rows["alpha"], scale=1.0))
    return _result(fit, seen, chosen, ratio if known else None, rows, errors, most_left)


def _chosen(strips: Sequence[Strip], warmth: Warmth) -> tuple[Strip, ...]:
    """The strips of one warmth."""
    one_of(warmth, "warmth", WARMTHS)
    if isinstance(strips, Strip) or not all(isinstance(s, Strip) for s in strips):
        raise TypeError("strips must be a list of Strip")
    names = [s.name for s in strips]
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        raise ValueError(f"strip {twice[0]} stands twice; give each strip its own name")
    chosen = tuple(s for s in strips if s.warmth == warmth)
    if not chosen:
        raise ValueError(f"there is no {warmth} strip; cold and warm ones are never mixed")
    return chosen


def _refuse(strips: tuple[Strip, ...], errors: ReadingErrors) -> None:
    """ValueError with everything that cannot be right."""
    wrong = [
        f"strip {strip.name}{'' if f.reading is None else f', reading {f.reading + 1}'}, "
        f"{f.what}: {f.text}"
        for strip in strips
        for f in strip_faults(strip, errors)
    ]
    wrong = wrong or [f"strip {strip.name} {text}" for strip, text in odd_ones(strips, errors)]
    if wrong:
        raise ValueError("\n".join(wrong))


def _refuse_ratio(ratio: Ratio) -> None:
    low, high = ratio.interval
    if low > high or low >= 0.5:
        raise ValueError(
            f"the widths make Poisson's ratio {ratio.value:.2f}, which no foam has; read widths as "
            "cut and now again, half way between the marks"
        )


def _alpha_held(seen: Bench, row: Entry) -> Parameter | None:
    """Alpha of the table where the strips are too few or too alike to tell it, else None."""
    few = len(seen.strips) < LEAST_FOR_ALPHA or np.ptp(seen.points.stretch) < LEAST_SPAN
    return from_row(row, scale=1.0) if few else None


def _told(fit: Fit, row: Entry) -> bool:
    """Whether the strips tell alpha better than the table does."""
    wide = fit.reach * float(np.sqrt(fit.covariance[1, 1]))
    return row.low is None or row.high is None or wide <= (row.high - row.low) / 2


def _result(
    fit: Fit,
    seen: Bench,
    strips: tuple[Strip, ...],
    ratio: Ratio | None,
    rows: dict[str, Entry],
    errors: ReadingErrors,
    most_left: float,
) -> Swatch:
    """The fit in the maker's terms; `ratio` is None where the widths do not tell it."""
    tested = float(seen.points.stretch.min()), float(seen.points.stretch.max())
    stable = {w: fit.law.stable_range(w) for w in ("free", "held")}
    low, high = stable["free"]
    if not (low < tested[0] and tested[1] < high):
        raise ValueError(
            f"the fitted law takes less force for more stretch outside {low:.3f} to {high:.3f}, "
            f"but strips were read from {tested[0]:.3f} to {tested[1]:.3f}; look for a strip that "
            "tore, slipped in its clamp or was read late, and leave it out"
        )
    alpha, poisson, rests_on = _terms(fit, ratio, rows)
    modulus, secants = _curve(fit, seen, errors)
    back = tuple(r for r in (recovery(s, errors) for s in strips) if r is not None)
    found = Swatch(
        warmth=strips[0].warmth,
        law=fit.law,
        modulus=modulus,
        alpha=alpha,
        poisson=poisson,
        secant_ratio=secants,
        tested=tested,
        stable_free=stable["free"],
        stable_held=stable["held"],
        most_left=most_left,
        scatter=fit.scatter,
        left_over=fit.left_over,
        forgets=forgotten(strips, fit.law, errors),
        pull_limit=working_limit(back, "pull", most_left=most_left),
        squeeze_limit=working_limit(back, "squeeze", most_left=most_left),
        recovery=back,
        points=_checks(fit, seen),
        notes=(),
        rests_on=rests_on,
    )
    return replace(found, notes=notes(found, seen, strips, errors))


def _terms(
    fit: Fit, ratio: Ratio | None, rows: dict[str, Entry]
) -> tuple[tuple[Estimate, ...], tuple[Estimate, ...], tuple[str, ...]]:
    """Alpha and Poisson's ratio of each term, and the rows of the table that were used."""
    alphas: list[Estimate] = []
    ratios: list[Estimate] = []
    used: list[str] = []
    count = len(fit.law.alpha)
    for i in range(count):
        place = 3 * i + 1
        for name, found, k in (("alpha", alphas, place), ("poisson", ratios, place + 1)):
            row, value = rows[name], float(fit.values[k])
            wide = fit.reach * math.sqrt(fit.covariance[k, k])
            low, high, basis = value - wide, value + wide, MEASURED if count == 1 else _BELIEVED
            if name == "poisson" and ratio is not None and count == 1:
                low, high = ratio.interval
            elif fit.parameters[k].held is not None:
                low, high = fit.parameters[k].low, fit.parameters[k].high
                basis = f"from the table: {row.describe()}"
                used.append(row.describe())
            elif name == "poisson":
                low, high = max(low, 0.0), min(high, 0.5)
            found.append(Estimate(value=value, low=low, high=high, basis=basis))
    return tuple(alphas), tuple(ratios), tuple(dict.fromkeys(used))


def _curve(fit: Fit, seen: Bench, errors: ReadingErrors) -> tuple[Estimate, Estimate]:
    """Modulus at rest, and pulled over squeezed, with their intervals."""

    def logs(law: HyperFoam) -> list[float]:
        pulled, squeezed = law.stress([1 + SECANT, 1 - SECANT])
        return [math.log(law.modulus), math.log(-pulled / squeezed)]

    values, wide = logs(fit.law), fit.spread(logs)
    wide[0] = math.hypot(wide[0], errors.calibration / ROOT3)
    bases = MEASURED, _secants_rest_on(seen)
    modulus, secants = (
        Estimate(
            value=math.exp(v),
            low=math.exp(v - fit.reach * w),
            high=math.exp(v + fit.reach * w),
            basis=basis,
        )
        for v, w, basis in zip(values, wide, bases, strict=True)
    )
    return modulus, secants


def _secants_rest_on(seen: Bench) -> str:
    """Whether both sides were tested as far as they are compared."""
    ways = {strip.sign for strip in seen.strips}
    if len(ways) == 1:
        return f"from the law: nothing was {'squeezed' if 1 in ways else 'pulled'}"
    stretch = seen.points.stretch
    far = stretch.min() <= 1 - _NEARLY * SECANT and stretch.max() >= 1 + _NEARLY * SECANT
    return MEASURED if far else f"{MEASURED}, carried on to {SECANT:.0%} by the law"


def _checks(fit: Fit, seen: Bench) -> tuple[PointCheck, ...]:
    points = seen.points
    answer = fit.law.response(points.stretch)
    sides = dict(zip(points.side_of, points.side, strict=True))
    return tuple(
        PointCheck(
            strip=strip.name,
            stretch=float(points.stretch[i]),
            stress=float(points.stress[i]),
            law=float(answer.stress[i]),
            off=float(fit.residuals[i]),
            side=float(sides[i]) if i in sides else None,
            law_side=float(answer.side[i]),
        )
        for i, strip in enumerate(seen.strips)
    )
