"""What a swatch test changes in a job: its limits, its night, and what the answers rest on."""

from __future__ import annotations

from foamcalc.fit.limits import Limit
from foamcalc.foam.swatch import Swatch
from foamcalc.job.lines import noted, wrapped


def swatch_said(swatch: Swatch) -> tuple[str, ...]:
    """What an answer rests on: each number with its 90 % interval and its kind."""
    numbers = [("modulus", " MPa", swatch.modulus)]
    for name, terms in (("alpha", swatch.alpha), ("poisson", swatch.poisson)):
        several = len(terms) > 1
        numbers += [
            (f"{name} {i}" if several else name, "", term) for i, term in enumerate(terms, 1)
        ]
    return tuple(
        f"{name} {e.value:.2g}{unit} ({e.low:.2g} to {e.high:.2g}; {e.basis})"
        for name, unit, e in numbers
    )


def modulus_spread(swatch: Swatch | None) -> float:
    """How much stiffer the foam may be than its law says [1]; 0 where nothing was measured."""
    return 0.0 if swatch is None else swatch.modulus.high / swatch.modulus.value - 1


def stretch_limit(swatch: Swatch | None, usual: Limit) -> Limit:
    """The most that an overlay of this foam may be stretched cold.

    Parameters
    ----------
    swatch : Swatch or None
        The maker's own test.
    usual : Limit
        What holds without one.

    Notes
    -----
    A strip that came back from more than the usual stretch lifts the limit only if it was held
    for half a day: what comes back from a minute may stay long after a night.
    """
    limit = None if swatch is None or swatch.warmth != "cold" else swatch.pull_limit
    if limit is None or (limit.stretch - 1 > usual.value and not limit.overnight):
        return usual
    return Limit(
        value=limit.stretch - 1,
        unit="1",
        basis="measured",
        reason=f"Your strip {limit.strip} came back from it.",
    )


def overnight(swatch: Swatch) -> float | None:
    """Share of a strain that is forgotten by the next day; None if no strip was watched so long."""
    told = swatch.forgets
    return told.share if told is not None and told.overnight else None


def swatch_lines(swatch: Swatch) -> list[str]:
    """What a swatch says, as a maker reads it: numbers with their intervals, then what is doubtful.

    Parameters
    ----------
    swatch : Swatch
        From `foamcalc.foam.swatch.fit_swatch`.
    """
    lines = [f"{swatch.warmth} strips; intervals hold the truth nine times in ten", ""]
    for row in swatch.table().itertuples(index=False):
        span = "" if row.low != row.low else f"({row.low:.3g} to {row.high:.3g})"
        unit = "" if row.unit == "1" else row.unit
        head = f"  {row.quantity:30}{row.value:>7.3g} {unit:8}{span:20}"
        lines += wrapped(f"{head} {row.basis}", then=" " * 12)
    lines.append("")
    for note in swatch.notes:
        lines += noted(note)
    for line in swatch.rests_on:
        lines += noted(line, "rests on")
    return lines
