"""foamcalc at the bench: ``python -m foamcalc``."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from foamcalc.commands.chart import add_chart
from foamcalc.commands.cutlist import add_cutlist
from foamcalc.commands.demo import add_demo
from foamcalc.commands.options import DONE, USAGE
from foamcalc.commands.overlay import add_overlay
from foamcalc.commands.plan import add_plan
from foamcalc.commands.seam import add_seam
from foamcalc.commands.swatch import add_swatch
from foamcalc.commands.trim import add_trim

_WELCOME = """\
foamcalc: is this piece long enough for that curve, and what happens if I stretch it?

One joint from two tape readings, the overlay as it is cut and the length it must cover, taken
over the outside of the base:

  python -m foamcalc overlay 173 188
  python -m foamcalc overlay "6 7/8 in" "7 3/8 in" --base "3/8 in" --overlay "3/16 in"

A bare number is mm. Say more and the answer gets better:

  python -m foamcalc overlay 173 188 --base 10 --overlay 5 --turn "180 deg" --not-cut

One seam from two tapes, each walked along its edge and read at every mark, or out of a drawing:

  python -m foamcalc seam "0 48 100 160" "0 50 98 166" --names "waist hip"
  python -m foamcalc seam knee_cup.svg

A strip along an edge: a band, a rim, a binding, a slit or a toothed strip:

  python -m foamcalc trim rim --round 377 --width 30 --thickness 6

A whole build from a job sheet, with a bench card to print (without a sheet: a demo build, with
--out also its sheet to copy and edit):

  python -m foamcalc plan turtle.toml --out bench

How many sheets of foam it takes, and where each piece lies on them, from the same job sheet:

  python -m foamcalc cutlist turtle.toml --out bench

Your own foam, from strips, a ruler and a bag of known weight:

  python -m foamcalc swatch --out bench      how to do it; a record to print and fill in
  python -m foamcalc swatch bench/swatch.csv

Other things it does:

  python -m foamcalc chart     the gap chart to hang over the bench (PDF, A4 and Letter)
  python -m foamcalc demo      one joint of an invented turtle costume, worked through
  python -m foamcalc overlay --help     every reading that helps, one line each
  python -m foamcalc seam --help        the same for a seam
  python -m foamcalc trim --help        the same for a strip along an edge
  python -m foamcalc plan --keys        every table and key of a job sheet
"""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns an exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    parser = _parser()
    args = parser.parse_args(argv)
    if args.command is None:
        print(_WELCOME)
        return DONE
    try:
        return int(args.run(args))
    except BrokenPipeError:  # the reader, such as `head`, has had enough
        sys.stdout = open(os.devnull, "w", encoding="utf-8")
        return DONE
    except (ValueError, ArithmeticError, OSError) as fault:
        print(f"foamcalc {args.command}: {fault}", file=sys.stderr)
        return USAGE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m foamcalc",
        description=_WELCOME,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    add = parser.add_subparsers(dest="command", metavar="command").add_parser
    add_overlay(add("overlay", help="one layer glued over another on a bend"))
    add_seam(add("seam", help="two edges glued edge to edge, from tapes or a drawing"))
    add_trim(add("trim", help="a strip along an edge: band, rim, binding, slit, toothed"))
    add_plan(add("plan", help="a whole build from a job sheet (TOML)"))
    add_cutlist(add("cutlist", help="how many sheets a build takes, and how they are cut"))
    add_swatch(add("swatch", help="learn your own foam from strips and a hanging bag"))
    add_chart(add("chart", help="the gap chart, turn by offset, as a PDF page"))
    add_demo(add("demo", help="one joint of an invented costume"))
    return parser


if __name__ == "__main__":
    sys.exit(main())
