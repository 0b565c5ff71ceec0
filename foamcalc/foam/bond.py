"""What a glue line must carry at the end of a stretched overlay, and what it can carry."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, exp, log, pi, sqrt
from typing import Annotated, Any, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.foam.law import WIDTHS, Floats, Law, Width, a_law
from foamcalc.guards import (
    Above0,
    Checked,
    finite,
    fraction,
    non_negative,
    number,
    one_of,
    positive,
    single,
    together,
)

_SOFTNESS = (0.0, 0.03, 0.10, 0.25, 0.50, 1.00, 2.00)
"""Modulus of the overlay over that of the base; one row of each table below."""

_THICKNESS_RATIOS = (0.25, 0.5, 1.0, 2.0, 4.0, 8.0)
"""Thickness of the base over that of the overlay; one column."""

_FIGURES = (
    (  # shear
        (0.797, 0.797, 0.797, 0.797, 0.797, 0.797),
        (0.779, 0.763, 0.748, 0.740, 0.738, 0.737),
        (0.741, 0.698, 0.658, 0.638, 0.632, 0.631),
        (0.680, 0.602, 0.535, 0.502, 0.492, 0.490),
        (0.611, 0.507, 0.423, 0.383, 0.370, 0.368),
        (0.525, 0.407, 0.318, 0.275, 0.261, 0.259),
        (0.435, 0.318, 0.233, 0.192, 0.178, 0.174),
    ),
    (  # opening
        (0.567, 0.567, 0.567, 0.567, 0.567, 0.567),
        (0.563, 0.555, 0.541, 0.531, 0.528, 0.527),
        (0.553, 0.530, 0.491, 0.464, 0.454, 0.453),
        (0.531, 0.484, 0.413, 0.364, 0.347, 0.345),
        (0.499, 0.425, 0.329, 0.267, 0.245, 0.241),
        (0.446, 0.347, 0.237, 0.169, 0.145, 0.141),
        (0.372, 0.261, 0.152, 0.088, 0.066, 0.063),
    ),
    (  # bend_shear
        (-1.590, -1.590, -1.590, -1.590, -1.590, -1.590),
        (-1.558, -1.544, -1.537, -1.537, -1.537, -1.537),
        (-1.494, -1.458, -1.442, -1.442, -1.443, -1.443),
        (-1.391, -1.330, -1.306, -1.307, -1.310, -1.310),
        (-1.271, -1.196, -1.170, -1.173, -1.176, -1.177),
        (-1.116, -1.037, -1.014, -1.017, -1.021, -1.022),
        (-0.940, -0.863, -0.841, -0.844, -0.848, -0.848),
    ),
    (  # bend_opening
        (1.333, 1.333, 1.333, 1.333, 1.333, 1.333),
        (1.330, 1.329, 1.330, 1.330, 1.329, 1.329),
        (1.325, 1.322, 1.324, 1.321, 1.319, 1.319),
        (1.317, 1.309, 1.306, 1.298, 1.294, 1.294),
        (1.306, 1.288, 1.273, 1.259, 1.253, 1.252),
        (1.286, 1.246, 1.212, 1.190, 1.182, 1.181),
        (1.246, 1.173, 1.115, 1.085, 1.076, 1.075),
    ),
    (  # reach
        (2.489, 2.489, 2.489, 2.489, 2.489, 2.489),
        (2.527, 2.561, 2.623, 2.719, 2.819, 2.855),
        (2.594, 2.687, 2.885, 3.164, 3.526, 3.723),
        (2.713, 2.942, 3.338, 3.930, 4.763, 5.613),
        (2.903, 3.287, 3.951, 4.940, 6.346, 8.150),
        (3.232, 3.859, 4.899, 6.487, 8.695, 11.705),
        (3.784, 4.775, 6.322, 8.693, 12.143, 16.703),
    ),
)
"""One table for each field of `EndFactors`. The first row is a base that does not give.

