"""The house rules of the package, read from its source with `ast`.

Each rule is a function that takes source text, so that the tests can feed it a source that breaks
the rule and see it caught. The rules:

1. rooms import only the rooms that `ROOMS` allows; nothing imports upwards;
2. other people's libraries are imported where they are used, inside functions, numpy excepted;
3. functions stay short enough to be read in one go;
4. importing all modules, in a fresh interpreter, leaves the slow libraries unloaded.
"""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "foamcalc"

#: Room → the rooms it may import. The root holds the version only; anyone may ask it for that.
ROOMS = {
    "root": set(),
    "guards": set(),
    "units": {"guards"},
    "tables": {"guards"},
    "shape": {"shape", "guards"},
    "foam": {"foam", "guards", "tables"},
    "fit": {"fit", "shape", "foam", "tables", "units", "guards"},
    "ask": {"ask", "fit", "shape", "foam", "tables", "units", "guards"},
    "draw": {"draw", "ask", "fit", "shape", "foam", "tables", "units", "guards"},
    "commands": {
        "commands",
        "draw",
        "ask",
        "fit",
        "shape",
        "foam",
        "tables",
        "units",
        "guards",
    },
    "__main__": {"commands"},
}

#: Room → other people's libraries that it may import inside functions. numpy may stand anywhere.
CALCULATION = {"scipy", "pandas"}
LIBRARIES = {
    "root": set(),
    "guards": set(),
    "units": CALCULATION,
    "tables": CALCULATION,
    "shape": CALCULATION | {"svgpathtools"},
    "foam": CALCULATION,
    "fit": CALCULATION,
    "ask": CALCULATION,
    "draw": CALCULATION | {"matplotlib", "ipywidgets", "IPython"},
    "commands": set(),
    "__main__": set(),
}

#: What no module may load when it is imported.
SLOW = ("matplotlib", "pandas", "sympy", "scipy", "ipywidgets", "svgpathtools")

LONGEST_FUNCTION = 60  # lines without the docstring


# Reading imports --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Import:
    """One imported name: where it stands and what it asks for, as an absolute dotted path."""

    line: int
    target: str
    in_function: bool
    for_types_only: bool


def imports_in(source: str, module: str, *, is_package: bool = False) -> list[Import]:
    """Return every import in a module's source, wherever it stands, relative ones made absolute."""
    package = module if is_package else module.rpartition(".")[0]
    found: list[Import] = []

    def visit(node: ast.AST, in_function: bool, types_only: bool) -> None:
        for target in _targets(node, package):
            found.append(Import(node.lineno, target, in_function, types_only))
        if isinstance(node, ast.If) and _is_type_checking(node.test):
            for child in node.body:
                visit(child, in_function, True)
            for child in node.orelse:
                visit(child, in_function, types_only)
            return
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            # decorators and default values run when the module is imported; the body does not
            for child in [*node.decorator_list, node.args]:
                visit(child, in_function, types_only)
            for child in node.body:
                visit(child, True, types_only)
            return
        for child in ast.iter_child_nodes(node):
            visit(child, in_function or isinstance(node, ast.Lambda), types_only)

    visit(ast.parse(source), False, False)
    return found


def _targets(node: ast.AST, package: str) -> Iterator[str]:
    """Yield the dotted paths that one node imports."""
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            parents = package.split(".")[: len(package.split(".")) - node.level + 1]
            base = ".".join([*parents, *([base] if base else [])])
        yield from (f"{base}.{alias.name}" for alias in node.names)
    elif isinstance(node, ast.Call) and _called_name(node) in ("import_module", "__import__"):
        first = node.args[0] if node.args else None
        if isinstance(first, ast.Constant) and isinstance(first.value, str):
            name = first.value
            yield f"{package}.{name.lstrip('.')}" if name.startswith(".") else name
        else:
            yield "a name worked out at run time"


def _called_name(node: ast.Call) -> str:
    """Return the last part of what is called: "import_module" for importlib.import_module()."""
    if isinstance(node.func, ast.Attribute):
        return node.func.attr
    return node.func.id if isinstance(node.func, ast.Name) else ""


