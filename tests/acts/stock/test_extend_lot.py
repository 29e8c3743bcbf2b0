"""Extend a lot's life: once, on two cups in order, by a quarter at most, never a peroxide's."""

from __future__ import annotations

import pytest
from cureyard_service.acts.stock import draw, extend_lot
from cureyard_service.acts.stock.lot import LotView
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store import tables
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")


def extended(lot: tables.Lot, days: int, now: int = NOW) -> LotView:
    """An extension to the day so many days from now."""
    return extend_lot.extend_lot(
        finding.lot(lot.id), until_on=yard.day(days), reason="two cups", now=now, hand=HAND
    )


@pytest.fixture
def drum() -> tables.Lot:
    """A drum whose 180 days ended yesterday."""
    return yard.receive("LAM", "20 kg", made_on=yard.day(-181))


@pytest.fixture
def bottle() -> tables.Lot:
    """A bottle of peroxide."""
    return yard.receive("PEROX", "1 kg")


def test_on_two_cups_in_order_it_is_good_again(drum: tables.Lot, bottle: tables.Lot) -> None:
    """What was refused is drawn; who extended it, from when and to when stays on record."""
    yard.cup(drum, bottle, "20 min", "21 min")
    with pytest.raises(errors.ExpiredLot):
        draw.draw(kind="draw", lot=drum.id, quantity=q("1 kg"), job="D-7", now=NOW, hand=HAND)
    lot = extended(drum, 30)
    assert (lot.expires_on, lot.state) == (yard.day(30), "soon")
    draw.draw(kind="draw", lot=drum.id, quantity=q("1 kg"), job="D-7", now=NOW, hand=HAND)
    event = tables.LotEvent.get(tables.LotEvent.kind == "extended")
    assert (event.from_on, event.until_on, event.who) == (yard.day(-1), yard.day(30), "Ines")


def test_by_at_most_a_quarter_of_its_life(drum: tables.Lot, bottle: tables.Lot) -> None:
    """180 days are extended by 45 at most, and never backwards."""
    yard.cup(drum, bottle, "20 min", "21 min")
    for days in (45, 400, -1, -20):
        with pytest.raises(errors.Invalid, match="An extension must end after") as refused:
            extended(drum, days)
        assert refused.value.pointer == "/until_on"
    assert extended(drum, 44).expires_on == yard.day(44)


def test_to_a_day_that_can_be_reached(drum: tables.Lot, bottle: tables.Lot) -> None:
    """Out of date since yesterday: from today to day 44. Long past its quarter there is no day."""
    yard.cup(drum, bottle, "20 min", "21 min")
    with pytest.raises(errors.Invalid) as refused:
        extended(drum, 400)
    assert refused.value.advice == f"Choose a day from {yard.day(0)} to {yard.day(44)}."
    old = yard.receive("LAM", "20 kg", made_on=yard.day(-300))
    yard.cup(old, bottle, "20 min", "21 min")
    with pytest.raises(errors.ExpiredLot, match="that is past") as over:
        extended(old, 5)
    assert "Choose a day" not in over.value.advice


def test_once(drum: tables.Lot, bottle: tables.Lot) -> None:
    """A second time is refused, tested or not."""
    yard.cup(drum, bottle, "20 min", "21 min")
    extended(drum, 10)
    yard.cup(drum, bottle, "20 min", "21 min", now=NOW + DAY)
    with pytest.raises(errors.ExpiredLot, match="extended before"):
        extended(drum, 20, now=NOW + DAY)


def test_never_a_peroxides(bottle: tables.Lot) -> None:
    """Life type I ends for good."""
    old = yard.receive("PEROX", "1 kg", expires_on=yard.day(-1))
    with pytest.raises(errors.ExpiredLot, match="life type I"):
        extended(old, 5)


@pytest.mark.parametrize(
    "cups",
    [(), ("20 min",), ("27 min", "28 min"), ("50 min", "52 min")],
    ids=["none", "one cup", "drifting", "suspect"],
)
def test_not_without_two_cups_in_order(
    books: Database, drum: tables.Lot, bottle: tables.Lot, cups: tuple[str, ...]
) -> None:
    """No test, one cup alone, or a test that did not pass extends nothing."""
    if cups:
        yard.cup(drum, bottle, *cups)
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="no passing test of two cups"):
        extended(drum, 10)
    assert yard.contents(books) == before


def test_a_test_lapses_after_thirty_days(drum: tables.Lot, bottle: tables.Lot) -> None:
    """A cup of last month says nothing of today."""
    yard.cup(drum, bottle, "20 min", "21 min", now=NOW, at=NOW - 31 * DAY)
    with pytest.raises(errors.Invalid, match="no passing test"):
        extended(drum, 10)
    yard.cup(drum, bottle, "20 min", "21 min", now=NOW, at=NOW - 29 * DAY)
    assert extended(drum, 10).state == "soon"


def test_what_has_no_date_needs_no_extension() -> None:
    """A lot that never ends is left alone."""
    lot = yard.receive("MICROS", "1 kg")
    with pytest.raises(errors.Invalid, match="no date to extend"):
        extended(lot, 10)
