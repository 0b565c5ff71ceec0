"""Which way to close a gap: the limits, the ways in order, and the reasons."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product
from typing import Any

from foamcalc.fit.checks import COLD_ONLY, cold_checks, stiffest
from foamcalc.fit.limits import Check, Limit, default_limits, tape_reading, with_own
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.release import Outcome, let_go, outcomes_table, shortest_cut
from foamcalc.fit.stack import needed_lengths
from foamcalc.foam.adhesives import adhesive_named
from foamcalc.guards import one_of
from foamcalc.tables import Entry, look_up, subjects

CHOICES = ("as cut", "stretch", "form warm", "cut longer", "let in a piece", "divide")


@dataclass(frozen=True, kw_only=True)
class Situation:
    """What the maker is asked before anything is chosen.

    Parameters
    ----------
    already_cut : bool
        Whether the overlay is cut. Not cut yet, longer costs nothing.
    free_ends : int
        How many of its ends may run past and be trimmed after gluing: 0, 1 or 2.
    adhesive : str
        A name in adhesives.csv.
    """

    already_cut: bool
    free_ends: int = 2
    adhesive: str = "contact adhesive"

    def __post_init__(self) -> None:
        if self.free_ends not in (0, 1, 2):
            raise ValueError(f"free_ends must be 0, 1 or 2, got {self.free_ends!r}")
        named = adhesive_named(self.adhesive)
        object.__setattr__(self, "adhesive", one_of(named, "adhesive", subjects("adhesives")))


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way to close the gap: what comes of it, and which limits it meets."""

    choice: str
    outcome: Outcome
    checks: tuple[Check, ...]
    glued: Overlay
    """The joint as it is glued this way: pieces as formed, length as it is after forming."""

    @property
    def met(self) -> bool:
        """Whether every limit is kept."""
        return all(check.met for check in self.checks)


@dataclass(frozen=True, kw_only=True)
class Alternative:
    """A different build of the same joint, to hold beside the answer."""

    name: str
    gap: float
    """Length the overlay would be short as it is cut now [mm]."""
    opening: float
    """How far the mouth would open with the gap closed by cutting longer [mm]."""
    note: str


@dataclass(frozen=True, kw_only=True)
class Choice:
    """What to do with a joint, and why."""

    joint: Overlay
    situation: Situation
    limits: Mapping[str, Limit]
    chosen: Way
    ways: tuple[Way, ...]
    """The ways that were looked at, in order; the last is the chosen one."""
    outcomes: tuple[Outcome, ...]
    """Stretched as cut (if short), cut to length, and the shortest cut inside the limits."""
    planned_length: float
    """How long to cut it where it is cut again, without spare [mm]."""

    @cached_property
    def alternatives(self) -> tuple[Alternative, ...]:
        """Different builds of the same joint, to hold beside the answer."""
        return _alternatives(self.joint)

    @property
    def choice(self) -> str:
        """One of `CHOICES`."""
        return self.chosen.choice

    def table(self) -> Any:
        """The outcomes side by side (pandas, units in the column heads)."""
        return outcomes_table(self.outcomes)

    def checks_table(self) -> Any:
        """Every way against every limit (pandas)."""
        import pandas as pd

        factor = {"1": 100.0}
        rows = [
            {
                "way": way.choice,
                "limit on": check.what,
                "found": factor.get(check.limit.unit, 1.0) * check.found,
                "limit": factor.get(check.limit.unit, 1.0) * check.limit.value,
                "unit": {"1": "%"}.get(check.limit.unit, check.limit.unit),
                "met": check.met,
                "basis": check.limit.basis,
            }
            for way in self.ways
            for check in way.checks
        ]
        return pd.DataFrame(rows)


def choose(
    joint: Overlay, situation: Situation, limits: Mapping[str, Limit] | None = None
) -> Choice:
    """The first way to close the gap that meets every limit.

    Parameters
    ----------
    joint : Overlay
        The joint.
    situation : Situation
        Cut or not, free ends, adhesive.
    limits : mapping, optional
        As from `default_limits`, some of them changed.

    Returns
    -------
    Choice

    Notes
    -----
    Not short: as cut. Not cut yet: cut longer (needed length less a small hug allowance, where
    the limits leave room for one). Already cut: stretch, form warm, let in a piece, cut longer.
    Where the spring of the flat overlay alone opens the mouth too far, form it warm as well,
    with the base where that is only held. When no way meets the limits the answer is to divide
    the overlay, and the limits that are passed say why.
    """
    known = with_own(default_limits(joint.overlay, joint.shell), limits)
    outcomes, shortest = _side_by_side(joint, known)
    planned = _planned_length(joint, shortest)
    ways = []
    for way in _ways(joint, situation, known, planned):
        ways.append(way)
        if way.met:
            break
    else:
        ways.append(replace(ways[-1], choice="divide"))
    return Choice(
        joint=joint,
        situation=situation,
        limits=known,
        chosen=ways[-1],
        ways=tuple(ways),
        outcomes=outcomes,
        planned_length=planned,
    )


def _planned_length(joint: Overlay, shortest: float | None) -> float:
    """How long to cut when cutting costs nothing [mm].

    Needed length less the hug allowance, but never below the shortest that keeps the limits; no
    allowance over a hollow, nor where even the needed length is not enough.
    """
    if shortest is None:
        return joint.needed_length
    share = look_up("limits", "habit", "hug_allowance").as_fraction()
    return max(joint.needed_length * (1 - share), shortest)


