"""What a foam forgets: the share of its strain it gives up under load, and what stays after."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from foamcalc.foam.law import Law
from foamcalc.foam.swatch.strips import ROOT3, ReadingErrors, Strip, Test
from foamcalc.guards import fraction, single

CONFIDENCE = 0.90
"""Share of intervals that hold the truth."""
MOST_LEFT = 0.10
"""Share of a stretch that may be left of it in a strip that came back (assumed)."""
_NIGHT = 12 * 60.0
"""Minutes from which a strip counts as held overnight (assumed)."""
_WINDOWS = {"at once": (0.0, 10.0), "after an hour": (30.0, 180.0), "after a day": (720.0, 2880.0)}
"""Minutes since letting go that count as each (assumed)."""
_DOUBT = 0.10
"""Chance of so large a scatter, below which the stated errors are no longer believed."""


def unlikely(scatter: float, left_over: float, chance: float = _DOUBT) -> bool:
    """Whether the stated errors make so large a scatter only once in ``1/chance`` times."""
    from scipy.special import chdtrc

    return left_over > 0 and bool(chdtrc(left_over, scatter**2 * left_over) < chance)


def reach(scatter: float, left_over: float) -> float:
    """Standard deviations to either end of an interval of `CONFIDENCE`.

    That of a normal distribution while the scatter (in stated errors) may be chance; that of
    Student's distribution, with so many readings left over, where it had to be learned.
    """
    from scipy.special import ndtri, stdtrit

    upper = (1 + CONFIDENCE) / 2
    return float(stdtrit(left_over, upper) if unlikely(scatter, left_over) else ndtri(upper))


# Coming back ------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class ResidualStrain:
    """What was left of a stretch at one look after letting go."""

    time: float
    """Minutes since letting go."""
    share: float
    """Of the last strain under load [1]."""
    error: float
    """Either way, for 90 % [1]."""


@dataclass(frozen=True, kw_only=True)
class Recovery:
    """How one strip came back."""

    strip: str
    test: Test
    stretch: float
    """Last stretch under load [1]."""
    held: float
    """Minutes it was under load, as far as it was read."""
    left: tuple[ResidualStrain, ...]
    """In the order of time; none where it was not read or tore."""
    tore: bool

    def when(self, word: str) -> ResidualStrain | None:
        """The look "at once", "after an hour" or "after a day"; None where there was none."""
        low, high = _WINDOWS[word]
        looks = [x for x in self.left if low <= x.time <= high]
        return looks[-1] if looks else None


@dataclass(frozen=True, kw_only=True)
class StretchLimit:
    """The largest stretch after which strips came back and did not tear."""

    stretch: float
    """Length now over length as cut [1]."""
    strip: str
    most_left: float
    """Share of the stretch that was allowed to be left [1]."""
    after: float
    """Minutes since letting go at which it was judged."""
    held: float
    """Minutes that strip was under load."""
    open_end: bool
    """True where no strip that was stretched farther failed: the true limit may lie higher."""

    @property
    def overnight(self) -> bool:
        """Whether that strip was held over half a day at least."""
        return self.held >= _NIGHT


def recovery(strip: Strip, errors: ReadingErrors) -> Recovery | None:
    """How a strip came back after it was let go; None if it neither was nor tore.

    What is left is ``(length - gauge)/(last length under load - gauge)``.
    """
    if not strip.loaded or not (strip.let_go or strip.tore):
        return None
    last = strip.loaded[-1]
    strain = last.length - strip.gauge
    told = abs(strain) > 2 * errors.length
    looks = []
    for reading in sorted(strip.let_go, key=lambda r: r.time) if told else ():
        share = (reading.length - strip.gauge) / strain
        sizes = (1.0, 1 - share, share)  # slopes over the length now, the gauge, the last length
        error = reach(1.0, 0.0) * errors.length / ROOT3 * math.hypot(*sizes) / abs(strain)
        looks.append(ResidualStrain(time=reading.time, share=share, error=error))
    return Recovery(
        strip=strip.name,
        test=strip.test,
        stretch=strip.stretch(last),
        held=max(r.time for r in strip.loaded),
        left=tuple(looks),
        tore=strip.tore,
    )


def working_limit(
    found: Sequence[Recovery], test: Test, *, most_left: float = MOST_LEFT
) -> StretchLimit | None:
    """The largest stretch tested after which a strip came back and did not tear.

    Strips are gone through from the least stretch to the largest. A strip that tore, or in which
    more is left than the error of reading can hide, ends the search. One that is over the share
    by less than that error is passed over and does not count.
    """
    allowed = single(fraction(most_left, "most_left"), "most_left")

    def failed(one: Recovery) -> bool:
        return one.tore or one.left[-1].share - one.left[-1].error > allowed

    best: StretchLimit | None = None
    told = (r for r in found if r.test == test and (r.tore or r.left))
    for one in sorted(told, key=lambda r: (abs(math.log(r.stretch)), not failed(r))):
        if failed(one):
            return None if best is None else replace(best, open_end=False)
        if one.left[-1].share <= allowed:
            best = StretchLimit(
                stretch=one.stretch,
                strip=one.strip,
                most_left=allowed,
                after=one.left[-1].time,
                held=one.held,
                open_end=True,
            )
    return best


# Forgetting -------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Relaxation:
    """The share of a held strain that is forgotten, with its 90 % interval [1]."""

    share: float
    low: float
    high: float
    start: float
    """Minutes under load at the reading it is counted from."""
    end: float
    """Minutes under load at the last reading."""
    ways: tuple[str, ...]
    """How it was read: "length held, load read" or "load held, length read"."""

    @property
    def overnight(self) -> bool:
        """Whether it was read over half a day at least."""
        return self.end >= _NIGHT


def relaxation(strips: Sequence[Strip], law: Law, errors: ReadingErrors) -> Relaxation | None:
    r"""The share of a held strain that the foam forgets in time; None: no strip tells it.

    The natural length creeps towards the present one, :math:`n \to n^{1-r} \ell^r`. Length held:
    the load falls to what the law says at the stretch :math:`\lambda^{1-r}`. Load held: the
    length grows, and

    .. math::
        r = \ln(\ell_2/\ell_1)/\ln(\ell_2/n_1)

    which is what the same foam would forget at a held length if its strain under a load grows
    with a power of time, and a little too little otherwise. Shares are counted from the first
    reading: what is gone before it is in the law already. Of strips read over half as long as
    the longest at least, the mean weighted by their errors.
    """
    found = []
    for strip in strips:
        loaded = strip.loaded
        if len(loaded) < 2 or loaded[-1].time <= loaded[0].time:
            continue
        if abs(loaded[0].length - strip.gauge) <= 2 * errors.length:
            continue
        if strip.kept_length(errors):
            found.append((strip, "length held, load read", *_load_fell(strip, law, errors)))
        elif len(strip.under_each_load()) == 1:
            found.append((strip, "load held, length read", *_length_grew(strip, errors)))
    if not found:
        return None
    longest = max(strip.loaded[-1].time for strip, *_ in found)
    used = [one for one in found if one[0].loaded[-1].time >= longest / 2]
    shares, weights = np.array([x[2] for x in used]), np.array([x[3] for x in used]) ** -2.0
    mean = float(weights @ shares / weights.sum())
    left_over = len(used) - 1.0
    scatter = math.sqrt(float(weights @ (shares - mean) ** 2) / left_over) if left_over else 1.0
    wide = reach(scatter, left_over) * max(scatter, 1.0) / math.sqrt(float(weights.sum()))
    return Relaxation(
        share=mean,
        low=mean - wide,
        high=mean + wide,
        start=min(x[0].loaded[0].time for x in used),
        end=longest,
        ways=tuple(dict.fromkeys(x[1] for x in used)),
    )


def _length_grew(strip: Strip, errors: ReadingErrors) -> tuple[float, float]:
    """Share forgotten by a strip under one load, and its standard deviation."""
    first, last = strip.loaded[0].length, strip.loaded[-1].length
    whole = math.log(last / strip.gauge)
    share = math.log(last / first) / whole
    off = math.hypot(1 / first, (1 - share) / last, share / strip.gauge)
    return share, errors.length / ROOT3 * off / abs(whole)


def _load_fell(strip: Strip, law: Law, errors: ReadingErrors) -> tuple[float, float]:
    """Share forgotten by a strip held at one length, and its standard deviation."""
    from scipy.optimize import brentq

    first, last = strip.loaded[0], strip.loaded[-1]
    stretch = strip.stretch(first)
    kept = strip.stress(last) / strip.stress(first)
    there = float(law.stress(stretch))
    if kept < 1:
        place = float(brentq(lambda x: float(law.stress(x)) - kept * there, 1.0, stretch))
    else:  # the load did not fall: along the slope, for no foam remembers more than all
        place = stretch + (kept - 1) * there / float(law.response(stretch).tangent)
    off = errors.load / ROOT3 * math.hypot(1 / first.load, 1 / last.load) * kept
    slope = there / (float(law.response(place).tangent) * place * math.log(stretch))
    return 1 - math.log(place) / math.log(stretch), abs(slope) * off
