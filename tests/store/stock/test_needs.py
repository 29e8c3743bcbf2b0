"""Needs as they stand: whose they are, and what their job drew since."""

from __future__ import annotations

import pytest
from cureyard_service.store import tables
from cureyard_service.store.stock import needs
from cureyard_service.store.stock.lines import last_line
from peewee import Database, IntegrityError

from .. import sample_yard as yard

pytestmark = pytest.mark.usefixtures("store")


def test_only_open_jobs_hold_needs() -> None:
    """A closed job's are still its own, for its usage, and reserve nothing."""
    product, job, closed = yard.add_product(), yard.add_job(), yard.add_job()
    kept = yard.add_need(job, product, 5)
    past = yard.add_need(closed, product, 7)
    tables.Job.update(closed_at=yard.NOW + 1).where(tables.Job.id == closed.id).execute()
    assert yard.ids(needs.of_open_jobs()) == yard.ids(needs.of_open_jobs(product.id)) == [kept.id]
    assert needs.of_open_jobs(yard.add_product().id) == []
    assert yard.ids(needs.of_job(closed.id)) == yard.ids([past])


def test_a_replaced_need_stands_no_more() -> None:
    """Nor does one that was withdrawn."""
    product, job = yard.add_product(), yard.add_job()
    first = yard.add_need(job, product, 5)
    second = yard.add_need(job, product, 6, replaces=first)
    assert yard.ids(needs.of_job(job.id)) == yard.ids([second])
    assert needs.is_replaced(first.id)
    yard.add_need(job, product, 0, replaces=second)
    assert needs.of_job(job.id) == []


def test_the_need_that_is_due_first_is_filled_first() -> None:
    """Of two needs of one product the earlier day takes what was drawn."""
    lot, job = yard.received(100), yard.add_job()
    late = yard.add_need(job, lot.product, 10, by_on="2026-05-02")
    soon = yard.add_need(job, lot.product, 10, by_on="2026-05-01")
    mark = last_line()
    for row in (late, soon):
        assert row.drawn_after == 0 < mark
    yard.post(lot, "draw", -14, job=job.id)
    left = {want.need: want.amount for want in needs.wants(needs.of_job(job.id))}
    assert left == {soon.id: 0, late.id: 6}


def test_another_jobs_draw_fills_nothing(store: Database) -> None:
    """Nor does a scrap: what was spoilt is still to be taken."""
    lot, job = yard.received(100), yard.add_job()
    yard.add_need(job, lot.product, 10)
    yard.post(lot, "draw", -5, job=yard.add_job().id)
    yard.post(lot, "scrap", -5, job=job.id, reason="spilt")
    assert [want.amount for want in needs.wants(needs.of_job(job.id))] == [10]


def test_a_need_of_nothing_that_replaces_nothing_is_refused() -> None:
    """By the table itself."""
    with pytest.raises(IntegrityError):
        yard.add_need(yard.add_job(), yard.add_product(), 0)
