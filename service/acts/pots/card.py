"""A pot's mix card: what the hand was told when it was mixed, and what was seen of it since."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Annotated, Literal

from ...core.amounts.views import Closing, Code, LeftOut, Moment, OneOf, Opening, Says, View
from ...core.frozen import frozen
from ...core.words import Text, from_plain
from ...store.cure import pots
from ...store.cure.pots import Batch, BatchObservation
from ...store.stock.lines import Movement, draws_of_batch, draws_of_batches
from ..stock.movement import MovementView, show_movement
from ..yard import moments
from .dose import DoseView, recall
from .parts import PartView, show_parts
from .promoter import PromoterView
from .putty import PuttyView

State = Literal["mixed", "lost", "not_mixed"]
KINDS = ("gelled", "not_gelled", "lost", "not_mixed")
"""What a hand may see of a pot."""


@frozen
class PotSeenView(View):
    """An observation of a pot."""

    id: int
    kind: Annotated[str, OneOf(KINDS)]
    at: Moment
    note: str | None
    who: str
    verified: bool


@frozen
class BatchView(DoseView):
    """The mix card of a pot."""

    id: int
    job: Code
    resin_lot: int
    catalyst_lot: int | None
    draws: list[MovementView]
    parts: list[PartView]
    promoter: PromoterView | None
    putty: PuttyView | None
    mixed_at: Moment
    gel_at: Closing | None
    gel_at_earliest: Closing | None
    gel_at_latest: Opening | None
    who: str
    verified: bool
    state: Annotated[State | None, LeftOut()]
    first_today: Annotated[
        bool | None,
        Says("Whether it is the day's first pot of its resin; left out of lists."),
        LeftOut(),
    ]


@frozen
class CardView(BatchView):
    """The mix card of a pot, with its state and its observations."""

    state: State
    observations: list[PotSeenView]


def show_batch(
    row: Batch,
    lines: Sequence[Movement] | None = None,
    words: Sequence[Text] = (),
    state: State | None = None,
    first_today: bool | None = None,
) -> BatchView:
    """A pot as the hand was told it, with what was drawn for it.

    Args:
        lines: of the ledger, of the pot; looked up if they are not given.
        words: warnings beside those of the dose. state, first_today: where they are to be shown.
    """
    kept = json.loads(row.answer, object_hook=from_plain)
    dose, promoter, putty = recall(kept), kept.get("promoter"), kept.get("putty")
    lines = draws_of_batch(row.id) if lines is None else lines
    return BatchView(
        **vars(dose) | {"warnings": [*dose.warnings, *words]},
        id=row.id,
        job=row.job.number,
        resin_lot=row.resin_lot_id,
        catalyst_lot=row.catalyst_lot_id,
        draws=[show_movement(line) for line in lines],
        parts=show_parts(dose.catalyst, lines),
        promoter=None if promoter is None else PromoterView.recalled(promoter),
        putty=None if putty is None else PuttyView.recalled(putty),
        mixed_at=row.mixed_at,
        gel_at=_after(row.mixed_at, row.gel_s),
        gel_at_earliest=_after(row.mixed_at, row.gel_earliest_s),
        gel_at_latest=_after(row.mixed_at, row.gel_latest_s),
        who=row.who,
        verified=row.verified,
        state=state,
        first_today=first_today,
    )


def show_batches(rows: Sequence[Batch]) -> list[BatchView]:
    """As `show_batch`, of some pots: in as few queries as of one."""
    lines = draws_of_batches([row.id for row in rows])
    return [show_batch(row, lines[row.id]) for row in rows]


def show_card(row: Batch) -> CardView:
    """A pot with its state and its observations, oldest first."""
    seen = pots.observations_of_batch(row.id)
    state = state_of({each.kind for each in seen})
    return CardView(
        **vars(show_batch(row, first_today=is_first_today(row))) | {"state": state},
        observations=[show_seen(each) for each in seen],
    )


def is_first_today(row: Batch) -> bool:
    """Whether no pot of its resin was mixed before it on its day in the yard."""
    midnight = moments.start_of(moments.day_of(row.mixed_at))
    return not pots.any_before(row, since=midnight)


def show_seen(row: BatchObservation) -> PotSeenView:
    """An observation of a pot, for an answer."""
    return PotSeenView(row.id, row.kind, row.at, row.note, row.who, row.verified)


def state_of(kinds: set[str]) -> State:
    """Whether it went into work. One that was lost was mixed; its stock stays drawn."""
    if "not_mixed" in kinds:
        return "not_mixed"
    return "lost" if "lost" in kinds else "mixed"


def _after(moment: int, seconds: int | None) -> int | None:
    return None if seconds is None else moment + seconds
