"""Proofs of the books: checks of what must hold for the store's rows.

Each is one question put to the whole store at once, so that a million movements take
seconds, and answers with a sentence for each row that fails it. Each answers for itself: rows that
are missing from one table hide nothing that is wrong in another, so every join is a LEFT JOIN from
the rows that are judged; and a proof that can't be made at all is a finding of its own.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from contextlib import suppress
from itertools import islice
from typing import Any

from cureyard_migrations.dialect import on_sqlite
from peewee import DatabaseError

from ...core import arrays as np
from ...core.arrays import Whole
from ...core.frozen import frozen
from ..engine.database import reading
from ..engine.faults import of_the_moment
from ..engine.sealing import tie_all
from ..yard import heads
from .seals import every_row_is_as_it_was_sealed
from .soundness import guards_stand, references_lead_somewhere, tables_are_the_models

MOST_FINDINGS = 100
"""Sentences that one proof says; a store so broken needs its backup, not a longer list."""

LINES_AT_ONCE = 50_000
"""Of the ledger, that are held in memory."""

_LEDGER = ("id", "lot_id", "amount", "on_hand")

PHOTOGRAPHS_AT_ONCE = 16
"""The same of photographs, of which each may have 2 MB."""

UNITS = {"mass": "mg", "length": "µm", "count": "thousandths of a piece"}


@frozen
class Proof:
    """One question's answer: its name, whether the books hold, and where they don't."""

    name: str
    ok: bool
    findings: tuple[str, ...]


Check = Callable[[Any], list[str]]


def prove(db: Any) -> list[Proof]:
    """Put every question to one snapshot of a store.

    Raises: errors.Busy where the store does not answer; nothing that is in the store.
    """
    with suppress(DatabaseError):  # the proof of the seals then says what is amiss
        tie_all(db)
    with reading():
        return [_answer(check, db) for check in CHECKS]


def contains(db: Any, head: str) -> Proof:
    """Whether the store has grown from what it was at an older head.

    Args:
        head: its first digits, as `heads.digits` reads them.
    """

    def the_store_had_that_head(db: Any) -> list[str]:
        astray = "it never had: it is another store, or what came last was cut off"
        return [] if heads.had(head) else [astray]

    with reading():
        return _answer(the_store_had_that_head, db)


def _answer(check: Check, db: Any) -> Proof:
    try:
        with db.atomic():  # after a fault PostgreSQL answers nothing more in a transaction
            findings = check(db)
    except Exception as error:
        if of_the_moment(error):
            raise
        said = str(error).strip().partition("\n")[0]
        findings = [f"this could not be proved: {said or type(error).__name__}"]
    return Proof(check.__name__.replace("_", " "), not findings, tuple(findings))


def lots_are_the_sum_of_their_lines(db: Any) -> list[str]:
    """A lot's on hand is the sum of its movements; its cost left, what they did not take."""
    sums = """
        SELECT lot_id, SUM(amount) AS total, -SUM(cost_minor) AS unspent
        FROM movement GROUP BY lot_id
    """
    return [
        f"{lot}: on hand {on_hand} {unit} and {kept} of its cost left (minor units); "
        f"its movements make {total} {unit} and {unspent}"
        for lot, unit, on_hand, kept, total, unspent in _lots(
            db,
            "l.on_hand, COALESCE(l.cost_left_minor, 0), "
            "COALESCE(m.total, 0), COALESCE(m.unspent, 0)",
            f"LEFT JOIN ({sums}) m ON m.lot_id = l.id",
            "l.on_hand <> COALESCE(m.total, 0) "
            "OR COALESCE(l.cost_left_minor, 0) <> COALESCE(m.unspent, 0)",
        )
    ]


def every_line_carries_on(db: Any) -> list[str]:
    """The on hand that each movement left is the sum of the lot's lines up to it."""
    amiss = sorted(islice(_off_the_sum(db), MOST_FINDINGS))
    ids = ", ".join(str(lot) for lot, *_ in amiss) or "0"
    names = {key: (lot, unit) for lot, unit, key in _lots(db, "l.id", "", f"l.id IN ({ids})")}
    return [
        f"{lot}: movement {line} left {on_hand} {unit} by its row, {total} by the sum"
        for key, line, on_hand, total in amiss
        for lot, unit in [names.get(key) or _named(key)]
    ]


_Line = tuple[int, int, int, int]
"""Of a line that does not carry on: lot, line, on hand by its row, by the sum."""


def _off_the_sum(db: Any) -> Iterator[_Line]:
    """The lines that don't carry on.

    A plain book that goes through the ledger in its order, in columns: rows one by one take twice
    as long, and a window over a million lines takes SQLite four times as long.
    """
    totals: dict[int, int] = {}
    for columns in _pages(db):
        yield from _off_by_columns(columns, totals)