def _is_type_checking(test: ast.expr) -> bool:
    return ast.unparse(test) in ("TYPE_CHECKING", "typing.TYPE_CHECKING")


def room_of(module: str) -> str:
    """Return the room that a module of the package belongs to."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else "root"


# Rule 1: the arrows -----------------------------------------------------------------------------


def wrong_arrows(source: str, module: str, *, is_package: bool = False) -> list[str]:
    """Return one line for each import of a room that this module's room may not know."""
    room = room_of(module)
    if room not in ROOMS:
        return [f"{module}: no room of this name; give it a place in ROOMS first"]
    faults = []
    for item in imports_in(source, module, is_package=is_package):
        first, _, rest = item.target.partition(".")
        if first != "foamcalc":
            continue
        wanted = rest.partition(".")[0]
        if wanted == "":
            faults.append(f"{module}:{item.line}: import the room you need, not the whole package")
        elif wanted == "*":
            faults.append(f"{module}:{item.line}: a star import hides what is used")
        elif wanted in ROOMS and wanted not in ROOMS[room]:
            faults.append(f"{module}:{item.line}: {room} may not import {wanted}")
        elif wanted not in ROOMS and wanted != "__version__":
            faults.append(f"{module}:{item.line}: foamcalc.{wanted} is no room")
    return faults


# Rule 2: other people's libraries ---------------------------------------------------------------


def wrong_libraries(source: str, module: str, *, is_package: bool = False) -> list[str]:
    """Return one line for each outside library that is imported too early or not allowed here."""
    room = room_of(module)
    faults = []
    for item in imports_in(source, module, is_package=is_package):
        library = item.target.partition(".")[0]
        if library in sys.stdlib_module_names or library == "foamcalc":
            continue
        if library == "numpy" and room != "root":
            continue
        if library not in LIBRARIES.get(room, set()):
            faults.append(f"{module}:{item.line}: {room} may not import {library}")
        elif not (item.in_function or item.for_types_only):
            faults.append(
                f"{module}:{item.line}: import {library} inside the function that uses it"
            )
    return faults


# Rule 3: short enough to read -------------------------------------------------------------------


def too_long(source: str, module: str, *, is_package: bool = False) -> list[str]:
    """Return one line for each function that is longer than allowed."""
    faults = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            length = node.end_lineno - node.lineno + 1
            if ast.get_docstring(node, clean=False) is not None:
                length -= node.body[0].end_lineno - node.body[0].lineno + 1
            if length > LONGEST_FUNCTION:
                faults.append(
                    f"{module}:{node.lineno}: {node.name} has {length} lines without its "
                    f"docstring, at most {LONGEST_FUNCTION}"
                )
    return faults


# Rule 4: nothing slow on import -----------------------------------------------------------------


