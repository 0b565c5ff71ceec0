"""Details of a stretched piece: how it thins, where its holes lie, where it may tear."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.holes import edge_strain
from foamcalc.fit.limits import Check, Limit
from foamcalc.foam.law import WIDTHS, Law, Width, a_law
from foamcalc.guards import finite, non_negative, one_of, positive, single, together

Floats = NDArray[np.float64]

__all__ = [
    "Drawn",
    "drawn",
    "nick_strain",
    "places_before",
    "tear_check",
    "tear_limit",
]


class Drawn(NamedTuple):
    """A piece under stretch; arrays broadcast over strain, width and thickness."""

    width: Floats
    """Width now [mm]."""
    thickness: Floats
    """Thickness now [mm]."""
    neck_in: Floats
    """How far each long edge has come in [mm]."""


def drawn(
    law: Law,
    *,
    strain: ArrayLike,
    width: ArrayLike,
    thickness: ArrayLike,
    sides: Width = "free",
) -> Drawn:
    """Width and thickness of a stretched piece.

    Parameters
    ----------
    law : Law
        Foam law.
    strain : array_like
        Strain along the pull [1], above -1.
    width, thickness : array_like
        As cut [mm], above 0.
    sides : {"free", "held"}
        Whether the long edges may come in: they may on a strip pulled by its ends; the middle of
        a wide sheet, or one pinned along its edges, only thins.

    Notes
    -----
    Both shrink with the law's side stretch, ``(1 + strain)**-nu`` for one term. Close to a clamp
    the width is held: halfway along a piece as long as it is wide, the neck is 5 % less deep
    for alpha 2 and ratio 0.25, for the default foam 7 % at 2 % strain, 13 % at 10 % and 23 % at
    20 % (derived: felupe). Pulled first and glued after, the piece keeps its neck: cut it wider
    by twice the neck-in.

    Examples
    --------
    A band 60 mm wide, 5 mm thick, pulled 10 %:

    >>> from foamcalc.foam.law import HyperFoam
    >>> now = drawn(HyperFoam(0.6, 2.0, 0.25), strain=0.10, width=60, thickness=5)
    >>> print(f"{now.width:.2f} mm wide, {now.thickness:.2f} mm thick, {now.neck_in:.2f} mm in")
    58.59 mm wide, 4.88 mm thick, 0.71 mm in
    """
    one_of(sides, "sides", WIDTHS)
    wide, thick = positive(width, "width"), positive(thickness, "thickness")
    stretch = _stretch(strain)
    together(strain=stretch, width=wide, thickness=thick)
    side = a_law(law).side_stretch(stretch, sides)
    across = side if sides == "free" else np.ones_like(side)
    now, thin = wide * across, thick * side
    return Drawn(np.asarray(now), np.asarray(thin), np.asarray(wide * (1 - across) / 2))


def _stretch(strain: ArrayLike) -> Floats:
    stretch = 1 + finite(strain, "strain", "1")
    if (stretch <= 0).any():
        raise ValueError(f"strain must be above -1, got {float(stretch.min()) - 1:g}")
    return np.asarray(stretch)


def places_before(
    law: Law,
    *,
    along: ArrayLike,
    across: ArrayLike,
    strain: ArrayLike,
    sides: Width = "free",
) -> tuple[Floats, Floats]:
    """Where to punch before the pull, so that the centres lie right after it."""
    one_of(sides, "sides", WIDTHS)
    stretch, x, y = _stretch(strain), finite(along, "along"), finite(across, "across")
    together(along=x, across=y, strain=stretch)
    side = a_law(law).side_stretch(stretch, sides)
    return np.asarray(x / stretch), np.asarray(y / side if sides == "free" else y + 0 * side)


def nick_strain(*, strain: ArrayLike, depth: ArrayLike, tip_radius: ArrayLike) -> Floats:
    """Local strain at the tip of a nick in the edge of a stretched piece [1].

    Parameters
    ----------
    strain : array_like
        Strain away from the nick [1], 0 or more.
    depth : array_like
        How deep the nick runs across the pull [mm], above 0.
    tip_radius : array_like
        Radius of its tip [mm], above 0.

    Notes
    -----
    ``strain (1 + 2 sqrt(depth/tip_radius))``, after Inglis' ellipse, for small strain (from
    memory). Half a round hole gives 3. Of a knife's nick it says only that sharp is far worse
    than round: soft foam blunts the tip, and nobody knows its radius. Round off a nick that must
    stay, with a punch.

    Examples
    --------
    >>> print(nick_strain(strain=0.05, depth=2, tip_radius=[2, 0.5]))
    [0.15 0.25]
    """
    deep, tip = positive(depth, "depth"), positive(tip_radius, "tip radius")
    pulled = non_negative(strain, "strain", "1")
    together(strain=pulled, depth=deep, tip_radius=tip)
    return np.asarray(pulled * (1 + 2 * np.sqrt(deep / tip)))


def tear_limit() -> Limit:
    """Local strain at a hole's edge at which foam is taken to tear: a limit, for `tear_check`.

    Notes
    -----
    Makers find that foam pulled past the end of what can be pulled (limits.csv) tears at holes
    and nicks. The limit is what the edge of a round hole takes at that pull.

    Examples
    --------
    >>> print(f"{tear_limit().value:.2f} {tear_limit().basis}")
    0.29 derived
    """
    pull = Limit.from_table("end_pull")
    return Limit(
        value=float(edge_strain(strain=pull.value)),
        unit="1",
        basis="derived",
        reason=f"What the edge of a round hole takes at a pull of {pull.value:.0%} ({pull.basis}).",
    )


def tear_check(strain: float, limit: Limit | None = None) -> Check:
    """The local strain at a hole or a nick against the tear limit."""
    found = single(non_negative(strain, "strain", "1"), "strain")
    return Check("strain at a hole or nick", found, tear_limit() if limit is None else limit)
