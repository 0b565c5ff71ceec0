"""One seam, from two tapes or out of a drawing."""

from __future__ import annotations

import argparse
from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING

from foamcalc.commands.drawing import add_per_inch, listed_edges, sized_pattern
from foamcalc.commands.options import DONE, add_output, add_paper, papers, save

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from foamcalc.ask.seam import SeamAnswer
    from foamcalc.shape.pattern import Pattern

    _Add = Callable[..., Any]

_HOW = """\
Two edges that are glued edge to edge. Walk a tape along each, standing on its edge, from one end to
the other, and read it off at every mark and at the far end. Write the places of one edge in one
pair of quotes, the first is the 0 where the tape begins:

  python -m foamcalc seam "0 48 100 160" "0 50 98 166"
  python -m foamcalc seam "0, 1 7/8, 4 in" "0, 2, 4 in" --names waist

A bare number is mm; a unit stands at each place, or once at the end. With fractions write commas.
Both edges are walked the same way, as they will lie together; if the second was walked from its
other end, add --reverse.

Or name a drawing (SVG): alone it lists its edges and marks, with two edges it works out their seam:

  python -m foamcalc seam knee_cup.svg
  python -m foamcalc seam knee_cup.svg --edge "inner half" --from top --to bottom \\
      --other-edge "outer half"
"""

_ASK = (
    "Name the two that are glued together: --edge NAME --other-edge NAME, and on closed ones the "
    "marks where the seam begins and ends: --from MARK --to MARK."
)


def add_seam(parser: argparse.ArgumentParser) -> None:
    """The readings, or the drawing and the names in it."""
    parser.description = _HOW
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument(
        "seam",
        nargs="+",
        metavar="PLACES PLACES | DRAWING.svg",
        help="places of the marks along both edges, or the drawing that has them",
    )
    add = parser.add_argument
    add(
        "--edge",
        metavar="NAME",
        help="outline of the first edge in a drawing, by its title or its id; from tapes what it "
        "is called",
    )
    add("--other-edge", metavar="NAME", help="the same of the second edge")
    _add_drawing(parser.add_argument_group("in a drawing").add_argument)
    _add_tape(parser.add_argument_group("from tapes").add_argument)
    _add_foam(parser.add_argument_group("the foam").add_argument)
    _add_rest(parser.add_argument_group("what may be done").add_argument)
    _add_bevel(parser.add_argument_group("bevelled edges").add_argument)
    parser.add_argument(
        "--units", choices=("mm", "in"), help="unit of the answer (default: that of the readings)"
    )
    add_paper(parser)
    add_output(parser, default=None)
    parser.set_defaults(run=_run)


def _add_drawing(add: _Add) -> None:
    add("--from", dest="start", metavar="MARK", help="the mark on it where the seam begins")
    add("--to", dest="end", metavar="MARK", help="the mark on it where the seam ends")
    add("--other-from", dest="other_start", metavar="MARK", help="default: the same mark name")
    add("--other-to", dest="other_end", metavar="MARK", help="default: the same mark name")
    add(
        "--by-order",
        action="store_true",
        help="marks meet in order, whatever they are called; else by their names",
    )
    add("--leave-out", metavar="MARKS", help="marks that do not belong to the seam, 'strap, hole'")
    for which, name in (("", "first"), ("other-", "second")):
        add(
            f"--{which}outside",
            choices=("left", "right"),
            help=f"{name} edge an open line: its side without foam, seen from its start",
        )
    add_per_inch(add)


def _add_tape(add: _Add) -> None:
    add("--names", help="names of the marks, 'waist hip'; of all places or of those between")
    add("--turn", metavar="ANGLES", help="how much the first edge turns between its ends, '60 deg'")
    add("--other-turn", metavar="ANGLES", help="the same of the second; below 0 in a hollow")


def _add_foam(add: _Add) -> None:
    add("--thickness", help="thickness of the piece behind the first edge, measured")
    add("--other-thickness", metavar="THICKNESS", help="of the second (default: as the first)")
    add("--foam", default="EVA medium", help="grade in reference_tables/foams.csv")
    add("--other-foam", metavar="FOAM", help="foam of the second piece (default: as the first)")
    add(
        "--swatch", metavar="FILE", help="record of your own swatch test (CSV), in place of a grade"
    )
    add("--depth", help="width of the first piece behind the seam (default: wide)")
    add("--other-depth", metavar="DEPTH", help="width of the second piece behind the seam")
    add("--held", choices=("first", "second"), help="the edge that is glued down and cannot give")


