"""Leak tests of a job's bags, and the vacuum that a hand read of the bag on a layup.

Pressures are in Pa below the air, positive; `air_pa` is the air's own pressure where they were
told as absolute ones, else NULL. A test that was taken back has its row in `leak_test_end`.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard, guard_signed, on_sqlite, unguard_signed
from cureyard_migrations.seals import seal_as_found

COLUMNS = ("pressure_pa", "air_pa")
"""Of what a hand saw of a layup: of its bag, where somebody read the gauge."""

WHO = """
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

LEAK_TEST = f"""
    id {{id}},
    job_id {{int}} NOT NULL REFERENCES job (id),
    place TEXT NOT NULL CHECK (place <> ''),
    first_pa {{int}} NOT NULL CHECK (first_pa >= 0),
    first_at {{int}} NOT NULL,
    second_pa {{int}} NOT NULL CHECK (second_pa >= 0 AND second_pa <= first_pa),
    second_at {{int}} NOT NULL CHECK (second_at > first_at),
    air_pa {{int}} CHECK (air_pa >= first_pa),
    note TEXT,
    {WHO}
"""

LEAK_TEST_END = f"""
    id {{id}},
    leak_test_id {{int}} NOT NULL UNIQUE REFERENCES leak_test (id),
    reason TEXT NOT NULL CHECK (reason <> ''),
    {WHO}
"""

SHUT = {
    "leak_test": "NEW.job_id",
    "leak_test_end": "SELECT t.job_id FROM leak_test t WHERE t.id = NEW.leak_test_id",
}
"""Tables that get no row of a signed job, with the job of a new row."""


def up(migrator: Any, db: Any) -> None:
    """Add the columns; create both tables, append-only, and shut by their job's signature."""
    whole = "INTEGER" if on_sqlite(db) else "BIGINT"
    for column in COLUMNS:
        db.execute_sql(f"ALTER TABLE layup_observation ADD COLUMN {column} {whole}")
    seal_as_found(db, 33, ("layup_observation",), ())
    create_table(db, "leak_test", LEAK_TEST)
    db.execute_sql("CREATE INDEX leak_test_job ON leak_test (job_id, id)")
    guard(db, "leak_test")
    create_table(db, "leak_test_end", LEAK_TEST_END)
    guard(db, "leak_test_end", ("o.leak_test_id = NEW.leak_test_id",))
    for table, job in SHUT.items():
        guard_signed(db, table, job)


def down(migrator: Any, db: Any) -> None:
    """Drop them, with their guards: a bag is noted on its layup, without its vacuum."""
    for table in SHUT:
        unguard_signed(db, table)
    db.execute_sql("DROP TABLE leak_test_end")
    db.execute_sql("DROP TABLE leak_test")
    for column in reversed(COLUMNS):
        db.execute_sql(f"ALTER TABLE layup_observation DROP COLUMN {column}")
    seal_as_found(db, 32, ("layup_observation",), ())
