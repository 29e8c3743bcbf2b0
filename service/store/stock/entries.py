"""What a hand entered last, of what still stands and may be taken back."""

from __future__ import annotations

from typing import Any

from .. import bays
from ..tables import (
    BatchObservation,
    Layup,
    LayupObservation,
    Movement,
    Reading,
    Recorded,
    Withdrawal,
)
from ..yard import tokens, withdrawals
from ..yard.hands import Hand
from .standing import standing

Who = Hand | str
"""A hand itself, or anybody of a name."""


def is_own(row: Recorded, hand: Hand) -> bool:
    """Whether a hand recorded a row.

    A name that a login proved is not the same as one that was only given; but before there were
    tokens names could only be given, and what was recorded then stays its hand's.
    """
    if row.who != hand.name:
        return False
    if row.verified == hand.verified:
        return True
    first = tokens.first_made_at() if hand.verified else None
    return first is not None and row.recorded_at <= first


def by(model: Any, who: Who) -> Any:
    """The condition that a hand recorded a row of a table, as `is_own`; or anybody of a name."""
    if isinstance(who, str):
        return model.who == who
    first = tokens.first_made_at() if who.verified else None
    proven = model.verified == who.verified
    if first is not None:
        proven |= model.recorded_at <= first
    return (model.who == who.name) & proven


def last(who: Who) -> Recorded | None:
    """The last row that a hand recorded and that may be taken back, or None.

    Of one second what builds on another thing is later: a sighting, its layup, the stock drawn.
    """
    found = [select(who).first() for select in (_seen, _seen_of_pots, _laid, _moved, _read)]
    rows: list[Recorded] = [row for row in found if row is not None]
    return max(rows, key=lambda row: row.recorded_at, default=None)


def written_with(line: Movement) -> list[Movement]:
    """The lines of the ledger that one act wrote, the first first: a draw may be from many lots,
    and all that a pot drew belongs together.
    """
    if line.batch_id is not None:
        return list(standing().where(Movement.batch == line.batch_id).order_by(Movement.id))
    if line.kind not in ("draw", "scrap"):
        return [line]
    rows = standing().where(
        Movement.recorded_at == line.recorded_at,
        Movement.who == line.who,
        Movement.kind == line.kind,
        Movement.batch.is_null(),
    )
    same = (line.job_id, line.lot.product_id)
    return [row for row in rows.order_by(Movement.id) if (row.job_id, row.lot.product_id) == same]


def _moved(who: Who) -> Any:
    return standing().where(by(Movement, who)).order_by(Movement.id.desc())


def _laid(who: Who) -> Any:
    rows = Layup.select().where(by(Layup, who), withdrawals.standing(Withdrawal.layup))
    return rows.order_by(Layup.id.desc())


def _read(who: Who) -> Any:
    return Reading.select().where(by(Reading, who), bays.in_force()).order_by(Reading.id.desc())


def _seen(who: Who) -> Any:
    rows = LayupObservation.select().where(
        by(LayupObservation, who), withdrawals.standing(Withdrawal.layup_observation)
    )
    return rows.order_by(LayupObservation.id.desc())


def _seen_of_pots(who: Who) -> Any:
    rows = BatchObservation.select().where(
        by(BatchObservation, who),
        BatchObservation.kind != "not_mixed",
        withdrawals.standing(Withdrawal.batch_observation),
    )
    return rows.order_by(BatchObservation.id.desc())
