"""The sheets that a build takes, and how they are cut."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from foamcalc.commands.options import (
    AT_FAULT,
    DONE,
    USAGE,
    add_output,
    add_paper,
    add_sheet,
    papers,
    save,
    sheet_path,
)
from foamcalc.commands.plan import Progress, at_fault

if TYPE_CHECKING:
    from foamcalc.ask.cutting import BuildCut

_DEMO_BUILD = """\
Demo build: a community theatre's sea turtle. All its numbers and prices are invented.
"""

_FILES_HINT = """\
With --out FOLDER you also get each sheet drawn with its pieces (PDF) and the same as tables (CSV).
"""


def add_cutlist(parser: argparse.ArgumentParser) -> None:
    """The job sheet, and how long it may take."""
    parser.description = (
        "Lays everything of a job sheet that is still to be cut on the sheets of foam that its "
        "[[stock]] tables name: bases, overlays that are not cut yet or must be cut again, and "
        "what its [[piece]] tables add. Without stock it tells how much foam is needed. "
        f"Exit codes: {DONE} done, {AT_FAULT} the job sheet is at fault, {USAGE} usage."
    )
    add_sheet(parser)
    parser.add_argument(
        "--seconds",
        type=float,
        metavar="TIME",
        help="last stop for the search (default: as the job sheet says, else 60)",
    )
    add_paper(parser)
    add_output(parser, default=None)
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from foamcalc.ask.sheet import SheetFault

    try:
        return _cut(args)
    except SheetFault as faults:
        return at_fault(faults, "nothing was cut")


def _cut(args: argparse.Namespace) -> int:
    from foamcalc.ask.cutting import checked_seconds, cut_build
    from foamcalc.ask.cutting.files import cutting_files
    from foamcalc.ask.cutting.words import cut_lines
    from foamcalc.ask.plan import plan
    from foamcalc.ask.sheet import read_sheet
    from foamcalc.ask.sheet.files import named_files

    seconds = None if args.seconds is None else checked_seconds(args.seconds)
    path, progress = sheet_path(args), Progress()
    sheet = read_sheet(path)
    cut = cut_build(plan(sheet, progress=progress), seconds=seconds, progress=progress)
    contents = {} if args.out is None else {**cutting_files(cut), **_pages(cut, args)}
    written = save(args, contents, named_files(path))
    if args.sheet is None:
        print(_DEMO_BUILD)
    print("\n".join(cut_lines(cut)))
    print()
    if written:
        print("\n".join(written))
    elif cut.items and args.out is None:
        print(_FILES_HINT)
    return DONE


def _pages(cut: BuildCut, args: argparse.Namespace) -> dict[str, bytes]:
    """The drawn sheets, by file name."""
    from foamcalc.draw.cutlist_page import cutlist_pages
    from foamcalc.draw.paper import pdf_bytes

    if cut.found is None:
        return {}
    return {
        f"{cut.plan.name}_cutlist_{paper}.pdf": pdf_bytes(cutlist_pages(cut, paper=paper))
        for paper in papers(args)
    }
