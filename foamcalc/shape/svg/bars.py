"""Check bars: lines of a length that the drawing itself declares."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from foamcalc.shape.segments import is_straight
from foamcalc.shape.svg.lengths import INCH, PER_INCH
from foamcalc.shape.svg.page import Page
from foamcalc.shape.svg.paper import Line
from foamcalc.shape.svg.tree import Node, shown

SHARE: Final = 0.005
"""How far a bar may be off, as a share of its length (assumed: 5 mm in a metre)."""
LEAST: Final = 0.2
"""How far any bar may be off [mm] (assumed: as near as a bar can be drawn by eye)."""

_BAR = re.compile(
    r"(?<![a-z])(?:check|scale|test)[\s_-]*(?:bar|line|square)(?![a-z])", re.IGNORECASE
)
_LENGTH = re.compile(
    r"(?<![0-9.,/])(?<![0-9][-_ ])([0-9]+(?:\.[0-9]+)?)[\s_-]*(mm|cm|inch(?:es)?|in|″|\")(?![a-z])",
    re.IGNORECASE,
)
_UNITS = {"mm": 1.0, "cm": 10.0}


@dataclass(frozen=True)
class CheckBar:
    """A line of known length in a drawing."""

    name: str
    """Its title, else its id."""
    line: int
    """Line of the file."""
    declared: float
    """What it says it measures [mm]."""
    measured: float
    """What it measures in the drawing [mm]."""

    @property
    def ratio(self) -> float:
        """Measured over declared."""
        return self.measured / self.declared

    def holds(self, factor: float = 1.0) -> bool:
        """Whether it is as long as it says, with the drawing `factor` times as large."""
        off = abs(self.measured * factor - self.declared)
        return off <= max(SHARE * self.declared, LEAST)

    def said(self) -> str:
        """A line for the maker."""
        return (
            f"check bar {shown(self.name)} measures {self.measured:.2f} mm of "
            f"{self.declared:g} declared"
        )


def is_bar(node: Node) -> bool:
    """Whether an element calls itself a check bar, in its id or its title."""
    return any(_BAR.search(name) for name in (node.title, node.id))


def bar_of(node: Node, lines: Sequence[Line]) -> CheckBar | None:
    """The check bar that an element draws; None if it does not say how long it is."""
    said = None
    for name in (node.title, node.id):
        said = said or (_BAR.search(name) and _LENGTH.search(name.replace("_x0020_", " ")))
    if not said:
        return None
    declared = float(said[1]) * _UNITS.get(said[2].lower(), INCH)
    if declared <= 0:
        raise node.fault("a check bar must say a length above 0")
    sides = _sides(node, lines)
    if "square" in f"{node.title} {node.id}".lower() and len(sides) == 4:
        measured = max(sides, key=lambda side: abs(side - declared))
    else:
        measured = max(sides)
    return CheckBar(node.title or node.id, node.line, declared, measured)


def _sides(node: Node, lines: Sequence[Line]) -> list[float]:
    """Lengths of the straight lines that a bar is drawn with [mm]."""
    segments = [segment for line in lines for segment in line.segments]
    straight = [s for s in segments if is_straight(s)]
    if not straight or (len(lines) == 1 and len(straight) < len(segments)):
        raise node.fault(
            "a check bar must be a straight line or a rectangle with sharp corners: draw it so, or "
            "take the length out of its name"
        )
    return [float(np.hypot(*(side.points[1] - side.points[0]))) for side in straight]


def check(bars: Sequence[CheckBar], page: Page, file: str) -> None:
    """Raise ValueError if a check bar is not as long as it says."""
    wrong = [bar for bar in bars if not bar.holds()]
    if not wrong:
        return
    told = "; ".join(
        f"line {bar.line}: {bar.said()}, {bar.ratio:.4f} times as long" for bar in wrong
    )
    raise ValueError(f"{file}: the drawing is not at true size. {told}. {_remedy(bars, page)}")


def _remedy(bars: Sequence[CheckBar], page: Page) -> str:
    """What would bring the check bars to their length."""
    for per_inch in PER_INCH:
        if per_inch != page.per_inch and all(b.holds(page.per_inch / per_inch) for b in bars):
            what = f"It fits a drawing made at {per_inch} px to the inch"
            if page.certain:
                return f"{what}: set the size of the page again and save it"
            return f"{what}: read it with per_inch={per_inch}"
    if all(bar.holds(INCH) for bar in bars):
        return "It fits a drawing in inches that was read as mm: set the page to inches"
    if any(bar.holds() for bar in bars):
        return (
            "Other bars are right, so it is stretched one way: save the drawing again unstretched"
        )
    return "Neither 72 nor 90 px to the inch explains it: scale the drawing until the bar fits"
