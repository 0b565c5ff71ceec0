"""Kinds of value that several tables of a job sheet have, and how a key is made of one."""

from __future__ import annotations

import math

from foamcalc.job.sheet.fields import Key, Text
from foamcalc.job.sheet.quantities import Angle, Length, Place, Share

LONGEST = 100_000.0
"""Longest length in a sheet [mm]; more is a slip of units."""
THICKEST = 100.0
"""Thickest sheet [mm]."""

ABOVE_0 = Length("a length above 0 mm, at most 100 m", lambda mm: 0 < mm <= LONGEST)
FROM_0 = Length("a length of 0 mm or more, at most 100 m", lambda mm: 0 <= mm <= LONGEST)
SIGNED = Length("a length of at most 100 m", lambda mm: abs(mm) <= LONGEST)
EITHER = Length("a length other than 0 mm", lambda mm: 0 < abs(mm) <= LONGEST)
SHEET = Length("a thickness above 0 mm, at most 100 mm", lambda mm: 0 < mm <= THICKEST)
BEAD = Length("a thickness from 0 to 10 mm", lambda mm: 0 <= mm <= 10)
FULL = 2 * math.pi * (1 + 1e-9)
TURN = Angle("an angle of at most a full turn", lambda a: abs(a) <= FULL)
BEVEL = Angle("an angle from 0 to below 90 deg", lambda a: 0 <= a < math.pi / 2 - 1e-9)
PART = Share("a share from 0 to 1 (0 to 100 %)", lambda share: 0 <= share <= 1)
BELOW_1 = Share("a share from 0 to below 1", lambda share: 0 <= share < 1)
STRETCH = Share("a share above 0 and below 1", lambda share: 0 < share < 1)
PLACE = Place(FROM_0)
BY_CUT = "worked out from cut and needed"
NAME = Text()


def make_key(name: str, kind: object, example: str, what: str, default: str = "") -> Key:
    """A key; one without a default must be there."""
    return Key(
        name=name,
        what=what,
        kind=kind,  # type: ignore[arg-type]
        example=example,
        default=default or "must be there",
        required=not default,
    )
