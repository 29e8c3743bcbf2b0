"""Indexes of what is live alone: lots with something in them, and open jobs.

After years most lots are empty and most jobs closed; who looks at the yard as it is reads neither.
"""

from __future__ import annotations

from typing import Any

INDEXES = {
    "lot_stocked": "lot (product_id, id) WHERE on_hand > 0",
    "job_open": "job (id) WHERE closed_at IS NULL",
}


def up(migrator: Any, db: Any) -> None:
    """Add them."""
    for name, on in INDEXES.items():
        db.execute_sql(f"CREATE INDEX {name} ON {on}")


def down(migrator: Any, db: Any) -> None:
    """Drop them."""
    for name in INDEXES:
        db.execute_sql(f"DROP INDEX {name}")
