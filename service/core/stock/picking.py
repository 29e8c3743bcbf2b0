"""Picking: the lots that an amount comes from, first expired, first out.

Batches are used systematically and in sequence, none after its date (Lloyd's Register, Rules for
the Manufacture, Testing and Certification of Materials, July 2022, Ch 14 Sec 5.3; Iranian
Classification Society, Rules for the Classification of FRP Ships, 2014, part 13, 301.2). One piece
of roll comes from one lot.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from ..amounts.quantities import Measure
from ..amounts.sentences import stock
from ..errors import NoSinglePiece, ShortStock
from ..frozen import frozen
from ..words import say
from . import remainder


@frozen
class Shelved:
    """A lot that may be drawn.

    Attributes:
        last_day: None if it has no date. free: in stock units.
        spare: how far an amount may differ from `free` and still take all of it (see
            `remainder`).
    """

    id: int
    last_day: date | None
    free: int
    spare: int = 0

    def serves(self, amount: int) -> bool:
        """Whether it has an amount, or lacks no more than its `spare`."""
        return self.free + self.spare >= amount


@frozen
class Pick:
    """An amount from one lot, in stock units."""

    lot: int
    amount: int


def pick(amount: int, lots: Sequence[Shelved], *, measure: Measure, what: str) -> list[Pick]:
    """Choose lots for an amount.

    Args:
        amount: in stock units, over zero. lots: those that may be drawn.
        measure: of the product; a length is one piece, so it comes from one lot.
        what: the product's name, for messages.

    Raises:
        ShortStock: all lots together have less.
        NoSinglePiece: all together have enough, but no single lot has.
    """
    have = sum(lot.free for lot in lots)
    if have + max((lot.spare for lot in lots), default=0) < amount:
        raise ShortStock(
            say(
                "There is not enough of {}: {} is asked for, and {} may be drawn.",
                what,
                stock(amount, measure),
                stock(have, measure),
            ),
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
            say(
                "No single lot of {} has a piece that long: {} is asked for, and the longest is "
                "{}.",
                what,
                stock(amount, "length"),
                stock(longest, "length"),
            ),
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
    """Order: earliest date; of equal dates the smallest lot; then the lowest id."""
    return (lot.last_day or date.max, lot.free, lot.id)


def _turn(lot: Shelved, left: int) -> tuple[date, bool, int, int]:
    """Order: earliest date; of equal dates the smallest lot that is enough; then the lowest id."""
    return (lot.last_day or date.max, not lot.serves(left), lot.free, lot.id)
