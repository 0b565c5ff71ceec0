"""One edge of a seam as it lies flat: the marks along it, and the piece behind it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.stack import Piece
from foamcalc.guards import finite, made_of, positive, single
from foamcalc.shape.plane import Curve

Floats = NDArray[np.float64]

ENDS = ("start", "end")
"""What the two ends are called where nobody named them."""


@dataclass(frozen=True, kw_only=True)
class SeamEdge:
    """A cut edge with marks, walked from one end to the other with a tape.

    Parameters
    ----------
    name : str
        What the edge is called, for example "front".
    piece : Piece
        The piece it belongs to: its thickness and foam count.
    places : sequence of float
        Where the marks are along the edge [mm], both ends among them, in rising order.
    names : sequence of str, optional
        Names of the marks: of all of them, or of those between the ends. Left out, the marks are
        counted from 1.
    depth : float
        Width of the piece behind the edge [mm], above 0; infinite for a wide one.
    turns : sequence of float, optional
        How much the edge turns between its marks [rad], one number an interval: positive where
        the outline is convex. Only a bevel asks for it.
    curve : Curve, optional
        The edge as drawn; `places` are lengths along it, and `turns` come from it.
    held : bool
        Whether it cannot give, because it is glued down already.

    Raises
    ------
    ValueError
        For fewer than two places, places out of order or off the curve, doubled or empty names,
        a wrong count of names or turns.

    Examples
    --------
    >>> from foamcalc.foam.grades import foam
    >>> eva = Piece(thickness=10, law=foam("EVA medium"))
    >>> front = SeamEdge(name="front", piece=eva, places=(0, 48, 100), names=("waist",))
    >>> front.labels, front.lengths
    (('start', 'waist', 'end'), array([48., 52.]))
    """

    name: str
    piece: Piece
    places: Sequence[float]
    names: Sequence[str] | None = None
    depth: float = np.inf
    turns: Sequence[float] | None = None
    curve: Curve | None = field(default=None, repr=False)
    held: bool = False

    def __post_init__(self) -> None:
        _check_word(self.name, "the name of an edge")
        said = f"edge {self.name!r}"
        made_of(self.piece, f"{said}: piece", Piece)
        places = finite(self.places, f"{said}: places")
        if places.ndim != 1 or places.size < 2:
            raise ValueError(
                f"{said}: places must be two or more lengths along the edge, both ends among "
                f"them, got {np.atleast_1d(places).tolist()}"
            )
        object.__setattr__(self, "places", tuple(places.tolist()))
        if self.names is not None:
            object.__setattr__(self, "names", self._checked_names(self.names))
        self._check_order()
        if self.depth != np.inf:
            depth = single(positive(self.depth, f"{said}: depth"), f"{said}: depth")
            object.__setattr__(self, "depth", depth)
        self._set_turns()

    @classmethod
    def from_curve(
        cls,
        curve: Curve,
        *,
        name: str,
        piece: Piece,
        marks: Iterable[tuple[str, float] | tuple[str, float, float]] = (),
        depth: float = np.inf,
        held: bool = False,
    ) -> SeamEdge:
        """From a drawn edge and the marks on it.

        Parameters
        ----------
        curve : Curve
            The edge, for example from `foamcalc.shape.pattern.read_pattern`.
        name, piece, depth, held
            As for the edge itself.
        marks : iterable of tuple
            Each a name and a length along the curve [mm], in any order; an `Edge` of a pattern has
            them as `marks`, with their distance from it. Marks at the very ends name the ends.

        Examples
        --------
        >>> from foamcalc.foam.law import Linear
        >>> from foamcalc.shape.curve import Arc
        >>> eva = Piece(thickness=10, law=Linear(1.5))
        >>> edge = SeamEdge.from_curve(Arc(100, 1.0), name="front", piece=eva,
        ...     marks=[("waist", 60)])
        >>> edge.labels, edge.turns
        (('start', 'waist', 'end'), (0.6, 0.4))
        """
        slack = 1e-9 * curve.length
        found = {0.0: ENDS[0], curve.length: ENDS[1]}
        for mark, at, *_ in sorted(marks, key=lambda given: given[1]):
            place = single(finite(at, f"edge {name!r}: mark {mark!r}"), f"mark {mark!r}")
            place = next((x for x in (0.0, curve.length) if abs(place - x) <= slack), place)
            if place in found and found[place] not in ENDS:
                raise ValueError(
                    f"edge {name!r}: marks {found[place]!r} and {mark!r} both stand at "
                    f"{place:g} mm; leave one of them out"
                )
            found[place] = mark
        places = sorted(found)
        names = [found[x] for x in places]
        plain = (names[0], names[-1]) == ENDS
        return cls(
            name=name,
            piece=piece,
            places=places,
            names=names[1:-1] if plain else names,
            curve=curve,
            depth=depth,
            held=held,
        )

    def _checked_names(self, given: Sequence[str]) -> tuple[str, ...]:
        said, names, count = f"edge {self.name!r}", tuple(given), len(self.places)
        if isinstance(given, str):
            raise TypeError(f"{said}: names must be a list of words, one a mark, got {given!r:.60}")
        for n in names:
            _check_word(n, f"{said}: the name of a mark")
        if len(names) not in (count, count - 2):
            raise ValueError(
                f"{said}: {count} places need {count} names, or {count - 2} if the ends have "
                f"none, got {len(names)}: {', '.join(names)}"
            )
        names = tuple(n.strip() for n in names)
        shown = names if len(names) == count else (ENDS[0], *names, ENDS[1])
        for n in shown:
            if shown.count(n) > 1:
                where = [f"{p:g}" for p, s in zip(self.places, shown, strict=True) if s == n]
                raise ValueError(
                    f"{said}: the name {n!r} stands twice, at {' and '.join(where)} mm; give "
                    "every mark its own name"
                )
        return names

    def _check_order(self) -> None:
        said = f"edge {self.name!r}"
        for (before, p), (after, q) in pairwise(zip(self.labels, self.places, strict=True)):
            if not q > p:
                what = "stands at the same place as" if q == p else "comes before"
                raise ValueError(
                    f"{said}: mark {after!r} at {q:g} mm {what} mark {before!r} at {p:g} mm; "
                    "places must rise along the edge, so walk it again from one end"
                )
        if self.curve is not None and not (
            self.places[0] >= -1e-9 * self.curve.length
            and self.places[-1] <= (1 + 1e-9) * self.curve.length
        ):
            raise ValueError(
                f"{said}: places must lie on the curve, from 0 to {self.curve.length:g} mm, got "
                f"{self.places[0]:g} to {self.places[-1]:g}"
            )

    def _set_turns(self) -> None:
        said, turns = f"edge {self.name!r}", self.turns
        if self.curve is not None:
            if turns is not None:
                raise ValueError(f"{said}: give either the turns or the curve, not both")
            turns = np.diff(self.curve.heading(self.places)).tolist()
        if turns is None:
            return
        bent = finite(turns, f"{said}: turns", "rad")
        if bent.shape != (len(self.places) - 1,):
            raise ValueError(
                f"{said}: turns must be one angle an interval, {len(self.places) - 1} in all, "
                f"got {bent.size}"
            )
        object.__setattr__(self, "turns", tuple(bent.tolist()))

    @property
    def labels(self) -> tuple[str, ...]:
        """A name for every mark, both ends among them."""
        inner = len(self.places) - 2
        names = tuple(str(i + 1) for i in range(inner)) if self.names is None else self.names
        return tuple(names) if len(names) == inner + 2 else (ENDS[0], *names, ENDS[1])

    @property
    def ends_named(self) -> bool:
        """Whether the two ends have names of their own."""
        return self.names is not None and len(self.names) == len(self.places)

    @property
    def lengths(self) -> Floats:
        """Lengths between the marks [mm]."""
        return np.diff(self.places)

    @property
    def length(self) -> float:
        """Length from end to end [mm]."""
        return self.places[-1] - self.places[0]

    def backwards(self) -> SeamEdge:
        """The same edge walked from its other end; also the edge of the mirrored piece.

        Lengths, names and turns come in the opposite order; the curve is left behind.
        """
        return replace(
            self,
            places=tuple(self.places[-1] - p for p in reversed(self.places)),
            names=None if self.names is None else tuple(reversed(self.names)),
            turns=None if self.turns is None else tuple(reversed(self.turns)),
            curve=None,
        )

    def with_places(self, places: Sequence[float]) -> SeamEdge:
        """The same edge with its marks in other places [mm]; turns and curve are left behind."""
        return replace(self, places=tuple(places), turns=None, curve=None)


def _check_word(word: object, what: str) -> None:
    """Raise an error for a name that is no text or has no letter in it."""
    if not isinstance(word, str):
        raise TypeError(f"{what} must be a word, such as 'waist', got {word!r:.60}")
    if not word.strip():
        raise ValueError(f"{what} must be a word, such as 'waist', got nothing")
