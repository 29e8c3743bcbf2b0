"""Of the signs of a layup, the one that a row shows, and those that a hand has seen."""

from __future__ import annotations

from itertools import permutations
from typing import get_args

import pytest
from cureyard_service.core.cure.signs import TROUBLE, Sign
from cureyard_service.core.cure.standing import foremost, is_seen, order
from cureyard_service.core.cure.touch import Touch, Word, touch_of

DAY = 86400.0


def touched(*words: Word) -> Touch:
    """What hands found."""
    return touch_of(words)


def test_trouble_comes_before_all_else_the_worst_first() -> None:
    """In whatever order the signs are."""
    worst = ("unsettled", "suspect", "cold_stalled", "late")
    assert set(worst) == TROUBLE
    for place, sign in enumerate(worst):
        rest = [other for other in get_args(Sign) if other not in worst[:place]]
        assert foremost(rest) == sign
    assert [order(sign) for sign in worst] == [0, 1, 2, 3]


@pytest.mark.parametrize(
    ("signs", "told"),
    [
        ((), "wet"), (("gelling",), "wet"), (("gelled",), "gelled"),
        (("gelled", "recoat_past"), "recoat_past"), (("gelled", "recoat_past", "tacky"), "tacky"),
        (("gelled", "recoat_open", "tacky"), "recoat_open"),
        (("gelled", "recoat_past", "sandable"), "sandable"),
        (("gelled", "sandable", "handling_cure"), "handling_cure"),
        (("wet", "late", "suspect"), "suspect"),
    ],
)  # fmt: skip
def test_the_one_that_a_row_shows(signs: tuple[Sign, ...], told: str) -> None:
    """In whatever order they are."""
    assert {foremost(each) for each in permutations(signs)} == {told}


def test_a_low_hardness_shows_nothing() -> None:
    """A Barcol of 3 may be soft or wet resin."""
    soft = touched(Word("hardness", 20 * DAY, 3))
    for sign in ("gelled", "sandable", "handling_cure"):
        assert not is_seen(sign, soft, 4 * DAY)
    hard = touched(Word("hardness", 20 * DAY, 45))
    assert all(is_seen(sign, hard, 4 * DAY) for sign in ("gelled", "sandable", "handling_cure"))


def test_a_cure_is_seen_by_a_check_after_it() -> None:
    """A thumbnail of the first day says nothing of the fourth."""
    early = touched(Word("thumbnail", DAY))
    assert is_seen("sandable", early, 4 * DAY)
    assert not is_seen("handling_cure", early, 4 * DAY)
    assert not is_seen("handling_cure", early, None)
    assert is_seen("handling_cure", touched(Word("thumbnail", 5 * DAY)), 4 * DAY)


def test_a_wet_look_takes_back_what_was_seen() -> None:
    """And what is found after it counts again."""
    words = Word("no_transfer", 1.0), Word("not_gelled", 2.0)
    assert not is_seen("recoat_open", touched(*words), None)
    assert is_seen("wet", touched(*words), None)
    again = touched(*words, Word("not_gelled", 3.0), Word("gelled", 4.0))
    assert is_seen("gelled", again, None)
    assert not is_seen("recoat_open", again, None)
    assert again.last_set == 4.0


def test_a_stall_in_the_cold_is_a_forecast() -> None:
    """Until a hand has found it wet; late and suspect rest on such a look."""
    assert not is_seen("cold_stalled", Touch(), None)
    assert is_seen("cold_stalled", touched(Word("not_gelled", 1.0)), None)
    assert is_seen("suspect", Touch(), None)
