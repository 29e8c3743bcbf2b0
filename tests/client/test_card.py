"""The mix card in a terminal: right after mixing, and again whenever it is asked for."""

from __future__ import annotations

import json
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
    """What is in the pot, split at its columns."""
    weighed = [line for line in told.splitlines() if re.match(r"(weigh|into|and|first) ", line)]
    return [re.split(r"\s{2,}", line) for line in weighed]


def test_what_to_weigh_comes_first(hand: Hand) -> None:
    """Grams, from which lot, with what is left of it; the catalyst in millilitres too."""
    told = hand(*MIX)
    assert rows(told) == [
        ["weigh", "10 g", "PEROX", "14", "or 8.7 mL; 2 % of the resin"],
        ["into", "200 g", "LAM", "B-7", "0 kg left"],
        ["and", "300 g", "LAM", "B-8", "19.7 kg left"],
        ["and", "30 g", "MICROS", "C-3", "970 g left"],
    ]
    assert told.startswith("weigh ")


def test_a_promoter_goes_in_first_and_alone(hand: Hand) -> None:
    """Before the catalyst is weighed."""
    by_commands(
        hand,
        products=[
            makers.product("COB", "promoter"),
            makers.resin("UNP", cure=makers.sheet("PEROX")),
        ],
        lots=[makers.lot("COB", "1 kg", "K-1"), makers.lot("UNP", "5 kg", "U-1")],
    )
    hand("product", "set", "UNP", "--unpromoted")
    told = hand("mix", "UNP", "500 g", "--temperature", "20 degC", "--percent", "2",
                "--job", "26-014", "--promoter", "COB", "1 g")  # fmt: skip
    assert [row[:3] for row in rows(told)] == [
        ["first", "1 g", "COB"], ["weigh", "10 g", "PEROX"], ["into", "500 g", "UNP"],
    ]  # fmt: skip
    assert "stirred in on its own" in rows(told)[0][4]
    assert "explode" in told


def test_warnings_of_this_pot_are_in_capitals(hand: Hand) -> None:
    """Right under what to weigh; what to type about one is as it is typed."""
    told = hand(*MIX).splitlines()
    at = next(n for n, line in enumerate(told) if line.startswith("! "))
    assert told[at - 1].startswith("and ")
    assert any("TWO LOTS OF RESIN" in line for line in told[at : at + 6])
    words = ["A lot is old."]
    assert pots._shouted(words, {}) == ["A LOT IS OLD."]
    asks = ["Enter the data sheet's 'shelf_life'."]
    (shouted,) = pots._shouted(asks, {})
    assert shouted.startswith("ENTER THE DATA SHEET'S 'SHELF_LIFE'. Type: cureyard product set")


def test_the_card_again(hand: Hand) -> None:
    """Who, for what, the clock times and every caution: the same as when it was mixed."""
    now, later = hand(*MIX), hand("batch", "show", "1")
    assert now == later
    for words in ("1, 26-014", "by Ines", "from mixing, at worst", "explode", "goggles",
                  "bare ground", "mask"):  # fmt: skip
        assert words in later, words
    gel = re.search(r"^gels +(?:\S+ )?\d\d:\d(\d) to (?:\S+ )?\d\d:\d(\d) ", later, re.M)
    assert gel is not None, later
    assert set(gel.groups()) <= {"0", "5"}


PLAIN = ("mix", "LAM", "400 g", "--resin-lot", "LAM/B-8", "--temperature", "20 degC",
         "--percent", "2", "--job", "26-014")  # fmt: skip


def test_what_can_hurt_is_told_in_full_once_a_day(hand: Hand) -> None:
    """On a resin's first pot; then a line says where it is. JSON has it each time."""
    first, second = hand(*PLAIN), hand(*PLAIN)
    assert "explode" in first
    assert "help safety" not in first
    assert "explode" not in second
    assert "safety: cureyard help safety" in second
    told = [json.loads(hand("batch", "show", n, "--json")) for n in ("1", "2")]
    assert [card["first_today"] for card in told] == [True, False]
    assert told[0]["cautions"] == told[1]["cautions"]
    by_commands(
        hand, products=[makers.resin("OTHER", cure=makers.sheet("PEROX"))],
        lots=[makers.lot("OTHER", "5 kg", "O-1")],
    )  # fmt: skip
    assert "explode" in hand("mix", "OTHER", "400 g", *PLAIN[5:])


def test_at_most_twelve_lines(hand: Hand) -> None:
    """With what to do next, and what if it was wrong."""
    hand(*PLAIN)
    told = hand(*PLAIN, columns=80).splitlines()
    assert len(told) <= 12
    assert [line.split()[0] for line in told if line] == [
        "weigh", "into", "SPREAD", "gels", "because", "pot", "next", "wrong?",
    ]  # fmt: skip
    assert 'cureyard layup start 26-014 "TITLE" --kind laminate --batch 2' in told[-2]
    assert max(map(len, told)) <= 80


def test_what_the_sheet_does_not_tell_is_asked_for(hand: Hand) -> None:
    """In the answer of 'product add', and by --why; not on each pot. JSON has it."""
    untold = "The sheet's gel times don't show"
    sheet = makers.sheet("PEROX", gel_times=[makers.gel_time("20 degC", "20 min")])
    by_commands(hand, products=[makers.resin("LAM-1", cure=sheet)],
                lots=[makers.lot("LAM-1", "5 kg", "L-1")])  # fmt: skip
    assert untold in hand("product", "show", "LAM-1")
    pot = hand("mix", "LAM-1", "1 kg", *PLAIN[5:])
    assert untold not in pot
    assert untold.upper() not in pot
    assert f"? {untold}" in hand("batch", "show", "1", "--why")
    card = json.loads(hand("batch", "show", "1", "--json"))
    assert any(untold in words for words in card["warnings"])
    assert set(card["basis_notes"]) <= set(card["warnings"])


def test_on_a_narrow_screen(hand: Hand) -> None:
    """Forty columns."""
    told = hand(*MIX, columns=40)
    assert max(map(len, told.splitlines())) <= 40
    assert "into   200 g, LAM, B-7, 0 kg left" in told


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
