"""Bays, what they are taken to be, and what was measured in them, as known at a moment."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from types import NoneType
from typing import Any, NamedTuple

from peewee import chunked

from . import tables
from .engine.columns import LARGEST
from .engine.database import db
from .engine.rows import Reader, exists, insert, matching, query
from .lookup import key_of
from .yard import recorded, withdrawals
from .yard.hands import Hand

ROWS_A_STATEMENT = 2000
"""Times thirteen columns, within what both databases bind at once."""


class Bay(NamedTuple):
    """A place with its own temperature; `checked_on` is of its thermometer."""

    id: int
    code: str
    code_key: str
    title: str
    uncertainty_mk: int
    gap_max_s: int
    made_at: int
    version: int
    checked_on: date | None
    in_the_open: bool


class BayPattern(NamedTuple):
    """What a bay is taken to be by day and by night, from a moment on."""

    id: int
    bay_id: int
    at: int
    day_mk: int
    night_mk: int
    day_from: str
    day_until: str


class Reading(NamedTuple):
    """A bay's temperature at a moment, or the correction of one.

    `doubt` says why a probe's reading is not believed, and `level_from` since when the probe is
    near that level; on one without a doubt, the beginning of the level that it confirms.
    """

    id: int
    bay_id: int
    at: int
    temperature_mk: int
    humidity_ppm: int | None
    replaces_id: int | None
    reason: str | None
    recorded_at: int
    who: str
    verified: bool
    probe: bool
    doubt: str | None
    level_from: int | None


class Measured(NamedTuple):
    """A reading in force: moment in epoch seconds, millikelvin, humidity in ppm or None.

    `probe` is 1 where a probe sent it.
    """

    id: int
    at: int
    temperature_mk: int
    humidity_ppm: int | None
    recorded_at: int
    probe: int


_BAYS = Reader(Bay, tables.Bay)
_PATTERNS = Reader(BayPattern, tables.BayPattern)
_READINGS = Reader(Reading, tables.Reading)

bay = _BAYS.of_id
find_bays = _BAYS.by_ids


def find_bay(code: str) -> Bay | None:
    """The bay with a code, whatever its case, or None."""
    return _BAYS.first("WHERE bay.code_key = ?", key_of(code))


def all_bays() -> list[Bay]:
    """Every bay, by age."""
    return _BAYS.all("ORDER BY bay.id")


def only_bay() -> Bay | None:
    """The yard's bay where it has one alone, or None."""
    found = _BAYS.all("ORDER BY bay.id LIMIT 2")
    return found[0] if len(found) == 1 else None


def page(after: int | None, limit: int) -> list[Bay]:
    """Bays by age, after the one with that id."""
    return _BAYS.all("WHERE bay.id > ? ORDER BY bay.id LIMIT ?", after or 0, limit)


def add(code: str, **columns: Any) -> Bay:
    """Add a bay; `columns` by their names."""
    return _BAYS.of_id(insert(tables.Bay, code=code, code_key=key_of(code), **columns))


def change(bay_id: int, **columns: Any) -> None:
    """Set columns of a bay and raise its version."""
    changes = tables.Bay.update(version=tables.Bay.version + 1, **columns)
    changes.where(tables.Bay.id == bay_id).execute()


def add_pattern(bay_id: int, **columns: Any) -> None:
    """Say what a bay is taken to be from a moment on; `columns` by their names."""
    insert(tables.BayPattern, bay_id=bay_id, **columns)


def patterns(bay_id: int, as_known_at: int | None = None) -> list[BayPattern]:
    """A bay's patterns by the moment from which each holds; the last of a moment counts.

    Args:
        as_known_at: epoch seconds; without it, as known now.
    """
    return patterns_of([bay_id], as_known_at)[bay_id]


def patterns_of(
    bay_ids: Sequence[int], as_known_at: int | None = None
) -> dict[int, list[BayPattern]]:
    """As `patterns`, by bay; a bay told of later has none."""
    rest = """
        WHERE bay_pattern.bay_id IN (?*) AND bay_pattern.recorded_at <= ?
        ORDER BY bay_pattern.at, bay_pattern.id
    """
    known = LARGEST if as_known_at is None else as_known_at
    found: dict[int, dict[int, BayPattern]] = {bay: {} for bay in bay_ids}
    for row in _PATTERNS.all(rest, list(bay_ids), known):
        found[row.bay_id][row.at] = row
    return {bay: list(by_moment.values()) for bay, by_moment in found.items()}


