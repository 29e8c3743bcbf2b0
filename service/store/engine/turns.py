"""Whose turn it is to write: the locks that a write takes on PostgreSQL, in this order.

1. The yard. What hands do all day takes it beside others. What is rare takes it alone: settings,
   products, bays, jobs, needs, signatures, tokens, imports. So whatever the daily acts read of
   these stays as it is until they end.
2. The clock. What milestones rest on (layups, what was seen, readings) is written by one at a time:
   a store's revision counts on ids that appear in their order, see `revisions`.
3. The request's key, so that its twin waits for the first answer.
4. Rows: jobs by their ids, then lots by theirs, then a bay. An act locks them before it reads what
   it decides on, all jobs at once and all lots at once.

Who keeps to the order never waits in a ring. SQLite lets one write at a time, so there nothing of
this is done, and neither is it for a write that has the yard alone.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable
from enum import IntEnum
from hashlib import sha256
from typing import Any

from .columns import LARGEST

_YARD, _CLOCK, _KEYS = 4_785_327_002, 4_785_327_004, 4_785_327
"""Any numbers that nothing else in the database locks; a key's lock has two."""

_BEGIN = """
    SELECT set_config('lock_timeout', %s, true), {locks},
        CASE current_setting('synchronous_commit') WHEN 'off'
            THEN set_config('synchronous_commit', 'on', true) END
"""
"""What was answered is on the disk: PostgreSQL's manual ('Write Ahead Log', under 'Server
Configuration') says of `synchronous_commit` that success is reported once the log is flushed unless
it is off, which a role or a database may have; so a write turns it on. Of `fsync` it says that a
power cut may damage everything where that is off; it is the server's own to set.
"""

_ROWS = "SELECT id FROM {table} WHERE id = ANY({ids}) ORDER BY id FOR NO KEY UPDATE"
"""Rows that others may go on to name, but not to change."""

_STOCKED = """ARRAY(
    SELECT lot.id FROM lot JOIN product ON product.id = lot.product_id
    WHERE product.code_key = ANY(%s) AND lot.on_hand > 0
)"""

_TO_DRAW = """ARRAY(
    SELECT %s UNION SELECT other.id FROM lot JOIN lot AS other ON other.product_id = lot.product_id
    WHERE lot.id = %s AND other.on_hand > 0 AND EXISTS (
        SELECT 1 FROM need JOIN job ON job.id = need.job_id
        WHERE need.product_id = lot.product_id AND job.closed_at IS NULL
    )
)"""


class Turn(IntEnum):
    """How a write has the yard; a greater one does for an act that asks for less."""

    BESIDE = 1
    CLOCK = 2
    ALONE = 3


_thread = threading.local()


def wait(db: Any, turn: Turn, key: str | None) -> None:
    """Begin a write: wait until it is its turn, for as long as the store is patient.

    Args:
        key: of the request that it answers, if it has one.
    """
    values: list[Any] = [f"{db.timeout:.3f}s"]
    if turn is Turn.ALONE:
        locks = [f"pg_advisory_xact_lock({_YARD})"]
    else:
        locks = [f"pg_advisory_xact_lock_shared({_YARD})"]
        if turn is Turn.CLOCK:
            locks.append(f"pg_advisory_xact_lock({_CLOCK})")
        if key is not None:
            locks.append(f"pg_advisory_xact_lock({_KEYS}, %s)")
            values.append(int.from_bytes(sha256(key.encode()).digest()[:4], "big", signed=True))
    db.execute_sql(_BEGIN.format(locks=", ".join(locks)), values)
    _thread.rows_of = None if turn is Turn.ALONE else db


def over() -> None:
    """The write has ended, and its locks with it."""
    _thread.rows_of = None


def by_rows() -> bool:
    """Whether this write has to lock the rows that it decides on."""
    return getattr(_thread, "rows_of", None) is not None


def lock_jobs(ids: Iterable[int]) -> None:
    """Wait until nobody else has these jobs."""
    _lock("job", "%s", list(ids))


def lock_lots(ids: Iterable[int]) -> None:
    """Wait until nobody else has these lots."""
    _lock("lot", "%s", [each for each in ids if 0 < each <= LARGEST])


def lock_bay(bay_id: int) -> None:
    """Wait until nobody else brings anything into a bay: what must not stand together is told."""
    _lock("bay", "%s", [bay_id])


def lock_to_draw(lot_id: int) -> None:
    """Wait until nobody else has a lot.

    Where open jobs need its product, what another lot has decides what may be drawn of this one;
    so then all lots of the product that have something in them.
    """
    if 0 < lot_id <= LARGEST:
        _lock("lot", _TO_DRAW, lot_id, lot_id)


def lock_stock(codes: Iterable[str]) -> None:
    """Wait until nobody else has a lot with something in it of the products with these codes."""
    _lock("lot", _STOCKED, [code.casefold() for code in codes])


def _lock(table: str, ids: str, *values: Any) -> None:
    if by_rows():
        _thread.rows_of.execute_sql(_ROWS.format(table=table, ids=ids), values)
