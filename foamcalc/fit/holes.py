"""Round holes in a stretched piece: what they become, and what to punch so that they are round."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import non_negative, positive
from foamcalc.units import format_length

Floats = NDArray[np.float64]
System = Literal["mm", "in"]

__all__ = [
    "HoleAfter",
    "HoleBefore",
    "HoleFactors",
    "edge_strain",
    "hole_after",
    "hole_before",
    "hole_factors",
    "hole_words",
]

_STRAINS = np.array([0.0, 0.05, 0.10, 0.15, 0.20])
_SHARES = np.array([0.0, 0.1, 0.2, 0.3, 0.4, 0.5])
@@TABLE@@
_MOST_ROUNDS = 100


class HoleFactors(NamedTuple):
    """What happens at a round hole, as multiples of the strain away from it."""

    along: Floats
    """Growth of its length along the pull, as a share of the diameter."""
    across: Floats
    """Growth of its width across the pull; negative: it gets narrower."""
    edge: Floats
    """Local strain at its two sides, where the foam tears first."""


def hole_factors(*, strain: ArrayLike, share: ArrayLike = 0.0) -> HoleFactors:
    """Multiples of the strain at a round hole in a sheet or a strip under stretch.

    Parameters
    ----------
    strain : array_like
        Strain away from the hole [1], 0 to 0.2.
    share : array_like
        Diameter over width of the strip, as cut [1], 0 (a wide sheet) to 0.5; hole in the middle.

    Returns
    -------
    HoleFactors

    Raises
    ------
    ValueError
        Outside the ranges above; nothing is known there.

    Notes
    -----
    Small strain and a wide sheet: 3, -1 and 3 (Kirsch, exact, for any foam). Else derived: our own
    finite elements, plane stress, hyperfoam of alpha 2 and ratio 0.25, polynomials through them. A
    foam that is stiffer in tension gives way less: alpha 8, ratio 0.1, 10 % has 2.76, -0.87 and
    2.42 in a wide sheet, in place of 2.90, -0.81 and 2.91. The strain is the one away from the
    hole; end to end a short strip with a large hole shows more.

    Examples
    --------
    >>> print(" ".join(f"{x:.2f}" for x in hole_factors(strain=0)))
    3.00 -1.00 3.00
    >>> print(" ".join(f"{x:.2f}" for x in hole_factors(strain=0.10, share=0.3)))
    3.19 -1.03 3.23

    References
    ----------
    .. [1] G. Kirsch, Die Theorie der Elastizität und die Bedürfnisse der Festigkeitslehre,
       Zeitschrift des Vereines deutscher Ingenieure 42 (1898) 797-807. Stresses round the hole
       read where others print them.
    """
    pulled, part = non_negative(strain, "strain", "1"), non_negative(share, "share", "1")
    for value, name, most in ((pulled, "strain", _STRAINS[-1]), (part, "share", _SHARES[-1])):
        if (value > most).any():
            raise ValueError(
                f"{name} must be from 0 to {most:g}, got {float(value.max()):g}; "
                "outside nothing is known of the hole"
            )
    pulled, part = np.broadcast_arrays(pulled, part)
    by_strain, by_share = _weights(_STRAINS, pulled), _weights(_SHARES, part)
    found = np.einsum("fse,...e,...s->f...", _FIGURES, by_strain, by_share)
    return HoleFactors(*(np.asarray(x) for x in found))


def _weights(nodes: Floats, value: Floats) -> Floats:
    """What each node counts in the polynomial through all of them; last axis: node."""
    away = value[..., None] - nodes
    weights = np.ones_like(away)
    for i, node in enumerate(nodes):
        for j, other in enumerate(nodes):
            if i != j:
                weights[..., i] *= away[..., j] / (node - other)
    return weights


def edge_strain(*, strain: ArrayLike, share: ArrayLike = 0.0) -> Floats:
    """Local strain at the sides of a round hole, about three times the strain away from it [1].

    Parameters
    ----------
    strain, share : array_like
        As in `hole_factors`.

    Examples
    --------
    >>> print(edge_strain(strain=[0.05, 0.10]).round(3))
    [0.148 0.291]
    """
    factors = hole_factors(strain=strain, share=share)
    return np.asarray(factors.edge * non_negative(strain, "strain", "1"))


class HoleAfter(NamedTuple):
    """A hole in a piece under stretch."""

    along: Floats
    """Length along the pull [mm]."""
    across: Floats
    """Width across the pull [mm]."""
    edge_strain: Floats
    """Local strain at its sides [1]."""


def hole_after(
    *,
    along: ArrayLike,
    across: ArrayLike | None = None,
    strain: ArrayLike,
    strip_width: ArrayLike | None = None,
) -> HoleAfter:
    """What a round or oval hole becomes when its piece is stretched.

    Parameters
    ----------
    along : array_like
        Length of the hole along the pull as punched [mm], above 0.
    across : array_like, optional
        Its width across the pull [mm], above 0. Left out: it is round.
    strain : array_like
        Strain away from the hole [1], 0 to 0.2.
    strip_width : array_like, optional
        Width of the strip as cut [mm], at least twice `across`. Left out: a wide sheet.

    Returns
    -------
    HoleAfter

    Notes
    -----
    ``along (1 + e) + g e across`` and ``across (1 + c e)``, ``g = factor along - 1`` and c from
    `hole_factors`; at the edge ``e (1 + (factor edge - 1) across/along)``. Exact for an ellipse at
    small strain (g = 2, c = -1). At 20 % it was checked with our own finite elements from round to
    1.8 times as wide as long: lengths within 1 %, edge strain within 2 %.

    Examples
    --------
    >>> hole = hole_after(along=20, strain=0.10)
    >>> print(f"{hole.along:.1f} long, {hole.across:.1f} wide, {hole.edge_strain:.0%} at the sides")
    25.8 long, 18.4 wide, 29% at the sides
    """
    long = positive(along, "hole along")
    wide = long if across is None else positive(across, "hole across")
    pulled = non_negative(strain, "strain", "1")
    factors = hole_factors(strain=pulled, share=_share(wide, strip_width))
    return HoleAfter(
        np.asarray(long * (1 + pulled) + (factors.along - 1) * pulled * wide),
        np.asarray(wide * (1 + factors.across * pulled)),
        np.asarray(pulled * (1 + (factors.edge - 1) * wide / long)),
    )


def _share(across: Floats, strip_width: ArrayLike | None) -> Floats:
    """Hole across over width of the strip."""
    if strip_width is None:
        return np.zeros(1)[0] * across
    share = across / positive(strip_width, "strip width")
    if (share > _SHARES[-1]).any():
        raise ValueError(
            f"strip width must be at least {1 / _SHARES[-1]:g} times the hole across, got "
            f"{1 / float(share.max()):.3g} times; ask for a smaller hole"
        )
    return np.asarray(share)


class HoleBefore(NamedTuple):
    """An oval to punch; pulled, it is round."""

    along: Floats
    """Length along the pull [mm]."""
    across: Floats
    """Width across the pull [mm]."""
    edge_strain: Floats
    """Local strain at its sides once it is pulled [1]."""


def hole_before(
    *, diameter: ArrayLike, strain: ArrayLike, strip_width: ArrayLike | None = None
) -> HoleBefore:
    """What to punch before the pull, so that the hole is round after it.

    Parameters
    ----------
    diameter : array_like
        Diameter that it shall have under stretch [mm], above 0.
    strain : array_like
        Strain away from the hole [1], 0 to 0.2.
    strip_width : array_like, optional
        Width of the strip as cut [mm]. Left out: a wide sheet.

    Returns
    -------
    HoleBefore

    Notes
    -----
    `hole_after` turned round. The oval is shorter than the hole's growth says, because it is wider
    than it is long and so opens more.

    Examples
    --------
    >>> punch = hole_before(diameter=20, strain=0.05)
    >>> print(f"{punch.along:.1f} mm along, {punch.across:.1f} mm across")
    17.1 mm along, 20.9 mm across
    """
    wanted, pulled = positive(diameter, "diameter"), non_negative(strain, "strain", "1")
    across = wanted * np.ones_like(pulled)
    for _ in range(_MOST_ROUNDS):
        factors = hole_factors(strain=pulled, share=_share(across, strip_width))
        better = wanted / (1 + factors.across * pulled)
        moved = np.abs(better / across - 1).max()
        across = better
        if moved < 1e-13:
            break
    else:  # pragma: no cover
        raise ArithmeticError("the oval was not found; ask for a smaller hole or a wider strip")
    along = (wanted - (factors.along - 1) * pulled * across) / (1 + pulled)
    edge = pulled * (1 + (factors.edge - 1) * across / along)
    return HoleBefore(np.asarray(along), np.asarray(across), np.asarray(edge))


def hole_words(
    *,
    diameter: float,
    strain: float,
    strip_width: float | None = None,
    system: System = "mm",
) -> str:
    """What becomes of a round hole, and what to do about it, in a maker's words.

    Parameters
    ----------
    diameter : float
        Diameter as punched, or as wanted [mm].
    strain : float
        Strain away from the hole [1], 0 to 0.2.
    strip_width : float, optional
        Width of the strip as cut [mm]. Left out: a wide sheet.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> print(hole_words(diameter=20, strain=0.05))
    Pulled 5 %, a hole of 20 mm becomes 23 mm long and 19 mm wide. Punch it after gluing, or before as an oval 17 mm along the pull and 21 mm across.
    """
    after = hole_after(along=diameter, strain=strain, strip_width=strip_width)
    before = hole_before(diameter=diameter, strain=strain, strip_width=strip_width)
    size, long, wide, short, broad = (
        format_length(float(x), system=system)
        for x in (diameter, after.along, after.across, before.along, before.across)
    )
    if size == long == wide:
        return f"Pulled {100 * strain:.2g} %, a hole of {size} stays round as far as a tape shows."
    return (
        f"Pulled {100 * strain:.2g} %, a hole of {size} becomes {long} long and {wide} wide. "
        f"Punch it after gluing, or before as an oval {short} along the pull and {broad} across."
    )