def loaded_by(statement: str) -> set[str]:
    """Return the top-level modules that a statement loads in a fresh interpreter."""
    code = (
        "import json, sys\n"
        "before = set(sys.modules)\n"
        f"{statement}\n"
        "print(json.dumps(sorted({name.partition('.')[0] for name in set(sys.modules) - before})))"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, f"{statement} failed:\n{run.stderr}"
    said, _, names = run.stdout.rstrip("\n").rpartition("\n")
    assert said == "", f"{statement} prints: {said}"
    return set(json.loads(names))


# The package itself -----------------------------------------------------------------------------


def modules() -> list[tuple[str, Path]]:
    """Return dotted name and file of every module of the package, as found on the disk."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        found.append((".".join(parts[:-1] if parts[-1] == "__init__" else parts), path))
    return found


MODULES = modules()


def faults_of(rule) -> list[str]:
    """What a rule finds in all modules."""
    return [
        fault
        for module, path in MODULES
        for fault in rule(path.read_text("utf-8"), module, is_package=path.name == "__init__.py")
    ]


def test_the_modules_are_found():
    names = {name for name, _ in MODULES}
    assert {"foamcalc", "foamcalc.guards"} <= names
    assert {f"foamcalc.{room}" for room in ("shape", "foam", "fit", "ask", "draw")} <= names


@pytest.mark.parametrize("rule", [wrong_arrows, wrong_libraries, too_long])
def test_the_house_keeps_its_rules(rule):
    assert faults_of(rule) == []


def test_importing_every_module_loads_nothing_slow():
    names = ", ".join(module for module, _ in MODULES)
    assert loaded_by(f"import {names}").isdisjoint(SLOW)


def test_importing_the_package_loads_numpy_at_most():
    outside = loaded_by("import foamcalc") - set(sys.stdlib_module_names) - {"foamcalc"}
    assert outside <= {"numpy"}


# The rules are seen to catch what breaks them ---------------------------------------------------


def test_the_table_has_no_way_up():
    """Follow the arrows as far as they go: no room reaches one that reaches it back."""

    def reach(room: str) -> set[str]:
        seen: set[str] = set()
        todo = [room]
        while todo:
            new = ROOMS[todo.pop()] - seen
            seen |= new
            todo += new
        return seen

    for room in ROOMS:
        for other in reach(room) - {room}:
            assert room not in reach(other), f"{room} and {other} know each other"
    assert "foam" not in reach("shape")
    assert "shape" not in reach("foam")
    assert [room for room in ROOMS if "draw" in ROOMS[room]] == ["draw", "commands"]


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("foamcalc.shape.curve", "from foamcalc.foam import law"),
        ("foamcalc.shape.curve", "import foamcalc.foam.law"),
        ("foamcalc.shape.curve", "import foamcalc.foam.law as law"),
        ("foamcalc.shape.curve", "from ..foam.law import Law"),
        ("foamcalc.shape.curve", "from .. import foam"),
        ("foamcalc.shape.curve", "from foamcalc import guards, tables"),
        ("foamcalc.shape.curve", "def f():\n    from foamcalc.units import length"),
        ("foamcalc.shape.curve", "class A:\n    def f(self):\n        import foamcalc.fit.seam"),
        ("foamcalc.shape.curve", "try:\n    from ..ask import plan\nexcept ImportError:\n    pass"),
        ("foamcalc.shape.curve", "import importlib\nimportlib.import_module('foamcalc.foam')"),
        ("foamcalc.foam.law", "from foamcalc.shape.curve import Curve"),
        ("foamcalc.foam.law", "from foamcalc.units import length"),
        ("foamcalc.foam.law", "if TYPE_CHECKING:\n    from ..shape import curve"),
        ("foamcalc.units", "from foamcalc.tables import load"),
        ("foamcalc.tables", "from .units import length"),
        ("foamcalc.guards", "from foamcalc.units import length"),
        ("foamcalc.fit.seam", "from foamcalc.ask.plan import Plan"),
        ("foamcalc.fit.seam", "from foamcalc.draw import charts"),
        ("foamcalc.ask.plan", "from foamcalc.draw import charts"),
        ("foamcalc.ask.plan", "from foamcalc.__main__ import main"),
        ("foamcalc.draw.charts", "from foamcalc.__main__ import main"),
        ("foamcalc.draw.charts", "from foamcalc.commands import plan"),
        ("foamcalc.__main__", "from foamcalc.ask import plan"),
        ("foamcalc.fit.seam", "import foamcalc"),
        ("foamcalc.fit.seam", "from foamcalc import *"),
        ("foamcalc.fit.seam", "from foamcalc import extras"),
        ("foamcalc.extras", "x = 1"),
    ],
)
def test_a_wrong_arrow_is_caught(module, source):
    assert len(wrong_arrows(source, module)) == 1


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("foamcalc", "from foamcalc.fit import overlay"),
        ("foamcalc", "from . import guards"),
        ("foamcalc.shape", "from ..foam import law"),
        ("foamcalc.shape", "from .. import foam"),
    ],
)
def test_a_wrong_arrow_in_an_init_file_is_caught(module, source):
    assert len(wrong_arrows(source, module, is_package=True)) == 1


@pytest.mark.parametrize(
    ("module", "source", "is_package"),
    [
        ("foamcalc.shape.curve", "from foamcalc.guards import positive", False),
        ("foamcalc.shape.curve", "from . import pattern\nfrom .pattern import read", False),
        ("foamcalc.shape", "from .curve import Curve\nfrom . import curve", True),
        ("foamcalc.foam.law", "from .. import guards, tables", False),
        ("foamcalc.fit.seam", "from foamcalc.shape import curve\nfrom ..foam import law", False),
        ("foamcalc.ask.output", "from foamcalc import __version__", False),
        ("foamcalc.__main__", "from foamcalc.commands.plan import add_plan", False),
        (
            "foamcalc.commands.plan",
            "from foamcalc.draw import charts\nfrom ..ask import plan",
            False,
        ),
        ("foamcalc", "__version__ = '0.1.0'", True),
    ],
)
def test_an_allowed_arrow_passes(module, source, is_package):
    assert wrong_arrows(source, module, is_package=is_package) == []


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("foamcalc.shape.curve", "import scipy"),
        ("foamcalc.shape.curve", "from scipy.special import ellipe"),
        ("foamcalc.draw.charts", "import matplotlib.pyplot as plt"),
        ("foamcalc.draw.widgets", "import ipywidgets"),
        ("foamcalc.shape.curve", "try:\n    import pandas\nexcept ImportError:\n    pandas = None"),
        ("foamcalc.shape.curve", "class A:\n    import sympy"),
        ("foamcalc.shape.curve", "import importlib\nplt = importlib.import_module('pandas')"),
        ("foamcalc.shape.curve", "def f(x=__import__('scipy')):\n    return x"),
        ("foamcalc.shape.curve", "def f():\n    import shapely"),
        ("foamcalc.shape.curve", "def f():\n    import ipywidgets"),
        ("foamcalc.shape.curve", "import importlib\ndef f(n):\n    importlib.import_module(n)"),
        ("foamcalc.guards", "def f():\n    import pandas"),
        ("foamcalc", "import numpy"),
    ],
)
def test_a_library_in_the_wrong_place_is_caught(module, source):
    assert len(wrong_libraries(source, module)) == 1


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("foamcalc.guards", "import numpy as np\nfrom numpy.typing import NDArray"),
        ("foamcalc.shape.curve", "import math\nimport json\ndef f():\n    import scipy.optimize"),
        ("foamcalc.draw.charts", "def f():\n    import matplotlib.pyplot as plt"),
        ("foamcalc.draw.widgets", "def f():\n    import ipywidgets"),
        (
            "foamcalc.fit.seam",
            "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import pandas as pd",
        ),
    ],
)
def test_a_library_in_its_place_passes(module, source):
    assert wrong_libraries(source, module) == []


def test_the_lengths_are_counted_to_the_line():
    def function(body: int, docstring: int) -> str:
        doc = ['    """Say.', *[""] * (docstring - 2), '    """'] if docstring else []
        return "\n".join(["def f():", *doc, *["    x = 1"] * body])

    assert too_long(function(LONGEST_FUNCTION - 1, 0), "m") == []
    assert too_long(function(LONGEST_FUNCTION - 1, 30), "m") == []
    assert len(too_long(function(LONGEST_FUNCTION, 0), "m")) == 1
    assert len(too_long(function(LONGEST_FUNCTION, 30), "m")) == 1


@pytest.mark.parametrize("library", ["pandas", "sympy", "scipy", "matplotlib"])
def test_a_slow_import_is_seen(library):
    assert library in loaded_by(f"import {library}")


def test_an_import_that_prints_or_fails_is_caught():
    with pytest.raises(AssertionError, match=r"prints: hello"):
        loaded_by("print('hello')")
    with pytest.raises(AssertionError, match=r"failed:(.|\n)*ModuleNotFoundError"):
        loaded_by("import foamcalc.no_such_module")
