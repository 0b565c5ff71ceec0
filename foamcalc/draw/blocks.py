"""Blocks of a printed page: words, frames, boxes to tick, pictures; data units are mm."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from foamcalc.draw.ink import INK
from foamcalc.draw.lettering import FONT, LINE, POINT, width, wrap

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_BOX = 5.0
"""Side of a tick box [mm]."""
HANG = 9.0
"""Indent of what stands beside a tick box [mm]."""
_PAD = 2.6
"""White room inside a frame [mm]."""
_BAR = 1.8
"""Width of the black bar of a frame [mm]."""


class Block(Protocol):
    """A piece of a page that is never divided."""

    @property
    def tall(self) -> float:
        """Height [mm]."""
        ...

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]."""
        ...


@dataclass(frozen=True)
class Words:
    """Lines of words; `lead` stands in bold before the first one."""

    lines: tuple[str, ...]
    points: float
    bold: bool = False
    lead: str = ""

    @classmethod
    def set(
        cls, text: str, *, wide: float, points: float, bold: bool = False, lead: str = ""
    ) -> Words:
        """Set a text in lines of a width [mm]."""
        taken = width(f"{lead}  ", points=points, bold=True) if lead else 0.0
        lines = wrap(text, wide=wide, points=points, bold=bold, first=taken)
        return cls(lines, points, bold, lead)

    @property
    def tall(self) -> float:
        """Height [mm]."""
        return len(self.lines) * self.points * LINE * POINT

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]."""
        taken = 0.0
        if self.lead:
            taken = width(f"{self.lead}  ", points=self.points, bold=True)
            self._line(page, left, top, 0, self.lead, bold=True)
        for i, line in enumerate(self.lines):
            self._line(page, left if i else left + taken, top, i, line, bold=self.bold)

    def _line(
        self, page: Axes, left: float, top: float, rank: int, text: str, *, bold: bool
    ) -> None:
        page.text(
            left,
            top - (1.0 + rank * LINE) * self.points * POINT,
            text,
            fontsize=self.points,
            fontfamily=FONT,
            fontweight="bold" if bold else "normal",
            color=INK,
            ha="left",
            va="baseline",
        )


@dataclass(frozen=True)
class Column:
    """Blocks one below the other, with one gap [mm] between them."""

    blocks: tuple[Block, ...]
    gap: float = 0.0

    @property
    def tall(self) -> float:
        """Height [mm]."""
        return sum(b.tall for b in self.blocks) + self.gap * max(len(self.blocks) - 1, 0)

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]."""
        for block in self.blocks:
            block.draw(page, left, top)
            top -= block.tall + self.gap


@dataclass(frozen=True)
class Beside:
    """Two blocks side by side, the second one `shift` farther to the right [mm]."""

    left: Block
    right: Block
    shift: float

    @property
    def tall(self) -> float:
        """Height [mm]."""
        return max(self.left.tall, self.right.tall)

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]."""
        self.left.draw(page, left, top)
        self.right.draw(page, left + self.shift, top)


@dataclass(frozen=True)
class Ticked:
    """A block with a box to tick before it."""

    block: Block

    @property
    def tall(self) -> float:
        """Height [mm]."""
        return max(self.block.tall, _BOX + 0.8)

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]."""
        from matplotlib.patches import Rectangle

        box = Rectangle((left + 0.3, top - _BOX - 0.6), _BOX, _BOX, fill=False, edgecolor=INK)
        box.set(linewidth=1.3, gid="tick box")
        page.add_patch(box)
        self.block.draw(page, left + HANG, top)


@dataclass(frozen=True)
class Framed:
    """A block in a frame with a black bar at its left."""

    block: Block
    wide: float

    @classmethod
    def set(cls, text: str, *, wide: float, points: float, lead: str) -> Framed:
        """Set a text in a frame of a width [mm]."""
        room = wide - 2 * _PAD - _BAR
        return cls(Words.set(text, wide=room, points=points, lead=lead), wide)

    @property
    def tall(self) -> float:
        """Height [mm]."""
        return self.block.tall + 1.2 * _PAD

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]."""
        from matplotlib.patches import Rectangle

        corner = (left, top - self.tall)
        frame = Rectangle(corner, self.wide, self.tall, fill=False, edgecolor=INK, linewidth=1.3)
        frame.set_gid("frame")
        page.add_patch(frame)
        page.add_patch(Rectangle(corner, _BAR, self.tall, facecolor=INK, linewidth=0))
        self.block.draw(page, left + _BAR + _PAD, top - 0.5 * _PAD)


@dataclass(frozen=True)
class Picture:
    """Axes of their own, drawn into by a function."""

    wide: float
    tall: float
    drawing: Callable[[Axes], object]

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]."""
        figure = page.get_figure()
        assert figure is not None  # a page has its figure
        across, up = (page.get_xlim()[1], page.get_ylim()[1])
        place = (left / across, (top - self.tall) / up, self.wide / across, self.tall / up)
        self.drawing(figure.add_axes(place))


@dataclass(frozen=True)
class Space:
    """White room."""

    tall: float

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw nothing."""


@dataclass(frozen=True)
class Rule:
    """A line across."""

    wide: float
    thick: float = 1.4
    tall: float = 1.0

    def draw(self, page: Axes, left: float, top: float) -> None:
        """Draw it from its upper left corner [mm]."""
        page.plot(
            [left, left + self.wide],
            [top - self.tall / 2] * 2,
            color=INK,
            linewidth=self.thick,
            solid_capstyle="butt",
        )
