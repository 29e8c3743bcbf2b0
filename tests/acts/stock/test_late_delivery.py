"""A delivery entered late stands where it came: in the books, in its bay, in a count."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.jobs import trace as trace_lot
from cureyard_service.acts.stock import count, draw, import_lots, lot_history, reverse
from cureyard_service.acts.stock import receive as receive_lot
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.stock.ledger import on_hand_at
from cureyard_service.store.yard.hands import Hand

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, H, heat, q

pytestmark = pytest.mark.usefixtures("books")
MIDNIGHT = NOW - NOW % DAY
"""Of the yard's today: its zone is UTC."""


def line_of(lot: tables.Lot) -> tables.Movement:
    """The line that a lot came in by."""
    return tables.Movement.get(tables.Movement.lot == lot.id)


def test_it_stands_on_the_day_that_it_came() -> None:
    """From the beginning of that day on: what was drawn then came after it."""
    lot = yard.receive("MICROS", "5 kg", received_on=yard.day(-3))
    booked = draw.draw(
        kind="draw", lot=lot.id, quantity=q("1 kg"), job="D-7", at=NOW - 3 * DAY, now=NOW, hand=HAND
    )
    assert booked.warnings == []
    came, drawn = trace_lot.trace_lot(finding.lot(lot.id), NOW).movements
    assert (came.at, came.recorded_at) == (MIDNIGHT - 3 * DAY, NOW)
    assert came.at < drawn.at
    assert on_hand_at(lot.id, NOW - 2 * DAY) == 4_000_000


def test_it_stands_at_the_moment_that_is_said() -> None:
    """Its day follows; a day that says otherwise is refused, and so is one in the future."""
    at = NOW - 2 * DAY
    lot = yard.receive("MICROS", "5 kg", at=at)
    assert (lot.received_on, lot.received_at, line_of(lot).at) == (yard.day(-2), at, at)
    assert yard.receive("MICROS", "5 kg", at=at, received_on=yard.day(-2)).received_at == at
    with pytest.raises(errors.Invalid, match="at a moment on"):
        yard.receive("MICROS", "5 kg", at=at, received_on=yard.day(-1))
    with pytest.raises(errors.Invalid, match="in the future"):
        yard.receive("MICROS", "5 kg", at=NOW + H)
    for facts in ({"at": NOW - 31 * DAY}, {"received_on": yard.day(-31)}):
        with pytest.raises(errors.NotAllowed):
            receive_lot.receive_lot(
                product="MICROS", number="OLD", quantity=q("1 kg"), now=NOW,
                hand=Hand("Ines", verified=True, role="hand"), **facts,
            )  # fmt: skip


def test_what_comes_today_stands_now() -> None:
    """Said or not."""
    for facts in ({}, {"received_on": yard.day(0)}):
        assert line_of(yard.receive("MICROS", "1 kg", **facts)).at == NOW


def test_how_long_it_lay_where_begins_when_it_came() -> None:
    """30 h at 28 °C before anybody entered it, with a label that says 25 °C."""
    yard.add(products=[makers.product("SHY", "resin", storage_max="25 degC")])
    told = [{"at": NOW + h * H, "temperature": heat("28 degC")} for h in range(31)]
    read_bay.read_bay(bay="TENT", readings=told, now=NOW + 31 * H, hand=HAND)
    lot = yard.receive("SHY", "5 kg", now=NOW + 2 * DAY, at=NOW, bay="TENT")
    assert lot_history.seconds_outside(lot, NOW + 2 * DAY) == pytest.approx(30 * H)
    (stay,) = trace_lot.trace_lot(lot, NOW + 2 * DAY).stays
    assert (stay.start, stay.until) == (NOW, NOW + 2 * DAY)


def test_it_may_be_counted_as_of_before_it_was_entered() -> None:
    """Counted on Thursday, entered on Friday, received on Wednesday; and undone after that."""
    lot = yard.receive("MICROS", "5 kg", received_on=yard.day(-2))
    told = count.count(
        lot=lot.id, quantity=q("4 kg"), counted_at=NOW - DAY, now=NOW, hand=HAND
    )  # fmt: skip
    assert told.movements[0].quantity[0] == -1_000_000
    with pytest.raises(errors.CountedSince):
        reverse.reverse(reverses=line_of(lot).id, reason="never came", now=NOW, hand=HAND)


