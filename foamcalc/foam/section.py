"""Layers through the thickness: what a glued section does when it is let go.

`settle` finds the balance with Newton's method on Gauss points, for whole arrays of cases at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Annotated, Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.foam.law import WIDTHS, Floats, Law, Response, Width, a_law
from foamcalc.guards import Checked, finite, fraction, one_of, positive, single

__all__ = ["Layer", "NoEquilibrium", "Settled", "settle"]

_GAUSS = np.polynomial.legendre.leggauss(5)
_NODES, _WEIGHTS = (_GAUSS[0] + 1) / 2, _GAUSS[1] / 2
_POWERS = np.arange(_NODES.size)
_TO_POWERS = np.linalg.inv(np.vander(_NODES, increasing=True))

_TOLERANCE = 1e-11
_MOST_STEPS = 40
_LONGEST_STEP = 0.3
"""Most change of any stretch in one step, as a share of it."""


class NoEquilibrium(ArithmeticError):
    """No turn and length were found at which the section is at rest."""


def _of_layer(value: object, name: str) -> Floats:
    return positive(value, f"layer {name.replace(' ', '_')}")


def _law_of_layer(value: object, _: str) -> Law:
    return a_law(value, "layer law")


@dataclass(frozen=True, kw_only=True, eq=False)
class Layer(Checked):
    """One layer of a section, by its thickness and the lengths it would have on its own.

    Parameters
    ----------
    thickness : array_like
        Thickness as cut [mm], above 0.
    law : Law
        Foam law, for example `HyperFoam`.
    inner_length : array_like
        Natural length at the inner face [mm], above 0: what this face measures unglued.
    outer_length : array_like, optional
        Natural length at the outer face [mm]. Left out, it equals `inner_length` (flat when cut).
    width : array_like, optional
        Width [mm], or as a share of the others; only the proportion between layers matters for
        the shape.

    Raises
    ------
    ValueError
        For numbers that are not finite or not above 0.

    Examples
    --------
    A base 10 mm thick, formed to an inside radius of 50 mm over half a turn:

    >>> from foamcalc.foam.law import Linear
    >>> base = Layer(thickness=10, law=Linear(1.5), inner_length=50 * 3.14159,
    ...              outer_length=60 * 3.14159)
    """

    thickness: Annotated[Any, _of_layer]
    law: Annotated[Law, _law_of_layer]
    inner_length: Annotated[Any, _of_layer]
    outer_length: Annotated[Any, _of_layer] = None
    width: Annotated[Any, _of_layer] = 1.0

    def __post_init__(self) -> None:
        if self.outer_length is None:
            self._put("outer_length", self.inner_length)
        super().__post_init__()

    def relaxed(self, *, inner_length: Any, outer_length: Any, share: float) -> Layer:
        """The layer after a share of its strain has been forgotten while it was held.

        Natural lengths creep towards the present ones, ``n -> n**(1 - share) * l**share``, at both
        faces; between them they are taken as linear. How large the share is, a test strip of the
        foam tells.
        """
        kept = fraction(share, "share")
        now = {"inner_length": inner_length, "outer_length": outer_length}
        crept = {
            name: getattr(self, name) ** (1 - kept) * positive(value, name) ** kept
            for name, value in now.items()
        }
        return replace(self, **crept)


@dataclass(frozen=True, kw_only=True, eq=False)
class Settled:
    """A section at rest; arrays have the shape of the cases, lists one entry a layer.

    Where cases of an array have no equilibrium, the arrays are masked there and `failed` is
    true; ask `failed.any()`.
    """

    layers: tuple[Layer, ...]
    inner_length: Floats
    """Length at the inner face [mm]."""
    turn: Floats
    """Turn [rad], positive where the last layer is outside."""
    moment: Floats
    """Moment about the inner face that holds this turn [N mm per mm width, or N mm with widths
    in mm]."""
    pull: Floats
    """Net pull over the section [N per mm width, or N]; 0 when at rest."""
    stiffness: Floats
    """Slopes of pull over inner length [N/mm], of pull over turn (and of moment over inner
    length) [N], of moment over turn [N mm]; first axis: these three."""
    force: Floats
    """Pull in each layer per mm of its width [N/mm], first axis: layer.

    With thinning the sum over a free section is zero within a part in a thousand only.
    """
    inner_strain: Floats
    """Strain at the inner face of each layer [1], first axis: layer."""
    outer_strain: Floats
    """Strain at the outer face of each layer [1], first axis: layer."""
    thickness: Floats
    """Thickness of each layer now [mm], first axis: layer."""
    failed: NDArray[np.bool_]
    """Which cases have no equilibrium."""
    starts: Floats = field(repr=False)
    """Length at each layer's inner face [mm], first axis: layer."""
    spreads: Floats = field(repr=False)
    """Slope of length over the fraction of thickness [mm]; axes: layer, Gauss point, cases."""

    @property
    def inner_radius(self) -> Floats:
        """Radius of the inner face [mm]: infinite when flat, negative when bent the other way."""
        with np.errstate(divide="ignore"):
            return np.divide(self.inner_length, self.turn)

    def length(self, layer: int = 0, fibre: float = 0.5) -> Floats:
        """Length along the layer at a height given as a fraction of its thickness [mm]."""
        if layer not in range(len(self.layers)):
            raise ValueError(f"layer must be from 0 to {len(self.layers) - 1}, got {layer!r}")
        part = _weights_upto(single(fraction(fibre, "fibre"), "fibre"))
        spread = self.spreads[layer]
        length: Floats = np.array(self.starts[layer], subok=True, copy=True)
        for weight, slope in zip(part, spread, strict=True):
            length = length + weight * slope
        return length

    def curvature(self, layer: int = 0, fibre: float = 0.5) -> Floats:
        """Curvature of the line at that height [1/mm]; arguments as in `length`."""
        return self.turn / self.length(layer, fibre)

    def relaxed(self, share: float) -> tuple[Layer, ...]:
        """The layers after a share of their strain has been forgotten in this state.

        As `Layer.relaxed`, with the thickness forgotten alike: over its height as it has thinned
        the length is a straight line, so that what is all forgotten stays as it was held.
        """
        ends = self.starts + np.tensordot(_WEIGHTS, self.spreads, ([0], [1]))
        return tuple(
            replace(
                layer.relaxed(inner_length=start, outer_length=end, share=share),
                thickness=layer.thickness ** (1 - share) * thickness**share,
            )
            for layer, start, end, thickness in zip(
                self.layers, self.starts, ends, self.thickness, strict=True
            )
        )


