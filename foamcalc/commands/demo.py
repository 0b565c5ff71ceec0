"""One joint of an invented costume, worked through."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from foamcalc.commands.options import DONE

if TYPE_CHECKING:
    from foamcalc.ask.bench import Answer, Question

_DEMO = """\
Demo with invented numbers: a community theatre's sea turtle. The back shell is 10 mm foam, formed,
{mouth} across its mouth. A scute of 5 mm foam goes over it, cut as long as the shell lies flat.
"""

_LAB = """\
The notebooks teach this and more. Open them in JupyterLab with

  {python} -m jupyterlab {notebooks}
"""


def add_demo(parser: argparse.ArgumentParser) -> None:
    """Whether a picture is wanted."""
    parser.add_argument("--picture", metavar="FOLDER", help="also write the picture (PNG) there")
    parser.add_argument("--overwrite", action="store_true", help="replace a picture that is there")
    parser.set_defaults(run=_run)


def demo_question() -> Question:
    """The demo joint; every number is invented."""
    from foamcalc.ask.bench import Question

    return Question(
        cut="401 mm", needed="420 mm", base="10 mm", overlay="5 mm", width="120 mm", mouth="260 mm"
    )


def _run(args: argparse.Namespace) -> int:
    from foamcalc.ask.bench import answer
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

    from foamcalc.ask.output import write_files
    from foamcalc.draw.charts import stretch_or_cut

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
