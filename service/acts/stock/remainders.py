"""The rest of a lot: a draw takes all of it, if it asks for almost as much."""

from __future__ import annotations

from collections.abc import Mapping

from ...core.amounts.sentences import crumb
from ...core.stock import remainder
from ...core.words import Text, say
from ...store.stock.lines import count_lines
from ...store.stock.lots import Lot
from ..products.stuff import measure_of
from .lot_name import name_of


def spares(free: Mapping[int, int], amount: int) -> dict[int, int]:
    """Lot id → the most by which an amount may differ from what is free of the lot.

    Only of lots that the amount would empty. All in stock units.

    Args:
        free: lot id → the amount that may be taken of it.
    """
    near = [lot for lot, left in free.items() if 0 < left <= amount + remainder.MOST]
    lines = count_lines(near) if near else {}
    return {lot: remainder.allowance(free[lot], lines[lot]) for lot in near}


def of_lot(lot: Lot, free: int, asked: int) -> int:
    """The amount taken of one lot: as asked, or all that is free or left if that is almost as much.

    Args:
        free: the amount of the lot that no other job has reserved.
    """
    missed = [abs(asked - left) for left in (free, lot.on_hand)]
    if 0 in missed or min(missed) > remainder.MOST:
        return asked
    lines = count_lines([lot.id])[lot.id]
    if free > 0 and abs(asked - free) <= remainder.allowance(free, lines):
        return free
    over = asked - lot.on_hand
    return lot.on_hand if 0 < over <= remainder.allowance(lot.on_hand, lines) else asked


def back(lot: Lot, drawn: int, asked: int) -> int:
    """The amount that comes back of a lot: as asked, or all `drawn` if that is almost as much."""
    if not drawn < asked <= drawn + remainder.MOST:
        return asked
    spare = remainder.allowance(drawn, count_lines([lot.id])[lot.id])
    return drawn if asked - drawn <= spare else asked


def words(missed: int, lot: Lot, taken: int) -> Text:
    """A sentence about a draw that took the rest of a lot instead of the amount asked for.

    Args:
        missed: the amount taken less the amount asked for, in stock units.
        lot, taken: the last lot that it took from, and the amount.
    """
    return say(
        "What was {} of lot {} was taken, {} {} than was asked for.",
        "left" if taken == lot.on_hand else "free",
        name_of(lot),
        crumb(abs(missed), measure_of(lot.product)),
        "more" if missed > 0 else "less",
    )
