"""A job sheet as a file: bytes to text, text to TOML, faults of form with their line."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from foamcalc.ask.faults import SheetFault
from foamcalc.ask.sheet.hints import hint

BIGGEST = 1_000_000
"""Bytes; more is no job sheet."""

_OTHER_FILES = (
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture (PNG)"),
    (b"\xff\xd8\xff", "a picture (JPEG)"),
    (b"GIF8", "a picture (GIF)"),
    (b"PK\x03\x04", "a zip archive or an office document"),
    (b"\xd0\xcf\x11\xe0", "an old office document"),
    (b"{\\rtf", "a rich text document"),
)
_REMEDY = "write the sheet in a text editor and save it as plain text (UTF-8)"
_QUOTED = re.compile(r'"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'')
_MOST_PARTS = 64
"""Of a key with dots; thousands would fill the memory while they are read."""
_LINE = re.compile(r"line (\d+),? column (\d+)")


def read_text(path: Path) -> str:
    """The text of a sheet; SheetFault if it is no text file that can be read."""
    name = path.name or str(path)
    if path.is_dir():
        raise SheetFault([f"{name} is a folder: name the sheet in it"])
    if not path.exists():
        raise SheetFault([f"{name} is not there: check the name and the folder"])
    if not path.is_file():
        raise SheetFault([f"{name} is not a plain file: name a sheet, a text file"])
    try:
        with path.open("rb") as file:
            raw = file.read(BIGGEST + 1)
    except OSError as error:
        why = error.strerror or "no reason given"
        raise SheetFault([f"{name} cannot be read ({why}): check who may read it"]) from None
    return _decoded(raw, name)


def _decoded(raw: bytes, name: str) -> str:
    """Bytes as text, or what kind of file it is instead."""
    for start, what in _OTHER_FILES:
        if raw.startswith(start):
            raise SheetFault([f"{name} is {what}, not a job sheet: {_REMEDY}"])
    if len(raw) > BIGGEST:
        raise SheetFault([f"{name} is over 1 MB: that is no job sheet; name another file"])
    half = len(raw) // 2
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")) or (half > 1 and raw.count(0) >= 0.8 * half):
        raise SheetFault([f"{name} is saved as UTF-16: save it again as UTF-8"])
    if 0 in raw:
        raise SheetFault([f"{name} is not a text file: {_REMEDY}"])
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise SheetFault(
            [f"{name}, line {line}: a letter there is not UTF-8: save the sheet again as UTF-8"]
        ) from None


def parse(text: str, name: str) -> dict[str, Any]:
    """The tables of a sheet; SheetFault with the line of the first fault of form."""
    text = text.removeprefix("\ufeff")
    if len(text) > BIGGEST:
        raise SheetFault([f"{name} is over 1 MB: that is no job sheet; name another file"])
    if not text.strip():
        raise SheetFault([f"{name} is empty: begin with a copy of the demo sheet"])
    bare = _QUOTED.sub("s", text)
    if any(part.count(".") >= _MOST_PARTS for part in re.split(r"[,=\[\]{}#\n]", bare)):
        raise SheetFault([f"{name} has a key of {_MOST_PARTS} parts or more: write one word"])
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise SheetFault(
            [f"{name} has lists inside lists without end: a sheet needs one list at most"]
        ) from None
    except ValueError as error:
        raise SheetFault([_form_fault(text, name, error)]) from None


def _form_fault(text: str, name: str, error: ValueError) -> str:
    """The line of a fault of form, with what was likely meant."""
    lines = text.replace("\r\n", "\n").split("\n")
    found = _LINE.search(str(error))
    if found is None:
        told = [i for i, one in enumerate(lines, 1) if one.partition("#")[0].strip()]
        number, column = told[-1] if told else 1, 0
    else:
        number, column = int(found[1]), int(found[2])
    number = min(max(number, 1), len(lines))
    line = lines[number - 1]
    shown = "".join(c if c.isprintable() else " " for c in line.strip()[:61])
    shown = f"{shown[:60]}…" if len(shown) > 60 else shown
    where = f"line {number}, column {column}" if column else f"line {number}"
    return (
        f"{name}, {where}: cannot be read here: {shown or 'an empty line'} ({hint(lines, number)})"
    )
