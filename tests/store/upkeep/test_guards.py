"""A recorded row stays as it is: the database itself refuses to change it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any

import pytest
from cureyard_migrations.dialect import guard_names, on_sqlite, signed_guard_names
from cureyard_service.store import tables
from peewee import Database, IntegrityError, Model

from ...bare import drop_guard, raw
from ...engines import Engine
from ...prepared import filled_by, opened
from .. import sample_yard as yard

guarded = pytest.mark.parametrize("model", tables.APPEND_ONLY, ids=lambda m: m._meta.table_name)


def a_row_each() -> None:
    """A row in every append-only table."""
    resin, catalyst = yard.received(10_000), yard.received(1_000)
    bay, layup = yard.add_bay(), yard.add_layup()
    batch = yard.add_batch(resin, catalyst)
    first = yard.add_reading(bay, yard.NOW, 290)
    yard.add_reading(bay, yard.NOW, 291, replaces=first, reason="read it upside down")
    yard.reverse(yard.post(resin, "draw", -5))
    counted = yard.post(resin, "count", -5, counted_at=yard.NOW)
    tables.Acceptance.create(movement_id=counted.id, **yard.SIGNED)
    yard.add_cup_test(resin, yard.NOW)
    tables.BayPattern.create(
        bay=bay, at=yard.NOW, day_mk=294_150, night_mk=287_150, day_from="07:00",
        day_until="18:00", **yard.SIGNED,
    )  # fmt: skip
    job = yard.add_job()
    need = yard.add_need(job, resin.product, 5)
    yard.add_need(job, resin.product, 4, replaces=need)
    tables.Plan.create(job=job, answer="{}", uses="{}", **yard.SIGNED)
    tables.LotEvent.create(lot=resin, kind="opened", at=yard.NOW, **yard.SIGNED)
    seen: dict[str, Any] = {"kind": "gelled", "at": yard.NOW, **yard.SIGNED}
    cup = tables.BatchObservation.create(batch=batch, **seen)
    felt = tables.LayupObservation.create(layup=layup, **seen)
    tables.LayupBatch.create(layup=layup, batch=batch, **yard.SIGNED)
    tables.LayupMove.create(layup=layup, bay=bay, at=yard.NOW, **yard.SIGNED)
    probe = tables.LayupProbe.create(layup=layup, bay=bay, on_part=True, **yard.SIGNED)
    tables.LayupProbeEnd.create(layup_probe=probe, reason="a slip", **yard.SIGNED)
    tables.LayupEarlier.create(layup=layup, title="Ply", finished_at=yard.NOW, **yard.SIGNED)
    picture = yard.add_photograph(layup=layup)
    taken_back = ({"layup": layup}, {"layup_observation": felt}, {"batch_observation": cup},
                  {"reading": first}, {"photograph": picture})  # fmt: skip
    for what in taken_back:
        tables.Withdrawal.create(reason="a slip", **what, **yard.SIGNED)
    found_wetness(job)
    vacuum = {"first_pa": 9, "first_at": 1, "second_pa": 8, "second_at": yard.NOW}
    leak = tables.LeakTest.create(job=job, place="keel", **vacuum, **yard.SIGNED)
    tables.LeakTestEnd.create(leak_test=leak, reason="a slip", **yard.SIGNED)
    tables.Sequence.create(name="SKIN", name_key="skin", steps="[]", **yard.SIGNED)
    tables.Override.create(slug="expired-lot", reason="cup test", lot=resin, **yard.SIGNED)
    hashes = {"secret_hash": "a" * 64, "page_hash": "b" * 64}
    token = tables.Token.create(name="Rui", role="lead", **hashes, **yard.SIGNED)
    tables.TokenEnd.create(token=token, **yard.SIGNED)
    phone = tables.Phone.create(name="Rui", role="hand", code_hash="d" * 64, **yard.SIGNED)
    tables.PhoneCodeEnd.create(phone=phone, token=token, **yard.SIGNED)
    feed = tables.Feed.create(secret_hash="c" * 64, **yard.SIGNED)
    tables.FeedEnd.create(feed=feed, **yard.SIGNED)
    tables.Reached.create(layup=layup, name="gel", at=yard.NOW, **yard.SIGNED)
    tables.LogbookEntry.create(kind="held", about="lot 1", **yard.SIGNED)
    signature = tables.Signature.create(
        job=yard.add_job(), profile="plain", left_open="[]", **yard.SIGNED
    )
    tables.SignatureEnd.create(signature=signature, reason="a blister", **yard.SIGNED)


def found_wetness(job: Any) -> None:
    """A row in every table of wetness."""
    at = {"place": "keel", "place_key": "keel", "job": job, **yard.SIGNED}
    meter = tables.Meter.create(
        code="CAP", code_key="cap", title="Cap", kind="capacitance", low_milli=0,
        high_milli=100_000, modes='[["deep", "points"]]', **yard.SIGNED,
    )  # fmt: skip
    finding = tables.Finding.create(
        side="port", kind="blister", length_um=9, width_um=9, found_by="eye", at=yard.NOW, **at
    )
    shown = yard.add_photograph(job=job)
    tables.FindingPhotograph.create(finding=finding, photograph=shown, **yard.SIGNED)
    reading = tables.MoistureReading.create(
        meter=meter, mode="deep", placements="[1, 2, 3]", surface_mk=288_150, dry_place=False,
        at=yard.NOW, **at,
    )  # fmt: skip
    note = tables.SurfaceNote.create(kind="rain", at=yard.NOW, **at)
    film = tables.FilmTest.create(taped_at=1, looked_at=yard.NOW, drops=False, **at)
    sample = tables.WeighedSample.create(wet_mg=2, dried_mg=1, at=yard.NOW, **at)
    for what in ({"finding": finding}, {"moisture_reading": reading}, {"surface_note": note},
                 {"film_test": film}, {"weighed_sample": sample}):  # fmt: skip
        tables.WetnessWithdrawal.create(reason="a slip", **what, **yard.SIGNED)


guarded_rows = filled_by(a_row_each)


@pytest.fixture
def filled(engine: Engine) -> Iterator[Database]:
    """A store with a row in every append-only table."""
    with opened(engine, guarded_rows) as database:
        yield database


def word(model: type[Model]) -> str:
    """A column of a table in which any text may stand."""
    return {"written": "parts", "seal": "head"}.get(model._meta.table_name, "who")


def rows(model: type[Model]) -> list[tuple[Any, ...]]:
    """Every row of a table."""
    kept = list(model.select().order_by(model.id).tuples())
    assert kept, "the table is empty, so the test would prove nothing"
    return kept


@guarded
def test_a_row_is_not_updated(filled: Database, model: type[Model]) -> None:
    """UPDATE is refused, and the rows are as they were."""
    before = rows(model)
    with pytest.raises(IntegrityError, match="append-only"):
        model.update({model._meta.fields[word(model)]: "Nobody"}).execute()
    assert rows(model) == before


@guarded
def test_a_row_is_not_deleted(filled: Database, model: type[Model]) -> None:
    """DELETE is refused, and the rows are as they were."""
    before = rows(model)
    with pytest.raises(IntegrityError, match="append-only"):
        model.delete().execute()
    assert rows(model) == before


@pytest.mark.only_on("sqlite")
@guarded
def test_a_row_is_not_replaced_by_its_id(filled: Database, model: type[Model]) -> None:
    """INSERT OR REPLACE, which fires no DELETE trigger, is refused too, from any connection."""
    before = rows(model)
    table = model._meta.table_name
    text = word(model)
    columns = ", ".join(c for c in model._meta.columns if c != text)
    copy = f"INSERT OR REPLACE INTO {table} ({columns}, {text}) SELECT {columns}, 'X' FROM {table}"
    with raw(filled) as bare, pytest.raises(sqlite3.IntegrityError, match="append-only"):
        bare.execute(copy)
    assert rows(model) == before


@pytest.mark.only_on("postgresql")
@guarded
def test_a_table_is_not_emptied_at_once(filled: Database, model: type[Model]) -> None:
    """TRUNCATE, which fires no trigger of a row, is refused too, as is ON CONFLICT's update."""
    before = rows(model)
    table = model._meta.table_name
    with pytest.raises(IntegrityError, match="append-only"):
        filled.execute_sql(f"TRUNCATE {table} CASCADE")
    again = f"ON CONFLICT (id) DO UPDATE SET {word(model)} = 'X'"
    copy = f"INSERT INTO {table} SELECT * FROM {table} {again}"
    with pytest.raises(IntegrityError, match="append-only"):
        filled.execute_sql(copy)
    assert rows(model) == before