def _pages(db: Any) -> Iterator[list[Whole]]:
    """The ledger's columns, as many lines at once as are held in memory.

    Raises: ValueError where one holds what is no whole number, which the tables' types refuse.
    """
    if on_sqlite(db):
        texts = ", ".join(f"GROUP_CONCAT({name}, ' ')" for name in _LEDGER)
    else:
        texts = ", ".join(f"STRING_AGG({name}::text, ' ')" for name in _LEDGER)
    sql = f"""
        SELECT MAX(id), {texts} FROM (
            SELECT {", ".join(_LEDGER)} FROM movement WHERE id > {db.param}
            ORDER BY id LIMIT {LINES_AT_ONCE}
        ) AS lines
    """
    last, *found = db.execute_sql(sql, (0,)).fetchone()
    while last is not None:
        columns = [np.fromstring(text or "", np.int64, sep=" ") for text in found]
        if len({len(column) for column in columns}) > 1:  # an aggregate leaves nulls out
            raise ValueError("a movement lacks a number")
        yield columns
        last, *found = db.execute_sql(sql, (last,)).fetchone()


def _off_by_columns(columns: list[Whole], totals: dict[int, int]) -> Iterator[_Line]:
    order = np.lexsort(columns[:2])  # an aggregate need not keep the order
    ids, lot, amount, on_hand = (column[order] for column in columns)
    first = np.flatnonzero(np.concatenate([[True], lot[1:] != lot[:-1]]))
    last = np.append(first[1:], len(lot)) - 1
    run, lots = np.cumsum(amount), lot[first].tolist()
    before = np.array([totals.get(each, 0) for each in lots], np.int64)
    total = run + np.repeat(before - run[first] + amount[first], last - first + 1)
    totals.update(zip(lots, total[last].tolist(), strict=True))
    off = np.flatnonzero(total != on_hand)[:MOST_FINDINGS]
    told = (column[off].tolist() for column in (lot, ids, on_hand, total))
    yield from zip(*told, strict=True)


def nothing_below_zero(db: Any) -> list[str]:
    """No lot has, nor ever had, less than nothing."""
    return [
        f"{lot}: movement {line} left {on_hand} {unit}"
        for lot, unit, line, on_hand in _lines(db, "m.on_hand", "m.on_hand < 0")
    ] + [
        f"{lot}: on hand {on_hand} {unit}"
        for lot, unit, on_hand in _lots(db, "l.on_hand", "", "l.on_hand < 0")
    ]


def reversals_mirror(db: Any) -> list[str]:
    """Every reversal undoes one line exactly: same lot, the other sign, no reversal itself."""
    return [
        f"{lot}: movement {line} does not mirror movement {original}"
        for lot, _, line, original in _lines(
            db,
            "m.reverses_id",
            """m.reverses_id IS NOT NULL
               AND (o.id IS NULL OR o.lot_id <> m.lot_id
               OR o.kind = 'reversal' OR o.amount <> -m.amount
               OR COALESCE(o.cost_minor, 0) <> -COALESCE(m.cost_minor, 0))""",
            "LEFT JOIN movement o ON o.id = m.reverses_id",
        )
    ]


def pots_were_drawn(db: Any) -> list[str]:
    """A pot drew the catalyst that it says, and its resin with what counts as resin.

    Fillers are drawn beyond that, and a pot that was never mixed had all its draws undone.
    """
    return [
        f"pot {batch}: {resin} mg of resin and {catalyst} mg of catalyst by its row; "
        f"{poured} mg of the resin, {dosed} mg of the catalyst, {total} mg in all drawn"
        for batch, resin, catalyst, poured, dosed, total in _rows(db, _POTS)
    ]


_POTS = """
    WITH drawn AS (
        SELECT m.batch_id, l.product_id, -SUM(m.amount) AS mg
        FROM movement m LEFT JOIN lot l ON l.id = m.lot_id
        LEFT JOIN product p ON p.id = l.product_id
        WHERE m.batch_id IS NOT NULL AND COALESCE(p.measure, 'mass') = 'mass'
        GROUP BY m.batch_id, l.product_id
    ), pot AS (
        SELECT b.id, b.resin_mg, COALESCE(b.catalyst_mg, 0) AS catalyst_mg, b.catalyst_lot_id,
            COALESCE(r.mg, 0) AS poured, COALESCE(c.mg, 0) AS dosed, COALESCE(t.mg, 0) AS total
        FROM batch b LEFT JOIN lot rl ON rl.id = b.resin_lot_id
        LEFT JOIN lot cl ON cl.id = b.catalyst_lot_id
        LEFT JOIN drawn r ON r.batch_id = b.id AND r.product_id = rl.product_id
        LEFT JOIN drawn c ON c.batch_id = b.id AND c.product_id = cl.product_id
        LEFT JOIN (SELECT batch_id, SUM(mg) AS mg FROM drawn GROUP BY batch_id) t
            ON t.batch_id = b.id
    )
    SELECT id, resin_mg, catalyst_mg, poured, dosed, total FROM pot
    WHERE NOT (poured = 0 AND dosed = 0 AND total = 0
            AND EXISTS (SELECT 1 FROM movement m WHERE m.batch_id = pot.id))
        AND (poured > resin_mg OR total - dosed < resin_mg
            OR (catalyst_lot_id IS NOT NULL AND dosed <> catalyst_mg))
    ORDER BY id
"""


