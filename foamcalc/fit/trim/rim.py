"""A rim: a strip that stands round an edge or a disc, bent across its thickness."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.detail import tear_limit
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.parts import offset_upto, parts_of, tightest, within_reason
from foamcalc.fit.trim.strips import Upto
from foamcalc.foam.bond import hollow_pull
from foamcalc.guards import finite, made_of, non_negative, positive, single
from foamcalc.shape.plane import Curve, Extreme
from foamcalc.tables import look_up

Floats = NDArray[np.float64]

_LOOKS = 1024
"""Steps in which a part is searched for its tightest run."""
_ROUNDING = 1e-7
"""How far from a corner its part is looked at, as a share of the curve's length."""
_SEEN = 1e-6
"""Turn that is more than rounding [rad]."""


def _down(mm: float) -> str:
    """A length rounded down, two figures long."""
    step = 10.0 ** (np.floor(np.log10(mm)) - 1)
    return f"{np.floor(mm / step * (1 + 1e-12)) * step:.4g}"


class RimRun(NamedTuple):
    """One run of an edge: what a tape along it says, and what the strip needs."""

    start: float
    """Where it begins along the edge [mm]."""
    end: float
    turn: float
    """Its turning [rad], positive where convex."""
    edge: float
    """Length along the edge, where the tape lies and the eye follows [mm]."""
    needed: float
    """Length that the strip needs there [mm]."""
    cut: float
    """What is to be cut for it, less what it is short on purpose [mm]."""

    @property
    def short(self) -> float:
        """How much too short a strip as long as the edge is [mm]; negative: too long."""
        return self.needed - self.edge


