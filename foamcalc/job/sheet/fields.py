"""Fields of a job sheet: what may stand in each, read with plain faults.

A kind reads one TOML value and returns what it means, or raises: `Wrong` where an example helps,
ValueError where the message names its remedy already.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePosixPath, PureWindowsPath
from typing import Any, NamedTuple, Protocol

from foamcalc.job.faults import LONGEST_NAME, near, shown
from foamcalc.units import Reading


class Wrong(ValueError):
    """What is wrong with a value, without name and remedy."""


class Got(NamedTuple):
    """What a value means, and the readings it was made of."""

    value: Any
    lengths: tuple[Reading, ...] = ()
    angles: tuple[Reading, ...] = ()


class Kind(Protocol):
    """One kind of value."""

    @property
    def unit(self) -> str:
        """Unit, for the reader."""

    def read(self, value: object, name: str) -> Got:
        """The meaning of a TOML value; ValueError if it has none here."""


@dataclass(frozen=True, kw_only=True)
class Key:
    """One key of a table: the checker and the printed table of keys both use it."""

    name: str
    what: str
    kind: Kind
    example: str
    """A value as it stands in a sheet."""
    default: str = "must be there"
    """What holds when it is left out, in words."""
    required: bool = False


@dataclass(frozen=True)
class ListOf:
    """Several values of one kind."""

    kind: Kind
    wanted: str
    least: int
    most: int

    @property
    def unit(self) -> str:
        """Unit of each."""
        return self.kind.unit

    def read(self, value: object, name: str) -> Got:
        """A tuple of what each means."""
        if not isinstance(value, list) or not self.least <= len(value) <= self.most:
            got = f"a list of {len(value)}" if isinstance(value, list) else shown(value)
            raise Wrong(f"must be {self.wanted}, got {got}")
        found = []
        for number, item in enumerate(value, 1):
            try:
                found.append(self.kind.read(item, name))
            except Wrong as fault:
                raise Wrong(f"entry {number} {fault}") from None
            except ValueError as fault:
                raise ValueError(f"entry {number}: {fault}") from None
        return Got(
            tuple(one.value for one in found),
            tuple(r for one in found for r in one.lengths),
            tuple(r for one in found for r in one.angles),
        )


@dataclass(frozen=True)
class YesNo:
    """True or false."""

    unit: str = "true or false"

    def read(self, value: object, name: str) -> Got:
        """The answer as a bool."""
        if not isinstance(value, bool):
            raise Wrong(f"must be true or false, without quotes, got {shown(value)}")
        return Got(value)


@dataclass(frozen=True)
class Text:
    """A short text of one line: a name."""

    unit: str = "text"

    def read(self, value: object, name: str) -> Got:
        """The text without blanks at its ends."""
        if not isinstance(value, str):
            raise Wrong(f"must be text in quotes, got {shown(value)}")
        fault = name_fault(value)
        if fault:
            raise Wrong(f"{fault}, got {shown(value)}")
        return Got(value.strip())


def name_fault(name: str) -> str:
    """What is wrong with a name; nothing if it will do."""
    if not name.strip():
        return "must not be empty"
    if len(name) > LONGEST_NAME:
        return f"must have at most {LONGEST_NAME} characters"
    return "" if name.isprintable() else "must be one line of letters, digits and signs"


@dataclass(frozen=True)
class Word:
    """One word out of a few."""

    choices: tuple[str, ...]

    @property
    def unit(self) -> str:
        """The words."""
        return " or ".join(self.choices)

    def read(self, value: object, name: str) -> Got:
        """The word."""
        listed = " or ".join(repr(choice) for choice in self.choices)
        if not isinstance(value, str):
            raise ValueError(f"must be {listed}, got {shown(value)}")
        if value not in self.choices:
            guess = near(value, self.choices)
            hint = f"; did you mean {guess!r}?" if guess else ""
            raise ValueError(f"must be {listed}, got {shown(value)}{hint}")
        return Got(value)


@dataclass(frozen=True)
class FileName:
    """A file beside the sheet, or in a folder below it."""

    unit: str = "file name"

    def read(self, value: object, name: str) -> Got:
        """The name as written, relative to the folder of the sheet."""
        if not isinstance(value, str) or not value.strip():
            raise Wrong(
                f"must be the name of a file beside the sheet, in quotes, got {shown(value)}"
            )
        if "\\" in value or not value.isprintable():
            raise ValueError(
                f"{shown(value)} has a backslash or a sign that cannot be printed (in double "
                "quotes a backslash changes the letter after it): write folders with /"
            )
        windows = PureWindowsPath(value)
        if windows.drive or windows.root or PurePosixPath(value).is_absolute():
            raise ValueError(
                f"{shown(value)} is the path of one computer: put the file beside the sheet and "
                "write its name only"
            )
        if ".." in PurePosixPath(value).parts:
            raise ValueError(
                f"{shown(value)} leaves the folder of the sheet: put the file beside the sheet "
                "and write its name only"
            )
        if len(value) > 200:
            raise ValueError(f"{shown(value)} is too long: write at most 200 characters")
        return Got(value)
