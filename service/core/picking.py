"""First expired, first out: which lots an amount comes from.

Batches are used systematically and in sequence, none after its date (class societies'
rules for building in fibre-reinforced plastic). One piece of roll comes from one lot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from .errors import NoSinglePiece, ShortStock


@dataclass(frozen=True)
class Shelved:
    """A lot that may be drawn: its id, its last day (None: no date), what is free of it."""

    id: int
    last_day: date | None
    free: int


@dataclass(frozen=True)
class Pick:
    """So much of one lot."""

    lot: int
    amount: int


def pick(amount: int, lots: Sequence[Shelved], *, one_piece: bool, what: str) -> list[Pick]:
    """Choose lots for an amount.

    Args:
        amount: in stock units, over zero. lots: those that may be drawn.
        one_piece: whether it must all come from one lot. what: the product, for messages.

    Raises:
        ShortStock: they have less together.
        NoSinglePiece: together they have it, but no one of them has.
    """
    have = sum(lot.free for lot in lots)
    if have < amount:
        raise ShortStock(
            f"There is not enough of {what}.",
            advice="Receive more, draw less, or free what other jobs have reserved.",
            free=have,
            wanted=amount,
        )
    if one_piece:
        return [_one(amount, lots, what)]
    return _several(amount, lots)


def _one(amount: int, lots: Sequence[Shelved], what: str) -> Pick:
    fitting = [lot for lot in lots if lot.free >= amount]
    if not fitting:
        raise NoSinglePiece(
            f"No one lot of {what} has that piece in it.",
            advice="Draw shorter pieces, each from one roll, or splice with the overlap "
            "that your rules ask for.",
            longest=max((lot.free for lot in lots), default=0),
            wanted=amount,
        )
    best = min(fitting, key=lambda lot: (lot.last_day or date.max, lot.free, lot.id))
    return Pick(best.id, amount)


def _several(amount: int, lots: Sequence[Shelved]) -> list[Pick]:
    picks, left = [], amount
    waiting = [lot for lot in lots if lot.free > 0]
    while left:
        lot = min(waiting, key=lambda lot: _turn(lot, left))
        taken = min(lot.free, left)
        picks.append(Pick(lot.id, taken))
        waiting.remove(lot)
        left -= taken
    return picks


def _turn(lot: Shelved, left: int) -> tuple[date, bool, int, int]:
    """Earliest date; of equal dates the least remainder that serves; then the lowest id."""
    return (lot.last_day or date.max, lot.free < left, lot.free, lot.id)
