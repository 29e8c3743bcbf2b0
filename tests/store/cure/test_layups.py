"""A layup's pots, moves and sightings, as known now and as known then."""

from __future__ import annotations

from cureyard_service.store import bays, tables
from cureyard_service.store.cure import layups
from peewee import Database

from .. import sample_yard as yard

T = yard.NOW


def test_a_layups_pots_the_first_mixed_first(store: Database) -> None:
    """And from a pot the layups that it went into."""
    layup, other = yard.add_layup(), yard.add_layup()
    resin, catalyst = yard.received(9_000), yard.received(900)
    late, early = (
        yard.add_batch(resin, catalyst, mixed_at=T + 60),
        yard.add_batch(resin, catalyst, mixed_at=T),
    )
    for pot in (late, early):
        tables.LayupBatch.create(layup=layup, batch=pot, **yard.SIGNED)
    tables.LayupBatch.create(layup=other, batch=late, **yard.SIGNED)
    assert yard.ids(layups.batches_of(layup.id)) == yard.ids([early, late])
    assert yard.ids(layups.layups_of_batches([late.id])) == yard.ids([layup, other])


def test_what_hands_saw_of_a_layup_in_order(store: Database) -> None:
    """By when it was seen, as far as was entered."""
    layup = yard.add_layup()
    later = see(layup, T + 20, T + 20)
    earlier = see(layup, T + 10, T + 90)
    assert yard.ids(layups.observations_of(layup.id)) == yard.ids([earlier, later])
    assert yard.ids(layups.observations_of(layup.id, as_known_at=T + 50)) == [later.id]


def test_open_layups_are_those_nobody_closed(store: Database) -> None:
    """Oldest first."""
    first, second = yard.add_layup(), yard.add_layup()
    closed = tables.Layup.update(closed_at=T, closed_reason="covered")
    closed.where(tables.Layup.id == first.id).execute()
    assert yard.ids(layups.open_layups()) == yard.ids([second])


def test_humidity_is_taken_from_a_reading_that_has_it(store: Database) -> None:
    """The last one not too long ago; a later one without humidity doesn't hide it."""
    bay = yard.add_bay()
    yard.add_reading(bay, T - 500, 290, humidity_ppm=400_000)
    damp = yard.add_reading(bay, T - 100, 290, humidity_ppm=600_000)
    yard.add_reading(bay, T, 290)
    assert yard.ids([bays.humidity_near(bay.id, T, 200)]) == [damp.id]
    assert bays.humidity_near(bay.id, T, 50) is None


def see(layup: tables.Layup, at: int, recorded_at: int) -> tables.LayupObservation:
    """A sighting, entered at a moment."""
    signed = {**yard.SIGNED, "recorded_at": recorded_at}
    return tables.LayupObservation.create(layup=layup, kind="thumbnail", at=at, **signed)
