"""What only a closed ring has: a width from side to side, and a butt seam."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.rest import Rest
from foamcalc.foam.section import Settled
from foamcalc.guards import finite, single
from foamcalc.shape.profile import chain

Floats = NDArray[np.float64]


class Seam(NamedTuple):
    """What the butt seam of a ring carries; its base is cut there, its overlays are not."""

    place: float
    """Along the curve [mm]."""
    moment: float
    """Moment of the whole section about the inside of the base [N mm]."""
    pull: float
    """Pull of the whole section [N]."""
    inner_stress: float
    """Stress of the base at its inner face [MPa], positive where the seam is pulled open."""
    outer_stress: float
    """The same at its outer face [MPa]."""


_POINTS, _ANGLES = 1000, 721
"""Points of a ring, at least, and directions, from which its widths are taken."""
_ROUGHLY = 240, 181
"""The same for out of round, which is a limit and no size to cut by."""


def _one_case(rest: Rest, what: str) -> None:
    if rest.failed.ndim:
        raise ValueError(
            f"{what} can be told of one case, got {rest.failed.shape} cases; ask with one cut "
            "length for each overlay"
        )


def widths(rest: Rest) -> tuple[float, float]:
    """Least and most width across the inside of a ring [mm].

    Parameters
    ----------
    rest : Rest
        A ring at rest, one case.
    """
    if not rest.closed:
        raise ValueError("only a ring has widths; ask an open shell for the size of its mouth")
    _one_case(rest, "widths")
    return _across(rest.lengths, rest.turns, _POINTS, _ANGLES)


def out_of_round(rest: Rest) -> Floats:
    """How much the widths of a ring have come to differ [mm], to a tenth of a millimetre or so."""
    if not rest.closed:
        raise ValueError("only a ring can go out of round; this shell is open")
    lengths, turns = rest.lengths, rest.turns
    least, most = _across(rest.sections.spans.inside, rest.sections.spans.turns, *_ROUGHLY)
    found = np.full(rest.failed.shape, np.nan)
    for case in zip(*np.nonzero(~np.atleast_1d(rest.failed)), strict=True):
        here = case if found.ndim else ()
        low, high = _across(lengths[here], turns[here], *_ROUGHLY)
        found[here] = (high - low) - (most - least)
    return found


def _across(lengths: Floats, turns: Floats, points: int, directions: int) -> tuple[float, float]:
    """Least and most width of one chain [mm]."""
    shape = chain(lengths, turns, points_per_arc=-(-points // turns.size))
    angles = np.linspace(0, np.pi, directions)[:, None]
    across = np.ptp(shape.x * np.cos(angles) + shape.y * np.sin(angles), axis=-1)
    return float(across.min()), float(across.max())


def seam(rest: Rest, *, place: float = 0.0) -> Seam:
    """What the butt seam of a ring's base carries.

    Parameters
    ----------
    rest : Rest
        A ring at rest, one case.
    place : float
        Where the seam is, along the curve [mm].

    Raises
    ------
    ValueError
        For an open shell, or a place off the ring.

    Notes
    -----
    The seam is taken to hold as if it were foam. A cold-rolled ring on its own has
    ``E t / (2 R)`` at its faces, R its middle radius, less the foam's own softening.
    """
    if not rest.closed:
        raise ValueError("only a ring has a butt seam; this shell is open")
    _one_case(rest, "a seam")
    length = rest.shell.curve.length
    where = single(finite(place, "place of the seam"), "place of the seam")
    if not 0 <= where <= length:
        raise ValueError(
            f"place of the seam must be from 0 to {length:.1f} mm along the ring, got {where:g}"
        )
    places = rest.sections.spans.places
    arc = min(int(np.searchsorted(places, where, side="right")), places.size - 1) - 1

    def there(values: Callable[[Settled], Floats]) -> float:
        return float(rest.sections.gathered([values(part) for part in rest.settled])[arc])

    law = rest.shell.base.law
    return Seam(
        where,
        there(lambda part: part.moment),
        there(lambda part: part.pull),
        float(law.stress(1 + there(lambda part: part.inner_strain[0]))),
        float(law.stress(1 + there(lambda part: part.outer_strain[0]))),
    )
