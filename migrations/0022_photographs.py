"""Photographs of jobs, layups and lots, and that one may be taken back.

A photograph is a JPEG that the service itself has written: without the phone's position, its name
or the moment. Its bytes come last in the row, so that what is listed does not read them.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard, on_sqlite

WHO = """
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

OF = ("job", "layup", "lot")
"""What a photograph is of: one of these."""

TAKEN_BACK = ("layup", "layup_observation", "batch_observation", "reading")
"""The tables of which a row was taken back until now."""


def _one_of(names: tuple[str, ...]) -> str:
    given = " + ".join(f"CASE WHEN {name}_id IS NULL THEN 0 ELSE 1 END" for name in names)
    return f"CHECK ({given} = 1)"


PHOTOGRAPH = f"""
    id {{id}},
    {"".join(f"{name}_id {{int}} REFERENCES {name} (id), " for name in OF)}
    shows TEXT NOT NULL CHECK (shows <> ''),
    width_px {{int}} NOT NULL CHECK (width_px > 0),
    height_px {{int}} NOT NULL CHECK (height_px > 0),
    size_bytes {{int}} NOT NULL,
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
    {WHO},
    jpeg {{bytes}} NOT NULL,
    {_one_of(OF)},
    CHECK (length(jpeg) = size_bytes)
"""


def _withdrawal(names: tuple[str, ...]) -> str:
    columns = "".join(f"{name}_id {{int}} UNIQUE REFERENCES {name} (id), " for name in names)
    reason = "reason TEXT NOT NULL CHECK (reason <> '')"
    return f"id {{id}}, {columns} {reason}, {WHO}, {_one_of(names)}"


def up(migrator: Any, db: Any) -> None:
    """Create the table, append-only, and let a withdrawal name a photograph."""
    kind = "BLOB" if on_sqlite(db) else "BYTEA"
    create_table(db, "photograph", PHOTOGRAPH.replace("{bytes}", kind))
    for name in OF:
        db.execute_sql(f"CREATE INDEX photograph_{name} ON photograph ({name}_id, id)")
    guard(db, "photograph")
    if on_sqlite(db):
        _copy(db, (*TAKEN_BACK, "photograph"))
        return
    # JPEG does not get smaller: do not try.
    db.execute_sql("ALTER TABLE photograph ALTER COLUMN jpeg SET STORAGE EXTERNAL")
    db.execute_sql("ALTER TABLE withdrawal DROP CONSTRAINT withdrawal_check")
    db.execute_sql(
        "ALTER TABLE withdrawal ADD COLUMN photograph_id BIGINT UNIQUE REFERENCES photograph (id)"
    )
    one = _one_of((*TAKEN_BACK, "photograph"))
    db.execute_sql(f"ALTER TABLE withdrawal ADD CONSTRAINT withdrawal_check {one}")


def down(migrator: Any, db: Any) -> None:
    """Drop the photographs, and that some were taken back."""
    if on_sqlite(db):
        _copy(db, TAKEN_BACK)
    else:
        db.execute_sql("ALTER TABLE withdrawal DISABLE TRIGGER withdrawal_no_delete")
        db.execute_sql("DELETE FROM withdrawal WHERE photograph_id IS NOT NULL")
        db.execute_sql("ALTER TABLE withdrawal ENABLE TRIGGER withdrawal_no_delete")
        db.execute_sql("ALTER TABLE withdrawal DROP CONSTRAINT withdrawal_check")
        db.execute_sql("ALTER TABLE withdrawal DROP COLUMN photograph_id")
        one = _one_of(TAKEN_BACK)
        db.execute_sql(f"ALTER TABLE withdrawal ADD CONSTRAINT withdrawal_check {one}")
    db.execute_sql("DROP TABLE photograph")


def _copy(db: Any, names: tuple[str, ...]) -> None:
    """SQLite changes no constraint: the rows go into a new table, with its guards."""
    create_table(db, "withdrawal_new", _withdrawal(names))
    kept = [f"{name}_id" for name in TAKEN_BACK]
    columns = ", ".join(("id", *kept, "reason", "recorded_at", "who", "verified"))
    some = " OR ".join(f"{name} IS NOT NULL" for name in kept)
    db.execute_sql(
        f"INSERT INTO withdrawal_new ({columns}) "  # noqa: S608 (our own words)
        f"SELECT {columns} FROM withdrawal WHERE {some}"
    )
    db.execute_sql("DROP TABLE withdrawal")
    db.execute_sql("ALTER TABLE withdrawal_new RENAME TO withdrawal")
    guard(db, "withdrawal", [f"o.{name}_id = NEW.{name}_id" for name in names])
