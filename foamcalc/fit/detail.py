"""Small parts of a stretched piece: how it thins, nicks, and what its thin bars take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.holes import edge_strain
from foamcalc.fit.limits import Check, Limit
from foamcalc.foam.answers import WIDTHS, Law, Width
from foamcalc.foam.section import NoEquilibrium
from foamcalc.guards import finite, non_negative, one_of, positive

Floats = NDArray[np.float64]

__all__ = [
    "Bars",
    "Drawn",
    "bar_check",
    "drawn",
    "nick_strain",
    "pierced",
    "places_before",
    "tear_check",
    "tear_limit",
]

_MOST_STEPS = 60
_FARTHEST = 0.3
"""Most that a stretch may change in one step, as a share of itself."""
_DONE = 1e-12


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
    (derived: our own finite elements). Pulled first and glued after, the piece keeps its neck: cut
    it wider by twice the neck-in.

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
    side = law.side_stretch(_stretch(strain), sides)
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
    """Where to punch before the pull, so that the centres lie right after it.

    Parameters
    ----------
    law : Law
        Foam law.
    along, across : array_like
        Where each centre shall lie, from a point that stays put [mm].
    strain : array_like
        Strain along the pull [1], above -1.
    sides : {"free", "held"}
        As in `drawn`.

    Returns
    -------
    tuple of ndarray
        Places along and across on the flat piece as cut [mm].

    Examples
    --------
    >>> from foamcalc.foam.law import HyperFoam
    >>> x, y = places_before(HyperFoam(0.6, 2.0, 0.25), along=110, across=20, strain=0.10)
    >>> print(f"{x:.1f} {y:.2f}")
    100.0 20.48
    """
    one_of(sides, "sides", WIDTHS)
    stretch = _stretch(strain)
    narrow = law.side_stretch(stretch, sides) if sides == "free" else np.ones_like(stretch)
    return (
        np.asarray(finite(along, "along") / stretch),
        np.asarray(finite(across, "across") / narrow),
    )


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
    ratio = positive(depth, "depth") / positive(tip_radius, "tip radius")
    return np.asarray(non_negative(strain, "strain", "1") * (1 + 2 * np.sqrt(ratio)))


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
    """The local strain at a hole or a nick against the tear limit.

    Parameters
    ----------
    strain : float
        Local strain at the edge [1], from `edge_strain`, `hole_after` or `nick_strain`.
    limit : Limit, optional
        Your own: pull a strip with a hole till it tears. `tear_limit` when left out.

    Examples
    --------
    >>> tear_check(0.15).met
    True
    """
    found = float(non_negative(strain, "strain", "1"))
    return Check("strain at a hole or nick", found, tear_limit() if limit is None else limit)


@dataclass(frozen=True, kw_only=True, eq=False)
class Bars:
    """What the bars of a pierced piece take; the last axis of `strains` goes along the pull.

    Cases without an answer are masked, and `failed` there.
    """

    strains: Any
    """Strain of each stretch of bars [1]."""
    pull: Any
    """Pull of the whole piece [N]."""
    largest: Any
    """Largest of the strains [1]."""
    failed: NDArray[np.bool_] = field(repr=False)


def pierced(
    law: Law,
    *,
    lengths: ArrayLike | Sequence[float],
    widths: ArrayLike | Sequence[float],
    thickness: ArrayLike,
    strain: ArrayLike,
    sides: Width = "free",
) -> Bars:
    """How a pierced piece shares out its stretch: most of it goes into the thin bars.

    Parameters
    ----------
    law : Law
        Foam law.
    lengths : array_like, shape (n,)
        Lengths along the pull over which the width of foam stays the same [mm], above 0.
    widths : array_like, shape (n,)
        Width of foam that is left across there, all bars together [mm], above 0.
    thickness : array_like
        Thickness as cut [mm], above 0; one number, or one a case.
    strain : array_like
        Strain of the whole piece, end to end [1], 0 or more; the cases.
    sides : {"free", "held"}
        Whether the bars may draw in.

    Returns
    -------
    Bars

    Raises
    ------
    NoEquilibrium
        If a single case has no answer: the bars would be pulled past the law's stable range.

    Notes
    -----
    The pull ``P(stretch) t w`` is the same all along, and the stretches add up to the whole.
    Newton's method on all of them together. Good for bars longer than they are wide: where a bar
    runs into full width the foam there gives a little, which eases the bar.

    Examples
    --------
    30 % of the length has 0.3 of the width left; 5 % in all:

    >>> from foamcalc.foam.law import HyperFoam, Linear
    >>> piece = {"lengths": [70, 30], "widths": [100, 30], "thickness": 5, "strain": 0.05}
    >>> print(f"{pierced(Linear(1.5), **piece).largest:.1%}")
    9.8%
    >>> print(f"{pierced(HyperFoam(0.6, 2.0, 0.25), **piece).largest:.1%}")
    10.0%
    """
    one_of(sides, "sides", WIDTHS)
    long, wide = positive(lengths, "lengths"), positive(widths, "widths")
    if long.ndim != 1 or long.shape != wide.shape:
        raise ValueError(
            "lengths and widths must be two flat lists, one number a stretch of bars, got shapes "
            f"{long.shape} and {wide.shape}"
        )
    mean = 1 + non_negative(strain, "strain", "1")
    thick = positive(thickness, "thickness")
    mean, thick = np.broadcast_arrays(mean, thick)
    stretch, pull, failed = _share_out(law, long / long.sum(), wide, mean, sides)
    top = law.stable_range(sides)[1]
    failed = failed | ~(stretch.max(-1) <= top)
    if failed.ndim == 0:
        if failed:
            raise NoEquilibrium(
                f"no sharing out found for a strain of {float(mean) - 1:.1%}: the thinnest bars "
                f"would pass the law's range of stretches, up to {top:.3g}; pull less, or leave "
                "wider bars"
            )
        return Bars(
            strains=stretch - 1, pull=pull * thick, largest=stretch.max(-1) - 1, failed=failed
        )
    hidden = np.broadcast_to(failed[..., None], stretch.shape)
    return Bars(
        strains=np.ma.MaskedArray(stretch - 1, hidden),
        pull=np.ma.MaskedArray(pull * thick, failed),
        largest=np.ma.MaskedArray(stretch.max(-1) - 1, failed),
        failed=failed,
    )


def _share_out(
    law: Law, share: Floats, wide: Floats, mean: Floats, sides: Width
) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Stretches, pull for each mm of thickness, and which cases were not found."""
    give = 1 / (wide * law.modulus)
    pull = (mean - 1) / (share * give).sum()
    stretch = 1 + pull[..., None] * give
    moving = np.ones(mean.shape, dtype=bool)
    for _ in range(_MOST_STEPS):
        answer = law.unchecked(stretch, sides)
        off = answer.stress * wide - pull[..., None]
        give = 1 / (wide * answer.tangent)
        missing = mean - (share * stretch).sum(-1)
        more = (missing + (share * off * give).sum(-1)) / (share * give).sum(-1)
        step = (more[..., None] - off) * give
        size = np.abs(step / stretch).max(-1)
        with np.errstate(divide="ignore", invalid="ignore"):
            part = np.where(size > _FARTHEST, _FARTHEST / size, 1.0)
        stretch, pull = stretch + part[..., None] * step, pull + part * more
        moving = ~(size <= _DONE)
        if not moving.any():
            break
    return stretch, pull, moving


def bar_check(bars: Bars, limit: Limit) -> Check:
    """The largest bar strain of one case against the limit for a pull of this foam.

    Parameters
    ----------
    bars : Bars
        From `pierced`, one case.
    limit : Limit
        For example ``default_limits(piece)["stretch"]``.
    """
    if np.ndim(bars.largest):
        raise ValueError(f"one case can be checked at a time, got {np.shape(bars.largest)}")
    return Check("stretch of the thin bars", float(bars.largest), limit)