def settle(
    layers: Sequence[Layer],
    *,
    turn: ArrayLike | None = None,
    moment: ArrayLike = 0.0,
    pull: ArrayLike = 0.0,
    width: Width = "free",
) -> Settled:
    r"""Length and turn a glued section takes when it is let go.

    Parameters
    ----------
    layers : sequence of Layer
        From the inside out. All numbers broadcast against each other.
    turn : array_like, optional
        Holds the turn at this value [rad] (a closed ring: one full turn); then only the pull is
        balanced and `Settled.moment` is what is left over.
    moment : array_like
        Moment from outside about the inner face [N mm per mm width, or N mm with widths in mm],
        positive where it bends the section tighter; not together with `turn`.
    pull : array_like
        Pull from outside at the inner face [N per mm width, or N with widths in mm].
    width : {"free", "held"}
        Whether sides may draw in (a strip) or not (the middle of a wide sheet).

    Returns
    -------
    Settled

    Raises
    ------
    NoEquilibrium
        A single case finds no rest. (In arrays such a case comes back masked.)
    ValueError
        A single case strains its foam past the range in which the law is stable.

    Notes
    -----
    The line at height z is :math:`\ell(z) = \ell_0 + \varphi z` long, the stretch there is
    :math:`\lambda = \ell/n` with n the natural length. The foam thins as it is stretched, so
    z counts fibre spacings :math:`\mathrm{d}z = s(\lambda)\,\mathrm{d}Z`, s the side stretch.
    At rest the energy :math:`\sum\int w\,n\,W(\lambda)\,\mathrm{d}Z` is least in both unknowns:

    .. math::
        \sum\int w P \,\partial\ell/\partial\ell_0\,\mathrm{d}Z = 0,\qquad
        \sum\int w P \,\partial\ell/\partial\varphi\,\mathrm{d}Z = 0

    (pull and moment, each less what comes from outside; without thinning the weights are 1 and
    z). Newton's method on five Gauss
    points a layer. Plane sections and one curvature: away from the ends by about three
    thicknesses, and narrow or held wide, not between. Against plane-stress finite elements the
    change of curvature agrees within 0.05 % for stretches to 20 % and inside radii from 50 mm.
    The moment of a turn that is held is too high by about ``(1 - nu**2)/5 (t/R)**2``, for want
    of the squeeze through the thickness; so is the length of a strip bent to a given inside
    radius, by about ``(1 - nu**2)/24 (t/R)**3`` with R to the line that keeps its length: under
    0.35 % from inside radii of two thicknesses up, 1 to 1.5 % at one.

    Examples
    --------
    Two flat layers of 5 mm, the outer one glued on with 5 % stretch:

    >>> from foamcalc.foam.law import Linear
    >>> foam = Linear(1.5)
    >>> pair = settle([Layer(thickness=5, law=foam, inner_length=105),
    ...                Layer(thickness=5, law=foam, inner_length=100)])
    >>> print(f"{pair.inner_radius:.2f} mm")
    -141.67 mm

    Layers that fit each other stay as they are:

    >>> same = settle([Layer(thickness=5, law=foam, inner_length=100)] * 2)
    >>> print(f"{abs(same.turn):.6f}")
    0.000000
    """
    if isinstance(layers, Layer):
        raise TypeError("layers must be a list of Layer, got one Layer; write [layer]")
    layers = tuple(layers)
    if not layers:
        raise ValueError("layers must hold at least one Layer, got none")
    for i, layer in enumerate(layers):
        if not isinstance(layer, Layer):
            raise TypeError(f"layers[{i}] must be a Layer, got {type(layer).__name__}")
    one_of(width, "width", WIDTHS)
    held = None if turn is None else finite(turn, "turn", "rad")
    bending, pulling = finite(moment, "moment", "N mm"), finite(pull, "pull", "N")
    if held is not None and bending.any():
        raise ValueError("give turn or moment, not both: a turn that is held has its own moment")
    with np.errstate(all="ignore"):  # a case out of range is found when it does not settle
        section = _Section(layers, held, width, moment=bending, pull=pulling)
        values, failed = section.solve()
    return Settled(layers=layers, failed=failed, **values)


