"""Where a cold pull would pass a limit: stretch warm, cut a dart, let in a piece, or cut again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from foamcalc.fit.limits import Check, Limit
from foamcalc.fit.seam.joined import SIDES, Seam, other
from foamcalc.fit.seam.limits import strain_checks
from foamcalc.fit.seam.remedies import (
    Amount,
    SeamWay,
    What,
    longer,
    pins_needed,
    shared_out,
)
from foamcalc.tables import look_up


def past_a_limit(seam: Seam, limits: Mapping[str, Limit]) -> list[int]:
    """The intervals that a cold pull takes past a limit, with as many marks as are needed."""
    between, pins = seam.intervals, pins_needed(seam)
    return [
        i
        for i in range(len(between.a))
        if not all(c.met for c in strain_checks(between, limits, i, pins=pins[i]))
    ]


def warm_way(seam: Seam, limits: Mapping[str, Limit]) -> Iterator[SeamWay]:
    """The shorter edge stretched warm and held till cool, where cold it would pass a limit."""
    between = seam.intervals
    for way in _edited(seam, limits, "form warm", "stretch warm", on_long=False):
        checks = [
            Check(
                f"stretch while warm of {amount.edge}, {amount.where}",
                warm_strain(seam, between.find(amount.where)),
                limits["warm"],
            )
            for amount in way.amounts
            if amount.what == "stretch warm"
        ]
        yield replace(way, checks=(*checks, *way.checks))


def warm_strain(seam: Seam, i: int) -> float:
    """How far the shorter edge of an interval must be stretched warm [1].

    By the difference, and by what it will shrink on cooling.
    """
    shrink = look_up("limits", "habit", "shrink_on_cooling").as_fraction()
    short, long = sorted((float(seam.intervals.a[i]), float(seam.intervals.b[i])))
    return long / short * (1 + shrink) - 1


def by_knife(seam: Seam, limits: Mapping[str, Limit]) -> Iterator[SeamWay]:
    """Darts in the longer edge, pieces let into the shorter one, or one edge cut again."""
    narrowest = {name: limits[name].value for name in ("dart", "let in")}
    yield from _edited(seam, limits, "cut a dart", "dart", on_long=True, least=narrowest["dart"])
    yield from _edited(
        seam, limits, "let in a piece", "let in", on_long=False, least=narrowest["let in"]
    )
    if seam.intervals.unequal.any():
        yield _cut_again(seam)


def _edited(
    seam: Seam,
    limits: Mapping[str, Limit],
    choice: str,
    what: What,
    *,
    on_long: bool,
    least: float = 0.0,
) -> Iterator[SeamWay]:
    """The seam with one edge made as long as the other wherever a cold pull passes a limit.

    Nothing where there is no such place, where the edge is held, or where less than `least` is
    to be done.
    """
    between, todo = seam.intervals, past_a_limit(seam, limits)
    lengths = {side: seam.edge(side).lengths.copy() for side in SIDES}
    amounts = []
    for i in todo:
        by = float(abs(between.difference[i]))
        long = SIDES[int(between.difference[i] > 0)]
        side = long if on_long else other(long)
        if seam.edge(side).held or by < least:
            return
        lengths[side][i] = lengths[other(side)][i]
        amounts.append(Amount(what, seam.edge(side).name, between.name(i), by))
    if not todo:
        return
    then = seam
    for side in SIDES:
        then = then.changed(side, np.concatenate([[0.0], np.cumsum(lengths[side])]))
    rest, checks = shared_out(then, limits)
    yield SeamWay(choice=choice, amounts=(*amounts, *rest), checks=checks, seam=then)


def _cut_again(seam: Seam) -> SeamWay:
    """The longer edge, or the one that is not held, cut again to the lengths of the other."""
    side = longer(seam)
    if seam.edge(side).held:
        side = other(side)
    edge, wanted = seam.edge(side), seam.edge(other(side))
    places = np.asarray(wanted.places) - wanted.places[0]
    amounts = tuple(
        Amount("new length", edge.name, seam.intervals.name(int(i)), float(wanted.lengths[i]))
        for i in seam.intervals.by_difference
        if seam.intervals.unequal[i]
    )
    return SeamWay(choice="cut again", amounts=amounts, checks=(), seam=seam.changed(side, places))