def believed(as_known_at: int | None = None, alias: str = "reading") -> str:
    """The SQL condition that a reading is believed: it was not doubted, or was confirmed since.

    Whoever works with readings asks this; only lists of what is on record do not.
    """
    known = LARGEST if as_known_at is None else as_known_at
    return f"""({alias}.doubt IS NULL OR ({alias}.doubt = 'jumped' AND EXISTS (
        SELECT 1 FROM reading AS proof WHERE proof.bay_id = {alias}.bay_id
        AND proof.doubt IS NULL AND proof.level_from <= {alias}.at AND proof.at > {alias}.at
        AND proof.recorded_at <= {known:d}
        AND {withdrawals.standing("reading", as_known_at, alias="proof")}
    )))"""


def readings(
    bay_id: int,
    since: int,
    until: int,
    as_known_at: int | None = None,
    *,
    doubted: bool = False,
) -> list[Measured]:
    """A bay's believed readings in force from one moment to another, both included, oldest first.

    Args:
        since, until, as_known_at: epoch seconds; without the last, as known now.
        doubted: also those that are not believed.
    """
    return readings_of([bay_id], since, until, as_known_at, doubted=doubted)[bay_id]


def readings_of(
    bay_ids: Sequence[int],
    since: int,
    until: int,
    as_known_at: int | None = None,
    *,
    doubted: bool = False,
) -> dict[int, list[Measured]]:
    """As `readings`, by bay, in one query."""
    trusted = "" if doubted else f"AND {believed(as_known_at)}"
    sql = f"""
        SELECT id, at, temperature_mk, humidity_ppm, recorded_at, probe, bay_id FROM reading
        WHERE bay_id IN (?*) AND at BETWEEN ? AND ? AND recorded_at <= ?
        AND {withdrawals.standing("reading", as_known_at)} {trusted} ORDER BY at, id
    """
    known = LARGEST if as_known_at is None else as_known_at
    last: dict[int, dict[int, Measured]] = {bay: {} for bay in bay_ids}
    for *row, bay in query(sql, list(bay_ids), since, until, known):
        last[bay][row[1]] = Measured(*row)  # the last word of a moment counts
    return {bay: list(by_moment.values()) for bay, by_moment in last.items()}


def hourly_means(
    bay_ids: Sequence[int], back: int, as_known_at: int | None = None
) -> dict[int, list[tuple[int, float]]]:
    """Each bay's last hours with readings: (a moment of the hour, mean in mK), oldest first.

    Only those since its pattern was last changed: a hand may know better than the log.

    Args:
        back: how long before the bay's last reading, s.
    """
    known = LARGEST if as_known_at is None else as_known_at
    found: dict[int, list[tuple[int, float]]] = {bay: [] for bay in bay_ids}
    begins = _begins(bay_ids, back, known)
    if not begins:
        return found
    sql = f"""
        SELECT reading.bay_id, MIN(reading.at), AVG(reading.temperature_mk) FROM reading
        WHERE reading.bay_id IN (?*) AND reading.recorded_at <= ? AND reading.at >= ?
        AND reading.at >= CASE reading.bay_id {" ".join("WHEN ? THEN ?" for _ in begins)} END
        AND {withdrawals.standing("reading", as_known_at)} AND {believed(as_known_at)}
        AND NOT EXISTS (
            SELECT 1 FROM reading AS later
            WHERE later.bay_id = reading.bay_id AND later.at = reading.at
            AND later.id > reading.id AND later.recorded_at <= ?
            AND {withdrawals.standing("reading", as_known_at, alias="later")}
        )
        GROUP BY reading.bay_id, reading.at / 3600 ORDER BY reading.bay_id, MIN(reading.at)
    """
    bounds = [value for pair in begins.items() for value in pair]
    rows = query(sql, list(begins), known, min(begins.values()), *bounds, known)
    for bay_id, moment, mean in rows:
        found[bay_id].append((int(moment), float(mean)))
    return found


def _begins(bay_ids: Sequence[int], back: int, known: int) -> dict[int, int]:
    """From when the readings of each bay count in its means, epoch s; of one without any, none.

    It is asked for beforehand: then the readings themselves are found by an index.
    """
    sql = """
        SELECT bay.id, (
            SELECT newest.at FROM reading AS newest
            WHERE newest.bay_id = bay.id AND newest.recorded_at <= ?
            ORDER BY newest.at DESC LIMIT 1
        ), COALESCE((
            SELECT MAX(changed.at) FROM bay_pattern AS changed
            WHERE changed.bay_id = bay.id AND changed.recorded_at <= ?
            AND EXISTS (
                SELECT 1 FROM bay_pattern AS before
                WHERE before.bay_id = changed.bay_id AND before.id < changed.id
            )
        ), 0)
        FROM bay WHERE bay.id IN (?*)
    """
    return {
        int(bay): max(int(last) - back + 1, int(changed))
        for bay, last, changed in query(sql, known, known, list(bay_ids))
        if last is not None
    }