# The balance --------------------------------------------------------------------------------


def _weights_upto(fraction: float | Floats) -> Floats:
    """Weights that integrate from the inner face up to a fraction of the thickness.

    They act on values at the Gauss points; shape (5,) for a number, (n, 5) for n fractions.
    """
    return np.asarray(fraction)[..., None] ** (_POWERS + 1) / (_POWERS + 1) @ _TO_POWERS


_UPTO = _weights_upto(_NODES)


class _Line(NamedTuple):
    """One layer's line of Gauss points in one pass; shape (points, cases) but for `start`."""

    by_inner: Floats
    """Slope of length over the section's inner length [1]."""
    by_turn: Floats
    """Slope of length over turn [mm]."""
    defect: Floats
    """What the lengths must gain to agree with the thinning [mm]."""
    start: Floats
    """Length at the layer's inner face [mm]."""
    spread: Floats
    """Slope of length over the fraction of thickness [mm]."""
    answer: Response
    """The law's answer."""


class _Section:
    """The unknowns and the working arrays of one call of `settle`; first axis: Gauss points."""

    def __init__(
        self,
        layers: tuple[Layer, ...],
        turn: Floats | None,
        width: Width,
        *,
        moment: Floats,
        pull: Floats,
    ) -> None:
        self.layers, self.width = layers, width
        self.moment, self.pull = moment, pull
        shape = _common_shape(layers, {"turn": turn, "moment": moment, "pull": pull})
        nodes = _NODES.reshape(-1, *(1 for _ in shape))
        self.weights = _WEIGHTS.reshape(nodes.shape)
        self.natural = [
            np.broadcast_to(
                p.inner_length + (p.outer_length - p.inner_length) * nodes, (_NODES.size, *shape)
            )
            for p in layers
        ]
        self.turn_is_held = turn is not None
        bottoms = np.cumsum(
            [np.zeros(shape)] + [np.broadcast_to(p.thickness, shape) for p in layers], axis=0
        )
        heights = [z + p.thickness * nodes for z, p in zip(bottoms, layers, strict=False)]
        self.inner, self.turn = self._linear_guess(
            heights, None if turn is None else np.broadcast_to(turn, shape)
        )
        self.lengths = [self.inner + self.turn * z for z in heights]

    def _linear_guess(self, heights: list[Floats], turn: Floats | None) -> tuple[Floats, Floats]:
        """Length and turn for stress in proportion to strain and no thinning: one 2 x 2 solve."""
        k11, k12, k22, p1, p2 = np.zeros((5, *heights[0].shape[1:]))
        for p, z, n in zip(self.layers, heights, self.natural, strict=True):
            stiff = (p.law.modulus * p.width * p.thickness) * self.weights
            k11 += (stiff / n).sum(0)
            k12 += (stiff * z / n).sum(0)
            k22 += (stiff * z * z / n).sum(0)
            p1 += stiff.sum(0)
            p2 += (stiff * z).sum(0)
        p1, p2 = p1 + self.pull, p2 + self.moment
        if turn is None:
            turn = (k11 * p2 - k12 * p1) / (k11 * k22 - k12**2)
        return (p1 - k12 * turn) / k11, turn

    def march(self) -> tuple[Floats, Floats, list[_Line]]:
        """One pass from the inside out: out-of-balance, stiffness, and how each line moves."""
        turn, shape = self.turn, self.turn.shape
        unbalance, stiffness = np.zeros((2, *shape)), np.zeros((3, *shape))
        start, by_inner, by_turn = self.inner, np.ones(shape), np.zeros(shape)
        lines = []
        for p, n, length in zip(self.layers, self.natural, self.lengths, strict=True):
            answer = p.law.unchecked(length / n, self.width)
            spread = p.thickness * answer.side
            # The line obeys l' = turn * side(l/n); its slopes in inner length and turn obey the
            # linearised equation, solved with the integrating factor `growth`.
            rate = answer.side_slope * (turn * p.thickness)
            rate /= n
            growth, whole = np.exp(_upto(rate)), np.exp(_over(rate))
            share = spread / growth
            du = growth * by_inner
            dv = _upto(share)
            dv += by_turn
            dv *= growth
            defect = _upto(spread)
            defect *= turn
            defect += start
            defect -= length
            lines.append(_Line(du, dv, defect, start, turn * spread, answer))
            area = (p.width * p.thickness) * self.weights
            pull, give = area * answer.stress, area * answer.tangent
            give /= n
            unbalance += [(pull * du).sum(0), (pull * dv).sum(0)]
            pull = give * du
            give *= dv
            stiffness += [(pull * du).sum(0), (pull * dv).sum(0), (give * dv).sum(0)]
            start = start + turn * _over(spread)
            by_turn, by_inner = whole * (by_turn + _over(share)), whole * by_inner
        return unbalance, stiffness, lines

    def solve(self) -> tuple[dict[str, Floats], NDArray[np.bool_]]:
        """Newton steps until no stretch changes by more than the tolerance.

        Returns the fields of a `Settled` by name, and which cases have no rest.
        """
        for _ in range(_MOST_STEPS):
            (pull, moment), stiffness, lines = self.march()
            k11, k12, k22 = stiffness
            f1, f2 = pull - self.pull, moment - self.moment
            if self.turn_is_held:
                d_turn = np.zeros_like(self.turn)
            else:
                d_turn = (k12 * f1 - k11 * f2) / (k11 * k22 - k12**2)
            d_inner = -(f1 + k12 * d_turn) / k11
            steps = [x.by_inner * d_inner + x.by_turn * d_turn + x.defect for x in lines]
            size = np.max(
                [np.abs(s / x).max(0) for s, x in zip(steps, self.lengths, strict=True)], axis=0
            )
            moving = ~(size <= _TOLERANCE)
            if not moving.any():
                break
            share = np.where(size > _LONGEST_STEP, _LONGEST_STEP / size, 1.0)
            self.inner = self.inner + share * d_inner
            self.turn = self.turn + share * d_turn
            self.lengths = [x + share * s for x, s in zip(self.lengths, steps, strict=True)]
        return self._result(pull, moment, stiffness, lines, moving)

    def _result(
        self,
        pull: Floats,
        moment: Floats,
        stiffness: Floats,
        lines: list[_Line],
        failed: NDArray[np.bool_],
    ) -> tuple[dict[str, Floats], NDArray[np.bool_]]:
        """The last pass by field, checked against the stable range of each law."""
        thick = [p.thickness for p in self.layers]
        starts, spreads = np.stack([x.start for x in lines]), np.stack([x.spread for x in lines])
        ends = np.stack([x.start + _over(x.spread) for x in lines])
        values = {
            "inner_length": self.inner,
            "turn": np.array(self.turn),
            "moment": moment,
            "pull": pull,
            "stiffness": stiffness,
            "force": np.stack(
                [t * _over(x.answer.stress) for t, x in zip(thick, lines, strict=True)]
            ),
            "inner_strain": np.stack(
                [s / p.inner_length - 1 for s, p in zip(starts, self.layers, strict=True)]
            ),
            "outer_strain": np.stack(
                [e / p.outer_length - 1 for e, p in zip(ends, self.layers, strict=True)]
            ),
            "thickness": np.stack(
                [t * _over(x.answer.side) for t, x in zip(thick, lines, strict=True)]
            ),
            "starts": starts,
            "spreads": spreads,
        }
        failed = self._check(failed, values["inner_strain"], values["outer_strain"])
        if failed.any():
            values = {k: _masked(v, failed) for k, v in values.items()}
        return values, failed

    def _check(self, failed: NDArray[np.bool_], inner: Floats, outer: Floats) -> NDArray[np.bool_]:
        """Which cases have no rest in a law's stable range; raise where there is a single case."""
        if failed.ndim == 0 and failed:
            raise NoEquilibrium(
                f"no equilibrium found in {_MOST_STEPS} steps for the section of "
                f"{len(self.layers)} layers; check the natural lengths: they must be within "
                "a few tens of percent of each other"
            )
        for i, p in enumerate(self.layers):
            low, high = p.law.stable_range(self.width)
            for face, strain in (("inner", inner[i]), ("outer", outer[i])):
                bad = ~((strain >= low - 1) & (strain <= high - 1))
                if bad.ndim == 0 and bad:
                    raise ValueError(
                        f"layer {i}, {face} face: stretch {1 + float(strain):.3f} is outside "
                        f"{low:.3f} to {high:.3f}, where {p.law} takes more force for more "
                        "stretch; use less stretch or another law"
                    )
                failed = failed | bad
        return failed


