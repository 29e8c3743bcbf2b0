"""Phones: a token of a kind of its own, the one-time code that it is made by, and its last use.

`code_hash` is the SHA-256 of the code, which itself is nowhere. A code ends once, by a row in
`phone_code_end`: with the token that it became, or without one when it was withdrawn.
`maker_id` is the token of whoever made the code: the code ends with it. `token_use` is no record
of work: its one row a token says when a pass was last shown, and is written over.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard

WHO = """
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

TABLES = {
    "phone": f"""
        id {{id}},
        name TEXT NOT NULL CHECK (name <> ''),
        role TEXT NOT NULL CHECK (role IN ('viewer', 'hand', 'lead')),
        code_hash TEXT NOT NULL UNIQUE CHECK (length(code_hash) = 64),
        maker_id {{int}} REFERENCES token (id),
        {WHO}
    """,
    "phone_code_end": f"""
        id {{id}},
        phone_id {{int}} NOT NULL UNIQUE REFERENCES phone (id),
        token_id {{int}} UNIQUE REFERENCES token (id),
        reason TEXT,
        {WHO}
    """,
    "token_use": """
        id {id},
        token_id {int} NOT NULL UNIQUE REFERENCES token (id),
        used_at {int} NOT NULL
    """,
}

APPEND_ONLY: dict[str, tuple[str, ...]] = {
    "phone": ("o.code_hash = NEW.code_hash",),
    "phone_code_end": ("o.phone_id = NEW.phone_id", "o.token_id = NEW.token_id"),
}


def up(migrator: Any, db: Any) -> None:
    """Create the tables, and say of each token of before that it is a person's."""
    db.execute_sql(
        "ALTER TABLE token ADD COLUMN kind TEXT NOT NULL DEFAULT 'person' "
        "CHECK (kind IN ('person', 'phone'))"
    )
    for name, columns in TABLES.items():
        create_table(db, name, columns)
    for table, keys in APPEND_ONLY.items():
        guard(db, table, keys)


def down(migrator: Any, db: Any) -> None:
    """Drop them: the phones that are in stay in as tokens, which can still be revoked."""
    for table in ("token_use", "phone_code_end", "phone"):
        db.execute_sql(f"DROP TABLE {table}")
    db.execute_sql("ALTER TABLE token DROP COLUMN kind")
