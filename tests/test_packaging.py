"""What an ordinary install must hold, which an editable one has anyway."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
TOOL = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["setuptools"]
FOLDERS = TOOL["package-dir"]


@pytest.mark.parametrize(("package", "folder"), FOLDERS.items())
def test_every_package_is_listed(package: str, folder: str) -> None:
    """A subpackage left out works here and is missing from the wheel."""
    inside = [path.parent.relative_to(ROOT / folder) for path in (ROOT / folder).rglob("*.py")]
    there = {".".join((package, *path.parts)) for path in inside}
    listed = {name for name in TOOL["packages"] if f"{name}.".startswith(f"{package}.")}
    assert listed == there


def test_a_package_is_a_package() -> None:
    """A folder without `__init__.py` would be none to the import checks."""
    for folder in FOLDERS.values():
        for path in (ROOT / folder).rglob("*.py"):
            assert (path.parent / "__init__.py").exists(), path.parent
