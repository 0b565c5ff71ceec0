"""The maker's own foam: how to test it, a record to fill in, and what the record says."""

from __future__ import annotations

import argparse
import sys

from foamcalc.commands.options import AT_FAULT, DONE, add_output, add_paper, papers, save

_PRINT = """\
Print the PDF at 100 % ('actual size') and fill it in by hand at the hook; then type its rows into
the CSV, line by line.
"""


def add_swatch(parser: argparse.ArgumentParser) -> None:
    """The record, or how to make one."""
    parser.description = (
        "Learn your own foam from strips, a ruler, a bag of known weight and a clock. Without a "
        "record it says how to do the test; with --out it also writes a record to fill in, on "
        "paper (PDF) and as a table (CSV)."
    )
    add = parser.add_argument
    add("record", nargs="?", metavar="RECORD.csv", help="the record that you filled in")
    add("--warm", action="store_true", help="use the strips that were warmed, not the cold ones")
    add("--grade", default="EVA medium", help="row of foams.csv for what the strips cannot tell")
    add("--demo", action="store_true", help="read the demo record; its numbers are invented")
    add("--full", action="store_true", help="every number of the law, with what it rests on")
    add(
        "--units",
        choices=("mm", "in"),
        default="mm",
        help="unit of the lengths, in what is said and in the record to fill in",
    )
    add_paper(parser)
    add_output(parser, default=None)
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from foamcalc.ask.swatch.record import demo_swatch

    path = demo_swatch() if args.demo else args.record
    if path is None:
        return _explained(args)
    if args.out is not None:
        raise ValueError("--out is for a record to fill in; leave out RECORD.csv and --demo")
    return _told(str(path), args)


def _explained(args: argparse.Namespace) -> int:
    """Say how to do the test; write the record to fill in if a folder is named."""
    from foamcalc.ask.lines import numbered
    from foamcalc.ask.swatch.guide import swatch_instructions

    steps = swatch_instructions(grade=args.grade, system=args.units)
    files = {} if args.out is None else _blank(args)
    written = save(args, files, [name for name in files if name.endswith(".csv")])
    for number, step in enumerate(steps, 1):
        print("\n".join(numbered(number, step)))
    if written:
        print("\n".join([*written, _PRINT]), end="")
    return DONE


def _blank(args: argparse.Namespace) -> dict[str, bytes]:
    """The record to fill in, by file name: the table, and the same on paper."""
    from foamcalc.ask.swatch.guide import blank_swatch
    from foamcalc.draw.paper import pdf_bytes
    from foamcalc.draw.swatch_page import swatch_pages

    found = {"swatch.csv": blank_swatch(length_unit=args.units)}
    for paper in papers(args):
        pages = swatch_pages(paper=paper, system=args.units, grade=args.grade)
        found[f"swatch_{paper}.pdf"] = pdf_bytes(pages)
    return found


def _told(path: str, args: argparse.Namespace) -> int:
    """What a record says, or what is wrong with it."""
    from foamcalc.ask.swatch.record import read_swatch
    from foamcalc.ask.swatch.words import swatch_lines
    from foamcalc.foam.swatch import fit_swatch

    try:
        strips = read_swatch(path)
        swatch = fit_swatch(strips, warmth="warm" if args.warm else "cold", grade=args.grade)
    except (ValueError, ArithmeticError) as fault:
        print(fault, file=sys.stderr)
        return AT_FAULT
    print("\n".join(swatch_lines(swatch, full=args.full, system=args.units)))
    return DONE
