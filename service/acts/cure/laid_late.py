"""A pot that must have gelled before it was laid, though no hand saw that."""

from __future__ import annotations

from ...store.cure.layup_records import LayupRecord
from ..yard import moments


def words(record: LayupRecord) -> tuple[str, ...]:
    """A stop for each such pot of a layup, by the forecast that was made at its mixing."""
    found = []
    for pot in record.pots:
        latest = pot.mixed_at + (pot.gel_latest_s or 0)
        looks = record.cups.get(pot.id, ())
        wet = any(look.kind == "not_gelled" and look.at >= latest for look in looks)
        if pot.gel_latest_s is not None and record.row.applied_at > latest and not wet:
            found.append(
                f"Stop: pot {pot.id} must have gelled by {moments.noted(latest)}, before it was "
                "laid: feel it for lumps, and scrape it off if there are any."
            )
    return tuple(found)
