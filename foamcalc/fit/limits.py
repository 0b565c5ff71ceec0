"""What must not be passed: each limit a number with its unit, its basis and its reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import radians
from typing import NamedTuple

from foamcalc.fit.shell import Shell
from foamcalc.fit.stack import Piece
from foamcalc.foam.bond import Strength, foam_cap
from foamcalc.guards import one_of
from foamcalc.shape.profile import chain
from foamcalc.tables import look_up

_OWN = ("measured", "your own")
"""Bases of a limit that is what the maker's own glue held."""


@dataclass(frozen=True, kw_only=True)
class Limit:
    """A number that must not be passed, and why."""

    value: float
    """In mm, N, rad, or as a fraction."""
    unit: str
    basis: str
    reason: str

    @classmethod
    def from_table(cls, quantity: str, *, subject: str = "limit") -> Limit:
        """A row of limits.csv."""
        row = look_up("limits", subject, quantity)
        value, unit = row.value, row.unit
        if unit == "%":
            value, unit = row.as_fraction(), "1"
        elif unit == "deg":
            value, unit = radians(value), "rad"
        return cls(value=value, unit=unit, basis=row.basis, reason=row.note)


def opening_limit(shell: Shell | None) -> Limit:
    """The most that the mouth, or the girth of a ring, may change: more for a large shell."""
    ring = shell is not None and shell.curve.closed
    name = "girth_change" if ring else "mouth_opening"
    usual = Limit.from_table(name)
    if shell is None or shell.curve.corners:
        return usual
    spans = shell.spans()
    size = spans.inside.sum() if ring else chain(spans.inside, spans.turns).mouth
    share = Limit.from_table(f"{name}_share")
    grown = replace(share, value=share.value * float(size), unit="mm")
    return grown if grown.value > usual.value else usual


def default_limits(overlay: Piece, shell: Shell | None = None) -> dict[str, Limit]:
    """The limits from the reference tables that go with an overlay."""
    thick = overlay.thickness >= Limit.from_table("thinnest_for_hard_pull").value
    ring = shell is not None and shell.curve.closed
    return {
        "stretch": Limit.from_table("cold_pull_hard" if thick else "cold_pull_easy"),
        "warm": Limit.from_table("warm_hold"),
        "mouth": opening_limit(None if ring else shell),
        "girth": opening_limit(shell) if ring else Limit.from_table("girth_change"),
        "round": Limit.from_table("out_of_round"),
        "force": Limit.from_table("hand_force"),
        "end": Limit.from_table("end_peel"),
        "let in": Limit.from_table("let_in_narrowest"),
    }


def with_own(
    usual: Mapping[str, Limit], own: Mapping[str, Limit] | None = None
) -> dict[str, Limit]:
    """The usual limits with the maker's own in their places; ValueError for an unknown name."""
    for name in own or {}:
        one_of(name, "limit", tuple(usual))
    return {**usual, **(own or {})}


def end_strength(limit: Limit) -> Strength:
    """What a limit on the peel of the ends says of the glue."""
    if limit.basis in _OWN:
        return Strength(kind="peel", value=limit.value, basis="your own test")
    return foam_cap("peel", limit.value, basis=limit.basis)


class Check(NamedTuple):
    """One limit against what was found."""

    what: str
    found: float
    limit: Limit
    between: tuple[float, float] | None = None
    """Least and most it may be, where it rests on numbers from memory."""

    @property
    def unsure(self) -> bool:
        """Whether the limit lies between the two."""
        kept = {abs(x) <= self.limit.value for x in self.between or ()}
        return len(kept) == 2

    @property
    def met(self) -> bool:
        """Whether the limit is kept."""
        return abs(self.found) <= self.limit.value


def tape_reading() -> float:
    """How far a tape reading may be off [mm]: less than that is no gap."""
    return look_up("limits", "habit", "tape_reading").in_unit("mm")
