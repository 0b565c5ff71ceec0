"""Ends and joins of a strip: what to add at an open end, and where two lengths are joined."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, inf
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.stack import Piece
from foamcalc.foam.bond import end_reach
from foamcalc.guards import non_negative, one_of, positive, single
from foamcalc.shape.plane import Curve
from foamcalc.tables import look_up

Floats = NDArray[np.float64]
EndKind = Literal["flush", "free", "wrapped"]
JoinKind = Literal["butt", "lap"]

_MOST_STRIPS = 200
"""Lengths of strip that one edge may be parted into."""
_PLACES = 240
"""Steps in which an edge is searched for places to join."""
_TURN = 100.0
"""Price of a radian of turning at a join, against one of a piece that is no length at all."""


@dataclass(frozen=True, kw_only=True)
class StripEnd:
    """How a strip ends at an open end of its edge.

    Parameters
    ----------
    kind : {"flush", "free", "wrapped"}
        Cut off at the end of the edge; run past it and trimmed after gluing; or taken round the
        end of the piece and glued down behind it.
    spare : float, optional
        What is left on at a free end [mm]; what limits.csv has when left out.
    leg : float
        Length that lies on behind a wrapped end [mm], above 0.
    over : float
        What a wrapped end goes over before its leg [mm]: the thickness of the piece. 0 where it
        only turns a corner.

    Examples
    --------
    Round the end of a shell 10 mm thick, 15 mm glued down inside, with a strip of 4 mm:

    >>> from foamcalc.foam.law import Linear
    >>> end = StripEnd(kind="wrapped", leg=15, over=10)
    >>> print(f"{end.allowance(Piece(thickness=4, law=Linear(1.5))):.2f} mm")
    31.28 mm
    """

    kind: EndKind = "flush"
    spare: float | None = None
    leg: float = 0.0
    over: float = 0.0

    def __post_init__(self) -> None:
        one_of(self.kind, "kind", ("flush", "free", "wrapped"))
        if self.spare is not None:
            object.__setattr__(self, "spare", single(positive(self.spare, "spare"), "spare"))
        for name in ("leg", "over"):
            value = single(non_negative(getattr(self, name), name), name)
            object.__setattr__(self, name, value)
        if self.kind == "wrapped" and not self.leg:
            raise ValueError(
                "leg of a wrapped end must be above 0 mm, got 0; say how much is glued down"
            )
        if self.kind != "wrapped" and (self.leg or self.over):
            raise ValueError(
                f"leg and over are for a wrapped end, but this one is {self.kind}; write "
                "kind='wrapped', or leave them out"
            )
        if self.kind != "free" and self.spare is not None:
            raise ValueError(f"spare is for a free end, but this one is {self.kind}")

    def allowance(self, strip: Piece) -> float:
        """What to add to the strip at this end [mm].

        Wrapped: leg, what it goes over, and a quarter turn at each sharp corner, which takes
        ``pi/2`` times the height of the strip's fibre.
        """
        if self.kind == "free":
            row = look_up("limits", "habit", "spare_at_free_end")
            return row.in_unit("mm") if self.spare is None else self.spare
        if self.kind == "flush":
            return 0.0
        corners = 2 if self.over else 1
        return self.leg + self.over + corners * np.pi / 2 * strip.fibre * strip.thickness


FLUSH = StripEnd()


@dataclass(frozen=True, kw_only=True)
class Joining:
    """How lengths of strip are joined, and how long one can be cut.

    Parameters
    ----------
    kind : {"butt", "lap"}
        End to end, or one over the other.
    lap : float
        How far one lies over the other [mm]; above 0 for a lap, 0 for a butt.
    longest : float
        Longest strip that can be cut [mm], above `lap`.
    """

    kind: JoinKind = "butt"
    lap: float = 0.0
    longest: float = inf

    def __post_init__(self) -> None:
        one_of(self.kind, "kind", ("butt", "lap"))
        object.__setattr__(self, "lap", single(non_negative(self.lap, "lap"), "lap"))
        if self.longest != inf:
            longest = single(positive(self.longest, "longest"), "longest")
            object.__setattr__(self, "longest", longest)
        if (self.kind == "lap") != (self.lap > 0):
            raise ValueError(
                f"lap must be above 0 mm for a lap join and 0 for a butt join, got {self.lap:g} mm "
                f"for a {self.kind} join"
            )
        if self.lap >= self.longest:
            raise ValueError(
                f"lap ({self.lap:g} mm) must be shorter than the longest strip ({self.longest:g} "
                "mm), or nothing is left of it; take a shorter lap"
            )


BUTT = Joining()


def turning_near(curve: Curve, places: Floats, *, within: float) -> Floats:
    """How much an edge turns about places on it, corners and hollows counted [rad]."""
    length = curve.length
    grid = np.unique([*np.linspace(0, length, 4 * _PLACES + 1), *(c.place for c in curve.corners)])
    turned = np.append(0.0, np.cumsum(np.abs(np.diff(curve.heading(grid)))))

    def upto(s: Floats) -> Floats:
        if not curve.closed:
            return np.asarray(np.interp(s, grid, turned))
        within = np.interp(s % length, grid, turned)
        return np.asarray(within + turned[-1] * (s // length))

    return np.asarray(upto(places + within / 2) - upto(places - within / 2))


def easiest_place(curve: Curve, strip: Piece, joining: Joining = BUTT) -> float:
    """The place of a closed edge where it turns least, for the join of a ring [mm].

    Of several that are equal the first along the edge.
    """
    places = np.linspace(0, curve.length, _PLACES + 1)[:-1]
    turns = turning_near(curve, places, within=_reach(strip, joining)).round(9)
    return float(places[np.argmin(turns)])


def _reach(strip: Piece, joining: Joining) -> float:
    """Length of edge beside a join that should turn little [mm]: where an end's pull builds up."""
    return max(2 * float(end_reach(thickness=strip.thickness)), joining.lap)


