"""What a swatch test changes in a job: its limits, its night, and what the answers rest on."""

from __future__ import annotations

from collections.abc import Iterator

from foamcalc.ask.lines import noted, wrapped
from foamcalc.ask.swatch.guide import ASKED, THICK, loads_for
from foamcalc.fit.end_words import time_words
from foamcalc.fit.limits import Limit
from foamcalc.foam.swatch import Swatch
from foamcalc.foam.swatch.fit import SECANT
from foamcalc.foam.swatch.result import MEASURED
from foamcalc.units import System, format_length


def swatch_said(swatch: Swatch) -> tuple[str, ...]:
    """What an answer rests on: the stiffness with its 90 % interval and its kind."""
    e = swatch.modulus
    return (f"modulus {e.value:.2g} MPa ({e.low:.2g} to {e.high:.2g}; {e.basis})",)


def modulus_spread(swatch: Swatch | None) -> float:
    """How much stiffer the foam may be than its law says [1]; 0 where nothing was measured."""
    return 0.0 if swatch is None else swatch.modulus.high / swatch.modulus.value - 1


def stretch_limit(swatch: Swatch | None, usual: Limit) -> Limit:
    """The most that an overlay of this foam may be stretched cold.

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


def swatch_lines(swatch: Swatch, *, full: bool = False, system: System = "mm") -> list[str]:
    """What a swatch says, as a maker reads it: what the foam does, then what is doubtful."""
    alike = ", if alike along the sheet and through it" if swatch.both_ways else ""
    lines = wrapped(
        f"{swatch.warmth} strips; intervals hold the truth nine times in ten{alike}", then="  "
    )
    lines.append("")
    for line in _plain(swatch, system):
        lines += wrapped(line, first="  ", then=" " * 4)
    if full:
        lines += ["", *_numbers(swatch)]
    lines.append("")
    for note in swatch.notes:
        lines += noted(note)
    if full:
        for line in swatch.rests_on:
            lines += noted(line, "rests on")
    else:
        lines += noted("every number of the law, and what it rests on: add --full", "more")
    return lines


def _plain(swatch: Swatch, system: System) -> Iterator[str]:
    """What the foam does, a sentence each."""
    asked, e = ASKED[system], swatch.modulus
    narrow, wide, thick = (
        format_length(x, system=system) for x in (asked.narrow, asked.wide, THICK)
    )
    (kilos,) = loads_for(swatch.law, width=asked.narrow, thickness=THICK, stretches=[1 + SECANT])
    yield (
        f"Stiffness {e.value:.3g} MPa ({e.low:.3g} to {e.high:.3g}; {e.basis}): a strip {narrow} "
        f"wide and {thick} thick takes about {kilos:.1f} kg for a pull of {SECANT:.0%}"
    )
    narrowed = asked.wide * float(swatch.law.side_stretch(1 + SECANT))
    known = all(p.basis.startswith(MEASURED) for p in swatch.poisson)
    now = format_length(narrowed, system=system)
    if now != wide:
        kind = MEASURED if known else "from the table"
        yield f"Pulled {SECANT:.0%}, {wide} of width become {now} ({kind})"
    for how, limit, length in (
        ("pulled", swatch.pull_limit, asked.gauge),
        ("squeezed", swatch.squeeze_limit, asked.block),
    ):
        if limit is not None:
            was, now = (format_length(x, system=system) for x in (length, length * limit.stretch))
            yield (
                f"May be {how} {abs(limit.stretch - 1):.0%}: {was} \N{RIGHTWARDS ARROW} {now} "
                f"({MEASURED}: strip {limit.strip} came back from it, held for "
                f"{time_words(limit.held)})"
            )
    if swatch.forgets is not None:
        f = swatch.forgets
        yield (
            f"Held for {time_words(f.end)}, it forgets {f.share:.0%} of its stretch "
            f"({f.low:.0%} to {f.high:.0%}; {MEASURED})"
        )


def _numbers(swatch: Swatch) -> list[str]:
    """Every number with its interval and its kind."""
    lines: list[str] = []
    for row in swatch.table().itertuples(index=False):
        span = "" if row.low != row.low else f"({row.low:.3g} to {row.high:.3g})"
        unit = "" if row.unit == "1" else row.unit
        head = f"  {row.quantity:30}{row.value:>7.3g} {unit:8}{span:20}"
        lines += wrapped(f"{head} {row.basis}", then=" " * 12)
    return lines