def latest_readings(bay_ids: Sequence[int], *, doubted: bool = False) -> dict[int, Reading]:
    """The last believed reading in force of each of some bays, by bay; of one without any, none.

    Args:
        doubted: also one that is not believed.
    """
    kept = withdrawals.standing("reading", alias="r")
    kept += "" if doubted else f" AND {believed(alias='r')}"
    rest = f"""
        WHERE reading.id IN (
            SELECT (
                SELECT r.id FROM reading AS r WHERE r.bay_id = bay.id AND {kept}
                ORDER BY r.at DESC, r.id DESC LIMIT 1
            ) FROM bay WHERE bay.id IN (?*)
        )
    """
    return {row.bay_id: row for row in _READINGS.all(rest, list(bay_ids))}


IN_FORCE = f"""
    {withdrawals.standing("reading")} AND NOT EXISTS (
        SELECT 1 FROM reading AS later
        WHERE later.bay_id = reading.bay_id AND later.at = reading.at AND later.id > reading.id
        AND {withdrawals.standing("reading", alias="later")}
    )
"""
"""The SQL condition that a reading is the last word of its moment, and was not taken back."""


def in_force(bay_id: int, since: int, until: int) -> list[Reading]:
    """A bay's readings in force from one moment to another, doubted ones too, oldest first."""
    where = "WHERE reading.bay_id = ? AND reading.at BETWEEN ? AND ?"
    return _READINGS.all(f"{where} AND {IN_FORCE} ORDER BY reading.at", bay_id, since, until)


def last_before(bay_id: int, moment: int, *, undoubted: bool) -> Reading | None:
    """A bay's last reading in force before a moment.

    Args:
        undoubted: only one that was never doubted.
    """
    where = "WHERE reading.bay_id = ? AND reading.at < ?" + " AND doubt IS NULL" * undoubted
    return _READINGS.first(f"{where} AND {IN_FORCE} ORDER BY reading.at DESC", bay_id, moment)


def last_read_by_hand(bay_id: int, moment: int) -> int | None:
    """When a hand last read a bay before a moment, epoch s."""
    where = "WHERE reading.bay_id = ? AND reading.at < ? AND reading.probe = 0"
    row = _READINGS.first(f"{where} AND {IN_FORCE} ORDER BY reading.at DESC", bay_id, moment)
    return None if row is None else row.at


def unbelieved(ids: Iterable[int]) -> set[int]:
    """Those of some readings that are not believed."""
    wanted = list(ids)
    sql = f"SELECT reading.id FROM reading WHERE reading.id IN (?*) AND NOT {believed()}"
    return {row[0] for row in query(sql, wanted)} if wanted else set()


def doubts(bay_id: int) -> dict[int, str]:
    """Reading's id → why it is not believed, of those of a bay that are not."""
    sql = "SELECT reading.id, reading.doubt FROM reading WHERE reading.bay_id = ?"
    return dict(query(f"{sql} AND reading.doubt IS NOT NULL AND NOT {believed()}", bay_id))


def probe_moments(bay_ids: Sequence[int], most: int) -> dict[int, list[int]]:
    """Bay's id → the moments of its probe's last readings, oldest first; of one without any, none.

    What was taken back or is doubted counts: the probe spoke.

    Args:
        most: how many.
    """
    sql = """
        SELECT reading.bay_id, reading.at FROM bay JOIN reading ON reading.bay_id = bay.id
        WHERE bay.id IN (?*) AND reading.probe = 1 AND reading.at >= COALESCE((
            SELECT back.at FROM reading AS back WHERE back.bay_id = bay.id AND back.probe = 1
            ORDER BY back.at DESC LIMIT 1 OFFSET ?
        ), 0) ORDER BY reading.at
    """
    found: dict[int, list[int]] = {}
    for bay_id, moment in query(sql, list(bay_ids), most - 1):
        found.setdefault(bay_id, []).append(moment)
    return found


def is_in_force(reading_id: int) -> bool:
    """Whether a reading is the last word of its moment, and was not taken back."""
    return exists(f"SELECT 1 FROM reading WHERE id = ? AND {IN_FORCE}", reading_id)


