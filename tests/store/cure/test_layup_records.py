"""What is known of layups, gathered: as of each alone, and in as many queries for many."""

from __future__ import annotations

from cureyard_service.store import bays, tables
from cureyard_service.store.cure import layups
from cureyard_service.store.cure.layup_records import records
from cureyard_service.store.stock import cup_tests
from peewee import Database

from .. import sample_yard as yard

T = yard.NOW


def test_a_layup_is_where_it_was_carried_last(store: Database) -> None:
    """Before any move in its first bay; a move entered late was not known before."""
    layup, tent = layups.layup(yard.add_layup().id), bays.bay(yard.add_bay().id)
    (before,) = records([layup])
    assert before.bay == layup.bay
    entered = {**yard.SIGNED, "recorded_at": T + 500}
    tables.LayupMove.create(layup_id=layup.id, bay_id=tent.id, at=T + 10, **entered)
    (after,) = records([layup])
    assert (after.bay, after.moves) == (tent, ((T + 10, tent),))
    (then,) = records([layup], as_known_at=T + 499)
    assert (then.bay, then.moves) == (layup.bay, ())


def test_what_was_seen_of_each_cup(store: Database) -> None:
    """Whether it had gelled, of each pot by itself, and nothing else that was seen of it."""
    pots = [yard.add_batch(yard.received(9_000), yard.received(900)) for _ in range(3)]
    layup = yard.add_layup()
    for pot in pots:
        tables.LayupBatch.create(layup=layup, batch=pot, **yard.SIGNED)
    first, second, _ = pots
    for pot, kind, at in (
        (first, "gelled", T + 9), (first, "not_gelled", T + 5), (second, "gelled", T + 7),
        (second, "lost", T + 8),
    ):  # fmt: skip
        tables.BatchObservation.create(batch=pot, kind=kind, at=at, **yard.SIGNED)
    (record,) = records([layup])
    seen = {pot: [(o.kind, o.at) for o in looks] for pot, looks in record.cups.items()}
    assert seen == {
        first.id: [("not_gelled", T + 5), ("gelled", T + 9)], second.id: [("gelled", T + 7)],
    }  # fmt: skip


def test_a_test_told_late_was_not_known_before(store: Database) -> None:
    """The first pot's resin tested after mixing: known from when it was entered."""
    resin = yard.received(9_000)
    pot = yard.add_batch(resin, yard.received(900))
    layup = layups.layup(yard.add_layup().id)
    tables.LayupBatch.create(layup_id=layup.id, batch=pot, **yard.SIGNED)
    test = yard.add_cup_test(resin, T + 60, recorded_at=T + 300)
    assert records([layup])[0].cup_tests == {pot.id: cup_tests.test(test.id)}
    assert records([layup], as_known_at=T + 299)[0].cup_tests == {}


def test_many_are_as_each_alone(store: Database) -> None:
    """Pots, sightings and moves go to the layup that they are of."""
    rows = [yard.add_layup() for _ in range(4)]
    for number, row in enumerate(rows[1:], 1):
        for minute in range(number):
            pot = yard.add_batch(yard.received(9_000), yard.received(900), mixed_at=T - 60 * minute)
            tables.LayupBatch.create(layup=row, batch=pot, **yard.SIGNED)
            tables.LayupObservation.create(
                layup=row, kind="no_transfer", at=T + minute, **yard.SIGNED
            )
    together = records(rows)
    assert together == [records([row])[0] for row in rows]
    assert [len(record.pots) for record in together] == [0, 1, 2, 3]
    assert [record.started for record in together] == [T, T, T - 60, T - 120]
    assert [record.pots[0].id for record in together[1:]] == [
        layups.batches_of(row.id)[0].id for row in rows[1:]
    ]


def test_nothing_is_asked_of_no_layups(store: Database) -> None:
    """No rows, no records."""
    assert records([]) == []
