"""Teeth of a toothed strip: where they lie, and what the gaps between them do on the edge."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.trim.at_pitch import PitchCut, PitchStrip
from foamcalc.fit.trim.pitched import PitchMark, marks_table
from foamcalc.fit.trim.web import Web
from foamcalc.guards import finite, single

Floats = NDArray[np.float64]
Begin = Literal["tooth", "half tooth"]
"""What a toothed strip begins with: a whole tooth, its last gap at the other end; or half a tooth,
the other half at the other end."""


@dataclass(frozen=True, kw_only=True)
class ToothedStrip(PitchStrip):
    """A strip with teeth: pieces removed down to the web, as wide as the strip stands.

    Parameters
    ----------
    piece : Piece
        The strip before it is cut: thickness, foam, width as it stands.
    depth : float
        Depth of the gaps [mm], 0.4 to 0.8 of the thickness: the height of the teeth.
    share : float
        Share of a period, tooth and gap, that is removed [1]: 0.5 for every second piece.
    face : {"outside", "inside"}
        The face the teeth are on: the one away from the edge, or the glued one.
    root_radius : float
        Radius in the corners of a gap [mm]. Assumed where nothing is known.
    """

    share: float = 0.5

    def __post_init__(self) -> None:
        super().__post_init__()
        share = single(finite(self.share, "share", "1"), "share")
        if not 0 < share < 1:
            raise ValueError(
                f"share of a period that is removed must be above 0 and below 1, got {share:g}; "
                "0.5 for every second piece"
            )
        object.__setattr__(self, "share", share)

    def web(self, period: float) -> Web:
        """One tooth and one gap of it; ValueError for gaps that are too deep, or long teeth."""
        return self.web_of(pitch=period, gap=self.share * period)


class Halves(NamedTuple):
    """Two toothed strips out of one, the pieces removed from one being the teeth of the other."""

    thickness: float
    """Thickness of the strip that both are cut from [mm]."""
    length: float
    """Its length, and that of each of the two [mm]."""
    teeth: int
    """Teeth on each."""
    saved: float
    """Thickness of strip saved against two cut by themselves [mm]."""


@dataclass(frozen=True, kw_only=True)
class Teeth(PitchCut):
    """A toothed strip as it is cut, and what its teeth do on the edge."""

    strip: ToothedStrip
    begin: Begin

    @property
    def pitch(self) -> float:
        """Half a period [mm]: from cut to cut where every second piece is removed."""
        return self.period / 2

    @property
    def period(self) -> float:
        """From tooth to tooth, adjusted to the length [mm]."""
        return self.pitched.web.pitch

    @property
    def number(self) -> int:
        """How many teeth; two halves at the ends count as one."""
        return self.pitched.number

    @property
    def tooth(self) -> float:
        """Length of a tooth along the strip, root and tip [mm]."""
        return self.pitched.web.piece

    @property
    def gap(self) -> float:
        """Length of a gap as cut [mm]."""
        return self.pitched.web.gap

    @property
    def halved(self) -> bool:
        """Whether it begins and ends with half a tooth."""
        return self.begin == "half tooth"

    @property
    def turn(self) -> float:
        """Mean angle from tooth to tooth on the edge [rad], positive where they spread."""
        return float(self.pitched.web.opens(self.pitched.curve.turn)) / self.number

    @property
    def gap_middles(self) -> Floats:
        """Middles of the gaps, from the first period on [mm]."""
        first = self.period / 2 if self.halved else self.tooth + self.gap / 2
        return np.asarray(first + np.arange(self.number) * self.period)

    @property
    def sides(self) -> Floats:
        """Where the teeth begin and end, from the first period on [mm]; shape (teeth, 2).

        Half teeth at the ends of a strip are rows of their own.
        """
        if not self.halved:
            starts = np.arange(self.number) * self.period
            return np.asarray(np.stack([starts, starts + self.tooth], axis=1))
        found, first = [], 0
        for count in self.pitched.counts:
            middles = np.arange(first, first + count + 1) * self.period
            both = np.stack([middles - self.tooth / 2, middles + self.tooth / 2], axis=1)
            found.append(np.clip(both, middles[0], middles[-1]))
            first += count
        return np.concatenate(found)

    @property
    def _followed(self) -> NDArray[np.bool_]:
        """Which rows of `sides` have a gap and a tooth after them on their strip."""
        follows = np.ones(len(self.sides), dtype=bool)
        if self.halved:
            follows[np.cumsum(np.asarray(self.pitched.counts) + 1) - 1] = False
        elif not self.pitched.ring:
            follows[-1] = False
        return follows

    @property
    def between(self) -> Floats:
        """Middles of the gaps that have a tooth on either side [mm]."""
        last_is_open = not (self.halved or self.pitched.ring)
        return self.gap_middles[:-1] if last_is_open else self.gap_middles

    @property
    def tip_gaps(self) -> Floats:
        """Gap from tooth to tooth at the tips on the edge [mm], in the order of `between`."""
        return self.tips

    @cached_property
    def root_gaps(self) -> Floats:
        """Gap from tooth to tooth at the roots on the edge [mm], in the order of `between`."""
        web, (turns, _) = self.pitched.web, self.bends
        return np.asarray(self.gap + web.opens(turns) * web.root_lever())

    @property
    def closest(self) -> float:
        """Radius of the edge at which teeth that close just meet [mm]; it does not hang on pitch.

        On an edge that is hollow where the teeth are outside, convex where they are inside.
        """
        return self.pitched.web.meeting_radius()

    def halves(self) -> Halves:
        """Two strips out of one for the two halves of this one's edge.

        One cut up and down between them, ``web + depth + web`` thick. Turn the second end for end:
        then it begins with a tooth too, and each strip's last gap meets the other's first tooth.
        """
        if not np.isclose(self.tooth, self.gap):
            raise ValueError(
                f"share must be 0.5 for two strips out of one, got {self.strip.share:g}: a tooth "
                "of one must fill a gap of the other"
            )
        if self.halved:
            raise ValueError("begin must be 'tooth' for two strips out of one, got 'half tooth'")
        if self.number % 2:
            raise ValueError(
                f"number of teeth must be even for two halves, got {self.number}; take "
                f"{self.number - 1} or {self.number + 1}"
            )
        web = self.pitched.web
        return Halves(
            thickness=web.thickness + web.web,
            length=self.length / 2,
            teeth=self.number // 2,
            saved=web.depth,
        )

    def marks(self) -> tuple[PitchMark, ...]:
        """Where the marks of the edge come on the strip, each with the nearest tooth."""
        return self.pitched.marks(self.sides.mean(axis=1))

    def table(self) -> Any:
        """The teeth one by one (pandas, units in the column heads).

        Places are measured from the first end of the strip a tooth is on; the gaps are those after
        it, empty where no tooth follows.
        """
        import pandas as pd

        strips, begin = self.pitched.on_strips(self.sides[:, 0])
        middle = self.pitched.on_edge(self.sides.mean(axis=1)) % self.pitched.curve.length
        after = np.full((3, len(self.sides)), np.nan)
        turns, _ = self.bends
        after[:, self._followed] = self.root_gaps, self.tip_gaps, np.degrees(turns)
        return pd.DataFrame(
            {
                "strip": strips,
                "from [mm]": begin,
                "to [mm]": begin + np.diff(self.sides, axis=1)[:, 0],
                "along the edge [mm]": middle,
                "gap after, root [mm]": after[0],
                "gap after, tip [mm]": after[1],
                "turn to the next [deg]": after[2],
            },
            index=pd.RangeIndex(1, len(self.sides) + 1, name="tooth"),
        )

    def marks_table(self) -> Any:
        """The marks of the edge on the strip (pandas, units in the column heads)."""
        return marks_table(self.marks(), "tooth")
