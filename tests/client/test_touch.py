"""Both windows, a test for green and the reasons of a band, in a terminal."""

from __future__ import annotations

import re

import pytest

from .. import makers
from ..putting import by_commands
from .conftest import Hand


@pytest.fixture
def hand(embedded: Hand) -> Hand:
    """Somebody at a yard with a resin in stock, a shed at 20 °C and a layup of 16 h ago."""
    by_commands(embedded, **makers.yard(), **makers.shelf())
    embedded("layup", "start", "D-7", "Plies", "--kind", "laminate", "--bay", "SHED", "--product",
             "LAM", "--percent", "2", "--at", "16 h ago")  # fmt: skip
    return embedded


def plain(told: str) -> str:
    """What was printed, without its line breaks."""
    return " ".join(told.split())


def test_a_touch_test_is_told(hand: Hand) -> None:
    """The state, how to test, and both windows; in a list the state alone."""
    told = plain(hand("layup", "show", "1"))
    assert re.search(r"state touch test, should be gelled", told)
    assert "To find out, wipe a spot with acetone: soft is green, hard is not" in told
    assert re.search(r"window .*, spread by then; with a touch test ", told)
    assert "touch test" in hand("layup", "list")
    assert "touch" in hand("now")


def test_green_is_noted(hand: Hand) -> None:
    """It is open now, and what was seen stands below."""
    told = plain(hand("layup", "observe", "1", "green"))
    assert "window open" in told
    assert "The next layer can go on without abrading." in told
    assert re.search(r"seen what by .* green Ines", told)


def test_why_is_told_where_it_is_asked_for(hand: Hand) -> None:
    """Of a layup each moment, of a dose its gel; else not a word."""
    assert "? " not in hand("layup", "show", "1")
    told = plain(hand("layup", "show", "1", "--why"))
    for moment in ("gel", "window opens", "window shuts"):
        assert re.search(rf"\? {moment}: .*the temperature \d+ %", told)
    dose = ("dose", "LAM", "500 g", "--percent", "2", "--temperature", "20 degC")
    assert "? " not in hand(*dose)
    why = plain(hand(*dose, "--why"))
    assert re.search(r"\? gel: .*the lot \d+ %", why)
    assert "a cup test of the lot" in why


def test_the_working_time_at_worst_and_likely(hand: Hand) -> None:
    """By the worst of them it is spread."""
    told = plain(hand("dose", "LAM", "500 g", "--percent", "2", "--temperature", "20 degC"))
    found = re.search(r"work (\d+) min at worst; (\d+) min likely", told)
    assert found is not None, told
    assert int(found[1]) < int(found[2])
