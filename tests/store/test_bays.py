"""Readings in force, their corrections, and patterns, as known now and as known then."""

from __future__ import annotations

from cureyard_service.store import bays, tables
from hypothesis import given, settings
from hypothesis import strategies as st
from peewee import Database

from . import sample_yard as yard

T = yard.NOW


def test_a_correction_takes_the_place_of_a_reading(store: Database) -> None:
    """And a correction of the correction takes its place; all stay on record."""
    bay = yard.add_bay()
    first = yard.add_reading(bay, T, 290)
    second = yard.add_reading(bay, T, 291, replaces=first, reason="misread")
    third = yard.add_reading(bay, T, 292, replaces=second, reason="misread again")
    assert [row.id for row in bays.readings(bay.id, T, T)] == [third.id]
    assert list(tables.Reading.select().order_by(tables.Reading.id)) == [first, second, third]


def test_as_known_then_is_what_was_told(store: Database) -> None:
    """A correction, and a reading that came late, were not known before they came."""
    bay = yard.add_bay()
    first = yard.add_reading(bay, T, 290, recorded_at=T)
    yard.add_reading(bay, T, 291, replaces=first, reason="misread", recorded_at=T + 50)
    yard.add_reading(bay, T + 10, 292, recorded_at=T + 60)
    told = [(row.at, row.temperature_mk) for row in bays.readings(bay.id, T, T + 99, T + 40)]
    assert told == [(T, 290_000)]
    known = [(row.at, row.temperature_mk) for row in bays.readings(bay.id, T, T + 99)]
    assert known == [(T, 291_000), (T + 10, 292_000)]


@settings(max_examples=25)
@given(
    entries=st.lists(st.tuples(st.integers(0, 5), st.integers(0, 9)), max_size=15),
    since=st.integers(0, 5),
    until=st.integers(0, 5),
    then=st.integers(0, 16),
)
def test_readings_are_a_notebook_with_the_last_word_of_each_moment(
    store: Database, entries: list[tuple[int, int]], since: int, until: int, then: int
) -> None:
    """In whatever order they came, and whenever one asks."""
    bay = yard.add_bay()
    last: dict[int, tables.Reading] = {}
    notebook: dict[int, int] = {}
    for entered, (moment, kelvin) in enumerate(entries):
        replaces = {"replaces": last[moment], "reason": "misread"} if moment in last else {}
        last[moment] = yard.add_reading(bay, moment, kelvin, recorded_at=entered, **replaces)
        if entered <= then:
            notebook[moment] = kelvin * 1000
    told = {row.at: row.temperature_mk for row in bays.readings(bay.id, since, until, then)}
    assert told == {at: mk for at, mk in sorted(notebook.items()) if since <= at <= until}


def test_the_latest_reading_is_the_last_in_time(store: Database) -> None:
    """Not the last that was entered; and another bay's is none of ours."""
    bay, other = yard.add_bay(), yard.add_bay()
    assert bays.latest_readings([bay.id]).get(bay.id) is None
    last = yard.add_reading(bay, T + 10, 290)
    yard.add_reading(bay, T, 291)
    yard.add_reading(other, T + 20, 292)
    assert yard.ids([bays.latest_readings([bay.id]).get(bay.id)]) == [last.id]
    mended = yard.add_reading(bay, T + 10, 293, replaces=last, reason="misread")
    assert yard.ids([bays.latest_readings([bay.id]).get(bay.id)]) == [mended.id]


def add_pattern(bay: tables.Bay, at: int, day: int, recorded_at: int = T) -> tables.BayPattern:
    """A pattern of a bay from a moment on."""
    return tables.BayPattern.create(
        bay=bay, at=at, day_mk=day * 1000, night_mk=280_000, day_from="07:00",
        day_until="18:00", **{**yard.SIGNED, "recorded_at": recorded_at},
    )  # fmt: skip


def test_a_pattern_holds_from_its_moment_on(store: Database) -> None:
    """Before the first the first; of two for one moment the one entered last."""
    bay = yard.add_bay()
    first = add_pattern(bay, T, 290)
    add_pattern(bay, T + 100, 291)
    second = add_pattern(bay, T + 100, 292, recorded_at=T + 500)
    assert yard.ids(bays.patterns(bay.id)) == yard.ids([first, second])
    assert [p.day_mk for p in bays.patterns(bay.id, as_known_at=T)] == [290_000, 291_000]


def test_several_bays_are_told_as_each_by_itself(store: Database) -> None:
    """In force, within a stretch, as known at a moment; one that has nothing is empty."""
    shed, tent, barn = yard.add_bay(), yard.add_bay(), yard.add_bay()
    for number, bay in enumerate((shed, tent) * 3):
        read = yard.add_reading(bay, T + number, 290, recorded_at=T + number)
        if number > 2:
            yard.add_reading(
                bay, T + number, 291, recorded_at=T + 9, replaces=read, reason="misread"
            )
    for bay in (shed, barn):
        add_pattern(bay, T, 280)
        add_pattern(bay, T, 290)
        add_pattern(bay, T + 5, 285, recorded_at=T + 9)
    ids = [tent.id, barn.id, shed.id]
    for known in (None, T + 4, T + 9):
        assert bays.readings_of(ids, T + 1, T + 4, known) == {
            bay: bays.readings(bay, T + 1, T + 4, known) for bay in ids
        }
        assert bays.patterns_of(ids, known) == {bay: bays.patterns(bay, known) for bay in ids}
    latest = bays.latest_readings(ids)
    assert {bay: (row.at, row.temperature_mk) for bay, row in latest.items()} == {
        shed.id: (T + 4, 291_000), tent.id: (T + 5, 291_000),
    }  # fmt: skip
    assert bays.latest_readings([]) == {} == bays.readings_of([], T, T + 1)


HOUR = T - T % 3600
"""The beginning of an hour."""


def hours(bay: tables.Bay, back: int = 99 * 3600, known: int | None = None) -> list[float]:
    """Means of a bay's last hours, K."""
    return [mean / 1000 for _, mean in bays.hourly_means([bay.id], back, known)[bay.id]]


def test_hours_are_told_by_their_means(store: Database) -> None:
    """Oldest first; those before its pattern was last changed are left out."""
    bay, other = yard.add_bay(), yard.add_bay()
    for each in (bay, other):
        add_pattern(each, HOUR, 280)
    for minutes, kelvin in ((-10, 270), (5, 290), (35, 292), (70, 300), (130, 310)):
        yard.add_reading(bay, HOUR + minutes * 60, kelvin)
    assert hours(bay) == [270, 291, 300, 310]  # its first pattern bounds nothing
    assert hours(bay, back=3600 + 60) == [300, 310]
    assert hours(other) == []
    found = bays.hourly_means([bay.id, other.id], 99 * 3600)
    assert HOUR - 3600 <= found[bay.id][0][0] < HOUR
    add_pattern(bay, HOUR + 3600, 281)
    assert hours(bay) == [300, 310]


def test_a_misread_hour_is_not_in_its_mean(store: Database) -> None:
    """A correction takes the place of a reading, as everywhere; before it, nobody knew."""
    bay = yard.add_bay()
    add_pattern(bay, HOUR, 280)
    first = yard.add_reading(bay, HOUR + 60, 330, recorded_at=T)
    yard.add_reading(bay, HOUR + 60, 290, replaces=first, reason="misread", recorded_at=T + 50)
    assert hours(bay, known=T + 40) == [330]
    assert hours(bay) == [290]
