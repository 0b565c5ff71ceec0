"""The gap chart to hang over the bench."""

from __future__ import annotations

import argparse

from foamcalc.commands.options import DONE, add_output, add_paper, papers, save


def add_chart(parser: argparse.ArgumentParser) -> None:
    """Paper and folder."""
    add_paper(parser)
    add_output(parser, default=".")
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from foamcalc.draw.gapchart import gap_chart
    from foamcalc.draw.paper import pdf_bytes

    contents = {
        f"gap_chart_{paper}.pdf": pdf_bytes([gap_chart(paper=paper)]) for paper in papers(args)
    }
    print("\n".join(save(args, contents)))
    print("Print at 100 % ('actual size') and measure the bar at the foot of the page.")
    return DONE
