"""Curves of a job sheet: one way to give each, and what it rests on."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from foamcalc.ask.form import Table
from foamcalc.ask.points import read_points
from foamcalc.ask.sheet.files import beside
from foamcalc.ask.sheet.findings import heading
from foamcalc.ask.sheet.keys import TABLES, WAYS
from foamcalc.fit.limits import tape_reading
from foamcalc.fit.stack import Face
from foamcalc.shape.arc import Arc, TurnedLength
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.measured import MeasuredCurve
from foamcalc.shape.plane import FULL_TURN, Curve
from foamcalc.shape.polyline import Polyline
from foamcalc.units import System, format_length

_EXPLAINED = 3.0
"""Standard errors that reading errors may explain."""
_TOGETHER = tuple(dict.fromkeys(key for together, _ in WAYS for key in together))
_BESIDE = tuple(dict.fromkeys(key for _, beside in WAYS for key in beside))


@dataclass(frozen=True, kw_only=True)
class Line:
    """A curve of the sheet."""

    head: str
    curve: Curve
    face: Face
    rests_on: str
    outside: str | None = None
    """The side of the outside, walking along its points; None where the sign says it."""

    @property
    def hollow(self) -> bool:
        """Whether an open curve of points turns inwards more than outwards, past its error."""
        error = self.curve.turn_error if isinstance(self.curve, MeasuredCurve) else 0.0
        return self.outside is not None and self.curve.turn < -2 * error


def read_curve(table: Table, name: str, folder: Path) -> Line | None:
    """The curve of a checked table; None if it has a fault."""
    way = _way(table)
    if way is None or not table.sound:
        return None
    curve = _made(table, way, folder)
    if curve is None or not table.sound:
        return None
    face = table.values["measured_on"]
    return Line(
        head=heading("curve", name),
        curve=curve,
        face=face,
        rests_on=f"curve {name}: {_told(table, way, curve)}, on the {face}",
        outside=table.get("outside", "left")
        if way[0] in ("points", "corners") and not curve.closed
        else None,
    )


def _way(table: Table) -> tuple[str, ...] | None:
    """The one way in which the curve is given; None, with a fault where it is not one."""
    said = [key.name for key in TABLES["curve"].keys if key.name in table.written]
    mine = [key for key in said if key in _TOGETHER]
    if not mine:
        if table.sound:
            ways = ", ".join(" + ".join(together) for together, _ in WAYS)
            table.fault("", f"no curve is given; write one of {ways}")
        return None
    for together, allowed in WAYS:
        if set(together) == set(mine):
            for key in said:
                if key in _BESIDE and key not in allowed:
                    table.fault(key, f"does not go with {' + '.join(together)}; leave it out")
            return together
    whole = [together for together, _ in WAYS if set(together) < set(mine)]
    if len(whole) == 1:
        extra = next(key for key in mine if key not in whole[0])
        table.fault(extra, f"the curve is given by {' + '.join(whole[0])} already; keep one way")
        return None
    rest = [
        [key for key in together if key not in mine]
        for together, _ in WAYS
        if set(mine) < set(together)
    ]
    given = " + ".join(mine)
    if not rest:
        table.fault("", f"the curve is given in more than one way: {given}; keep one of them")
    elif len(rest) == 1:
        lost = TABLES["curve"].key(rest[0][0])
        table.fault(
            lost.name,
            f"is missing beside {given}: {lost.what}; write for example "
            f"{lost.name} = {lost.example}",
        )
    else:
        add = " or ".join(" + ".join(keys) for keys in rest)
        table.fault("", f"{given} alone gives no curve; add {add}")
    return None


def _made(table: Table, way: tuple[str, ...], folder: Path) -> Curve | None:
    """The curve itself."""
    value = table.values
    if way[0] in ("points", "corners"):
        return _from_file(table, way[0], folder)
    try:
        match way:
            case ("radius", "turn"):
                return Arc(value["radius"], value["turn"])
            case ("chord", "rise"):
                return Arc.from_chord(chord=value["chord"], rise=value["rise"])
            case ("length", "turn"):
                return TurnedLength(value["length"], value["turn"])
            case ("length", "mouth"):
                return Arc.from_mouth(length=value["length"], mouth=value["mouth"])
            case ("girth",):
                return Arc(value["girth"] / FULL_TURN, FULL_TURN, closed=True)
        return Arcs(value["lengths"], value["turns"], closed=table.get("closed", False))
    except ValueError as error:
        table.faults_of("", error)
    return None


def _from_file(table: Table, key: str, folder: Path) -> Curve | None:
    """The curve through the points, or round the corners, of a file beside the sheet."""
    if table.get("closed", False) and "outside" in table.written:
        table.fault(
            "outside", "a closed curve has its outside where it encloses nothing; leave it out"
        )
        return None
    place = beside(table, key, folder)
    if place is None:
        return None
    shape: dict[str, Any] = {
        "closed": table.get("closed", False),
        "outside": table.get("outside", "left"),
    }
    try:
        points = read_points(place)
    except (ValueError, OSError) as error:
        table.faults_of(key, error)
        return None
    if key == "points" and not _agrees(table, points.x, points.y):
        return None
    table.found.inches |= points.unit == "in"
    try:
        if key == "corners":
            return Polyline(points.xy, **shape).rounded(table.values["corner_radius"])
        curve = MeasuredCurve(points.xy, table.values["noise"], **shape)
        table.found.note(table.place, key, f"{points.size_text()}; {_shape(table, curve)}")
        return curve
    except ValueError as error:
        table.faults_of(key, ValueError(f"{table.values[key]}: {error}"))
    return None


def _shape(table: Table, curve: MeasuredCurve) -> str:
    """What the points say, to be compared with the thing itself before anything is cut."""
    system: System = "in" if table.found.inches else "mm"
    turn, error = np.degrees([curve.turn, 2 * curve.turn_error])
    said = f"turns {turn:.0f}°" + ("" if curve.closed else f" ± {error:.0f}°")
    ends = [(r.start, r.end) for r in curve.runs() if r.hollow]
    hollow = [" to ".join(format_length(x, system=system) for x in pair) for pair in ends]
    return said + (f", hollow from {' and from '.join(hollow)}" if hollow else ", no hollow")


def _agrees(table: Table, x: Any, y: Any) -> bool:
    """Whether a ruler between the two ends agrees with the file."""
    across = table.get("across")
    if across is None:
        return True
    if table.get("closed", False):
        table.fault("across", "a closed curve has no ends; leave it out")
        return False
    apart = math.hypot(float(x[-1] - x[0]), float(y[-1] - y[0]))
    allowed = tape_reading() + _EXPLAINED * math.sqrt(2) * table.values["noise"]
    say = table.found.tape
    if abs(apart - across) > allowed:
        table.fault(
            "across",
            f"{say(across)} by the ruler, but the ends of {table.values['points']} are "
            f"{say(apart)} apart and reading errors explain {say(allowed)} at most; measure "
            "again, and check the unit at the head of the file",
        )
        return False
    return True


def _told(table: Table, way: tuple[str, ...], curve: Curve) -> str:
    """How the curve is known, in words."""
    value = table.values
    match way:
        case ("points", _) if isinstance(curve, MeasuredCurve):
            return (
                f"through {np.shape(curve.points)[0]} points of {value['points']}, each good to "
                f"{value['noise']:g} mm; length {curve.length:.1f} ± "
                f"{2 * curve.length_error:.1f} mm"
            )
        case ("corners", _):
            return f"corners of {value['corners']}, rounded to {value['corner_radius']:g} mm"
        case ("length", "turn"):
            return "its length and turn, taken as evenly curved"
        case ("lengths", "turns"):
            return f"{len(value['lengths'])} pieces joined without a kink"
        case ("girth",):
            return "its girth, taken as a circle"
    return f"an arc by its {' and '.join(way)}"
