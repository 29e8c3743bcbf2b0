"""What depends on what is asked, and takes a lead: to override, to reach far back, to undo."""

from __future__ import annotations

from collections.abc import Mapping

from ...store.yard import logbook, overrides
from ...store.yard.hands import Hand
from ...store.yard.recorded import Recorded, is_own

UNDONE_WITHIN_S = 24 * 3600
"""How long a hand may undo what it recorded itself."""


def reason_of(override: Mapping[str, str] | None, hand: Hand) -> str | None:
    """Why a refusal is to be set aside; None where that is not asked.

    Raises: NotAllowed: it is asked, and not by a lead.
    """
    if override is None:
        return None
    hand.must_be("lead", "To override a refusal")
    return override["reason"]


def overridden(
    slug: str, reason: str, about: str, *, now: int, hand: Hand, **what: int | None
) -> None:
    """Put on record that a refusal was set aside.

    Args:
        about: names the thing as a person would. what: it was set aside for: any of lot_id,
            movement_id, batch_id, layup_id, job_id.
    """
    logbook.record("overridden", f"{slug}: {about}", reason=reason, now=now, hand=hand)
    overrides.record(slug, reason, now=now, hand=hand, **what)


def may_undo(row: Recorded, now: int, hand: Hand) -> None:
    """Refuse to undo what another hand recorded, or what a hand recorded over a day ago.

    Raises: NotAllowed.
    """
    if not is_own(row, hand):
        hand.must_be("lead", "To undo what somebody else recorded")
    elif now > row.recorded_at + UNDONE_WITHIN_S:
        hand.must_be("lead", "To undo what was recorded more than 24 h ago")
