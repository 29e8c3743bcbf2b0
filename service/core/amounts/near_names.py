"""Near names: suggestions for a name that does not exist."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

ALIKE = 0.6
"""The share of letters that two names must have in the same order: allows a slip or two."""


def meant(name: str, known: Iterable[str], most: int = 3) -> str:
    """A question such as `Did you mean LAM-PE or LAM-VE?`; empty where nothing is near."""
    by_key = {each.casefold(): each for each in known}
    near = get_close_matches(name.casefold(), by_key, n=most, cutoff=ALIKE)
    if not near:
        return ""
    return f"Did you mean {' or '.join(by_key[key] for key in near)}?"