def _add_rest(add: _Add) -> None:
    add("--reverse", action="store_true", help="the second edge was walked from its other end")
    add("--not-cut", dest="already_cut", action="store_false", help="the edges are not cut yet")
    add(
        "--free-end",
        choices=("none", "start", "end", "either"),
        default="none",
        help="end of the seam where nothing else meets it, so that it may be trimmed or added to",
    )
    add(
        "--marks-fixed",
        dest="marks_move",
        action="store_false",
        help="no mark may move: other marks or a fitted shape depend on them",
    )
    add("--adhesive", default="contact adhesive", help="name in reference_tables/adhesives.csv")
    add("--most-stretch", type=float, metavar="PERCENT", help="most an edge may stretch cold")


def _add_bevel(add: _Add) -> None:
    add("--bevel", metavar="ANGLE", help="cut of both edges from square, '22.5 deg'")
    add(
        "--face",
        choices=("outside", "inside"),
        default="outside",
        help="the face on which the edges were measured or drawn",
    )
    add("--valley", action="store_true", help="the outside is set back, as in a valley")


def _run(args: argparse.Namespace) -> int:
    from foamcalc.ask.seam import SeamQuestion, answer_seam

    pattern, places = _asked(args)
    said = {f.name: getattr(args, f.name) for f in fields(SeamQuestion) if hasattr(args, f.name)}
    question = SeamQuestion(**said, **places)
    if pattern is not None and question.edge is None and question.other_edge is None:
        if args.out is not None:
            raise ValueError("--out is for a seam: name its two edges, --edge and --other-edge")
        print("\n".join(listed_edges(pattern, args.units or "mm", _ASK)))
        return DONE
    answered = answer_seam(question, pattern)
    contents, remarks = ({}, []) if args.out is None else _files(answered, args)
    written = save(args, contents, [Path(args.seam[0]).resolve()] if pattern else ())
    print("\n".join(answered.lines()))
    if written:
        print("\n".join(["", *written, *remarks]))
    return DONE


def _asked(args: argparse.Namespace) -> tuple[Pattern | None, dict[str, Any]]:
    """The drawing, or the places along both edges."""
    if len(args.seam) > 2:
        raise ValueError(
            f"got {len(args.seam)} words where two edges were expected: write the places of each "
            'edge in one pair of quotes, such as "0 48 100" "0 50 98"'
        )
    if len(args.seam) == 2:
        if args.per_inch is not None:
            raise ValueError("--per-inch goes with a drawing only; leave it out")
        return None, {"first": args.seam[0], "second": args.seam[1]}
    name = args.seam[0]
    if not Path(name).suffix.casefold().startswith(".svg") and not Path(name).is_file():
        raise ValueError(
            f"{name[:60]!r} is one edge, or no drawing that is there: a seam has two edges, "
            'such as "0 48 100" "0 50 98"; a drawing is an SVG file'
        )
    return sized_pattern(name, args.per_inch), {}


def _files(answered: SeamAnswer, args: argparse.Namespace) -> tuple[dict[str, bytes], list[str]]:
    """What is written, by file name, and what is to be said of it."""
    from foamcalc.ask.seam.files import corrected_drawing, file_stem, seam_csv

    stem = file_stem(answered)
    contents, remarks = {f"{stem}.csv": seam_csv(answered)}, []
    try:
        new = corrected_drawing(answered)
    except ValueError as fault:
        new = None
        remarks.append(f"The drawing with its marks moved was not written: {fault}")
    if new is not None:
        contents[f"{stem}_corrected.svg"] = new
        remarks.append("In the corrected drawing only marks have moved; outlines are as they were.")
    contents |= _pages(answered, stem, args)
    return contents, remarks


def _pages(answered: SeamAnswer, stem: str, args: argparse.Namespace) -> dict[str, bytes]:
    """The seam on paper, by file name."""
    from foamcalc.draw.paper import pdf_bytes
    from foamcalc.draw.seam_page import seam_pages

    one, two = answered.choice.seam.intervals.names
    seams, found = {f"{one} and {two}": answered}, {}
    for paper in papers(args):
        pages = seam_pages(seams, title="Seam", paper=paper)
        found[f"{stem}_{paper}.pdf"] = pdf_bytes(pages)
    return found
