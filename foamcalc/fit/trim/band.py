"""A band: a flat strip laid on a face along a curved edge, bent in its own plane."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.limits import Check, Limit, default_limits, tape_reading, with_own
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.across import INSIDE, Edges, Side, band_edges, offsets
from foamcalc.fit.trim.parts import checked_bends, parts_of, tightest, within_reason
from foamcalc.fit.trim.pucker import pucker_limit
from foamcalc.guards import fraction, made_of, one_of, single
from foamcalc.shape.plane import Curve, Extreme
from foamcalc.tables import look_up

Floats = NDArray[np.float64]

PUCKER = "squeeze before it puckers"
"""The check of the squeezed edge against the buckling of the strip."""
_STABLE = Limit(
    value=1.0,
    unit="1",
    basis="derived",
    reason="Bent this tightly the foam folds: its law knows no balance any more.",
)
_UNSTRAINED = 1e-9
"""Strain that is none."""
_FAR = 1e6
"""How far past its limit a check counts at most, as a multiple."""


class Tight(NamedTuple):
    """The tightest place of an edge to one side, and what a straight band suffers there."""

    place: float
    """Length along the edge [mm]."""
    curvature: float
    """Curvature of the line that the band follows [1/mm], positive where convex."""
    inner: float
    """Strain of the band's inner edge [1]; NaN where it folds."""
    outer: float
    """Strain of its outer edge [1]."""
    line: float
    """Strain where it follows the line [1]."""
    force: float
    """Pull in it [N]."""

    @property
    def stretch(self) -> float:
        """The larger stretch of its two edges [1]; 0 where neither is stretched."""
        return max(self.inner, self.outer, 0.0)

    @property
    def squeeze(self) -> float:
        """The larger squeeze of its two edges, as a number above 0 [1]."""
        return max(-self.inner, -self.outer, 0.0)

    @property
    def stretched_edge(self) -> str:
        """Which edge is stretched more: "outer" or "inner"."""
        return "outer" if self.outer >= self.inner else "inner"

    @property
    def squeezed_edge(self) -> str:
        """Which edge is squeezed more: "outer" or "inner"."""
        return "inner" if self.outer >= self.inner else "outer"


@dataclass(frozen=True, kw_only=True)
class Band:
    """A straight strip that shall lie flat along a curved edge.

    Parameters
    ----------
    curve : Curve
        The edge, or a line drawn on the face, positive turn where the outside is convex.
    strip : Piece
        The strip: thickness, foam, and its width over the face.
    side : {"inside", "middle", "outside"}
        Where the band lies: on the piece with its outer edge on the edge of the piece, with its
        middle on the line, or beyond the edge with its inner edge on it.
    pull : float
        0: laid without pull; 1: pulled till its shorter edge is just unstrained.

    Raises
    ------
    ValueError
        For a band that folds over itself: where the edge turns on a smaller radius than the band
        reaches inwards, with the place. For a width or a thickness that is not above 0.

    Notes
    -----
    On a convex run the outer edge is the longer one, in a hollow the inner edge. Glued along the
    line it follows, it puckers at its free edge first. A pull draws it towards the side to which
    the edge turns: onto the piece on a convex run, off it in a hollow.

    Every corner of the edge parts the band. Points that stand for a smooth curve are no corners:
    give them as a `MeasuredCurve`, or round the `Polyline` first.

    Examples
    --------
    A band round the mouth of a shell, on its face, a third of a turn of radius 250 mm (invented):

    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = Piece(thickness=5, width=20, law=foam("EVA medium"))
    >>> band = Band(curve=Arc(250, 2 * np.pi / 3), strip=strip)
    >>> (tight,) = band.tight
    >>> print(f"outer {tight.outer:+.1%}, inner {tight.inner:+.1%}")
    outer +4.0%, inner -4.3%
    """

    curve: Curve
    strip: Piece
    side: Side = "inside"
    pull: float = 0.0

    def __post_init__(self) -> None:
        made_of(self.strip, "strip", Piece)
        one_of(self.side, "side", tuple(INSIDE))
        object.__setattr__(self, "pull", single(fraction(self.pull, "pull"), "pull"))
        within_reason(
            length_of_the_edge=self.curve.length,
            thickness=self.strip.thickness,
            width=self.strip.width,
        )
        low, high = self.offsets
        try:
            self.curve.length_at([low, high])
        except ValueError as fault:
            raise ValueError(
                f"a band {self.strip.width:g} mm wide cannot lie flat there: {fault}"
            ) from None
        checked_bends(self.curve)
        for part in parts_of(self.curve):
            turned = part.turn + np.tan(part.before / 2) + np.tan(part.after / 2)
            if min(part.length + d * turned for d in (low, high)) <= 0:
                raise ValueError(
                    f"a band {self.strip.width:g} mm wide has no room between the corners at "
                    f"{part.start:.1f} and {part.end:.1f} mm along the edge; take a narrower one"
                )

    @property
    def width(self) -> float:
        """Width over the face [mm]."""
        return self.strip.width

    @property
    def offsets(self) -> tuple[float, float]:
        """Offsets of its inner and its outer edge from the line it follows [mm]."""
        return offsets(self.strip.width, self.side)

    def with_width(self, width: float) -> Band:
        """The same band of another width [mm]."""
        return replace(self, strip=replace(self.strip, width=width))

    def edges(self, place: ArrayLike) -> Edges:
        """Strains of a straight strip at places along the edge [mm], corners left out."""
        return band_edges(self.strip, self.curve.curvature(place), side=self.side, pull=self.pull)

    @cached_property
    def tight(self) -> tuple[Tight, ...]:
        """The most hollow and the most convex place that decide; none on a straight edge."""
        return tight_places(self)

    def side_pull(self, tight: Tight) -> float:
        """How hard a pulled band drags sideways on its glue at a place [MPa].

        Positive towards the piece, as on a convex run; negative away from it, off the edge, as in
        a hollow.

        ``force curvature/width``: a taut strip on a bend wants to go straight across it.
        """
        return tight.force * tight.curvature / self.width

    def length_per_edge(self, curvature: Floats) -> Floats:
        """Length of straight strip for each mm of the line it follows [1]."""
        edges = band_edges(self.strip, curvature, side=self.side, pull=self.pull)
        return np.asarray(1 / (1 + edges.line))

    def runs_table(self) -> Any:
        """Both edges of the band as they lie, run by run (pandas, units in the column heads)."""
        import pandas as pd

        rows = []
        for run in self.curve.runs():
            if run.end <= run.start:
                continue
            inner, line, outer = (
                float(self.curve.length_at(d, start=run.start, end=run.end))
                for d in (self.offsets[0], 0.0, self.offsets[1])
            )
            turn = float(np.degrees(run.turn))
            rows.append((run.start, run.end, turn, inner, line, outer, outer - inner))
        heads = "from [mm]|to [mm]|turn [deg]|inner edge [mm]|line [mm]|outer edge [mm]"
        return pd.DataFrame(rows, columns=[*heads.split("|"), "outer longer by [mm]"])