def _ways(
    joint: Overlay, situation: Situation, limits: Mapping[str, Limit], planned: float
) -> Iterator[Way]:
    """The ways in the order they are tried."""
    longer = joint.with_cut(planned)
    tape = tape_reading()
    if joint.gap <= tape:
        yield _way("as cut", longer if joint.gap < -tape else joint, limits)
    elif situation.already_cut:
        yield _way("stretch", joint, limits)
        yield _warm(joint, limits)
        if planned - joint.cut_length >= limits["let in"].value:
            yield _way("let in a piece", longer, limits)
    if joint.gap > tape or not situation.already_cut:
        yield _way("cut longer", longer, limits)
    yield _warm(joint, limits, cut_again=True)
    if joint.base.formed < 1:
        yield _warm(joint, limits, cut_again=True, with_base=True)


def _way(choice: str, joint: Overlay, limits: Mapping[str, Limit]) -> Way:
    """A way with the overlay cold, against its limits."""
    outcome = let_go(joint, name=choice)
    checks = cold_checks(joint, outcome, limits)
    return Way(choice=choice, outcome=outcome, checks=checks, glued=joint)


def _warm(
    joint: Overlay,
    limits: Mapping[str, Limit],
    *,
    cut_again: bool = False,
    with_base: bool = False,
) -> Way:
    """Warmed, laid round the base and held till cool: it keeps length and curve, nearly.

    As it is cut it is stretched to fit and shrinks on cooling; cut again it is cut longer by
    what it will shrink. A base that is formed with it springs back as it does.
    """
    shrink, spring = (
        look_up("limits", "habit", name) for name in ("shrink_on_cooling", "spring_back_on_cooling")
    )
    cut = joint.needed_length * (1 + shrink.as_fraction()) if cut_again else joint.cut_length
    laid = cut if cut_again else joint.needed_length

    def cooled(shrunk: float, sprung: float) -> Overlay:
        kept = 1 / (1 + sprung / 100)
        base = replace(joint.base, formed=max(joint.base.formed, kept * with_base))
        overlay = replace(joint.overlay, formed=kept)
        return replace(joint, cut_length=laid / (1 + shrunk / 100), base=base, overlay=overlay)

    way = _way("form warm", cooled(shrink.value, spring.value), limits)
    found = [let_go(cooled(*ends)).opening for ends in product(_range(shrink), _range(spring))]
    between = min(found), max(found)
    strain = max(joint.needed_length / cut - 1, 0.0)
    checks = (
        Check("stretch while warm", strain, limits["warm"]),
        *(
            c._replace(between=between) if c.found == way.outcome.opening else c
            for c in way.checks
            if c.what not in COLD_ONLY
        ),
    )
    outcome = replace(
        way.outcome, cut_length=cut, strain=strain, force=float("nan"), opening_range=between
    )
    return replace(way, outcome=outcome, checks=checks)


def _range(row: Entry) -> tuple[float, float]:
    """Least and most of a number from memory, in its own unit."""
    return (
        row.value if row.low is None else row.low,
        row.value if row.high is None else row.high,
    )


def _side_by_side(
    joint: Overlay, limits: Mapping[str, Limit]
) -> tuple[tuple[Outcome, ...], float | None]:
    """The outcomes to compare, and the shortest overlay inside the limits [mm]."""
    found = [let_go(joint)] if joint.gap > 0 else []
    found.append(let_go(joint.with_cut(joint.needed_length), name="cut to length"))
    if joint.over_hollow:
        return tuple(found), None
    shortest = shortest_cut(
        joint,
        strain=limits["stretch"].value,
        opening=limits["girth" if joint.curve.closed else "mouth"].value,
        force=limits["force"].value / stiffest(joint),
        roundness=limits["round"].value,
    )
    if shortest is not None and joint.gap > 0:
        found.append(let_go(joint.with_cut(shortest), name="shortest inside the limits"))
    return tuple(found), shortest


def _alternatives(joint: Overlay) -> tuple[Alternative, ...]:
    stock = sorted(row.in_unit("mm") for row in _stock())
    thinner = [t for t in stock if t < 0.99 * joint.overlay.thickness]
    builds = []
    if thinner:
        piece = replace(joint.overlay, thickness=thinner[-1])
        builds.append(
            (f"overlay of {thinner[-1]:g} mm", replace(joint, overlay=piece), "the next in stock")
        )
    formed = replace(
        joint,
        base=replace(joint.base, formed=1.0),
        overlay=replace(joint.overlay, formed=1.0),
    )
    builds.append(("each formed alone", formed, "the overlay cut to its needed length"))
    found = [
        Alternative(
            name=name,
            gap=build.gap,
            opening=let_go(build.with_cut(build.needed_length)).opening,
            note=note,
        )
        for name, build, note in builds
    ]
    base_length = needed_lengths((joint.base,), inside_length=joint.inside_length, turn=joint.turn)[
        0
    ]
    warm = joint.needed_length / float(base_length) - 1
    together = Alternative(
        name="laminated flat, formed together",
        gap=0.0,
        opening=0.0,
        note=f"it {'stretches' if warm >= 0 else 'is squeezed'} {abs(warm):.1%} while warm",
    )
    return (*found, together)


def _stock() -> tuple[Entry, ...]:
    return tuple(look_up("stock", name, "nominal_thickness") for name in subjects("stock"))
