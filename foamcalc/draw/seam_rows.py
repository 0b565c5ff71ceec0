"""Words in rows along a seam: how they find room without lying over each other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from foamcalc.draw.ink import Floats
from foamcalc.draw.lettering import POINT, elided
from foamcalc.draw.seam_bands import wide

_GAP = 6.0
"""White room between words in a row [pt]."""


def spread(middles: Floats, widths: Floats, *, low: float, high: float) -> Floats | None:
    """Middles of words in a row, each as near to its place as the others allow.

    The least sum of squared shifts: less the room of those before them, the places must not fall
    (isotonic regression by pooling), and stay inside the row.
    """
    if middles.size == 0:
        return middles
    steps = (widths[1:] + widths[:-1]) / 2 + _GAP
    before = np.concatenate([[0.0], np.cumsum(steps)])
    least, most = low + widths[0] / 2, high - widths[-1] / 2 - before[-1]
    if least > most:
        return None
    pools: list[tuple[float, int]] = []
    for value in (middles - before).tolist():
        mean, count = value, 1
        while pools and pools[-1][0] > mean:
            other, n = pools.pop()
            mean, count = (mean * count + other * n) / (count + n), count + n
        pools.append((mean, count))
    level = np.repeat([m for m, _ in pools], [n for _, n in pools])
    return np.asarray(level.clip(least, most) + before)


class MarkNames(NamedTuple):
    """Names that stand on the lines between the marks."""

    upright: bool
    """Whether they are turned by a quarter."""
    shown: dict[int, str]
    """Name by the number of the mark."""
    long: float
    """Room they need along the lines [pt]."""
    margin: float
    """Room they need beyond the ends of the seam [pt]."""


def mark_names(
    labels: Sequence[str],
    places: Floats,
    *,
    first: Sequence[int],
    free: float,
    longest: float,
    points: float,
) -> MarkNames:
    """How the names of the marks are written."""
    names = [elided(name, wide=longest * POINT, points=points) for name in labels]
    widths = np.array([wide(name, points) for name in names])
    margin = max(widths[0], widths[-1]) / 2
    at = margin + places * (free - 2 * margin)
    room = np.diff(at) - (widths[1:] + widths[:-1]) / 2
    if (room >= _GAP).all() and free > 4 * margin:
        return MarkNames(False, dict(enumerate(names)), 1.3 * points, margin)
    high = 1.25 * points
    at = high / 2 + places * (free - high)
    kept: list[int] = []
    for i in first:
        if all(abs(at[i] - at[j]) >= high for j in kept):
            kept.append(i)
    shown = {i: names[i] for i in sorted(kept)}
    return MarkNames(True, shown, float(widths[kept].max()), high / 2)
