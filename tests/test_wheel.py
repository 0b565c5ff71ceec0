"""The wheel, used as a stranger would: in an empty environment, away from the checkout."""

from __future__ import annotations

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]

pytestmark = pytest.mark.slow


def run(*command: str | Path, cwd: Path) -> str:
    """Run a command without this checkout on the path; return what it prints, fail if it fails."""
    clean = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        env={**clean, "PYTHONUTF8": "1"},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, f"{done.args}\n{done.stdout}\n{done.stderr}"
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", out, ROOT, cwd=out)
    (built,) = out.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the Python of an empty environment that holds the wheel and what it asks for."""
    place = tmp_path_factory.mktemp("stranger")
    venv.create(place / "env", with_pip=True)
    python = place / "env" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    run(python, "-m", "pip", "install", "-q", wheel, cwd=place)
    return python


def inside(folder: str, pattern: str) -> set[str]:
    """Return the files of a folder of the checkout by the names they shall have in the wheel."""
    found = (ROOT / folder).rglob(pattern)
    names = {path.relative_to(ROOT).as_posix() for path in found}
    return {name if folder == "foamcalc" else f"foamcalc/{name}" for name in names}


def test_the_wheel_holds_the_package_the_tables_and_the_notebooks(wheel):
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
    carried = {name for name in names if ".dist-info/" not in name}
    assert {name.split("/")[0] for name in carried} == {"foamcalc"}
    assert not [name for name in carried if "/tests/" in name or "/test_" in name]
    assert not [name for name in carried if "checkpoint" in name or name.endswith(".pyc")]
    tables = inside("reference_tables", "*.csv") | inside("reference_tables", "*.md")
    notebooks = {name for name in inside("notebooks", "*.ipynb") if "checkpoint" not in name}
    notebooks |= inside("notebooks/pictures", "*.png")
    code = inside("foamcalc", "*.py") | {"foamcalc/py.typed"}
    build = {name for kind in ("toml", "csv", "svg") for name in inside("foamcalc", f"*.{kind}")}
    assert build, "the checkout has no demo build"
    assert tables, "the checkout has no tables"
    assert notebooks, "the checkout has no notebooks"
    assert carried == code | build | tables | notebooks
    assert any(name.endswith("licenses/LICENSE") for name in names)


def test_the_installed_package_is_not_the_checkout(installed):
    code = "import foamcalc; print(foamcalc.__file__)"
    where = Path(run(installed, "-c", code, cwd=installed.parent).strip())
    assert where.is_relative_to(installed.parents[1])
    assert not where.is_relative_to(ROOT)


def test_the_installed_program_answers_two_tape_readings(installed):
    """Exact by hand, with the 10 mm base and 5 mm overlay that are assumed when nothing is said.

    A half turn: cut along the middle of the base, 172.8 = 55 pi; taped over its outside,
    188.5 = 60 pi; needed along the middle of the overlay, 62.5 pi = 196.3. Short by 23.6 mm.
    """
    out = run(installed, "-m", "foamcalc", "overlay", "172.8", "188.5", cwd=installed.parent)
    assert "24 mm short" in out.splitlines()[0]


def test_the_installed_program_plans_the_demo_build_and_gives_its_sheet_away(installed):
    place = installed.parent
    out = run(installed, "-m", "foamcalc", "plan", "--out", "bench", "--paper", "A4", cwd=place)
    assert "first scute" in out
    again = run(installed, "-m", "foamcalc", "plan", place / "bench" / "turtle.toml", cwd=place)
    assert "first scute" in again
    assert (place / "bench" / "turtle_card_A4.pdf").read_bytes().startswith(b"%PDF")
