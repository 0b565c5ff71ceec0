"""The strips of a rim as they are cut: lengths, ends, joins, corners, marks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.fit.limits import Check, Limit, default_limits, tape_reading, with_own
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.ends import BUTT, Joining, easiest_place
from foamcalc.fit.trim.parts import Part, parts_of
from foamcalc.fit.trim.rim import Rim
from foamcalc.fit.trim.strips import (
    CutStrip,
    Ends,
    Laid,
    Upto,
    cut_strips,
    marks_table,
    strips_table,
)
from foamcalc.guards import one_of
from foamcalc.shape.plane import Floats

AtCorners = Literal["bent", "mitred"]
_NO_STRETCH = Limit(
    value=0.0,  # and what a tape cannot tell from nothing
    unit="1",
    basis="derived",
    reason="A stretched strip pulls itself off a hollow, with its pull over the radius.",
)


@dataclass(frozen=True, kw_only=True)
class CutRim:
    """A rim as it is cut: its strips, and its limits."""

    rim: Rim
    limits: Mapping[str, Limit]
    strips: tuple[CutStrip, ...]
    checks: tuple[Check, ...]
    joining: Joining = BUTT
    at_corners: AtCorners = "bent"
    refused: CutRim | None = None
    """The strip that passes a limit and in whose place this one is cut; see `allowed_rim`."""

    @property
    def met(self) -> bool:
        """Whether every limit is kept."""
        return all(check.met for check in self.checks)

    @property
    def needed(self) -> float:
        """Length that its strips need together along their middle [mm]; parted at corners, less."""
        return sum(s.length for s in self.strips) / (1 - self.rim.share)

    @property
    def joins(self) -> int:
        """How many joins there are between strips; mitres at corners are none."""
        mitres = len(self.rim.curve.corners) if self.at_corners == "mitred" else 0
        return len(self.strips) - mitres - (0 if self.rim.curve.closed else 1)

    @property
    def cut_length(self) -> float:
        """Length of all strips as cut [mm]."""
        return sum(s.cut_length for s in self.strips)

    def table(self) -> Any:
        """The strips side by side (pandas, units in the column heads)."""
        return strips_table(self.strips)

    def marks_table(self) -> Any:
        """Where every mark meets its strip (pandas)."""
        return marks_table(self.strips)


def rim_limits(strip: Piece) -> dict[str, Limit]:
    """The limits from the reference tables that go with a rim: ``stretch`` and ``force``."""
    usual = default_limits(strip)
    return {name: usual[name] for name in ("stretch", "force")}


def cut_rim(
    rim: Rim,
    *,
    limits: Mapping[str, Limit] | None = None,
    ends: Ends | None = None,
    joining: Joining = BUTT,
    at_corners: AtCorners = "bent",
    marks: ArrayLike = (),
) -> CutRim:
    """Cut the strips of a rim.

    Parameters
    ----------
    rim : Rim
        The rim.
    limits : mapping, optional
        As from `rim_limits`, some of them changed.
    ends : pair of StripEnd, optional
        What is done at the two open ends; flush when left out. A closed edge has none.
    joining : Joining
        Kind of join and longest strip. A lap over another strip lies farther out by its
        thickness, and is longer by as much times its turn.
    at_corners : {"bent", "mitred"}
        Whether the strip goes on round a corner, or is parted there, both ends cut at half its
        turn through the thickness.
    marks : array_like
        Places of marks along the edge [mm], in rising order.

    Returns
    -------
    CutRim
        Joins lie where the edge turns least.

    Examples
    --------
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.arcs import Arcs
    >>> edge = Arcs([60, 100, 60], [1.0, 0.0, 1.0])
    >>> rim = Rim(curve=edge, strip=Piece(thickness=6, width=30, law=foam("EVA medium")), short=0)
    >>> for strip in cut_rim(rim, joining=Joining(longest=150), marks=[60, 160]).strips:
    ...     print(f"{strip.cut_length:.1f}", [round(m.on_strip, 1) for m in strip.marks])
    113.0 [63.0]
    113.0 [50.0]
    """
    known = with_own(rim_limits(rim.strip), limits)
    if one_of(at_corners, "at_corners", ("bent", "mitred")) == "mitred" and rim.curve.corners:
        laid = _mitred(rim)
    else:
        start = easiest_place(rim.curve, rim.strip, joining) if rim.curve.closed else 0.0
        whole = Laid(
            start=start,
            end=start + rim.curve.length,
            upto=rim.upto(start),
            ring=rim.curve.closed,
            rise=rim.strip.thickness,
        )
        laid = [whole]
    strips = cut_strips(rim.curve, rim.strip, laid, ends=ends, joining=joining, marks=marks)
    return CutRim(
        rim=rim,
        limits=known,
        strips=strips,
        checks=_checks(rim, known),
        joining=joining,
        at_corners=at_corners,
    )


def allowed_rim(rim: Rim, **how: Any) -> CutRim:
    """A rim as it is cut; where it passes a limit, the one to cut in its place."""
    found = wanted = cut_rim(rim, **how)
    if not found.met and rim.cut is not None:
        found = cut_rim(replace(rim, cut=None, short=None), **how)
    if not found.met:  # its own length, which strains nothing
        found = cut_rim(replace(rim, cut=None, short=0.0), **how)
    return found if found is wanted else replace(found, refused=wanted)


def _mitred(rim: Rim) -> list[Laid]:
    """A strip for each part between corners; edges here are the two faces of the strip."""
    return [
        Laid(
            start=part.start,
            end=part.end,
            upto=_along(part, rim.offset, 1 - rim.share),
            mitres=(part.before / 2, part.after / 2),
            offsets=(rim.bead, rim.bead + rim.strip.thickness),
            rise=rim.strip.thickness,
        )
        for part in parts_of(rim.curve)
    ]


def _along(part: Part, offset: float, share: float) -> Upto:
    """What measures the strip of one part, corners left out."""
    begin = float(part.heading(part.start)) + part.before / 2

    def upto(places: Floats) -> Floats:
        turned = part.heading(places) - begin
        turned = np.where(places <= part.start, 0.0, turned)
        turned = np.where(places >= part.end, part.turn, turned)
        return np.asarray((places - part.start + offset * turned) * share)

    return upto


def _checks(rim: Rim, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    checks = [
        Check("stretch of the strip", max(rim.stretch, 0.0), limits["stretch"]),
        Check("pull while gluing", rim.force * (1 + rim.strip.modulus_spread), limits["force"]),
    ]
    if rim.hollow:
        none = replace(_NO_STRETCH, value=tape_reading() / rim.length)
        checks.append(Check("stretch over a hollow", max(rim.stretch, 0.0), none))
    return tuple(checks)
