"""Near names: suggestions for a name that does not exist."""

from __future__ import annotations

import re
from collections.abc import Iterable
from difflib import SequenceMatcher, get_close_matches

ALIKE = 0.6
"""The share of letters that two names must have in the same order: allows a slip or two."""
WORDS_ALIKE = 0.75
"""The same of one word of a place: 'keal' may be keel, and 'skeg' is not."""


def meant(name: str, known: Iterable[str], most: int = 3) -> str:
    """A question such as `Did you mean LAM-PE or LAM-VE?`; empty where nothing is near."""
    by_key = {each.casefold(): each for each in known}
    near = get_close_matches(name.casefold(), by_key, n=most, cutoff=ALIKE)
    if not near:
        return ""
    return f"Did you mean {' or '.join(by_key[key] for key in near)}?"


def place_meant(name: str, known: Iterable[str]) -> str:
    """As `meant`, of a place: as many words, each alike, and the same numbers in any order.

    Frame 5 is no slip for frame 4, and 'keel frame 4' is one for 'keel, frame 4'.
    """
    words = _words(name)
    near = next((each for each in known if _alike(words, _words(each))), None)
    return "" if near is None else f"Did you mean {near}?"


def _words(name: str) -> list[str]:
    return sorted(re.findall(r"[^\W\d_]+|\d+", name.casefold()))


def _alike(one: list[str], other: list[str]) -> bool:
    return len(one) == len(other) and all(map(_alike_words, one, other))


def _alike_words(one: str, other: str) -> bool:
    if one == other:
        return True
    if one.isdigit() or other.isdigit():
        return False
    starts = min(len(one), len(other)) > 1 and (one.startswith(other) or other.startswith(one))
    return starts or SequenceMatcher(None, one, other).ratio() >= WORDS_ALIKE
