"""The trail of overrides: which refusal was set aside, for what, by whom, and why."""

from __future__ import annotations

from typing import Any

from ...store.yard import overrides
from ...store.yard.overrides import Override


def list_overrides(after: int | None, limit: int) -> list[dict[str, Any]]:
    """Overrides, newest first, after the one with that id."""
    return [_show(row) for row in overrides.page(after, limit)]


def _show(row: Override) -> dict[str, Any]:
    return {
        "id": row.id,
        "slug": row.slug,
        "reason": row.reason,
        "lot": row.lot_id,
        "movement": row.movement_id,
        "batch": row.batch_id,
        "layup": row.layup_id,
        "job": row.job.number if row.job else None,
        "who": row.who,
        "recorded_at": row.recorded_at,
    }
