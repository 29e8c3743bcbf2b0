"""Take back a reading of a bay: it stays on record, and counts no longer."""

from __future__ import annotations

from ...core.amounts.views import View
from ...core.errors import Invalid, NotFound
from ...core.frozen import frozen
from ...store import bays
from ...store.bays import Bay
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.yard import withdrawals
from ...store.yard.hands import Hand
from ..yard import permissions


@frozen
class TakenBackView(View):
    """How many readings were taken back."""

    taken_back: int


def take_back_reading(
    bay: Bay,
    reading: int,
    *,
    reason: str,
    now: int,
    hand: Hand,
    whole_entry: bool = False,
) -> TakenBackView:
    """Take back a reading of a bay. If it was a correction, the earlier reading counts again.

    Args:
        whole_entry: with all that was entered with it, such as a logger's file.

    Raises:
        NotFound: the bay has none with that id. AlreadyExists, NotAllowed.
        Invalid: it was corrected since.
    """
    with writing(Turn.CLOCK):
        row = bays.find_reading(reading)
        if row is None or row.bay_id != bay.id:
            raise NotFound(
                f"{bay.code} has no reading {reading}.", advice="List the bay's readings."
            )
        withdrawals.refuse_twice("reading", row.id, f"Reading {reading}")
        permissions.may_undo(row, now, hand)
        if not bays.is_in_force(row.id):
            raise Invalid(
                f"Reading {reading} was corrected since.",
                advice="Take the correction back first, or correct it again.",
            )
        rows = bays.entered_with(row) if whole_entry else [row]
        for each in rows:
            withdrawals.withdraw("reading", each.id, reason, now=now, hand=hand)
        return TakenBackView(len(rows))
