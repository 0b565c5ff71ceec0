"""A check in words, for the reasons of a trim."""

from __future__ import annotations

from foamcalc.fit.limits import Check
from foamcalc.fit.trim.words import found_words


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
    return f"{check.what}: {'yes' if check.met else 'no'}; {found_words(check)}"
