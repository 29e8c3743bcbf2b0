"""Warnings about the ground that a layup lies on."""

from __future__ import annotations

from ...core.cure import compatibility
from ...store.cure.layup_records import LayupRecord
from ...store.cure.layups import Layup


def words(record: LayupRecord) -> tuple[str, ...]:
    """Words on a layer below that is still unsettled, and on an old hull or a foam core."""
    return _unsettled(record.below) + _on_face(record.row)


def _unsettled(below: Layup | None) -> tuple[str, ...]:
    if below is None or below.ended_at is None or below.closed_at is not None:
        return ()
    return (
        f"Layup {below.id} below it was not sound when it was covered, and nobody said what became "
        "of it: lay nothing more on this one.",
    )


def _on_face(row: Layup) -> tuple[str, ...]:
    if row.over_surface is None:
        return ()
    found = compatibility.on_face(
        row.product.chemistry, row.over_surface, structural=row.job.structural != "no"
    )
    return () if found is None else (f"{found.severity.capitalize()}: {found.reason}.",)
