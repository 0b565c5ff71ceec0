"""How much the tests would notice: random small mistakes put into a room, and the share found.

A mistake changes one operator or one constant, in a copy of the checkout; then the tests of that
room, the commands and the recorded answers run until the first fails. Mistakes in a docstring, a
text or an annotation are not made. Hours for a whole room of 300; a sample says what its 95 %
interval says.

    python tests/benchmarks/mutants.py fit --number 40 --seed 1
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("shape", "foam", "fit", "ask", "draw")
SWAPS = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.And: ast.Or,
    ast.Or: ast.And,
    ast.USub: ast.UAdd,
}


def places(tree: ast.AST) -> list[tuple[ast.AST, str]]:
    """Nodes that can be changed, each with the kind of change; no annotations, no texts."""
    found = []
    todo: list[ast.AST] = [tree]
    while todo:
        node = todo.pop()
        for name, value in ast.iter_fields(node):
            if name in ("annotation", "returns"):
                continue
            todo += [x for x in (value if isinstance(value, list) else [value]) if is_node(x)]
        if isinstance(node, ast.BinOp | ast.BoolOp | ast.UnaryOp) and type(node.op) in SWAPS:
            found.append((node, "op"))
        elif isinstance(node, ast.Compare) and type(node.ops[0]) in SWAPS:
            found.append((node, "compare"))
        elif isinstance(node, ast.Constant) and type(node.value) in (int, float, bool):
            found.append((node, "constant"))
    return found


def is_node(value: object) -> bool:
    return isinstance(value, ast.AST)


def change(node: ast.AST, kind: str) -> None:
    """Make the mistake in the tree."""
    if kind == "op":
        node.op = SWAPS[type(node.op)]()
    elif kind == "compare":
        node.ops[0] = SWAPS[type(node.ops[0])]()
    elif isinstance(node.value, bool):
        node.value = not node.value
    else:
        node.value = node.value * 1.25 if isinstance(node.value, float) else node.value + 1


def found_out(copy: Path, room: str, seconds: float) -> bool:
    """Whether a test fails, or hangs."""
    tests = [f"tests/{room}", "tests/test_answers.py", *map(str, copy.glob("tests/test_command*"))]
    options = ["-o", "addopts=--import-mode=importlib", "-p", "no:cacheprovider", "-x", "-q"]
    environment = {**os.environ, "PYTHONPATH": str(copy), "OPENBLAS_NUM_THREADS": "1"}
    run = [sys.executable, "-m", "pytest", *options, *tests]
    try:
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        return (
            subprocess.run(run, cwd=copy, env=environment, timeout=seconds, **quiet).returncode != 0
        )
    except subprocess.TimeoutExpired:
        return True


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("room", choices=ROOMS)
    parser.add_argument("--number", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=600, help="longest that one may take")
    args = parser.parse_args()
    chance = random.Random(args.seed)
    with tempfile.TemporaryDirectory() as name:
        copy = Path(name) / "checkout"
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".venv", ".git", "__pycache__"))
        if found_out(copy, args.room, args.seconds):
            sys.exit("the tests fail, or take too long, without any mistake put in")
        files = sorted((copy / "foamcalc" / args.room).rglob("*.py"))
        weights = [len(places(ast.parse(f.read_text("utf-8")))) for f in files]
        killed = 0
        for n in range(1, args.number + 1):
            file = chance.choices(files, weights)[0]
            source = file.read_text("utf-8")
            tree = ast.parse(source)
            node, kind = chance.choice(places(tree))
            line = source.splitlines()[node.lineno - 1].strip()
            change(node, kind)
            file.write_text(ast.unparse(tree), "utf-8")
            found = found_out(copy, args.room, args.seconds)
            file.write_text(source, "utf-8")
            killed += found
            if not found:
                print(f"missed: {file.relative_to(copy)}:{node.lineno} {kind}: {line}", flush=True)
            print(f"{n}: {killed} found", file=sys.stderr, flush=True)
    share = killed / args.number
    half = 1.96 * (share * (1 - share) / args.number) ** 0.5
    print(f"{args.room}: {share:.0%} of {args.number} found (± {half:.0%}), seed {args.seed}")


if __name__ == "__main__":
    main()
