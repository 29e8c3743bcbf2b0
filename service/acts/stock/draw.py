"""Draw stock to a job, or scrap it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from ...core.amounts.quantities import Given
from ...core.errors import Invalid
from ...store.engine import turns
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.stock import ledger
from ...store.stock.lines import Movement, counted_since
from ...store.yard.hands import Hand
from ..yard import finding, moments, permissions
from .change_lot import open_if_closed
from .choose import Booking, Chosen, Line, choose, choose_from
from .lot_name import name_of
from .movement import MovedView, moved


def draw(
    *,
    kind: Literal["draw", "scrap"],
    quantity: Given | str,
    now: int,
    hand: Hand,
    lot: int | None = None,
    product: str | None = None,
    job: str | None = None,
    at: int | None = None,
    reason: str | None = None,
    override: Mapping[str, str] | None = None,
) -> MovedView:
    """Draw or scrap an amount of a lot, or of a product first-expired-first-out.

    Raises:
        Invalid: not one of lot and product; a draw without a job; a scrap without a reason.
        ExpiredLot, HeldLot, ShortStock, NoSinglePiece, ReservedStock, UnknownReference,
        JobClosed.
    """
    _check(kind, lot, product, job, reason)
    with writing(Turn.BESIDE):
        booking = Booking(
            kind=kind,
            at=moments.happened(at, now, "/at", by=hand),
            now=now,
            hand=hand,
            job=finding.open_job(job, "/job") if job else None,
            reason=reason,
            override=permissions.reason_of(override, hand),
        )
        if lot is not None:
            turns.lock_to_draw(lot)
            chosen = choose_from(finding.lot(lot, "/lot"), quantity, booking)
        else:
            turns.lock_stock([product or ""])
            chosen = choose(finding.product(product or "", "/product"), quantity, booking)
        return moved(carry_out(chosen, booking), chosen.warnings)


def carry_out(chosen: Chosen, booking: Booking) -> list[Movement]:
    """Write the chosen lines into the ledger; new warnings are added to `chosen`."""
    movements = []
    for line in chosen.lines:
        name = name_of(line.lot)
        if moments.day_of(booking.at) < line.lot.received_on:
            chosen.warnings.append(f"Lot {name} was received only after that.")
        if counted_since(line.lot.id, booking.at + 1):
            chosen.warnings.append(
                f"Lot {name} was counted after that: if the count saw it gone already, count it "
                "again."
            )
        movement = _post(line, chosen.quantity, booking)
        movements.append(movement)
        if line.overridden:
            permissions.overridden(
                line.overridden,
                booking.override or "",
                f"lot {name}",
                now=booking.now,
                hand=booking.hand,
                lot_id=line.lot.id,
                movement_id=movement.id,
                batch_id=booking.batch,
                job_id=booking.job_id,
            )
    return movements


def _check(
    kind: str, lot: int | None, product: str | None, job: str | None, reason: str | None
) -> None:
    if (lot is None) == (product is None):
        raise Invalid("Name either a lot or a product.", advice="Leave the other out.")
    if kind == "draw" and job is None:
        raise Invalid("A draw needs a job.", advice="Name the job that takes it.", pointer="/job")
    if kind == "scrap" and reason is None:
        raise Invalid("A scrap needs a reason.", advice="Say why.", pointer="/reason")


def _post(line: Line, quantity: Given | str, booking: Booking) -> Movement:
    """Write one line; a draw opens a closed container."""
    lot = line.lot
    if lot.product.measure == "mass" and booking.kind == "draw":
        open_if_closed(lot, moments.day_of(booking.at), booking.now, booking.hand)
    return ledger.post(
        lot.id,
        booking.kind,
        -line.amount,
        at=booking.at,
        now=booking.now,
        hand=booking.hand,
        job=booking.job_id,
        batch=booking.batch,
        reason=booking.override if line.overridden else booking.reason,
        typed=quantity if isinstance(quantity, str) else quantity.text,
        density_mg_l=lot.product.density_mg_l,
    )
