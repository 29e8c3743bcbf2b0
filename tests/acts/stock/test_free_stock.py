"""What is free: never what is held or out of date, on whatever list it stands."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from cureyard_service.acts.jobs import need, shopping
from cureyard_service.acts.pots.dose import dose_pot
from cureyard_service.acts.products import product as add_product
from cureyard_service.acts.stock.lot import list_lots, show_lot
from cureyard_service.acts.wall import now as what_now
from cureyard_service.acts.yard import finding
from cureyard_service.core.words import shown
from cureyard_service.store import tables

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, heat, q

pytestmark = pytest.mark.usefixtures("books")
KG = 1_000_000


@pytest.fixture
def shelf() -> dict[str, tables.Lot]:
    """Ten kilograms each that are good, held, and out of date; a job needs the good ones."""
    told = {
        "good": yard.receive("LAM", "10 kg", expires_on=yard.day(90)),
        "held": yard.receive("LAM", "10 kg", expires_on=yard.day(90)),
        "expired": yard.receive("LAM", "10 kg", expires_on=yard.day(-1)),
    }
    yard.change(told["held"], held=True, reason="lumps")
    want("6 kg")
    return told


def want(quantity: str, **facts: Any) -> None:
    """What the job will take."""
    wanted = [{"product": "LAM", "quantity": q(quantity), **facts}]
    need.add_needs(finding.job("S-1"), wanted=wanted, now=NOW, hand=HAND)


def test_a_held_or_expired_lot_has_nothing_free(shelf: dict[str, tables.Lot]) -> None:
    """In the lot, in the list that a product's page has as well, and in what there is to see to."""
    free = {"good": 4 * KG, "held": 0, "expired": 0}
    for lots in (
        list_lots(None, 50, NOW),
        list_lots(None, 50, NOW, product="LAM", in_stock=True),
        [show_lot(finding.lot(lot.id), NOW) for lot in shelf.values()],
    ):
        assert {lot.state: lot.free[0] for lot in lots} == free
        assert {lot.on_hand[0] for lot in lots} == {10 * KG}
    told = what_now.what_now(NOW).lots
    assert [lot.free[0] for state in ("held", "expired") for lot in getattr(told, state)] == [
        0,
        0,
    ]


def bought(reorder: str) -> tuple[int, int] | None:
    """(free, to buy) of the resin on the shopping list; None where it is not on it."""
    add_product.change_product(
        finding.product("LAM"), reorder_at=q(reorder), now=NOW, hand=HAND
    )  # fmt: skip
    items = {item.product: item for item in shopping.shopping(NOW).items}
    return (items["LAM"].free[0], items["LAM"].buy[0]) if "LAM" in items else None


def test_the_shopping_list_counts_no_stock_that_is_out_of_date(
    shelf: dict[str, tables.Lot],
) -> None:
    """4 kg are free: below a reorder point of 5 kg one is bought, whatever else stands there."""
    assert bought("5 kg") == (4 * KG, KG)
    assert bought("4 kg") is None


def test_a_need_beyond_what_is_in_date_is_bought(shelf: dict[str, tables.Lot]) -> None:
    """Nor is it kept for a need: 10 kg are in date, 16 are wanted."""
    want("10 kg")
    assert bought("1 g") == (0, 6 * KG + 1000)


def warned(amount: str) -> list[str]:
    """What a dose says of the resin in the store."""
    told = dose_pot(
        resin="LAM", amount=q(amount), temperature=heat("20 degC"), catalyst_percent=2, now=NOW
    )
    words = [shown(word, "metric") for word in told.warnings]
    return [word for word in words if word.startswith("LAM is")]


def test_a_dose_counts_no_stock_that_is_out_of_date(shelf: dict[str, tables.Lot]) -> None:
    """Of 30 kg that stand there it says that 4 are free, and that 10 may be used at all."""
    assert warned("2.9 kg") == []
    want("2 kg")
    (word,) = warned("2.9 kg")
    assert re.search("2 kg.*of .*10 kg.* is free", word)
    yard.change(shelf["good"], held=True, reason="skin")
    (word,) = warned("1 kg")
    assert "0 g is there that may be used" in word


def test_a_last_day_assumed_from_receipt_counts_alike() -> None:
    """Nothing is free of a drum that came a year ago, though nobody ever gave its date."""
    yard.receive("LAM", "10 kg", received_on=date(2025, 3, 1))
    assert bought("1 kg") == (0, KG)
    assert "0 g is there" in warned("1 kg")[0]
