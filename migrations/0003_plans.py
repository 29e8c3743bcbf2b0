"""A job's chain plan, as it was told: `answer` is JSON, moments in epoch s.

`uses` is JSON too: `{product id: [first day, last day]}` on which the plan lays it.

A plan is never changed; the newest of a job is the one in force, and those before it say
what was moved.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard

PLAN = """
    id {id},
    job_id {int} NOT NULL REFERENCES job (id),
    answer TEXT NOT NULL,
    uses TEXT NOT NULL,
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""


def up(migrator: Any, db: Any) -> None:
    """Create the table of plans, append-only."""
    create_table(db, "plan", PLAN)
    db.execute_sql("CREATE INDEX plan_job ON plan (job_id)")
    guard(db, "plan")


def down(migrator: Any, db: Any) -> None:
    """Drop it: what was planned is forgotten, what was done is not."""
    db.execute_sql("DROP TABLE plan")
