"""Options that several commands have, and the exit codes."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Literal

DONE, AT_FAULT, USAGE = 0, 1, 2
"""Exit codes: done; the job sheet or its record is at fault; the command was not understood."""


def add_paper(parser: argparse.ArgumentParser) -> None:
    """The paper to print on."""
    parser.add_argument("--paper", choices=("A4", "Letter", "both"), default="both")


def papers(args: argparse.Namespace) -> tuple[Literal["A4", "Letter"], ...]:
    """The papers that were asked for."""
    return ("A4", "Letter") if args.paper == "both" else (args.paper,)


def add_output(parser: argparse.ArgumentParser, *, default: str | None) -> None:
    """The folder to write to, and whether to replace files."""
    parser.add_argument(
        "--out",
        default=default,
        metavar="FOLDER",
        help="folder for the files"
        + (" (default: this one)" if default else "; nothing is written without it")
        + "; made if it is not there",
    )
    parser.add_argument("--overwrite", action="store_true", help="replace files of the same name")


def save(
    args: argparse.Namespace, contents: Mapping[str, bytes], yours: Iterable[str | Path] = ()
) -> list[str]:
    """Write the files of a command before its answer is printed; the lines that name them."""
    from foamcalc.ask.output import write_files

    if args.out is None or not contents:
        return []
    return [str(p) for p in write_files(args.out, contents, overwrite=args.overwrite, yours=yours)]


def checked_out(args: argparse.Namespace) -> None:
    """Refuse a folder that is a file before any work is done."""
    from foamcalc.ask.output import refuse_file

    if (folder := getattr(args, "out", None) or getattr(args, "picture", None)) is not None:
        refuse_file(folder)


def add_sheet(parser: argparse.ArgumentParser) -> None:
    """The job sheet."""
    parser.add_argument(
        "sheet", nargs="?", metavar="JOB.toml", help="the job sheet; left out: the demo build"
    )


def sheet_path(args: argparse.Namespace) -> Path:
    """The job sheet that was asked for."""
    from foamcalc.ask.sheet import demo_sheet_path

    return demo_sheet_path() if args.sheet is None else Path(args.sheet)


def share(text: str) -> float:
    """A percentage as a fraction."""
    try:
        value = float(text.removesuffix("%"))
    except ValueError:
        value = -1.0
    if not 0 <= value <= 100:
        raise argparse.ArgumentTypeError(f"must be from 0 to 100 percent, got {text!r}")
    return value / 100
