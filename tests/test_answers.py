"""What a maker types and the whole answer, word for word: regression, read like code.

Each file of `tests/answers` holds command lines, each followed by all that comes of it: what is
printed, `!` before what goes to standard error, the words of every file written (of a PDF the size
and the words of its pages), the exit code unless it is 0. The commands run in a folder that holds
the demo build and `tests/answers/inputs`, sheets and drawings with mistakes in them.

After a change that is meant, write the answers anew and read the difference line by line:

    python tests/test_answers.py [FILE …]
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from unittest import mock

import pytest

from foamcalc.__main__ import main

ANSWERS = Path(__file__).parent / "answers"
ROOT = Path(__file__).resolve().parents[1]
DEMO = ROOT / "foamcalc" / "ask" / "demo_build"
PROMPT = "$ "
_ROUNDING = re.compile(r"(\d\.\d{9})\d+")
"""Digits that another machine may round otherwise."""


def cases(text: str) -> list[tuple[str, str]]:
    """Command line and answer of each case of a file."""
    blocks = ("\n" + text).split("\n" + PROMPT)[1:]
    return [(line, answer.strip("\n")) for line, _, answer in (b.partition("\n") for b in blocks)]


def answered(line: str) -> str:
    """Everything that comes of one command line, in a folder of its own."""
    with tempfile.TemporaryDirectory() as name, contextlib.chdir(name):
        folder = Path(name)
        for source in (DEMO, ANSWERS / "inputs"):
            shutil.copytree(source, folder, dirs_exist_ok=True)
        known = {p for p in folder.rglob("*") if p.is_file()}
        out, err, pages = io.StringIO(), io.StringIO(), []
        with (
            contextlib.redirect_stdout(out),
            contextlib.redirect_stderr(err),
            mock.patch.dict(os.environ, COLUMNS="80"),
            _read_pages(pages),
        ):
            try:
                code = main(shlex.split(line))
            except SystemExit as end:
                code = int(end.code or 0)
        said = [*out.getvalue().splitlines(), *(f"! {x}" for x in _told(err.getvalue()))]
        for path in sorted({p for p in folder.rglob("*") if p.is_file()} - known):
            said += [f"[{path.relative_to(folder).as_posix()}]", *_words(path)]
        said += [f"[page] {page}" for page in pages]
        said += [f"[exit {code}]"] * (code != 0)
        text = "\n".join(x.rstrip() for x in said).strip("\n")
        text = text.replace(sys.executable, "python").replace(str(ROOT), "CHECKOUT")
        return _ROUNDING.sub(r"\1", text)


def _told(errors: str) -> list[str]:
    """Lines of standard error, without the progress of a slow machine and the usage block."""
    lines = errors.splitlines()
    first = next((i for i, x in enumerate(lines) if ": error: " in x), 0)
    return [x for x in lines[first:] if "worked out; next: " not in x]


def _words(path: Path) -> list[str]:
    """What stands in a file; of a PDF and a picture nothing, for its pages are read as drawn."""
    if path.suffix in (".pdf", ".png"):
        return []
    return path.read_text(encoding="utf-8-sig").splitlines()


@contextlib.contextmanager
def _read_pages(pages: list[str]) -> Iterator[None]:
    """Read size and words of each page of each PDF; of many pages only the first is drawn."""
    from matplotlib.backends.backend_pdf import PdfPages
    from matplotlib.text import Text

    draw = PdfPages.savefig

    def read(self, figure, **options):
        words = [" ".join(t.get_text().split()) for t in figure.findobj(Text) if t.get_visible()]
        across, up = figure.get_size_inches() * 25.4
        pages.append(f"{across:.1f} x {up:.1f} mm: {' | '.join(w for w in words if w)}")
        if not self.get_pagecount():
            draw(self, figure, **options)

    with mock.patch.object(PdfPages, "savefig", read):
        yield


ALL = [
    pytest.param(line, answer, id=f"{path.stem}-{i}")
    for path in sorted(ANSWERS.glob("*.txt"))
    for i, (line, answer) in enumerate(cases(path.read_text(encoding="utf-8")), start=1)
]


@pytest.mark.parametrize(("line", "answer"), ALL)
def test_the_answer_is_as_it_was(line, answer):
    assert answered(line) == answer


def test_there_are_enough_of_them():
    assert len(ALL) >= 170


def refresh(files: list[str]) -> None:
    """Write the answers of these files, or of all, anew."""
    for path in map(Path, files) if files else sorted(ANSWERS.glob("*.txt")):
        lines = [line for line, _ in cases(path.read_text(encoding="utf-8"))]
        blocks = [f"{PROMPT}{line}\n{answered(line)}\n" for line in lines]
        path.write_text("\n".join(blocks), encoding="utf-8")


if __name__ == "__main__":
    refresh(sys.argv[1:])
