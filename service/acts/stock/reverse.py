"""Reverse lines of the ledger: the mistake stays on record beside its mirror."""

from __future__ import annotations

from typing import Any

from ...core.errors import Invalid
from ...store.engine.database import writing
from ...store.stock import ledger
from ...store.stock.lines import find_line
from ...store.yard.hands import Hand
from ..yard import permissions as leave
from .draw import show


def reverse(
    *,
    reason: str,
    now: int,
    hand: Hand,
    reverses: int | None = None,
    reverses_all: list[int] | None = None,
) -> dict[str, Any]:
    """Post the mirror of a movement, or of several: all of them or none.

    Raises:
        Invalid: neither was named, or both. NotAllowed: a hand that would undo more than its own
        of a day. Besides as `ledger.reverse`.
    """
    if (reverses is None) == (reverses_all is None):
        raise Invalid(
            "A reversal needs either 'reverses' or 'reverses_all'.",
            advice="Name the line that is undone, or all the lines of one act.",
            pointer="/reverses",
        )
    with writing():
        lines = []
        for movement in dict.fromkeys([reverses] if reverses is not None else reverses_all or ()):
            line = find_line(movement)
            if line is not None:
                leave.may_undo(line, now, hand)
            lines += ledger.reverse(movement, reason=reason, at=now, now=now, hand=hand)
        return show(lines)