def _common_shape(layers: tuple[Layer, ...], held: dict[str, Floats | None]) -> tuple[int, ...]:
    """Shape of the cases; ValueError naming the shapes that do not go together."""
    shapes = {
        f"layer {i} {name}": np.shape(getattr(p, name))
        for i, p in enumerate(layers)
        for name in ("thickness", "inner_length", "outer_length", "width")
    }
    shapes.update({name: x.shape for name, x in held.items() if x is not None})
    try:
        return np.broadcast_shapes(*shapes.values())
    except ValueError:
        arrays = ", ".join(f"{name} {shape}" for name, shape in shapes.items() if shape)
        raise ValueError(f"arrays of these shapes do not go together: {arrays}") from None


def _upto(values: Floats) -> Floats:
    """Integrals from the inner face up to each Gauss point, over the fraction of thickness."""
    return np.tensordot(_UPTO, values, 1)


def _over(values: Floats) -> Floats:
    """Integral over the whole layer."""
    return np.tensordot(_WEIGHTS, values, 1)


def _masked(values: Floats, failed: NDArray[np.bool_]) -> Floats:
    """The values with NaN behind a mask where the case failed."""
    mask = np.broadcast_to(failed, values.shape)
    return np.ma.MaskedArray(np.where(mask, np.nan, values), mask=mask)
