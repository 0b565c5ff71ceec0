"""Flat pieces glued along their edges: is each edge joined once, and what comes out in all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from foamcalc.shape.corner import corner_curvature
from foamcalc.shape.flat import FlatPiece
from foamcalc.shape.net import EdgeName, Net, words
from foamcalc.shape.plane import FULL_TURN


@dataclass(frozen=True, kw_only=True)
class JoinedSeam:
    """Two edges that are glued."""

    edges: tuple[EdgeName, EdgeName]
    length: float
    """Mean of the two [mm]."""
    curvature: float
    """Gauss curvature gathered along it: the turning of both edges [rad]."""


@dataclass(frozen=True, kw_only=True)
class Meeting:
    """A corner of the shell, where corners of pieces meet."""

    corners: tuple[EdgeName, ...]
    """The edges that begin at it, round the corner."""
    angle: float
    """Sum of the inside angles [rad]."""
    curvature: float
    """Missing from a full turn [rad]; on an open rim, from half a turn: its turn there."""
    on_rim: bool


@dataclass(frozen=True, kw_only=True)
class Rim:
    """Open edges that follow each other once round an opening."""

    edges: tuple[EdgeName, ...]
    length: float
    """Length round the opening [mm]."""
    turn: float
    """Turning of its edges and corners, seen in the sheet [rad]."""


@dataclass(frozen=True, kw_only=True)
class Joined:
    """A build of flat pieces, each edge joined once or left open on purpose."""

    seams: tuple[JoinedSeam, ...]
    meetings: tuple[Meeting, ...]
    rims: tuple[Rim, ...]
    parts: int
    """Number of shells that do not hang together."""
    euler: int
    """Corners less edges plus pieces: 2 for a ball, 1 for a bowl, 0 for a tube or a ring."""

    @property
    def closed(self) -> bool:
        """Whether there is no open rim."""
        return not self.rims

    @property
    def curvature(self) -> float:
        """Gauss curvature of all seams and of the corners inside [rad]."""
        inside = sum(corner.curvature for corner in self.meetings if not corner.on_rim)
        return float(sum(seam.curvature for seam in self.seams) + inside)

    @property
    def rim_length(self) -> float:
        """Length of all open rims [mm]."""
        return float(sum(rim.length for rim in self.rims))

    @property
    def misfit(self) -> float:
        """Curvature and turning of the rims, less what the Euler number asks [rad].

        0 but for rounding and for what `FlatPiece` let pass as slack. It says that each corner and
        edge is counted once, and nothing about whether the shape is the one that is wanted.
        """
        return self.curvature + sum(rim.turn for rim in self.rims) - FULL_TURN * self.euler

    def table(self) -> Any:
        """One row a seam, corner and rim (pandas, units in the column heads)."""
        import pandas as pd

        rows: list[tuple[str, str, float, float]] = []
        for seam in self.seams:
            rows.append(("seam", words(seam.edges), seam.length, seam.curvature))
        for corner in self.meetings:
            what = "corner on a rim" if corner.on_rim else "corner"
            rows.append((what, words(corner.corners), np.nan, corner.curvature))
        for rim in self.rims:
            rows.append(("rim", words(rim.edges), rim.length, rim.turn))
        table = pd.DataFrame(rows, columns=["what", "edges", "length [mm]", "curvature [deg]"])
        table["curvature [deg]"] = np.degrees(table["curvature [deg]"])
        return table


def joined(
    pieces: Sequence[FlatPiece],
    joins: Iterable[tuple[EdgeName, EdgeName]],
    *,
    left_open: Iterable[EdgeName] = (),
) -> Joined:
    """Join flat pieces edge to edge, and see that each edge is joined exactly once.

    Parameters
    ----------
    pieces : sequence of FlatPiece
        All pieces, each with its own name, all seen from the face that will be outside.
    joins : iterable of pairs
        The edges that are glued: ((piece, edge), (piece, edge)). They run against each other, as
        edges do that are gone round with the sheet on the left.
    left_open : iterable of (piece, edge)
        Edges that stay open, as the mouth of a shell.

    Returns
    -------
    Joined

    Raises
    ------
    ValueError
        For a name that is not there, an edge that is joined twice, to itself, or not at all, an
        open edge that is joined, and edges over 20 % unlike in length. Edges that are not
        joined are told all together, with their length.

    Notes
    -----
    The sum of seams and corners and of the turning of the rims is ``2 pi`` times the Euler number
    (Gauss and Bonnet), two full turns for anything like a ball: so it comes out right for any
    pieces that are flat and joined, whatever the shape. It proves the joins, not the fit.

    Where an edge meets the ends of two others, part it there into two edges, with half a turn
    between them.

    Examples
    --------
    A can of radius 50: two round discs on a wall whose ends are glued.

    >>> from foamcalc.shape.curve import Arc, TurnedLength
    >>> disc = Arc(radius=50, turn=2 * np.pi, closed=True)
    >>> lid = FlatPiece("lid", {"edge": disc})
    >>> long, high = TurnedLength(disc.length, 0), TurnedLength(80, 0)
    >>> sides = {"bottom": long, "end": high, "top": long, "start": high}
    >>> wall = FlatPiece("wall", sides, [np.pi / 2] * 4)
    >>> can = joined(
    ...     [lid, lid.named("base"), wall],
    ...     [
    ...         (("lid", "edge"), ("wall", "top")),
    ...         (("base", "edge"), ("wall", "bottom")),
    ...         (("wall", "start"), ("wall", "end")),
    ...     ],
    ... )
    >>> print(can.closed, can.euler, f"{np.degrees(can.curvature):.0f} deg")
    True 2 720 deg
    """
    net = Net(pieces)
    mates = net.mates(joins, left_open)
    inside, rims = net.corners(mates)
    meetings = [_meeting(net, corners, on_rim=False) for corners in inside]
    rings = []
    for rim in rims:
        on_rim = [_meeting(net, corners, on_rim=True) for corners in rim]
        edges = tuple(corner.corners[-1] for corner in on_rim)
        rings.append(
            Rim(
                edges=edges,
                length=float(sum(net.edges[edge].length for edge in edges)),
                turn=sum(net.edges[edge].turn for edge in edges)
                + sum(corner.curvature for corner in on_rim),
            )
        )
        meetings += on_rim
    seams = tuple(
        JoinedSeam(
            edges=(a, b),
            length=(net.edges[a].length + net.edges[b].length) / 2,
            curvature=net.edges[a].turn + net.edges[b].turn,
        )
        for a, b in net.seams(mates)
    )
    lines = len(net.edges) - len(seams)
    return Joined(
        seams=seams,
        meetings=tuple(meetings),
        rims=tuple(rings),
        parts=net.parts(mates),
        euler=len(meetings) - lines + sum(piece.euler for piece in pieces),
    )


def _meeting(net: Net, corners: tuple[EdgeName, ...], *, on_rim: bool) -> Meeting:
    """A corner of the shell from the edges that begin at it."""
    angles = [net.angle[edge] for edge in corners]
    return Meeting(
        corners=corners,
        angle=float(sum(angles)),
        curvature=corner_curvature(angles, on_rim=on_rim),
        on_rim=on_rim,
    )
