"""Strips along an edge: how long, how wide, how many, and where the marks go."""

from __future__ import annotations

import argparse
from pathlib import Path

from foamcalc.ask.trim import FORM
from foamcalc.commands.drawing import listed_edges, sized_pattern
from foamcalc.commands.options import DONE, add_output, save

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
    FORM.options(parser)
    add_output(parser, default=None)
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from foamcalc.ask.trim.answer import ask

    said = {key.name: getattr(args, key.name) for key in FORM.known(line=True)}
    for name in ("pull", "most_stretch"):  # on the command line they are percentages
        if said[name] is not None:
            said[name] = f"{said[name].rstrip('% ')} %"
    if said["per_inch"] is not None and said["per_inch"].isdigit():
        said["per_inch"] = int(said["per_inch"])
    pattern = None if args.drawing is None else sized_pattern(args.drawing, said["per_inch"])
    if pattern is not None and args.edge is None:
        if args.out is not None:
            raise ValueError("--out is for a strip: name its edge, --edge")
        how = (
            "Name the edge: --edge NAME, and the marks where the strip begins and ends: "
            "--from MARK --to MARK; without them a closed edge is gone once round."
        )
        print("\n".join(listed_edges(pattern, args.units or "mm", how)))
        return DONE
    answered = ask(pattern=pattern, **said)
    contents = {} if args.out is None else answered.files()
    written = save(args, contents, [Path(args.drawing).resolve()] if args.drawing else ())
    print("\n".join(answered.lines()))
    if written:
        print("\n".join(["", *written]))
    return DONE
