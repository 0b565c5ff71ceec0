"""Foam laws: Storåkers' hyperfoam, one or more terms, and a linear stand-in.

A law answers for one direction, the direction of pull. Stress is force over the area as cut
(nominal stress), stretch is length now over length as cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamcalc.foam.answers import Answers, Floats, Law, Response, Width
from foamcalc.guards import finite, positive, single

__all__ = ["HyperFoam", "Law", "Linear"]


@dataclass(frozen=True)
class HyperFoam(Answers):
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

    mu: float | Sequence[float] | tuple[float, ...]
    alpha: float | Sequence[float] | tuple[float, ...]
    poisson: float | Sequence[float] | tuple[float, ...]

    @classmethod
    def from_modulus(cls, modulus: float, *, alpha: float, poisson: float) -> HyperFoam:
        """One term with this Young's modulus at rest [MPa]: ``mu = E/(2(1 + nu))``."""
        stiff = single(positive(modulus, "modulus", "MPa"), "modulus")
        ratio = single(finite(poisson, "poisson", "1"), "poisson")
        if not 0 <= ratio < 0.5:
            raise ValueError(f"poisson must be from 0 to below 0.5, got {ratio:g}")
        return cls(mu=stiff / (2 * (1 + ratio)), alpha=alpha, poisson=ratio)

    def __post_init__(self) -> None:
        sizes = {}
        for name in ("mu", "alpha", "poisson"):
            values = np.atleast_1d(
                finite(getattr(self, name), name, "MPa" if name == "mu" else "1")
            )
            if values.ndim != 1:
                raise ValueError(f"{name} must be one number or one flat list, a number a term")
            sizes[name] = values.size
            object.__setattr__(self, name, tuple(float(v) for v in values))
        if len(set(sizes.values())) != 1:
            raise ValueError(f"mu, alpha and poisson need one value for each term, got {sizes}")
        for i, (a, v) in enumerate(zip(self._alpha, self._poisson, strict=True)):
            if a == 0:
                raise ValueError(f"alpha of term {i + 1} must not be 0")
            if not 0 <= v < 0.5:
                raise ValueError(f"poisson of term {i + 1} must be from 0 to below 0.5, got {v}")
        if sum(self._mu) <= 0:
            raise ValueError(f"the sum of mu must be above 0 MPa, got {sum(self._mu)}")
        if sum(m2 * (1 / 3 + beta) for m2, _, beta in self._terms) <= 0:
            raise ValueError(
                "mu and poisson together give a foam that swells under pressure (bulk modulus not "
                "above 0); give terms of negative mu a smaller ratio"
            )

    @property
    def _mu(self) -> tuple[float, ...]:
        return self.mu  # type: ignore[return-value]

    @property
    def _alpha(self) -> tuple[float, ...]:
        return self.alpha  # type: ignore[return-value]

    @property
    def _poisson(self) -> tuple[float, ...]:
        return self.poisson  # type: ignore[return-value]

    @property
    def _terms(self) -> tuple[tuple[float, float, float], ...]:
        """Each term as 2 mu, alpha, beta."""
        return tuple(
            (2 * m, a, v / (1 - 2 * v))
            for m, a, v in zip(self._mu, self._alpha, self._poisson, strict=True)
        )

    @property
    def modulus(self) -> float:
        """Young's modulus at rest [MPa]."""
        shear = sum(self._mu)
        lame = sum(m2 * beta for m2, _, beta in self._terms)
        return shear * (3 * lame + 2 * shear) / (lame + shear)

    def unchecked(self, stretch: Floats, width: Width) -> Response:
        """`response` without the checks, for loops that have made them already."""
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
        if len(set(self._poisson)) == 1:
            ratio = self._poisson[0] if sides == 2 else self._poisson[0] / (1 - self._poisson[0])
            return -ratio * log, -ratio
        y = -self._side_ratio(sides) * log
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

    def _side_ratio(self, sides: int) -> float:
        """Side strain over strain at rest."""
        shear = sum(self._mu)
        lame = sum(m2 * beta for m2, _, beta in self._terms)
        return lame / (2 * shear + sides * lame)


@dataclass(frozen=True)
class Linear(Answers):
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

    modulus: float
    poisson: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(
            self, "modulus", single(positive(self.modulus, "modulus", "MPa"), "modulus")
        )
        ratio = single(finite(self.poisson, "poisson", "1"), "poisson")
        object.__setattr__(self, "poisson", ratio)
        if not 0 <= ratio < 0.5:
            raise ValueError(f"poisson must be from 0 to below 0.5, got {self.poisson}")

    def unchecked(self, stretch: Floats, width: Width) -> Response:
        """`response` without the checks, for loops that have made them already."""
        v = self.poisson
        stiffness = self.modulus if width == "free" else self.modulus / (1 - v**2)
        ratio = v if width == "free" else v / (1 - v)
        strain = stretch - 1
        flat = np.ones_like(stretch)
        return Response(stiffness * strain, stiffness * flat, 1 - ratio * strain, -ratio * flat)
