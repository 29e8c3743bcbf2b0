"""First expired, first out: which lots an amount comes from.

Batches are used systematically and in sequence, none after its date (class societies'
rules for building in fibre-reinforced plastic). One piece of roll comes from one lot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ..amounts import sentences as worded
from ..amounts.quantities import Measure
from ..errors import NoSinglePiece, ShortStock
from . import remainder


@dataclass(frozen=True)
class Shelved:
    """A lot that may be drawn: its id, its last day (None: no date), what is free of it.

    Attributes:
        spare: how far an amount may miss what is free, and takes that (see `remainder`).
    """

    id: int
    last_day: date | None
    free: int
    spare: int = 0

    def serves(self, amount: int) -> bool:
        """Whether it has an amount, or misses it by no more than its `spare`."""
        return self.free + self.spare >= amount


@dataclass(frozen=True)
class Pick:
    """So much of one lot."""

    lot: int
    amount: int


def pick(amount: int, lots: Sequence[Shelved], *, measure: Measure, what: str) -> list[Pick]:
    """Choose lots for an amount.

    Args:
        amount: in stock units, over zero. lots: those that may be drawn.
        measure: what they are counted in; a length comes from one lot, as it is one piece.
        what: the product, for messages.

    Raises:
        ShortStock: they have less together.
        NoSinglePiece: together they have it, but no one of them has.
    """
    have = sum(lot.free for lot in lots)
    if have + max((lot.spare for lot in lots), default=0) < amount:
        raise ShortStock(
            f"There is not enough of {what}: {worded.stock(amount, measure)} is asked for, and "
            f"{worded.stock(have, measure)} may be drawn.",
            advice="Receive more, draw less, or free what other jobs have reserved.",
            free=have,
            wanted=amount,
        )
    if measure == "length":
        return [_one(amount, lots, what)]
    if have <= amount:
        return [Pick(lot.id, lot.free) for lot in sorted(lots, key=_shelf) if lot.free > 0]
    return _several(amount, lots)


def _one(amount: int, lots: Sequence[Shelved], what: str) -> Pick:
    fitting = [lot for lot in lots if lot.free > 0 and lot.serves(amount)]
    if not fitting:
        longest = max((lot.free for lot in lots), default=0)
        raise NoSinglePiece(
            f"No single lot of {what} has a piece that long: {worded.stock(amount, 'length')} is "
            f"asked for, and the longest is {worded.stock(longest, 'length')}.",
            advice="Draw shorter pieces, each from one roll, or splice with the overlap "
            "that your rules ask for.",
            longest=longest,
            wanted=amount,
        )
    best = min(fitting, key=_shelf)
    return Pick(best.id, remainder.taken(amount, best.free, best.spare))


def _several(amount: int, lots: Sequence[Shelved]) -> list[Pick]:
    picks, left = [], amount
    waiting = [lot for lot in lots if lot.free > 0]
    while left > 0:
        lot = min(waiting, key=lambda lot: _turn(lot, left))
        picks.append(Pick(lot.id, remainder.taken(left, lot.free, lot.spare)))
        waiting.remove(lot)
        left = 0 if lot.serves(left) else left - lot.free
    return picks


def _shelf(lot: Shelved) -> tuple[date, int, int]:
    """Earliest date; of equal dates the least; then the lowest id."""
    return (lot.last_day or date.max, lot.free, lot.id)


def _turn(lot: Shelved, left: int) -> tuple[date, bool, int, int]:
    """Earliest date; of equal dates the least remainder that serves; then the lowest id."""
    return (lot.last_day or date.max, not lot.serves(left), lot.free, lot.id)
