"""The balance of a section: Newton's method on Gauss points, for whole arrays of cases at once."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.foam.answers import Floats, Response, Width
from foamcalc.foam.layer import FIELDS, Layer

_GAUSS = np.polynomial.legendre.leggauss(5)
NODES, WEIGHTS = (_GAUSS[0] + 1) / 2, _GAUSS[1] / 2
_POWERS = np.arange(NODES.size)
_TO_POWERS = np.linalg.inv(np.vander(NODES, increasing=True))

_TOLERANCE = 1e-11
_MOST_STEPS = 40
_LONGEST_STEP = 0.3
"""Most change of any stretch in one step, as a share of it."""


def upto(fraction: float | Floats) -> Floats:
    """Weights that integrate from the inner face up to a fraction of the thickness.

    They act on values at the Gauss points; shape (5,) for a number, (n, 5) for n fractions.
    """
    return np.asarray(fraction)[..., None] ** (_POWERS + 1) / (_POWERS + 1) @ _TO_POWERS


_UPTO = upto(NODES)


class NoEquilibrium(ArithmeticError):
    """No turn and length were found at which the section is at rest."""


class Line(NamedTuple):
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


class Section:
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
        nodes = NODES.reshape(-1, *(1 for _ in shape))
        self.weights = WEIGHTS.reshape(nodes.shape)
        self.natural = [
            np.broadcast_to(
                p.inner_length + (p.outer_length - p.inner_length) * nodes, (NODES.size, *shape)
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

    def march(self) -> tuple[Floats, Floats, list[Line]]:
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
            lines.append(Line(du, dv, defect, start, turn * spread, answer))
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
        lines: list[Line],
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
        for name in FIELDS
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
    return np.tensordot(WEIGHTS, values, 1)


def _masked(values: Floats, failed: NDArray[np.bool_]) -> Floats:
    """The values with NaN behind a mask where the case failed."""
    mask = np.broadcast_to(failed, values.shape)
    return np.ma.MaskedArray(np.where(mask, np.nan, values), mask=mask)
