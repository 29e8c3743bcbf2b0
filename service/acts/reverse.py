"""Reverse a line of the ledger: the mistake stays on record beside its mirror."""

from __future__ import annotations

from typing import Any

from ..store import ledger, lookup, tables
from ..store.database import writing
from ..store.hands import Hand
from . import leave
from .draw import show


def reverse(*, reverses: int, reason: str, now: int, hand: Hand) -> dict[str, Any]:
    """Post the mirror of a movement.

    Raises: as `ledger.reverse`; NotAllowed: a hand that would undo more than its own of a day.
    """
    with writing():
        line = lookup.by_id(tables.Movement, reverses)
        if line is not None:
            leave.may_undo(line, now, hand)
        lines = ledger.reverse(reverses, reason=reason, at=now, now=now, hand=hand)
        return show(lines)
