"""One joint from two tape readings."""

from __future__ import annotations

import argparse
from dataclasses import fields

from foamcalc.commands.options import DONE


def add_overlay(parser: argparse.ArgumentParser) -> None:
    """The readings."""
    parser.description = (
        "Two tape readings and what you know besides. A bare number is mm; write '3/8 in' for "
        "inches and '180 deg' or '0.5 turn' for angles. For a third layer write a job sheet: one "
        "[shell.NAME] and an [[overlay]] for each layer on it (plan --keys lists what goes in)."
    )
    add = parser.add_argument
    add("cut", help="length of the overlay as cut, lying flat")
    add("needed", help="length it must cover, taped over the outside of the base")
    add(
        "--shell",
        metavar="LENGTH",
        help="length of the whole base over its outside, where the overlay covers a part of it",
    )
    add(
        "--start",
        metavar="PLACE",
        help="with --shell: where the overlay begins on it; left out, it lies in the middle",
    )
    add("--base", metavar="THICKNESS", help="thickness of the base, measured")
    add("--overlay", metavar="THICKNESS", help="thickness of the overlay, measured")
    add("--width", metavar="WIDTH", help="width of the overlay across the bend")
    add("--base-width", metavar="WIDTH", help="width of the base; left out, that of the overlay")
    add("--turn", metavar="ANGLE", help="angle between the two ends of the base, '180 deg'")
    add("--radius", metavar="RADIUS", help="or: inside radius of the base")
    add("--mouth", metavar="LENGTH", help="or: straight distance between its inside ends")
    add("--inside", metavar="LENGTH", help="or: tape reading along the inside of all of it")
    add(
        "--formed",
        default=1.0,
        metavar="PERCENT",
        help="how far heat has formed the base: '100 %%' keeps the curve by itself (default), "
        "'0 %%' is only held",
    )
    add("--foam", default="EVA medium", help="grade in reference_tables/foams.csv")
    add(
        "--swatch", metavar="FILE", help="record of your own swatch test (CSV), in place of a grade"
    )
    add(
        "--density",
        metavar="DENSITY",
        help="or what the foam weighs, '100 kg/m3': its stiffness is guessed from that",
    )
    add("--adhesive", default="contact adhesive", help="name in reference_tables/adhesives.csv")
    add("--not-cut", dest="already_cut", action="store_false", help="the overlay is not cut yet")
    add(
        "--free-ends",
        type=int,
        default=2,
        metavar="N",
        help="ends of the overlay that may run past and be trimmed: 0, 1 or 2 (default)",
    )
    add("--most-opening", metavar="LENGTH", help="most the mouth may open")
    add("--most-stretch", type=float, metavar="PERCENT", help="most the overlay may stretch cold")
    add("--peel-held", metavar="WEIGHT", help="your own glue test: what a peeled strip just held")
    add("--peel-width", metavar="WIDTH", help="width of that strip; without a test, ends may lift")
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from foamcalc.ask.bench import Question, answer

    question = Question(**{f.name: getattr(args, f.name) for f in fields(Question)})
    print("\n".join(answer(question).lines()))
    return DONE
