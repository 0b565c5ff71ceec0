"""Strips along edges as pieces of a cut list: straight ones as strips, shaped ones as panels."""

from __future__ import annotations

from collections import Counter

from foamcalc.ask.cutlist import Item, Panel, Strip
from foamcalc.ask.sheet.stock import foam_name
from foamcalc.ask.trim.planned import PlannedTrim
from foamcalc.fit.trim.band_choice import BandChoice
from foamcalc.fit.trim.to_shape import ShapedBand

_SAME = 3
"""Decimals to which boxes are one size [mm]."""


def trim_items(trim: PlannedTrim, *, gap: float, apart: float) -> list[Item]:
    """The pieces of one trim, equal ones together."""
    cut = trim.job.cut
    if isinstance(cut, BandChoice) and isinstance(cut.chosen, ShapedBand):
        return _shaped(trim, cut.chosen, gap=gap, apart=apart)
    rows = trim.answer.result.rows()
    return [
        Strip(
            name=trim.job.name if len(rows) == 1 else f"{trim.job.name}, {row.name}",
            foam=foam_name(trim.job.stuff.foam),
            thickness=trim.job.strip.thickness,
            length=row.length,
            width=row.width,
            count=row.number * trim.job.count,
        )
        for row in rows
    ]


def _shaped(trim: PlannedTrim, band: ShapedBand, *, gap: float, apart: float) -> list[Item]:
    """Pieces cut to the curve, by the smallest rectangle round each."""
    sizes = Counter(
        (*(round(x, _SAME) for x in piece.nest.box), round(piece.nest.pitch, _SAME))
        for piece in band.pieces
    )
    return [
        Panel(
            name=f"{trim.job.name}, cut to shape",
            foam=foam_name(trim.job.stuff.foam),
            thickness=trim.job.strip.thickness,
            length=length,
            width=width,
            count=number * trim.job.count,
            nest=pitch + apart if pitch + apart < width else None,
            gap=gap,
        )
        for (length, width, pitch), number in sizes.items()
    ]