def overrides_have_reasons(db: Any) -> list[str]:
    """Whoever overrode a refusal said why."""
    rows = _rows(db, "SELECT id, slug, who FROM override WHERE TRIM(reason) = '' ORDER BY id")
    return [f"override {row} of '{slug}' by {who} has no reason" for row, slug, who in rows]


def nothing_reserved_for_a_closed_job(db: Any) -> list[str]:
    """No need was said for a job after it was closed, nor takes another job's place."""
    rows = _rows(db, _NEEDS)
    return [f"need {need} of job {job} {fault}" for need, job, fault in rows]


_NEEDS = """
    SELECT n.id, COALESCE(j.number, '(not there)'), CASE WHEN n.recorded_at > j.closed_at
        THEN 'was said after the job was closed'
        ELSE 'replaces one of another job or product' END
    FROM need n LEFT JOIN job j ON j.id = n.job_id LEFT JOIN need o ON o.id = n.replaces_id
    WHERE n.recorded_at > j.closed_at OR o.job_id <> n.job_id OR o.product_id <> n.product_id
    ORDER BY n.id
"""


def photographs_are_as_they_were_kept(db: Any) -> list[str]:
    """The bytes of each photograph have the digest that was kept with them."""
    findings: list[str] = []
    for row, size, sha256, jpeg in _photographs(db):
        if len(jpeg) != size or hashlib.sha256(jpeg).hexdigest() != sha256:
            findings.append(f"photograph {row}: its bytes are not those that were kept")
            if len(findings) == MOST_FINDINGS:
                break
    return findings


def _photographs(db: Any) -> Iterator[tuple[int, int, str, bytes]]:
    """(id, size, digest, bytes) of all, with a few in memory at a time."""
    sql = f"""
        SELECT id, size_bytes, sha256, jpeg FROM photograph WHERE id > {db.param}
        ORDER BY id LIMIT {PHOTOGRAPHS_AT_ONCE}
    """
    after = 0
    while rows := db.execute_sql(sql, (after,)).fetchall():
        yield from rows
        after = rows[-1][0]


CHECKS: tuple[Check, ...] = (
    lots_are_the_sum_of_their_lines,
    every_line_carries_on,
    nothing_below_zero,
    reversals_mirror,
    pots_were_drawn,
    overrides_have_reasons,
    nothing_reserved_for_a_closed_job,
    photographs_are_as_they_were_kept,
    guards_stand,
    references_lead_somewhere,
    tables_are_the_models,
    every_row_is_as_it_was_sealed,
)


def _lots(db: Any, columns: str, joined: str, failing: str) -> Iterator[tuple[Any, ...]]:
    """Lots that fail, each as (its name, its unit, the columns asked for)."""
    sql = f"""
        SELECT l.id, l.number, l.container, p.measure, {columns}
        FROM lot l LEFT JOIN product p ON p.id = l.product_id {joined}
        WHERE {failing} ORDER BY l.id
    """
    for row_id, number, container, measure, *rest in _rows(db, sql):
        yield (*_named(row_id, number, container, measure), *rest)


def _lines(db: Any, columns: str, failing: str, joined: str = "") -> Iterator[tuple[Any, ...]]:
    """Movements that fail, each as (its lot's name, the unit, its id, the columns asked for)."""
    sql = f"""
        SELECT m.lot_id, l.number, l.container, p.measure, m.id, {columns}
        FROM movement m LEFT JOIN lot l ON l.id = m.lot_id
        LEFT JOIN product p ON p.id = l.product_id {joined}
        WHERE {failing} ORDER BY m.id
    """
    for row_id, number, container, measure, *rest in _rows(db, sql):
        yield (*_named(row_id, number, container, measure), *rest)


def _named(
    row_id: int,
    number: str | None = None,
    container: str | None = None,
    measure: str | None = None,
) -> tuple[str, str]:
    """A lot's name and its unit, as far as its row and its product's are there."""
    told = "not there" if number is None else f"{number}, container {container}"
    return f"lot {row_id} ({told})", UNITS.get(measure or "", "of its unit")


def _rows(db: Any, sql: str) -> list[tuple[Any, ...]]:
    rows: list[tuple[Any, ...]] = db.execute_sql(f"{sql} LIMIT {MOST_FINDINGS}").fetchall()
    return rows
