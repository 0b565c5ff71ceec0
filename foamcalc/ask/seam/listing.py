"""What there is to ask for in a drawing."""

from __future__ import annotations

from foamcalc.shape.pattern import Pattern
from foamcalc.units import System, format_length


def edge_lines(pattern: Pattern, system: System = "mm") -> list[str]:
    """Every outline of a drawing with its length, and the marks on it with their places."""
    lines = []
    for name in pattern.edges:
        try:
            whole = pattern.outline(name)
        except ValueError as fault:
            lines.append(f"{name}: {fault}")
            continue
        size = format_length(whole.length, system=system)
        shape = "once round" if whole.closed else "from end to end"
        marks = ", ".join(f"{m.name} {format_length(m.place, system=system)}" for m in whole.marks)
        lines.append(f"{name}, {size} {shape}: {marks or 'no marks on it'}")
    return lines
