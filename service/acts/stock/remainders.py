"""What a draw takes where it comes within rounding of what is left in a lot."""

from __future__ import annotations

from collections.abc import Mapping

from ...core.amounts import sentences as worded
from ...core.stock import remainder
from ...store.stock.lines import count_lines
from ...store.stock.lots import Lot
from ..products.product import measure_of
from . import lot as lot_life


def spares(free: Mapping[int, int], amount: int) -> dict[int, int]:
    """Lot id → how far an amount may miss what is free of it; only of lots that it would empty.

    Args:
        free: lot id → what may be taken of it, in stock units.
    """
    near = [lot for lot, left in free.items() if 0 < left <= amount + remainder.MOST]
    lines = count_lines(near) if near else {}
    return {lot: remainder.allowance(free[lot], lines[lot]) for lot in near}


def of_lot(lot: Lot, free: int, asked: int) -> int:
    """What is taken of one lot: what is asked, or what is free or left where that is about as much.

    Args:
        free: of its stock, what nobody else has reserved.
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
    """What comes back of a lot that so much was drawn of: never more, for rounding."""
    if not drawn < asked <= drawn + remainder.MOST:
        return asked
    spare = remainder.allowance(drawn, count_lines([lot.id])[lot.id])
    return drawn if asked - drawn <= spare else asked


def words(missed: int, lot: Lot, taken: int) -> str:
    """A sentence on a draw that took what was left instead of what was asked for.

    Args:
        missed: what it took beyond that, or below zero, in stock units. lot, taken: the last
            that it took of, and how much.
    """
    name, amount = lot_life.name_of(lot), worded.crumb(abs(missed), measure_of(lot.product))
    return (
        f"What was {'left' if taken == lot.on_hand else 'free'} of lot {name} was taken, {amount} "
        f"{'more' if missed > 0 else 'less'} than was asked for."
    )
