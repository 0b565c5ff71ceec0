"""In which order the marks of a seam are glued, and what another order does to it."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.seam.joined import Seam
from foamcalc.guards import finite

Floats = NDArray[np.float64]

_LAST = 0.25
"""Part of an interval to which its difference is left [1]."""


def gluing_order(places: ArrayLike) -> tuple[int, ...]:
    """Order in which marks are pinned and glued: both ends, then ever again the middle."""
    marks = finite(places, "places")
    if marks.ndim != 1 or marks.size < 2 or not (np.diff(marks) > 0).all():
        raise ValueError(f"places must be two or more in rising order, got {marks.tolist()}")
    done = [0, marks.size - 1]
    while len(done) < marks.size:
        known = sorted(done)
        open_ = [(a, b) for a, b in pairwise(known) if b - a > 1]
        a, b = max(open_, key=lambda pair: (marks[pair[1]] - marks[pair[0]], -pair[0]))
        middle = (marks[a] + marks[b]) / 2
        done.append(min(range(a + 1, b), key=lambda i: abs(marks[i] - middle)))
    return tuple(done)


class WrongOrder(NamedTuple):
    """What a seam suffers that is glued from one end to the other, mark by mark or not."""

    apart: Floats
    """How far the marks are apart when nothing is shared out [mm], one entry a mark; positive:
    the second edge has run ahead."""
    farthest: int
    """The mark that is farthest apart, counted from 0."""
    worst: int
    """The interval whose strain grows most, counted from 0."""
    shared: float
    """Mismatch of that interval, shared out evenly [1]."""
    last: float
    """The same when all of it is left to the last quarter [1]."""


def wrong_order(seam: Seam) -> WrongOrder:
    """What happens to a seam when its gap is not shared out, with glue that grabs.

    Parameters
    ----------
    seam : Seam
        The seam.

    Notes
    -----
    Glue that grabs fixes each bit as it is laid down. What has not been shared out by then is
    left to the rest: a difference d over a length a is ``d/a``, but left to the last quarter
    ``4 d/a``. Without pins at the marks the differences add up as well: at each mark the edges
    are apart by the sum of those before it.

    Examples
    --------
    >>> from foamcalc.fit.seam.edge import SeamEdge
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.law import Linear
    >>> eva = Piece(thickness=10, law=Linear(1.5))
    >>> seam = Seam(a=SeamEdge(name="front", piece=eva, places=(0, 50, 100)),
    ...             b=SeamEdge(name="back", piece=eva, places=(0, 52, 103)))
    >>> found = wrong_order(seam)
    >>> print(found.apart, f"{found.shared:.3f} {found.last:.3f}")
    [0. 2. 3.] 0.039 0.157
    """
    between = seam.intervals
    mismatch = np.abs(between.difference) / ((between.a + between.b) / 2)
    worst = int(np.argmax(mismatch))
    apart = np.concatenate([[0.0], between.ahead])
    return WrongOrder(
        apart=apart,
        farthest=int(np.argmax(np.abs(apart))),
        worst=worst,
        shared=float(mismatch[worst]),
        last=float(mismatch[worst]) / _LAST,
    )
