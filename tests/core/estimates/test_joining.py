"""A ply that no one roll has: which two would do."""

from __future__ import annotations

from cureyard_service.core.estimates.joining import OVERLAP, two_rolls
from hypothesis import given
from hypothesis import strategies as st

shelves = st.dictionaries(st.integers(1, 9), st.integers(0, 30_000), max_size=6)


@given(st.integers(30_001, 60_000), shelves)
def test_two_that_do(length: int, left: dict[int, int]) -> None:
    """Together the ply and its overlap, neither more than is there; none only if none do."""
    found = two_rolls(length, left)
    enough = sorted(n for n in left.values() if n > OVERLAP)[-2:]
    if found is None:
        assert len(enough) < 2 or sum(enough) < length + OVERLAP
        return
    (one, first), (other, second) = found
    assert one != other
    assert first + second == length + OVERLAP
    assert OVERLAP < second <= left[other]
    assert OVERLAP < first <= left[one]


def test_the_least_to_spare() -> None:
    """2.2 m: 1.4 and 0.85 are just enough, so the longer pair is left alone."""
    assert two_rolls(22_000, {1: 14_000, 2: 8500, 3: 20_000}) == ((1, 14_000), (2, 8500))
    assert two_rolls(22_000, {1: 14_000, 2: 8499}) is None
