"""Observe a pot: gelled, not gelled, lost, or not mixed at all."""

from __future__ import annotations

from ...core.errors import AlreadyExists, Invalid
from ...store.cure import layups, pots
from ...store.cure.pots import Batch
from ...store.engine import turns
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.stock import ledger
from ...store.stock.lines import draws_of_batch, is_reversed
from ...store.yard.hands import Hand
from ..cure import ending
from ..cure.observe import observed_at
from ..yard import finding, permissions
from .card import CardView, show_card


def observe_pot(
    pot: Batch,
    *,
    kind: str,
    now: int,
    hand: Hand,
    at: int | None = None,
    note: str | None = None,
) -> CardView:
    """Record what was seen of a pot. 'not_mixed' returns all that was drawn for it to stock.

    Raises:
        Invalid: before it was mixed; not_mixed of a pot that was laid down.
        AlreadyExists: it was undone before.
    """
    with writing(Turn.CLOCK):
        turns.lock_jobs([pot.job_id])
        finding.refuse_signed(pot.job)
        at = observed_at(at, pot.mixed_at, "mixed", now, hand)
        pots.observe(pot.id, kind, at=at, note=note, now=now, hand=hand)
        if kind == "not_mixed":
            _undo(pot, note or "not mixed", now, hand)
        for layup in layups.layups_of_batches([pot.id]):
            ending.settle(layup, at, now, hand)
        return show_card(pot)


def _undo(pot: Batch, reason: str, now: int, hand: Hand) -> None:
    if layups.layups_of_batches([pot.id]):
        raise Invalid(
            f"Pot {pot.id} went into a layup, so it was mixed.",
            advice="If it is lost, say 'lost': what was drawn for it stays drawn.",
        )
    standing = [line for line in draws_of_batch(pot.id) if line.kind == "draw"]
    if not standing or is_reversed(standing[0].id):
        raise AlreadyExists(f"Pot {pot.id} was undone before.", advice="Nothing is left to do.")
    permissions.may_undo(pot, now, hand)
    ledger.reverse(standing[0].id, reason=reason, at=now, now=now, hand=hand, whole_batch=True)
