"""How lines of the ledger are shown and listed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated

from ...core.amounts.views import Code, Moment, OneOf, Says, Stock, View
from ...core.frozen import frozen
from ...core.words import Text
from ...store.stock import acceptances, lines
from ...store.stock.acceptances import Acceptance
from ...store.stock.lines import Movement
from ...store.yard.hands import Hand
from ..products.stuff import kind_of
from ..yard import finding

MOVEMENT_KINDS = ("receipt", "draw", "return", "count", "scrap", "reversal")


@frozen
class MovementView(View):
    """One line of the ledger."""

    id: int
    lot: int
    number: Code
    container: str
    product: Code
    kind: Annotated[str, OneOf(MOVEMENT_KINDS)]
    quantity: Stock
    on_hand: Stock
    job: Code | None
    batch: int | None
    reverses: int | None
    reason: str | None
    accepted: Annotated[
        bool | None, Says("By a lead, of a count that found a difference; else null.")
    ]
    accepted_by: str | None
    typed: str | None
    at: Moment
    recorded_at: Moment
    who: str
    verified: bool


@frozen
class MovedView(View):
    """What was moved."""

    movements: list[MovementView]
    warnings: list[Text]


def moved(rows: Sequence[Movement], warnings: Sequence[Text] = ()) -> MovedView:
    """The lines that an act wrote."""
    return MovedView(show_movements(rows), list(warnings))


def show_movements(rows: Sequence[Movement]) -> list[MovementView]:
    """Lines of the ledger; counts with their acceptance."""
    accepted = acceptances.of_lines(rows)
    return [show_movement(row, accepted.get(row.id)) for row in rows]


def show_movement(row: Movement, acceptance: Acceptance | None = None) -> MovementView:
    """A line of the ledger.

    Args:
        acceptance: of a count, by a lead.
    """
    kind = kind_of(row.lot.product)
    return MovementView(
        id=row.id,
        lot=row.lot_id,
        number=row.lot.number,
        container=row.lot.container,
        product=row.lot.product.code,
        kind=row.kind,
        quantity=(row.amount, kind),
        on_hand=(row.on_hand, kind),
        job=row.job.number if row.job else None,
        batch=row.batch_id,
        reverses=row.reverses_id,
        reason=row.reason,
        accepted=(acceptance is not None) if acceptances.wanted(row) else None,
        accepted_by=acceptance.who if acceptance else None,
        typed=row.typed,
        at=row.at,
        recorded_at=row.recorded_at,
        who=row.who,
        verified=row.verified,
    )


def show_line(number: int) -> MovementView:
    """The line of the ledger with an id.

    Raises: NotFound.
    """
    return show_movements([finding.movement(number)])[0]


def list_movements(
    after: int | None,
    limit: int,
    *,
    lot: int | None = None,
    job: str | None = None,
    by: Hand | None = None,
    waiting: bool = False,
) -> list[MovementView]:
    """Lines, the newest first, after the one with that id; of a lot, a job or a hand.

    Args:
        waiting: only counts that no lead has accepted yet.

    Raises: NotFound: there is no such lot or job.
    """
    of_job = None if job is None else finding.job(job).id
    of_lot = None if lot is None else finding.lot(lot).id
    return show_movements(
        lines.newest(after, limit, lot=of_lot, job=of_job, by=by, waiting=waiting)
    )


def pages(
    rows: int, *, lot: int | None = None, job: str | None = None
) -> Iterator[list[MovementView]]:
    """All lines that are there when the first page is read, the newest first; of a lot or a job.

    Each page is a read of its own: between two of them the store is nobody's.

    Args:
        rows: how many a page has at most.

    Raises: as `list_movements`.
    """
    after = lines.last_line() + 1
    while page := list_movements(after, rows, lot=lot, job=job):
        yield page
        after = page[-1].id
