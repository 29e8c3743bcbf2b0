"""The list of pots."""

from __future__ import annotations

from ...store.cure import pots
from ...store.stock.lines import draws_of_batches
from ..yard import finding
from . import card
from .card import BatchView


def list_batches(after: int | None, limit: int, *, job: str | None = None) -> list[BatchView]:
    """Pots, newest first, after the one with that id; of a job. Each with its `state`."""
    rows = pots.page(after, limit, None if job is None else finding.job(job).id)
    ids = [row.id for row in rows]
    lines, seen = draws_of_batches(ids), pots.observations_of_batches(ids)
    states = {pot: card.state_of({each.kind for each in found}) for pot, found in seen.items()}
    return [card.show_batch(row, lines[row.id], state=states[row.id]) for row in rows]
