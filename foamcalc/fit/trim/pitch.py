"""Whole pitches: how many go on a strip, and the pitch that makes them as long as it."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.trim.parts import Part, tightest
from foamcalc.fit.trim.web import Web
from foamcalc.guards import positive, single
from foamcalc.shape.plane import Curve

Floats = NDArray[np.float64]
WebOf = Callable[[float], Web]
"""One pitch of a strip, from the pitch [mm]."""

_MOST_STEPS = 60
_MOST_PITCHES = 5000
"""Cuts that a hand may make in one strip, and far beyond."""
_SAME = 1e-12
"""Change of a pitch, as a share of it, that counts as none."""


def strip_upto(curve: Curve, web: Web, start: float) -> Callable[[Floats], Floats]:
    """What measures a strip as cut from a place of its edge up to others [mm].

    The sum of ``1 + offset curvature`` along the edge, with the offset of the line that keeps
    its length.
    """
    part = Part(curve, start, start + curve.length)
    return lambda places: part.upto(lambda k: 1 + web.offset(k) * k, places)


def edge_places(curve: Curve, web: Web, start: float, on_strip: Floats) -> Floats:
    """Places along the edge of places along the strip [mm]; arguments as in `strip_upto`."""
    upto, part = strip_upto(curve, web, start), Part(curve, start, start + curve.length)
    end = start + curve.length
    whole = float(upto(np.array([end]))[0])
    places = start + on_strip * curve.length / whole
    for _ in range(_MOST_STEPS):
        places = np.clip(places, start, end)
        k = part.curvature(places)
        miss = upto(places.ravel()).reshape(places.shape) - on_strip
        if np.abs(miss).max() < 1e-11 * whole:
            return np.asarray(places)
        places = places - miss / (1 + web.offset(k) * k)
    raise ArithmeticError("the places of the cuts along the edge were not found")


def whole_pitches(
    curve: Curve,
    web_of: WebOf,
    *,
    pitch: float | None = None,
    number: int | None = None,
    step: int = 1,
    least: int = 1,
    per: int = 1,
) -> tuple[int, Web]:
    """How often a strip repeats itself on an edge, and one repeat, adjusted to its length.

    The height of the line that keeps its length hangs on the pitch a little, so pitch and length
    are found together.
    """
    if (pitch is None) == (number is None):
        raise ValueError("give either pitch or number, one of the two")
    wanted = _first_pitch(curve, pitch, number)
    if number is not None and number < least:
        raise ValueError(f"number of pitches must be at least {least} here, got {number}")
    first = web_of(per * wanted)
    _check_edge(curve, first)
    if number is None:
        number = _count(_length(curve, first), first.pitch / per, step, least)
    elif number % step:
        raise ValueError(_refusal(curve, web_of, number, step=step, least=least, per=per))
    return number // per, _adjusted(curve, web_of, number // per)


def _first_pitch(curve: Curve, pitch: float | None, number: int | None) -> float:
    """A pitch to begin with [mm]."""
    if pitch is not None:
        return single(positive(pitch, "pitch"), "pitch")
    if isinstance(number, int) and number > _MOST_PITCHES:
        raise ValueError(f"number of pitches must be at most {_MOST_PITCHES}, got {number:.4g}")
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise ValueError(f"number of pitches must be a whole number from 1 up, got {number!r}")
    return curve.length / number


def _check_edge(curve: Curve, web: Web) -> None:
    """Raise ValueError for corners, and for bends tighter than is known."""
    for corner in curve.corners:
        raise ValueError(
            f"the edge has a corner {corner.place:.1f} mm along it: a strip that is cut at a pitch "
            "does not go round it; round the corner, or make a strip for each side of it"
        )
    limits = web.tightest
    for extreme, limit in zip(tightest(curve), limits, strict=True):
        if abs(extreme.curvature) > abs(limit) * (1 + 1e-9) and extreme.curvature * limit > 0:
            side = "hollow" if limit < 0 else "bend"
            raise ValueError(
                f"the {side} {extreme.place:.1f} mm along the edge has a radius of "
                f"{1 / abs(extreme.curvature):.4g} mm; it must be at least {1 / abs(limit):.4g} mm "
                f"for a strip {web.thickness:g} mm thick. Take a thinner strip"
            )


def _length(curve: Curve, web: Web) -> float:
    """Length that a strip with such pitches needs [mm]."""
    return float(strip_upto(curve, web, 0.0)(np.array([curve.length]))[0])


def _adjusted(curve: Curve, web_of: WebOf, count: int) -> Web:
    """The pitch of which so many are as long as the strip."""
    web = web_of(curve.length / count)
    for _ in range(_MOST_STEPS):
        better = _length(curve, web) / count
        if abs(better - web.pitch) < _SAME * better:
            return web
        web = web_of(better)
    raise ArithmeticError("no pitch fits the length of the strip; give another number of pitches")


def _count(whole: float, pitch: float, step: int, least: int) -> int:
    """The number of pitches next to a wanted pitch on a strip so long."""
    if pitch > whole:
        raise ValueError(
            f"pitch must be below the length of the strip ({whole:.1f} mm), got {pitch:g} mm"
        )
    if whole / pitch > _MOST_PITCHES:
        raise ValueError(
            f"pitch must be long enough for at most {_MOST_PITCHES} pitches on a strip of "
            f"{whole:.1f} mm, got {pitch:g} mm; take {whole / _MOST_PITCHES:.3g} mm or more"
        )
    count = step * round(whole / pitch / step)
    if count < least:
        raise ValueError(
            f"pitch must be short enough for at least {least} pitches on a strip of {whole:.1f} "
            f"mm, got {pitch:g} mm; take {whole / least:.4g} mm or less"
        )
    return count


def _refusal(curve: Curve, web_of: WebOf, number: int, *, step: int, least: int, per: int) -> str:
    """What is wrong with a number of pitches, with the nearest that do."""
    low = number - number % step
    near = [n for n in (low, low + step) if n >= least]
    offers = " or ".join(
        f"{n} (pitch {_adjusted(curve, web_of, n // per).pitch / per:.2f} mm)" for n in near
    )
    kind = "even" if step == 2 else f"a multiple of {step}"
    return f"number of pitches must be {kind} here, got {number}; take {offers}"
