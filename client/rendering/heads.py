"""The head of the chain of seals, as it is written on paper."""

from __future__ import annotations


def in_groups(head: str) -> str:
    """The first 16 of its digits, which tell it from every other, in groups of four."""
    return " ".join(head[start : start + 4] for start in range(0, 16, 4))


def pinned(head: str) -> str:
    """The head of a store, to be noted elsewhere."""
    return f"head  {in_groups(head)}"
