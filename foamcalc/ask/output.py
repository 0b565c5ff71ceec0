"""Files written whole or not at all, and tables that a spreadsheet reads as they are meant."""

from __future__ import annotations

import contextlib
import csv
import filecmp
import io
import math
import os
import shutil
import sys
import tempfile
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

import numpy as np

_FORMULA = "=+-@\u2212"
"""Signs that make a spreadsheet take what follows for a formula."""
_UNSEEN = ("Zs", "Zl", "Zp", "Cc", "Cf")
"""Unicode categories of signs that show nothing: spaces, controls, marks of direction."""
_NEW_CELL = ";\t\r\n"
"""Signs at which some programs begin a new cell, whatever the quotes say."""


_DRAFT, _READY, _UNDO = ".foamcalc-draft-", ".foamcalc-ready-", ".foamcalc-undo-"
"""How the work folder is named while files are prepared, put in place, and put back."""


class OutputError(OSError):
    """A file or folder cannot be written; nothing has been."""


def write_files(
    folder: str | Path,
    contents: Mapping[str, bytes],
    *,
    overwrite: bool = False,
    yours: Iterable[str | Path] = (),
) -> list[Path]:
    """Write several files into a folder: all of them or none.

    The whole new set lies beside the old one before the first file is replaced. If the work is
    stopped after that, the next call for this folder finishes it, or undoes what was being undone,
    and says so on the error stream. Files keep their modes.
    """
    place = Path(folder)
    refuse_file(place)
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise OutputError(f"the folder {place} cannot be made: {fault.strerror}") from None
    targets = [place / name for name in contents]
    try:
        with _alone(place):
            _mend(place)
            _refuse_taken(place, contents, overwrite, yours)
            _write(place, contents, targets, overwrite)
    except OutputError:
        raise
    except OSError as fault:
        raise OutputError(
            f"{place} cannot be written: {fault.strerror or fault}; nothing was written"
        ) from None
    return targets


def refuse_file(folder: str | Path) -> None:
    """Refuse a folder that is a file, or lies below one."""
    place = Path(folder)
    if any(os.path.exists(p) and not os.path.isdir(p) for p in (place, *place.parents)):
        raise OutputError(f"{place} is a file, not a folder; name a folder with --out")


def _refuse_taken(
    place: Path, contents: Mapping[str, bytes], overwrite: bool, yours: Iterable[str | Path]
) -> None:
    """Refuse to replace a folder, what a maker wrote, or anything if it was not asked for."""
    if folders := [name for name in contents if (place / name).is_dir()]:
        raise OutputError(
            f"{place} has a folder named {', '.join(folders)}; nothing was written. Name another "
            "folder with --out"
        )
    taken = [name for name in contents if os.path.lexists(place / name)]
    sources = [place / path for path in yours]
    theirs = [
        name
        for name in taken
        if any(s.exists() and (place / name).exists() and s.samefile(place / name) for s in sources)
        and not _is_blank((place / name).read_bytes(), contents[name])
    ]
    if theirs:
        raise OutputError(
            f"{place} already has {', '.join(theirs)}, which you may have written in and which no "
            "option replaces; nothing was written. Move it away, or name another folder with --out"
        )
    if taken and not overwrite:
        raise OutputError(
            f"{place} already has {', '.join(taken)}; nothing was written. Name another folder "
            "with --out, or add --overwrite"
        )


def _is_blank(old: bytes, new: bytes) -> bool:
    """Whether a file is what is to be written, or a table with nothing filled in."""
    if old == new:
        return True
    try:
        header, *rows = csv.reader(io.StringIO(new.decode("utf-8-sig"), newline=""))
        was, *lines = csv.reader(io.StringIO(old.decode("utf-8-sig"), newline=""))
    except ValueError:  # not text, or empty
        return False
    empty = [i for i in range(len(header)) if not any("".join(row[i : i + 1]) for row in rows)]
    return (
        was == header
        and bool(empty)
        and not any(
            "".join(line[i : i + 1]).strip() for line in lines for i in (*empty, len(header))
        )
    )


