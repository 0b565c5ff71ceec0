"""Printed pages: their sizes, an empty one, and how they are written as one PDF."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Literal

from foamcalc.draw.lettering import own_style
from foamcalc.job.output import write_files

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Paper = Literal["A4", "Letter"]

INCH = 25.4
"""One inch [mm]."""
PAPERS = {"A4": (210.0, 297.0), "Letter": (8.5 * INCH, 11.0 * INCH)}
"""Width and height of the page [mm]."""


def blank_page(size: tuple[float, float]) -> Figure:
    """An empty page; its one Axes covers it, its data are mm from the lower left corner.

    Parameters
    ----------
    size : tuple of float
        Width and height [mm].
    """
    from matplotlib.figure import Figure

    across, up = size
    figure = Figure(figsize=(across / INCH, up / INCH), facecolor="white")
    ax = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    ax.set_xlim(0, across)
    ax.set_ylim(0, up)
    ax.set_axis_off()
    return figure


def save_pages(
    figures: Sequence[Figure], file: str | Path | BinaryIO, *, title: str, overwrite: bool
) -> bytes:
    """Write pages as one PDF of their true size; the same pages give the same bytes.

    Parameters
    ----------
    figures : sequence of Figure
        The pages.
    file : path or binary file
        Where to; a file open for writing bytes is written to as it is.
    title : str
        Title of the document.
    overwrite : bool
        Whether a file of this name may be replaced.

    Returns
    -------
    bytes
        What was written.

    Raises
    ------
    OutputError
        If the file exists already or cannot be written; nothing is left half written.
    """
    from io import BytesIO

    from matplotlib.backends.backend_pdf import PdfPages

    whole = BytesIO()
    with own_style(), PdfPages(whole, metadata={"Title": title, "CreationDate": None}) as pdf:
        for figure in figures:
            pdf.savefig(figure, facecolor="white")
    data = whole.getvalue()
    if isinstance(file, str | Path):
        write_files(Path(file).parent, {Path(file).name: data}, overwrite=overwrite)
    else:
        file.write(data)
    return data
