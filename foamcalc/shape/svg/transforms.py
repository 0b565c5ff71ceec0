"""The transform attribute: lists of functions to one matrix."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from difflib import get_close_matches

from foamcalc.shape.svg.lengths import SAME, Matrix, after, numbers
from foamcalc.shape.svg.tree import shown

_FUNCTION = re.compile(r"[\s,]*([A-Za-z0-9]+)\s*\(([^()]*)\)")
_COUNTS = {
    "matrix": (6,),
    "translate": (1, 2),
    "scale": (1, 2),
    "rotate": (1, 3),
    "skewX": (1,),
    "skewY": (1,),
}
_MOST = 1000


def transform(text: str) -> Matrix:
    """The matrix of a transform attribute."""
    if text.strip() in ("", "none"):
        return SAME
    result, place, count = SAME, 0, 0
    while place < len(text):
        met = _FUNCTION.match(text, place)
        if met is None:
            if not text[place:].strip(" \t\r\n\f,"):
                break
            raise ValueError(
                f"transform cannot be read at {shown(text[place:])}: write functions such as "
                "'translate(10 20) rotate(30)'"
            )
        count += 1
        if count > _MOST:
            raise ValueError(f"transform has over {_MOST} functions: write them as one matrix")
        result = after(result, _one(met[1], met[2]))
        place = met.end()
    return result


def _one(name: str, inside: str) -> Matrix:
    """The matrix of one function."""
    if name not in _COUNTS:
        small = {known.lower(): known for known in _COUNTS}
        near = get_close_matches(name.lower(), small, n=1)
        hint = f"; did you mean {small[near[0]]}?" if near else f": use one of {', '.join(_COUNTS)}"
        raise ValueError(f"transform has the unknown function {shown(name)}{hint}")
    try:
        values = numbers(inside)
    except ValueError as fault:
        raise ValueError(
            f"transform {name}({inside[:60]}): {fault}; lengths and angles stand there without "
            "a unit"
        ) from None
    if len(values) not in _COUNTS[name]:
        wanted = " or ".join(str(n) for n in _COUNTS[name])
        raise ValueError(f"transform {name} takes {wanted} numbers, got {len(values)}")
    return _matrix(name, values)


def _matrix(name: str, v: Sequence[float]) -> Matrix:
    """The matrix of one function with its numbers."""
    if name == "translate":
        return (1.0, 0.0, 0.0, 1.0, v[0], v[1] if len(v) > 1 else 0.0)
    if name == "scale":
        return (v[0], 0.0, 0.0, v[1] if len(v) > 1 else v[0], 0.0, 0.0)
    if name == "rotate":
        cos, sin = _cos_sin(v[0])
        x, y = (v[1], v[2]) if len(v) > 1 else (0.0, 0.0)
        return (cos, sin, -sin, cos, x - cos * x + sin * y, y - sin * x - cos * y)
    if name == "skewX":
        return (1.0, 0.0, _tangent(v[0], name), 1.0, 0.0, 0.0)
    if name == "skewY":
        return (1.0, _tangent(v[0], name), 0.0, 1.0, 0.0, 0.0)
    a, b, c, d, e, f = v
    return (a, b, c, d, e, f)


def _cos_sin(degrees: float) -> tuple[float, float]:
    """Cosine and sine of an angle in degrees, exact at quarter turns."""
    quarters, rest = divmod(degrees, 90.0)
    cos, sin = math.cos(math.radians(rest)), math.sin(math.radians(rest))
    for _ in range(int(quarters % 4)):
        cos, sin = -sin, cos
    return cos, sin


def _tangent(degrees: float, name: str) -> float:
    """Tangent of a skew; a quarter turn would flatten everything."""
    cos, sin = _cos_sin(degrees)
    if abs(cos) < 1e-9:
        raise ValueError(f"transform {name}({degrees:g}) pulls the shape out without end")
    return sin / cos
