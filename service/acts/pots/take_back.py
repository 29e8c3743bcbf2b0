"""Take back an observation of a pot: it stays on record, and counts no longer."""

from __future__ import annotations

from ...core.errors import Invalid
from ...store.cure import layups, pots
from ...store.cure.pots import Batch
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.yard import withdrawals
from ...store.yard.hands import Hand
from ..cure import ending
from ..cure.take_back import not_noted
from ..yard import finding, permissions
from .card import CardView, show_card


def take_back_pot_seen(
    pot: Batch, observation: int, *, reason: str, now: int, hand: Hand
) -> CardView:
    """Take back an observation of a pot.

    Raises:
        NotFound: the pot has no such observation. AlreadyExists, NotAllowed.
        Invalid: it was 'not mixed', and its stock was returned.
    """
    with writing(Turn.CLOCK):
        finding.refuse_signed(pot.job)
        seen = pots.find_observation(observation)
        if seen is None or seen.batch_id != pot.id:
            raise not_noted(observation, f"pot {pot.id}")
        withdrawals.refuse_twice("batch_observation", seen.id, f"Observation {observation}")
        if seen.kind == "not_mixed":
            raise Invalid(
                f"What was drawn for pot {pot.id} went back into stock.",
                advice="If it was mixed after all, mix it again here: that draws it again.",
            )
        permissions.may_undo(seen, now, hand)
        withdrawals.withdraw("batch_observation", seen.id, reason, now=now, hand=hand)
        for layup in layups.layups_of_batches([pot.id]):
            ending.judge_again(layup, now, hand)
        return show_card(pot)
