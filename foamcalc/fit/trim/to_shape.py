"""A band cut to the curve itself, so that nothing is strained: ring sectors and outlines."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.fit.trim.across import INSIDE
from foamcalc.fit.trim.band import Band
from foamcalc.fit.trim.ends import BUTT, Joining
from foamcalc.fit.trim.parts import Part, even_curvature
from foamcalc.fit.trim.sector import Nest, RingSector, outline_nest, ring_sector
from foamcalc.fit.trim.straight import band_strips
from foamcalc.fit.trim.strips import CutStrip, Ends, Upto, marks_table, mitre_tip
from foamcalc.shape.plane import Floats

_POINTS = 160
"""Steps along each edge of an outline."""


@dataclass(frozen=True, kw_only=True)
class ShapedPiece:
    """One piece of a band cut to the curve."""

    strip: CutStrip
    """Where it lies along the edge, its length along that line, its ends and its marks."""
    turn: float
    """Its turning, corners left out [rad], positive where the outside is convex."""
    inner_length: float
    """Length of its inner edge, mitres counted, what its ends need more left out [mm]."""
    outer_length: float
    """Length of its outer edge [mm]."""
    nest: Nest
    """Sheet that it takes, with all it needs at its ends."""
    sector: RingSector | None
    """The same as a ring sector, where it is one."""
    outline: Floats
    """Its outline as points x and y [mm], once round, shape (n, 2)."""


@dataclass(frozen=True, kw_only=True)
class ShapedBand:
    """A band cut to the curve: no strain, but sheet is left over."""

    band: Band
    pieces: tuple[ShapedPiece, ...]

    @property
    def what(self) -> str:
        """What they are: a ring sector each on a piece of a circle, else an outline."""
        return "ring sector" if all(p.sector for p in self.pieces) else "outline"

    @property
    def area(self) -> float:
        """Area of all pieces [mm2]."""
        return sum(p.nest.area for p in self.pieces)

    @property
    def sheet(self) -> float:
        """Sheet that they take, equal ones nested one behind the other [mm2]."""
        alike = groupby(self.pieces, key=lambda p: tuple(round(x, 6) for x in p.nest.box))
        rows = [list(group) for _, group in alike]
        return sum(row[0].nest.sheet(len(row)) for row in rows)

    @property
    def waste(self) -> float:
        """What of that sheet is left over [mm2]."""
        return self.sheet - self.area

    @cached_property
    def strips(self) -> tuple[CutStrip, ...]:
        """The pieces by their line along the edge, with their marks."""
        return tuple(p.strip for p in self.pieces)

    def marks_table(self) -> Any:
        """Where every mark meets its piece, along the line it follows (pandas)."""
        return marks_table(self.strips)

    def table(self) -> Any:
        """The pieces side by side (pandas, units in the column heads)."""
        import pandas as pd

        rows = [
            {
                "piece": p.strip.number,
                "from [mm]": p.strip.start,
                "to [mm]": p.strip.end,
                "turn [deg]": np.degrees(p.turn),
                "inner edge [mm]": p.inner_length,
                "outer edge [mm]": p.outer_length,
                "inner radius [mm]": p.sector.inner_radius if p.sector else np.nan,
                "outer radius [mm]": p.sector.outer_radius if p.sector else np.nan,
                "chord [mm]": p.sector.chord if p.sector else np.nan,
                "box [mm]": p.nest.box[0],
                "box high [mm]": p.nest.box[1],
                "next one after [mm]": p.nest.pitch,
                "area [mm2]": p.nest.area,
            }
            for p in self.pieces
        ]
        return pd.DataFrame(rows)


def cut_to_shape(
    band: Band,
    *,
    ends: Ends | None = None,
    joining: Joining = BUTT,
    marks: ArrayLike = (),
) -> ShapedBand:
    """Cut a band to the curve it follows.

    Edges are parallel curves at the band's two offsets. An outline's area is
    ``w l + (b**2 - a**2)/2 (turn + tan of its mitres)`` with a and b the offsets, l its length
    along the line. Laps go on as ends do.
    """

    def along(part: Part) -> Upto:
        return lambda places: places - part.start

    strips = band_strips(band, along, ends=ends, joining=joining, marks=marks)
    bend = even_curvature(band.curve)
    return ShapedBand(band=band, pieces=tuple(_piece(band, strip, bend) for strip in strips))


def _piece(band: Band, strip: CutStrip, bend: float | None) -> ShapedPiece:
    """One piece from where it lies; `bend` is the curvature of an even edge [1/mm]."""
    first, last = strip.mitres
    part = Part(band.curve, strip.start, strip.end, 2 * first, 2 * last)
    low, high = band.offsets
    cut = float(np.tan(first) + np.tan(last))
    inner, outer = (strip.length + d * (part.turn + cut) for d in (low, high))
    sector = None
    if bend:
        share = INSIDE[band.side] if bend > 0 else 1 - INSIDE[band.side]
        sector = ring_sector(
            radius=1 / abs(bend),
            width=band.width,
            inside=share,
            angle=strip.cut_length * abs(bend),
        )
        outline, nest = _sector_outline(sector), sector.nest
    else:
        straight_on = [
            float(added - mitre_tip(band.offsets, mitre))
            for added, mitre in zip((strip.before, strip.after), strip.mitres, strict=True)
        ]
        outline = _outline(band, part, straight_on)
        area = band.width * (strip.length + sum(straight_on))
        area += (high**2 - low**2) / 2 * (part.turn + cut)
        nest = outline_nest(outline, area)
    return ShapedPiece(
        strip=replace(strip, edge_lengths=(inner, outer)),
        turn=part.turn,
        inner_length=inner,
        outer_length=outer,
        nest=nest,
        sector=sector,
        outline=outline,
    )


def _sector_outline(sector: RingSector) -> Floats:
    """A ring sector as points, its middle ahead."""
    angle = np.linspace(-0.5, 0.5, _POINTS + 1) * sector.angle
    ahead = np.column_stack([np.sin(angle), np.cos(angle)])
    return np.concatenate([sector.outer_radius * ahead, sector.inner_radius * ahead[::-1]])


def _outline(band: Band, part: Part, straight_on: list[float]) -> Floats:
    """A piece as points: its outer edge, then its inner edge backwards."""
    places = np.linspace(part.start, part.end, _POINTS + 1)
    x, y = part.way(places)
    heading = part.heading(places)
    heading[0] += part.before / 2  # behind the corner at its start, before that at its end
    heading[-1] -= part.after / 2
    cos, sin = np.cos(heading), np.sin(heading)
    edges = []
    for d in band.offsets[::-1]:
        ex, ey = x + d * sin, y - d * cos
        first = straight_on[0] + d * np.tan(part.before / 2)
        last = straight_on[1] + d * np.tan(part.after / 2)
        start = [ex[0] - first * cos[0], ey[0] - first * sin[0]]
        end = [ex[-1] + last * cos[-1], ey[-1] + last * sin[-1]]
        ahead = (ex - ex[0]) * cos[0] + (ey - ey[0]) * sin[0] > -first
        behind = (ex - ex[-1]) * cos[-1] + (ey - ey[-1]) * sin[-1] < last
        kept = slice(int(ahead.argmax()), len(behind) - int(behind[::-1].argmax()))
        points = np.column_stack([ex, ey])[kept]
        edges.append(np.concatenate([[start], points, [end]]))
    return np.concatenate([edges[0], edges[1][::-1]])
