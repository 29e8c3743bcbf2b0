"""A lead's word that a count's difference is accepted; `movement_id` is of the count.

A count acts at once, whoever counted; the acceptance is a row beside it. What was counted before
there were any was accepted by nobody, and stands so.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard

ACCEPTANCE = """
    id {id},
    movement_id {int} NOT NULL UNIQUE REFERENCES movement (id),
    note TEXT,
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""


def up(migrator: Any, db: Any) -> None:
    """Create the table, append-only, and the way to the counts among all movements."""
    create_table(db, "acceptance", ACCEPTANCE)
    db.execute_sql("CREATE INDEX movement_counted ON movement (id) WHERE counted_at IS NOT NULL")
    guard(db, "acceptance", ("o.movement_id = NEW.movement_id",))


def down(migrator: Any, db: Any) -> None:
    """Drop them: counts stand as they did, accepted by nobody."""
    db.execute_sql("DROP INDEX movement_counted")
    db.execute_sql("DROP TABLE acceptance")
