"""Drawings as commands meet them: read once their size is known, and listed."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from foamcalc.shape.pattern import Pattern
    from foamcalc.units import System


def add_per_inch(add: Callable[..., Any]) -> None:
    """The size of a px, where a drawing does not say it."""
    add(
        "--per-inch",
        type=int,
        choices=(72, 90, 96),
        help="px to the inch, for a drawing whose size is in px",
    )


def sized_pattern(name: str, per_inch: int | None) -> Pattern:
    """The drawing, if its size is known."""
    from foamcalc.shape.pattern import read_pattern

    try:
        pattern = read_pattern(name, per_inch=per_inch)
    except ValueError as fault:
        raise ValueError(str(fault).replace("per_inch=", "--per-inch ")) from None
    if pattern.question:
        raise ValueError(
            f"{pattern.file}: {pattern.size_said()[0]}. Which is it? Measure a length that you "
            "know on the drawing, and add --per-inch 72, 90 or 96; nothing is worked out before"
        )
    return pattern


def listed_edges(pattern: Pattern, system: System, ask: str) -> list[str]:
    """What there is to ask for in a drawing, and how to ask for it."""
    from foamcalc.ask.lines import listed, noted, wrapped
    from foamcalc.ask.seam.listing import edge_lines

    return [
        *[line for said in pattern.size_said() for line in wrapped(said)],
        "",
        *[line for note in pattern.notes for line in noted(note)],
        "Edges, and how far along them each mark stands",
        *listed(edge_lines(pattern, system)),
        "",
        *wrapped(ask),
    ]
