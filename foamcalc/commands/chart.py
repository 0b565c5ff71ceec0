"""The gap chart to hang over the bench."""

from __future__ import annotations

import argparse

from foamcalc.commands.options import DONE, add_output, add_paper, papers


def add_chart(parser: argparse.ArgumentParser) -> None:
    """Paper and folder."""
    add_paper(parser)
    add_output(parser, default=".")
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from io import BytesIO

    from foamcalc.draw.gapchart import gap_chart, save_gap_chart
    from foamcalc.job.output import write_files

    contents = {}
    for paper in papers(args):
        file = BytesIO()
        save_gap_chart(gap_chart(paper=paper), file)
        contents[f"gap_chart_{paper}.pdf"] = file.getvalue()
    for path in write_files(args.out, contents, overwrite=args.overwrite):
        print(f"{path}")
    print("Print at 100 % ('actual size') and measure the bar at the foot of the page.")
    return DONE
