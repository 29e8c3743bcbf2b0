"""List overrides: which refusal was overridden, for what, by whom, and why."""

from __future__ import annotations

from ...core.amounts.views import Code, Moment, View
from ...core.frozen import frozen
from ...store.yard import overrides


@frozen
class OverrideView(View):
    """A refusal set aside."""

    id: int
    slug: str
    reason: str
    lot: int | None
    movement: int | None
    batch: int | None
    layup: int | None
    job: Code | None
    who: str
    recorded_at: Moment


def list_overrides(after: int | None, limit: int) -> list[OverrideView]:
    """Overrides, the newest first, after the one with that id."""
    return [
        OverrideView(
            id=row.id,
            slug=row.slug,
            reason=row.reason,
            lot=row.lot_id,
            movement=row.movement_id,
            batch=row.batch_id,
            layup=row.layup_id,
            job=row.job.number if row.job else None,
            who=row.who,
            recorded_at=row.recorded_at,
        )
        for row in overrides.page(after, limit)
    ]
