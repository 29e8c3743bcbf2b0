"""Which finding a photograph of a job shows; and sequences of steps that are kept by name.

The photograph stays one of the job: what is guarded, sealed and taken back of it is as it was. Of a
sequence the newest row of its name counts; `steps` is JSON.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard, guard_signed, unguard_signed

FINDING_PHOTOGRAPH = """
    id {id},
    finding_id {int} NOT NULL REFERENCES finding (id),
    photograph_id {int} NOT NULL UNIQUE REFERENCES photograph (id),
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

SEQUENCE = """
    id {id},
    name TEXT NOT NULL CHECK (name <> ''),
    name_key TEXT NOT NULL,
    steps TEXT NOT NULL,
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

OF = "SELECT f.job_id FROM finding f WHERE f.id = NEW.finding_id"


def up(migrator: Any, db: Any) -> None:
    """Create both tables, append-only, and shut the first for a job that is signed."""
    create_table(db, "finding_photograph", FINDING_PHOTOGRAPH)
    db.execute_sql("CREATE INDEX finding_photograph_finding ON finding_photograph (finding_id, id)")
    guard(db, "finding_photograph", ("o.photograph_id = NEW.photograph_id",))
    guard_signed(db, "finding_photograph", OF)
    create_table(db, "sequence", SEQUENCE)
    db.execute_sql("CREATE INDEX sequence_name ON sequence (name_key, id)")
    guard(db, "sequence")


def down(migrator: Any, db: Any) -> None:
    """Drop both: the photographs stay with their jobs."""
    db.execute_sql("DROP TABLE sequence")
    unguard_signed(db, "finding_photograph")
    db.execute_sql("DROP TABLE finding_photograph")
