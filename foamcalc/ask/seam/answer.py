"""The answer to a seam: what a maker reads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from foamcalc.ask.lines import SAFE, clipped, listed, noted, stepped, wrapped
from foamcalc.ask.seam.dome import dome_words
from foamcalc.ask.seam.drawing import DrawnSeam
from foamcalc.fit.bevel_faces import FaceLengths
from foamcalc.fit.bevel_words import bevel_angle, bevel_words
from foamcalc.fit.order import Step
from foamcalc.fit.seam import SeamChoice
from foamcalc.fit.seam.steps import seam_steps
from foamcalc.fit.seam.words import between_head, fine, interval_lines, reasons, sentence
from foamcalc.units import System, format_angle

_INTERVAL = 28
_EDGE = 18


@dataclass(frozen=True, kw_only=True)
class SeamAnswer:
    """A choice, the units to speak in, and what it rests on."""

    choice: SeamChoice
    system: System
    rests_on: tuple[str, ...]
    notes: tuple[str, ...] = field(default=())
    bevels: tuple[FaceLengths, ...] = field(default=())
    """Both faces of both edges, where they are bevelled."""
    drawn: DrawnSeam | None = None
    """Where the edges come from, if from a drawing."""

    @property
    def sentence(self) -> str:
        """How far the seam is out, and what to do."""
        return sentence(self.choice, self.system)

    @property
    def steps(self) -> list[Step]:
        """The order of work; bevels are cut before the edges are pinned."""
        steps = seam_steps(self.choice, self.system)
        cuts = [bevel_words(faces, system=self.system) for faces in self.bevels]
        return [*steps[:-2], *cuts, *steps[-2:]]

    def lines(self) -> list[str]:
        """The answer as a maker reads it: the sentence, the lengths, the reasons, the work."""
        shape = dome_words(self.choice.seam, self.choice.chosen)
        return [
            *self._size(),
            *wrapped(self.sentence),
            "",
            *[line for note in self.notes for line in noted(note)],
            *([""] if self.notes else []),
            *self._lengths(),
            *(["", *wrapped(shape)] if shape else []),
            "",
            between_head(self.choice),
            *listed(interval_lines(self.choice, self.system)),
            "",
            *self._faces(),
            "Why",
            *listed(reasons(self.choice, self.system)),
            "",
            "Order of work",
            *stepped(self.steps),
            "",
            "Rests on",
            *listed(self.rests_on),
            "",
            *wrapped(SAFE),
        ]

    def _size(self) -> list[str]:
        """How big the drawing is, before anything is believed."""
        if self.drawn is None:
            return []
        return [line for said in self.drawn.pattern.size_said() for line in wrapped(said)] + [""]

    def _lengths(self) -> list[str]:
        """The intervals along the seam, the whole below."""
        between = self.choice.seam.intervals
        one, two = (f"{clipped(name, _EDGE - 2).strip():>{_EDGE}}" for name in between.names)
        rows = [f"{'':{_INTERVAL}}{one}{two}{'difference':>14}"]
        rows += [
            self._row(between.name(i), float(between.a[i]), float(between.b[i]))
            for i in range(len(between.a))
        ]
        if len(between.a) > 1:
            rows.append(self._row("whole seam", float(between.a.sum()), float(between.b.sum())))
        return rows

    def _row(self, name: str, a: float, b: float) -> str:
        return (
            f"{clipped(name, _INTERVAL)}{fine(a, self.system):>{_EDGE}}"
            f"{fine(b, self.system):>{_EDGE}}{fine(b - a, self.system, signed=True):>14}"
        )

    def _labels(self, faces: FaceLengths) -> tuple[str, ...]:
        """Names of the marks along a bevelled edge; those of the first edge where it has none."""
        seam = self.choice.seam
        if faces.edge.names is not None or faces.edge.name == seam.a.name:
            return faces.edge.labels
        return seam.a.labels[::-1] if seam.matched.reversed else seam.a.labels

    def _faces(self) -> Iterator[str]:
        """Both faces of each bevelled edge between its marks."""
        for faces in self.bevels:
            head = f"{faces.edge.name}, bevelled by {bevel_angle(faces)}"
            yield f"{head:{_INTERVAL}}{'outside':>{_EDGE}}{'inside':>{_EDGE}}{'turn':>14}"
            labels = self._labels(faces)
            for i, (out, inner, turn) in enumerate(
                zip(faces.outside, faces.inside, faces.turns, strict=True)
            ):
                yield (
                    f"{clipped(f'{labels[i]} to {labels[i + 1]}', _INTERVAL)}"
                    f"{fine(float(out), self.system):>{_EDGE}}"
                    f"{fine(float(inner), self.system):>{_EDGE}}{format_angle(float(turn)):>14}"
                )
            yield ""
