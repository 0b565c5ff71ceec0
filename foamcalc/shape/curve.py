"""Plane curves that layers follow: what every curve can tell, and the simplest ones."""

from foamcalc.shape.arc import Arc, TurnedLength
from foamcalc.shape.drawn import Drawn
from foamcalc.shape.plane import (
    FULL_TURN,
    Corner,
    Curve,
    Extreme,
    Floats,
    Run,
    check_closed,
    checked_turn,
)

__all__ = [
    "FULL_TURN",
    "Arc",
    "Corner",
    "Curve",
    "Drawn",
    "Extreme",
    "Floats",
    "Run",
    "TurnedLength",
    "check_closed",
    "checked_turn",
]
