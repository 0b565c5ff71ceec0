"""Foam laws: Storåkers' hyperfoam, one or more terms, and a linear stand-in.

A law answers for one direction, the direction of pull. Stress is force over the area as cut
(nominal stress), stretch is length now over length as cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal, NamedTuple, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import Checked, finite, number, one_of, positive, shown, single

__all__ = ["WIDTHS", "Floats", "HyperFoam", "Law", "Linear", "Response", "Width", "a_law"]

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
    """What `settle` and the joints ask of any foam law; `FoamLaw` answers most of it."""

    @property
    def modulus(self) -> float:
        """Young's modulus at rest [MPa]."""

    def unchecked(self, stretch: Floats, width: Width) -> Response:
        """`response` without the checks, for loops that have made them already."""

    def response(self, stretch: ArrayLike, width: Width = "free") -> Response:
        """Stress, its slope, side stretch and its slope at once (they share the costly powers)."""

    def stress(self, stretch: ArrayLike, width: Width = "free") -> Floats:
        """Nominal stress in the direction of pull [MPa]."""

    def side_stretch(self, stretch: ArrayLike, width: Width = "free") -> Floats:
        """Stretch through the thickness (and across the width, where that is free) [1]."""

    def stable_range(self, width: Width = "free") -> tuple[float, float]:
        """Stretches around 1 between which pulling harder always takes more force."""


def a_law(value: object, name: str = "law") -> Law:
    """The value if it answers as a foam law does; TypeError if not."""
    if isinstance(value, type) or not hasattr(value, "unchecked"):
        said = f"{shown(value)} ({type(value).__name__})"
        raise TypeError(f"{name} must be a foam law such as HyperFoam, got {said}")
    return value  # type: ignore[return-value]  # a law is known by what it answers


class FoamLaw:
    """The plain questions of `Law`, answered from `unchecked`; shared by all laws."""

    def unchecked(self, stretch: Floats, width: Width) -> Response:
        raise NotImplementedError

    def response(self, stretch: ArrayLike, width: Width = "free") -> Response:
        one_of(width, "width", WIDTHS)
        return self.unchecked(positive(stretch, "stretch", "1"), width)

    def stress(self, stretch: ArrayLike, width: Width = "free") -> Floats:
        return self.response(stretch, width).stress

    def side_stretch(self, stretch: ArrayLike, width: Width = "free") -> Floats:
        return self.response(stretch, width).side

    def stable_range(self, width: Width = "free") -> tuple[float, float]:
        return _stable_range(self, one_of(width, "width", WIDTHS))


@cache
def _stable_range(law: FoamLaw, width: Width) -> tuple[float, float]:
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


def _tangent(law: FoamLaw, stretch: Floats, width: Width) -> Floats:
    """Tangents [MPa]; NaN where the law has no answer."""
    try:
        return law.unchecked(stretch, width).tangent
    except ArithmeticError:
        if stretch.size == 1:
            return np.full(1, np.nan)
        return np.concatenate([_tangent(law, s, width) for s in np.split(stretch, stretch.size)])


def _poisson(value: object, name: str) -> float:
    """A side strain over strain of a foam, from 0 to below 0.5."""
    ratio = single(finite(value, name, "1"), name)
    if not 0 <= ratio < 0.5:
        raise ValueError(f"{name} must be from 0 to below 0.5, got {ratio:g}")
    return ratio


