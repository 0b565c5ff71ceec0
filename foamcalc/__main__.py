"""foamcalc at the bench: ``python -m foamcalc``."""

from __future__ import annotations

import argparse
import contextlib
import errno
import os
import re
import sys
from collections.abc import Sequence
from typing import Any, TextIO

from foamcalc.commands.chart import add_chart
from foamcalc.commands.cutlist import add_cutlist
from foamcalc.commands.demo import add_demo
from foamcalc.commands.options import AT_FAULT, DONE, USAGE, checked_out
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


_UNSEEN = re.compile("[\0-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]")
"""Signs that steer a terminal or turn the direction of a line; a line break and a tab are none."""
_LONGEST_WORD = 400


class _Terminal:
    """A stream to which every line is written so that nothing in it steers the terminal."""

    def __init__(self, stream: TextIO) -> None:
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
        self.stream = stream

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stream, name)

    def write(self, text: str) -> int:
        """Write a text, what steers shown as it is written in code, words without end cut short."""
        text = re.sub(rf"(\S{{{_LONGEST_WORD}}})\S+", r"\1…", text)
        return self.stream.write(_UNSEEN.sub(lambda sign: ascii(sign[0])[1:-1], text))


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns an exit code."""
    out, err = _Terminal(sys.stdout), _Terminal(sys.stderr)
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            try:
                return _run(argv)
            finally:
                out.flush()
        except BrokenPipeError:  # the reader, such as `head`, has had enough; files are written
            code = DONE
        except OSError as fault:
            code = AT_FAULT
            with contextlib.suppress(OSError):
                print(f"foamcalc: {fault.strerror}", file=sys.stderr)
        with contextlib.suppress(OSError, ValueError):  # what is left goes nowhere
            os.dup2(os.open(os.devnull, os.O_WRONLY), out.fileno())
        return code


def _run(argv: Sequence[str] | None) -> int:
    """Run one command; what it raises is told in a line."""
    args = _parser().parse_args(argv)
    if args.command is None:
        print(_WELCOME)
        return DONE
    try:
        checked_out(args)
        return int(args.run(args))
    except (BrokenPipeError, MemoryError, OverflowError, RecursionError) as fault:
        if isinstance(fault, BrokenPipeError):
            raise
        told = "this is too much to work out: look for a number out of all reason"
    except (ValueError, TypeError, ArithmeticError, OSError) as fault:
        if isinstance(fault, OSError) and fault.errno == errno.ENOSPC:  # the terminal's own file
            raise
        told = str(fault)
    print(f"foamcalc {args.command}: {told}", file=sys.stderr)
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
