"""Layers through the thickness: what a glued section does when it is let go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.foam.answers import WIDTHS, Floats, Width
from foamcalc.foam.balance import WEIGHTS, NoEquilibrium, Section, upto
from foamcalc.foam.layer import Layer
from foamcalc.guards import finite, fraction, one_of, single

__all__ = ["Layer", "NoEquilibrium", "Settled", "settle"]


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
        part = upto(single(fraction(fibre, "fibre"), "fibre"))
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
        ends = self.starts + np.tensordot(WEIGHTS, self.spreads, ([0], [1]))
        return tuple(
            replace(
                layer.relaxed(inner_length=start, outer_length=end, share=share),
                thickness=layer.thickness ** (1 - share) * thickness**share,
            )
            for layer, start, end, thickness in zip(
                self.layers, self.starts, ends, self.thickness, strict=True
            )
        )

    def table(self) -> Any:
        """One row a layer as a pandas table; for a single case only."""
        import pandas as pd

        if np.ndim(self.turn):
            raise ValueError("table() shows one case; take one entry of the arrays first")
        return pd.DataFrame(
            {
                "thickness [mm]": [float(p.thickness) for p in self.layers],
                "inner strain [%]": 100 * self.inner_strain,
                "outer strain [%]": 100 * self.outer_strain,
                "pull [N/mm]": self.force,
            },
            index=pd.Index(range(len(self.layers)), name="layer"),
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
        section = Section(layers, held, width, moment=bending, pull=pulling)
        values, failed = section.solve()
    return Settled(layers=layers, failed=failed, **values)
