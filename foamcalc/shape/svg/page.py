"""How big a drawing is on paper, and whether it says so for certain."""

from __future__ import annotations

from dataclasses import dataclass

from foamcalc.shape.segments import FARTHEST
from foamcalc.shape.svg.lengths import (
    INCH,
    PER_INCH,
    Box,
    Matrix,
    Said,
    Viewport,
    after,
    fitted,
    real_mm,
    said,
    view_box,
)
from foamcalc.shape.svg.transforms import transform
from foamcalc.shape.svg.tree import Node, shown


@dataclass(frozen=True)
class Page:
    """The sheet of paper that a drawing fills."""

    width: float
    """[mm]"""
    height: float
    """[mm]"""
    matrix: Matrix
    """From the user units of the drawing to mm from its lower left corner, y up."""
    port: Viewport
    """Its size in user units."""
    per_inch: int
    """px to the inch as taken."""
    told: bool
    """Whether the caller said so."""
    certain: bool
    """Whether the drawing says its size in a unit of length, so that px do not matter."""
    paper_certain: bool
    """Whether the width and the height alone are certain."""


def page_of(root: Node, per_inch: int | None) -> Page:
    """The size of a drawing."""
    if per_inch is not None and per_inch not in PER_INCH:
        raise ValueError(f"per_inch must be 72, 90 or 96, got {per_inch!r}")
    pixel = INCH / (per_inch or PER_INCH[0])
    try:
        box = view_box(root.get("viewBox")) if root.get("viewBox") else None
        wide, high = _side(root, "width"), _side(root, "height")
        aspect = root.get("preserveAspectRatio")
        fitted(Box(0, 0, 1, 1), Box(0, 0, 1, 1), aspect)
    except ValueError as fault:
        raise root.fault(str(fault)) from None
    if box is None and (wide is None or high is None):
        missing = " and ".join(n for n, v in (("width", wide), ("height", high)) if v is None)
        raise root.fault(
            f"the drawing has no {missing} and no viewBox, so its size is said nowhere: set the "
            "size of the page in mm in the drawing program"
        )
    paper_certain = any((wide, high)) and all(
        side is None or real_mm(side) is not None for side in (wide, high)
    )
    certain = paper_certain and box is not None
    if certain and per_inch is not None:
        raise root.fault(
            f"per_inch={per_inch} changes nothing: the drawing says its size as "
            f"{root.get('width') or 'auto'} by {root.get('height') or 'auto'}; leave it out"
        )
    width, height = _size(wide, high, box, pixel)
    if not (0 < width < FARTHEST and 0 < height < FARTHEST):
        raise root.fault(f"the drawing is {width:g} by {height:g} mm: set the size of the page")
    room = box or Box(0.0, 0.0, width / pixel, height / pixel)
    inside = fitted(room, Box(0.0, 0.0, width, height), aspect if box else "none")
    flip = (1.0, 0.0, 0.0, -1.0, 0.0, height)
    return Page(
        width,
        height,
        after(flip, after(_turned(root, width, height, pixel), inside)),
        Viewport(room.width, room.height),
        per_inch or PER_INCH[0],
        per_inch is not None,
        certain,
        paper_certain,
    )


def _turned(root: Node, width: float, height: float, pixel: float) -> Matrix:
    """The matrix of a transform on the outermost svg: done to the sheet, about its middle."""
    try:
        a, b, c, d, e, f = transform(root.get("transform"))
    except ValueError as fault:
        raise root.fault(str(fault)) from None
    x, y = width / 2, height / 2
    return (a, b, c, d, x - a * x - c * y + e * pixel, y - b * x - d * y + f * pixel)


def _side(root: Node, name: str) -> Said | None:
    """Width or height as it is written; None where it is left to whoever shows the drawing."""
    text = root.get(name)
    if text in ("", "auto"):
        return None
    length = said(text)
    if length.value <= 0:
        raise ValueError(f"{name} must be above 0, got {shown(text)}")
    return None if length.unit == "%" else length


def _size(
    wide: Said | None, high: Said | None, box: Box | None, pixel: float
) -> tuple[float, float]:
    """Width and height [mm]; one that is missing follows from the shape of the view box."""

    def mm(side: Said) -> float:
        paper = real_mm(side)
        return side.value * pixel if paper is None else paper

    if wide is not None and high is not None:
        return mm(wide), mm(high)
    assert box is not None
    if wide is not None:
        return mm(wide), mm(wide) * box.height / box.width
    if high is not None:
        return mm(high) * box.width / box.height, mm(high)
    return box.width * pixel, box.height * pixel
