"""What a layup's row said earlier: kept when it is changed, and as it was known at a moment."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert
from ..yard.hands import Hand
from . import layups
from .layups import Layup


class LayupEarlier(NamedTuple):
    """What a layup's row said until it was changed."""

    layup_id: int
    title: str
    cover: str | None
    finished_at: int
    ended_at: int | None
    closed_at: int | None
    closed_reason: str | None
    recorded_at: int


_EARLIER = Reader(LayupEarlier, tables.LayupEarlier)


def change(row: Layup, *, now: int, hand: Hand, **columns: Any) -> None:
    """Change a layup's words or its end; what they were stays on record.

    Args:
        row: as it is now. now: epoch s. columns: title, cover, finished_at, ended_at,
            closed_at, closed_reason, or version: its new value.
    """
    if columns.keys() & set(_KEPT):
        kept = {name: getattr(row, name) for name in _KEPT}
        insert(tables.LayupEarlier, layup_id=row.id, **kept, **hand.signed(now))
    tables.Layup.update(**columns).where(tables.Layup.id == row.id).execute()


_KEPT = ("title", "cover", "finished_at", "ended_at", "closed_at", "closed_reason")


def as_known(rows: Sequence[Layup], as_known_at: int) -> list[Layup]:
    """Layups as their rows were at a moment, epoch s; of changes since there is a record."""
    rest = "WHERE layup_earlier.layup_id IN (?*) ORDER BY layup_earlier.id"
    first: dict[int, LayupEarlier] = {}
    then: dict[int, LayupEarlier] = {}
    for each in _EARLIER.all(rest, [row.id for row in rows]):
        first.setdefault(each.layup_id, each)
        if each.recorded_at > as_known_at:
            then.setdefault(each.layup_id, each)
    return [_as_it_was(row, first.get(row.id), then.get(row.id), as_known_at) for row in rows]


def _as_it_was(
    row: Layup, first: LayupEarlier | None, then: LayupEarlier | None, as_known_at: int
) -> Layup:
    kept = {} if then is None else {name: getattr(then, name) for name in _KEPT}
    ended_at = kept.get("ended_at", row.ended_at)
    untracked = first is None or first.ended_at is not None
    if untracked and ended_at is not None and _told_ended(row, ended_at) > as_known_at:
        kept |= {"ended_at": None, "closed_at": None, "closed_reason": None}
    return row._replace(**kept)


def _told_ended(row: Layup, ended_at: int) -> int:
    """When it was told that a layup ended, epoch s, where its earlier row was not kept.

    A hand, the layer laid over it, or the closing of its job ended it, and may have told so late.
    """
    seen = layups.noted_of([row.id], LARGEST)
    told = [each.recorded_at for each in seen if each.kind in layups.ENDS]
    uppers = layups.ever_laid_over(row)
    told += [upper.recorded_at for upper in uppers]
    told += [row.job.closed_at] if row.job.closed_at is not None else []
    return min(told, default=ended_at)
