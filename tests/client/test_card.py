"""The mix card in a terminal: right after mixing, and again whenever it is asked for."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from typing import Any

import pytest
from cureyard_client.rendering import pots
from cureyard_client.rendering.columns import View

from .. import makers
from ..putting import by_commands
from .conftest import Hand

MIX = ("mix", "LAM", "500 g", "--temperature", "20 degC", "--percent", "2", "--job", "26-014",
       "--filler", "MICROS", "30 g", "--at", "20 min ago")  # fmt: skip


@pytest.fixture
def hand(embedded: Hand) -> Hand:
    """Somebody at a yard with two drums of resin, peroxide and a filler."""
    embedded("product", "add", "PEROX", "--name", "Peroxide", "--role", "catalyst",
             "--density", "1.15 kg/L")  # fmt: skip
    embedded("product", "add", "LAM", "--name", "Polyester", "--role", "resin",
             "--density", "1.1 kg/L", "--mix", "catalysed", "--surface", "air_inhibited",
             "--with", "PEROX", "--reference", "20 degC", "2", "--gel-time", "20 degC", "2",
             "20 min", "--percent-min", "1", "--percent-max", "3",
             "--recoat-opens", "2 h")  # fmt: skip
    embedded("product", "add", "MICROS", "--name", "Microballoons", "--role", "filler")
    came = (
        "--received-on",
        "yesterday",
    )  # so that the pot of 20 min ago is later, also at midnight
    embedded("lot", "receive", "PEROX", "1 kg", "--number", "14", *came)
    embedded("lot", "receive", "LAM", "200 g", "--number", "B-7", "--expires-on", "2099-01-01",
             *came)  # fmt: skip
    embedded("lot", "receive", "LAM", "20 kg", "--number", "B-8", *came)
    embedded("lot", "receive", "MICROS", "1 kg", "--number", "C-3", *came)
    embedded("job", "open", "26-014", "--title", "Stem", "--craft", "sloop Sandpiper")
    return embedded


def rows(told: str) -> list[list[str]]:
    """The table of what is in the pot, split at its columns."""
    lines = told.splitlines()
    first = next(n for n, line in enumerate(lines) if line.startswith("drawn "))
    return [re.split(r"\s{2,}", line) for line in lines[first + 1 : first + 5]]


def test_grams_and_millilitres_and_lots(hand: Hand) -> None:
    """Each lot's own, with what is left of it."""
    assert rows(hand(*MIX)) == [
        ["LAM", "200 g", "182 mL", "B-7", "0 kg"],
        ["LAM", "300 g", "272.5 mL", "B-8", "19.7 kg"],
        ["PEROX", "10 g", "8.7 mL", "14", "990 g"],
        ["MICROS", "30 g", "C-3", "970 g"],
    ]


def test_the_card_again(hand: Hand) -> None:
    """Who, for what, the clock times and every caution: the same as when it was mixed."""
    now, later = (
        re.sub(r"\d+ min ago", "", told) for told in (hand(*MIX), hand("batch", "show", "1"))
    )
    assert now == later
    for words in (
        "Two lots of resin",
        "job 26-014",
        "by Ines",
        ", until ",
        "explode",
        "goggles",
        "bare ground",
        "mask",
    ):
        assert words in later, words
    gel = re.search(
        r"gel +\S+ (\d\d):(\d)(\d), .*\(\S+ \d\d:\d(\d) to (?:\S+ )?\d\d:\d(\d)\)", later
    )
    assert gel is not None, later
    assert set(gel.groups()[2:]) <= {"0", "5"}


def test_on_a_narrow_screen(hand: Hand) -> None:
    """Forty columns, and the table is still one."""
    told = hand(*MIX, columns=40)
    assert max(map(len, told.splitlines())) <= 40
    assert rows(told)[1] == ["LAM", "300 g", "272.5 mL", "B-8"]


@pytest.mark.parametrize(
    ("kind", "words"), [("lost", "LOST"), ("not_mixed", "NOT MIXED"), ("gelled", "gelled ")]
)
def test_what_became_of_it(hand: Hand, kind: str, words: str) -> None:
    """Said first where it went into no work; with who saw it, when, and the note."""
    hand(*MIX)
    assert not re.search("LOST|NOT MIXED|gelled ", hand("batch", "show", "1"))
    noted = hand("batch", "observe", "1", kind, "--note", "too warm")
    assert words in noted
    assert noted == hand("batch", "show", "1")
    seen = re.search(rf"^{kind.replace('_', ' ')} +(\S+ \d\d:\d\d, Ines: too warm)$", noted, re.M)
    assert seen is not None, noted
    assert len(rows(noted)) == 4


def test_a_pot_wants_its_catalyst_s_name(hand: Hand) -> None:
    """With two to choose from nothing is mixed, the names are told, and one of them is taken."""
    coat = makers.resin("GEL", cure=makers.sheet("PEROX", "KP50"))
    by_commands(
        hand, products=[makers.catalyst("KP50"), coat], lots=[makers.lot("GEL", "5 kg", "G-1")]
    )
    asked = ("GEL", "500 g", "--temperature", "20 degC", "--percent", "2")
    for verb in (("dose", *asked), ("mix", *asked, "--job", "26-014")):
        refused = hand(*verb, exits=2)
        assert "does not cure without its catalyst" in refused
        assert "PEROX, KP50" in refused
        assert "ready to use" not in refused
    assert "10 g of PEROX" in hand("dose", *asked, "--catalyst", "PEROX")


def test_ready_to_use_is_said_of_nothing_that_was_dosed() -> None:
    """A card of before a partner had to be named: a mass of catalyst, and no product."""
    old: dict[str, Any] = {
        "resin": "LAM", "amount": {"value": 500, "unit": "g"}, "percent_as_measured": 2,
        "catalyst": {"product": None, "mass": {"value": 10, "unit": "g"}, "volume": None},
        "basis": {"temperature": {"value": 20, "unit": "degC"}, "temperature_basis": "given",
                  "factor": 1},
    }  # fmt: skip
    view = View(80, datetime(2026, 3, 20, tzinfo=UTC))
    told = "\n".join(pots.dosed(old, view))
    assert "10 g of a catalyst that nobody named" in told
    assert "ready to use" not in told
    one_part = {**old, "catalyst": {**old["catalyst"], "mass": {"value": 0, "unit": "g"}}}
    assert "ready to use" in "\n".join(pots.dosed(one_part, view))