KEYS = [
    (tables.Movement, ("reverses_id",), "reverses_id IS NOT NULL"),
    (tables.Need, ("replaces_id",), "replaces_id IS NOT NULL"),
    (tables.Reading, ("bay_id", "at"), "replaces_id IS NULL"),
    (tables.Reading, ("replaces_id",), "replaces_id IS NOT NULL"),
    (tables.CureSheet, ("product_id", "revision", "position"), "id > 0"),
    (tables.LayupBatch, ("layup_id", "batch_id"), "id > 0"),
    (tables.Acceptance, ("movement_id",), "id > 0"),
    (tables.LayupProbeEnd, ("layup_probe_id",), "id > 0"),
    (tables.Withdrawal, ("layup_id",), "layup_id IS NOT NULL"),
    (tables.Withdrawal, ("layup_observation_id",), "layup_observation_id IS NOT NULL"),
    (tables.Withdrawal, ("batch_observation_id",), "batch_observation_id IS NOT NULL"),
    (tables.Withdrawal, ("reading_id",), "reading_id IS NOT NULL"),
    (tables.Withdrawal, ("photograph_id",), "photograph_id IS NOT NULL"),
    (tables.FindingPhotograph, ("photograph_id",), "id > 0"),
    (tables.Meter, ("code_key",), "id > 0"),
    *(
        (tables.WetnessWithdrawal, (f"{name}_id",), f"{name}_id IS NOT NULL")
        for name in ("finding", "moisture_reading", "surface_note", "film_test", "weighed_sample")
    ),
    (tables.LeakTestEnd, ("leak_test_id",), "id > 0"),
    (tables.Token, ("secret_hash",), "id > 0"),
    (tables.Token, ("page_hash",), "id > 0"),
    (tables.TokenEnd, ("token_id",), "id > 0"),
    (tables.Phone, ("code_hash",), "id > 0"),
    (tables.PhoneCodeEnd, ("phone_id",), "id > 0"),
    (tables.PhoneCodeEnd, ("token_id",), "id > 0"),
    (tables.Feed, ("secret_hash",), "id > 0"),
    (tables.FeedEnd, ("feed_id",), "id > 0"),
    (tables.Reached, ("layup_id", "name"), "id > 0"),
    (tables.SignatureEnd, ("signature_id",), "id > 0"),
    (tables.Seal, ("written_id",), "id > 0"),
]
"""Each unique key of an append-only table, and where to find a row that has it."""


