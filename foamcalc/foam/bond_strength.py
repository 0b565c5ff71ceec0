"""What a glue line can carry: the maker's own test of it, or the foam's own tear as a cap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, exp, log, pi, sqrt
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import (
    finite,
    fraction,
    made_of,
    non_negative,
    one_of,
    positive,
    single,
    together,
)

Floats = NDArray[np.float64]
Kind = Literal["pull", "shear", "peel"]
Verdict = Literal["holds", "may lift", "wants to lift"]

__all__ = [
    "KINDS",
    "BondCheck",
    "BondTest",
    "Kind",
    "Strength",
    "Verdict",
    "foam_cap",
    "peel_force",
]

KINDS: dict[Kind, str] = {"pull": "MPa", "shear": "MPa", "peel": "N/mm"}
"""Kinds of test, with the unit of what they find: pulled straight apart, slid along, peeled."""


@dataclass(frozen=True, kw_only=True)
class Strength:
    """What a glue line can carry, and what that rests on.

    `low` and `high` hold the next joint with the confidence of the test; None where nothing is
    known of the scatter. `is_cap` says that it can carry no more than this, and perhaps less.
    """

    kind: Kind
    value: float
    low: float | None
    high: float | None
    basis: str
    is_cap: bool = False

    def __post_init__(self) -> None:
        unit = KINDS[one_of(self.kind, "kind", KINDS)]
        for name in ("value", "low", "high"):
            given = getattr(self, name)
            if given is not None:
                number = single(positive(given, f"strength {name}", unit), f"strength {name}")
                object.__setattr__(self, name, number)
        if (self.low is None) != (self.high is None):
            raise ValueError("give both ends of the strength's range, or neither")
        if self.low is not None and self.high is not None and not self.low <= self.high:
            raise ValueError(f"strength range must rise, got {self.low:g} to {self.high:g}")

    @property
    def unit(self) -> str:
        """Unit of the numbers: MPa, or N/mm for peel."""
        return KINDS[self.kind]

    def describe(self) -> str:
        """The strength in one plain line: kind, number, range, what it rests on."""
        most = "at most " if self.is_cap else ""
        range_ = "" if self.low is None else f" ({self.low:.3g} to {self.high:.3g})"
        return f"{self.kind} {most}{self.value:.3g} {self.unit}{range_}, {self.basis}"


@dataclass(frozen=True, kw_only=True)
class BondTest:
    """The maker's own test of a glue line: offcuts glued, left to set, and pulled off by a scale.

    Parameters
    ----------
    kind : {"pull", "shear", "peel"}
        Two blocks glued face to face and pulled straight apart; two strips lapped and pulled
        along; a strip peeled off.
    forces : sequence of float
        Force at which each test let go, or kept on peeling [N], above 0; one a test. For a weight
        that was hung, the heaviest that held.
    width : float
        Width of the glued strip or block [mm], above 0.
    length : float, optional
        Its glued length [mm], above 0; needed for pull and shear.
    angle : float, optional
        Peel: angle between the strip that is pulled and the glue line [rad], above 0 up to pi.
        A right angle: straight up. Half a turn: folded back, and also two loose strips pulled
        apart like a T.
    confidence : float
        Share of joints that the range shall hold [1], above 0 and below 1.

    Raises
    ------
    ValueError
        For numbers out of range, or a measure that the kind does not need or lacks.

    Notes
    -----
    Pull and shear: force over area. The mean shear of a lap hides its peak (`peak_factor`), so
    its strength is put low. Peel: ``F/w (1 - cos angle)``, the work for each area; the stretch of
    the strip, which adds to it, is left out. Several tests: their geometric mean, and a range for
    the next joint by Student's t on the logarithms, ``t s sqrt(1 + 1/n)``. One test tells nothing
    of the scatter. A quick pull tells nothing of a creep on a warm day: hang a weight for that.

    Examples
    --------
    Invented: three strips 25 mm wide, peeled straight up with a luggage scale.

    >>> test = BondTest(kind="peel", forces=(9.0, 11.0, 10.0), width=25, angle=np.pi / 2)
    >>> print(test.strength().describe())
    peel 0.399 N/mm (0.242 to 0.656), your own 3 tests
    """

    kind: Kind
    forces: Sequence[float] | tuple[float, ...]
    width: float
    length: float | None = None
    angle: float | None = None
    confidence: float = 0.95

    def __post_init__(self) -> None:
        one_of(self.kind, "kind of test", KINDS)
        forces = np.atleast_1d(positive(self.forces, "forces", "N"))
        if forces.ndim != 1:
            raise ValueError("forces must be one flat list, one number a test")
        object.__setattr__(self, "forces", tuple(float(f) for f in forces))
        object.__setattr__(self, "width", single(positive(self.width, "width"), "width"))
        needs, other = ("angle", "length") if self.kind == "peel" else ("length", "angle")
        if getattr(self, needs) is None or getattr(self, other) is not None:
            raise ValueError(f"a {self.kind} test needs its {needs}, and has no {other}")
        if self.length is not None:
            object.__setattr__(self, "length", single(positive(self.length, "length"), "length"))
        if self.angle is not None:
            object.__setattr__(self, "angle", _peel_angle(self.angle))
        share = single(fraction(self.confidence, "confidence"), "confidence")
        if not 0 < share < 1:
            raise ValueError(f"confidence must be above 0 and below 1, got {share:g}")

    def strength(self) -> Strength:
        """Strength with a range for the next joint, `confidence` sure; one test has no range."""
        per_unit = self._per_force()
        logs = [log(force * per_unit) for force in self.forces]
        count = len(logs)
        mean = sum(logs) / count
        basis = "your own test" if count == 1 else f"your own {count} tests"
        if count == 1:
            return Strength(kind=self.kind, value=exp(mean), low=None, high=None, basis=basis)
        from scipy.special import stdtrit

        scatter = sqrt(sum((x - mean) ** 2 for x in logs) / (count - 1))
        times = float(stdtrit(count - 1, (1 + self.confidence) / 2))
        half = times * scatter * sqrt(1 + 1 / count)
        return Strength(
            kind=self.kind,
            value=exp(mean),
            low=exp(mean - half),
            high=exp(mean + half),
            basis=basis,
        )

    def _per_force(self) -> float:
        """Strength for each newton."""
        if self.angle is not None:
            return (1 - cos(self.angle)) / self.width
        return 1 / (self.width * float(self.length))  # type: ignore[arg-type]  # checked above


def _peel_angle(angle: float) -> float:
    value = single(positive(angle, "peel angle", "rad"), "peel angle")
    if value > pi * (1 + 1e-12):
        raise ValueError(f"peel angle must be up to half a turn (3.1416 rad), got {value:g}")
    return value


def peel_force(*, demand: ArrayLike, width: ArrayLike, angle: float = pi / 2) -> Floats:
    """Force that asks as much of a peeled strip as a joint asks of its glue [N].

    ``F = demand w/(1 - cos angle)``. Hang it on a glued offcut: what holds it, holds the joint.
    """
    asked, wide = non_negative(demand, "demand", "N/mm"), positive(width, "width")
    together(demand=asked, width=wide)
    return np.asarray(asked * wide / (1 - cos(_peel_angle(angle))))


def foam_cap(kind: Kind, value: float, *, basis: str = "assumed") -> Strength:
    """The foam's own strength as the most that any glue line on it can carry.

    Parameters
    ----------
    kind : {"pull", "shear", "peel"}
        What it is held against.
    value : float
        Tear strength [N/mm] for peel, tensile or shear strength [MPa] for the others, above 0.
    basis : str
        What the number rests on.

    Notes
    -----
    Force over thickness of a tear test, N/mm, is the work for each area torn, or half of it for
    two legs pulled apart, so it is put low. Glue mostly lets go before the foam tears: a load
    above the cap cannot hold, one below it proves nothing.

    Examples
    --------
    >>> print(foam_cap("peel", 1.5).describe())
    peel at most 1.5 N/mm, foam's own tear strength (assumed)
    """
    basis = f"foam's own {'tear ' if kind == 'peel' else ''}strength ({basis})"
    return Strength(kind=kind, value=value, low=None, high=None, basis=basis, is_cap=True)


@dataclass(frozen=True, kw_only=True)
class BondCheck:
    """What a glue line is asked to carry against what it can.

    Parameters
    ----------
    demand : float
        In the unit of the strength; negative where the joint is pressed together.
    strength : Strength
        What it can carry.
    """

    demand: float
    strength: Strength

    def __post_init__(self) -> None:
        unit = made_of(self.strength, "strength", Strength).unit
        value = single(finite(self.demand, "demand", unit), "demand")
        object.__setattr__(self, "demand", value)

    @property
    def basis(self) -> str:
        """What the strength rests on."""
        return self.strength.basis

    @property
    def ratio(self) -> float:
        """Demand over strength [1]; above 1 it lets go."""
        return self.demand / self.strength.value

    @property
    def verdict(self) -> Verdict:
        """Whether it holds: sure of it, not sure, or sure that it does not.

        Not sure is a demand inside the range of the tests, or below a cap.
        """
        strength = self.strength
        low = strength.value if strength.low is None else strength.low
        high = strength.value if strength.high is None else strength.high
        if self.demand <= 0:
            return "holds"
        if self.demand > high:
            return "wants to lift"
        return "holds" if self.demand <= low and not strength.is_cap else "may lift"
