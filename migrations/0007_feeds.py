"""Calendar feeds with secrets of their own, milestones that were told, and the yard's identity.

`secret_hash` is the SHA-256 of what stands in a feed's address, which itself is nowhere. A feed
ends by a row in `feed_end`. `reached` says what was told of a layup and when, so that a bell
which comes back is told the rest, and nothing twice. `identity` is what calendars tell one yard's
layups from another's by: random, and the store's for good.
"""

from __future__ import annotations

import secrets
from typing import Any

from cureyard_migrations.dialect import create_table, guard

WHO = """
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

TABLES = {
    "feed": f"""
        id {{id}},
        job_id {{int}} REFERENCES job (id),
        bay_id {{int}} REFERENCES bay (id),
        secret_hash TEXT NOT NULL UNIQUE CHECK (length(secret_hash) = 64),
        {WHO}
    """,
    "feed_end": f"""
        id {{id}},
        feed_id {{int}} NOT NULL UNIQUE REFERENCES feed (id),
        reason TEXT,
        {WHO}
    """,
    "reached": f"""
        id {{id}},
        layup_id {{int}} NOT NULL REFERENCES layup (id),
        name TEXT NOT NULL CHECK (name <> ''),
        at {{int}} NOT NULL,
        {WHO},
        UNIQUE (layup_id, name)
    """,
}

APPEND_ONLY: dict[str, tuple[str, ...]] = {
    "feed": ("o.secret_hash = NEW.secret_hash",),
    "feed_end": ("o.feed_id = NEW.feed_id",),
    "reached": ("o.layup_id = NEW.layup_id AND o.name = NEW.name",),
}


def up(migrator: Any, db: Any) -> None:
    """Create the tables, and give the yard that there is its identity."""
    for name, columns in TABLES.items():
        create_table(db, name, columns)
    for table, keys in APPEND_ONLY.items():
        guard(db, table, keys)
    db.execute_sql("ALTER TABLE yard ADD COLUMN identity TEXT NOT NULL DEFAULT ''")
    db.execute_sql(f"UPDATE yard SET identity = '{secrets.token_hex(16)}'")  # noqa: S608


def down(migrator: Any, db: Any) -> None:
    """Drop them: calendars have to be subscribed to anew, and bells begin anew."""
    db.execute_sql("ALTER TABLE yard DROP COLUMN identity")
    for table in ("reached", "feed_end", "feed"):
        db.execute_sql(f"DROP TABLE {table}")