def last_entered(by: Hand | str) -> Reading | None:
    """The last reading in force that a hand recorded, or anybody of a name; or None."""
    where, values = matching(recorded.by("reading", by), IN_FORCE)
    return _READINGS.first(f"{where} ORDER BY reading.id DESC", *values)


def find_reading(reading_id: int) -> Reading | None:
    """The reading with an id, or None."""
    return _READINGS.by_id(reading_id)


def find_readings(ids: Iterable[int]) -> list[Reading]:
    """The readings that have one of some ids."""
    return _READINGS.by_ids(ids)


def entered_with(row: Reading) -> list[Reading]:
    """The readings in force of a bay that one hand entered at one moment, as a logger's file."""
    same = "WHERE reading.bay_id = ? AND reading.recorded_at = ? AND reading.who = ?"
    rest = f"{same} AND reading.verified = ? AND {IN_FORCE} ORDER BY reading.at"
    return _READINGS.all(rest, row.bay_id, row.recorded_at, row.who, row.verified)


def entries(bay_id: int, after: int | None, limit: int) -> list[Reading]:
    """Every reading on record of a bay, the last recorded first, after the one with that id."""
    rest = "WHERE reading.bay_id = ? AND reading.id < ? ORDER BY reading.id DESC LIMIT ?"
    return _READINGS.all(rest, bay_id, LARGEST if after is None else after, limit)


def humidity_near(bay_id: int, moment: int, within: int) -> Reading | None:
    """A bay's last reading with a humidity, at most `within` seconds before a moment."""
    read = readings(bay_id, moment - within, moment)
    damp = [each.id for each in read if each.humidity_ppm is not None]
    return _READINGS.of_id(damp[-1]) if damp else None


def taken_back(bay_id: int, since: int, until: int) -> dict[int, int]:
    """Moment → its last reading's id, of each moment of a bay at which one was taken back."""
    sql = """
        SELECT at, MAX(id) FROM reading WHERE bay_id = ? AND at IN (
            SELECT taken.at FROM withdrawal JOIN reading AS taken
            ON taken.id = withdrawal.reading_id
            WHERE taken.bay_id = ? AND taken.at BETWEEN ? AND ?
        ) GROUP BY at
    """
    return dict(query(sql, bay_id, bay_id, since, until))


def last_entries() -> tuple[int, int]:
    """The ids of the last reading, and of the last withdrawal, in any bay; 0 for none."""
    sql = "SELECT COALESCE((SELECT MAX(id) FROM reading), 0), COALESCE(MAX(id), 0) FROM withdrawal"
    ((reading, withdrawal),) = query(sql)
    return int(reading), int(withdrawal)


def measured_after(
    bay_id: int, after: Measured | None, limit: int, *, until: tuple[int, int]
) -> list[Measured]:
    """A bay's readings that were not taken back, by moment and id, after one of them.

    Args:
        until: as `last_entries` found it: what came later is left out, so that pages fit together.
    """
    sql = """
        SELECT id, at, temperature_mk, humidity_ppm, recorded_at, probe FROM reading
        WHERE bay_id = ? AND (at, id) > (?, ?) AND id <= ? AND NOT EXISTS (
            SELECT 1 FROM withdrawal
            WHERE withdrawal.reading_id = reading.id AND withdrawal.id <= ?
        ) ORDER BY at, id LIMIT ?
    """
    at, row_id = (-1, 0) if after is None else (after.at, after.id)
    return [Measured(*row) for row in query(sql, bay_id, at, row_id, *until, limit)]


def write_readings(rows: list[dict[str, Any]]) -> None:
    """Write readings, many a statement: a logger's file is tens of thousands of them.

    Args:
        rows: alike, each a value by its column's name: whole numbers, texts, flags, nulls.
    """
    if not rows:
        return
    names = ", ".join(f'"{name}"' for name in rows[0])
    line = f"({', '.join([db.param] * len(rows[0]))})"
    for part in chunked(rows, ROWS_A_STATEMENT):
        lines = ", ".join([line] * len(part))
        given = (value for row in part for value in row.values())
        values = [int(value) if type(value) is bool else value for value in given]
        if not set(map(type, values)) <= {int, str, NoneType}:  # as the columns have it
            raise TypeError("a reading holds whole numbers, texts, flags and nulls")
        db.execute_sql(f'INSERT INTO "reading" ({names}) VALUES {lines}', values)
