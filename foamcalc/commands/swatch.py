"""The maker's own foam: how to test it, a record to fill in, and what the record says."""

from __future__ import annotations

import argparse
import sys
from textwrap import wrap

from foamcalc.commands.options import AT_FAULT, DONE, add_output

_COLUMNS = 96


def add_swatch(parser: argparse.ArgumentParser) -> None:
    """The record, or how to make one."""
    parser.description = (
        "Learn your own foam from strips, a ruler, a bag of known weight and a clock. Without a "
        "record it says how to do the test; with --out it also writes a record to fill in."
    )
    add = parser.add_argument
    add("record", nargs="?", metavar="RECORD.csv", help="the record that you filled in")
    add("--warm", action="store_true", help="use the strips that were warmed, not the cold ones")
    add("--grade", default="EVA medium", help="row of foams.csv for what the strips cannot tell")
    add("--demo", action="store_true", help="read the demo record; its numbers are invented")
    add_output(parser, default=None)
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from foamcalc.job.swatch.guide import blank_swatch, swatch_instructions
    from foamcalc.job.swatch.record import demo_swatch

    path = demo_swatch() if args.demo else args.record
    if path is not None:
        return _told(str(path), args)
    for number, line in enumerate(swatch_instructions(grade=args.grade), 1):
        print(
            "\n".join(
                wrap(line, _COLUMNS, initial_indent=f"{number:2}. ", subsequent_indent="    ")
            )
        )
    if args.out is not None:
        from foamcalc.job.output import write_files

        for file in write_files(args.out, {"swatch.csv": blank_swatch()}, overwrite=args.overwrite):
            print(file)
    return DONE


def _told(path: str, args: argparse.Namespace) -> int:
    from foamcalc.foam.swatch import fit_swatch
    from foamcalc.job.faults import SheetFault
    from foamcalc.job.swatch.record import read_swatch
    from foamcalc.job.swatch.words import swatch_lines

    try:
        strips = read_swatch(path)
        swatch = fit_swatch(strips, warmth="warm" if args.warm else "cold", grade=args.grade)
    except SheetFault as faults:
        print("\n".join(faults.faults), file=sys.stderr)
        return AT_FAULT
    except (ValueError, ArithmeticError) as fault:
        print(fault, file=sys.stderr)
        return AT_FAULT
    print("\n".join(swatch_lines(swatch)))
    return DONE
