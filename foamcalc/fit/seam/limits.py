"""What a seam must not pass: how far each edge may be pulled and squeezed, and still be cut."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from foamcalc.fit.limits import Check, Limit, default_limits
from foamcalc.fit.seam.joined import SIDES, Seam, SeamIntervals
from foamcalc.fit.seam.reach import CLAMPED
from foamcalc.guards import positive

_SQUEEZE = {2.0: "squeeze_at_2_mm", 5.0: "squeeze_at_5_mm", 10.0: "squeeze_at_10_mm"}
"""Thickness of the sheet [mm] and the row of limits.csv for it."""
_PUCKER = Limit(
    value=0.0,
    unit="1",
    basis="derived",
    reason=(
        "A strip pinned at its marks puckers from this squeeze on where it is free to turn there, "
        f"and from {CLAMPED:g} times that where it is not."
    ),
)


def squeeze_limit(thickness: float) -> Limit:
    """How far an edge may be squeezed over a short run, from limits.csv.

    Rows stand for 2, 5 and 10 mm. Between them a straight line; above 10 mm no more than at 10;
    below 2 mm none.
    """
    rows = {t: Limit.from_table(quantity) for t, quantity in _SQUEEZE.items()}
    t = min(max(float(positive(thickness, "thickness")), min(rows)), max(rows))
    low, high = max(row for row in rows if row <= t), min(row for row in rows if row >= t)
    if low == high:
        return rows[low]
    return Limit(
        value=float(np.interp(t, [low, high], [rows[low].value, rows[high].value])),
        unit="1",
        basis="derived",
        reason=f"Between what is usual for {low:g} and {high:g} mm, which is common practice.",
    )


def seam_limits(seam: Seam) -> dict[str, Limit]:
    """The limits from the reference tables that go with a seam."""
    limits = {}
    for side in SIDES:
        piece = seam.edge(side).piece
        limits[f"stretch {side}"] = default_limits(piece)["stretch"]
        limits[f"squeeze {side}"] = squeeze_limit(piece.thickness)
    limits["warm"] = Limit.from_table("warm_hold")
    limits["dart"] = Limit.from_table("dart_narrowest")
    limits["let in"] = Limit.from_table("let_in_narrowest")
    return limits


def strain_checks(
    between: SeamIntervals,
    limits: Mapping[str, Limit],
    i: int,
    *,
    pins: int = 0,
) -> tuple[Check, ...]:
    """What an interval asks of both edges when it is glued cold, each against its limit."""
    if not between.unequal[i]:
        return ()
    checks = []
    for side, edge in zip(SIDES, between.names, strict=True):
        strain, where = float(between.strain(side)[i]), f"{edge}, {between.name(i)}"
        if strain > 0:
            checks.append(Check(f"stretch of {where}", strain, limits[f"stretch {side}"]))
        elif strain < 0:
            bound = float(between.pucker(side)[i]) * (pins + 1) ** 2
            checks += [
                Check(f"squeeze of {where}", -strain, limits[f"squeeze {side}"]),
                Check(f"pucker of {where}", -strain, replace(_PUCKER, value=bound)),
            ]
    return tuple(checks)


def cold_checks(
    between: SeamIntervals, limits: Mapping[str, Limit], pins: tuple[int, ...] | None = None
) -> tuple[Check, ...]:
    """The checks of all intervals, as `strain_checks`; `pins` counts added marks in each."""
    count = len(between.a)
    added = pins or (0,) * count
    return tuple(c for i in range(count) for c in strain_checks(between, limits, i, pins=added[i]))
