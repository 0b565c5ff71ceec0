"""Sizes, rows and sheets of a cut list in words."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from foamcalc.ask.cutlist import CutSheet, Material, Placed, Row
from foamcalc.ask.cutlist.result import thick
from foamcalc.ask.lines import in_words
from foamcalc.units import System, format_length


def size(length: float, width: float, system: System) -> str:
    """Length by width, with the unit once."""
    first = format_length(length, system=system).removesuffix(f" {system}")
    return f"{first} × {format_length(width, system=system)}"


def area(mm2: float, system: System) -> str:
    """An area as it is told."""
    if system == "in":
        return f"{mm2 / 25.4**2:.0f} sq in"
    return f"{mm2 / 1e6:.2f} m²" if mm2 >= 1e5 else f"{mm2 / 100:.0f} cm²"


def own_size(piece: Placed) -> tuple[float, float]:
    """Length and width of a piece by itself, however it lies [mm]."""
    return (piece.width, piece.length) if piece.turned else (piece.length, piece.width)


def row_words(row: Row, system: System) -> str:
    """What a row holds, pieces of one size together, in the order of cutting."""
    told = []
    for (name, part, (length, width)), same in groupby(row.placed, key=_alike):
        number = len(list(same))
        times = f"{number} × " if number > 1 else ""
        told.append(f"{times}{name}{part} {size(length, width, system)}")
    return "; ".join(told)


def _alike(piece: Placed) -> tuple[str, str, tuple[float, float]]:
    part = f", part {piece.part} of {piece.parts}," if piece.parts > 1 else ""
    return piece.name, part, own_size(piece)


def row_place(row: Row, system: System, trim: float = 0.0) -> str:
    """Where a row is slit: "across, 140 mm wide, from 0 mm", and where it begins if inside."""
    way, edge = ("across", "side") if row.across else ("along", "end")
    wide, start, begin = (
        format_length(x, system=system) for x in (row.width, row.start, row.begin)
    )
    inside = f", beginning {begin} from the {edge}" if row.begin > trim else ""
    return f"{way}, {wide} wide, from {start}{inside}"


def alike(material: Material) -> list[list[CutSheet]]:
    """The sheets of a material, those that are cut the same way together."""
    found: dict[object, list[CutSheet]] = {}
    for sheet in material.sheets:
        lie = tuple(
            (row.across, row.start, row.width, p.name, p.part, p.parts, p.x, p.y, own_size(p))
            for row in sheet.rows
            for p in row.placed
        )
        found.setdefault((sheet.stock, lie), []).append(sheet)
    return list(found.values())


def sheets_name(material: Material, sheets: Sequence[CutSheet], system: System) -> str:
    """Which sheets that are cut alike, of what, and how large."""
    stock = sheets[0].stock
    numbers = in_words(str(sheet.number) for sheet in sheets)
    what = "offcut" if stock.offcut else "sheet"
    whole = f"{what}{'s' * (len(sheets) > 1)} {numbers} of {len(material.sheets)}"
    return (
        f"{stock.foam} {thick(stock.thickness, system)}, {whole}"
        f"{', cut alike' * (len(sheets) > 1)}, {size(stock.length, stock.width, system)}"
    )
