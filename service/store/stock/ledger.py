"""The ledger: the only writer of movements, of `lot.on_hand` and of a lot's cost.

A lot's on hand is the sum of its movements' amounts; what is left of its cost is what came
in less what its movements took. Both are also kept on the lot, so that a draw takes as long
after ten years as on the first day; `proofs` holds them to the rows.
"""

from __future__ import annotations

from itertools import accumulate
from typing import Any, Literal

from ...core import errors
from ...core.amounts.sentences import stock
from ...core.products.materials import MEASURE_OF_ROLE
from ...core.words import say
from .. import tables
from ..engine import turns
from ..engine.database import writing
from ..engine.rows import insert, query, scalar
from ..engine.turns import Turn
from ..yard.hands import Hand
from . import lines, lots
from .lines import Movement
from .lots import Lot
from .reversals import refuse_if_final, undone_together

Kind = Literal["receipt", "draw", "return", "count", "scrap"]

MOST = 10**15
"""The greatest amount of a line, in base units: a million tonnes, or a million kilometres."""


def post(
    lot_id: int,
    kind: Kind,
    amount: int,
    *,
    at: int,
    now: int,
    hand: Hand,
    job: int | None = None,
    batch: int | None = None,
    reason: str | None = None,
    typed: str | None = None,
    density_mg_l: int | None = None,
    counted_at: int | None = None,
    cost_minor: int | None = None,
    currency: str | None = None,
) -> Movement:
    """Write one line and bring its lot along, in one transaction.

    Args:
        lot_id: of a lot that exists.
        amount: in base units of the product's measure; above zero comes in, below goes out,
            and a count's is the difference.
        at, now: when it happened, and when it is recorded, in epoch seconds.
        job, batch: ids. typed, density_mg_l: the quantity's text, and what made it mass.
        cost_minor, currency: of what comes in and has no cost yet: what the whole amount
            cost, in minor units. A line that goes out works out its own share.

    Raises:
        errors.ShortStock: the lot has less than that. errors.Invalid: more than any store has.
    """
    if abs(amount) > MOST:
        raise errors.Invalid("That is more than a store can hold.", advice="Check the unit.")
    with writing(Turn.BESIDE):
        lot = _move(lot_id, amount)
        if cost_minor is None:
            charge, currency = _share(lot, kind, amount), lot.currency
            _take_cost(lot, charge)
        else:
            charge = -cost_minor
            _bring_cost(lot, amount, cost_minor, currency)
        return _write(
            lot, kind, amount, charge,
            currency=currency, at=at, job_id=job, batch_id=batch, reason=reason, typed=typed,
            density_mg_l=density_mg_l, counted_at=counted_at, **hand.signed(now),
        )  # fmt: skip


def reverse(
    movement_id: int,
    *,
    reason: str,
    at: int,
    now: int,
    hand: Hand,
    whole_batch: bool = False,
) -> list[Movement]:
    """Undo a line by its mirror; of a batch's draws all, and only when asked for all.

    Raises:
        errors.UnknownReference: no such line. errors.Invalid: it is itself a reversal.
        errors.AlreadyExists: it was reversed before. errors.CountedSince: a later count
        already holds the truth. errors.PartOfBatch: the pot's other draws would stand.
        errors.ShortStock: what it brought in is drawn, or gone.
    """
    with writing(Turn.BESIDE):
        undone = undone_together(movement_id, whole_batch=whole_batch)
        turns.lock_lots(line.lot_id for line in undone)
        return [_mirror(line, at=at, reason=reason, **hand.signed(now)) for line in undone]


def on_hand_at(lot_id: int, moment: int) -> int:
    """What a lot had at a moment, in base units, as far as is known now.

    A reversed line never happened, and a count's difference was there when it was counted.
    """
    sql = """
        SELECT SUM(line.amount) FROM movement AS line
        LEFT JOIN movement AS original ON original.id = line.reverses_id
        WHERE line.lot_id = ?
        AND COALESCE(original.counted_at, original.at, line.counted_at, line.at) <= ?
    """
    return int(scalar(sql, lot_id, moment) or 0)


