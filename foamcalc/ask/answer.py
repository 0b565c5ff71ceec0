"""An answer as data, and its faces: lines for the terminal, tables of numbers, HTML."""

from __future__ import annotations

import html
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from foamcalc.ask.lines import SAFE, clipped, listed, noted, stepped, wrapped
from foamcalc.ask.output import csv_bytes
from foamcalc.fit.order import Step
from foamcalc.units import System, format_length

_DECIMALS = 2
"""Decimals of a table that is read by people."""


@dataclass(frozen=True)
class Say:
    """How lengths are said in one system of units."""

    system: System = "mm"

    def __call__(self, mm: float) -> str:
        """A length as it is read off a tape."""
        return format_length(mm, system=self.system)

    def small(self, mm: float) -> str:
        """A length to a tenth of a millimetre, or as a tape in inches tells it."""
        resolution = 0.1 if self.system == "mm" else None
        return format_length(mm, system=self.system, resolution=resolution)


class Table(NamedTuple):
    """Rows as they are read: a name, then a cell a head; what stands past the heads is a remark."""

    name: str
    heads: Sequence[str]
    cells: Sequence[Sequence[str]]
    first: int = 22
    """Width of the names."""
    wide: int = 14
    """Width of the other columns."""

    def lines(self) -> list[str]:
        """The table as fixed columns."""
        found = [f"{self.name:{self.first}}" + "".join(f"{h:>{self.wide}}" for h in self.heads)]
        for name, *cells in self.cells:
            many = len(self.heads)
            row = clipped(name, self.first) + "".join(f"{c:>{self.wide}}" for c in cells[:many])
            found.append("  ".join([row, *cells[many:]]))
        return found


class Listed(NamedTuple):
    """A head with lines, or steps, under it; the head may be empty."""

    head: str
    items: Sequence[str | Step]


class Noted(NamedTuple):
    """Lines that each begin with a word and a colon."""

    items: Sequence[str]
    word: str = "note"


Block = str | Table | Listed | Noted


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What a maker reads: a sentence, then blocks in order; it shows itself in a notebook."""

    name: str
    """What its files are called."""
    sentence: str
    """What to do, with its number."""
    blocks: Sequence[Block] = ()
    first: Sequence[str] = ()
    """What must be known before anything is believed, such as the size of a drawing."""
    notes: Sequence[str] = ()
    rests_on: Sequence[str] = ()
    frames: Callable[[], Mapping[str, Any]] = field(default=dict)
    """Makes the tables of numbers (pandas), by what their files are called."""
    result: Any = None
    """What it was worked out to be, for pictures and for a plan."""

    def parts(self) -> Iterator[Block]:
        """The blocks that hold something, with what every answer ends with."""
        for block in (*self.blocks, Listed("Rests on", self.rests_on), SAFE):
            if block.cells if isinstance(block, Table) else getattr(block, "items", block):
                yield block

    def lines(self) -> list[str]:
        """The answer for the terminal."""
        found = [line for said in self.first for line in wrapped(said)] + [""] * bool(self.first)
        found += [*wrapped(self.sentence), ""]
        found += [line for note in self.notes for line in noted(note)]
        for block in self.parts():
            if isinstance(block, Table):
                found += block.lines()
            elif isinstance(block, Listed):
                found += [*filter(None, [block.head]), *_under(block.items)]
            elif isinstance(block, Noted):
                found += [line for text in block.items for line in noted(text, block.word)]
            else:
                found += wrapped(block)
            found.append("")
        return found[:-1]

    def files(self) -> dict[str, bytes]:
        """Its tables as CSV by file name, safe to open in a spreadsheet."""
        return {f"{self.name}_{n}.csv": _csv(table) for n, table in self.frames().items()}

    def _repr_html_(self) -> str:
        parts = [f"<p><strong>{html.escape(self.sentence)}</strong></p>"]
        return "\n".join(parts + [_html(b) for b in (*self.first, *self.notes, *self.parts())])


def _under(items: Sequence[str | Step]) -> list[str]:
    steps = [x for x in items if isinstance(x, Step)]
    return stepped(steps) if steps else listed(str(x) for x in items)


def _csv(table: Any) -> bytes:
    rounded = table.round(_DECIMALS)
    numbers = rounded.select_dtypes("number").columns
    rounded[numbers] += 0  # no minus before a nought
    return csv_bytes(list(rounded.columns), rounded.itertuples(index=False, name=None))


def _html(block: Block) -> str:
    e = html.escape
    if isinstance(block, str):
        return f"<p>{e(block)}</p>"
    if isinstance(block, Table):
        head = "".join(f"<th>{e(h)}</th>" for h in (block.name, *block.heads))
        rows = ("".join(f"<td>{e(c)}</td>" for c in row) for row in block.cells)
        return f"<table><tr>{head}</tr>{''.join(f'<tr>{row}</tr>' for row in rows)}</table>"
    if isinstance(block, Noted):
        return "".join(f"<p>{e(block.word)}: {e(text)}</p>" for text in block.items)
    kind = "ol" if isinstance(block.items[0], Step) else "ul"
    said = (x if isinstance(x, str) else f"{x.what} {x.caution}".strip() for x in block.items)
    items = "".join(f"<li>{e(x)}</li>" for x in said)
    head = f"<h4>{e(block.head)}</h4>" if block.head else ""
    return f"{head}<{kind}>{items}</{kind}>"
