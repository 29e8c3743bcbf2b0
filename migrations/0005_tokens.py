"""Who may ask, and the logbook of what was decided beside the rules.

A token's secret is nowhere: `secret_hash` and `page_hash` are the SHA-256 of what a program and
a browser send. A token ends by a row in `token_end`, and neither row is ever changed.
`about` names the thing as a person would.
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
    "token": f"""
        id {{id}},
        name TEXT NOT NULL,
        role TEXT NOT NULL CHECK (role IN ('viewer', 'hand', 'lead', 'admin')),
        secret_hash TEXT NOT NULL UNIQUE CHECK (length(secret_hash) = 64),
        page_hash TEXT NOT NULL UNIQUE CHECK (length(page_hash) = 64),
        {WHO}
    """,
    "token_end": f"""
        id {{id}},
        token_id {{int}} NOT NULL UNIQUE REFERENCES token (id),
        reason TEXT,
        {WHO}
    """,
    "logbook": f"""
        id {{id}},
        kind TEXT NOT NULL CHECK (kind <> ''),
        about TEXT NOT NULL CHECK (about <> ''),
        reason TEXT,
        {WHO}
    """,
}

APPEND_ONLY: dict[str, tuple[str, ...]] = {
    "token": ("o.secret_hash = NEW.secret_hash", "o.page_hash = NEW.page_hash"),
    "token_end": ("o.token_id = NEW.token_id",),
    "logbook": (),
}

WRITE_UP = """
INSERT INTO logbook (kind, about, reason, recorded_at, who, verified)
SELECT kind, about, reason, recorded_at, who, verified FROM (
    SELECT 'overridden' AS kind, 1 AS place, o.id,
        o.slug || ': ' || COALESCE(
            'lot ' || l.number || '/' || l.container || ' (' || p.code || ')',
            'layup ' || o.layup_id, 'job ' || j.number, 'store') AS about,
        o.reason, o.recorded_at, o.who, o.verified
    FROM override o
    LEFT JOIN lot l ON l.id = o.lot_id
    LEFT JOIN product p ON p.id = l.product_id
    LEFT JOIN job j ON j.id = o.job_id
    UNION ALL
    SELECT e.kind, 2, e.id,
        'lot ' || l.number || '/' || l.container || ' (' || p.code || ')',
        e.reason, e.recorded_at, e.who, e.verified
    FROM lot_event e
    JOIN lot l ON l.id = e.lot_id
    JOIN product p ON p.id = l.product_id
    WHERE e.kind IN ('held', 'released', 'extended')
) past ORDER BY recorded_at, place, id
"""


def up(migrator: Any, db: Any) -> None:
    """Create the tables, and write up what was decided before there was a logbook."""
    for name, columns in TABLES.items():
        create_table(db, name, columns)
    db.execute_sql(WRITE_UP)
    for table, keys in APPEND_ONLY.items():
        guard(db, table, keys)


def down(migrator: Any, db: Any) -> None:
    """Drop them: nobody has to log in any more, and only overrides and lots keep their trail."""
    for table in ("logbook", "token_end", "token"):
        db.execute_sql(f"DROP TABLE {table}")
