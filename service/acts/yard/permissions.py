"""What depends on what is asked, and takes a lead: to override, to reach far back, to undo."""

from __future__ import annotations

from typing import Any

from ...store import tables
from ...store.stock import entries
from ...store.yard import logbook
from ...store.yard.hands import Hand

UNDONE_WITHIN_S = 24 * 3600
"""How long a hand may undo what it recorded itself."""


def reason_of(override: dict[str, str] | None, hand: Hand) -> str | None:
    """Why a refusal is to be set aside; None where that is not asked.

    Raises: NotAllowed: it is asked, and not by a lead.
    """
    if override is None:
        return None
    hand.must_be("lead", "To override a refusal")
    return override["reason"]


def overridden(
    slug: str, reason: str, about: str, *, now: int, hand: Hand, **what: Any
) -> tables.Override:
    """Put on record that a refusal was set aside.

    Args:
        about: names the thing as a person would. what: it was set aside for: rows or ids of
            lot, movement, batch, layup, job.
    """
    logbook.record("overridden", f"{slug}: {about}", reason=reason, now=now, hand=hand)
    return tables.Override.create(slug=slug, reason=reason, **what, **hand.signed(now))


def may_undo(row: tables.Recorded, now: int, hand: Hand) -> None:
    """Refuse to undo what another hand recorded, or what a hand recorded over a day ago.

    Raises: NotAllowed.
    """
    if not entries.is_own(row, hand):
        hand.must_be("lead", "To undo what somebody else recorded")
    elif now > row.recorded_at + UNDONE_WITHIN_S:
        hand.must_be("lead", "To undo what was recorded more than 24 h ago")
