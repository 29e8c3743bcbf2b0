"""A dose in a terminal: the resin's own temperature and the bay's night, side by side."""

from __future__ import annotations

import re

import pytest

from .conftest import Hand

DOSE = ("dose", "LAM", "500 g", "--percent", "2")


@pytest.fixture
def hand(embedded: Hand) -> Hand:
    """Somebody at a yard with a resin that does not cure under 8 °C, and a shed at 5 °C."""
    embedded("product", "add", "PEROX", "--name", "Peroxide", "--role", "catalyst")
    embedded("product", "add", "LAM", "--name", "Polyester", "--role", "resin",
             "--mix", "catalysed", "--surface", "air_inhibited",
             "--with", "PEROX", "--reference", "20 degC", "2", "--gel-time", "20 degC", "2",
             "20 min", "--percent-min", "1", "--percent-max", "3", "--cure-min", "8 degC",
             "--apply-min", "8 degC", "--recoat-opens", "2 h", "--sandable", "8 h")  # fmt: skip
    bay(embedded, "SHED", "5 degC")
    return embedded


def bay(hand: Hand, code: str, heat: str) -> None:
    """A bay that is as warm by night as by day."""
    hand("bay", "add", code, "--title", code.title(), "--day", heat, "--night", heat,
         "--day-from", "07:00", "--day-until", "18:00")  # fmt: skip


def test_the_night_is_told_beside_the_resin_s_own_temperature(hand: Hand) -> None:
    """The dose goes by the resin, the look ahead by the bay: the only one, or the one named."""
    warmed = (*DOSE, "--temperature", "20 degC")
    only = plain(hand(*warmed))
    assert "the yard's only bay" in only
    assert re.search(r"SHED may go under 8 °C .* hold at least 10 °C until \w{3} \d\d:\d\d", only)
    bay(hand, "TENT", "20 degC")
    assert "name the bay as well" in plain(hand(*warmed))
    assert "may go under" not in plain(hand(*warmed, "--bay", "TENT"))
    named = plain(hand(*warmed, "--bay", "SHED"))
    assert "hold at least 10 °C until" in named
    assert "20 °C as measured" in named
    assert "stands in" not in named


def test_air_that_nobody_measured_is_assumed(hand: Hand) -> None:
    """In 'now' and where it refuses a pot: what was read, when, and what it is taken to be."""
    hand("bay", "read", "SHED", "16.6 degC", "--at", "90 min ago")
    refused = plain(hand(*DOSE, "--bay", "SHED", exits=2))
    assert re.search(r"SHED read 16.6 °C at .*\d\d:\d\d, taken to be 7.9 °C now", refused)
    assert "cureyard bay read SHED" in refused
    row = next(line for line in hand("now").splitlines() if line.split()[:1] == ["SHED"])
    assert re.search(r"SHED +7.9 °C +assumed +16.6 °C .*ago", row)


def plain(told: str) -> str:
    """What was printed, without its line breaks."""
    return " ".join(told.split())
