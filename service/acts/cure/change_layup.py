"""Change a layup: move it to another bay, cover it, correct its title or its end."""

from __future__ import annotations

from ...core.errors import Invalid
from ...store.cure import earlier, layups
from ...store.cure.layups import Layup
from ...store.engine.database import writing
from ...store.engine.rows import differing
from ...store.engine.turns import Turn
from ...store.yard.hands import Hand
from ..yard import finding, moments
from . import watch
from .show import LayupView, show_layup


def change_layup(
    row: Layup,
    *,
    now: int,
    hand: Hand,
    bay: str | None = None,
    title: str | None = None,
    cover: str | None = None,
    finished_at: int | None = None,
    moved_at: int | None = None,
) -> LayupView:
    """Change a layup; its earlier title, cover and end stay on record.

    Args:
        finished_at, moved_at: when the last of it went on, and when it was moved; epoch s.

    Raises: UnknownReference: no such bay. Invalid: a moment to come.
    """
    with writing(Turn.CLOCK):
        finding.refuse_signed(row.job)
        finding.must_be_laid(row)
        moved = False
        changes: dict[str, str | int | None] = {"title": title, "cover": cover}
        if finished_at is not None:
            changes["finished_at"] = moments.happened(finished_at, now, "/finished_at", by=hand)
            mixed = [pot.mixed_at for pot in layups.batches_of(row.id)]
            if finished_at < max([row.applied_at, *mixed]):
                raise Invalid(
                    "The layup can't end before it began, nor before its last pot was mixed.",
                    advice="Check both times.",
                    pointer="/finished_at",
                )
        if bay is not None:
            at = moments.happened(moved_at, now, "/moved_at", by=hand)
            into = finding.bay(bay, "/bay")
            moved = moved_at is not None or into.id != layups.lies_in(row)
            if moved:
                layups.move(row.id, into.id, at=at, now=now, hand=hand)
        known = {name: value for name, value in changes.items() if value is not None}
        changed = differing(row, known)
        if moved or changed:
            earlier.change(row, now=now, hand=hand, version=row.version + 1, **changed)
        return show_layup(watch.watch(finding.layup(row.id), now))
