"""The strips of a binding as they are cut, and where its legs must be cut into flaps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.fit.limits import Check, Limit, with_own
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.band import band_limits
from foamcalc.fit.trim.binding import Binding
from foamcalc.fit.trim.ends import BUTT, Joining
from foamcalc.fit.trim.parts import parts_of, tighter_runs, tightest
from foamcalc.fit.trim.rim_cut import CutRim, cut_rim, rim_limits
from foamcalc.fit.trim.strips import Ends
from foamcalc.guards import positive, single

CutKind = Literal["notches", "slits that lap", "slits that open"]
_GENTLEST, _NEVER = 1e-9, 1e3
"""Curvatures that no edge falls short of or exceeds [1/mm]."""


class LegCuts(NamedTuple):
    """Where a leg must be cut into flaps so that it lies down."""

    leg: int
    """0 or 1."""
    start: float
    """Where the run begins along the edge [mm]."""
    end: float
    kind: CutKind
    """Wedges cut out on a bend; slits whose flaps lap where the wedges would be too narrow to
    cut; slits that open in a hollow."""
    number: int
    """How many, evenly along the run."""
    pitch: float
    """Distance between them along the edge [mm]."""
    width: float
    """Width of each at the free edge: of the wedge, of the lap, or of the opening [mm]."""


@dataclass(frozen=True, kw_only=True)
class CutBinding:
    """A binding as it is cut: its strips, its legs, and where they must be cut into flaps."""

    binding: Binding
    limits: Mapping[str, Limit]
    rim: CutRim
    """Lengths, ends, joins and marks."""
    leg_checks: tuple[Check, ...]
    """The legs at the tightest places, each against its limit, before they are cut into flaps."""
    cuts: tuple[LegCuts, ...]
    """Where legs must be cut into flaps; none where they lie down whole."""

    @property
    def met(self) -> bool:
        """Whether the strip keeps its limits; legs that do not are cut into flaps."""
        return self.rim.met

    def cuts_table(self) -> Any:
        """The cuts in the legs (pandas, units in the column heads)."""
        import pandas as pd

        heads = "leg|from [mm]|to [mm]|cuts|count|pitch [mm]|width at the edge [mm]"
        return pd.DataFrame([tuple(c) for c in self.cuts], columns=heads.split("|"))

    def table(self) -> Any:
        """The strips side by side (pandas, units in the column heads)."""
        return self.rim.table()

    def marks_table(self) -> Any:
        """Where every mark meets its strip (pandas)."""
        return self.rim.marks_table()


def binding_limits(strip: Piece) -> dict[str, Limit]:
    """The limits that go with a binding.

    ``stretch``, ``force``, ``deviation`` (how far a flap may stand off the curve) and ``wedge``
    (narrowest that can be cut out).
    """
    return {**band_limits(strip), "wedge": Limit.from_table("dart_narrowest")}


def cut_binding(
    binding: Binding,
    *,
    limits: Mapping[str, Limit] | None = None,
    ends: Ends | None = None,
    joining: Joining = BUTT,
    marks: ArrayLike = (),
) -> CutBinding:
    """Cut the strips of a binding, and say where its legs must be cut into flaps.

    Parameters
    ----------
    binding : Binding
        The binding.
    limits : mapping, optional
        As from `binding_limits`, some of them changed.
    ends, joining, marks
        As in `cut_rim`.

    Notes
    -----
    A run that passes a limit gets flaps that are straight within the ``deviation``: at most
    ``sqrt(8 deviation R)`` long, R the tightest radius of the run. Together they give or take
    ``(a + r + k t) turn`` less what the strip is short.

    Examples
    --------
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = Piece(thickness=3, law=foam("EVA medium"))
    >>> bound = Binding(curve=Arc(60, 2.0), strip=strip, edge=10, legs=(12, 6))
    >>> for cuts in cut_binding(bound).cuts:
    ...     print(cuts.leg, cuts.kind, cuts.number, f"{cuts.width:.1f} mm")
    0 notches 6 4.4 mm
    """
    known = with_own(binding_limits(binding.strip), limits)
    strips = cut_rim(
        binding.rim,
        limits={name: known[name] for name in rim_limits(binding.strip)},
        ends=ends,
        joining=joining,
        marks=marks,
    )
    hollow, convex = (extreme.curvature for extreme in tightest(binding.curve))
    bends = dict.fromkeys(k for k in (min(hollow, 0.0), max(convex, 0.0)) if k)
    checks = tuple(c for leg in (0, 1) for k in bends for c in binding.leg_checks(leg, k, known))
    cuts = tuple(c for leg in (0, 1) for c in _cuts(binding, leg, known))
    return CutBinding(binding=binding, limits=known, rim=strips, leg_checks=checks, cuts=cuts)


def _cuts(binding: Binding, leg: int, limits: Mapping[str, Limit]) -> list[LegCuts]:
    """The runs on which one leg must be cut into flaps."""
    bends = [_lies_down(binding, leg, sign, limits) for sign in (-1.0, 1.0)]
    most = single(positive(limits["deviation"].value, "deviation"), "deviation")
    found = []
    for start, end in tighter_runs(binding.curve, hollow=bends[0], convex=bends[1]):
        part = next(p for p in parts_of(binding.curve) if p.start <= start and end <= p.end)
        run = part.between(start, end)
        turn, tight = run.turn, max(abs(e.curvature) for e in run.extremes())
        count = ceil((end - start) / np.sqrt(8 * most / tight) - 1e-9)
        reach = binding.legs[leg] + binding.rim.offset
        needed = end - start + binding.rim.offset * turn
        width = (reach * turn - binding.rim.share * needed) / count
        kind: CutKind = "slits that open"
        if width > 0:
            kind = "notches" if width >= limits["wedge"].value else "slits that lap"
        found.append(LegCuts(leg, start, end, kind, count, (end - start) / count, abs(width)))
    return found


def _lies_down(binding: Binding, leg: int, sign: float, limits: Mapping[str, Limit]) -> float:
    """The tightest bend on which a leg lies down whole [1/mm]; far beyond all if on every one."""
    from scipy.optimize import brentq

    def past(bend: float) -> float:
        checks = binding.leg_checks(leg, sign * bend, limits)
        return max(c.found - c.limit.value for c in checks)

    # The free edge of a leg meets itself at the radius of the leg; in a hollow the strip does.
    most = 0.999 / (binding.legs[leg] if sign > 0 else max(binding.rim.offset, _GENTLEST))
    if past(_GENTLEST) >= 0:
        return 0.0
    if past(most) <= 0:
        return sign * _NEVER
    return sign * float(brentq(past, _GENTLEST, most, xtol=1e-12))
