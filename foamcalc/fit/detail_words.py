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
    """What becomes of a round hole, and what to do about it, in a maker's words.

    Parameters
    ----------
    diameter : float
        Diameter as punched, or as wanted [mm].
    strain : float
        Strain away from the hole [1], 0 to 0.2.
    strip_width : float, optional
        Width of the strip as cut [mm]. Left out: a wide sheet.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> print(hole_words(diameter=20, strain=0.05))  # doctest: +ELLIPSIS
    Pulled 5 %, a hole of 20 mm becomes 23 mm long and 19 mm wide. Punch it after gluing, or ...
    """
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
    """What the thin bars of a pierced piece take, and what to do about it, in a maker's words.

    Parameters
    ----------
    bars : Bars
        From `pierced`, one case.
    strain : float
        Strain of the whole piece [1], as `pierced` was asked.
    limit : Limit
        How far the foam may be pulled, for example ``default_limits(piece)["stretch"]``.

    Examples
    --------
    >>> from foamcalc.fit.limits import Limit
    >>> from foamcalc.fit.pierced import pierced
    >>> from foamcalc.foam.law import Linear
    >>> bars = pierced(Linear(1.5), lengths=[70, 30], widths=[100, 30], thickness=5, strain=0.05)
    >>> hard = Limit(value=0.08, unit="1", basis="common practice", reason="A hard pull.")
    >>> print(bar_words(bars, strain=0.05, limit=hard))  # doctest: +ELLIPSIS
    Pulled 5.0 % in all, the thinnest bars take 9.8 %, over the limit of 8 %: cut the piece ...
    """
    check = bar_check(bars, limit)
    said = (
        f"Pulled {100 * strain:.1f} % in all, the thinnest bars take {100 * check.found:.1f} %, "
        f"{'inside' if check.met else 'over'} the limit of {100 * limit.value:.3g} %"
    )
    if check.met:
        return f"{said}."
    return f"{said}: cut the piece longer, or pierce it after gluing."
