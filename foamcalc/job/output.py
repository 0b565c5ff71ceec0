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
    taken = [t.name for t in targets if os.path.lexists(t)]
    if taken and not overwrite:
        raise OutputError(
            f"{place} already has {', '.join(taken)}; nothing was written. Name another folder "
            "with --out, or add --overwrite"
        )
    drafts: list[Path] = []
    try:
        for name, data in contents.items():
            handle, draft = tempfile.mkstemp(prefix=f".{name}.", dir=place)
            drafts.append(Path(draft))
            with os.fdopen(handle, "wb") as file:
                file.write(data)
            os.chmod(draft, 0o666 & ~_umask())
        for draft_path, target in zip(drafts, targets, strict=True):
            _put(draft_path, target, overwrite)
    except OSError as fault:
        raise OutputError(
            f"{place} cannot be written: {fault.strerror or fault}; nothing was written"
        ) from None
    finally:
        for draft_path in drafts:
            draft_path.unlink(missing_ok=True)
    return targets


def _put(draft: Path, target: Path, overwrite: bool) -> None:
    """Move a finished draft to its name; a file that turned up meanwhile is kept."""
    if not overwrite and os.path.lexists(target):
        raise FileExistsError(f"{target.name} has just been made by someone else")
    os.replace(draft, target)


def _umask() -> int:
    """The rights that new files do not get."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
