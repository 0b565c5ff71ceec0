"""Path data: checked letter by letter here, followed by svgpathtools, arcs worked out here."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from foamcalc.shape.segments import Bezier, EllipseArc, Segment
from foamcalc.shape.svg.lengths import NUMBER
from foamcalc.shape.svg.tree import shown

_SPACE = re.compile(r"[ \t\r\n\f]*")
_COMMA = re.compile(r"[ \t\r\n\f]*,?[ \t\r\n\f]*")
_NUMBER = re.compile(NUMBER)
_FLAG = re.compile(r"[01]")
_TAKES = {
    "M": "x y",
    "L": "x y",
    "H": "x",
    "V": "y",
    "C": "x1 y1 x2 y2 x y",
    "S": "x2 y2 x y",
    "Q": "x1 y1 x y",
    "T": "x y",
    "A": "rx ry rotation large-arc-flag sweep-flag x y",
    "Z": "",
}
_MOST_COMMANDS = 20_000


class Outline(NamedTuple):
    """One way of a shape without a jump."""

    segments: tuple[Segment, ...]
    closed: bool
    """Whether the drawing says that it is closed."""


class _Step(NamedTuple):
    """One command with one set of numbers, as written; a repeated letter is written out."""

    letter: str
    values: tuple[float, ...]


class PathFault(ValueError):
    """What is wrong with path data, and at which letter."""


def path_outlines(data: str) -> list[Outline]:
    """The outlines of path data, in user units.

    svgpathtools follows the commands: relative to absolute, smooth curves, closing. It skips
    what it does not know and stops at an arc that ends where it begins, so the data are checked
    before. It also sets the middle of nearly half an ellipse onto the chord, off by up to 1e-4
    of the radius, so arcs are handed to it as lines and worked out by `arc`.
    """
    if data.strip() in ("", "none"):
        return []
    steps = list(_steps(data))
    return list(_outlines(steps))


def _steps(data: str) -> Iterator[_Step]:
    """Commands one by one; PathFault where the grammar of path data is left."""
    place, count = _skip(_SPACE, data, 0), 0
    while place < len(data):
        letter = data[place]
        kind = letter.upper()
        if kind not in _TAKES or (count == 0 and kind != "M"):
            what = "must begin with M or m" if count == 0 else "has no command here"
            raise _fault(data, place, what)
        names = _TAKES[kind].split()
        place = _skip(_SPACE, data, place + 1)
        first = True
        while first or (place < len(data) and _goes_on(data, place)):
            if not (first or names):
                raise _fault(data, place, f"has a number after {letter}, which takes none")
            values, place = _values(data, place, kind, names, first)
            yield _Step(letter, values)
            letter = {"M": "L", "m": "l"}.get(letter, letter)
            first, count = False, count + 1
            if count > _MOST_COMMANDS:
                raise PathFault(f"path data has over {_MOST_COMMANDS} commands: divide the path")
        place = _skip(_SPACE, data, place)


def _values(
    data: str, place: int, kind: str, names: list[str], first: bool
) -> tuple[tuple[float, ...], int]:
    """One set of numbers, and where it ends."""
    values = []
    for name in names:
        place = place if first else _skip(_COMMA, data, place)
        first = False
        met = (_FLAG if name.endswith("flag") else _NUMBER).match(data, place)
        if met is None:
            wanted = "0 or 1" if name.endswith("flag") else "a number"
            raise _fault(data, place, f"needs {wanted} here, the {name} of {kind}")
        value = float(met.group())
        if not math.isfinite(value):
            raise _fault(data, place, f"has too big a number here, the {name} of {kind}")
        values.append(value)
        place = met.end()
    return tuple(values), place


def _skip(pattern: re.Pattern[str], data: str, place: int) -> int:
    met = pattern.match(data, place)
    return met.end() if met else place


def _goes_on(data: str, place: int) -> bool:
    """Whether another set of numbers follows without a letter."""
    at = _skip(_COMMA, data, place)
    comma = "," in data[place:at]
    return comma or (at < len(data) and data[at] in "+-.0123456789")


def _fault(data: str, place: int, what: str) -> PathFault:
    """Where the data stop being path data."""
    rest = data[place : place + 20]
    here = f"letter {place + 1}, {shown(rest)}" if rest.strip() else "its end"
    return PathFault(f"path data {what}, at {here}: draw the path again")


def _outlines(steps: list[_Step]) -> Iterator[Outline]:
    """Outlines of commands that have been checked."""
    pieces = _followed(steps)
    done: list[Segment] = []
    start: complex | None = None
    at = 0j
    for step in steps:
        kind = step.letter.upper()
        if kind == "M":
            if done:
                yield Outline(tuple(done), closed=False)
            done, start = [], None
            continue
        if kind == "Z":
            if start is not None and at != start:
                done.append(_bezier(next(pieces)))
            if done:
                yield Outline(tuple(done), closed=True)
            # What follows without M sets out from the same start.
            done, start = [], None
            continue
        points = next(pieces)
        start = points[0] if start is None else start
        at = points[-1]
        piece = arc(points[0], at, *step.values[:5]) if kind == "A" else _bezier(points)
        if any(point != points[0] for point in points):
            done.append(piece)
    if done:
        yield Outline(tuple(done), closed=False)


def _followed(steps: list[_Step]) -> Iterator[tuple[complex, ...]]:
    """Points of every piece that is drawn, in absolute coordinates; an arc as a line."""
    from svgpathtools import parse_path

    written = []
    for letter, values in steps:
        plain = {"A": "L", "a": "l"}.get(letter, letter)
        kept = values[5:] if plain != letter else values
        written.append(f"{plain} {' '.join(map(repr, kept))}")
    for piece in parse_path(" ".join(written)):
        yield tuple(complex(point) for point in piece.bpoints())


def _bezier(points: tuple[complex, ...]) -> Bezier:
    return Bezier(np.array([(point.real, point.imag) for point in points]))


def arc(
    begin: complex,
    end: complex,
    rx: float,
    ry: float,
    rotation: float,
    large: float,
    sweep: float,
) -> Segment:
    """An elliptical arc between two points, as the path command A describes it.

    On the circle that is stretched into the ellipse the ends are a chord of half length h; the
    middle lies ``sqrt(1 - h**2)`` off it. Where h is 1 up to the rounding of the coordinates the
    arc is half an ellipse: the root would make 1e-8 of a rounding of 1e-16.
    """
    a, b = abs(rx), abs(ry)
    if a == 0 or b == 0 or begin == end:
        return _bezier((begin, end))
    turn = math.radians(rotation % 360.0)
    axis = complex(math.cos(turn), math.sin(turn))
    half = (begin - end) / 2 / axis
    unit = complex(half.real / a, half.imag / b)  # from the middle of the chord to its begin
    chord = abs(unit)
    rounding = 4e-16 * (8 + max(abs(begin), abs(end)) / abs(begin - end))
    if chord > 1 - rounding:
        a, b, unit, off = a * chord, b * chord, unit / chord, 0.0
    else:
        off = math.sqrt((1 - chord) * (1 + chord))
    side = 1.0 if bool(large) != bool(sweep) else -1.0
    # Square to the chord, on the side that the two flags ask for.
    middle = side * off * complex(unit.imag, -unit.real) / abs(unit)
    first, last = unit - middle, -unit - middle
    start = math.atan2(first.imag, first.real)
    turned = math.atan2(last.imag, last.real) - start
    if off == 0:
        turned = math.pi if sweep else -math.pi
    elif sweep:
        turned %= 2 * math.pi
    else:
        turned = -(-turned % (2 * math.pi))
    centre = (begin + end) / 2 + axis * complex(middle.real * a, middle.imag * b)
    xy = np.array([(z.real, z.imag) for z in (centre, axis * a, axis * 1j * b)])
    return EllipseArc(xy[0], xy[1], xy[2], start, turned)