Derived: our own nine-node elements, plane, small strain, side strain over strain 1/3, graded
towards the corner; halving the mesh moves the figures by under 0.1 %. The base is held at its
underside.
"""

_LOGS, _SIGNS = np.log(np.abs(_FIGURES)), np.sign(np.array(_FIGURES)[:, 0, 0])
_LEAST_RADIUS = 3.0
"""Radius of a bend over the thickness, from which the figures hold (derived)."""


class EndFactors(NamedTuple):
    """What an end carries, as multiples; the first two of the stress of the overlay's stretch.

    `bend_shear` and `bend_opening` are multiples of ``E t/(12 R)``, `reach` of the thickness.
    """

    shear: Floats
    opening: Floats
    bend_shear: Floats
    bend_opening: Floats
    reach: Floats


def end_factors(*, softness: ArrayLike = 0.0, thickness_ratio: ArrayLike = 1.0) -> EndFactors:
    """Multiples for the end of an overlay, by how far the base under it gives.

    Derived: our own finite elements, small strain, plane, side strain over strain 1/3 (a wide
    sheet of ratio 0.25); the base is held at its underside, as on a form. Shear and opening are
    means over the last half thickness of the overlay; they grow without end at the very corner.
    Reach is where 90 % of the pull has built up. Between the figures: straight lines for their
    logarithms, over the root of `softness` and the logarithm of `thickness_ratio`; within 3 % of
    further elements. With a side strain of 0.1 of the strain shear and opening are up to 7 % more
    and the reach 10 % less; the default foam pulled 20 % reaches 18 % farther (`End.reach` adds
    it). A base that is let go yields, and its ends carry less.
    """
    soft = non_negative(softness, "softness", "1")
    ratio = positive(thickness_ratio, "thickness ratio", "1")
    for value, name, low, high in (
        (soft, "softness", _SOFTNESS[0], _SOFTNESS[-1]),
        (ratio, "thickness ratio", _THICKNESS_RATIOS[0], _THICKNESS_RATIOS[-1]),
    ):
        bad = value[(value < low) | (value > high)]
        if bad.size:
            raise ValueError(
                f"{name} must be from {low:g} to {high:g}, got {bad.flat[0]:g}; outside nothing "
                "is known. A softness of 0 (a base that does not give) puts the load too high"
            )
    together(softness=soft, thickness_ratio=ratio)
    soft, ratio = np.broadcast_arrays(soft, ratio)
    row, across = _between(np.sqrt(_SOFTNESS), np.sqrt(soft))
    column, along = _between(np.log(_THICKNESS_RATIOS), np.log(ratio))
    near = _LOGS[:, row, column] * (1 - along) + _LOGS[:, row, column + 1] * along
    far = _LOGS[:, row + 1, column] * (1 - along) + _LOGS[:, row + 1, column + 1] * along
    sizes = np.exp(near * (1 - across) + far * across)
    return EndFactors(*(np.asarray(s * x) for s, x in zip(_SIGNS, sizes, strict=True)))


def _between(nodes: Floats, value: Floats) -> tuple[NDArray[np.intp], Floats]:
    """Number of the node below, and how far on to the next one."""
    below = np.clip(np.searchsorted(nodes, value, side="right") - 1, 0, nodes.size - 2)
    return below, (value - nodes[below]) / (nodes[below + 1] - nodes[below])


def end_loads(
    *,
    stress: ArrayLike,
    modulus: ArrayLike,
    thickness: ArrayLike,
    curvature: ArrayLike = 0.0,
    softness: ArrayLike = 0.0,
    thickness_ratio: ArrayLike = 1.0,
) -> tuple[Floats, Floats]:
    """Shear of the glue at an overlay's end, and the stress that pulls it off its base [MPa].

    Means over the last half thickness; on a base that does not give ``0.80 stress - 1.59 E t/(12
    R)`` and ``0.57 stress + 1.33 E t/(12 R)``. The overlay's own wish to spring flat opens it, and
    takes away from the shear, for it squeezes the face that is glued. Radius from 3 t up.
    """
    factors = end_factors(softness=softness, thickness_ratio=thickness_ratio)
    pull = finite(stress, "stress", "MPa")
    stiff, thick = positive(modulus, "modulus", "MPa"), positive(thickness, "thickness")
    curved = finite(curvature, "curvature", "1/mm")
    together(stress=pull, modulus=stiff, thickness=thick, curvature=curved, base=factors.shear)
    tight = np.abs(thick * curved)
    if (tight > (1 + 1e-9) / _LEAST_RADIUS).any():
        raise ValueError(
            f"an overlay must be bent to a radius of {_LEAST_RADIUS:g} times its thickness at "
            f"least, got {1 / float(tight.max()):.3g} times; nothing is known of its ends tighter "
            "than that: form it warm first"
        )
    bend = stiff * thick * curved / 12
    return (
        np.asarray(factors.shear * pull + factors.bend_shear * bend),
        np.asarray(factors.opening * pull + factors.bend_opening * bend),
    )


def end_reach(
    *, thickness: ArrayLike, softness: ArrayLike = 0.0, thickness_ratio: ArrayLike = 1.0
) -> Floats:
    """Length from the end over which 90 % of an overlay's pull builds up [mm]."""
    factors = end_factors(softness=softness, thickness_ratio=thickness_ratio)
    thick = positive(thickness, "thickness")
    together(thickness=thick, base=factors.reach)
    return np.asarray(factors.reach * thick)