@pytest.mark.only_on("sqlite")
@pytest.mark.parametrize(("model", "key", "where"), KEYS)
def test_a_row_is_not_replaced_by_its_other_key(
    filled: Database, model: type[Model], key: tuple[str, ...], where: str
) -> None:
    """A row of a new id that shares a unique key doesn't push the old one out."""
    before = rows(model)
    table = model._meta.table_name
    columns = ", ".join(c for c in model._meta.columns if c != "id")
    copy = f"SELECT 999, {columns} FROM {table} WHERE {where} LIMIT 1"
    with raw(filled) as bare, pytest.raises(sqlite3.IntegrityError, match="append-only"):
        bare.execute(f"INSERT OR REPLACE INTO {table} (id, {columns}) {copy}")
    assert rows(model) == before


@pytest.mark.only_on("sqlite")
def test_every_unique_key_was_tried(store: Database) -> None:
    """A key added later without its guard would let REPLACE pass."""
    there = {
        (model, tuple(index.columns))
        for model in tables.APPEND_ONLY
        for index in store.get_indexes(model._meta.table_name)
        if index.unique
    }
    assert there == {(model, key) for model, key, _ in KEYS}


@pytest.mark.only_on("sqlite")
@guarded
def test_nothing_but_the_guards_refuses_it(filled: Database, model: type[Model]) -> None:
    """Without its triggers the same REPLACE would pass, so it is they that refuse."""
    table = model._meta.table_name
    with raw(filled) as bare:
        for name in guard_names(filled, table):
            drop_guard(bare, filled, table, name)
        text = word(model)
        columns = ", ".join(c for c in model._meta.columns if c != text)
        bare.execute(
            f"INSERT OR REPLACE INTO {table} ({columns}, {text}) SELECT {columns}, 'X' FROM {table}"
        )
        assert bare.execute(f"SELECT DISTINCT {text} FROM {table}").fetchall() == [("X",)]


def test_the_frozen_list_is_the_models(store: Database) -> None:
    """Every table that the models call append-only has its three guards, and no other has.

    So have those that a signature shuts.
    """
    wanted = {n for m in tables.APPEND_ONLY for n in guard_names(store, m._meta.table_name)}
    wanted |= {
        name
        for table, changes in tables.SHUT_BY_SIGNATURE.items()
        for name in signed_guard_names(store, table, changes=changes)
    }
    found = store.execute_sql(
        "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        if on_sqlite(store)
        else "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal"
    )
    assert {name for (name,) in found.fetchall()} == wanted


def test_an_id_below_one_is_refused(store: Database) -> None:
    """SQLite shows a guard -1 for an id not given yet, so no row may have it."""
    bay = yard.add_bay()
    with pytest.raises(IntegrityError):
        yard.add_reading(bay, yard.NOW, 290, id=-1)


NOT_THE_JOBS = {
    "acceptance": "of a count, which is of no job",
    "feed": "an address of a calendar", "feed_end": "an address of a calendar",
    "reached": "what turned was announced", "signature_end": "it is what opens the job",
}  # fmt: skip
"""Tables that lead to a job and stay open when it is signed, each with the reason."""


def test_every_table_of_a_job_is_shut_by_its_signature() -> None:
    """Each table that leads to a job, in however many steps, has the guard or a reason for none."""
    of_job = {tables.Job}
    while True:
        more = {
            model
            for model in tables.MODELS
            if model not in of_job and of_job & {key.rel_model for key in model._meta.refs}
        }
        if not more:
            break
        of_job |= more
    names = {model._meta.table_name for model in of_job}
    assert names == set(tables.SHUT_BY_SIGNATURE) | set(NOT_THE_JOBS)
