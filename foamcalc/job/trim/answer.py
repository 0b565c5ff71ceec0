"""The answer to a strip along an edge: what a maker reads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.corners import CornerWork, small_words
from foamcalc.job.lines import SAFE, clipped, listed, noted, stepped, wrapped
from foamcalc.job.trim.edge import NamedPlace, TrimEdge
from foamcalc.job.trim.kinds import Cut
from foamcalc.job.trim.told import Told, cut_name, near_words, told
from foamcalc.units import System, format_angle, format_length

_NAME, _COLUMN = 22, 14
_EQUAL = 0.5
"""Edges of a strip that differ by less are one length [mm]."""


@dataclass(frozen=True, kw_only=True)
class TrimAnswer:
    """A strip as it is cut, the units to speak in, and what it rests on."""

    kind: str
    cut: Cut
    edge: TrimEdge
    strip: Piece
    """Thickness and foam of the strip."""
    adhesive: str
    system: System
    marks: tuple[NamedPlace, ...] = ()
    """The marks along the edge."""
    wanted_pitch: float | None = None
    """Pitch that was asked for [mm]."""
    size_said: tuple[str, ...] = ()
    """How big the drawing is, if the edge is from one."""
    rests_on: tuple[str, ...] = ()
    notes: tuple[str, ...] = field(default=())

    @cached_property
    def told(self) -> Told:
        """All there is to say of it."""
        return told(self.cut, adhesive=self.adhesive, wanted=self.wanted_pitch, system=self.system)

    @property
    def sentence(self) -> str:
        """What to cut, in one sentence."""
        return self.told.sentence

    def mark_name(self, on_edge: float) -> str:
        """The name of the mark at a place along the edge [mm]; empty where it has none."""
        return self._mark_names.get(round(on_edge, 6), "")

    @cached_property
    def _mark_names(self) -> dict[float, str]:
        return {round(mark.place, 6): mark.name for mark in self.marks}

    def lines(self) -> list[str]:
        """The answer as a maker reads it: the sentence, strips, marks, reasons, corners, work."""
        found = self.told
        return [
            *[line for said in self.size_said for line in wrapped(said)],
            *([""] if self.size_said else []),
            *wrapped(found.sentence),
            "",
            *[line for note in self.notes for line in noted(note)],
            *self._strips(),
            "",
            *self._marks(),
            "Why",
            *listed(found.reasons),
            "",
            *self._corners(found.corners),
            "Order of work",
            *stepped(found.steps),
            "",
            "Rests on",
            *listed(self.rests_on),
            "",
            *wrapped(SAFE),
        ]

    def _show(self, mm: float) -> str:
        return format_length(mm, system=self.system)

    def _strips(self) -> Iterator[str]:
        """Equal strips in one row; both edges where they differ."""
        rows = self.told.rows()
        both = any(abs(row.edges[1] - row.edges[0]) >= _EQUAL for row in rows)
        heads = ["count", "length", "width", *(["inner edge", "outer edge"] if both else [])]
        yield f"{'':{_NAME}}" + "".join(f"{head:>{_COLUMN}}" for head in heads)
        for row in rows:
            cells = [str(row.number), self._show(row.length), small_words(row.width, self.system)]
            cells += [self._show(edge) for edge in row.edges] if both else []
            yield clipped(row.name, _NAME) + "".join(f"{cell:>{_COLUMN}}" for cell in cells)

    def _marks(self) -> Iterator[str]:
        """Where every mark meets its strip."""
        strips = self.told.strips
        if not any(strip.marks for strip in strips):
            return
        near = {
            (m.strip, m.on_edge): near_words(m, cut_name(self.cut), self.system)
            for m in self.told.near
        }
        yield f"{'marks':{_NAME}}{'on the edge':>{_COLUMN}}{'on the strip':>{_COLUMN}}"
        for strip in strips:
            for mark in strip.marks:
                name = self.mark_name(mark.on_edge)
                where = f"strip {strip.number}" if len(strips) > 1 else ""
                said = ", ".join(filter(None, (name, where))) or "mark"
                row = f"{clipped(said, _NAME)}{self._show(mark.on_edge):>{_COLUMN}}"
                row += f"{self._show(mark.on_strip):>{_COLUMN}}"
                beside = near.get((strip.number, mark.on_edge), "")
                yield f"{row}  {beside}" if beside else row
        yield ""

    def _corners(self, corners: tuple[CornerWork, ...]) -> Iterator[str]:
        """The corners of the edge; what to do there stands in the order of work."""
        if not corners:
            return
        yield f"{'corners':{_NAME}}{'turn':>{_COLUMN}}{'takes':>{_COLUMN}}{'cut at':>{_COLUMN}}"
        for corner in corners:
            cells = (
                format_angle(corner.turn),
                small_words(corner.takes, self.system),
                f"{np.degrees(corner.mitre):.1f}°",
            )
            at = f"at {self._show(corner.place)}"
            yield f"{at:{_NAME}}" + "".join(f"{cell:>{_COLUMN}}" for cell in cells)
        yield ""