@dataclass(frozen=True, kw_only=True)
class Rim:
    """A strip glued with its face round the edge of a piece.

    Parameters
    ----------
    curve : Curve
        The edge, positive turn where the outside is convex. The edge of a hole turns the other
        way all round.
    strip : Piece
        The strip: thickness, foam, its width as it stands; its fibre.
    bead : float
        Thickness of the glue [mm].
    short : float, optional
        Share that it is cut short on purpose, so that it hugs the edge [1]; 0 or more. Left out,
        the hug allowance of limits.csv, and 0 where the edge is hollow anywhere.
    cut : float, optional
        Length of a strip that is cut already [mm]; then `short` comes from it.

    Raises
    ------
    ValueError
        For a strip cut short on purpose where the edge is hollow, with what would pull it off; for
        a bend or a hollow so tight that a face of the strip would tear, bends shorter than its
        thickness evened out and corners left out; for both `short` and `cut`.

    Notes
    -----
    ``turn (R + bead + k t)``, on any curve ``L + (bead + k t) turn``, k the strip's fibre. A convex
    corner of turn a takes ``(bead + k t) a`` more, a hollow one ``2 (bead + k t) tan(a/2)`` less.
    With k 1/2 the length of a foam that is stiffer pulled than squeezed is up to 1.3 % too short on
    an inside radius of three thicknesses (finite elements); `settle` tells its fibre.

    Examples
    --------
    A knee cup's rim: 6 mm foam round a disc of 60 mm radius (invented):

    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> disc = Arc(60, 2 * np.pi, closed=True)
    >>> rim = Rim(curve=disc, strip=Piece(thickness=6, width=30, law=foam("EVA medium")))
    >>> print(f"edge {disc.length:.1f}, needs {rim.needed:.1f}, cut {rim.length:.1f} mm")
    edge 377.0, needs 395.8, cut 393.9 mm
    """

    curve: Curve
    strip: Piece
    bead: float = 0.0
    short: float | None = None
    cut: float | None = None

    def __post_init__(self) -> None:
        made_of(self.strip, "strip", Piece)
        object.__setattr__(self, "bead", single(non_negative(self.bead, "bead"), "bead"))
        within_reason(
            length_of_the_edge=self.curve.length,
            thickness=self.strip.thickness,
            width=self.strip.width,
            bead=self.bead,
        )
        _ = self.needed  # refuses a strip that folds
        self._check_faces()
        if self.cut is not None:
            if self.short is not None:
                raise ValueError(
                    "give either cut or short, not both: a cut strip says how short it is"
                )
            length = single(positive(self.cut, "cut"), "cut")
            within_reason(cut=length)
            object.__setattr__(self, "cut", length)
            object.__setattr__(self, "short", 1 - length / self.needed)
            return
        if self.short is None:
            row = look_up("limits", "habit", "hug_allowance")
            object.__setattr__(self, "short", 0.0 if self.hollow else row.as_fraction())
            return
        share = single(finite(self.short, "short", "1"), "short")
        if not 0 <= share < 1:
            raise ValueError(
                f"short must be from 0 to below 1, a share of the length, got {share:g}"
            )
        object.__setattr__(self, "short", share)
        if share and self.hollow:
            raise ValueError(self._refusal())

    @property
    def offset(self) -> float:
        """Height of the strip's fibre over the edge [mm]."""
        return self.bead + self.strip.fibre * self.strip.thickness

    @cached_property
    def needed(self) -> float:
        """Length the strip needs to lie on the edge unstretched, joins and ends left out [mm]."""
        return float(self.curve.length_at(self.offset))

    @property
    def share(self) -> float:
        """Share of the needed length that it is short [1]; negative: too long."""
        return 0.0 if self.short is None else self.short

    @property
    def length(self) -> float:
        """Length as cut, joins and ends left out [mm]."""
        return self.needed * (1 - self.share)

    @property
    def stretch(self) -> float:
        """Strain when it is pulled to fit [1]; negative: it is too long."""
        return self.needed / self.length - 1

    @property
    def hollow(self) -> bool:
        """Whether the edge is hollow anywhere, where a stretched strip pulls itself off."""
        low, _ = tightest(self.curve)
        sharp = any(corner.turn < -_SEEN for corner in self.curve.corners)
        return sharp or low.curvature * self.curve.length < -_SEEN

    @property
    def stress(self) -> float:
        """Stress of its stretch [MPa]; 0 where it is not stretched."""
        return float(self.strip.law.stress(max(1 + self.stretch, 1.0)))

    @property
    def force(self) -> float:
        """Pull while it is glued [N]."""
        return self.stress * self.strip.thickness * self.strip.width

    @property
    def lift_off(self) -> float:
        """Stress that pulls it off the tightest hollow [MPa]; infinite at a hollow corner."""
        return self._off(self.stress)

    def _off(self, stress: float) -> float:
        if any(corner.turn < -_SEEN for corner in self.curve.corners):
            return float("inf") if stress else 0.0
        low, _ = tightest(self.curve)
        return max(
            float(
                hollow_pull(
                    stress=stress, thickness=self.strip.thickness, curvature=min(low.curvature, 0)
                )
            ),
            0.0,
        )

    def _check_faces(self) -> None:
        """Raise ValueError where the face that is stretched by the bending alone would tear."""
        thick, fibre, most = self.strip.thickness, self.strip.fibre, tear_limit()
        for extreme, face in zip(steady_bends(self.curve, thick), ("glued", "outer"), strict=True):
            bend = extreme.curvature
            if bend * (1 if face == "outer" else -1) <= 0:
                continue
            away = (1 - fibre if face == "outer" else -fibre) * bend
            strain = away * thick / (1 + self.offset * bend)
            if 0 <= strain <= most.value:
                continue
            room = most.value * (1 + self.bead * bend) / (away - most.value * fibre * bend)
            torn = f"stretched by {strain:.1%}" if strain > 0 else "folded"
            raise ValueError(
                f"a strip {thick:g} mm thick does not go round there: {extreme.place:.1f} mm along "
                f"the edge the {'bend' if bend > 0 else 'hollow'} has a radius of "
                f"{1 / abs(bend):.3g} mm, and its {face} face would be {torn} (foam tears from "
                f"about {most.value:.0%}, {most.basis}); take foam up to {_down(room)} mm thick"
            )

    def _refusal(self) -> str:
        sharp = [c for c in self.curve.corners if c.turn < -_SEEN]
        low, _ = tightest(self.curve)
        where = f"{low.place:.1f} mm along the edge, where the hollow has a radius of"
        where = f"{where} {-1 / low.curvature:.0f} mm" if low.curvature else ""
        if sharp:
            where = f"{sharp[0].place:.1f} mm along the edge, at the hollow corner"
        off = self._off(self.stress)
        force = "" if np.isinf(off) else f", with {off:.4f} MPa"
        return (
            f"short must be 0 where the edge is hollow, got {self.share:g}: a stretched strip "
            f"pulls itself off at {where}{force}; cut it to its needed length, "
            f"{self.needed:.1f} mm, or end it before the hollow"
        )

    def upto(self, start: float) -> Upto:
        """What measures the strip as cut from a place of the edge up to others [mm]."""
        needed = offset_upto(self.curve, self.offset)
        first = needed(np.array([start]))
        return lambda places: (needed(places) - first) * (1 - self.share)

    def runs(self) -> tuple[RimRun, ...]:
        """Run by run: what a strip as long as the edge would be short, and what to cut."""
        found = []
        for run in self.curve.runs():
            if run.end <= run.start:
                continue
            needed = float(self.curve.length_at(self.offset, start=run.start, end=run.end))
            cut = needed * (1 - self.share)
            found.append(RimRun(run.start, run.end, run.turn, run.end - run.start, needed, cut))
        return tuple(found)

    def runs_table(self) -> Any:
        """Run by run: what to expect of a strip that follows the edge (pandas)."""
        import pandas as pd

        return pd.DataFrame(
            [
                (r.start, r.end, np.degrees(r.turn), r.edge, r.needed, r.short, r.cut)
                for r in self.runs()
            ],
            columns=[
                "from [mm]",
                "to [mm]",
                "turn [deg]",
                "along the edge [mm]",
                "needed [mm]",
                "short by [mm]",
                "cut [mm]",
            ],
        )


def steady_bends(curve: Curve, reach: float) -> tuple[Extreme, Extreme]:
    """The tightest hollow and bend that an edge keeps up over a length [mm], corners left out.

    The mean over that length counts, or over all of a part between corners that is shorter.
    """
    found = []
    for part in parts_of(curve):
        beside = _ROUNDING * curve.length
        first, last = part.start + beside, part.end - beside
        along = min(reach, last - first)
        starts = np.linspace(first, last - along, _LOOKS + 1)
        bends = (part.heading(starts + along) - part.heading(starts)) / along
        found += [
            Extreme(float(k), float(s + along / 2)) for k, s in zip(bends, starts, strict=True)
        ]
    return min(found, key=lambda e: e.curvature), max(found, key=lambda e: e.curvature)
