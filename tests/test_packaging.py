"""What an ordinary install must hold, which an editable one has anyway."""

from __future__ import annotations

import tomllib
from fnmatch import fnmatch
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


def test_every_file_beside_the_modules_is_shipped() -> None:
    """A template, table or help topic that no pattern names is missing from the wheel alone."""
    patterns = TOOL["package-data"]["*"]
    for folder in FOLDERS.values():
        for path in (ROOT / folder).rglob("*"):
            if path.is_file() and path.suffix not in (".py", ".pyc"):
                home = next(above for above in path.parents if (above / "__init__.py").exists())
                assert any(fnmatch(str(path.relative_to(home)), each) for each in patterns), path
