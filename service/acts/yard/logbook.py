"""Read the logbook: what was decided beside the rules, by whom, when and why."""

from __future__ import annotations

from typing import Any

from ...store.yard import logbook


def read_logbook(after: int | None, limit: int) -> list[dict[str, Any]]:
    """Entries, the newest first, after the one with that id."""
    return [
        {
            "id": row.id,
            "kind": row.kind,
            "about": row.about,
            "reason": row.reason,
            "at": row.recorded_at,
            "who": row.who,
            "verified": row.verified,
        }
        for row in logbook.entries(after, limit)
    ]