@dataclass(frozen=True)
class HyperFoam(FoamLaw):
    r"""Storåkers' law for highly compressible foam, one or more terms.

    Parameters
    ----------
    mu : float or sequence
        Shear moduli of the terms [MPa]; their sum is above 0.
    alpha : float or sequence
        Exponents [1], not 0. About 2 gives nearly equal curves in tension and compression; a
        large one gives a foam stiffer in tension.
    poisson : float or sequence
        Poisson's ratio of each term [1], 0 to below 0.5.

    Raises
    ------
    ValueError
        For values out of range or sequences of unequal length.

    Notes
    -----
    .. math::
        W = \sum 2\mu/\alpha^2\,[\lambda_1^\alpha + \lambda_2^\alpha + \lambda_3^\alpha - 3
            + (J^{-\alpha\beta} - 1)/\beta],\qquad \beta = \nu/(1 - 2\nu)

    One term, free sides: ``P = 2 mu/(alpha s) (s**alpha - s**(-alpha nu))``; held width has
    ``nu/(1 - nu)`` in the place of ``nu``. Terms with different ratios need the side stretch
    from one equation; Newton solves it for whole arrays. Elastic: no set, no creep, no rate.

    Examples
    --------
    >>> law = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
    >>> law.modulus
    1.5
    >>> print(law.stress([0.8, 1.1, 1.2]).round(5))
    [-0.35853  0.13993  0.26356]

    References
    ----------
    .. [1] B. Storåkers, On material representation and constitutive branching in finite
       compressible elasticity, J. Mech. Phys. Solids 34 (1986) 125-145.
    """

    mu: Any
    alpha: Any
    poisson: Any

    @classmethod
    def from_modulus(cls, modulus: float, *, alpha: float, poisson: float) -> HyperFoam:
        """One term with this Young's modulus at rest [MPa]: ``mu = E/(2(1 + nu))``."""
        stiff = single(positive(modulus, "modulus", "MPa"), "modulus")
        ratio = _poisson(poisson, "poisson")
        return cls(mu=stiff / (2 * (1 + ratio)), alpha=alpha, poisson=ratio)

    def __post_init__(self) -> None:
        sizes = {}
        for name, unit in (("mu", "MPa"), ("alpha", "1"), ("poisson", "1")):
            values = np.atleast_1d(finite(getattr(self, name), name, unit))
            if values.ndim != 1:
                raise ValueError(f"{name} must be one number or one flat list, a number a term")
            sizes[name] = values.size
            object.__setattr__(self, name, tuple(values.tolist()))
        if len(set(sizes.values())) != 1:
            raise ValueError(f"mu, alpha and poisson need one value for each term, got {sizes}")
        for i, (exponent, ratio) in enumerate(zip(self.alpha, self.poisson, strict=True), start=1):
            if exponent == 0:
                raise ValueError(f"alpha of term {i} must not be 0")
            _poisson(ratio, f"poisson of term {i}")
        if sum(self.mu) <= 0:
            raise ValueError(f"the sum of mu must be above 0 MPa, got {sum(self.mu)}")
        if sum(m2 * (1 / 3 + beta) for m2, _, beta in self._terms) <= 0:
            raise ValueError(
                "mu and poisson together give a foam that swells under pressure (bulk modulus not "
                "above 0); give terms of negative mu a smaller ratio"
            )

    @property
    def _terms(self) -> tuple[tuple[float, float, float], ...]:
        """Each term as 2 mu, alpha, beta."""
        return tuple(
            (2 * m, a, v / (1 - 2 * v))
            for m, a, v in zip(self.mu, self.alpha, self.poisson, strict=True)
        )

    def _shear_and_lame(self) -> tuple[float, float]:
        """Lamé's two constants at rest [MPa]."""
        return sum(self.mu), sum(m2 * beta for m2, _, beta in self._terms)

    @property
    def modulus(self) -> float:
        """Young's modulus at rest [MPa]."""
        shear, lame = self._shear_and_lame()
        return shear * (3 * lame + 2 * shear) / (lame + shear)

    def unchecked(self, stretch: Floats, width: Width) -> Response:
        """`response` without the checks."""
        sides = 2 if width == "free" else 1
        log = np.log(stretch)
        y, slope = self._log_side(log, sides)
        volume = log + sides * y
        force, growth = np.zeros_like(log), np.zeros_like(log)
        # In-place steps below: on large arrays the time goes into memory, not into powers.
        for m2, a, beta in self._terms:
            along, bulk = np.exp(a * log), np.exp((-a * beta) * volume)
            difference = along - bulk
            difference *= m2 / a
            force += difference
            bulk *= beta * (1 + sides * slope)
            bulk += along
            bulk *= m2
            growth += bulk
        growth -= force
        growth /= stretch
        growth /= stretch
        force /= stretch
        side = np.exp(y)
        return Response(force, growth, side, side * slope / stretch)

    def _log_side(self, log: Floats, sides: int) -> tuple[Floats, Floats | float]:
        """Logarithm of the side stretch, and its slope over the logarithm of the stretch."""
        if len(set(self.poisson)) == 1:
            ratio = self.poisson[0] if sides == 2 else self.poisson[0] / (1 - self.poisson[0])
            return -ratio * log, -ratio
        shear, lame = self._shear_and_lame()
        y = -lame / (2 * shear + sides * lame) * log  # exact for small strain
        for _ in range(60):
            pull, stiffness, drive = self._side_balance(log, y, sides)
            step = np.clip(pull / stiffness, -0.5, 0.5)
            y = y - step
            if not (np.abs(step) >= 1e-13).any():  # an entry that is NaN stays NaN
                _, stiffness, drive = self._side_balance(log, y, sides)
                return y, -drive / stiffness
        worst = int(np.nanargmax(np.abs(step)))
        raise ArithmeticError(
            f"the side stretch of {self} was not found at stretch {np.exp(log.flat[worst]):.4g}; "
            "use a law whose terms all have mu above 0"
        )

    def _side_balance(self, log: Floats, y: Floats, sides: int) -> tuple[Floats, Floats, Floats]:
        """Side stress times side stretch, its slope over y, and its slope over log stretch."""
        pull = stiffness = drive = np.zeros_like(log)
        for m2, a, beta in self._terms:
            across, bulk = np.exp(a * y), np.exp(-a * beta * (log + sides * y))
            pull = pull + (m2 / a) * (across - bulk)
            stiffness = stiffness + m2 * (across + sides * beta * bulk)
            drive = drive + m2 * beta * bulk
        return pull, stiffness, drive


@dataclass(frozen=True)
class Linear(FoamLaw, Checked):
    """Stress in proportion to strain, the same both ways: the law of hand calculation.

    Parameters
    ----------
    modulus : float
        Young's modulus [MPa], above 0.
    poisson : float, optional
        Side strain over strain [1], 0 to below 0.5. At 0 the thickness never changes.

    Notes
    -----
    ``P = E (s - 1)``; held width: ``E/(1 - nu**2)``. Good for comparing with textbooks. Real
    foam leaves this line at a few percent.

    Examples
    --------
    >>> print(f"{Linear(1.5).stress(1.1):.3f}")
    0.150
    """

    modulus: Annotated[float, number(positive, "MPa")]
    poisson: Annotated[float, _poisson] = 0.0

    def unchecked(self, stretch: Floats, width: Width) -> Response:
        """`response` without the checks."""
        stiffness, ratio = self.modulus, self.poisson
        if width == "held":
            stiffness, ratio = stiffness / (1 - ratio**2), ratio / (1 - ratio)
        strain, flat = stretch - 1, np.ones_like(stretch)
        return Response(stiffness * strain, stiffness * flat, 1 - ratio * strain, -ratio * flat)
