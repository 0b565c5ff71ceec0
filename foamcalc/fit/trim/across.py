"""A straight strip bent in its own plane: the strains at its two edges."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.stack import Piece
from foamcalc.foam.section import Layer, Settled, settle
from foamcalc.guards import finite, fraction, one_of, single

Floats = NDArray[np.float64]
Side = Literal["inside", "middle", "outside"]
"""Where a band lies of the line it follows: on the piece, half and half, beyond the edge."""

INSIDE: dict[Side, float] = {"inside": 1.0, "middle": 0.5, "outside": 0.0}
"""How much of a band's width lies on the inner side of its line."""
WIDEST = 0.5
"""Widest band whose strains are promised, over the radius of its middle."""
_TOLERANCE = 1e-11
_MOST_STEPS = 40


class Edges(NamedTuple):
    """Strains of a band at places of its line; arrays of one shape, NaN where it folds."""

    inner: Floats
    """Strain of the edge towards the inside of the curve's piece [1]."""
    outer: Floats
    """Strain of the edge towards the outside [1]."""
    line: Floats
    """Strain where the band follows the line [1]."""
    force: Floats
    """Pull in the band [N]."""


def offsets(width: float, side: Side) -> tuple[float, float]:
    """Offsets of a band's inner and outer edge from the line it follows [mm]."""
    inside = INSIDE[one_of(side, "side", tuple(INSIDE))]
    return 0.0 - inside * width, (1 - inside) * width


def band_edges(
    strip: Piece, curvature: ArrayLike, *, side: Side = "middle", pull: float = 0.0
) -> Edges:
    """Strains at the edges of a straight strip that is laid flat along a curve.

    Parameters
    ----------
    strip : Piece
        The strip: its thickness, its width across the band, its foam.
    curvature : array_like
        Curvature of the line it follows [1/mm], positive where the outside is convex.
    side : {"inside", "middle", "outside"}
        Where the band lies of that line.
    pull : float
        0: laid without pull, so that nothing is left over; 1: pulled till its shorter edge is just
        unstrained; between them the squeeze of that edge in proportion.

    Returns
    -------
    Edges
        Arrays of the shape of `curvature`.

    Notes
    -----
    Fibres at the distance y from the line are ``1 + y curvature`` times as long as on it. Laid
    without pull the stresses over the width balance: the section of `settle`, its turn held so
    that the line has its curvature. The width gives by the foam's side stretch. With a full pull
    the strains run from 0 to ``width/R`` over the width as pulled.

    The fibres press on each other, and the strip narrows a little more than that. So strains come
    out too large, which is the safe side: against finite elements by 0.1, 0.4, 1.4 and 2.3 % of
    themselves at widths of 0.1, 0.2, 0.4 and 0.5 R (R to the middle; 0.5 is 0.4 of the radius of
    an edge on which the band lies inside), and by up to 13 % at a width of R, farther than is
    promised; with a full pull the outer one by 0.4, 2 and 13 % at 0.1, 0.2 and 0.4 R (R to the
    inner edge).

    Examples
    --------
    A band 20 mm wide with its middle on a circle of radius 100 mm:

    >>> from foamcalc.foam.law import HyperFoam
    >>> strip = Piece(thickness=5, width=20, law=HyperFoam(mu=0.6, alpha=2, poisson=0.25))
    >>> edges = band_edges(strip, 1 / 100)
    >>> print(f"outer {edges.outer:.3f}, inner {edges.inner:.3f}")
    outer 0.103, inner -0.098
    """
    inside = INSIDE[one_of(side, "side", tuple(INSIDE))]
    bend = finite(curvature, "curvature", "1/mm")
    share = single(fraction(pull, "pull"), "pull")
    values, back = np.unique(bend, return_inverse=True)
    found = np.zeros((4, values.size))
    for hollow in (False, True):
        here = values < 0 if hollow else values > 0
        if here.any():
            part = 1 - inside if hollow else inside
            short, long, line, force = _half(strip, np.abs(values[here]), part, share)
            found[:, here] = (long, short, line, force) if hollow else (short, long, line, force)
    return Edges(*(found[:, back.ravel()].reshape(4, *bend.shape)))


def _half(strip: Piece, bend: Floats, part: float, share: float) -> tuple[Floats, ...]:
    """Strains of the shorter edge, the longer edge and the line, and the pull [N].

    `part` is the height of the line over the shorter edge as a share of the width.
    """
    layer = Layer(
        thickness=strip.width, law=strip.law, width=strip.thickness, inner_length=np.ones(1)
    )
    rest = _curved(layer, bend, part, None)
    lost = rest.failed if share < 1 else np.zeros_like(rest.failed)
    if share:
        rest = _curved(layer, bend, part, 1 + (1 - share) * _filled(rest.inner_strain[0]))
    line = rest.length(0, part) - 1
    force = rest.force[0] * strip.thickness
    found = rest.inner_strain[0], rest.outer_strain[0], line, force
    return tuple(np.where(lost, np.nan, np.ma.filled(np.ma.asarray(x), np.nan)) for x in found)


def _curved(layer: Layer, bend: Floats, part: float, shorter: Floats | None) -> Settled:
    """The strip at rest, for each mm as cut, with this curvature at its line.

    Its shorter edge has the length `shorter`; where that is left out, nothing pulls. Newton's
    method for the turn and the pull.
    """
    turn = bend / (1 - bend * (part - 0.5) * float(layer.thickness))
    pull = np.zeros_like(bend)
    for _ in range(_MOST_STEPS):
        rest = settle([layer], turn=turn, pull=pull)
        line = rest.length(0, part)
        k11, k12, _ = rest.stiffness
        miss = _filled(bend * line - turn)
        slope = (line - rest.inner_length) / turn
        off = np.zeros_like(bend)
        if shorter is None:
            slope = slope - k12 / k11
        else:
            off = _filled(shorter - rest.inner_length)
        if not ((np.abs(miss) > _TOLERANCE * bend) | (np.abs(off) > _TOLERANCE)).any():
            break
        step = _filled((miss + bend * off) / (1 - bend * slope))
        turn = np.maximum(turn + step, turn / 2)
        if shorter is not None:
            pull = pull + _filled(k11 * off + k12 * step)
    return rest


def _filled(values: Floats) -> Floats:
    """The values, with 0 where a case has failed."""
    return np.ma.filled(np.ma.asarray(values), 0.0)
