"""Strips as they are cut: lengths with their ends and joins, and the marks on each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.ends import BUTT, FLUSH, Joining, StripEnd, join_places
from foamcalc.guards import finite
from foamcalc.shape.plane import Curve

Floats = NDArray[np.float64]
Ends = tuple[StripEnd, StripEnd]
_MOST_MARKS = 1000
"""Marks that one edge may have."""
Upto = Callable[[Floats], Floats]
"""Length of a strip as cut, from its start up to places along its edge [mm]."""


class StripMark(NamedTuple):
    """Where a mark of the edge meets a strip."""

    on_edge: float
    """Length along the edge [mm]."""
    on_strip: float
    """Length along the strip as cut, from its first end [mm]."""


@dataclass(frozen=True)
class Laid:
    """How one strip lies along its edge before it is parted into lengths that can be cut."""

    start: float
    """Where it begins along the edge [mm]."""
    end: float
    """Where it ends [mm]; past the length of a closed edge where it runs over its joint."""
    upto: Upto
    """Length as cut from the start up to places along the edge [mm]."""
    mitres: tuple[float, float] = (0.0, 0.0)
    """Angle of the cut at each end from square [rad], positive at a convex corner."""
    offsets: tuple[float, float] = (0.0, 0.0)
    """Offsets of its two edges from the line that `upto` measures [mm]; for the mitres."""
    ring: bool = False
    """Whether its end meets its start."""
    rise: float = 0.0
    """How much farther out it lies where it laps over another [mm]."""


@dataclass(frozen=True, kw_only=True)
class CutStrip:
    """One strip as it is cut from the sheet."""

    number: int
    start: float
    """Where it begins along the edge [mm], laps and allowances left out."""
    end: float
    length: float
    """Length along the line it follows, between the two [mm]."""
    before: float
    """What is added at its first end: lap, spare, wrap, or the tip of a mitre [mm]."""
    after: float
    """The same at its other end [mm]."""
    mitres: tuple[float, float] = (0.0, 0.0)
    """Angle of the cut at each end from square [rad]."""
    edge_lengths: tuple[float, float]
    """Lengths of its inner and its outer edge as cut, mitres counted, additions not [mm]."""
    marks: tuple[StripMark, ...] = ()

    @property
    def cut_length(self) -> float:
        """Length of the blank, all counted [mm]."""
        return self.before + self.length + self.after


def cut_strips(
    curve: Curve,
    strip: Piece,
    laid: Sequence[Laid],
    *,
    ends: Ends | None = None,
    joining: Joining = BUTT,
    marks: ArrayLike = (),
) -> tuple[CutStrip, ...]:
    """Part strips into lengths that can be cut, with what their ends need and their marks."""
    first, last = open_ends(curve.closed, ends)
    places = _checked_marks(curve, marks)
    found: list[CutStrip] = []
    for i, one in enumerate(laid):
        own = first if i == 0 else FLUSH, last if i == len(laid) - 1 else FLUSH
        found += _parted(curve, strip, one, own, joining, places, len(found))
    return tuple(found)


def mitre_tip(offsets: tuple[float, float], mitre: float) -> float:
    """How far the tip of a mitre stands out past the line that a strip follows [mm]."""
    return float(max(offset * np.tan(mitre) for offset in (*offsets, 0.0)))


def open_ends(closed: bool, ends: Ends | None) -> Ends:
    """What is done at the open ends of an edge; ValueError for ends on a closed one."""
    if closed and ends is not None:
        raise ValueError(
            "a closed edge has no open ends, so that nothing can be free or wrapped there; leave "
            "ends out and choose how the strip is joined"
        )
    return (FLUSH, FLUSH) if ends is None else ends


def strips_table(strips: Sequence[CutStrip]) -> Any:
    """The strips side by side (pandas, units in the column heads)."""
    import pandas as pd

    return pd.DataFrame(
        {
            "strip": [s.number for s in strips],
            "from [mm]": [s.start for s in strips],
            "to [mm]": [s.end for s in strips],
            "length [mm]": [s.length for s in strips],
            "added first [mm]": [s.before for s in strips],
            "added last [mm]": [s.after for s in strips],
            "cut [mm]": [s.cut_length for s in strips],
            "inner edge [mm]": [s.edge_lengths[0] for s in strips],
            "outer edge [mm]": [s.edge_lengths[1] for s in strips],
            "mitre first [deg]": [np.degrees(s.mitres[0]) for s in strips],
            "mitre last [deg]": [np.degrees(s.mitres[1]) for s in strips],
        }
    )


def marks_table(strips: Sequence[CutStrip]) -> Any:
    """Where every mark of the edge meets its strip (pandas, units in the column heads)."""
    import pandas as pd

    rows = [(s.number, *mark) for s in strips for mark in s.marks]
    return pd.DataFrame(rows, columns=["strip", "mark on the edge [mm]", "mark on the strip [mm]"])


def _checked_marks(curve: Curve, marks: ArrayLike) -> Floats:
    if np.size(marks) == 0:
        return np.zeros(0)
    places = finite(marks, "marks")
    if places.size > _MOST_MARKS:
        raise ValueError(f"marks must be at most {_MOST_MARKS}, got {places.size}")
    if places.ndim != 1:
        raise ValueError(f"marks must be a flat list of places, got shape {places.shape}")
    back = np.flatnonzero(np.diff(places) <= 0)
    if back.size:
        i = int(back[0])
        raise ValueError(
            f"marks must stand in rising order along the edge, but mark {i + 2} at "
            f"{places[i + 1]:g} mm comes after mark {i + 1} at {places[i]:g} mm; walk the edge "
            "again from one end"
        )
    if curve.closed and places[-1] - places[0] >= curve.length * (1 - 1e-9):
        raise ValueError(
            f"marks at {places[0]:g} and {places[-1]:g} mm are one place on a closed edge of "
            f"{curve.length:g} mm; leave one of them out"
        )
    return curve.on_curve(places)


def _parted(
    curve: Curve,
    strip: Piece,
    one: Laid,
    own: Ends,
    joining: Joining,
    marks: Floats,
    before: int,
) -> list[CutStrip]:
    half = joining.lap / 2
    tips = [mitre_tip(one.offsets, mitre) for mitre in one.mitres]
    ends = [end.allowance(strip) for end in own]
    outer = [tip + end + (half if one.ring else 0.0) for tip, end in zip(tips, ends, strict=True)]
    joins = join_places(
        curve,
        strip,
        one.upto,
        start=one.start,
        end=one.end,
        joining=joining,
        added=(outer[0], outer[1]),
    )
    cuts = [one.start, *joins, one.end]
    lengths = one.upto(np.array(cuts))
    found, last = [], len(cuts) - 2
    for i in range(last + 1):
        joined = (i > 0 or one.ring, i < last or one.ring)
        rise = _rise(curve, one, cuts[i], joining) if joined[0] else 0.0
        mitres = (one.mitres[0] if i == 0 else 0.0, one.mitres[1] if i == last else 0.0)
        length = float(lengths[i + 1] - lengths[i])
        if joining.lap and any(joined) and joining.lap >= length:
            raise ValueError(
                f"lap ({joining.lap:g} mm) must be shorter than the strip it joins, which is "
                f"{length:.1f} mm long; take a shorter lap or fewer strips"
            )
        sides = [length + d * (np.tan(mitres[0]) + np.tan(mitres[1])) for d in one.offsets]
        if min(sides) <= 0:
            raise ValueError(
                f"the part from {cuts[i]:.1f} to {cuts[i + 1]:.1f} mm along the edge is used up by "
                "the mitres at its ends; take a narrower strip"
            )
        added = (outer[0] if i == 0 else half) + rise, outer[1] if i == last else half
        found.append(
            CutStrip(
                number=before + i + 1,
                start=cuts[i],
                end=cuts[i + 1],
                length=length,
                before=float(added[0]),
                after=float(added[1]),
                mitres=mitres,
                edge_lengths=(float(sides[0]), float(sides[1])),
                marks=_marks_on(curve, one, (cuts[i], cuts[i + 1]), marks, float(added[0])),
            )
        )
    return found


def _rise(curve: Curve, one: Laid, place: float, joining: Joining) -> float:
    """What a strip needs more where it lies over the end of another [mm]."""
    if not one.rise or not joining.lap:
        return 0.0
    ends = np.array([place - joining.lap / 2, place + joining.lap / 2])
    if curve.closed:
        around = np.floor(ends / curve.length)
        turned = curve.heading(ends - around * curve.length) + around * curve.turn
    else:
        turned = curve.heading(np.clip(ends, 0.0, curve.length))
    return float(one.rise * (turned[1] - turned[0]))


def _marks_on(
    curve: Curve, one: Laid, ends: tuple[float, float], marks: Floats, added: float
) -> tuple[StripMark, ...]:
    """The marks that a strip meets, in order along it."""
    slack = 1e-9 * curve.length
    both = np.concatenate([marks, marks + curve.length]) if curve.closed else marks
    here = both[(both >= ends[0] - slack) & (both <= ends[1] + slack)]
    if not here.size:
        return ()
    upto = one.upto(np.clip(np.append(ends[0], here), one.start, one.end))
    on_strip = added + upto[1:] - upto[0]
    over = curve.closed & (here >= curve.length - slack)
    on_edge = np.where(over, np.maximum(here - curve.length, 0.0), here)
    return tuple(StripMark(*pair) for pair in zip(on_edge.tolist(), on_strip.tolist(), strict=True))
