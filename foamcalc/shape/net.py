"""Which edge follows which round flat pieces, and which is joined to which."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from foamcalc.guards import one_of
from foamcalc.shape.flat import FlatPiece
from foamcalc.shape.plane import Curve
from foamcalc.shape.solid import check_lengths

EdgeName = tuple[str, str]
"""Name of the piece, name of its edge."""
Mates = dict[EdgeName, EdgeName]
"""What each joined edge is joined to, both ways."""


class Net:
    """All edges of all pieces: which follows which, and the inside angle where each begins."""

    def __init__(self, pieces: Sequence[FlatPiece]) -> None:
        if not pieces:
            raise ValueError("pieces must be one or more, got none")
        names = [piece.name for piece in pieces]
        if len(set(names)) < len(names):
            twice = next(name for name in names if names.count(name) > 1)
            raise ValueError(f"two pieces have the name {twice!r}; give each its own")
        self.own = {
            piece.name: [name for loop in piece.loops for name in loop.edges] for piece in pieces
        }
        self.edges: dict[EdgeName, Curve] = {}
        self.after: dict[EdgeName, EdgeName] = {}
        self.angle: dict[EdgeName, float] = {}
        for piece in pieces:
            for loop in piece.loops:
                own = [(piece.name, name) for name in loop.edges]
                self.edges.update(zip(own, loop.edges.values(), strict=True))
                self.after.update(zip(own, own[1:] + own[:1], strict=True))
                self.angle.update(zip(own, loop.inside.tolist(), strict=True))

    def found(self, name: EdgeName, where: str) -> EdgeName:
        """The edge of this name; an error with the nearest one if there is none."""
        try:
            piece, edge = name
            known = (piece, edge) in self.edges
        except (TypeError, ValueError):
            raise TypeError(
                f"{where}: an edge must be named by its piece and itself, got {name!r}"
            ) from None
        if known:
            return piece, edge
        piece = one_of(piece, f"{where}: the piece", self.own)
        return piece, one_of(edge, f"{where}: the edge of piece {piece!r}", self.own[piece])

    def mates(
        self, joins: Iterable[tuple[EdgeName, EdgeName]], left_open: Iterable[EdgeName]
    ) -> Mates:
        """What each joined edge is joined to; ValueError unless each is joined or left open."""
        mates: Mates = {}
        for number, join in enumerate(joins, start=1):
            where = f"join {number}"
            if len(join) != 2:
                raise ValueError(f"{where} must be two edges, got {join!r}")
            pair = [self.found(name, where) for name in join]
            if pair[0] == pair[1]:
                raise ValueError(
                    f"{where} joins edge {_word(pair[0])} to itself; part it into two edges"
                )
            for edge, other in (pair, pair[::-1]):
                if edge in mates:
                    raise ValueError(
                        f"{where} joins edge {_word(edge)} to {_word(other)}, but it is already "
                        f"joined to {_word(mates[edge])}; an edge is joined once"
                    )
            a, b = (self.edges[edge].length for edge in pair)
            check_lengths(a, b, f"in {where} ({words(pair)})")
            mates[pair[0]], mates[pair[1]] = pair[1], pair[0]
        opened = {self.found(name, "left_open") for name in left_open}
        for edge, other in mates.items():
            if edge in opened:
                raise ValueError(
                    f"edge {_word(edge)} is named in left_open, but it is joined to {_word(other)}"
                )
        loose = [edge for edge in self.edges if edge not in mates and edge not in opened]
        if loose:
            each = ", ".join(f"{_word(edge)} ({self.edges[edge].length:.1f} mm)" for edge in loose)
            total = sum(self.edges[edge].length for edge in loose)
            raise ValueError(
                f"joined to nothing, {total:.1f} mm in all: {each}; join each of them to another "
                "edge, or name it in left_open"
            )
        return mates

    def corners(
        self, mates: Mates
    ) -> tuple[list[tuple[EdgeName, ...]], list[list[tuple[EdgeName, ...]]]]:
        """The corners of the shell, each as the edges that begin at it in order round it.

        Returns
        -------
        inside : list
            The corners that no open edge touches.
        rims : list of lists
            For each rim its corners in order; the last edge at each is the open one.
        """

        def gather(start: EdgeName) -> tuple[EdgeName, ...]:
            met = [start]
            while met[-1] in mates and (nxt := self.after[mates[met[-1]]]) != start:
                met.append(nxt)
            return tuple(met)

        rims, left = [], [edge for edge in self.edges if edge not in mates]
        while left:
            rim = [gather(self.after[left[0]])]
            while rim[-1][-1] != left[0]:
                rim.append(gather(self.after[rim[-1][-1]]))
            rims.append(rim)
            left = [edge for edge in left if edge not in {corner[-1] for corner in rim}]
        seen = {edge for rim in rims for corner in rim for edge in corner}
        inside = []
        for edge in self.edges:
            if edge not in seen:
                inside.append(gather(edge))
                seen.update(inside[-1])
        return inside, rims

    def seams(self, mates: Mates) -> list[tuple[EdgeName, EdgeName]]:
        """Each pair of joined edges once."""
        pairs: dict[EdgeName, EdgeName] = {}
        for edge, other in mates.items():
            if other not in pairs:
                pairs[edge] = other
        return list(pairs.items())

    def parts(self, mates: Mates) -> int:
        """Number of groups of pieces that hang together."""
        beside: dict[str, set[str]] = {piece: set() for piece in self.own}
        for (piece, _), (other, _) in mates.items():
            beside[piece].add(other)
        groups = 0
        while beside:
            groups += 1
            reached = {next(iter(beside))}
            while reached:
                reached |= beside.pop(reached.pop()) & beside.keys()
        return groups


def _word(edge: EdgeName) -> str:
    """An edge as it stands in an error."""
    return f"{edge[1]!r} of {edge[0]!r}"


def words(edges: Iterable[EdgeName]) -> str:
    """Edges as they stand in a table."""
    return ", ".join(f"{piece}: {edge}" for piece, edge in edges)
