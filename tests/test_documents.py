"""DEVELOPERS.md names files that are there."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parents[1]
HOMES = ("", "service")
"""Where a path of the document begins: at the top, or inside the service."""


def named() -> list[str]:
    """The files and folders that the document names; a test beside another by its name alone."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    quoted = re.findall(r"`([\w./*-]+)`", text)
    return [each for each in quoted if "/" in each or each.endswith((".py", ".md", ".txt"))]


def test_each_file_that_the_document_names_is_there() -> None:
    """So that 'where do I change …' leads somewhere."""
    assert len(named()) > 60
    lost, folder = [], Path()
    for name in named():
        found = [each for home in HOMES for each in (ROOT / home).glob(name)]
        beside = list((ROOT / folder).glob(name))
        if not found and not beside:
            lost.append(name)
        elif found:
            folder = found[0].parent.relative_to(ROOT)
    assert not lost
