"""DEVELOPERS.md and tests/README.md name files that are there."""

from __future__ import annotations

import re
from fnmatch import fnmatch
from pathlib import Path

ROOT = Path(__file__).parents[1]
HOUSE = ("service", "client", "tests", "migrations")


def named() -> list[str]:
    """The files and folders that the documents name."""
    documents = (ROOT / "DEVELOPERS.md", ROOT / "tests" / "README.md")
    text = "".join(each.read_text(encoding="utf-8") for each in documents)
    quoted = re.findall(r"`(\w[\w./*-]*)`", text)
    paths = [each for each in quoted if "/" in each or each.endswith((".py", ".md"))]
    return [each for each in paths if "NNNN" not in each]


def test_each_file_that_a_document_names_is_there() -> None:
    """So that 'where do I change …' leads somewhere."""
    there = [f"/{p.relative_to(ROOT)}" for top in HOUSE for p in (ROOT / top).rglob("*")]
    lost = [
        name
        for name in named()
        if not any(fnmatch(each, f"*/{name.rstrip('/')}") for each in there)
    ]
    assert len(named()) > 60
    assert not lost