def hollow_pull(*, stress: ArrayLike, thickness: ArrayLike, curvature: ArrayLike) -> Floats:
    """Stress that lifts a stretched overlay off a hollow, all along it [MPa].

    ``-stress t/R``, from the balance of a taut strip. On a convex base it is negative: the
    overlay hugs its base.
    """
    pull, bend = finite(stress, "stress", "MPa"), finite(curvature, "curvature", "1/mm")
    thick = positive(thickness, "thickness")
    together(stress=pull, thickness=thick, curvature=bend)
    return np.asarray(-pull * thick * bend)


def stored_energy(law: Law, stretch: ArrayLike, width: Width = "free") -> Floats:
    """Work that stretching took, for each volume as cut [MPa, that is N mm per mm3].

    Parameters
    ----------
    law : Law
        Foam law.
    stretch : array_like
        Length now over length as cut [1], above 0.
    width : {"free", "held"}
        Whether the sides may draw in.

    Examples
    --------
    >>> from foamcalc.foam.law import Linear
    >>> print(f"{stored_energy(Linear(1.5), 1.1):.4f} MPa")
    0.0075 MPa
    """
    one_of(width, "width", WIDTHS)
    points, weights = np.polynomial.legendre.leggauss(12)
    reach = (positive(stretch, "stretch", "1") - 1.0)[..., None]
    stress = a_law(law).stress(1.0 + reach * (points + 1.0) / 2.0, width)
    return np.asarray((stress * weights).sum(-1) * reach[..., 0] / 2.0)


def peel_demand(
    *,
    energy: ArrayLike,
    modulus: ArrayLike,
    thickness: ArrayLike,
    curvature: ArrayLike = 0.0,
    area: ArrayLike = 1.0,
) -> Floats:
    """What an overlay gives up for each area that comes off its base [N/mm].

    ``t energy/area + E t**3/(24 R**2)``: stretch and bend both come free behind the line where the
    overlay lets go, and are counted for each area that is glued. The first part is exact for a
    base that is held, of any foam, once the line is some thicknesses from the end (the first start
    of it asks for less); the second is for small strain, off by about the stretch of itself.
    """
    stored = non_negative(energy, "energy", "MPa")
    thick, stiff = positive(thickness, "thickness"), positive(modulus, "modulus", "MPa")
    bend, wide = finite(curvature, "curvature", "1/mm"), positive(area, "area", "1")
    together(energy=stored, modulus=stiff, thickness=thick, curvature=bend, area=wide)
    return np.asarray(thick * stored / wide + stiff * thick**3 * bend**2 / 24)


# What it can carry ------------------------------------------------------------------------------

Kind = Literal["pull", "shear", "peel"]
Verdict = Literal["holds", "may lift", "wants to lift"]

KINDS: dict[Kind, str] = {"pull": "MPa", "shear": "MPa", "peel": "N/mm"}
"""Kinds of test, with the unit of what they find: pulled straight apart, slid along, peeled."""


@dataclass(frozen=True, kw_only=True)
class Strength(Checked):
    """What a glue line can carry, and what that rests on.

    `low` and `high` hold the next joint with the confidence of the test; None where nothing is
    known of the scatter. `is_cap` says that it can carry no more than this, and perhaps less.
    """

    kind: Kind
    value: float
    low: float | None = None
    high: float | None = None
    basis: str
    is_cap: bool = False

    def _made(self) -> None:
        for name in ("value", "low", "high"):
            given, said = getattr(self, name), f"strength {name}"
            if given is not None or name == "value":
                self._put(name, single(positive(given, said, self.unit), said))
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


def _peel_angle(angle: object, _: str) -> float:
    value = single(positive(angle, "peel angle", "rad"), "peel angle")
    if value > pi * (1 + 1e-12):
        raise ValueError(f"peel angle must be up to half a turn (3.1416 rad), got {value:g}")
    return value


