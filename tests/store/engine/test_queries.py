"""Statements made once give what the library gives, row for row."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.store import tables
from cureyard_service.store.engine.database import reading, writing
from cureyard_service.store.engine.queries import among, compiled, rows_of
from peewee import Database

from .. import sample_yard as yard


@compiled
def _drawn_from(lot_id: Any, least: Any) -> Any:
    """With its values in another order than they are given."""
    lot = tables.Lot
    return lot.select().where(lot.on_hand >= least, lot.id == lot_id, lot.held == False)  # noqa: E712


@compiled
def _filled(amount: Any, lot_id: Any) -> Any:
    lot = tables.Lot
    return lot.update(on_hand=lot.on_hand + amount).where(lot.id == lot_id).returning(lot)


def contents(row: Any) -> dict[str, Any]:
    """All that is in a row."""
    return dict(row.__data__)


def test_rows_are_the_librarys(store: Database) -> None:
    """Each column reads as it does by the library: numbers, flags, dates, nothing."""
    lot = yard.received(500)
    (made,) = _drawn_from(lot.id, 500)
    (told,) = tables.Lot.select().where(tables.Lot.id == lot.id)
    assert contents(made) == contents(told)
    assert type(made.held) is bool
    assert made.received_on == told.received_on
    assert made.product.code == told.product.code
    assert not made.is_dirty()
    assert _drawn_from(lot.id, 501) == []


def test_an_update_gives_the_row_after_it(store: Database) -> None:
    """Values go where they belong, in the order in which the function has them."""
    lot = yard.received(500)
    (after,) = _filled(7, lot.id)
    assert after.on_hand == tables.Lot.get_by_id(lot.id).on_hand == 507


def test_one_column_is_asked_for_a_value(store: Database) -> None:
    """Found or not, and a value of the wrong kind, end as they do with the library."""
    lot = yard.add_lot()
    assert contents(tables.Lot.get_by_id(lot.id)) == contents(
        tables.Lot.select().where(tables.Lot.id == lot.id).get()
    )
    assert tables.Lot.get_or_none(tables.Lot.id == lot.id + 1) is None
    with pytest.raises(tables.Lot.DoesNotExist):
        tables.Lot.get_by_id(lot.id + 1)
    with pytest.raises(TypeError):
        tables.Lot.get_or_none(tables.Lot.received_at == "1")


def test_a_new_row_is_as_it_was_given(store: Database) -> None:
    """Defaults are filled in, and what does not fit a column is refused, not bent."""
    given = {"number": "A", "number_key": "a", "title": "T", "craft": "C", "structural": "no"}
    made = tables.Job.create(**given, opened_at=1)
    assert contents(tables.Job.get_by_id(made.id)) == contents(made) | {
        "authority": None, "closed_at": None, "close_reason": None, "version": 1,
    }  # fmt: skip
    with pytest.raises(TypeError):
        tables.Job.create(**given | {"number_key": "b"}, opened_at=1.9)


def test_a_steady_row_is_read_once_in_a_transaction(store: Database) -> None:
    """The same row again while nothing changes it; anew after a change, and outside."""
    job = yard.add_job()
    with writing():
        first = tables.Job.get_by_id(job.id)
        assert tables.Job.get_by_id(job.id) is first
        tables.Job.update(title="Rudder").where(tables.Job.id == job.id).execute()
        second = tables.Job.get_by_id(job.id)
        assert second.title == "Rudder"
        second.title = "Tiller"
        second.save()
        assert tables.Job.get(tables.Job.number_key == job.number_key).title == "Tiller"
    assert tables.Job.get_by_id(job.id) is not tables.Job.get_by_id(job.id)


def test_what_was_undone_is_not_remembered(store: Database) -> None:
    """A transaction that breaks off leaves nothing of itself behind."""
    job = yard.add_job()

    def broken_off() -> None:
        with writing():
            tables.Job.update(title="Rudder").where(tables.Job.id == job.id).execute()
            assert tables.Job.get_by_id(job.id).title == "Rudder"
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        broken_off()
    with reading():
        assert tables.Job.get_by_id(job.id).title == job.title


def test_a_selects_rows_are_read_straight(store: Database) -> None:
    """In the select's order, each as the library has it."""
    for amount in (500, 700):
        yard.received(amount)
    select = tables.Lot.select().order_by(tables.Lot.id.desc())
    straight = rows_of(select)
    assert [contents(row) for row in straight] == [contents(row) for row in select]
    assert [row.on_hand for row in straight] == [700, 500]


@pytest.mark.parametrize("asked", [(), (1,), (2, 3, 2), (4, 2**40)])
def test_one_of_many_numbers(store: Database, asked: tuple[int, ...]) -> None:
    """As with a value each: those that are there, however often they are asked for."""
    lots = [yard.received(amount).id for amount in (500, 600, 700)]
    select = tables.Lot.select().where(among(tables.Lot.id, asked)).order_by(tables.Lot.id)
    assert [row.id for row in rows_of(select)] == [row.id for row in select]
    assert [row.id for row in select] == [lot for lot in lots if lot in asked]
