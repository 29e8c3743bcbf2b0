"""Wet-film readings against the build of a sheet (common practice, no source)."""

from __future__ import annotations

import pytest
from cureyard_service.core.cure.wet_film import doubts
from cureyard_service.core.words import shown


@pytest.mark.parametrize(
    ("films", "said"),
    [
        ([400, 500, 600], []),
        ([399, 500, 350], ["2 of 3 wet-film readings are under 0.40 mm, the thinnest 0.35 mm"]),
        ([601, 500], ["1 of 2 wet-film readings are over 0.60 mm, the thickest 0.60 mm"]),
        ([300, 700], ["1 of 2 wet-film readings are under", "1 of 2 wet-film readings are over"]),
    ],
)
def test_at_an_end_of_the_build_it_is_inside(films: list[int], said: list[str]) -> None:
    """Each end has its words, and says what to do while it is wet."""
    told = [shown(each, "metric") for each in doubts(films, 400, 600)]
    assert len(told) == len(said)
    for words, begins in zip(told, said, strict=True):
        assert words.startswith(begins)
        assert "while it is wet" in words


def test_one_end_alone_or_none() -> None:
    """What the sheet does not give is not judged."""
    assert doubts([1], None, 600) == []
    assert doubts([9999], 400, None) == []
    (word,) = doubts([500], None, None)
    assert "not judged" in shown(word, "metric")
