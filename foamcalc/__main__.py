"""foamcalc at the bench: ``python -m foamcalc``."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamcalc.job.bench import Answer, Question

DONE, USAGE = 0, 2

_WELCOME = """\
foamcalc: is this piece long enough for that curve, and what happens if I stretch it?

One joint from two tape readings, the overlay as it is cut and the length it must cover, taken
over the outside of the base:

  python -m foamcalc overlay 173 188
  python -m foamcalc overlay "6 7/8 in" "7 3/8 in" --base "3/8 in" --overlay "3/16 in"

A bare number is mm. Say more and the answer gets better:

  python -m foamcalc overlay 173 188 --base 10 --overlay 5 --turn "180 deg" --not-cut

Other things it does:

  python -m foamcalc chart     the gap chart to hang over the bench (PDF, A4 and Letter)
  python -m foamcalc demo      one joint of an invented turtle costume, worked through
  python -m foamcalc overlay --help     every reading that helps, one line each
"""

_DEMO = """\
Demo with invented numbers: a community theatre's sea turtle. The back shell is 10 mm foam, formed,
{mouth} across its mouth. A scute of 5 mm foam goes over it, cut as long as the shell lies flat.
"""

_LAB = """\
The notebooks teach this and more. Open them in JupyterLab with

  {python} -m jupyterlab {notebooks}
"""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns 0 when done, 2 when it was not understood."""
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
    commands = parser.add_subparsers(dest="command", metavar="command")
    _add_overlay(commands.add_parser("overlay", help="one layer glued over another on a bend"))
    chart = commands.add_parser("chart", help="the gap chart, turn by offset, as a PDF page")
    chart.add_argument("--paper", choices=("A4", "Letter", "both"), default="both")
    _add_output(chart)
    chart.set_defaults(run=_chart)
    demo = commands.add_parser("demo", help="one joint of an invented costume")
    demo.add_argument("--picture", metavar="FOLDER", help="also write the picture (PNG) there")
    demo.add_argument("--overwrite", action="store_true", help="replace a picture that is there")
    demo.set_defaults(run=_demo)
    return parser


def _add_output(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--out",
        default=".",
        metavar="FOLDER",
        help="folder for the files (default: this one); made if it is not there",
    )
    parser.add_argument("--overwrite", action="store_true", help="replace files of the same name")


def _add_overlay(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "Two tape readings and what you know besides. A bare number is mm; write '3/8 in' for "
        "inches and '180 deg' or '0.5 turn' for angles."
    )
    add = parser.add_argument
    add("cut", help="length of the overlay as cut, lying flat")
    add("needed", help="length it must cover, taped over the outside of the base")
    add("--base", metavar="THICKNESS", help="thickness of the base, measured")
    add("--overlay", metavar="THICKNESS", help="thickness of the overlay, measured")
    add("--width", metavar="WIDTH", help="width of the overlay across the bend")
    add("--turn", metavar="ANGLE", help="angle between the two ends of the base, '180 deg'")
    add("--radius", metavar="RADIUS", help="or: inside radius of the base")
    add("--mouth", metavar="LENGTH", help="or: straight distance between its inside ends")
    add("--inside", metavar="LENGTH", help="or: tape reading along its inside")
    add(
        "--formed",
        type=_share,
        default=1.0,
        metavar="PERCENT",
        help="how far heat has formed the base: 100 keeps the curve by itself (default), 0 is "
        "only held",
    )
    add("--foam", default="EVA medium", help="grade in reference_tables/foams.csv")
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
    parser.set_defaults(run=_overlay)


def _share(text: str) -> float:
    """A percentage as a fraction."""
    try:
        value = float(text.removesuffix("%"))
    except ValueError:
        value = -1.0
    if not 0 <= value <= 100:
        raise argparse.ArgumentTypeError(f"must be from 0 to 100 percent, got {text!r}")
    return value / 100


def _overlay(args: argparse.Namespace) -> int:
    from foamcalc.job.bench import Question, answer

    question = Question(**{f.name: getattr(args, f.name) for f in fields(Question)})
    print("\n".join(answer(question).lines()))
    return DONE


def _chart(args: argparse.Namespace) -> int:
    from io import BytesIO

    from foamcalc.draw.gapchart import gap_chart, save_gap_chart
    from foamcalc.job.output import write_files

    contents = {}
    for paper in ("A4", "Letter") if args.paper == "both" else (args.paper,):
        file = BytesIO()
        save_gap_chart(gap_chart(paper=paper), file)
        contents[f"gap_chart_{paper}.pdf"] = file.getvalue()
    for path in write_files(args.out, contents, overwrite=args.overwrite):
        print(f"{path}")
    print("Print at 100 % ('actual size') and measure the bar at the foot of the page.")
    return DONE


def demo_question() -> Question:
    """The demo joint; every number is invented."""
    from foamcalc.job.bench import Question

    return Question(
        cut="401 mm", needed="420 mm", base="10 mm", overlay="5 mm", width="120 mm", mouth="260 mm"
    )


def _demo(args: argparse.Namespace) -> int:
    from foamcalc.job.bench import answer
    from foamcalc.tables import folder

    question = demo_question()
    print(_DEMO.format(mouth=question.mouth))
    print(
        f"  python -m foamcalc overlay '{question.cut}' '{question.needed}' "
        f"--base '{question.base}' --overlay '{question.overlay}' --width '{question.width}' "
        f"--mouth '{question.mouth}'\n"
    )
    answered = answer(question)
    print("\n".join(answered.lines()))
    if args.picture is not None:
        print(f"\npicture: {_write_picture(answered, args.picture, args.overwrite)}")
    notebooks = folder().parent / "notebooks"
    here = Path.cwd()
    shown = notebooks.relative_to(here) if notebooks.is_relative_to(here) else notebooks
    python = Path(sys.executable)
    python = python.relative_to(here) if python.is_relative_to(here) else python
    print("\n" + _LAB.format(python=python, notebooks=shown))
    return DONE


def _write_picture(answered: Answer, folder: str, overwrite: bool) -> Path:
    """The outcomes side by side, as cut and cut to length."""
    from io import BytesIO

    from foamcalc.draw.charts import stretch_or_cut
    from foamcalc.job.output import write_files

    joint = answered.choice.joint
    figure = stretch_or_cut(
        outcomes=answered.choice.outcomes[:2],
        base_thickness=joint.base.thickness,
        overlay_thickness=joint.overlay.thickness,
        system=answered.system,
    )
    file = BytesIO()
    figure.savefig(file, format="png", dpi=150, metadata={"Software": None})
    name = "stretch_or_cut_longer.png"
    return write_files(folder, {name: file.getvalue()}, overwrite=overwrite)[0]


if __name__ == "__main__":
    sys.exit(main())
