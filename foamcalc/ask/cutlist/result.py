"""The cut list: sheets to take, rows to slit, pieces to cut, and what it costs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import isclose
from typing import Any

from foamcalc.ask.cutlist.items import Stock
from foamcalc.ask.cutlist.layout import CutSheet, Placed, Row
from foamcalc.ask.lines import many
from foamcalc.units import System, format_length


@dataclass(frozen=True, kw_only=True)
class Material:
    """All that is cut from one foam of one thickness."""

    foam: str
    thickness: float
    """In mm."""
    sheets: tuple[CutSheet, ...]
    least_bought: int
    """Fewer sheets than this need not be hoped for; see `least_in_rows`."""
    least_cost: float | None
    """Less than this it cannot cost; None without all prices."""
    least_in_rows: bool
    """Whether the two hold for sheets slit into rows of one width, or for any way of cutting."""
    proven: bool
    """Whether nothing better can be had, in the sense of `least_in_rows`.

    Either the area says so, or HiGHS where it saw every row and every sheet worth having."""
    finished: bool
    """Whether the search came to its end before its last stop in seconds."""

    @property
    def bought(self) -> int:
        """Sheets that are not free."""
        return sum(not sheet.stock.free for sheet in self.sheets)

    @property
    def cost(self) -> float | None:
        """Of its sheets; None if a price is not known."""
        return cost_of_sheets(self.sheets)

    @property
    def waste(self) -> float:
        """Of all its sheets [mm²]; what may be kept is counted too."""
        return sum(sheet.waste for sheet in self.sheets)

    @property
    def waste_share(self) -> float:
        """Waste as a share of its sheets [1]."""
        return self.waste / sum(sheet.area for sheet in self.sheets)


@dataclass(frozen=True, kw_only=True)
class CutList:
    """How all pieces come out of the sheets."""

    materials: tuple[Material, ...]
    kerf: float
    """Lost between two pieces [mm]."""
    trim: float
    """Cut off all round each sheet [mm]."""
    currency: str
    """What prices are in, as the user wrote it."""

    @property
    def cost(self) -> float | None:
        """Of all sheets; None if a price is not known."""
        return cost_of_sheets(tuple(sheet for m in self.materials for sheet in m.sheets))

    def table(self) -> Any:
        """One row a piece (pandas), sheet by sheet and row by row, in the order of cutting."""
        import pandas as pd

        return pd.DataFrame(
            [
                _piece_row(sheet, number, row, piece)
                for material in self.materials
                for sheet in material.sheets
                for number, row in enumerate(sheet.rows, 1)
                for piece in row.placed
            ]
        )

    def sheets_table(self) -> Any:
        """One row a sheet (pandas): its size, its waste and what may be kept."""
        import pandas as pd

        return pd.DataFrame(
            [_sheet_row(sheet) for material in self.materials for sheet in material.sheets]
        )

    def summary_lines(self, system: System = "mm") -> list[str]:
        """What to buy and how good that is: a few lines a material."""
        lines = []
        for material in self.materials:
            lines += _material_lines(material, system, self.currency)
        if self.cost is not None:
            lines.append(f"in all {money(self.cost, self.currency)}")
        return lines


def cost_of_sheets(sheets: Sequence[CutSheet]) -> float | None:
    """What they cost together; None if a price is not known."""
    prices = [0.0 if sheet.stock.free else sheet.stock.price for sheet in sheets]
    known = [price for price in prices if price is not None]
    return sum(known) if len(known) == len(prices) else None


def _piece_row(sheet: CutSheet, number: int, row: Row, piece: Placed) -> dict[str, object]:
    return {
        "foam": sheet.stock.foam,
        "thickness [mm]": sheet.stock.thickness,
        "sheet": sheet.number,
        "row": number,
        "row runs": "across" if row.across else "along",
        "row at [mm]": row.start,
        "row width [mm]": row.width,
        "row begins at [mm]": row.begin,
        "piece": piece.name,
        "number": piece.number,
        "part": f"{piece.part} of {piece.parts}" if piece.parts > 1 else "",
        "x [mm]": piece.x,
        "y [mm]": piece.y,
        "length along the sheet [mm]": piece.length,
        "width across the sheet [mm]": piece.width,
        "turned": piece.turned,
    }


def _sheet_row(sheet: CutSheet) -> dict[str, object]:
    stock = sheet.stock
    return {
        "foam": stock.foam,
        "thickness [mm]": stock.thickness,
        "sheet": sheet.number,
        "sheet length [mm]": stock.length,
        "sheet width [mm]": stock.width,
        "offcut": stock.offcut,
        "price": 0.0 if stock.free else stock.price,
        "pieces": len(sheet.placed),
        "rows": len(sheet.rows),
        "waste [cm²]": sheet.waste / 100,
        "waste [%]": 100 * sheet.waste / sheet.area,
        "left length [mm]": sheet.rest[0],
        "left width [mm]": sheet.rest[1],
    }


def thick(mm: float, system: System) -> str:
    """A thickness as it was written: 6 mm stays 6 mm among inches, and 1/4 in is 1/4 in."""
    metric = f"{round(mm, 3):g} mm"
    inches = isclose(mm / 25.4 * 64, round(mm / 25.4 * 64), abs_tol=1e-3) and mm >= 25.4 / 64
    tenths = isclose(10 * mm, round(10 * mm), abs_tol=1e-6)
    if not inches or (tenths and system == "mm"):
        return metric
    fraction = format_length(mm, system="in", resolution=1 / 64)
    return fraction if system == "in" else f"{metric} ({fraction})"


def money(value: float, currency: str) -> str:
    """A price with what it is in."""
    return f"{value:.2f} {currency}".rstrip()


def _size(stock: Stock, system: System) -> str:
    return (
        f"{format_length(stock.length, system=system)} × "
        f"{format_length(stock.width, system=system)}"
    )


def _material_lines(material: Material, system: System, currency: str) -> list[str]:
    numbers = Counter(sheet.stock for sheet in material.sheets)
    taken = ", ".join(
        f"{many(number, 'offcut' if stock.offcut else 'sheet')} of {_size(stock, system)}"
        for stock, number in numbers.items()
    )
    cost = material.cost
    price = "" if cost is None else f", {money(cost, currency)}"
    of = f"{material.foam} {thick(material.thickness, system)}"
    lines = [f"{of}: {taken}{price}; {material.waste_share:.0%} waste"]
    lines.append(f"  {_how_good(material, currency)}")
    largest = max(material.sheets, key=lambda s: s.rest[0] * s.rest[1])
    if min(largest.rest) > 0:
        sides = " × ".join(format_length(side, system=system) for side in largest.rest)
        lines.append(f"  largest piece left: {sides}, on sheet {largest.number}")
    return lines


def _how_good(material: Material, currency: str) -> str:
    way = "slit into rows of one width" if material.least_in_rows else "however they are cut"
    if not material.bought:
        return "nothing to buy"
    if material.proven:
        return f"nothing better is to be had from sheets {way}"
    late = "" if material.finished else "; the search was cut short, give it more time"
    unknown = f"whether less than what stands here would do is not known{late}"
    if not material.least_bought:
        return f"by their area the sheets at hand and the offcuts might do; {unknown}"
    least = many(material.least_bought, "sheet")
    if material.least_cost is not None:
        least += f" or {money(material.least_cost, currency)}"
    return f"no less than {least} would do, {way}; {unknown}"