def test_a_job_opened_before_it_was_entered() -> None:
    """At the moment that is said, and not ahead of it."""
    asked: dict[str, Any] = {"title": "Keel", "craft": "Gull", "now": NOW, "hand": HAND}
    assert open_job.open_job(number="K-1", at=NOW - DAY, **asked).opened_at == NOW - DAY
    assert open_job.open_job(number="K-2", **asked).opened_at == NOW
    with pytest.raises(errors.Invalid, match="in the future"):
        open_job.open_job(number="K-3", at=NOW + DAY, **asked)


def priced(amount: str, per: str, **facts: Any) -> dict[str, Any]:
    """A price for a unit."""
    return {"amount": Decimal(amount), "per": q(per), **facts}


@pytest.mark.parametrize(
    ("product", "quantity", "price", "cost"),
    [
        ("LAM", "20 kg", priced("4.60", "1 kg", currency="EUR"), 92.0),
        ("LAM", "20 kg", priced("4.60", "1 lb"), 202.83),  # 20 kg are 44.0925 lb
        ("LAM", "5 gal", priced("42.50", "1 gal"), 212.5),
        ("LAM", "20 kg", priced("0.0046", "1 g"), 92.0),
        ("LAM", "20 L", priced("4.60", "1 kg"), 101.2),  # 1.1 kg/L
        ("MAT", "50 m", priced("3.20", "1 m2"), 200.0),  # 1.25 m wide
        ("PLY-4", "3 pieces", priced("61.90", "1 piece"), 185.7),
    ],
)
def test_a_price_for_a_unit_is_a_cost_of_the_whole(
    product: str, quantity: str, price: dict[str, Any], cost: float
) -> None:
    """By hand; without a currency in the yard's."""
    lot = yard.receive(product, quantity, cost_per=price)
    assert (lot.cost_minor, lot.currency) == (round(cost * 100), "EUR")


def test_a_cost_is_said_once_and_makes_sense() -> None:
    """Whole or by the unit; by no unit that the product is not counted in, nor by bare ounces."""
    whole = {"amount": Decimal(92), "currency": "EUR"}
    for facts, match in (
        ({"cost": whole, "cost_per": priced("4.60", "1 kg")}, "given twice"),
        ({"cost_per": priced("900000000", "1 mg")}, "costs that much"),
        ({"cost_per": priced("1", "1 piece")}, "counted by mass"),
        ({"cost_per": priced("1", "1 oz")}, "is a liquid"),
    ):  # fmt: skip
        with pytest.raises(errors.Refusal, match=match):
            yard.receive("LAM", "20 kg", **facts)


def test_a_table_has_a_price_too() -> None:
    """With its unit and its currency; the same row again is no change, another price is one."""
    row: dict[str, Any] = {
        "product": "LAM", "number": "B-9", "quantity": q("20 kg"), "received_on": yard.day(-1),
        "cost_per": Decimal("4.60"), "per": q("1 kg"), "currency": "EUR",
    }  # fmt: skip

    def bring(**other: Any) -> str | None:
        return import_lots.import_lot({**row, **other}, now=NOW, hand=HAND)

    with pytest.raises(errors.Invalid) as refused:
        bring(per=None)
    assert refused.value.pointer == "/per"
    assert bring() == "B-9/1 (LAM), 20 kg"
    (lot,) = tables.Lot.select()
    assert (lot.cost_minor, lot.received_at) == (9200, MIDNIGHT - DAY)
    draw.draw(kind="draw", lot=lot.id, quantity=q("1 kg"), job="D-7", now=NOW, hand=HAND)
    assert bring() is None
    with pytest.raises(errors.Refusals):
        bring(cost_per=Decimal("4.70"))
    assert moments_agree(lot)


def moments_agree(lot: tables.Lot) -> bool:
    """Whether a lot and its receipt stand at one moment, on the day that it came."""
    day = yard.day(0) - timedelta(days=1)
    return line_of(lot).at == lot.received_at and lot.received_on == day
