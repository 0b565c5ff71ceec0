"""Printed pages: their sizes, an empty one, and how they are written as one PDF."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from foamcalc.draw.lettering import own_style
from foamcalc.guards import one_of

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Paper = Literal["A4", "Letter"]

INCH = 25.4
"""One inch [mm]."""
PAPERS = {"A4": (210.0, 297.0), "Letter": (8.5 * INCH, 11.0 * INCH)}
"""Width and height of the page [mm]."""


def paper_size(paper: Paper) -> tuple[float, float]:
    """Width and height of a paper, upright [mm]; ValueError for one that is not in `PAPERS`."""
    return PAPERS[one_of(paper, "paper", tuple(PAPERS))]


def blank_page(size: tuple[float, float], *, title: str) -> Figure:
    """An empty page; its one Axes covers it, its data are mm from the lower left corner."""
    from matplotlib.figure import Figure

    across, up = size
    figure = Figure(figsize=(across / INCH, up / INCH), facecolor="white")
    figure.set_label(title)
    ax = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    ax.set_xlim(0, across)
    ax.set_ylim(0, up)
    ax.set_axis_off()
    return figure


def pdf_bytes(figures: Sequence[Figure]) -> bytes:
    """Pages as one PDF of their true size; the same pages give the same bytes."""
    from io import BytesIO

    from matplotlib.backends.backend_pdf import PdfPages

    if not figures:
        raise ValueError("figures must hold at least one page, got none")
    whole = BytesIO()
    about = {"Title": str(figures[0].get_label()), "CreationDate": None}
    with own_style(), PdfPages(whole, metadata=about) as pdf:
        for figure in figures:
            pdf.savefig(figure, facecolor="white")
    return whole.getvalue()
