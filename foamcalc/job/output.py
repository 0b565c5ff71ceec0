"""Files written whole or not at all, and never over another file unless asked."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path


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
