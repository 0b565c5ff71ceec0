"""The files of a seam: its intervals as a table, and the drawing with its marks moved."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np

from foamcalc.ask.output import csv_bytes
from foamcalc.ask.seam.answer import SeamAnswer
from foamcalc.ask.seam.dome import doming
from foamcalc.ask.seam.tape import EDGES
from foamcalc.shape.svg.corrected import NewPlace, corrected

_DECIMALS = 2
"""Decimals of a table that is read by people."""


def seam_table(answer: SeamAnswer) -> Any:
    """The intervals along the seam, the whole below (pandas, units in the column heads)."""
    seam = answer.choice.seam
    table = seam.table(largest_first=False)
    by = doming(seam)
    if by is not None:
        table["domes the sheet by [deg]"] = np.degrees([*by, by.sum()])
    return table


def seam_csv(answer: SeamAnswer) -> bytes:
    """The same as a table that a spreadsheet reads as it is meant."""
    table = seam_table(answer).round(_DECIMALS)
    numbers = table.select_dtypes("number").columns
    table[numbers] += 0.0  # no minus before a nought
    return csv_bytes(list(table.columns), table.itertuples(index=False, name=None))


def file_stem(answer: SeamAnswer) -> str:
    """What the files of a seam are called, without their endings.

    Edges that nobody named leave no trace in it; signs that a file name cannot hold become "_".
    """
    names = (answer.choice.seam.a.name, answer.choice.seam.b.name)
    drawn = answer.drawn
    lead = "seam" if drawn is None else Path(drawn.pattern.file).stem
    if drawn is None and names == EDGES:
        return lead
    one, two = (re.sub(r"[^\w-]+", "_", name).strip("_")[:40] for name in names)
    return f"{lead}_{one}_to_{two}"


def moved_marks(answer: SeamAnswer) -> list[NewPlace]:
    """The marks that the chosen way moves, each with its new place in the drawing.

    Nothing where no mark moves, or where the edges were read off tapes.
    """
    drawn, seam = answer.drawn, answer.choice.seam
    if drawn is None:
        return []
    found = []
    for amount in answer.choice.chosen.amounts:
        if amount.what != "move":
            continue
        second = amount.edge == seam.b.name
        edge, own = (drawn.b, seam.b) if second else (drawn.a, seam.a)
        i, by = seam.a.labels.index(amount.where), amount.by
        if second and seam.matched.reversed:
            i, by = len(own.places) - 1 - i, -by
        mark = edge.marks[i - 1]
        place = edge.drawn_place(mark.place + by)
        found.append(NewPlace(edge.edge, mark.name, place))
    return found


def corrected_drawing(answer: SeamAnswer) -> bytes | None:
    """The drawing with the marks where the chosen way wants them; None where none moves.

    Raises
    ------
    ValueError
        For a mark that cannot be moved alone, such as one that marks two edges.
    """
    moves = moved_marks(answer)
    if not moves or answer.drawn is None:
        return None
    return corrected(answer.drawn.pattern, moves)
