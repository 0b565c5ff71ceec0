"""What to do with a seam: the ways that keep every limit first, each with its numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from foamcalc.fit.limits import Limit, with_own
from foamcalc.fit.seam.heat_and_knife import by_knife, warm_way
from foamcalc.fit.seam.joined import Seam
from foamcalc.fit.seam.limits import seam_limits
from foamcalc.fit.seam.remedies import SeamWay, at_an_end, cold_ways
from foamcalc.foam.adhesives import adhesive_named
from foamcalc.guards import one_of
from foamcalc.tables import subjects

__all__ = ["ALREADY_CUT", "NOT_CUT", "SeamChoice", "SeamSituation", "SeamWay", "choose_seam"]

FreeEnd = Literal["none", "start", "end", "either"]

ALREADY_CUT = (
    "as cut",
    "stretch and squeeze",
    "more marks",
    "trim an end",
    "move marks",
    "form warm",
    "add at an end",
    "cut a dart",
    "let in a piece",
    "cut again",
)
"""The ways from the easiest to the most work, for edges that are cut."""
NOT_CUT = (
    "as cut",
    "move marks",
    "cut again",
    "trim an end",
    "add at an end",
    "stretch and squeeze",
    "more marks",
    "cut a dart",
    "form warm",
    "let in a piece",
)
"""The same where nothing is cut yet: a pencil costs less than a pull."""


@dataclass(frozen=True, kw_only=True)
class SeamSituation:
    """What the maker is asked before anything is chosen.

    Parameters
    ----------
    already_cut : bool
        Whether the edges are cut. Not cut yet, drawing them again costs nothing.
    free_end : {"none", "start", "end", "either"}
        Which end of the seam may become shorter or longer, because nothing else meets it there;
        walked the way of the first edge.
    marks_move : bool
        Whether marks may move. They may not where they meet other marks or a shape is fitted
        to them.
    adhesive : str
        A name in adhesives.csv.
    """

    already_cut: bool
    free_end: FreeEnd = "none"
    marks_move: bool = True
    adhesive: str = "contact adhesive"

    def __post_init__(self) -> None:
        for name in ("already_cut", "marks_move"):
            if not isinstance(getattr(self, name), bool):
                raise TypeError(f"{name} must be True or False, got {getattr(self, name)!r}")
        one_of(self.free_end, "free_end", ("none", "start", "end", "either"))
        named = adhesive_named(self.adhesive)
        object.__setattr__(self, "adhesive", one_of(named, "adhesive", subjects("adhesives")))


@dataclass(frozen=True, kw_only=True)
class SeamChoice:
    """What to do with a seam, and why."""

    seam: Seam
    situation: SeamSituation
    limits: Mapping[str, Limit]
    ways: tuple[SeamWay, ...]
    """All that can be done: those that keep every limit first, the easiest of them first."""

    @property
    def chosen(self) -> SeamWay:
        """The first of the ways."""
        return self.ways[0]

    @property
    def choice(self) -> str:
        """Name of the chosen way."""
        return self.chosen.choice

    def table(self) -> Any:
        """Every way against every limit (pandas, units beside the numbers)."""
        import pandas as pd

        percent = {"1": (100.0, "%")}
        rows = []
        for way in self.ways:
            for check in way.checks:
                factor, unit = percent.get(check.limit.unit, (1.0, check.limit.unit))
                rows.append(
                    {
                        "way": way.choice,
                        "limit on": check.what,
                        "found": factor * check.found,
                        "limit": factor * check.limit.value,
                        "unit": unit,
                        "met": check.met,
                        "basis": check.limit.basis,
                    }
                )
        heads = ("way", "limit on", "found", "limit", "unit", "met", "basis")
        return pd.DataFrame(rows, columns=list(heads))


def choose_seam(
    seam: Seam, situation: SeamSituation, limits: Mapping[str, Limit] | None = None
) -> SeamChoice:
    """All ways to close a seam, ranked.

    Parameters
    ----------
    seam : Seam
        The seam.
    situation : SeamSituation
        Cut or not, which end is free, whether marks may move, adhesive.
    limits : mapping, optional
        As from `foamcalc.fit.seam.limits.seam_limits`, some of them changed.

    Returns
    -------
    SeamChoice

    Raises
    ------
    ValueError
        For a limit that is not known.

    Notes
    -----
    Edges that are cut: as cut, stretch and squeeze, the same with more marks, trim the longer edge
    at a free end, move marks, stretch the shorter edge warm, add to the shorter edge at a
    free end, cut darts, let in pieces, cut again. Not cut yet: marks and edges are drawn anew
    before anything is pulled. Ways that pass a limit come after those that keep all. A dart, a
    piece let in, or warmth goes where a cold pull would pass a limit; what is left is shared out.

    Examples
    --------
    >>> from foamcalc.fit.seam.edge import SeamEdge
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> eva = Piece(thickness=10, law=foam("EVA medium"))
    >>> seam = Seam(a=SeamEdge(name="front", piece=eva, places=(0, 50, 100)),
    ...             b=SeamEdge(name="back", piece=eva, places=(0, 56, 102)))
    >>> found = choose_seam(seam, SeamSituation(already_cut=True))
    >>> found.choice, found.chosen.amounts[0].by
    ('move marks', -5.0)
    """
    known = with_own(seam_limits(seam), limits)
    order = ALREADY_CUT if situation.already_cut else NOT_CUT
    ways = [
        *cold_ways(
            seam,
            known,
            marks_move=situation.marks_move,
            already_cut=situation.already_cut,
        ),
        *at_an_end(
            seam,
            known,
            free_end=situation.free_end,
            marks_move=situation.marks_move,
            already_cut=situation.already_cut,
        ),
        *warm_way(seam, known),
        *by_knife(seam, known),
    ]
    ways.sort(key=lambda way: (not way.met, order.index(way.choice)))
    return SeamChoice(seam=seam, situation=situation, limits=known, ways=tuple(ways))
