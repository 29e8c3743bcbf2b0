"""Needs, what to buy and what a job used, typed at the program."""

from __future__ import annotations

import pytest

from .. import makers
from ..putting import by_commands
from .conftest import Hand


@pytest.fixture
def hand(embedded: Hand) -> Hand:
    """Somebody at a yard with stock and a job; a call gives what is printed."""
    spheres = makers.product(
        "MICROS", "filler", name="Hollow spheres", supplier="Quay Stores", reorder_at="3 kg"
    )
    by_commands(
        embedded, products=[spheres, makers.mat("MAT-450")],
        lots=[makers.lot("MICROS", "5 kg", "M-1", cost="50 EUR"),
              makers.lot("MAT-450", "30 m", "R-1")],
        jobs=[makers.job("26-014"), makers.job("26-015")],
    )  # fmt: skip
    return embedded


def test_a_need_is_typed_and_shown(hand: Hand) -> None:
    """What is kept, from which lot, and what is short in words."""
    told = hand("job", "need", "26-014", "MICROS", "6 kg", "--by", "2999-01-02")
    assert "MICROS: 1 kg short by 2999-01-02." in told
    assert "M-1" in told
    hand("job", "need", "26-014", "MAT-450", "1.4 m", "--count", "3")
    told = hand("job", "needs", "26-014")
    assert "3 × 1.4 m" in told
    assert "reserved  5 kg" in hand("lot", "show", "MICROS/M-1")
    refused = hand("draw", "MICROS", "1 kg", "--job", "26-015", exits=1)
    assert "26-014" in refused
    assert "MICROS" not in hand("job", "need", "26-014", "MICROS", "0 kg", "--replaces", "1")
    assert hand("job", "needs", "26-015") == "Job 26-015 needs nothing.\n"


def test_what_is_short_of_a_product_is_told_once(hand: Hand) -> None:
    """All of it together, with the day that the first of it is wanted."""
    hand("job", "need", "26-014", "MICROS", "6 kg")
    told = hand("job", "need", "26-014", "MICROS", "2.5 kg")
    assert [line for line in told.splitlines() if "short" in line][1:] == [
        "! MICROS: 3.5 kg short."
    ]
    told = hand("job", "need", "26-014", "MICROS", "1 kg", "--by", "2999-01-02")
    assert told.count("MICROS: ") == 1
    hand("job", "need", "26-014", "MAT-450", "31 m", "--by", "2999-01-03")
    told = hand("job", "need", "26-014", "MAT-450", "31 m", "--by", "2999-01-02")
    assert "MAT-450: 62 m short, the first of it by 2999-01-02." in " ".join(told.split())


def test_bad_needs_end_in_words(hand: Hand) -> None:
    """Exit 2 for what can't be, 1 for what is not there."""
    assert "no unit" in hand("job", "need", "26-014", "MICROS", "6", exits=2)
    hand("job", "need", "26-014", "MICROS", "0 kg", exits=2)
    hand("job", "need", "26-014", "MICROS", "0", exits=2)
    hand("job", "needs", "NONE", exits=1)


@pytest.mark.parametrize(("product", "much"), [("MICROS", "6 kg"), ("MAT-450", "2 m")])
def test_nothing_needs_no_unit_to_withdraw_a_need(hand: Hand, product: str, much: str) -> None:
    """A 0 of whatever it is counted in is the same."""
    hand("job", "need", "26-014", product, much)
    told = hand("job", "need", "26-014", product, "0", "--replaces", "1")
    assert told == "Job 26-014 needs nothing.\n"


def test_only_units_that_fit_the_product_are_told(hand: Hand) -> None:
    """Missing or unknown, of a delivery, a draw, a count, a need and a reorder point."""
    by_commands(
        hand,
        products=[makers.product("FOAM", "sheet")],
        lots=[makers.lot("FOAM", "2 pieces", "F-1")],
    )
    for typed in (
        ("lot", "receive", "FOAM", "3", "--number", "F-2"),
        ("draw", "FOAM", "3", "--job", "26-014"),
        ("scrap", "FOAM/F-1", "3", "--reason", "wet"),
        ("count", "FOAM/F-1", "3"),
        ("job", "need", "26-014", "FOAM", "3"),
        ("product", "set", "FOAM", "--reorder-at", "3"),
    ):
        told = hand(*typed, exits=2)
        assert "'3' has no unit" in told
        assert "Write it as '3 pieces'" in told
        assert "kg" not in told
    told = hand("lot", "receive", "MICROS", "3 sacks", "--number", "M-2", exits=2)
    assert "'sacks' is not a known unit of mass or volume." in told
    assert "piece" not in told
    assert "ft" not in told


def test_what_to_buy_is_printed(hand: Hand) -> None:
    """Nothing at first; then what a job is short of and what the shelf wants."""
    assert "Nothing is short" in hand("shopping")
    hand("job", "need", "26-014", "MICROS", "6 kg")
    told = hand("shopping").splitlines()
    assert told[0].split() == ["supplier", "product", "name", "buy", "for"]
    assert told[1].split("  ")[0] == "Quay Stores"
    assert "4 kg" in told[1]
    assert told[1].endswith("26-014, stock")


def test_what_a_job_used_is_printed(hand: Hand) -> None:
    """Planned, drawn and cost; nothing is asked of a job that is not there."""
    hand("job", "need", "26-014", "MICROS", "3 kg")
    hand("draw", "MICROS", "2 kg", "--job", "26-014")
    told = hand("job", "usage", "26-014")
    assert told.startswith(f"job 26-014  Stem, {makers.CRAFT}")
    words = [line.split() for line in told.splitlines()]
    assert ["MICROS", "Hollow", "spheres", "3", "kg", "2", "kg"] in words
    assert ["in", "all", "20.00", "EUR"] in words
    assert ["Ines", "drew", "1"] in words
    hand("job", "usage", "NONE", exits=1)


def test_a_lot_that_was_out_of_date_when_it_was_used_is_marked(hand: Hand) -> None:
    """By leave, and it says so for ever after."""
    hand("lot", "receive", "MICROS", "1 kg", "--number", "M-0", "--expires-on", "2020-01-31")
    hand("draw", "--lot", "MICROS/M-0", "200 g", "--job", "26-014", "--override", "dry and loose")
    hand("draw", "--lot", "MICROS/M-1", "1 kg", "--job", "26-014")
    lines = hand("job", "usage", "26-014").splitlines()
    (old,) = [line for line in lines if "out of date" in line]
    assert old.split()[:2] == ["MICROS", "M-0"]
    assert "2020-01-31, out of date" in old
