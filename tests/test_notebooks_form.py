"""The form of every stored notebook, so that running them can really compare something.

A notebook whose outputs or counts were stripped passes a comparison without being compared, and a
picture nobody stored cannot be looked at. Each rule is a function that takes a notebook and returns
its faults as text, so that the tests can feed it a broken one.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import nbformat
import pytest

ROOT = Path(__file__).resolve().parents[1]

#: The teaching order starts with these three; the name of each file opens with its number.
REQUIRED = ["00", "01", "02", "03", "04", "05", "06", "07", "08"]

#: At most one code cell in this many may go without comparison.
ONE_IN = 3

# A path as it stands on somebody's machine: home folders, root's, a work folder, a drive letter.
MACHINE_PATH = re.compile(r"(?<![\w.~])/(?:home|root|work|Users)(?![\w-])|\b[A-Z]:\\(?=\w)")

Notebook = dict[str, Any]


# The rules --------------------------------------------------------------------------------------


def format_faults(notebook: Notebook) -> list[str]:
    """A notebook is valid notebook format, version 4."""
    if notebook.get("nbformat") != 4:
        return [f"notebook format must be 4, got {notebook.get('nbformat')!r}"]
    try:
        nbformat.validate(nbformat.from_dict(copy.deepcopy(notebook)))
    except nbformat.ValidationError as error:
        return [f"not a valid notebook: {str(error).splitlines()[0]}"]
    return []


def title_faults(notebook: Notebook) -> list[str]:
    """The first cell is a title."""
    first = notebook["cells"][0] if notebook["cells"] else {"cell_type": "none", "source": ""}
    if first["cell_type"] != "markdown" or not re.match(r"# \S", text(first["source"])):
        return ["the first cell must be markdown that starts with a '# ' title"]
    return []


def count_faults(notebook: Notebook) -> list[str]:
    """Code cells were run once, in order, from 1, and none is empty."""
    cells = code_cells(notebook)
    faults = [
        f"code cell {number} is empty"
        for number, cell in enumerate(cells, 1)
        if not text(cell["source"]).strip()
    ]
    counts = [cell.get("execution_count") for cell in cells]
    if counts != list(range(1, len(cells) + 1)):
        faults.append(f"execution counts must run 1 to {len(cells)}, got {counts}")
    return faults


def picture_faults(notebook: Notebook) -> list[str]:
    """At least one picture is stored, and pictures are PNG."""
    kinds = [kind for output in outputs(notebook) for kind in output.get("data", {})]
    faults = [] if "image/png" in kinds else ["no picture is stored (image/png)"]
    for kind in kinds:
        if (kind.startswith("image/") and kind != "image/png") or kind == "application/pdf":
            faults.append(f"a picture is stored as {kind}; only PNG is stored")
    for output in outputs(notebook):
        html = text(output.get("data", {}).get("text/html", ""))
        if re.search(r"<svg\b|data:image/(?!png)", html):
            faults.append("a picture other than PNG stands inside an HTML output")
    return faults


def comparison_faults(notebook: Notebook) -> list[str]:
    """At most a third of the code cells go without comparison, and none goes without running."""
    cells = code_cells(notebook)
    ignored = [
        cell
        for cell in cells
        if "nbval-ignore-output" in tags(cell) or "NBVAL_IGNORE_OUTPUT" in text(cell["source"])
    ]
    faults = []
    if ONE_IN * len(ignored) > len(cells):
        faults.append(
            f"{len(ignored)} of {len(cells)} code cells ignore their output, at most 1 in {ONE_IN}"
        )
    for number, cell in enumerate(cells, 1):
        if "nbval-skip" in tags(cell) or "NBVAL_SKIP" in text(cell["source"]):
            faults.append(f"code cell {number} is skipped; no cell may be")
    return faults


def tag_faults(notebook: Notebook) -> list[str]:
    """One cell holds the numbers to change; one or more show an error, and only those do."""
    cells = code_cells(notebook)
    faults = []
    parameters = [cell for cell in cells if "parameters" in tags(cell)]
    if len(parameters) != 1:
        faults.append(f"one code cell must be tagged parameters, got {len(parameters)}")
    if not any("raises-exception" in tags(cell) for cell in cells):
        faults.append("one code cell must be tagged raises-exception")
    for number, cell in enumerate(cells, 1):
        raised = any(output["output_type"] == "error" for output in cell.get("outputs", []))
        if raised != ("raises-exception" in tags(cell)):
            tagged = "does not show its error" if not raised else "shows an error without the tag"
            faults.append(f"code cell {number} {tagged} (raises-exception)")
    return faults


def path_faults(notebook: Notebook) -> list[str]:
    """No path of a machine stands in any text of the notebook: sources, outputs, metadata."""
    faults = []
    for line in all_text(notebook):
        if hit := MACHINE_PATH.search(line):
            shown = line[max(0, hit.start() - 20) : hit.end() + 40].strip()
            faults.append(f"a path of a machine: {shown!r}")
    return faults


RULES = (
    format_faults,
    title_faults,
    count_faults,
    picture_faults,
    comparison_faults,
    tag_faults,
    path_faults,
)


def faults_of(notebook: Notebook) -> list[str]:
    """Return the faults of a notebook under every rule; the format goes first, alone."""
    return format_faults(notebook) or [fault for rule in RULES[1:] for fault in rule(notebook)]


# Reading a notebook -----------------------------------------------------------------------------


def text(value: str | list[str]) -> str:
    """Return text that may be stored as a list of lines."""
    return value if isinstance(value, str) else "".join(value)


def code_cells(notebook: Notebook) -> list[dict[str, Any]]:
    return [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]


def outputs(notebook: Notebook) -> Iterator[dict[str, Any]]:
    for cell in code_cells(notebook):
        yield from cell.get("outputs", [])


def tags(cell: dict[str, Any]) -> list[str]:
    return list(cell.get("metadata", {}).get("tags", []))


def all_text(value: Any) -> Iterator[str]:
    """Yield every text in a notebook, line by line, pictures left out."""
    if isinstance(value, str):
        yield from value.splitlines()
    elif isinstance(value, dict):
        for key, inner in value.items():
            if key != "image/png":
                yield from all_text(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from all_text(inner)


def stored() -> list[Path]:
    return sorted((ROOT / "notebooks").glob("*.ipynb"))


def read(path: Path) -> Notebook:
    return dict(nbformat.reads(path.read_text(encoding="utf-8"), as_version=nbformat.NO_CONVERT))


# The stored notebooks ---------------------------------------------------------------------------


def test_every_stored_notebook_has_its_form():
    faults = {path.name: faults_of(read(path)) for path in stored()}
    assert {name: found for name, found in faults.items() if found} == {}


def missing_numbers(names: list[str]) -> list[str]:
    """Return the required numbers that do not open exactly one file name."""
    return [
        number for number in REQUIRED if sum(name.startswith(f"{number}_") for name in names) != 1
    ]


def test_the_first_notebooks_exist():
    assert missing_numbers([path.name for path in stored()]) == []


def test_notebooks_stand_in_one_folder():
    """A notebook elsewhere in the checkout would be run and compared by nobody."""
    hidden = (".venv", "venv", ".git", "build", "dist", ".ipynb_checkpoints")
    elsewhere = [
        str(path.relative_to(ROOT))
        for path in ROOT.rglob("*.ipynb")
        if path.parent != ROOT / "notebooks" and not set(path.relative_to(ROOT).parts) & set(hidden)
    ]
    assert elsewhere == []


# The rules are seen to catch what breaks them ---------------------------------------------------


def code(source: str, count: int | None, *outs: dict[str, Any], tag: str = "") -> dict[str, Any]:
    return {
        "cell_type": "code",
        "id": f"cell-{count}",
        "metadata": {"tags": [tag]} if tag else {},
        "source": source,
        "execution_count": count,
        "outputs": list(outs),
    }


def picture(kind: str = "image/png") -> dict[str, Any]:
    return {"output_type": "display_data", "metadata": {}, "data": {kind: "aGVsbG8="}}


def printed(line: str) -> dict[str, Any]:
    return {"output_type": "stream", "name": "stdout", "text": line}


ERROR = {
    "output_type": "error",
    "ename": "ValueError",
    "evalue": "thickness must be a finite length above 0 mm, got -2.0",
    "traceback": ["ValueError: thickness must be a finite length above 0 mm, got -2.0"],
}


def good() -> Notebook:
    return {
        "nbformat": 4,
        "nbformat_minor": 5,
        "metadata": {},
        "cells": [
            {"cell_type": "markdown", "id": "title", "metadata": {}, "source": "# How long?"},
            code("thickness = 10", 1, tag="parameters"),
            code("print(thickness)", 2, printed("10\n")),
            code("plt.show()", 3, picture()),
            code("length(-2)", 4, ERROR, tag="raises-exception"),
            code("slider()", 5, tag="nbval-ignore-output"),
        ],
    }


def test_a_good_notebook_has_no_faults():
    assert faults_of(good()) == []


def test_text_may_be_stored_as_lines():
    notebook = good()
    notebook["cells"][0]["source"] = ["# How long?\n", "Words."]
    notebook["cells"][2]["outputs"][0]["text"] = ["10\n", "11\n"]
    assert faults_of(notebook) == []


def test_a_third_may_ignore_their_output_and_no_more():
    notebook = good()
    notebook["cells"].append(code("a", 6, tag="nbval-ignore-output"))
    assert comparison_faults(notebook) == []  # 2 of 6
    notebook["cells"].append(code("# NBVAL_IGNORE_OUTPUT\na", 7))
    assert len(comparison_faults(notebook)) == 1  # 3 of 7


def changed(**cell_changes: Any) -> Notebook:
    """Return the good notebook with fields of one cell changed; `at` says which."""
    notebook = good()
    notebook["cells"][cell_changes.pop("at")].update(cell_changes)
    return notebook


@pytest.mark.parametrize(
    ("rule", "notebook"),
    [
        (format_faults, {**good(), "nbformat": 3}),
        (format_faults, changed(at=2, cell_type="cod")),
        (format_faults, changed(at=2, outputs=[{"output_type": "steam"}])),
        (title_faults, changed(at=0, source="How long?")),
        (title_faults, changed(at=0, source="## How long?")),
        (title_faults, changed(at=0, source="#")),
        (title_faults, {**good(), "cells": good()["cells"][1:]}),
        (title_faults, {**good(), "cells": []}),
        (count_faults, changed(at=2, execution_count=None)),
        (count_faults, changed(at=1, execution_count=2)),
        (count_faults, changed(at=5, execution_count=9)),
        (count_faults, changed(at=2, source="  \n")),
        (picture_faults, changed(at=3, outputs=[])),
        (picture_faults, changed(at=2, outputs=[picture("image/svg+xml")])),
        (picture_faults, changed(at=2, outputs=[picture("application/pdf")])),
        (
            picture_faults,
            changed(
                at=2, outputs=[{**picture(), "data": {"text/html": "<p><svg width='1'/></p>"}}]
            ),
        ),
        (comparison_faults, changed(at=2, metadata={"tags": ["nbval-skip"]})),
        (comparison_faults, changed(at=2, source="# NBVAL_SKIP\nprint(1)")),
        (tag_faults, changed(at=1, metadata={})),
        (tag_faults, changed(at=2, metadata={"tags": ["parameters"]})),
        (tag_faults, changed(at=2, outputs=[ERROR])),
        (tag_faults, changed(at=4, outputs=[])),
        (tag_faults, changed(at=4, metadata={}, outputs=[])),
    ],
)
def test_a_broken_notebook_is_caught(rule, notebook):
    assert len(rule(notebook)) == 1


@pytest.mark.parametrize(
    "line",
    [
        "/" + "home/anna/foamcalc/guards.py",
        "File /" + "root/x.py:3",
        "'/" + "work/main'",
        "file:///" + "home/anna",
        "(/" + "Users/anna)",
        "C:\\Users\\anna",
        "D:\\foam\\x.py",
    ],
)
def test_a_path_of_a_machine_is_caught(line):
    assert len(path_faults(changed(at=2, source=line))) == 1
    assert len(path_faults(changed(at=2, outputs=[printed(f"ok\n{line}\n")]))) == 1
    assert len(path_faults(changed(at=4, outputs=[{**ERROR, "traceback": [line]}]))) == 1
    assert len(path_faults({**good(), "metadata": {"path": line}})) == 1


@pytest.mark.parametrize(
    "line",
    [
        "cut/work",
        "and/" + "home",
        "../" + "work/x",
        "https://example.org/" + "home",
        "2 N/mm",
        "C: 4",
    ],
)
def test_what_only_looks_like_a_path_passes(line):
    assert path_faults(changed(at=2, source=line)) == []


def test_a_missing_or_double_number_is_caught():
    names = [f"{number}_a.ipynb" for number in REQUIRED]
    assert missing_numbers(names) == []
    assert missing_numbers(names[:-1]) == REQUIRED[-1:]
    assert missing_numbers([]) == REQUIRED
    assert missing_numbers([*names, "01_again.ipynb"]) == ["01"]
