"""What stores kept before there were feeds, and the numbers that milestones are held against."""

from __future__ import annotations

from cureyard_service.store import tables
from cureyard_service.store.cure import reached
from cureyard_service.store.cure.reached import Due
from cureyard_service.store.engine.revisions import revision
from cureyard_service.store.upkeep.migrate import migrate_back, migrate_forward
from peewee import Database

from .. import sample_yard as yard


def seed() -> None:
    """The yard's row."""
    tables.Yard.insert(
        id=1, zone="UTC", units="metric", currency="EUR", seeded_at=yard.NOW
    ).execute()


def test_a_yard_that_was_there_gets_an_identity(store: Database) -> None:
    """Forward from the version before; each store its own."""
    seed()
    migrate_back(store, 6)
    migrate_forward(store)
    first = tables.Yard.get_by_id(1).identity
    migrate_back(store, 6)
    migrate_forward(store)
    assert len(first) == 32
    assert tables.Yard.get_by_id(1).identity != first


def test_the_revision_sees_what_comes_in(store: Database) -> None:
    """Each row that a milestone may rest on raises it; closing a layup changes it."""
    seed()
    seen = [revision()]
    layup, bay = yard.add_layup(), yard.add_bay()
    lot = yard.received(1000)
    batch = yard.add_batch(lot, lot)
    facts = {"at": yard.NOW, **yard.SIGNED}
    for act in (
        lambda: yard.add_layup(),
        lambda: yard.add_reading(bay, yard.NOW, 290),
        lambda: yard.add_cup_test(lot, yard.NOW),
        lambda: tables.LayupObservation.create(layup=layup, kind="gelled", **facts),
        lambda: tables.BatchObservation.create(batch=batch, kind="gelled", **facts),
        lambda: tables.LayupMove.create(layup=layup, bay=bay, **facts),
        lambda: tables.BayPattern.create(
            bay=bay, day_mk=1, night_mk=1, day_from="07:00", day_until="18:00", **facts
        ),
        lambda: tables.Bay.update(version=2).where(tables.Bay.id == bay.id).execute(),
        lambda: tables.Yard.update(version=2).execute(),
    ):
        act()
        seen.append(revision())
        assert seen[-1].rises > seen[-2].rises
    tables.Layup.update(version=2).where(tables.Layup.id == layup.id).execute()
    seen.append(revision())
    tables.Layup.update(closed_at=yard.NOW).where(tables.Layup.id == layup.id).execute()
    seen.append(revision())
    assert len(set(seen)) == len(seen)
    yard.post(lot, "draw", -1)
    assert revision() == seen[-1]


def test_told_once_in_order_of_their_moments(store: Database) -> None:
    """However they come, and however often."""
    layup = yard.add_layup().id
    due = [Due(layup, "trim", 30), Due(layup, "gel", 20)]
    assert reached.newest() == 0
    for _ in range(2):
        reached.tell(due, now=yard.NOW, hand=yard.HAND)
    assert [(row.name, row.at) for row in reached.after(0, 10)] == [("gel", 20), ("trim", 30)]
    assert [row.name for row in reached.after(1, 10)] == ["trim"]
    assert len(reached.after(0, 1)) == 1
    assert reached.newest() == 2
