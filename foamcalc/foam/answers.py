"""What every foam law answers: stress, its slope, the side stretch, and where it is stable."""

from __future__ import annotations

from functools import cache
from typing import Literal, NamedTuple, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import one_of, positive, shown

Width = Literal["free", "held"]
Floats = NDArray[np.float64]

WIDTHS = ("free", "held")
_SEARCH = (0.15, 4.0)
"""Stretches between which `stable_range` looks; foam tears or is solid outside them."""


class Response(NamedTuple):
    """What a law answers at a stretch; all arrays of one shape."""

    stress: Floats
    """Nominal stress [MPa]."""
    tangent: Floats
    """Slope of stress over stretch [MPa]."""
    side: Floats
    """Stretch through the thickness [1]."""
    side_slope: Floats
    """Slope of `side` over stretch [1]."""


class Law(Protocol):
    """What `settle` and the joints ask of any foam law."""

    @property
    def modulus(self) -> float:
        """Young's modulus at rest [MPa]."""

    def response(self, stretch: ArrayLike, width: Width = "free") -> Response:
        """Stress, slope, side stretch and its slope, after checking the arguments."""

    def unchecked(self, stretch: Floats, width: Width) -> Response:
        """`response` without the checks."""

    def stress(self, stretch: ArrayLike, width: Width = "free") -> Floats:
        """Nominal stress [MPa]."""

    def side_stretch(self, stretch: ArrayLike, width: Width = "free") -> Floats:
        """Stretch through the thickness [1]."""

    def stable_range(self, width: Width = "free") -> tuple[float, float]:
        """Stretches between which the law has a positive tangent."""


def a_law(value: object, name: str = "law") -> Law:
    """The value if it answers as a foam law does; TypeError if not."""
    if isinstance(value, type) or not hasattr(value, "unchecked"):
        said = f"{shown(value)} ({type(value).__name__})"
        raise TypeError(f"{name} must be a foam law such as HyperFoam, got {said}")
    return value  # type: ignore[return-value]  # a law is known by what it answers


class Answers:
    """The plain questions, answered from `response`; shared by all laws."""

    def response(self, stretch: ArrayLike, width: Width = "free") -> Response:
        """Stress, its slope, side stretch and its slope at once (they share the costly powers)."""
        one_of(width, "width", WIDTHS)
        return self.unchecked(positive(stretch, "stretch", "1"), width)

    def unchecked(self, stretch: Floats, width: Width) -> Response:
        """`response` without the checks, for loops that have made them already."""
        raise NotImplementedError

    def stress(self, stretch: ArrayLike, width: Width = "free") -> Floats:
        """Nominal stress in the direction of pull."""
        return self.response(stretch, width).stress

    def side_stretch(self, stretch: ArrayLike, width: Width = "free") -> Floats:
        """Stretch through the thickness (and across the width, where that is free)."""
        return self.response(stretch, width).side

    def stable_range(self, width: Width = "free") -> tuple[float, float]:
        """Stretches around 1 between which pulling harder always takes more force."""
        return _stable_range(self, one_of(width, "width", WIDTHS))


@cache
def _stable_range(law: Law, width: Width) -> tuple[float, float]:
    """The run of grid stretches around 1 with a positive tangent, its ends halved to 1e-6."""
    ends = []
    for limit in _SEARCH:
        grid = np.geomspace(1.0, limit, 400)
        bad = np.flatnonzero(~(_tangent(law, grid, width) > 0))
        if bad.size == 0:
            ends.append(limit)
            continue
        if bad[0] == 0:
            raise ValueError(f"{law} has no positive stiffness at rest")
        good, worse = grid[bad[0] - 1], grid[bad[0]]
        while abs(worse - good) > 1e-6:
            middle = (good + worse) / 2
            if _tangent(law, np.array([middle]), width)[0] > 0:
                good = middle
            else:
                worse = middle
        ends.append(float(good))
    return ends[0], ends[1]


def _tangent(law: Law, stretch: Floats, width: Width) -> Floats:
    """Tangents [MPa]; NaN where the law has no answer."""
    try:
        return law.unchecked(stretch, width).tangent
    except ArithmeticError:
        if stretch.size == 1:
            return np.full(1, np.nan)
        return np.concatenate([_tangent(law, s, width) for s in np.split(stretch, stretch.size)])
