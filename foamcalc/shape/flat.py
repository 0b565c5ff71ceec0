"""Flat pieces by their edges and corners, and the proof that nothing is left out of one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import non_negative, single
from foamcalc.shape.corner import checked_angles
from foamcalc.shape.plane import FULL_TURN, Curve, Floats
from foamcalc.shape.travel import travel


@dataclass(frozen=True)
class Loop:
    """Edges that follow each other once round a piece, or once round a hole in it.

    Parameters
    ----------
    edges : mapping of str to Curve
        The edges in order, each with its name, gone round with the sheet on the left as seen
        from the outer face: round a piece to the left, round a hole to the right. The outside of
        an edge is the side away from the sheet.
    angles : array_like, shape (n,)
        Inside angle of the sheet at the start of each edge [rad], above 0, at most a full turn;
        half a turn where one edge runs straight on into the next. None for a single closed edge.

    Raises
    ------
    ValueError
        For angles that are not one for each edge, or that no piece can have.
    """

    edges: Mapping[str, Curve]
    angles: ArrayLike = ()

    def __post_init__(self) -> None:
        edges = dict(self.edges)
        for name, edge in edges.items():
            _check_name(name, "an edge")
            if not isinstance(edge, Curve):
                raise TypeError(f"edge {name!r} must be a Curve, got {type(edge).__name__}")
            if edge.closed and len(edges) > 1:
                raise ValueError(f"edge {name!r} is closed, so it can have no other edge beside it")
        if not edges:
            raise ValueError("edges must be one or more, got none")
        object.__setattr__(self, "edges", MappingProxyType(edges))
        given = checked_angles(self.angles).tolist() if np.size(self.angles) else []
        if len(given) != (0 if self.smooth else len(edges)):
            rule = (
                "none on a closed edge"
                if self.smooth
                else f"one for each of the {len(edges)} edges"
            )
            raise ValueError(f"angles must be {rule}, got {len(given)}")
        object.__setattr__(self, "angles", tuple(given))

    @property
    def smooth(self) -> bool:
        """Whether it is a single closed edge, whose start is no corner."""
        return next(iter(self.edges.values())).closed

    @property
    def inside(self) -> Floats:
        """Inside angle at the start of each edge [rad]; half a turn on a closed edge."""
        return np.array([np.pi]) if self.smooth else np.asarray(self.angles, dtype=float)

    @property
    def turn(self) -> float:
        """Turning of all edges and corners [rad]; a full turn round any flat piece."""
        return float(sum(edge.turn for edge in self.edges.values()) + (np.pi - self.inside).sum())

    def turned_over(self) -> Loop:
        """The same loop seen from the other face: the edges in the other order."""
        edges = dict(list(self.edges.items())[::-1])
        return Loop(edges, () if self.smooth else np.roll(self.inside, -1)[::-1])

    def suspect(self, off: float) -> str | None:
        """The edge at whose start the angle seems wrong, when the turning is off [rad].

        The corner, if there is one, at which another angle makes the loop turn as it should and
        brings it back to where it set out.
        """
        names, angles = list(self.edges), self.inside
        gaps = []
        for i in range(len(names)):
            mended = angles.copy()
            mended[i] += off
            sound = 0 < mended[i] <= FULL_TURN
            gaps.append(_gap(list(self.edges.values()), mended) if sound else np.inf)
        around = sum(edge.length for edge in self.edges.values())
        nearest = int(np.argmin(gaps))
        return names[nearest] if gaps[nearest] < 1e-3 * abs(off) * around else None


def _gap(edges: list[Curve], angles: Floats) -> float:
    """How far from its start a loop ends [mm]."""
    place, heading = 0j, 0.0
    for edge, angle in zip(edges, np.roll(angles, -1), strict=True):
        ahead, aside = travel(edge, edge.length, heading=heading)
        place += complex(float(ahead), float(aside))
        heading += edge.turn + np.pi - float(angle)
    return abs(place)


@dataclass(frozen=True)
class FlatPiece:
    """A flat piece: its edges in order round it, and the angles of its corners.

    Parameters
    ----------
    name : str
        What it is called. A piece that is cut twice is two pieces; `named` gives the other.
    edges : mapping of str to Curve
        The edges in order, as for a `Loop`.
    angles : array_like, shape (n,)
        Inside angle at the start of each edge [rad]; none for a single closed edge.
    holes : sequence of Loop
        Holes through the piece.
    slack : float
        How far the turning round the piece may be off [rad]: 1e-6 for a drawn piece; more
        where angles are measured.

    Raises
    ------
    ValueError
        For a piece whose edges and corners do not make a full turn, with the corner that seems
        to be wrong; for two edges of one name.

    Notes
    -----
    Round a flat piece the turning of the edges and of the corners (half a turn less the inside
    angle) is a full turn, round a hole a full turn the other way.

    Examples
    --------
    The wall of a can, 300 mm round and 100 mm high:

    >>> from foamcalc.shape.curve import TurnedLength
    >>> long, short = TurnedLength(300, 0), TurnedLength(100, 0)
    >>> sides = {"bottom": long, "end": short, "top": long, "start": short}
    >>> wall = FlatPiece("wall", sides, [np.pi / 2] * 4)
    >>> FlatPiece("wall", sides, [np.pi / 2, np.pi / 2, np.pi / 2, 1.5])
    Traceback (most recent call last):
    ValueError: ... round piece 'wall' turn through 364.1 deg, and a flat piece makes 360.0; ...
    """

    name: str
    edges: Mapping[str, Curve]
    angles: ArrayLike = ()
    holes: tuple[Loop, ...] = ()
    slack: float = 1e-6
    loops: tuple[Loop, ...] = field(init=False, repr=False, compare=False)
    """The outline, then the holes."""

    def __post_init__(self) -> None:
        _check_name(self.name, "a piece")
        for hole in self.holes:
            if not isinstance(hole, Loop):
                raise TypeError(f"holes must each be a Loop, got {type(hole).__name__}")
        try:
            outline = Loop(self.edges, self.angles)
        except (TypeError, ValueError) as fault:
            raise type(fault)(f"piece {self.name!r}: {fault}") from None
        object.__setattr__(self, "edges", outline.edges)
        object.__setattr__(self, "angles", outline.angles)
        object.__setattr__(self, "holes", tuple(self.holes))
        object.__setattr__(self, "loops", (outline, *self.holes))
        slack = single(non_negative(self.slack, "slack", "rad"), "slack")
        object.__setattr__(self, "slack", slack)
        names = [name for loop in self.loops for name in loop.edges]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise ValueError(f"piece {self.name!r} has two edges of the name {twice[0]!r}")
        for loop in self.loops:
            self._check_turn(loop, FULL_TURN if loop is outline else -FULL_TURN)

    def _check_turn(self, loop: Loop, want: float) -> None:
        """Raise ValueError for a loop that does not make its full turn."""
        off = loop.turn - want
        if abs(off) <= self.slack:
            return
        corner = loop.suspect(off)
        what = "a flat piece makes" if want > 0 else "the edges of a hole make"
        if corner is None:
            remedy = "check the angles, which way each edge curves, and whether an edge is left out"
        else:
            angle = float(loop.inside[list(loop.edges).index(corner)])
            remedy = (
                f"it would close with {np.degrees(angle + off):.1f} deg instead of "
                f"{np.degrees(angle):.1f} at the start of edge {corner!r}"
            )
        raise ValueError(
            f"the edges and corners round piece {self.name!r} turn through "
            f"{np.degrees(loop.turn):.1f} deg, and {what} {np.degrees(want):.1f}; {remedy}"
        )

    @property
    def euler(self) -> int:
        """1 for a piece without holes, one less for each hole."""
        return 1 - len(self.holes)

    def named(self, name: str) -> FlatPiece:
        """Another piece of the same cut."""
        return replace(self, name=name)

    def turned_over(self) -> FlatPiece:
        """The piece with its other face outside, as the second of a left and a right one.

        Its edges follow each other in the other order; each runs as it was drawn, which is now
        with the sheet on its right.
        """
        outline, *holes = (loop.turned_over() for loop in self.loops)
        return replace(self, edges=outline.edges, angles=outline.angles, holes=tuple(holes))


def _check_name(name: object, what: str) -> None:
    """Raise TypeError for a name that is no text, or empty."""
    if not isinstance(name, str) or not name:
        raise TypeError(f"{what} must have a name, got {name!r}")