def tight_places(band: Band) -> tuple[Tight, ...]:
    """The most hollow and the most convex place of a band's edge, corners left out."""
    hollow, convex = tightest(band.curve)
    found = [hollow] if hollow.curvature < 0 else []
    found += [convex] if convex.curvature > 0 else []
    return tights(band, found)


def tights(band: Band, extremes: Sequence[Extreme]) -> tuple[Tight, ...]:
    """What a straight band suffers on bends of some curvature, named by their places."""
    if not extremes:
        return ()
    bends = np.array([e.curvature for e in extremes])
    edges = band_edges(band.strip, bends, side=band.side, pull=band.pull)
    return tuple(
        Tight(e.place, e.curvature, *(float(x[i]) for x in edges)) for i, e in enumerate(extremes)
    )


def band_limits(strip: Piece) -> dict[str, Limit]:
    """The limits from the reference tables that go with a band."""
    usual = default_limits(strip)
    read = look_up("limits", "habit", "tape_reading")
    deviation = Limit(
        value=tape_reading(),
        unit="mm",
        basis=read.basis,
        reason="What a tape cannot tell from nothing. Set it by what the eye forgives.",
    )
    return {"stretch": usual["stretch"], "force": usual["force"], "deviation": deviation}


def checked_limits(strip: Piece, limits: Mapping[str, Limit] | None) -> dict[str, Limit]:
    """The usual limits with the maker's own in their places; ValueError for an unknown name."""
    return with_own(band_limits(strip), limits)


def pucker_at(strip: Piece, side: Side, tight: Tight) -> Limit:
    """Squeeze from which a band glued along its line puckers at a place, as a limit."""
    squeezed = tight.inner if tight.squeezed_edge == "inner" else tight.outer
    free = {"inside": tight.inner, "middle": squeezed, "outside": tight.outer}[side]
    bound = pucker_limit(
        thickness=strip.thickness,
        width=strip.width / (2 if side == "middle" else 1),
        at_glue=tight.line,
        at_free=free,
        poisson=-float(strip.law.response(1.0).side_slope),
    )
    return Limit(
        value=float(bound),
        unit="1",
        basis="derived",
        reason="A strip glued along its line buckles out of its plane from this squeeze on.",
    )


def straight_checks(
    band: Band, limits: Mapping[str, Limit], places: Sequence[Tight] | None = None
) -> tuple[tuple[Tight, Check], ...]:
    """What a straight strip suffers at the places that decide, each against its limit."""
    found: list[tuple[Tight, Check]] = []
    for tight in band.tight if places is None else places:
        if not np.isfinite([tight.inner, tight.outer]).all():
            found.append((tight, Check("stretch of the foam", float("inf"), _STABLE)))
            continue
        if tight.stretch:
            what = f"stretch of the {tight.stretched_edge} edge"
            found.append((tight, Check(what, tight.stretch, limits["stretch"])))
        if tight.squeeze > _UNSTRAINED:
            bound = pucker_at(band.strip, band.side, tight)
            found.append((tight, Check(PUCKER, tight.squeeze, bound)))
        force = tight.force * (1 + band.strip.modulus_spread)
        if band.pull:
            found.append((tight, Check("pull while gluing", force, limits["force"])))
    return tuple(found)


def nearest_limit(findings: Sequence[tuple[Tight, Check]]) -> tuple[float, int]:
    """How far the worst finding is towards its limit [1], past it above 1, and which it is.

    0 and -1 where there are no findings.
    """
    ratios = [
        min(check.found / check.limit.value, _FAR) if check.limit.value else _FAR
        for _, check in findings
    ]
    worst = int(np.argmax(ratios)) if ratios else -1
    return (ratios[worst], worst) if ratios else (0.0, -1)
