"""A seam: two edges with their marks matched, and what happens between the marks."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import groupby
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.limits import tape_reading
from foamcalc.fit.seam.edge import SeamEdge
from foamcalc.fit.seam.give import Sheet, gives, lean, sheet_of
from foamcalc.fit.seam.match import Matched, match
from foamcalc.fit.seam.reach import pucker_strain, reach

Floats = NDArray[np.float64]
Side = Literal["a", "b"]

SIDES: tuple[Side, Side] = ("a", "b")
_DECIMALS = 6
"""Decimals to which differences are compared [mm]."""
_ROUNDING = 1e-9
"""Share of a length by which two lengths may differ and still be alike."""


def other(side: Side) -> Side:
    """The edge across the seam."""
    return "b" if side == "a" else "a"


@dataclass(frozen=True, kw_only=True)
class SeamIntervals:
    """What happens between neighbouring marks; arrays with one entry an interval.

    Positive strain is stretch, negative is squeeze. Rising order along the first edge.
    """

    starts: tuple[str, ...]
    """The mark at which each interval begins, by its name on the first edge."""
    ends: tuple[str, ...]
    """The mark at which it ends."""
    a: Floats
    """Length on the first edge as cut [mm]."""
    b: Floats
    """Length on the second edge as cut [mm]."""
    give_a: Floats
    """How much longer the first edge becomes [mm]; negative: shorter."""
    reach_a: Floats
    """How deep the strain goes into the first piece till a tenth is left, at most [mm]."""
    reach_b: Floats
    """The same in the second piece [mm]."""
    pucker_a: Floats
    """Least squeeze at which the first edge puckers between the marks, as a strain [1]."""
    pucker_b: Floats
    """The same for the second edge [1]."""
    names: tuple[str, str] = field(default=("a", "b"), repr=False)
    """Names of the two edges."""

    @cached_property
    def difference(self) -> Floats:
        """Second edge less first edge [mm]: positive where the second one is longer."""
        return np.asarray(self.b - self.a, dtype=np.float64)

    @cached_property
    def give_b(self) -> Floats:
        """How much shorter the second edge becomes [mm]: the rest of the difference."""
        return self.difference - self.give_a

    @property
    def share_a(self) -> Floats:
        """Share of each difference that the first edge gives [1]; nan where there is none."""
        d = np.where(self.difference == 0, np.nan, self.difference)
        return np.asarray(self.give_a / d, dtype=np.float64)

    @property
    def share_b(self) -> Floats:
        """Share of each difference that the second edge gives [1]; nan where there is none."""
        return 1 - self.share_a

    @property
    def glued(self) -> Floats:
        """Length of each interval when it is glued and let go [mm]."""
        return self.a + self.give_a

    @cached_property
    def strain_a(self) -> Floats:
        """Strain of the first edge [1]."""
        return self.give_a / self.a

    @cached_property
    def strain_b(self) -> Floats:
        """Strain of the second edge [1]."""
        return 0.0 - self.give_b / self.b

    @property
    def squeezed(self) -> tuple[Literal["a", "b", ""], ...]:
        """Which edge is squeezed in each interval; nothing where neither is."""
        return tuple(
            "a" if x < 0 and x <= y else "b" if y < 0 else ""
            for x, y in zip(self.strain_a, self.strain_b, strict=True)
        )

    @property
    def ahead(self) -> Floats:
        """How far the second edge has run ahead at the end of each interval [mm].

        This is what the marks are apart where the edges are laid together from the start on and
        nothing is shared out.
        """
        return np.cumsum(self.difference)

    @property
    def total(self) -> float:
        """Difference of the whole seam [mm]."""
        return float(self.difference.sum())

    @cached_property
    def by_difference(self) -> NDArray[np.intp]:
        """The intervals by their differences, the largest first, equal ones as they lie."""
        return np.argsort(-np.abs(np.round(self.difference, _DECIMALS)), kind="stable")

    @cached_property
    def unequal(self) -> NDArray[np.bool_]:
        """Where the difference is more than a tape reading.

        Where none is, but the seam as a whole is, it is wherever an interval adds to that.
        """
        seen = np.abs(self.difference) > tape_reading()
        if seen.any() or abs(self.total) <= tape_reading():
            return np.asarray(seen)
        return np.asarray(self.difference * self.total > 0)

    @property
    def hidden(self) -> bool:
        """Whether the seam agrees as a whole, but not between its marks."""
        return abs(self.total) <= tape_reading() and bool(self.unequal.any())

    def strain(self, side: Side) -> Floats:
        """Strain of one edge [1]."""
        return self.strain_a if side == "a" else self.strain_b

    def pucker(self, side: Side) -> Floats:
        """Least squeeze at which one edge puckers, as a strain [1]."""
        return self.pucker_a if side == "a" else self.pucker_b

    def name(self, i: int) -> str:
        """An interval by its marks, such as "waist to hip"."""
        return f"{self.starts[i]} to {self.ends[i]}"

    def find(self, name: str) -> int:
        """Number of the interval with this name, counted from 0."""
        return [self.name(i) for i in range(len(self.starts))].index(name)

    def table(self, *, largest_first: bool = True) -> Any:
        """The intervals side by side, the whole seam below (pandas, units in the column heads)."""
        import pandas as pd

        one, two = self.names
        puckers = [
            100 * float(self.pucker(side)[i]) if side else np.nan
            for i, side in enumerate(self.squeezed)
        ]
        frame = pd.DataFrame(
            {
                "from": self.starts,
                "to": self.ends,
                f"{one} [mm]": self.a,
                f"{two} [mm]": self.b,
                "difference [mm]": self.difference,
                f"share of {one} [%]": 100 * self.share_a,
                f"share of {two} [%]": 100 * self.share_b,
                f"strain of {one} [%]": 100 * self.strain_a,
                f"strain of {two} [%]": 100 * self.strain_b,
                "squeezed": [{"a": one, "b": two, "": ""}[s] for s in self.squeezed],
                "puckers from [%]": puckers,
                f"reach into {one}, deep piece [mm]": self.reach_a,
                f"reach into {two}, deep piece [mm]": self.reach_b,
                "runs ahead [mm]": self.ahead,
            }
        )
        rows = frame.iloc[self.by_difference] if largest_first else frame
        whole = pd.DataFrame(
            {
                "from": self.starts[:1],
                "to": self.ends[-1:],
                f"{one} [mm]": [self.a.sum()],
                f"{two} [mm]": [self.b.sum()],
                "difference [mm]": [self.total],
                "squeezed": [""],
            },
            index=["whole seam"],
        )
        return pd.concat([rows, whole])


@dataclass(frozen=True, kw_only=True)
class Seam:
    """Two edges that are glued edge to edge, mark to mark.

    Parameters
    ----------
    a, b : SeamEdge
        The two edges, each walked in its own direction. A mirrored piece is walked from its
        other end, so that it counts as reversed.
    reverse : bool, optional
        Whether `b` runs the other way; left out, the names of the marks tell it.

    Raises
    ------
    ValueError
        For edges of the same name, marks that do not match, two edges that are both held, or a
        piece too narrow for its seam.

    Notes
    -----
    A seam that closes on itself is walked once round, from a mark and back to it; its ends count
    as free all the same. Straight seam, small strain; the foams count as they are at rest. A foam
    that is stiffer in tension than in compression gives less on its stretched side: with an
    exponent of 8 and a mismatch of 10 % about 0.45 in the place of 0.50.

    Examples
    --------
    A seam that agrees in all, but not between its marks:

    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> eva = Piece(thickness=10, law=foam("EVA medium"))
    >>> seam = Seam(a=SeamEdge(name="front", piece=eva, places=(0, 50, 100)),
    ...             b=SeamEdge(name="back", piece=eva, places=(0, 53, 100)))
    >>> between = seam.intervals
    >>> print(between.difference, between.total, between.hidden)
    [ 3. -3.] 0.0 True
    >>> print((100 * between.strain_a).round(2), between.squeezed)
    [ 3. -3.] ('b', 'a')
    """

    a: SeamEdge
    b: SeamEdge
    reverse: bool | None = None

    def __post_init__(self) -> None:
        if self.a.name == self.b.name:
            raise ValueError(
                f"both edges are called {self.a.name!r}; give each its own name, such as "
                f"'{self.a.name} left' and '{self.a.name} right'"
            )
        _ = self.intervals  # checks that the marks match and that something can give

    @cached_property
    def matched(self) -> Matched:
        """The second edge walked the same way as the first, and how that is known."""
        return match(self.a, self.b, reverse=self.reverse)

    def edge(self, side: Side) -> SeamEdge:
        """One of the edges, both walked the way of the first."""
        return self.a if side == "a" else self.matched.b

    @cached_property
    def intervals(self) -> SeamIntervals:
        """What happens between the marks."""
        a, b = self.a, self.matched.b
        one, two = sheet_of(a), sheet_of(b)
        alike = np.abs(b.lengths - a.lengths) <= _ROUNDING * a.lengths
        mean, d = (a.lengths + b.lengths) / 2, np.where(alike, 0.0, b.lengths - a.lengths)
        if a.held and b.held:
            raise ValueError(
                f"edges {a.name!r} and {b.name!r} are both held, so that neither can give; "
                "set held for one of them at most"
            )
        return SeamIntervals(
            starts=a.labels[:-1],
            ends=a.labels[1:],
            a=a.lengths,
            b=a.lengths + d,
            give_a=gives(mean, d, one, two),
            reach_a=_reaches(mean, d, one, two),
            reach_b=_reaches(mean, d, two, one),
            pucker_a=pucker_strain(thickness=a.piece.thickness, spacing=mean),
            pucker_b=pucker_strain(thickness=b.piece.thickness, spacing=mean),
            names=(a.name, b.name),
        )

    def table(self, *, largest_first: bool = True) -> Any:
        """The intervals side by side (pandas), as `SeamIntervals.table`."""
        return self.intervals.table(largest_first=largest_first)

    def changed(self, side: Side, places: Floats) -> Seam:
        """The same seam with the marks of one edge in other places [mm], walked like the first."""
        edge = self.edge(side).with_places(places.tolist())
        a, b = (edge, self.matched.b) if side == "a" else (self.a, edge)
        return replace(self, a=a, b=b, reverse=None if self.matched.by == "name" else False)


def _reaches(lengths: Floats, differences: Floats, own: Sheet, other: Sheet) -> Floats:
    """How deep the strain goes at most: as from a run of differences of one sign, by itself."""
    if own.softness == 0:
        return np.zeros(lengths.shape)
    tilt = float(lean(own.softness, other.softness, own.poisson, other.poisson))
    runs: list[float] = []
    for _, group in groupby(range(lengths.size), key=lambda i: float(np.sign(differences[i]))):
        inside = list(group)
        runs += [float(lengths[inside].sum())] * len(inside)
    deepest = reach("lone", poisson=own.poisson, lean=tilt) * np.array(runs)
    return np.where(differences == 0, 0.0, np.minimum(deepest, own.depth))
