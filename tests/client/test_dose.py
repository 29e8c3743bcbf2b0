"""A dose in a terminal: the resin's own temperature and the bay's night, side by side."""

from __future__ import annotations

import re

import pytest

from .. import makers
from ..putting import by_commands
from .conftest import Hand

DOSE = ("dose", "LAM", "500 g", "--percent", "2")


@pytest.fixture
def hand(embedded: Hand) -> Hand:
    """Somebody at a yard with a resin that does not cure under 8 °C, and a shed at 5 °C."""
    cold = makers.sheet(apply_min="8 degC")
    by_commands(
        embedded, products=[makers.catalyst(), makers.resin(cure=cold)],
        bays=[makers.bay("SHED", "5 degC")],
    )  # fmt: skip
    return embedded


def test_the_night_is_told_beside_the_resin_s_own_temperature(hand: Hand) -> None:
    """The dose goes by the resin, the look ahead by the bay: the only one, or the one named.

    Its 8 °C, and the 3 K to which a night to come is known.
    """
    warmed = (*DOSE, "--temperature", "20 degC")
    only = plain(hand(*warmed))
    assert "the yard's only bay" in only
    assert re.search(r"SHED may go under 8 °C .* hold at least 11 °C until \w{3} \d\d:\d\d", only)
    by_commands(hand, bays=[makers.bay("TENT")])
    assert "name the bay as well" in plain(hand(*warmed))
    assert "may go under" not in plain(hand(*warmed, "--bay", "TENT"))
    named = plain(hand(*warmed, "--bay", "SHED"))
    assert "hold at least 11 °C until" in named
    assert "20 °C" in named
    assert "stands in" not in named


def test_air_that_nobody_measured_is_assumed(hand: Hand) -> None:
    """In 'now' and where it refuses a pot: what was read, when, and what it is taken to be."""
    hand("bay", "read", "SHED", "16.6 degC", "--at", "90 min ago")
    refused = plain(hand(*DOSE, "--bay", "SHED", exits=2))
    assert re.search(r"SHED read 16.6 °C at .*\d\d:\d\d, taken to be 7.9 °C now", refused)
    assert "cureyard bay read SHED" in refused
    row = next(line for line in hand("now", "--all").splitlines() if line.split()[:1] == ["SHED"])
    assert re.search(r"SHED +7.9 °C +assumed +16.6 °C .*ago", row)
    assert re.search(r"SHED 7.9 °C assumed, read 16.6 °C at \S+", plain(hand("now")))


def test_too_little_time_to_lay_it_stands_first(hand: Hand) -> None:
    """At 34 °C it gels within minutes: the first line of the dose and of the card, in capitals."""
    hot = plain(hand(*DOSE, "--temperature", "34 degC"))
    assert hot.startswith("! TOO HOT OR TOO MUCH TO LAY: at worst it can be spread for only")
    assert hot.count("TOO HOT") == 1
    by_commands(hand, jobs=[makers.job()], lots=[makers.lot(), makers.lot("PEROX", "1 kg", "P-1")])
    line = ("mix", "LAM", "500 g", "--percent", "2", "--job", "D-7", "--temperature")
    assert plain(hand(*line, "34 degC")).startswith("! TOO HOT OR TOO MUCH TO LAY")
    assert "TOO HOT" not in plain(hand(*line, "20 degC"))


def plain(told: str) -> str:
    """What was printed, without its line breaks."""
    return " ".join(told.split())


def test_a_pot_too_short_for_its_bag_stands_first_too(hand: Hand) -> None:
    """As asked by three times; mixing it is refused, with what is too short."""
    warm = (*DOSE, "--temperature", "20 degC", "--bag", "20 min", "15 min", "5 min")
    told = plain(hand(*warm))
    assert told.startswith("! At worst the pot can be spread for")
    assert "40 min: laying 20 min, bagging 15 min, pumping down 5 min" in told
    lots = [makers.lot(), makers.lot("PEROX", "1 kg", "P-1")]
    by_commands(hand, jobs=[makers.job()], lots=lots)
    refused = plain(hand("mix", *warm[1:], "--job", "D-7", exits=1))
    assert "the bag takes 40 min" in refused
