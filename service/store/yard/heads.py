"""The head of the chain of seals: it stands for all that was written up to it."""

from __future__ import annotations

from ..engine.rows import exists, scalar

LEAST = 16
"""Hexadecimal digits of a head that tell it from every other: paper has as many."""


def head() -> str | None:
    """The head as it is now; None where nothing was written yet."""
    found: str | None = scalar("SELECT head FROM seal WHERE id = (SELECT MAX(id) FROM seal)")
    return found


def had(begins: str) -> bool:
    """Whether the store had a head, now or before.

    Args:
        begins: at least `LEAST` of its digits, as `digits` reads them.
    """
    return exists("SELECT 1 FROM seal WHERE head LIKE ?", f"{begins}%")


def digits(text: str) -> str | None:
    """The digits of a head as somebody typed it, in groups or not; None for anything else."""
    found = "".join(text.split()).lower()
    fits = LEAST <= len(found) <= 64 and set(found) <= set("0123456789abcdef")
    return found if fits else None