def join_places(
    curve: Curve,
    strip: Piece,
    upto: Callable[[Floats], Floats],
    *,
    start: float,
    end: float,
    joining: Joining,
    added: tuple[float, float] = (0.0, 0.0),
) -> tuple[float, ...]:
    """Where along an edge lengths of strip are joined, away from where it turns.

    Of all ways to share the edge among that many strips the one with the least turning within
    the reach of the joins; where that is equal, with the evenest lengths. Searched in 240 steps.
    """
    whole = float(upto(np.array([end]))[0])
    room = joining.longest - joining.lap
    if whole + sum(added) <= joining.longest * (1 + 1e-9):
        return ()
    if max(added) >= room:
        raise ValueError(
            f"the end of the strip takes {max(added):.0f} mm of the longest strip of "
            f"{joining.longest:g} mm, so that nothing is left for the edge; make the leg shorter "
            "or the strips longer"
        )
    check_count((whole + sum(added) - joining.lap) / room, joining.longest)
    count = ceil((whole + sum(added) - joining.lap) / room - 1e-9)
    for pieces in range(count, count + 3):
        even = np.interp(
            np.arange(1, pieces) * whole / pieces,
            upto(np.linspace(start, end, _PLACES + 1)),
            np.linspace(start, end, _PLACES + 1),
        )
        places = np.unique([*np.linspace(start, end, _PLACES + 1), *even])
        price = _TURN * turning_near(curve, places, within=_reach(strip, joining))
        found = _best(places, upto(places), price.round(6), pieces, joining, added)
        if found is not None:
            return found
    raise ValueError(
        f"no places were found to join {count} strips of {joining.longest:g} mm; make them longer"
    )


def check_count(strips: float, longest: float) -> None:
    """Raise ValueError for an edge that would be parted into more strips than make sense."""
    if strips > _MOST_STRIPS:
        raise ValueError(
            f"about {strips:.4g} strips of {longest:.4g} mm would be needed, and at most "
            f"{_MOST_STRIPS} are reckoned with; make them longer, or give the edge in parts"
        )


def _best(
    places: Floats,
    lengths: Floats,
    price: Floats,
    pieces: int,
    joining: Joining,
    added: tuple[float, float],
) -> tuple[float, ...] | None:
    """The cheapest chain of joins that keeps every strip short enough; by dynamic programming."""
    step = lengths[None, :] - lengths[:, None]  # from row to column
    even = lengths[-1] / pieces

    def cost(extra: float) -> Floats:
        fits = (step > 0) & (step + extra <= joining.longest * (1 + 1e-9))
        return np.where(fits, ((step - even) / even) ** 2, np.inf)

    total = cost(added[0] + joining.lap / 2)[0] + price
    back = []
    for _ in range(pieces - 2):
        ways = total[:, None] + cost(joining.lap)
        back.append(ways.argmin(axis=0))
        total = ways.min(axis=0) + price
    total = total + cost(added[1] + joining.lap / 2)[:, -1]
    at = int(total.argmin())
    if not np.isfinite(total[at]):
        return None
    chain = [at]
    for step_back in reversed(back):
        chain.append(int(step_back[chain[-1]]))
    return tuple(places[chain[::-1]].tolist())
