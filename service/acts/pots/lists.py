"""The list of pots."""

from __future__ import annotations

from typing import Any

from ...store.cure import pots
from ..yard import finding
from . import card as pot_card
from . import mix


def list_batches(after: int | None, limit: int, *, job: str | None = None) -> list[dict[str, Any]]:
    """Pots, newest first, after the one with that id; of a job. Each with its `state`."""
    rows = pots.page(after, limit, None if job is None else finding.job(job).id)
    seen = pots.observations_of_batches([row.id for row in rows])
    return [
        {**shown, "state": pot_card.state_of({each.kind for each in seen[shown["id"]]})}
        for shown in mix.show_batches(rows)
    ]
