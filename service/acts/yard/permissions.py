"""Permissions that depend on the request: overriding and undoing may need a lead."""

from __future__ import annotations

from collections.abc import Mapping

from ...core.words import Text, say, shown
from ...store.yard import logbook, overrides
from ...store.yard.hands import Hand
from ...store.yard.recorded import Recorded, is_own
from . import settings

UNDONE_WITHIN_S = 24 * 3600
"""How long a hand may undo what it recorded itself."""


def reason_of(override: Mapping[str, str] | None, hand: Hand) -> str | None:
    """The reason to override a refusal; None if a request does not ask for that.

    Raises: NotAllowed: the hand is not a lead.
    """
    if override is None:
        return None
    hand.must_be("lead", "To override a refusal")
    return override["reason"]


def overridden(
    slug: str, reason: str, about: Text, *, now: int, hand: Hand, word: logbook.Kind = "overridden",
    **what: int | None,
) -> None:  # fmt: skip
    """Record that a refusal was overridden.

    Args:
        slug: of the refusal. about: the name of the thing, as a person would say it.
        word: what the logbook calls it.
        what: the things that it was overridden for, any of lot_id, movement_id, batch_id,
            layup_id and job_id.
    """
    told = shown(say("{}: {}", slug, about), settings.show_yard().units)
    logbook.record(word, told, reason=reason, now=now, hand=hand)
    overrides.record(slug, reason, now=now, hand=hand, **what)


def may_undo(row: Recorded, now: int, hand: Hand) -> None:
    """Check that a hand may undo a record: a hand its own of the last 24 h, a lead any.

    Raises: NotAllowed.
    """
    if not is_own(row, hand):
        hand.must_be("lead", "To undo what somebody else recorded")
    elif now > row.recorded_at + UNDONE_WITHIN_S:
        hand.must_be("lead", "To undo what was recorded more than 24 h ago")
