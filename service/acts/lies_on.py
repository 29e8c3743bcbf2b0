"""What a layup lies on that is no layup of the yard's, and what its chemistry says of that."""

from __future__ import annotations

from ..core import preparation
from ..store import tables


def words(row: tables.Layup) -> tuple[str, ...]:
    """A word on a layup on an old hull or a foam core, where the trade has one."""
    if row.over_surface is None:
        return ()
    found = preparation.on_face(
        row.product.chemistry, row.over_surface, structural=row.job.structural != "no"
    )
    return () if found is None else (f"{found.severity.capitalize()}: {found.reason}.",)
