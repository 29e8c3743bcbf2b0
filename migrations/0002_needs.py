"""What a job will take: its needs.

`amount` is in the base unit of the product's measure, and 0 where a need was withdrawn.
`pieces` is JSON: `[[length in µm, count], …]` of a need that is cut from rolls.
`drawn_after` is the ledger's last line when the need was first said: what the job drew
before that was for something else.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard

NEED = """
    id {id},
    job_id {int} NOT NULL REFERENCES job (id),
    product_id {int} NOT NULL REFERENCES product (id),
    amount {int} NOT NULL CHECK (amount >= 0),
    pieces TEXT,
    by_on TEXT CHECK (by_on LIKE '____-__-__'),
    drawn_after {int} NOT NULL CHECK (drawn_after >= 0),
    replaces_id {int} UNIQUE REFERENCES need (id) CHECK (replaces_id < id),
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1)),
    CHECK (amount > 0 OR replaces_id IS NOT NULL)
"""


def up(migrator: Any, db: Any) -> None:
    """Create the table of needs, append-only."""
    create_table(db, "need", NEED)
    db.execute_sql("CREATE INDEX need_job ON need (job_id)")
    db.execute_sql("CREATE INDEX need_product ON need (product_id)")
    guard(db, "need", ("o.replaces_id = NEW.replaces_id",))


def down(migrator: Any, db: Any) -> None:
    """Drop it: every job goes on without reservations; the ledger is untouched."""
    db.execute_sql("DROP TABLE need")
