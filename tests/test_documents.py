"""DEVELOPERS.md and tests/README.md name files that are there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
DOCUMENTS = ("DEVELOPERS.md", "tests/README.md")
HOUSE = ("service", "client", "tests", "migrations")
SUFFIXES = (".py", ".md", ".txt", ".toml", ".json", ".html", ".css")
THERE = [each for top in HOUSE for each in (ROOT / top, *(ROOT / top).rglob("*"))]


def named(text: str) -> list[str]:
    """The files and folders that a document names."""
    quoted = re.findall(r"`(\w[\w./*-]*)`", text)
    return [each for each in quoted if "/" in each or each.endswith(SUFFIXES)]


def places(name: str) -> list[Path]:
    """The files and folders that a name with a folder may mean."""
    return [each for each in THERE if fnmatch(f"/{each.relative_to(ROOT)}", f"*/{name}")]


def lost(text: str, beside: Path) -> Iterator[str]:
    """The names of a document that lead nowhere.

    A bare name is that of a file beside the name before it, or at the top; the first, beside the
    document.
    """
    folders = [beside]
    for name in named(text):
        if "/" not in name:
            if not any((folder / name).is_file() for folder in (ROOT, *folders)):
                yield name
            continue
        path = name.rstrip("/")
        to_be_given = "NNNN" in path  # its folder is there
        found = places(path.rpartition("/")[0] if to_be_given else path)
        if not found:
            yield name
        folders = [each if each.is_dir() else each.parent for each in found]


@pytest.mark.parametrize("document", DOCUMENTS)
def test_each_file_that_a_document_names_is_there(document: str) -> None:
    """So that 'where do I change …' leads somewhere."""
    text = (ROOT / document).read_text(encoding="utf-8")
    assert len(named(text)) > 60
    assert list(lost(text, (ROOT / document).parent)) == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("`store/tables.py`, `lookup.py`", []),
        ("`store/tables.py`, `logbook.py`", ["logbook.py"]),  # which is in store/yard
        ("`service/store` and `lookup.py`", []),
        ("`migrations/NNNN_what.py`, by `dialect.py`", []),
        ("`store/yard/tables.py`", ["store/yard/tables.py"]),
        ("`DEVELOPERS.md`, `tables.py`", ["tables.py"]),
    ],
)
def test_a_file_that_moved_is_noticed(text: str, expected: list[str]) -> None:
    """Even where another folder has one of its name."""
    assert list(lost(text, ROOT)) == expected
