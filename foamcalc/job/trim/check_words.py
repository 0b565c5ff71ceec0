"""A check in words, for the reasons of a trim."""

from __future__ import annotations

from foamcalc.fit.limits import Check


def check_words(check: Check) -> str:
    """What was found, the limit, its basis, and whether it is kept.

    Parameters
    ----------
    check : Check
        Of a strain or a pull.

    Examples
    --------
    >>> from foamcalc.fit.limits import Limit
    >>> most = Limit(value=0.08, unit="1", basis="your own", reason="As you said.")
    >>> print(check_words(Check("stretch of the strip", 0.005, most)))
    stretch of the strip: yes; 0.5% (limit 8 %, your own)
    """
    limit, verdict = check.limit, "yes" if check.met else "no"
    if limit.unit == "N":
        found = f"{check.found:.2g} N (limit {limit.value:.3g} N, {limit.basis})"
    else:
        found = f"{check.found:.1%} (limit {100 * limit.value:.3g} %, {limit.basis})"
    return f"{check.what}: {verdict}; {found}"
