"""Holes and thin bars of a stretched piece in a maker's words."""

from __future__ import annotations

from foamcalc.fit.holes import hole_after, hole_before
from foamcalc.fit.limits import Limit
from foamcalc.fit.pierced import Bars, bar_check
from foamcalc.units import System, format_length

__all__ = ["bar_words", "hole_words"]


def hole_words(
    *,
    diameter: float,
    strain: float,
    strip_width: float | None = None,
    system: System = "mm",
) -> str:
    """What becomes of a round hole, and what to do about it, in a maker's words."""
    after = hole_after(along=diameter, strain=strain, strip_width=strip_width)
    before = hole_before(diameter=diameter, strain=strain, strip_width=strip_width)
    size, long, wide, short, broad = (
        format_length(float(x), system=system)
        for x in (diameter, after.along, after.across, before.along, before.across)
    )
    if size == long == wide:
        return f"Pulled {100 * strain:.2g} %, a hole of {size} stays round as far as a tape shows."
    return (
        f"Pulled {100 * strain:.2g} %, a hole of {size} becomes {long} long and {wide} wide. "
        f"Punch it after gluing, or before as an oval {short} along the pull and {broad} across."
    )


def bar_words(bars: Bars, *, strain: float, limit: Limit) -> str:
    """What the thin bars of a pierced piece take, and what to do about it, in a maker's words."""
    check = bar_check(bars, limit)
    said = (
        f"Pulled {100 * strain:.1f} % in all, the thinnest bars take {100 * check.found:.1f} %, "
        f"{'inside' if check.met else 'over'} the limit of {100 * limit.value:.3g} %"
    )
    if check.met:
        return f"{said}."
    return f"{said}: cut the piece longer, or pierce it after gluing."
