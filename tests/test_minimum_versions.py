"""The oldest versions in tests/minimum_versions.txt are the lower bounds in pyproject.toml."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[1]


def lower_bounds(pyproject: str) -> dict[str, str]:
    """Return name → version for dependencies that are written as one `name>=version`."""
    found = {}
    for line in tomllib.loads(pyproject)["project"]["dependencies"]:
        requirement = Requirement(line)
        bounds = list(requirement.specifier)
        if len(bounds) != 1 or bounds[0].operator != ">=" or requirement.marker is not None:
            raise ValueError(f"dependency {line!r} must be written as name>=version")
        found[requirement.name] = bounds[0].version
    return found


def pins(constraints: str) -> dict[str, str]:
    """Return name → version for constraints that are written as one `name==version` a line."""
    found: dict[str, str] = {}
    for line in constraints.splitlines():
        text = line.partition("#")[0].strip()
        if not text:
            continue
        requirement = Requirement(text)
        bounds = list(requirement.specifier)
        if len(bounds) != 1 or bounds[0].operator != "==" or requirement.name in found:
            raise ValueError(f"constraint {text!r} must be written once, as name==version")
        found[requirement.name] = bounds[0].version
    return found


def test_the_two_files_agree():
    bounds = lower_bounds((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    oldest = pins((ROOT / "tests" / "minimum_versions.txt").read_text(encoding="utf-8"))
    assert oldest == bounds
    assert set(bounds) == {"numpy", "scipy", "pandas", "matplotlib", "svgpathtools"}


def test_a_dependency_without_a_plain_lower_bound_is_caught():
    for line in ("numpy", "numpy<2", "numpy>=1,<2", "numpy==1.26.0"):
        with pytest.raises(ValueError, match=r"must be written as name>=version"):
            lower_bounds(f'[project]\ndependencies = ["{line}"]\n')


def test_a_loose_or_repeated_constraint_is_caught():
    for text in ("numpy>=1.26.0", "numpy", "numpy==1.26.0\nnumpy==1.26.1"):
        with pytest.raises(ValueError, match=r"must be written once"):
            pins(text)
