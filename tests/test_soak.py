"""The soak tells what grew: each of what it looks at, and nothing of what stands still."""

from __future__ import annotations

from typing import Any

import pytest

from .soak import Seen, grown

SIZES = {"memory, KiB": 120_000, "open files": 40, "threads": 16, "log, bytes": 4_000_000}


def seen(size: Any = None, took: Any = None) -> Seen:
    """1,000 requests by turns, of which something may rise with their number."""
    found = Seen()
    for number in range(1000):
        busy = 3.0 if number >= 500 else 1.0  # others come to use the machine: that is no growth
        found.took.append((number, "file", busy * 0.001))
        found.took.append((number, "draw", busy * 0.005 * (took(number) if took else 1)))
        if number % 10 == 9:
            found.sizes.append((number + 1, SIZES | (size(number) if size else {})))
    return found


def test_what_stands_still_is_not_told() -> None:
    """Nor what is full after the first fifth, nor memory that breathes."""
    assert grown(seen(), 1000) == []
    assert grown(seen(lambda n: {"threads": min(n, 150)}), 1000) == []
    assert grown(seen(lambda n: {"memory, KiB": 120_000 + n % 100 * 30}), 1000) == []


@pytest.mark.parametrize("name", SIZES)
def test_what_grows_is_told(name: str) -> None:
    """With what it was and what it is."""
    (told,) = grown(seen(lambda n: {name: SIZES[name] + SIZES[name] * n // 5000}), 1000)
    assert told.startswith(f"{name}: ")


def test_one_file_that_stays_open_is_told() -> None:
    """However few they are."""
    (told,) = grown(seen(lambda n: {"open files": 40 + (n > 800)}), 1000)
    assert told == "open files: 40 after 200 requests, 41 at the end"


def test_a_request_that_takes_longer_is_told() -> None:
    """On a machine that is as busy as before, or busier."""
    (told,) = grown(seen(took=lambda n: 1 + n / 2000), 1000)
    assert told.startswith("time of draw: ")