@contextlib.contextmanager
def _alone(place: Path) -> Iterator[None]:
    """Keep other runs out of the folder meanwhile, where the system can."""
    try:
        import fcntl

        handle = os.open(place, os.O_RDONLY)
    except (ImportError, OSError):
        yield
        return
    try:
        with contextlib.suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _write(
    place: Path, contents: Mapping[str, bytes], targets: list[Path], overwrite: bool
) -> None:
    """Prepare the files and what undoes them, then put them in place."""
    work = Path(tempfile.mkdtemp(prefix=_DRAFT, dir=place))
    try:
        for target in targets:
            draft = work / f"new-{target.name}"
            with draft.open("wb") as file:
                file.write(contents[target.name])
                file.flush()
                os.fsync(file.fileno())
            if target.exists():
                shutil.copymode(target, draft)
            if os.path.lexists(target):
                shutil.copy2(target, work / f"old-{target.name}", follow_symlinks=False)
            else:
                (work / f"none-{target.name}").touch()
        for target in targets:
            if not overwrite and os.path.lexists(target):
                raise FileExistsError(f"{target.name} has just been made by someone else")
        if len(targets) > 1:  # one file is replaced at one stroke: nothing to finish or undo
            work = work.rename(place / work.name.replace(_DRAFT, _READY, 1))
        try:
            for target in targets:
                os.replace(work / f"new-{target.name}", target)
        except BaseException:  # an interrupt too must leave the old files
            if len(targets) > 1:
                work = work.rename(place / work.name.replace(_READY, _UNDO, 1))
                _undo(work)
            raise
    finally:
        shutil.rmtree(work, ignore_errors=True)


def _undo(work: Path) -> None:
    """Put the old files back, and take away the new ones in whose place there was none."""
    for old in sorted(work.glob("old-*")):
        os.replace(old, work.parent / old.name.removeprefix("old-"))
    for none in sorted(work.glob("none-*")):
        name = none.name.removeprefix("none-")
        if not (work / f"new-{name}").exists():
            (work.parent / name).unlink(missing_ok=True)
        none.unlink()


def _mend(place: Path) -> None:
    """Finish or undo what an earlier run began in this folder, and say so."""
    for work in sorted(place.glob(f"{_DRAFT}*")):
        shutil.rmtree(work, ignore_errors=True)  # nothing had been put in place
    for work in sorted(place.glob(f"{_UNDO}*")):
        _undo(work)
        _mended(work, "put back as they were")
    for work in sorted(place.glob(f"{_READY}*")):
        for draft in sorted(work.glob("new-*")):
            name = draft.name.removeprefix("new-")
            if _untouched(place / name, work / f"old-{name}"):
                os.replace(draft, place / name)
        _mended(work, "put in place now")


def _mended(work: Path, how: str) -> None:
    print(f"{work.parent}: an earlier run was stopped; its files were {how}", file=sys.stderr)
    shutil.rmtree(work, ignore_errors=True)


def _untouched(now: Path, old: Path) -> bool:
    """Whether a file, or its absence, is as it was when its successor was prepared."""
    if not (os.path.lexists(now) and os.path.lexists(old)):
        return os.path.lexists(now) == os.path.lexists(old)
    return now.is_symlink() or filecmp.cmp(now, old, shallow=False)


def csv_bytes(header: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """A table as CSV that spreadsheets read right and cannot be tricked by.

    Numbers stay numbers, with all their digits. A number that is not known (NaN) and None are
    empty cells; an infinite number, such as the radius of a flat shell, is the word "infinite"
    or "minus infinite". Truth values are "yes" and "no". A text that a spreadsheet would take
    for a formula is given an apostrophe before it: one that begins with =, +, -, @ or their
    full-width forms, also after spaces and signs that show nothing, or that begins with a tab or
    a line break; and the same after a semicolon, a tab or a line break inside a text, where some
    programs begin a new cell.
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
