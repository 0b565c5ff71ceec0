"""What a foam forgets: the share of its strain it gives up under load, and what stays after."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from foamcalc.foam.law import Law
from foamcalc.foam.swatch.points import reach
from foamcalc.foam.swatch.strips import ROOT3, ReadingErrors, Strip, Test
from foamcalc.guards import fraction, single

DAY = 24 * 60.0
"""Minutes."""
MOST_LEFT = 0.10
"""Share of a stretch that may be left of it in a strip that came back (assumed)."""
_WINDOWS = {"at once": (0.0, 10.0), "after an hour": (30.0, 180.0), "after a day": (720.0, 2880.0)}
"""Minutes since letting go that count as each (assumed)."""


@dataclass(frozen=True, kw_only=True)
class Left:
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
    left: tuple[Left, ...]
    """In the order of time; none where it was not read or tore."""
    tore: bool

    def when(self, word: str) -> Left | None:
        """The look "at once", "after an hour" or "after a day"; None where there was none."""
        low, high = _WINDOWS[word]
        looks = [x for x in self.left if low <= x.time <= high]
        return looks[-1] if looks else None


@dataclass(frozen=True, kw_only=True)
class Limit:
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
        return self.held >= DAY / 2


@dataclass(frozen=True, kw_only=True)
class Forgotten:
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
    strips: tuple[str, ...]

    @property
    def overnight(self) -> bool:
        """Whether it was read over half a day at least."""
        return self.end >= DAY / 2


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
        looks.append(Left(time=reading.time, share=share, error=error))
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
) -> Limit | None:
    """The largest stretch tested after which a strip came back and did not tear.

    Strips are gone through from the least stretch to the largest. A strip that tore, or in which
    more is left than the error of reading can hide, ends the search. One that is over the share
    by less than that error is passed over and does not count.
    """
    allowed = single(fraction(most_left, "most_left"), "most_left")
    best: Limit | None = None
    ranked = sorted(
        (r for r in found if r.test == test and (r.tore or r.left)),
        key=lambda r: (abs(math.log(r.stretch)), not _failed(r, allowed)),
    )
    for one in ranked:
        if _failed(one, allowed):
            return None if best is None else replace(best, open_end=False)
        if one.left[-1].share <= allowed:
            best = Limit(
                stretch=one.stretch,
                strip=one.strip,
                most_left=allowed,
                after=one.left[-1].time,
                held=one.held,
                open_end=True,
            )
    return best


def _failed(one: Recovery, allowed: float) -> bool:
    """Whether a strip tore, or has more left than an error of reading can explain."""
    return one.tore or one.left[-1].share - one.left[-1].error > allowed


def forgotten(strips: Sequence[Strip], law: Law, errors: ReadingErrors) -> Forgotten | None:
    r"""The share of a held strain that the foam forgets in time.

    The natural length creeps towards the present one, :math:`n \to n^{1-r} \ell^r`. Length held:
    the load falls to what the law says at the stretch :math:`\lambda^{1-r}`. Load held: the
    length grows, and

    .. math::
        r = \ln(\ell_2/\ell_1)/\ln(\ell_2/n_1)

    which is what the same foam would forget at a held length if its strain under a load grows
    with a power of time, and a little too little otherwise. Shares are counted from the first
    reading: what is gone before it is in the law already.
    """
    found = [x for x in (_series(strip, law, errors) for strip in strips) if x is not None]
    if not found:
        return None
    longest = max(x.end for x in found)
    used = [x for x in found if x.end >= longest / 2]
    shares = np.array([x.share for x in used])
    weights = 1 / np.array([x.error for x in used]) ** 2
    mean = float(weights @ shares / weights.sum())
    left_over = len(used) - 1.0
    scatter = math.sqrt(float(weights @ (shares - mean) ** 2) / left_over) if left_over else 1.0
    wide = reach(scatter, left_over) * max(scatter, 1.0) / math.sqrt(float(weights.sum()))
    return Forgotten(
        share=mean,
        low=mean - wide,
        high=mean + wide,
        start=min(x.start for x in used),
        end=longest,
        ways=tuple(dict.fromkeys(x.way for x in used)),
        strips=tuple(x.strip for x in used),
    )


@dataclass(frozen=True, kw_only=True)
class _Series:
    """One strip that was read twice."""

    strip: str
    share: float
    error: float
    """Standard deviation."""
    start: float
    end: float
    way: str


def _series(strip: Strip, law: Law, errors: ReadingErrors) -> _Series | None:
    """What one strip forgot; None if it was read only once, or its stretch cannot be told."""
    loaded = strip.loaded
    if len(loaded) < 2 or not abs(loaded[0].length - strip.gauge) > 2 * errors.length:
        return None
    first, last = loaded[0], loaded[-1]
    if last.time <= first.time:
        return None
    if strip.kept_length(errors):
        share, error = _load_fell(strip, law, errors)
        way = "length held, load read"
    elif len(strip.loads()) == 1:
        whole = math.log(last.length / strip.gauge)
        share = math.log(last.length / first.length) / whole
        off = (1 / first.length, (1 - share) / last.length, share / strip.gauge)
        error = errors.length / ROOT3 * math.hypot(*off) / abs(whole)
        way = "load held, length read"
    else:
        return None
    return _Series(
        strip=strip.name, share=share, error=error, start=first.time, end=last.time, way=way
    )


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
