"""A pot's card: what the hand was told when it was mixed, and what was seen of it since."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from ...core.amounts.views import Moment, OneOf, View
from ...store.cure import pots
from ...store.cure.pots import Batch, BatchObservation
from . import mix

State = Literal["mixed", "lost", "not_mixed"]
STATES = ("mixed", "lost", "not_mixed")
KINDS = ("gelled", "not_gelled", "lost", "not_mixed")
"""What a hand may note of a pot."""


@dataclass(frozen=True)
class PotSeenView(View):
    """What was seen of a pot."""

    id: int
    kind: Annotated[str, OneOf(KINDS)]
    at: Moment
    note: str | None
    who: str
    verified: bool


def show_card(row: Batch) -> dict[str, Any]:
    """A pot as `mix.show_batch` has it, with its `state` and its `observations`, oldest first."""
    seen = pots.observations_of_batch(row.id)
    return {
        **mix.show_batch(row),
        "state": state_of({each.kind for each in seen}),
        "observations": [show_seen(each) for each in seen],
    }


def show_seen(row: BatchObservation) -> PotSeenView:
    """What was seen of a pot, when, and by whom."""
    return PotSeenView(row.id, row.kind, row.at, row.note, row.who, row.verified)


def state_of(kinds: set[str]) -> State:
    """Whether it went into work. One that was lost was mixed; its stock stays drawn."""
    if "not_mixed" in kinds:
        return "not_mixed"
    return "lost" if "lost" in kinds else "mixed"
