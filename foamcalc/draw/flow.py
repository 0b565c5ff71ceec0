"""Blocks stacked from the top down, and pages broken between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from foamcalc.draw.blocks import Block, Rule


class Part(NamedTuple):
    """A block of a story and the gap above it [mm]."""

    block: Block
    gap: float


@dataclass(frozen=True)
class Story:
    """Blocks that belong together: on one page if they fit on one."""

    name: str
    parts: tuple[Part, ...]
    again: Block
    """Head of a further page."""
    alone: bool = False
    """Whether it begins on a new page in any case."""

    @property
    def tall(self) -> float:
        """Height on one page [mm]."""
        return sum(p.block.tall + p.gap for p in self.parts) - self.parts[0].gap


class Placed(NamedTuple):
    """A block and how far below the top of its page it begins [mm]."""

    down: float
    block: Block


def flow(
    stories: Sequence[Story], *, tall: float, divider: Rule, apart: float
) -> tuple[list[list[Placed]], list[int]]:
    """Place stories on pages.

    A story goes on the page that is begun if all of it fits there, else on a new one, and on
    further ones if it is taller than a page; blocks are never divided.
    """
    pages: list[list[Placed]] = []
    starts: list[int] = []
    used = tall
    for story in stories:
        room = tall - used - 2 * apart - divider.tall
        if pages and not story.alone and story.tall <= room:
            pages[-1].append(Placed(used + apart, divider))
            used += 2 * apart + divider.tall
        else:
            pages.append([])
            used = 0.0
        starts.append(len(pages) - 1)
        used = _pour(story, pages, used, tall)
    return pages, starts


def _pour(story: Story, pages: list[list[Placed]], used: float, tall: float) -> float:
    """Place the parts of a story from a height on; returns the height used on its last page."""
    for i, part in enumerate(story.parts):
        gap = part.gap if i else 0.0
        if used + gap + part.block.tall > tall + 1e-9:
            pages.append([Placed(0.0, story.again)])
            used, gap = story.again.tall, part.gap
            if used + gap + part.block.tall > tall + 1e-9:
                raise ValueError(
                    f"{story.name}: a text is longer than a page can hold "
                    f"({part.block.tall:.0f} mm of {tall:.0f} mm); make it shorter or divide it"
                )
        pages[-1].append(Placed(used + gap, part.block))
        used += gap + part.block.tall
    return used