@dataclass(frozen=True, kw_only=True)
class BondTest(Checked):
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
    forces: Any
    width: Above0
    length: Above0 | None = None
    angle: Annotated[float, _peel_angle] | None = None
    confidence: Annotated[float, number(fraction)] = 0.95

    def _made(self) -> None:
        forces = np.atleast_1d(positive(self.forces, "forces", "N"))
        if forces.ndim != 1:
            raise ValueError("forces must be one flat list, one number a test")
        self._put("forces", tuple(forces.tolist()))
        needs, other = ("angle", "length") if self.kind == "peel" else ("length", "angle")
        if getattr(self, needs) is None or getattr(self, other) is not None:
            raise ValueError(f"a {self.kind} test needs its {needs}, and has no {other}")
        if not 0 < self.confidence < 1:
            raise ValueError(f"confidence must be above 0 and below 1, got {self.confidence:g}")

    def strength(self) -> Strength:
        """Strength with a range for the next joint, `confidence` sure; one test has no range."""
        if self.angle is not None:
            per_force = (1 - cos(self.angle)) / self.width
        else:
            per_force = 1 / (self.width * float(self.length or 0))  # a length was asked for
        logs = [log(force * per_force) for force in self.forces]
        count = len(logs)
        mean = sum(logs) / count
        if count == 1:
            return Strength(kind=self.kind, value=exp(mean), basis="your own test")
        from scipy.special import stdtrit

        scatter = sqrt(sum((x - mean) ** 2 for x in logs) / (count - 1))
        times = float(stdtrit(count - 1, (1 + self.confidence) / 2))
        half = times * scatter * sqrt(1 + 1 / count)
        return Strength(
            kind=self.kind,
            value=exp(mean),
            low=exp(mean - half),
            high=exp(mean + half),
            basis=f"your own {count} tests",
        )


def peel_force(*, demand: ArrayLike, width: ArrayLike, angle: float = pi / 2) -> Floats:
    """Force that asks as much of a peeled strip as a joint asks of its glue [N].

    ``F = demand w/(1 - cos angle)``. Hang it on a glued offcut: what holds it, holds the joint.
    """
    asked, wide = non_negative(demand, "demand", "N/mm"), positive(width, "width")
    together(demand=asked, width=wide)
    return np.asarray(asked * wide / (1 - cos(_peel_angle(angle, "angle"))))


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
    return Strength(kind=kind, value=value, basis=basis, is_cap=True)


@dataclass(frozen=True, kw_only=True)
class BondCheck(Checked):
    """What a glue line is asked to carry, in the unit of its strength, against what it can.

    The demand is negative where the joint is pressed together.
    """

    demand: float
    strength: Strength

    def _made(self) -> None:
        value = finite(self.demand, "demand", self.strength.unit)
        self._put("demand", single(value, "demand"))

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


# Laps -------------------------------------------------------------------------------------------


def glue_stiffness(
    *,
    shear_modulus: float,
    glue_thickness: float,
    foam_shear_modulus: float,
    foam_thickness: float,
) -> float:
    """Shear stress of a lap's glue line for each millimetre that the two sheets slip [MPa/mm].

    ``1/(g/G + 2 t/(3 G_foam))``. The second part is the sheets' own slip: shear falls from its
    full value at the glue to nothing at the free face, so that the middle of a sheet lags by
    ``stress t/(3 G)``. On foam with a thin glue line it is nearly all of it.
    """
    return 1 / (glue_thickness / shear_modulus + 2 * foam_thickness / (3 * foam_shear_modulus))


def lap_number(*, overlap: float, stiffness: float, modulus: float, thickness: float) -> float:
    """Volkersen's number of a lap of two equal sheets [1]: how uneven its shear is.

    ``w = L sqrt(2 k/(E t))``, from ``d2(shear)/dx2 = 2 k/(E t) shear``. Sheets are taken to stay
    straight: the bend of a single lap, and the peel that it brings, is left out.
    """
    return overlap * sqrt(2 * stiffness / (modulus * thickness))


def peak_factor(number: ArrayLike) -> Floats:
    """Largest over mean shear of a lap of two equal sheets [1].

    ``(w/2) coth(w/2)``, at both ends of the lap; 1 for w = 0.

    .. [1] O. Volkersen, Die Nietkraftverteilung in zugbeanspruchten Nietverbindungen mit
       konstanten Laschenquerschnitten, Luftfahrtforschung 15 (1938) 41-47. Not opened; the
       formula follows from the equation in `lap_number`.
    """
    half = non_negative(number, "number", "1") / 2.0
    safe = np.where(half > 0, half, 1.0)
    return np.asarray(np.where(half > 0, safe / np.tanh(safe), 1.0))


def lap_profile(number: float, place: ArrayLike) -> Floats:
    """Shear over mean shear along a lap of two equal sheets [1]: ``(w/2) cosh(w x)/sinh(w/2)``."""
    x = np.abs(finite(place, "place", "1"))
    if (x > 0.5).any():
        raise ValueError(f"place must be from -0.5 to 0.5 of the lap, got {np.atleast_1d(place)}")
    # cosh over sinh by falling powers, so that long laps do not run out of floats
    rise = np.exp(-number * (0.5 - x)) * (1 + np.exp(-2 * number * x))
    return np.asarray(number / 2.0 * rise / -np.expm1(-number))


def lap_shear(*, pull: float, overlap: float, number: float) -> Floats:
    """Largest shear stress of a lap of two equal sheets [MPa]."""
    return pull / overlap * peak_factor(number)
