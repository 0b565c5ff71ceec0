"""Files written whole or not at all, and tables that a spreadsheet reads as they are meant."""

from __future__ import annotations

import csv
import io
import math
import os
import tempfile
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import numpy as np

_FORMULA = "=+-@\u2212"
"""Signs that make a spreadsheet take what follows for a formula."""
_UNSEEN = ("Zs", "Zl", "Zp", "Cc", "Cf")
"""Unicode categories of signs that show nothing: spaces, controls, marks of direction."""
_NEW_CELL = ";\t\r\n"
"""Signs at which some programs begin a new cell, whatever the quotes say."""


class OutputError(OSError):
    """A file or folder cannot be written; nothing has been."""


def write_files(
    folder: str | Path, contents: Mapping[str, bytes], *, overwrite: bool = False
) -> list[Path]:
    """Write several files into a folder: all of them or none.

    Parameters
    ----------
    folder : path
        Made, with the folders above it, if it is not there.
    contents : mapping of str to bytes
        File name to what goes into it.
    overwrite : bool
        Whether files of these names may be replaced.

    Returns
    -------
    list of Path
        The files, in the order given.

    Raises
    ------
    OutputError
        If the folder is a file or cannot be written, or one of the files exists already.
    """
    place = Path(folder)
    try:
        place.mkdir(parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError):
        raise OutputError(f"{place} is a file, not a folder; name a folder with --out") from None
    except OSError as fault:
        raise OutputError(f"the folder {place} cannot be made: {fault.strerror}") from None
    targets = [place / name for name in contents]
    folders = [t.name for t in targets if t.is_dir()]
    if folders:
        raise OutputError(
            f"{place} has a folder named {', '.join(folders)}; nothing was written. Name another "
            "folder with --out"
        )
    taken = [t.name for t in targets if os.path.lexists(t)]
    if taken and not overwrite:
        raise OutputError(
            f"{place} already has {', '.join(taken)}; nothing was written. Name another folder "
            "with --out, or add --overwrite"
        )
    try:
        with tempfile.TemporaryDirectory(prefix=".foamcalc-", dir=place) as work:
            drafts = [_draft(Path(work) / f"new-{t.name}", contents[t.name]) for t in targets]
            _put_all(drafts, targets, Path(work), overwrite)
    except OSError as fault:
        raise OutputError(
            f"{place} cannot be written: {fault.strerror or fault}; nothing was written"
        ) from None
    return targets


def _draft(path: Path, data: bytes) -> Path:
    """Write a draft beside its place, on the same disk."""
    path.write_bytes(data)
    return path


def _put_all(drafts: list[Path], targets: list[Path], work: Path, overwrite: bool) -> None:
    """Move the drafts to their names; if one fails, put everything back as it was."""
    undo: list[tuple[Path, Path]] = []
    try:
        for draft, target in zip(drafts, targets, strict=True):
            if overwrite and os.path.lexists(target):
                old = work / f"old-{target.name}"
                os.replace(target, old)
                undo.append((old, target))
            elif os.path.lexists(target):
                raise FileExistsError(f"{target.name} has just been made by someone else")
            os.replace(draft, target)
            undo.append((target, draft))
    except BaseException:  # an interrupt too must leave the old files
        for now, before in reversed(undo):
            os.replace(now, before)
        raise


def csv_bytes(header: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """A table as CSV that spreadsheets read right and cannot be tricked by.

    Parameters
    ----------
    header : sequence of str
        Heads of the columns, with their units.
    rows : iterable of sequence
        Cells: numbers, texts, truth values, or None; as many as there are heads.

    Returns
    -------
    bytes
        UTF-8 with a byte order mark, so that spreadsheet programs read ± and ° right; lines end
        with CR LF.

    Raises
    ------
    ValueError
        If a row has another number of cells than the header, or a text cannot be written.
    TypeError
        If a cell is none of these.

    Notes
    -----
    Numbers stay numbers, with all their digits. A number that is not known (NaN) and None are
    empty cells; an infinite number, such as the radius of a flat shell, is the word "infinite"
    or "minus infinite". Truth values are "yes" and "no". A text that a spreadsheet would take
    for a formula is given an apostrophe before it: one that begins with =, +, -, @ or their
    full-width forms, also after spaces and signs that show nothing, or that begins with a tab or
    a line break; and the same after a semicolon, a tab or a line break inside a text, where some
    programs begin a new cell.

    Examples
    --------
    >>> table = csv_bytes(["piece", "gap [mm]"], [["scute", -5.0], ["=1+1", None]])
    >>> table.decode("utf-8-sig").splitlines()
    ['piece,gap [mm]', 'scute,-5.0', "'=1+1,"]
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([_cell(head, f"head {i}") for i, head in enumerate(header, 1)])
    for number, row in enumerate(rows, 1):
        if isinstance(row, str) or len(row) != len(header):
            raise ValueError(
                f"row {number} must have {len(header)} cells, one for each head, got {row!r}"
            )
        writer.writerow(
            [_cell(c, f"row {number}, {h!r}") for c, h in zip(row, header, strict=True)]
        )
    return text.getvalue().encode("utf-8-sig")


def _cell(value: object, where: str) -> object:
    """A cell as it is written."""
    if value is None:
        return ""
    if isinstance(value, str):
        return _harmless(_utf8(str(value), where))
    if isinstance(value, bool | np.bool_):
        return "yes" if value else "no"
    if isinstance(value, int | np.integer):
        return int(value)
    if isinstance(value, float | np.floating):
        number = float(value)
        if math.isnan(number):
            return ""
        if math.isinf(number):
            return "infinite" if number > 0 else "minus infinite"
        return repr(number)
    raise TypeError(f"{where}: a cell must be a number, a text or None, got {value!r}")


def _utf8(text: str, where: str) -> str:
    """The text, if it can be written."""
    if "\0" not in text:
        try:
            text.encode("utf-8")
            return text
        except UnicodeEncodeError:
            pass
    raise ValueError(f"{where}: the text {text!r} has a sign that no file of text can hold")


def _harmless(text: str) -> str:
    """The text with an apostrophe wherever a spreadsheet would begin a formula."""
    risky = {0} if text[:1] in ("\t", "\r", "\n") else set()
    begun = [0]  # where cells begin of which no sign has shown yet
    for i, sign in enumerate(text):
        if sign in _NEW_CELL:
            begun.append(i + 1)
        elif begun and sign != '"' and unicodedata.category(sign) not in _UNSEEN:
            if unicodedata.normalize("NFKC", sign)[0] in _FORMULA:
                risky.update(begun)
            begun = []
    return "".join("'" * (i in risky) + sign for i, sign in enumerate(text))
