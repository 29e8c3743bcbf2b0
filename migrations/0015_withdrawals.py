"""What was taken back of what is not stock, and what a layup's row said before it was changed.

A row of `withdrawal` names the one thing that it takes back: a layup that was not laid, what was
noted of a layup or a pot, a reading. The thing itself stays. `layup_earlier` holds a layup's words
and its end as they stood until `recorded_at`; changes made before there was this table are not
in it.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard

WHO = """
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

OF = ("layup", "layup_observation", "batch_observation", "reading")
"""The tables of which a row is taken back."""

_COLUMNS = "".join(f"{name}_id {{int}} UNIQUE REFERENCES {name} (id),\n" for name in OF)
_GIVEN = " + ".join(f"CASE WHEN {name}_id IS NULL THEN 0 ELSE 1 END" for name in OF)

WITHDRAWAL = f"""
    id {{id}},
    {_COLUMNS}
    reason TEXT NOT NULL CHECK (reason <> ''),
    {WHO},
    CHECK ({_GIVEN} = 1)
"""

LAYUP_EARLIER = f"""
    id {{id}},
    layup_id {{int}} NOT NULL REFERENCES layup (id),
    title TEXT NOT NULL,
    cover TEXT,
    finished_at {{int}} NOT NULL,
    closed_at {{int}},
    closed_reason TEXT,
    {WHO}
"""


def up(migrator: Any, db: Any) -> None:
    """Create both tables, append-only."""
    create_table(db, "withdrawal", WITHDRAWAL)
    guard(db, "withdrawal", [f"o.{name}_id = NEW.{name}_id" for name in OF])
    create_table(db, "layup_earlier", LAYUP_EARLIER)
    db.execute_sql("CREATE INDEX layup_earlier_layup ON layup_earlier (layup_id, id)")
    guard(db, "layup_earlier")


def down(migrator: Any, db: Any) -> None:
    """Drop them: what was taken back counts again, and a layup says what it says now."""
    db.execute_sql("DROP TABLE layup_earlier")
    db.execute_sql("DROP TABLE withdrawal")
