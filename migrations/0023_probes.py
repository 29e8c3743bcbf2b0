"""Probes: tokens of sensors, readings that a probe sent by itself, and those that jumped.

A sensor's token is of one bay. `reading.probe` tells a probe from a hand. A reading of a probe that
can't be believed has its `doubt`, and `level_from` says since when the probe stays near that level;
on a reading without a doubt it is the first moment of the level that this one confirms.
`yard.jump_mk` is the most that a probe may change in a minute.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard, guard_names, on_sqlite

ROLES = ("viewer", "hand", "lead", "admin")

KEPT = """
    id {{id}},
    name TEXT NOT NULL,
    role TEXT NOT NULL CHECK (role IN ({roles})),
    secret_hash TEXT NOT NULL UNIQUE CHECK (length(secret_hash) = 64),
    page_hash TEXT NOT NULL UNIQUE CHECK (length(page_hash) = 64),
    recorded_at {{int}} NOT NULL,
    who TEXT NOT NULL,
    verified {{int}} NOT NULL CHECK (verified IN (0, 1)){bay}
"""
COLUMNS = "id, name, role, secret_hash, page_hash, recorded_at, who, verified"
HASHES = ("o.secret_hash = NEW.secret_hash", "o.page_hash = NEW.page_hash")
OF_A_SENSOR = "(role = 'sensor') = (bay_id IS NOT NULL)"

READING = (
    ("probe", "{int} NOT NULL DEFAULT 0 CHECK (probe IN (0, 1))"),
    ("doubt", "TEXT CHECK (doubt IN ('jumped', 'beyond'))"),
    ("level_from", "{int}"),
)
INDEXES = {
    "reading_probe": "reading (bay_id, at) WHERE probe = 1",
    "reading_proof": "reading (bay_id, at) WHERE doubt IS NULL AND level_from IS NOT NULL",
}


def up(migrator: Any, db: Any) -> None:
    """Add the role, the columns and their indexes; what was read before was read by hands."""
    whole = "INTEGER" if on_sqlite(db) else "BIGINT"
    roles = _listed((*ROLES, "sensor"))
    if on_sqlite(db):
        bay = f",\n    bay_id {{int}} REFERENCES bay (id),\n    CHECK ({OF_A_SENSOR})"
        _copy_tokens(db, KEPT.format(roles=roles, bay=bay))
    else:
        db.execute_sql("ALTER TABLE token ADD COLUMN bay_id BIGINT REFERENCES bay (id)")
        _check_roles(db, roles)
        db.execute_sql(f"ALTER TABLE token ADD CONSTRAINT token_bay_check CHECK ({OF_A_SENSOR})")
    for name, kind in READING:
        db.execute_sql(f"ALTER TABLE reading ADD COLUMN {name} {kind.format(int=whole)}")
    for name, on in INDEXES.items():
        db.execute_sql(f"CREATE INDEX {name} ON {on}")
    db.execute_sql(
        f"ALTER TABLE yard ADD COLUMN jump_mk {whole} NOT NULL DEFAULT 3000 CHECK (jump_mk > 0)"
    )


def down(migrator: Any, db: Any) -> None:
    """Drop them, and the tokens of sensors. What is doubted would count: it is taken back."""
    db.execute_sql("ALTER TABLE yard DROP COLUMN jump_mk")
    for name in INDEXES:
        db.execute_sql(f"DROP INDEX {name}")
    db.execute_sql(TAKE_BACK)
    for name, _ in reversed(READING):
        db.execute_sql(f"ALTER TABLE reading DROP COLUMN {name}")
    of_sensors = "SELECT id FROM token WHERE role = 'sensor'"
    _delete(db, "token_end", f"token_id IN ({of_sensors})")
    _delete(db, "token", "role = 'sensor'")
    if on_sqlite(db):
        _copy_tokens(db, KEPT.format(roles=_listed(ROLES), bay=""))
    else:
        db.execute_sql("ALTER TABLE token DROP COLUMN bay_id")  # and the check that names it
        _check_roles(db, _listed(ROLES))


def _listed(roles: tuple[str, ...]) -> str:
    return ", ".join(f"'{role}'" for role in roles)


def _check_roles(db: Any, roles: str) -> None:
    db.execute_sql("ALTER TABLE token DROP CONSTRAINT token_role_check")
    db.execute_sql(f"ALTER TABLE token ADD CONSTRAINT token_role_check CHECK (role IN ({roles}))")


def _copy_tokens(db: Any, columns: str) -> None:
    """SQLite changes no constraint: the rows go into a new table, with its guards."""
    create_table(db, "token_new", columns)
    db.execute_sql(f"INSERT INTO token_new ({COLUMNS}) SELECT {COLUMNS} FROM token")  # noqa: S608
    db.execute_sql("DROP TABLE token")
    db.execute_sql("ALTER TABLE token_new RENAME TO token")
    guard(db, "token", HASHES)


TAKE_BACK = """
    INSERT INTO withdrawal (reading_id, reason, recorded_at, who, verified)
    SELECT id, 'a probe jumped', recorded_at, who, verified FROM reading
    WHERE doubt IS NOT NULL
    AND NOT EXISTS (SELECT 1 FROM withdrawal WHERE withdrawal.reading_id = reading.id)
    AND NOT EXISTS (
        SELECT 1 FROM reading AS proof WHERE proof.bay_id = reading.bay_id
        AND proof.doubt IS NULL AND proof.level_from <= reading.at AND proof.at > reading.at
    )
"""


def _delete(db: Any, table: str, where: str) -> None:
    """Delete rows of an append-only table: its guards are away meanwhile, in one transaction."""
    if not on_sqlite(db):
        db.execute_sql(f"ALTER TABLE {table} DISABLE TRIGGER USER")
        db.execute_sql(f"DELETE FROM {table} WHERE {where}")  # noqa: S608
        db.execute_sql(f"ALTER TABLE {table} ENABLE TRIGGER USER")
        return
    guards = db.execute_sql(
        "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = ?", (table,)
    ).fetchall()
    for name in guard_names(db, table):
        db.execute_sql(f"DROP TRIGGER {name}")
    db.execute_sql(f"DELETE FROM {table} WHERE {where}")  # noqa: S608
    for _, sql in guards:
        db.execute_sql(sql)
