"""One layer of a section: its thickness, its foam, and the lengths it would have on its own."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from foamcalc.foam.answers import Law, a_law
from foamcalc.guards import fraction, positive

FIELDS = ("thickness", "inner_length", "outer_length", "width")
"""The numbers of a layer; they broadcast against each other."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Layer:
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

    thickness: Any
    law: Law
    inner_length: Any
    outer_length: Any = None
    width: Any = 1.0

    def __post_init__(self) -> None:
        if self.outer_length is None:
            object.__setattr__(self, "outer_length", self.inner_length)
        for name in FIELDS:
            object.__setattr__(self, name, positive(getattr(self, name), f"layer {name}"))
        a_law(self.law, "layer law")

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
