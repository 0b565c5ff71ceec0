"""A whole build from a job sheet."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
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

if TYPE_CHECKING:
    from foamcalc.ask.plan import Plan
    from foamcalc.ask.sheet import SheetFault

_DEMO_BUILD = """\
Demo build: a community theatre's sea turtle. All its numbers are invented.
"""

_FILES_HINT = """\
With --out FOLDER you also get a bench card to print (PDF), the tables (CSV) and a record to fill in
after the fitting. Saved as {name} beside the job sheet, it is compared with this plan.
"""

_SHEETS_HINT = """\
How many sheets of foam it takes, and how they are cut: python -m foamcalc cutlist{sheet}
"""

_PATIENCE = 2.0
"""Time before it is said how far the work is [s]."""


def add_plan(parser: argparse.ArgumentParser) -> None:
    """The job sheet, and what is to be shown and written."""
    parser.description = (
        "Works out every joint of a job sheet and what the shells do. If a record of what really "
        "happened, NAME_try_on.csv, lies beside NAME.toml, predicted and happened are compared. "
        f"Exit codes: {DONE} done, {AT_FAULT} the job sheet is at fault, {USAGE} usage."
    )
    add_sheet(parser)
    add = parser.add_argument
    add("--piece", metavar="NAME", help="show one overlay, seam, trim, shell or piece in full")
    add("--keys", action="store_true", help="list every table and key of a job sheet")
    add_paper(parser)
    add_output(parser, default=None)
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from foamcalc.ask.filled import TableFault
    from foamcalc.ask.sheet import SheetFault, keys_table

    if args.keys:
        print(keys_table())
        return DONE
    try:
        return _planned(args)
    except TableFault as faults:
        wrote = "" if args.out is None else ", and no file was written"
        return at_fault(faults, f"what stands above does without the record{wrote}")
    except SheetFault as faults:
        return at_fault(faults, "nothing was worked out")


def at_fault(faults: SheetFault, so: str) -> int:
    """Tell all faults of a file, and what they stopped."""
    from foamcalc.ask.lines import many

    told = [*faults.faults, f"{many(len(faults.faults), 'fault')}; {so}"]
    print("\n".join(told), file=sys.stderr)
    return AT_FAULT


def _planned(args: argparse.Namespace) -> int:
    from foamcalc.ask.files import plan_files
    from foamcalc.ask.filled import TableFault
    from foamcalc.ask.plan import plan
    from foamcalc.ask.sheet import read_sheet
    from foamcalc.ask.sheet.files import named_files
    from foamcalc.ask.summary import piece_lines, plan_lines
    from foamcalc.ask.try_on import read_record, record_lines, record_path
    from foamcalc.guards import one_of

    path = sheet_path(args)
    sheet = read_sheet(path)
    if args.piece is not None:
        one_of(args.piece, "piece", sheet.names)
    worked = plan(sheet, progress=Progress())
    lines = [_DEMO_BUILD] if args.sheet is None else []
    if args.piece is None:
        lines += plan_lines(worked)
    else:
        lines += piece_lines(worked, args.piece)
    record, written = record_path(path), list[str]()
    try:
        if record.exists():
            lines += [*record_lines(read_record(record, worked), sheet.system), ""]
        if args.out is not None:
            contents = {**plan_files(worked), **_cards(worked, args)}
            yours: list[str | Path] = [
                f"{worked.name}_try_on_blank.csv",
                record.resolve(),
                *named_files(path),
            ]
            if args.sheet is None:
                demo = {f.name: f.read_bytes() for f in sorted(path.parent.glob("*.[cst]*"))}
                contents |= demo
                yours += demo
            written = save(args, contents, yours)
    except TableFault:
        print("\n".join(lines))
        raise
    print("\n".join(lines + written))
    if args.out is None and args.piece is None:
        print(_FILES_HINT.format(name=record.name))
    if args.piece is None and (sheet.stocks or sheet.pieces):
        shown = "" if args.sheet is None else f" {args.sheet}"
        print(_SHEETS_HINT.format(sheet=shown))
    return DONE


def _cards(worked: Plan, args: argparse.Namespace) -> dict[str, bytes]:
    """The bench cards and the pages of the seams, by file name."""
    from foamcalc.draw.card import bench_card
    from foamcalc.draw.paper import pdf_bytes
    from foamcalc.draw.plan_card import plan_card
    from foamcalc.draw.seam_page import seam_pages

    found = {}
    seams = {seam.job.name: seam.answer for seam in worked.seams}
    card = plan_card(worked) if worked.joints or worked.shells else None
    for paper in papers(args):
        if card is not None:
            pages = bench_card(card, paper=paper)
            found[f"{worked.name}_card_{paper}.pdf"] = pdf_bytes(pages)
        if seams:
            pages = seam_pages(seams, title=worked.sheet.title, paper=paper)
            found[f"{worked.name}_seams_{paper}.pdf"] = pdf_bytes(pages)
    return found


class Progress:
    """Says on the error stream how far the work is, once it has taken a while."""

    def __init__(self) -> None:
        self.start = time.monotonic()

    def __call__(self, done: int, total: int, name: str) -> None:
        """Tell it, if it is time."""
        if time.monotonic() - self.start > _PATIENCE:
            print(f"{done} of {total} worked out; next: {name}", file=sys.stderr, flush=True)
