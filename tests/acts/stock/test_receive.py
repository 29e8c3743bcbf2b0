"""Receive a delivery: dates, duplicates, and what a hand should hear of it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.stock import change_lot
from cureyard_service.acts.stock import receive as receive_lot
from cureyard_service.acts.stock.lot import LotWithWarningsView
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")


def told(product: str = "LAM", quantity: str = "20 kg", **facts: Any) -> LotWithWarningsView:
    """The answer to a delivery."""
    asked = {"number": "B-1", "now": NOW, "hand": HAND} | facts
    return receive_lot.receive_lot(product=product, quantity=q(quantity), **asked)


@pytest.mark.parametrize(
    ("dates", "last", "state"),
    [
        ({}, 180, "good"),
        ({"received_on": -20}, 160, "good"),
        ({"made_on": -10}, 170, "good"),
        ({"made_on": -140}, 40, "soon"),
        ({"made_on": -180}, 0, "soon"),
        ({"made_on": -181}, -1, "expired"),
        ({"made_on": -10, "expires_on": 30}, 30, "good"),
        ({"made_on": -10, "expires_on": 400}, 400, "good"),
        ({"expires_on": 0}, 0, "soon"),
        ({"expires_on": 13}, 13, "soon"),
        ({"expires_on": 14}, 14, "good"),
        ({"expires_on": -1}, -1, "expired"),
        ({"expires_on": 5, "received_on": -30}, 5, "soon"),
    ],
)
def test_the_stated_date_holds(dates: dict[str, int], last: int, state: str) -> None:
    """The label's date, else made-on and the product's 180 days, else receipt and these.

    The last quarter is 'soon', and the last two weeks.
    """
    lot = told(**{name: yard.day(days) for name, days in dates.items()})
    assert lot.expires_on == yard.day(last)
    assert lot.state == state
    undated = not {"made_on", "expires_on"} & set(dates)
    both = {"made_on", "expires_on"} <= set(dates)
    doubted = both and dates["expires_on"] > dates["made_on"] + 180
    assert len(lot.warnings) == (state in ("expired", "soon")) + undated + doubted


def test_an_expired_one_is_received_and_says_so() -> None:
    """It is in the yard, so it is in the books; the date is in the warning."""
    lot = told(expires_on=yard.day(-3))
    assert lot.on_hand[0] == 20_000_000
    (word,) = lot.warnings
    assert str(yard.day(-3)) in word
    assert "can't be drawn" in word


def test_three_rolls_under_one_number_are_three_lots(books: Database) -> None:
    """Told apart by their containers; one that came before is refused, whatever its case."""
    ids = [told("MAT", "30 m", container=str(n)).id for n in (1, 2, 3)]
    assert len(set(ids)) == 3
    assert told("LAM", "20 kg").id not in ids
    before = yard.contents(books)
    for number in ("B-1", "b-1"):
        with pytest.raises(errors.AlreadyExists):
            told("MAT", "30 m", number=number, container="2")
    with pytest.raises(errors.AlreadyExists) as refused:
        told("MAT", "30 m")
    assert refused.value.pointer == "/number"
    assert yard.contents(books) == before


def test_amounts_are_kept_in_what_the_product_is_counted_in() -> None:
    """A drum by volume, a roll by mass, sheets by the piece."""
    assert told("LAM", "5 gal").on_hand[0] == 20_819_765  # 5 × 3.785411784 L × 1.1
    assert told("MAT", "11.25 kg").on_hand[0] == 20_000_000
    assert told("PLY-4", "6 pieces").on_hand[0] == 6000


def test_what_it_cost_is_of_the_whole_container() -> None:
    """To the hundredth; a third decimal place is refused."""
    lot = told(cost={"amount": Decimal("90.5"), "currency": "EUR"})
    assert (lot.cost.amount, lot.cost.currency) == (90.5, "EUR")
    with pytest.raises(errors.Invalid, match="two decimal places"):
        told(number="B-2", cost={"amount": Decimal("90.505"), "currency": "EUR"})


def test_peroxide_beside_promoter_is_a_warning() -> None:
    """Whether it is put there on delivery or moved there later."""
    dated = {"expires_on": yard.day(90)}
    bottle = told("PEROX", "1 kg", bay="BARN", **dated)
    assert bottle.warnings == []
    tin = told("COBALT", "1 kg", bay="BARN", **dated)
    assert any("never stored in one bay" in word.replace("\n", " ") for word in tin.warnings)
    apart = told("COBALT", "1 kg", number="B-2", bay="SHED", **dated)
    assert apart.warnings == []
    moved = change_lot.change_lot(
        finding.lot(bottle.id), bay="SHED", now=NOW, hand=HAND
    )  # fmt: skip
    assert len(moved.warnings) == 1


@pytest.mark.parametrize(
    ("facts", "refusal", "pointer"),
    [
        ({"product": "NONE"}, errors.UnknownReference, "/product"),
        ({"bay": "NONE"}, errors.UnknownReference, "/bay"),
        ({"quantity": "0 kg"}, errors.Invalid, "/quantity"),
        ({"quantity": "3 pieces"}, errors.UnitMismatch, None),
        ({"quantity": "2000000 t"}, errors.Refusal, None),
        ({"received_on": 1}, errors.Invalid, "/received_on"),
        ({"made_on": 1}, errors.Invalid, "/made_on"),
        ({"expires_on": -30, "made_on": -20}, errors.Invalid, "/expires_on"),
    ],
)
def test_what_is_refused_changes_nothing(
    books: Database, facts: dict[str, Any], refusal: type[errors.Refusal], pointer: str | None
) -> None:
    """Nothing of a delivery that can't be: no lot, no line."""
    days = {name: yard.day(value) for name, value in facts.items() if name.endswith("_on")}
    before = yard.contents(books)
    with pytest.raises(refusal) as refused:
        told(**{**facts, **days})
    assert pointer is None or refused.value.pointer == pointer
    assert yard.contents(books) == before
