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
    from foamcalc.ask.swatch import FORM

    parser.description = (
        "Learn your own foam from strips, a ruler, a bag of known weight and a clock. Without a "
        "record it says how to do the test; with --out it also writes a record to fill in, on "
        "paper (PDF) and as a table (CSV)."
    )
    add = parser.add_argument
    add("record", nargs="?", metavar="RECORD.csv", help="the record that you filled in")
    add("--demo", action="store_true", help="read the demo record; its numbers are invented")
    FORM.options(parser)
    add_paper(parser)
    add_output(parser, default=None)
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from foamcalc.ask.swatch import FORM, ask, checked
    from foamcalc.ask.swatch_record import demo_swatch

    said = {key.name: getattr(args, key.name) for key in FORM.known(line=True)}
    checked(**said)  # what is wrong with the order is no fault of the record
    record = demo_swatch() if args.demo else args.record
    if record is None:
        return _explained(args, **said)
    if args.out is not None:
        raise ValueError("--out is for a record to fill in; leave out RECORD.csv and --demo")
    try:
        lines = ask(record, **said).lines()
    except (ValueError, ArithmeticError) as fault:
        print(fault, file=sys.stderr)
        return AT_FAULT
    print("\n".join(lines))
    return DONE


def _explained(args: argparse.Namespace, **said: object) -> int:
    """Say how to do the test; write the record to fill in if a folder is named."""
    from foamcalc.ask.lines import numbered
    from foamcalc.ask.swatch import blank_swatch, checked, instructions

    say, grade, _ = checked(**said)
    steps, files = instructions(say, grade=grade), dict[str, bytes]()
    if args.out is not None:
        from foamcalc.draw.paper import pdf_bytes
        from foamcalc.draw.record_pages import swatch_pages

        files["swatch.csv"] = blank_swatch(say.system)
        for paper in papers(args):
            pages = swatch_pages(paper=paper, system=say.system, grade=grade)
            files[f"swatch_{paper}.pdf"] = pdf_bytes(pages)
    written = save(args, files, ["swatch.csv"])
    for number, step in enumerate(steps, 1):
        print("\n".join(numbered(number, step)))
    if written:
        print("\n".join([*written, _PRINT]), end="")
    return DONE
