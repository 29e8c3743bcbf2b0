"""Views that were kept as JSON by an older or a newer version."""

from __future__ import annotations

from dataclasses import dataclass

from service.core.amounts.views import View


@dataclass(frozen=True)
class Told(View):
    """What somebody was told."""

    time: int
    word: str | None


def test_what_was_not_kept_is_none() -> None:
    """The view grew since."""
    assert Told.recalled({"time": 3}) == Told(3, None)


def test_what_the_view_lacks_is_left_out() -> None:
    """The view shrank since."""
    assert Told.recalled({"time": 3, "word": "soft", "look": "hard"}) == Told(3, "soft")


def test_a_view_in_it_is_given() -> None:
    """What stands in for the JSON of a view."""
    assert Told.recalled({"time": 3, "word": {"a": 1}}, word="hard") == Told(3, "hard")
