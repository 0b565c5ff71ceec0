"""Setting the words of a card: sizes of type, heads, lists, and steps with their cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from foamcalc.draw.blocks import HANG, Beside, Block, Column, Framed, Space, Ticked, Words
from foamcalc.draw.flow import Part
from foamcalc.draw.lettering import POINT, width
from foamcalc.units import System

if TYPE_CHECKING:
    from foamcalc.fit.advice import Step

BODY, LARGE, NAME, TITLE, SMALL = 13.0, 17.0, 22.0, 26.0, 10.0
"""Sizes of type [pt]: for reading at arm's length; small for what is read once."""
_WHAT_TO_DO = (38.0, 33.0, 28.0)
"""Sizes of type of what to do, the first that needs two lines at most [pt]."""


def ticked_step(number: int, step: Step, *, wide: float, points: float, apart: float) -> Block:
    """A step after its number, with a box to tick and its caution in a frame."""
    inner = wide - HANG
    parts: list[Block] = [Words.set(step.what, wide=inner, points=points, lead=f"{number}.")]
    if step.caution.strip():
        parts.append(Framed.set(step.caution, wide=inner, points=points, lead="Take care:"))
    return Ticked(Column(tuple(parts), apart))


@dataclass(frozen=True)
class Setter:
    """Turns the words of a card into blocks of one width [mm], roomy or tight."""

    wide: float
    system: System
    tight: bool = False

    def words(
        self, text: str, points: float = BODY, *, bold: bool = False, lead: str = ""
    ) -> Words:
        """A text in lines of this width."""
        return Words.set(text, wide=self.wide, points=points, bold=bold, lead=lead)

    def narrow(self, less: float) -> Setter:
        """The same for lines that are less wide by so many mm."""
        return replace(self, wide=self.wide - less)

    def part(self, block: Block, gap: float) -> Part:
        """A part of a story; set tight it has less room above it."""
        return Part(block, 0.6 * gap if self.tight else gap)

    def high(self, tall: float) -> float:
        """Height of a picture [mm], less if set tight."""
        return 0.78 * tall if self.tight else tall

    def named(self, name: str, foam: str) -> Block:
        """The name of a piece, large, and its foam: beside it if both fit on a line."""
        large = self.words(name, NAME, bold=True)
        if not foam.strip():
            return large
        small = self.words(foam)
        taken = width(large.lines[0], points=NAME, bold=True) + 5.0
        rest = self.wide - taken - width(small.lines[0], points=BODY)
        if len(large.lines) == len(small.lines) == 1 and rest >= 0.0:
            drop = Space((NAME - BODY) * POINT)  # both stand on one line
            return Beside(large, Column((drop, small)), taken)
        return Column((large, small), 0.6)

    def head(self, text: str) -> Words:
        """The head of a list."""
        return self.words(text, 15.0, bold=True)

    def what_to_do(self, text: str) -> Words:
        """What to do, in very large type."""
        for points in _WHAT_TO_DO:
            found = self.words(text, points, bold=True)
            if len(found.lines) <= 2:
                break
        return found

    def listed(self, title: str, texts: Sequence[str], *, numbered: bool = False) -> list[Part]:
        """A head with its texts; the head is never parted from the first one."""
        if not texts:
            return []
        indent = 8.0 if numbered else 4.0
        inner = self.narrow(indent)
        rows: list[Block] = [
            Beside(self.words(str(i) if numbered else "•", bold=numbered), inner.words(t), indent)
            for i, t in enumerate(texts, 1)
        ]
        first = self.part(Column((self.head(title), rows[0]), 0.6), 5.0)
        return [first, *(self.part(row, 1.0) for row in rows[1:])]

    def rests_on(self, texts: Sequence[str]) -> list[Part]:
        """What an answer rests on, in small type."""
        if not texts:
            return []
        return [self.part(self.words(" · ".join(texts), SMALL, lead="Rests on:"), 5.0)]

    def steps(self, steps: Sequence[Step]) -> list[Part]:
        """Numbered steps with boxes to tick, each with its caution."""
        blocks = [
            ticked_step(number, step, wide=self.wide, points=BODY, apart=1.4)
            for number, step in enumerate(steps, 1)
        ]
        if not blocks:
            return []
        first = self.part(Column((self.head("Order of work"), blocks[0]), 1.6), 5.0)
        return [first, *(self.part(block, 3.0) for block in blocks[1:])]
