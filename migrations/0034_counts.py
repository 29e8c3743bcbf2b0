"""An index of the ledger's counts: after thousands of draws of a lot they are found at once."""

from __future__ import annotations

from typing import Any


def up(migrator: Any, db: Any) -> None:
    """Add it."""
    db.execute_sql("CREATE INDEX movement_count ON movement (lot_id, id) WHERE kind = 'count'")


def down(migrator: Any, db: Any) -> None:
    """Drop it."""
    db.execute_sql("DROP INDEX movement_count")
