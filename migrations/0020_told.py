"""What a layup was promised when it was laid, as JSON: its milestones then, and what they rest on.

NULL for a layup of before this column.
"""

from __future__ import annotations

from typing import Any


def up(migrator: Any, db: Any) -> None:
    """Add the column."""
    db.execute_sql("ALTER TABLE layup ADD COLUMN told TEXT CHECK (told <> '')")


def down(migrator: Any, db: Any) -> None:
    """Drop it."""
    db.execute_sql("ALTER TABLE layup DROP COLUMN told")