def most_on_hand(lot_id: int) -> int:
    """The most that a lot ever had by its lines, in base units."""
    rows = query("SELECT amount FROM movement WHERE lot_id = ? ORDER BY id", lot_id)
    return max(accumulate(amount for (amount,) in rows), default=0)


def worth_back(lot: Lot, amount: int) -> int | None:
    """What an amount that comes back is worth, in minor units; None when that is not known.

    Its share of the whole container's cost, rounded down, and never more than was taken of
    it. For an offcut it is the cost of the piece, which `post` is given with its return.
    """
    if lot.cost_left_minor is None or lot.cost_minor is None or lot.cost_of is None:
        return None
    return min(lot.cost_minor - lot.cost_left_minor, lot.cost_minor * amount // lot.cost_of)


def _move(lot_id: int, amount: int) -> Lot:
    """Change a lot's on hand unless it would go below zero; the lot as it is after that."""
    sql = "UPDATE lot SET on_hand = on_hand + ? WHERE id = ? AND on_hand + ? >= 0 RETURNING id"
    moved = query(sql, amount, lot_id, amount)
    lot = lots.find_lot(lot_id)
    if lot is None:
        raise errors.UnknownReference(f"There is no lot {lot_id}.", advice="Look up its id.")
    if moved:
        return lot
    raise errors.ShortStock(
        say(
            "Lot {}, container {}, has less than that: {}.",
            lot.number,
            lot.container,
            stock(lot.on_hand, MEASURE_OF_ROLE[lot.product.role]),
        ),
        advice="Draw less, or count the lot if there is more of it.",
        lot=lot_id,
        on_hand=lot.on_hand,
        wanted=-amount,
    )


def _share(lot: Lot, kind: Kind, amount: int) -> int | None:
    """What a line takes of a lot's cost, in minor units; None when that is not known.

    What goes out takes cost left × amount ÷ on hand, rounded down, and the last of it takes
    the rest, so a lot's shares add up to its cost. What comes back brings its worth back; what a
    count finds more is free.
    """
    if kind == "return":
        worth = worth_back(lot, amount)
        return None if worth is None else -worth
    if lot.cost_left_minor is None:
        return None
    if amount >= 0:
        return 0
    if lot.on_hand == 0:
        return lot.cost_left_minor
    return lot.cost_left_minor * -amount // (lot.on_hand - amount)


def _take_cost(lot: Lot, charge: int | None) -> None:
    if charge:
        sql = "UPDATE lot SET cost_left_minor = cost_left_minor - ? WHERE id = ? RETURNING id"
        query(sql, charge, lot.id)


def _bring_cost(lot: Lot, amount: int, cost_minor: int, currency: str | None) -> None:
    if lot.cost_minor is not None:
        raise ValueError("a lot's cost is given once, by the line that brings it in")
    lots.set_quietly(
        lot.id,
        cost_minor=cost_minor,
        cost_of=amount,
        cost_left_minor=cost_minor,
        currency=currency,
    )


def _mirror(line: Movement, **columns: Any) -> Movement:
    refuse_if_final(line)
    lot = _move(line.lot_id, -line.amount)
    charge = None if line.cost_minor is None else -line.cost_minor
    if line.kind == "receipt":
        _forget_cost(lot)
    else:
        _take_cost(lot, charge)
    return _write(
        lot, "reversal", -line.amount, charge,
        currency=lot.currency, reverses_id=line.id, job_id=line.job_id, batch_id=line.batch_id,
        **columns,
    )  # fmt: skip


def _forget_cost(lot: Lot) -> None:
    """A delivery that never was cost nothing; the same lot may be received again."""
    lots.set_quietly(lot.id, cost_minor=None, cost_of=None, cost_left_minor=None, currency=None)


def _write(
    lot: Lot,
    kind: str,
    amount: int,
    charge: int | None,
    *,
    currency: str | None,
    **columns: Any,
) -> Movement:
    written = insert(
        tables.Movement,
        lot_id=lot.id,
        kind=kind,
        amount=amount,
        on_hand=lot.on_hand,
        cost_minor=charge,
        currency=None if charge is None else currency,
        **columns,
    )
    return lines.line(written)
