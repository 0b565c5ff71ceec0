"""Strips along an edge: how long, how wide, how many, and where the marks go."""

from __future__ import annotations

import argparse
from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING

from foamcalc.commands.drawing import add_per_inch, listed_edges, sized_pattern
from foamcalc.commands.options import DONE, add_output, save, share

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from foamcalc.shape.pattern import Pattern

    _Add = Callable[..., Any]

_HOW = """\
A strip along an edge. KIND is one of

  band      flat on a face along a curved edge; bends in its own plane
  rim       stands round an edge or a disc; bends across its thickness
  binding   is folded over a raw edge, a leg on each face
  slit      a rim strip slit part-way through at a pitch
  toothed   the same with every second piece removed

  python -m foamcalc trim band --length 500 --turn "120 deg" --width 20 --thickness 5
  python -m foamcalc trim rim --round 377 --width 30 --thickness 6 --marks "0 95 190"
  python -m foamcalc trim binding --radius 150 --turn "115 deg" --thickness 3 \\
      --edge-thickness 10 --legs 12
  python -m foamcalc trim toothed --length 160 --turn "0 deg" --width 20 --thickness 10 \\
      --depth 7 --pitch 5
  python -m foamcalc trim band --drawing knee_cup.svg --edge "inner half" \\
      --from top --to bottom --width 12

A bare number is mm; write '3/8 in' for inches and '180 deg' or '0.5 turn' for angles. A turn below
0 is a hollow edge: --turn "-90 deg".
"""


def add_trim(parser: argparse.ArgumentParser) -> None:
    """The kind, the edge, the strip."""
    parser.description = _HOW
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    kinds = ("band", "rim", "binding", "slit", "toothed")
    parser.add_argument("kind", metavar="KIND", choices=kinds, help=", ".join(kinds))
    _add_edge(parser.add_argument_group("the edge").add_argument)
    _add_drawing(parser.add_argument_group("an edge in a drawing").add_argument)
    _add_strip(parser.add_argument_group("the strip").add_argument)
    _add_ends(parser.add_argument_group("its ends and joins").add_argument)
    _add_kinds(parser.add_argument_group("for some kinds only").add_argument)
    parser.add_argument(
        "--units", choices=("mm", "in"), help="unit of the answer (default: that of the readings)"
    )
    add_output(parser, default=None)
    parser.set_defaults(run=_run)


def _add_edge(add: _Add) -> None:
    add("--length", help="length along the edge, by the tape; with --turn")
    add("--turn", metavar="ANGLE", help="angle between its ends; '0 deg' straight, below 0 hollow")
    add("--radius", help="or: its radius; with --turn")
    add("--round", metavar="GIRTH", help="or: once round a closed edge, such as that of a disc")
    add(
        "--around",
        choices=("piece", "opening"),
        help="a closed edge, taped or drawn, goes round the piece (default), or round an opening "
        "in it, as an inner outline of a drawn path does by itself",
    )
    add("--marks", metavar="PLACES", help="places of marks along it, '0 50 120'")


def _add_drawing(add: _Add) -> None:
    add("--drawing", metavar="FILE", help="a drawing (SVG) that has the edge")
    add("--edge", metavar="NAME", help="outline in it, by its title or its id")
    add("--from", dest="start", metavar="MARK", help="the mark on it where the strip begins")
    add("--to", dest="end", metavar="MARK", help="the mark on it where the strip ends")
    add(
        "--outside",
        choices=("left", "right"),
        help="of an open line: its side without foam, seen from its start",
    )
    add_per_inch(add)


def _add_strip(add: _Add) -> None:
    add("--width", help="width of the strip; a binding works it out")
    add("--thickness", help="thickness of the strip, measured")
    add("--foam", default="EVA medium", help="grade in reference_tables/foams.csv")
    add(
        "--swatch", metavar="FILE", help="record of your own swatch test (CSV), in place of a grade"
    )
    add("--adhesive", default="contact adhesive", help="name in reference_tables/adhesives.csv")
    add("--most-stretch", type=float, metavar="PERCENT", help="most it may stretch cold")


def _add_ends(add: _Add) -> None:
    add(
        "--ends",
        nargs="+",
        default=(),
        choices=("flush", "free", "wrapped"),
        help="how it ends at an open end: one word, or one for each end (default: flush)",
    )
    add("--spare", help="left on at a free end and trimmed after gluing")
    add("--wrap", help="glued down behind a wrapped end")
    add("--lap", help="join lengths one over the other by so much (default: end to end)")
    add("--longest", help="longest strip that you can cut from your sheet")


def _add_kinds(add: _Add) -> None:
    add(
        "--side",
        choices=("inside", "middle", "outside"),
        help="band: on the piece (default), half and half, or beyond the edge",
    )
    add("--pull", type=share, metavar="PERCENT", help="band: pull it; 100: no edge is squeezed")
    add("--not-pulled", dest="may_pull", action="store_false", help="band: it may not be pulled")
    add("--cut", metavar="LENGTH", help="rim: length of a strip that is cut already")
    add(
        "--at-corners",
        choices=("bent", "mitred"),
        help="rim: taken round corners (default), or parted there",
    )
    add(
        "--edge-thickness",
        metavar="THICKNESS",
        help="binding: thickness of the piece; else what a wrapped end goes over",
    )
    add("--legs", help="binding: how far it reaches over each face, '12' or '12 8'")
    add("--depth", help="slit, toothed: depth of the cuts")
    add("--pitch", help="slit, toothed: from cut to cut; adjusted to a whole number")
    add(
        "--face",
        choices=("outside", "inside"),
        help="slit, toothed: the face that is cut, away from the edge (default) or glued",
    )
    add("--slit-width", metavar="WIDTH", help="slit: width of a slit (default: a knife's, 0)")


def _run(args: argparse.Namespace) -> int:
    from foamcalc.job.trim import TrimQuestion, answer_trim

    pattern = _drawing(args)
    if pattern is not None and args.edge is None:
        if args.out is not None:
            raise ValueError("--out is for a strip: name its edge, --edge")
        ask = (
            "Name the edge: --edge NAME, and the marks where the strip begins and ends: "
            "--from MARK --to MARK; without them a closed edge is gone once round."
        )
        print("\n".join(listed_edges(pattern, args.units or "mm", ask)))
        return DONE
    said = {f.name: getattr(args, f.name) for f in fields(TrimQuestion)}
    answered = answer_trim(TrimQuestion(**{**said, "ends": tuple(args.ends)}), pattern)
    contents = {}
    if args.out is not None:
        from foamcalc.job.trim.files import file_stem, trim_files

        contents = trim_files(answered, stem=file_stem(answered, args.edge))
    written = save(args, contents, [Path(args.drawing).resolve()] if args.drawing else ())
    print("\n".join(answered.lines()))
    if written:
        print("\n".join(["", *written]))
    return DONE


def _drawing(args: argparse.Namespace) -> Pattern | None:
    """The drawing, if one was named."""
    if args.drawing is None:
        if args.per_inch is not None:
            raise ValueError("--per-inch goes with a drawing only; leave it out")
        return None
    return sized_pattern(args.drawing, args.per_inch)
