"""A lot's history takes 'not_opened': an opening that was taken back."""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard, on_sqlite

KINDS = ("moved", "held", "released", "opened", "extended", "dated")

LOT_EVENT = """
    id {{id}},
    lot_id {{int}} NOT NULL REFERENCES lot (id),
    kind TEXT NOT NULL CHECK (kind IN ({kinds})),
    at {{int}} NOT NULL,
    bay_id {{int}} REFERENCES bay (id),
    reason TEXT,
    from_on TEXT CHECK (from_on LIKE '____-__-__'),
    until_on TEXT CHECK (until_on LIKE '____-__-__'),
    recorded_at {{int}} NOT NULL,
    who TEXT NOT NULL,
    verified {{int}} NOT NULL CHECK (verified IN (0, 1))
"""


def up(migrator: Any, db: Any) -> None:
    """Let an opening be taken back."""
    _allow(db, (*KINDS, "not_opened"))


def down(migrator: Any, db: Any) -> None:
    """Forget which openings were taken back; the lots keep their days."""
    _allow(db, KINDS)


def _allow(db: Any, kinds: tuple[str, ...]) -> None:
    listed = ", ".join(f"'{kind}'" for kind in kinds)
    if on_sqlite(db):
        _copy(db, listed)
        return
    db.execute_sql("ALTER TABLE lot_event DROP CONSTRAINT lot_event_kind_check")
    db.execute_sql("ALTER TABLE lot_event DISABLE TRIGGER lot_event_no_delete")
    db.execute_sql("DELETE FROM lot_event WHERE kind = 'not_opened'")
    db.execute_sql("ALTER TABLE lot_event ENABLE TRIGGER lot_event_no_delete")
    db.execute_sql(
        f"ALTER TABLE lot_event ADD CONSTRAINT lot_event_kind_check CHECK (kind IN ({listed}))"
    )


def _copy(db: Any, listed: str) -> None:
    """SQLite changes no constraint: the rows go into a new table, with its index and guards."""
    create_table(db, "lot_event_new", LOT_EVENT.format(kinds=listed))
    db.execute_sql("INSERT INTO lot_event_new SELECT * FROM lot_event WHERE kind <> 'not_opened'")
    db.execute_sql("DROP TABLE lot_event")
    db.execute_sql("ALTER TABLE lot_event_new RENAME TO lot_event")
    db.execute_sql("CREATE INDEX lot_event_lot ON lot_event (lot_id, at)")
    guard(db, "lot_event")
