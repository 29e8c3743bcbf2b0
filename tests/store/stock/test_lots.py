"""What the store answers of products, lots and their cup tests."""

from __future__ import annotations

from datetime import date

import pytest
from cureyard_service.core.stock import cup_test
from cureyard_service.store import tables
from cureyard_service.store.cure import pots
from cureyard_service.store.products import find_product
from cureyard_service.store.stock import cup_tests
from cureyard_service.store.stock import lots as shelf
from cureyard_service.store.stock.cup_tests import cup_test_at
from peewee import Database

from .. import sample_yard as yard


def test_a_code_is_found_whatever_its_case(store: Database) -> None:
    """And an unknown one is nobody's."""
    product = yard.add_product()
    assert yard.ids([find_product(product.code.lower())]) == [product.id]
    assert find_product("nothing") is None


@pytest.mark.parametrize("number", [0, -1, 5, 2**63, 10**30])
def test_an_id_of_no_lot_finds_none(store: Database, number: int) -> None:
    """However long the number is."""
    yard.add_lot()
    assert shelf.find_lot(number) is None


def test_stocked_lots_leave_the_empty_ones_out(store: Database) -> None:
    """In the order received."""
    product = yard.add_product()
    first, empty, third = (yard.received(10, product) for _ in range(3))
    yard.post(empty, "draw", -10)
    assert yard.ids(shelf.stocked_lots_of(product.id)) == yard.ids([first, third])


def test_a_container_is_found_by_its_number(store: Database) -> None:
    """Number without case, container as it is."""
    lot = yard.add_lot(container="2")
    assert yard.ids([shelf.find_container(lot.product_id, lot.number.lower(), "2")]) == [lot.id]
    assert shelf.find_container(lot.product_id, lot.number, "1") is None


def test_the_last_extension_counts(store: Database) -> None:
    """A lot extended is in the answer with its day, a lot never extended is not."""
    lot, other = yard.add_lot(), yard.add_lot()
    for until in ("2026-03-01", "2026-04-01"):
        tables.LotEvent.create(lot=lot, kind="extended", at=yard.NOW, until_on=until, **yard.SIGNED)
    tables.LotEvent.create(lot=other, kind="moved", at=yard.NOW, **yard.SIGNED)
    assert shelf.extensions([lot.id, other.id]) == {lot.id: date(2026, 4, 1)}


def test_the_last_cup_test_counts(store: Database) -> None:
    """A later one outdates an earlier one; one still to come does not."""
    lot = yard.add_lot()
    yard.add_cup_test(lot, yard.NOW - 200)
    last = yard.add_cup_test(lot, yard.NOW - 100, verdict="caution")
    yard.add_cup_test(lot, yard.NOW + 1)
    assert yard.ids([cup_test_at(lot.id, yard.NOW)]) == [last.id]


def test_a_cup_test_lapses(store: Database) -> None:
    """After 30 days to the second."""
    lot = yard.add_lot()
    test = yard.add_cup_test(lot, yard.NOW)
    assert yard.ids([cup_test_at(lot.id, yard.NOW + cup_test.LAPSES_AFTER_S - 1)]) == [test.id]
    assert cup_test_at(lot.id, yard.NOW + cup_test.LAPSES_AFTER_S) is None


@pytest.mark.parametrize("verdict", ["hold", "scrap"])
def test_a_bad_cup_is_not_forgotten_for_an_older_good_one(store: Database, verdict: str) -> None:
    """The last test counts, and its verdict lets nobody use the lot."""
    lot = yard.add_lot()
    yard.add_cup_test(lot, yard.NOW - 100)
    yard.add_cup_test(lot, yard.NOW, verdict=verdict)
    assert cup_test_at(lot.id, yard.NOW) is None


def test_what_was_told_then_is_replayed(store: Database) -> None:
    """A cup test entered late was not known before it was entered."""
    lot = yard.add_lot()
    early = yard.add_cup_test(lot, yard.NOW - 200, recorded_at=yard.NOW - 200)
    late = yard.add_cup_test(lot, yard.NOW - 100, recorded_at=yard.NOW + 500)
    assert yard.ids([cup_test_at(lot.id, yard.NOW, as_known_at=yard.NOW)]) == [early.id]
    assert yard.ids([cup_test_at(lot.id, yard.NOW)]) == [late.id]


def test_a_test_soon_after_the_pot_is_found(store: Database) -> None:
    """The first usable one within seven days; never one later, nor a bad one."""
    lot = yard.add_lot()
    pot, other = (yard.add_batch(each, yard.add_lot()) for each in (lot, yard.add_lot()))
    end = yard.NOW + cup_test.TAKEN_UP_WITHIN_S
    yard.add_cup_test(lot, end + 1)
    assert pots.tests_after([pot, other]) == {}
    yard.add_cup_test(lot, yard.NOW + 10, verdict="hold")
    usable = yard.add_cup_test(lot, end)
    assert pots.tests_after([pot, other]) == {pot.id: cup_tests.test(usable.id)}
