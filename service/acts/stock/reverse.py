"""Reverse lines of the ledger: the mistake stays on record, beside its reversal."""

from __future__ import annotations

from ...core.errors import Invalid
from ...store.engine import turns
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.stock import ledger
from ...store.stock.lines import find_line
from ...store.yard.hands import Hand
from ..yard import finding, permissions
from .movement import MovedView, moved


def reverse(
    *,
    reason: str,
    now: int,
    hand: Hand,
    reverses: int | None = None,
    reverses_all: list[int] | None = None,
) -> MovedView:
    """Post the reversal of a movement, or of several: all of them, or none if one is refused.

    Raises:
        Invalid: neither was named, or both. NotAllowed: a hand may undo only its own movements
        of the last 24 h. As `ledger.reverse`.
    """
    if (reverses is None) == (reverses_all is None):
        raise Invalid(
            "A reversal needs either 'reverses' or 'reverses_all'.",
            advice="Name the line that is undone, or all the lines of one act.",
            pointer="/reverses",
        )
    with writing(Turn.BESIDE):
        named = dict.fromkeys([reverses] if reverses is not None else reverses_all or ())
        found = {movement: find_line(movement) for movement in named}
        turns.lock_lots(line.lot_id for line in found.values() if line is not None)
        lines = []
        for movement, line in found.items():
            if line is not None:
                if line.job is not None:
                    finding.refuse_signed(line.job)
                permissions.may_undo(line, now, hand)
            lines += ledger.reverse(movement, reason=reason, at=now, now=now, hand=hand)
        return moved(lines)
