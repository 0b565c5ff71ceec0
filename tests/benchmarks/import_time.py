"""How long `import foamcalc` takes beside `import numpy`.

Run by hand, from the folder that holds the README:

    python tests/benchmarks/import_time.py

Every sample is a fresh interpreter that times one import. The imports take turns, so that a machine
that grows slower or faster meanwhile does so for all of them, and the median is compared.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
PROMISED = 1.5  # times the import of numpy


def every_room() -> str:
    """Return one statement that imports each module of the package but the command line."""
    names = []
    for path in sorted((ROOT / "foamcalc").rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        if parts[-1] != "__main__":
            names.append(".".join(parts[:-1] if parts[-1] == "__init__" else parts))
    return "import " + ", ".join(names)


def seconds(statement: str) -> float:
    """Return the time that a statement takes in a fresh interpreter."""
    code = (
        "from time import perf_counter\n"
        "start = perf_counter()\n"
        f"{statement}\n"
        "print(perf_counter() - start)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return float(run.stdout)


def main() -> None:
    """Measure, print the medians and the ratios."""
    parser = argparse.ArgumentParser(description="Time import foamcalc against import numpy.")
    parser.add_argument("--samples", type=int, default=25, help="samples of each, at least 15")
    samples = parser.parse_args().samples
    if samples < 15:
        parser.error(f"--samples must be 15 or more, got {samples}")

    statements = {
        "import numpy": "import numpy",
        "import foamcalc": "import foamcalc",
        "every module of foamcalc": every_room(),
    }
    for statement in statements.values():  # once each, unmeasured: compiles and fills the cache
        seconds(statement)
    taken: dict[str, list[float]] = {name: [] for name in statements}
    for _ in range(samples):
        for name, statement in statements.items():
            taken[name].append(seconds(statement))

    numpy_time = median(taken["import numpy"])
    print(f"median of {samples} fresh interpreters each, taking turns")
    for name, times in taken.items():
        ratio = median(times) / numpy_time
        print(f"{name:26} {1000 * median(times):8.1f} ms {ratio:6.2f} x numpy")
    print(f"promised: import foamcalc at most {PROMISED} x import numpy")


if __name__ == "__main__":
    main()
