"""Proofs of the books: what `cureyard prove` holds the store's rows to.

Each is one question put to the whole store at once, so that a million movements take
seconds, and answers with a sentence for each row that fails it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from .database import reading
from .soundness import guards_stand, references_lead_somewhere, tables_are_the_models

MOST_FINDINGS = 100
"""Sentences that one proof says; a store so broken needs its backup, not a longer list."""

UNITS = {"mass": "mg", "length": "µm", "count": "thousandths of a piece"}


@dataclass(frozen=True)
class Proof:
    """One question's answer: its name, whether the books hold, and where they don't."""

    name: str
    ok: bool
    findings: tuple[str, ...]


Check = Callable[[Any], list[str]]


def prove(db: Any) -> list[Proof]:
    """Put every question to one snapshot of a store."""
    with reading():
        return [_answer(check, db) for check in CHECKS]


def _answer(check: Check, db: Any) -> Proof:
    findings = check(db)
    return Proof(check.__name__.replace("_", " "), not findings, tuple(findings))


def on_hand_is_the_sum(db: Any) -> list[str]:
    """What a lot has on hand is the sum of its movements."""
    sums = "SELECT lot_id, SUM(amount) AS total FROM movement GROUP BY lot_id"
    return [
        f"{lot}: on hand {on_hand} {unit}, its movements make {total}"
        for lot, unit, on_hand, total in _lots(
            db,
            "l.on_hand, COALESCE(m.total, 0)",
            f"LEFT JOIN ({sums}) m ON m.lot_id = l.id",
            "l.on_hand <> COALESCE(m.total, 0)",
        )
    ]


def every_line_carries_on(db: Any) -> list[str]:
    """The on hand that each movement left is the sum of the lot's lines up to it."""
    running = """
        SELECT id, lot_id, on_hand,
            SUM(amount) OVER (PARTITION BY lot_id ORDER BY id) AS total
        FROM movement
    """
    return [
        f"{lot}: movement {line} left {on_hand} {unit} by its row, {total} by the sum"
        for lot, unit, line, on_hand, total in _lots(
            db,
            "m.id, m.on_hand, m.total",
            f"JOIN ({running}) m ON m.lot_id = l.id",
            "m.on_hand <> m.total",
        )
    ]


def nothing_below_zero(db: Any) -> list[str]:
    """No lot has, nor ever had, less than nothing."""
    lines = "SELECT lot_id, MIN(on_hand) AS least FROM movement WHERE on_hand < 0 GROUP BY lot_id"
    return [
        f"{lot}: on hand {on_hand} {unit}, and {least} at its least"
        for lot, unit, on_hand, least in _lots(
            db,
            "l.on_hand, COALESCE(m.least, l.on_hand)",
            f"LEFT JOIN ({lines}) m ON m.lot_id = l.id",
            "l.on_hand < 0 OR m.least < 0",
        )
    ]


def reversals_mirror(db: Any) -> list[str]:
    """Every reversal undoes one line exactly: same lot, the other sign, no reversal itself."""
    return [
        f"{lot}: movement {line} does not mirror movement {original}"
        for lot, _, line, original in _lots(
            db,
            "r.id, r.reverses_id",
            "JOIN movement r ON r.lot_id = l.id LEFT JOIN movement o ON o.id = r.reverses_id",
            """r.reverses_id IS NOT NULL AND (o.id IS NULL OR o.lot_id <> r.lot_id
               OR o.kind = 'reversal' OR o.amount <> -r.amount
               OR COALESCE(o.cost_minor, 0) <> -COALESCE(r.cost_minor, 0))""",
        )
    ]


def costs_add_up(db: Any) -> list[str]:
    """What is left of a lot's cost is what came in less what its movements took."""
    sums = """
        SELECT lot_id, -SUM(cost_minor) AS left_over FROM movement
        WHERE cost_minor IS NOT NULL GROUP BY lot_id
    """
    return [
        f"{lot}: {kept} minor units of its cost are left, by its movements {left}"
        for lot, _, kept, left in _lots(
            db,
            "COALESCE(l.cost_left_minor, 0), COALESCE(m.left_over, 0)",
            f"LEFT JOIN ({sums}) m ON m.lot_id = l.id",
            "COALESCE(l.cost_left_minor, 0) <> COALESCE(m.left_over, 0)",
        )
    ]


def pots_were_drawn(db: Any) -> list[str]:
    """A pot's draws are the resin and the catalyst that it says, or all of them were undone."""
    return [
        f"pot {batch}: {mg} mg of {part} by its row, {taken} mg drawn"
        for batch, part, mg, taken in _rows(db, _POTS)
    ]


_POTS = """
    WITH drawn AS (
        SELECT m.batch_id, l.product_id, -SUM(m.amount) AS mg
        FROM movement m JOIN lot l ON l.id = m.lot_id
        WHERE m.batch_id IS NOT NULL GROUP BY m.batch_id, l.product_id
    ), undone AS (
        SELECT batch_id FROM drawn GROUP BY batch_id HAVING MIN(mg) = 0 AND MAX(mg) = 0
    ), part AS (
        SELECT b.id, 'resin' AS name, b.resin_mg AS mg, l.product_id
        FROM batch b JOIN lot l ON l.id = b.resin_lot_id
        UNION ALL
        SELECT b.id, 'catalyst', b.catalyst_mg, l.product_id
        FROM batch b JOIN lot l ON l.id = b.catalyst_lot_id
        WHERE b.catalyst_mg IS NOT NULL
    )
    SELECT p.id, p.name, p.mg, COALESCE(d.mg, 0) FROM part p
    LEFT JOIN drawn d ON d.batch_id = p.id AND d.product_id = p.product_id
    WHERE COALESCE(d.mg, 0) <> p.mg AND p.id NOT IN (SELECT batch_id FROM undone)
    ORDER BY p.id
"""


def overrides_have_reasons(db: Any) -> list[str]:
    """Whoever overrode a refusal said why."""
    rows = _rows(db, "SELECT id, slug, who FROM override WHERE TRIM(reason) = '' ORDER BY id")
    return [f"override {row} of '{slug}' by {who} has no reason" for row, slug, who in rows]


CHECKS: tuple[Check, ...] = (
    on_hand_is_the_sum,
    every_line_carries_on,
    nothing_below_zero,
    reversals_mirror,
    costs_add_up,
    pots_were_drawn,
    overrides_have_reasons,
    guards_stand,
    references_lead_somewhere,
    tables_are_the_models,
)


def _lots(db: Any, columns: str, joined: str, failing: str) -> Iterator[tuple[Any, ...]]:
    """Lots that fail, each as (its name, its unit, the columns asked for)."""
    sql = f"""
        SELECT l.id, l.number, l.container, p.measure, {columns}
        FROM lot l JOIN product p ON p.id = l.product_id {joined}
        WHERE {failing} ORDER BY l.id
    """  # noqa: S608 (every part of it stands in this module)
    for row_id, number, container, measure, *rest in _rows(db, sql):
        yield (f"lot {row_id} ({number}, container {container})", UNITS[measure], *rest)


def _rows(db: Any, sql: str) -> list[tuple[Any, ...]]:
    rows: list[tuple[Any, ...]] = db.execute_sql(f"{sql} LIMIT {MOST_FINDINGS}").fetchall()
    return rows
