"""What a hand recorded last beside stock, layups and pots: of each kind of record the last one."""

from __future__ import annotations

from typing import Any, Literal, NamedTuple

from .engine.rows import matching, query
from .yard import recorded
from .yard.hands import Hand

JobRecord = Literal[
    "finding", "moisture_reading", "surface_note", "film_test", "weighed_sample", "leak_test"
]
"""A record of a job that its hand may take back."""

Kept = Literal[
    "lot_event", "cup_test", "need", "layup_move", "layup_probe", "signature", "acceptance",
    "plan", "meter", "cure_sheet", "bay_pattern", "sequence",
]  # fmt: skip
"""A record that nobody takes back by its own number: something else is entered over it."""


class LastRecord(NamedTuple):
    """A record that stands.

    Attributes:
        of: the job's number; of what has no job, the thing's own name. place: in the yard's words.
        seen: a word of what it says. at: when it was so, epoch s.
    """

    kind: Any
    id: int
    recorded_at: int
    who: str
    of: str
    place: str | None
    seen: str | None
    at: int


class _How(NamedTuple):
    """How a table is read: joins, and the SQL of `of`, `place`, `seen`, `at`; what stands."""

    joins: str
    of: str
    stands: str = "1 = 1"
    place: str = "NULL"
    seen: str = "NULL"
    at: str = ""


def _of_job(table: str, end: str, seen: str = "NULL", at: str = "at") -> _How:
    stands = f"NOT EXISTS (SELECT 1 FROM {end} AS gone WHERE gone.{table}_id = {table}.id)"
    seen = seen if seen == "NULL" else f"{table}.{seen}"
    joins = f"JOIN job ON job.id = {table}.job_id"
    return _How(joins, "job.number", stands, f"{table}.place", seen, f"{table}.{at}")


_JOB_RECORDS: dict[JobRecord, _How] = {
    "finding": _of_job("finding", "wetness_withdrawal", "kind"),
    "moisture_reading": _of_job("moisture_reading", "wetness_withdrawal"),
    "surface_note": _of_job("surface_note", "wetness_withdrawal", "kind"),
    "film_test": _of_job("film_test", "wetness_withdrawal", at="looked_at"),
    "weighed_sample": _of_job("weighed_sample", "wetness_withdrawal"),
    "leak_test": _of_job("leak_test", "leak_test_end", at="second_at"),
}

_LOT = "JOIN product ON product.id = lot.product_id"
_LOT_NAME = "product.code || '/' || lot.number"

_KEPT: dict[Kept, _How] = {
    "lot_event": _How(
        f"JOIN lot ON lot.id = lot_event.lot_id {_LOT}",
        _LOT_NAME,
        # What a receipt, a draw or a cup test wrote of its lot goes with that.
        "lot_event.kind <> 'not_opened' AND NOT EXISTS (SELECT 1 FROM movement AS moved "
        "WHERE moved.lot_id = lot.id AND moved.recorded_at = lot_event.recorded_at) "
        "AND NOT EXISTS (SELECT 1 FROM cup_test AS cup "
        "WHERE cup.lot_id = lot.id AND cup.recorded_at = lot_event.recorded_at)",
        seen="lot_event.kind",
        at="lot_event.at",
    ),
    "cup_test": _How(f"JOIN lot ON lot.id = cup_test.lot_id {_LOT}", _LOT_NAME, at="cup_test.at"),
    "need": _How(
        "JOIN job ON job.id = need.job_id JOIN product ON product.id = need.product_id",
        "job.number",
        "need.amount > 0 AND NOT EXISTS "
        "(SELECT 1 FROM need AS later WHERE later.replaces_id = need.id)",
        seen="product.code",
    ),
    "layup_move": _How(
        "JOIN bay ON bay.id = layup_move.bay_id",
        "CAST(layup_move.layup_id AS TEXT)",
        "NOT EXISTS (SELECT 1 FROM withdrawal AS gone WHERE gone.layup_id = layup_move.layup_id)",
        seen="bay.code",
        at="layup_move.at",
    ),
    "layup_probe": _How(
        "JOIN bay ON bay.id = layup_probe.bay_id",
        "CAST(layup_probe.layup_id AS TEXT)",
        "NOT EXISTS (SELECT 1 FROM layup_probe_end AS gone "
        "WHERE gone.layup_probe_id = layup_probe.id) AND NOT EXISTS (SELECT 1 FROM withdrawal "
        "AS gone WHERE gone.layup_id = layup_probe.layup_id)",
        seen="bay.code",
    ),
    "signature": _How(
        "JOIN job ON job.id = signature.job_id",
        "job.number",
        "NOT EXISTS (SELECT 1 FROM signature_end AS gone WHERE gone.signature_id = signature.id)",
    ),
    "acceptance": _How("", "CAST(acceptance.movement_id AS TEXT)"),
    "plan": _How("JOIN job ON job.id = plan.job_id", "job.number"),
    "meter": _How("", "meter.code"),
    "cure_sheet": _How("JOIN product ON product.id = cure_sheet.product_id", "product.code"),
    "bay_pattern": _How("JOIN bay ON bay.id = bay_pattern.bay_id", "bay.code"),
    "sequence": _How("", "sequence.name"),
}


def last_of_jobs(by: Hand | str) -> list[LastRecord]:
    """What a hand recorded last of each kind of a job's records, or anybody of a name."""
    return _last(_JOB_RECORDS, by)


def last_kept(by: Hand | str) -> list[LastRecord]:
    """What a hand recorded last of each kind that nobody takes back by its number."""
    return _last(_KEPT, by)


def _last(tables: Any, by: Hand | str) -> list[LastRecord]:
    found = [_last_of(table, how, by) for table, how in tables.items()]
    return [each for each in found if each is not None]


def _last_of(table: str, how: _How, by: Hand | str) -> LastRecord | None:
    where, values = matching(recorded.by(table, by), how.stands)
    at = how.at or f"{table}.recorded_at"
    rows = query(
        f"SELECT {table}.id, {table}.recorded_at, {table}.who, {how.of}, {how.place}, {how.seen}, "
        f"{at} FROM {table} {how.joins} {where} ORDER BY {table}.id DESC LIMIT 1",
        *values,
    )
    return LastRecord(table, *rows[0]) if rows else None
