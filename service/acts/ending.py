"""End the watch on a layup, or keep it up: what is not sound stays in every list."""

from __future__ import annotations

from ..core.errors import UnsoundBelow
from ..store import layups, tables
from . import finding, watch

ADVICE = (
    "Let it come to itself, heat it or scrape it off, and note what a hand finds: gelled, "
    "no_transfer, a hardness, scraped_off. A lead may override with a reason."
)


def unsound_below(below: tables.Layup, at: int, pointer: str) -> UnsoundBelow | None:
    """Why nothing may go on a layup at a moment (epoch s), or None.

    It is judged as it stood then. Found wet later than that, it was wet then too.
    """
    stood = watch.as_it_stood(below, at)
    why = stood.unsound
    if why is None and any(
        o.kind == "not_gelled" and o.at > at for o in layups.observations_of(below.id)
    ):
        why = "was found not gelled later than that"
    if why is None:
        return None
    return UnsoundBelow(
        f"Layup {below.id}, {below.title}, {why}.",
        advice=ADVICE,
        pointer=pointer,
        layup=below.id,
        state=list(stood.signs),
    )


def end(row: tables.Layup, at: int, reason: str, *, sound: bool) -> None:
    """Put down that a layup was covered, handed over or left; if it is sound its watch ends."""
    layup = tables.Layup
    layup.update(ended_at=at, closed_reason=reason).where(
        layup.id == row.id, layup.ended_at.is_null()
    ).execute()
    if sound:
        closing = layup.update(closed_at=at).where(layup.closed_at.is_null())
    else:
        closing = layup.update(closed_at=None)
    closing.where(layup.id == row.id).execute()


def settle(row: tables.Layup, at: int, now: int) -> None:
    """After a word on a layup that had ended: its watch ends with it, or begins again.

    Args:
        at: when what was seen was, epoch s.
    """
    row = finding.layup(row.id)
    if row.ended_at is None:
        return
    watched = watch.watch(row, now)
    if row.closed_at is not None:
        if watched.touch.not_gelled is not None:
            end(row, row.ended_at, row.closed_reason or "", sound=False)
    elif not watched.in_trouble:
        end(row, max(at, row.ended_at), row.closed_reason or "", sound=True)
