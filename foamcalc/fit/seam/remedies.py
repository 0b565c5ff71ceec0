"""The ways to close a seam, each worked out on the seam as it would be then."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import chain
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.limits import Check, Limit, tape_reading
from foamcalc.fit.seam.give import sheet_of
from foamcalc.fit.seam.joined import SIDES, Seam, Side, other
from foamcalc.fit.seam.limits import cold_checks
from foamcalc.fit.seam.moves import MarkMove, all_moves, even_places, fewest_moves, moved
from foamcalc.fit.seam.reach import reach

Floats = NDArray[np.float64]

What = Literal[
    "stretch",
    "squeeze",
    "extra marks",
    "move",
    "trim",
    "add",
    "stretch warm",
    "dart",
    "let in",
    "new length",
]


_SEEN = 0.4
"""A smaller amount rounds to nothing on the bench, in inches too [mm]."""


class Amount(NamedTuple):
    """One number of a way: what, where, and how much."""

    what: What
    edge: str
    """The edge; nothing where both are meant."""
    where: str
    """A mark, an end, or an interval."""
    by: float
    """How much [mm], or how many marks; a mark that moves does so away from the first end."""


@dataclass(frozen=True, kw_only=True)
class SeamWay:
    """One way to close a seam: its numbers, and which limits it meets."""

    choice: str
    amounts: tuple[Amount, ...]
    """What to do, one number each."""
    checks: tuple[Check, ...]
    seam: Seam
    """The seam as it is glued this way."""

    @property
    def met(self) -> bool:
        """Whether every limit is kept."""
        return all(check.met for check in self.checks)


def longer(seam: Seam) -> Side:
    """The edge that is longer from end to end; the first one where both are alike."""
    return "b" if seam.intervals.total > 0 else "a"


def shared_out(
    seam: Seam, limits: Mapping[str, Limit], *, more_marks: bool = True
) -> tuple[tuple[Amount, ...], tuple[Check, ...]]:
    """What is stretched and squeezed in a seam that is glued cold, and the checks on it."""
    between, found = seam.intervals, []
    pins = pins_needed(seam) if more_marks else (0,) * len(between.a)
    for i in (int(i) for i in between.by_difference if between.unequal[i]):
        where = between.name(i)
        if pins[i]:
            found.append(Amount("extra marks", "", where, pins[i]))
        for edge, give in zip(between.names, (between.give_a[i], -between.give_b[i]), strict=True):
            if abs(give) >= _SEEN:
                what: What = "stretch" if give > 0 else "squeeze"
                found.append(Amount(what, edge, where, abs(float(give))))
    return tuple(found), cold_checks(between, limits, pins)


def pins_needed(seam: Seam) -> tuple[int, ...]:
    """How many marks to add in each interval so that no edge puckers between them."""
    between = seam.intervals
    parts = np.ones(len(between.a))
    for side in SIDES:
        use = np.maximum(-between.strain(side), 0.0) / between.pucker(side)
        parts = np.maximum(parts, np.ceil(np.sqrt(use) * (1 - 1e-12)))
    return tuple(int(n) - 1 for n in np.where(between.unequal, parts, 1))


def cold_ways(
    seam: Seam, limits: Mapping[str, Limit], *, marks_move: bool, already_cut: bool
) -> Iterator[SeamWay]:
    """As cut, stretched and squeezed, with more marks, with marks moved."""
    between = seam.intervals
    if not between.unequal.any():
        yield SeamWay(choice="as cut", amounts=(), checks=(), seam=seam)
        return
    amounts, checks = shared_out(seam, limits, more_marks=False)
    yield SeamWay(choice="stretch and squeeze", amounts=amounts, checks=checks, seam=seam)
    if any(pins_needed(seam)):
        amounts, checks = shared_out(seam, limits)
        yield SeamWay(choice="more marks", amounts=amounts, checks=checks, seam=seam)
    if marks_move:
        yield from _move_marks(seam, limits, already_cut=already_cut)


def _move_marks(seam: Seam, limits: Mapping[str, Limit], *, already_cut: bool) -> Iterator[SeamWay]:
    """As few marks as keep every limit, those that leave least; of the longer edge if it may.

    Nothing where no mark would move by more than a tape can see.
    """
    side = longer(seam)
    if seam.edge(side).held:
        side = other(side)
    yield from _first_kept(
        _moved_way(seam, side, moves, limits, already_cut=already_cut)
        for moves in chain(fewest_moves(seam, side), [all_moves(seam, side)])
        if any(abs(move.by) > tape_reading() for move in moves)
    )


def _first_kept(tries: Iterable[SeamWay]) -> Iterator[SeamWay]:
    """The first that keeps every limit, else the last; later ones are not worked out."""
    way = None
    for way in tries:
        if way.met:
            break
    if way is not None:
        yield way


def _moved_way(
    seam: Seam,
    side: Side,
    moves: tuple[MarkMove, ...],
    limits: Mapping[str, Limit],
    *,
    already_cut: bool,
) -> SeamWay:
    then = moved(seam, side, moves)
    rest, checks = shared_out(then, limits)
    if not already_cut:  # what is drawn again shall fit as it is
        checks = tuple(_left_over(then))
    shown = tuple(Amount("move", m.edge, m.mark, m.by) for m in moves if abs(m.by) >= _SEEN)
    return SeamWay(choice="move marks", amounts=(*shown, *rest), checks=checks, seam=then)


def _left_over(seam: Seam) -> Iterator[Check]:
    """The largest difference against what a tape can see."""
    between = seam.intervals
    i = int(between.by_difference[0])
    none = Limit.from_table("tape_reading", subject="habit")
    yield Check(f"difference left, {between.name(i)}", float(between.difference[i]), none)


def at_an_end(
    seam: Seam,
    limits: Mapping[str, Limit],
    *,
    free_end: str,
    marks_move: bool,
    already_cut: bool,
) -> Iterator[SeamWay]:
    """The longer edge trimmed, or the shorter one added to, at a free end."""
    gap = abs(seam.intervals.total)
    if free_end == "none" or gap <= tape_reading():
        return
    long = longer(seam)
    ends = ("start", "end") if free_end == "either" else (free_end,)
    for choice, side in (("trim an end", long), ("add at an end", other(long))):
        too_narrow = side != long and already_cut and gap < limits["let in"].value
        if seam.edge(side).held or too_narrow:
            continue
        yield from _first_kept(
            way
            for spread in ((False, True) if marks_move else (False,))
            for end in ends
            for way in _at_end(seam, side, end, choice, limits, spread)
        )


def _at_end(
    seam: Seam, side: Side, end: str, choice: str, limits: Mapping[str, Limit], spread: bool
) -> Iterator[SeamWay]:
    """One end changed by the difference of the whole seam; `spread`: the marks move as well.

    Nothing where no length would be left between two marks.
    """
    edge, by = seam.edge(side), abs(seam.intervals.total)
    change = -by if choice == "trim an end" else by
    places = np.asarray(edge.places) - edge.places[0]
    if spread:
        then_places = even_places(seam, side, length=edge.length + change)
        away = change if end == "start" else 0.0  # where the marks lay, seen from the new start
        shifts = then_places - (places + away)
    else:
        then_places = places.copy()
        if end == "start":
            then_places[1:] += change
        else:
            then_places[-1] += change
        shifts = np.zeros(places.size)
    if (np.diff(then_places) <= 0).any():
        return
    then = seam.changed(side, then_places)
    what: What = "trim" if change < 0 else "add"
    moves = tuple(
        Amount("move", edge.name, mark, float(x))
        for mark, x in zip(seam.a.labels[1:-1], shifts[1:-1], strict=True)
        if abs(x) > 1e-9
    )
    rest, checks = shared_out(then, limits)
    amounts = (Amount(what, edge.name, end, by), *moves, *rest)
    yield SeamWay(choice=choice, amounts=amounts, checks=checks, seam=then)


def dart_legs(seam: Seam, i: int) -> tuple[float, float]:
    """How long the legs of a dart in an interval are best cut [mm], and its angle [rad].

    As long as the strain of this interval alone would reach into the piece, but no more than four
    fifths of its depth, so that the dart ends in whole foam.
    """
    between = seam.intervals
    edge = seam.edge(SIDES[int(between.difference[i] > 0)])
    run = float(between.a[i] + between.b[i]) / 2
    legs = min(reach("lone", poisson=sheet_of(edge).poisson) * run, 0.8 * edge.depth)
    return legs, float(2 * np.arctan(abs(between.difference[i]) / 2 / legs))
