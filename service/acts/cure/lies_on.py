"""Warnings about the ground that a layup lies on."""

from __future__ import annotations

from ...core.cure import compatibility
from ...store.cure.layup_records import LayupRecord
from ...store.cure.layups import Layup


def unsettled(record: LayupRecord) -> tuple[str, ...]:
    """A stop if a layer below, at any depth, was covered unsound: the whole stack rests on it."""
    below = record.unsettled
    if below is None:
        return ()
    return (
        f"Stop: layup {below.id} below it was not sound when it was covered, and nobody said what "
        "became of it. Lay nothing more on this one.",
    )


def on_face(row: Layup) -> tuple[str, ...]:
    """Words on an old hull or a foam core."""
    if row.over_surface is None:
        return ()
    found = compatibility.on_face(
        row.product.chemistry, row.over_surface, structural=row.job.structural != "no"
    )
    return () if found is None else (f"{found.severity.capitalize()}: {found.reason}.",)
