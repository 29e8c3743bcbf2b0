"""Reverse a line of the ledger: the mistake stays on record beside its mirror."""

from __future__ import annotations

from typing import Any

from ..store import ledger
from ..store.database import writing
from ..store.hands import Hand
from .draw import show


def reverse(*, reverses: int, reason: str, now: int, hand: Hand) -> dict[str, Any]:
    """Post the mirror of a movement.

    Raises: as `ledger.reverse`.
    """
    with writing():
        lines = ledger.reverse(reverses, reason=reason, at=now, now=now, hand=hand)
        return show(lines)
