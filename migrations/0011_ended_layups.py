"""When a layup was covered, handed over or left, beside when the watch on it ended.

One that was covered while it was not sound has been, and is watched all the same. Those that were
covered after a hand had last found them wet are watched again, where their job is still open.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import on_sqlite

SET = "'gelled', 'no_transfer', 'thumbnail', 'hardness', 'sanded'"
WATCH_AGAIN = f"""
    UPDATE layup SET closed_at = NULL
    WHERE closed_at IS NOT NULL
    AND job_id IN (SELECT id FROM job WHERE closed_at IS NULL)
    AND (
        EXISTS (SELECT 1 FROM layup u WHERE u.over_id = layup.id)
        OR EXISTS (
            SELECT 1 FROM layup_observation c WHERE c.layup_id = layup.id AND c.kind = 'covered'
        )
    )
    AND EXISTS (
        SELECT 1 FROM layup_observation o
        WHERE o.layup_id = layup.id AND o.kind = 'not_gelled' AND NOT EXISTS (
            SELECT 1 FROM layup_observation s
            WHERE s.layup_id = o.layup_id AND s.kind IN ({SET})
            AND (s.at > o.at OR (s.at = o.at AND s.id > o.id))
        )
    )
"""  # noqa: S608 (our own words)


def up(migrator: Any, db: Any) -> None:
    """Add the column; open again what was covered wet."""
    kind = "INTEGER" if on_sqlite(db) else "BIGINT"
    db.execute_sql(f"ALTER TABLE layup ADD COLUMN ended_at {kind}")
    db.execute_sql("UPDATE layup SET ended_at = closed_at")
    db.execute_sql(WATCH_AGAIN)


def down(migrator: Any, db: Any) -> None:
    """Drop it: what was covered is not watched any more, sound or not."""
    db.execute_sql("UPDATE layup SET closed_at = ended_at WHERE closed_at IS NULL")
    db.execute_sql("ALTER TABLE layup DROP COLUMN ended_at")
