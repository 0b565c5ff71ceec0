"""Heads of the tables of a job sheet, and a table checked key by key."""

from __future__ import annotations

import re
from collections.abc import Mapping

from foamcalc.ask.form import Findings, Table
from foamcalc.ask.sheet.keys import NOT_TAPED, STOCK, TABLES


def heading(kind: str, name: str | None = None) -> str:
    """The head of a table as the maker wrote it."""
    if name is None:
        return f"[{kind}]"
    bare = re.fullmatch(r"[A-Za-z0-9_-]+", name)
    return f"[{kind}.{name if bare else _quoted(name)}]"


def _quoted(name: str) -> str:
    text = "".join(c if c.isprintable() else "?" for c in name[:60])
    return f'"{text}"'


def overlay_heading(name: object, number: int) -> str:
    """The head of an overlay, with its name, or its number where it has none."""
    return list_heading("overlay", name, number)


def list_heading(kind: str, name: object, number: int) -> str:
    """Head of one table of several of a kind, with its name, or its number where it has none."""
    said = name.strip() if isinstance(name, str) else ""
    return f"[[{kind}]] {_quoted(said)}" if said else f"[[{kind}]] number {number}"


def check_table(found: Findings, kind: str, raw: Mapping[str, object], place: str) -> Table:
    """Read every key of a table and say what is wrong with it."""
    stock = None if kind in NOT_TAPED else STOCK
    return TABLES[kind].read(found, raw, place, stock=stock, elsewhere=TABLES.values())
