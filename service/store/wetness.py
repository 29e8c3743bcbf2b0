"""Findings, meters, moisture readings and what happened to surfaces."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal, NamedTuple, TypeVar, cast

from peewee import Model

from . import bays, tables
from .bays import Bay
from .engine.columns import LARGEST
from .engine.rows import Reader, insert, query
from .lookup import key_of
from .yard import withdrawals
from .yard.hands import Hand

Table = Literal["finding", "moisture_reading", "surface_note", "film_test", "weighed_sample"]


class Meter(NamedTuple):
    """A moisture meter; `modes` is JSON, `[[name, measures], …]`."""

    id: int
    code: str
    title: str
    kind: str
    low_milli: int
    high_milli: int
    modes: str
    recorded_at: int
    who: str
    verified: bool


class Finding(NamedTuple):
    """Damage or wetness that somebody found."""

    id: int
    job_id: int
    place: str
    place_key: str
    side: str
    kind: str
    length_um: int
    width_um: int
    depth_um: int | None
    found_by: str
    note: str | None
    at: int
    recorded_at: int
    who: str
    verified: bool


class MoistureReading(NamedTuple):
    """A meter's reading of a place; `placements` is JSON, thousandths of a point."""

    id: int
    job_id: int
    place: str
    place_key: str
    mode: str
    placements: str
    surface_mk: int
    air_mk: int | None
    humidity_ppm: int | None
    dry_place: bool
    at: int
    recorded_at: int
    who: str
    verified: bool
    meter: Meter
    bay: Bay | None


class SurfaceNote(NamedTuple):
    """What happened to a surface; of the whole boat where there is no place."""

    id: int
    job_id: int
    place: str | None
    place_key: str | None
    kind: str
    water: str | None
    note: str | None
    at: int
    recorded_at: int
    who: str
    verified: bool


class FilmTest(NamedTuple):
    """Film taped over a place, and whether drops were under it."""

    id: int
    job_id: int
    place: str
    place_key: str
    taped_at: int
    looked_at: int
    drops: bool
    recorded_at: int
    who: str
    verified: bool


class WeighedSample(NamedTuple):
    """A sample of a place, weighed as it was and again dried."""

    id: int
    job_id: int
    place: str
    place_key: str
    wet_mg: int
    dried_mg: int
    at: int
    recorded_at: int
    who: str
    verified: bool


AnyRow = TypeVar("AnyRow", Finding, MoistureReading, SurfaceNote, FilmTest, WeighedSample)

_METERS = Reader(Meter, tables.Meter)
FINDINGS = Reader(Finding, tables.Finding)
READINGS = Reader(MoistureReading, tables.MoistureReading)
NOTES = Reader(SurfaceNote, tables.SurfaceNote)
FILMS = Reader(FilmTest, tables.FilmTest)
SAMPLES = Reader(WeighedSample, tables.WeighedSample)

_TABLES: dict[Table, type[Model]] = {
    "finding": tables.Finding,
    "moisture_reading": tables.MoistureReading,
    "surface_note": tables.SurfaceNote,
    "film_test": tables.FilmTest,
    "weighed_sample": tables.WeighedSample,
}


def find_meter(code: str) -> Meter | None:
    """The meter with a code, whatever its case, or None."""
    return _METERS.first("WHERE meter.code_key = ?", key_of(code))


def meters(after: int | None, limit: int) -> list[Meter]:
    """Meters by age, after the one with that id."""
    return _METERS.all("WHERE meter.id > ? ORDER BY meter.id LIMIT ?", after or 0, limit)


def add_meter(code: str, *, now: int, hand: Hand, **columns: Any) -> Meter:
    """Add a meter; `columns` by their names."""
    key = key_of(code)
    return _METERS.of_id(
        insert(tables.Meter, code=code, code_key=key, **columns, **hand.signed(now))
    )


def add(table: Table, *, place: str | None, now: int, hand: Hand, **columns: Any) -> int:
    """Write a row of a job; its id. `columns` by their names; `now` in epoch s."""
    key = None if place is None else key_of(place)
    return insert(_TABLES[table], place=place, place_key=key, **columns, **hand.signed(now))


def standing(reader: Reader[AnyRow], job_id: int) -> list[AnyRow]:
    """The rows of a job that nobody took back, as they were recorded."""
    name = reader.name
    kept = withdrawals.standing(cast("Table", name))
    return reader.all(f"WHERE {name}.job_id = ? AND {kept} ORDER BY {name}.id", job_id)


def page(reader: Reader[AnyRow], job_id: int, after: int | None, limit: int) -> list[AnyRow]:
    """Every row of a job, the last recorded first, after the one with that id."""
    name = reader.name
    rest = f"WHERE {name}.job_id = ? AND {name}.id < ? ORDER BY {name}.id DESC LIMIT ?"
    return reader.all(rest, job_id, LARGEST if after is None else after, limit)


def air_of_readings(job_id: int) -> dict[int, tuple[int, int]]:
    """Reading's id → (millikelvin, humidity in ppm) last read in its bay, within the bay's gap.

    Only of readings for which no air was told.
    """
    sql = f"""
        SELECT moisture_reading.id, reading.temperature_mk, reading.humidity_ppm
        FROM moisture_reading JOIN bay ON bay.id = moisture_reading.bay_id
        JOIN reading ON reading.id = (
            SELECT near.id FROM reading AS near
            WHERE near.bay_id = moisture_reading.bay_id AND near.humidity_ppm IS NOT NULL
            AND near.at BETWEEN moisture_reading.at - bay.gap_max_s AND moisture_reading.at
            AND {withdrawals.standing("reading", alias="near")} AND {bays.believed(alias="near")}
            ORDER BY near.at DESC, near.id DESC LIMIT 1
        )
        WHERE moisture_reading.job_id = ? AND moisture_reading.air_mk IS NULL
    """
    return {row: (heat, damp) for row, heat, damp in query(sql, job_id)}


def hourly_air(
    bay_ids: Iterable[int], since: int, until: int
) -> dict[int, list[tuple[int, float]]]:
    """Bay's id → each hour of it that was read: (a moment of it, mean in K), oldest first."""
    sql = f"""
        SELECT reading.bay_id, MIN(reading.at), AVG(reading.temperature_mk) FROM reading
        WHERE reading.bay_id IN (?*) AND reading.at BETWEEN ? AND ?
        AND {bays.IN_FORCE} AND {bays.believed()}
        GROUP BY reading.bay_id, reading.at / 3600 ORDER BY MIN(reading.at)
    """
    found: dict[int, list[tuple[int, float]]] = {bay: [] for bay in bay_ids}
    if found:
        for bay, at, mean in query(sql, list(found), since, until):
            found[bay].append((int(at), float(mean) / 1000))
    return found
