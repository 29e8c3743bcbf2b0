"""Draw stock to a job, or scrap it: first expired first, never a lot that is out of date."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Annotated, Any, Literal

from ...core.amounts.quantities import Given
from ...core.amounts.views import Code, Moment, OneOf, Says, Stock, View
from ...core.errors import ExpiredLot, HeldLot, Invalid, NoSinglePiece, ReservedStock, ShortStock
from ...core.stock import picking
from ...core.stock.picking import Shelved
from ...store.engine.database import writing
from ...store.products import Product
from ...store.stock import acceptances, ledger
from ...store.stock.acceptances import Acceptance
from ...store.stock.jobs import Job, numbers_of
from ...store.stock.lines import Movement, counted_since
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..products.nature import life_type_of
from ..products.product import kind_of, measure_of, stuff_of
from ..yard import conversions as units
from ..yard import finding, moments, settings
from ..yard import permissions as leave
from . import lot as lot_life
from . import remainders, reserve
from .change_lot import open_if_closed
from .on_shelf import OnShelf, on_shelf
from .reserve import Reserved

ALL = "all"


MOVEMENT_KINDS = ("receipt", "draw", "return", "count", "scrap", "reversal")


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class Booking:
    """Who takes something out, for what, when, and by whose leave.

    Attributes:
        at, now: when it happened and when it is recorded, epoch s.
        override: why a lot that would be refused is drawn all the same.
    """

    kind: Literal["draw", "scrap"]
    at: int
    now: int
    hand: Hand
    job: Job | None = None
    batch: int | None = None
    reason: str | None = None
    override: str | None = None


@dataclass(frozen=True)
class Line:
    """So much of one lot, and the slug of the refusal that was overridden for it, if any."""

    lot: Lot
    amount: int
    overridden: str | None = None


@dataclass
class Planned:
    """What would be taken, in order, and what a person should hear of it.

    Attributes:
        missed: what it takes beyond what was asked for, in stock units; below zero where it
            takes less, as what is left of a lot (see `remainders`).
    """

    quantity: Given | str
    lines: list[Line]
    warnings: list[str] = field(default_factory=list)
    missed: int = 0


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
    override: dict[str, str] | None = None,
) -> dict[str, Any]:
    """Draw or scrap an amount of a lot, or of a product first-expired-first-out.

    Raises:
        Invalid: not one of lot and product; a draw without a job; a scrap without a reason.
        ExpiredLot, HeldLot, ShortStock, NoSinglePiece, ReservedStock, UnknownReference,
        JobClosed.
    """
    _check(kind, lot, product, job, reason, quantity)
    with writing():
        booking = Booking(
            kind=kind,
            at=moments.happened(at, now, "/at", by=hand),
            now=now,
            hand=hand,
            job=finding.open_job(job, "/job") if job else None,
            reason=reason,
            override=leave.reason_of(override, hand),
        )
        if lot is not None:
            planned = plan_from(finding.lot(lot, "/lot"), quantity, booking)
        else:
            planned = plan(finding.product(product or "", "/product"), quantity, booking)
        return show(carry_out(planned, booking), planned.warnings)


def plan(product: Product, quantity: Given | str, booking: Booking) -> Planned:
    """Choose lots first-expired-first-out; expired and held lots are passed over aloud."""
    amount = amount_of(product, quantity)
    stock = on_shelf(product)
    good, warnings = _good_lots(stock, booking)
    promised = reserve.of_stock(stock, moments.day_of(booking.at))
    try:
        lines = _picked(stock, amount, good, promised.by_lot(but=_job_id(booking)))
    except (ShortStock, NoSinglePiece):
        lines = _picked(stock, amount, good, {})
        lines = _by_leave(lines, promised, booking)
    return _planned(quantity, amount, lines, warnings)


def plan_from(lot: Lot, quantity: Given | str, booking: Booking) -> Planned:
    """Take from one lot, if it may be used on the day of the act."""
    overridden = _judge(lot, booking)
    asked = lot.on_hand if quantity == ALL else amount_of(lot.product, quantity)
    if lot.on_hand == 0:
        raise ShortStock(
            f"Lot {lot_life.name_of(lot)} is empty.", advice="Take another lot.", lot=lot.id
        )
    if overridden is not None:
        lines = [Line(lot, remainders.of_lot(lot, lot.on_hand, asked), overridden)]
    else:
        lines = [_what_is_free(lot, asked, booking)]
    return _planned(quantity, asked, lines, [])


def _planned(quantity: Given | str, asked: int, lines: list[Line], warnings: list[str]) -> Planned:
    missed = sum(line.amount for line in lines) - asked
    if missed:
        warnings = [*warnings, remainders.words(missed, lines[-1].lot, lines[-1].amount)]
    return Planned(quantity, lines, warnings + _overridden_words(lines), missed)


def _what_is_free(lot: Lot, asked: int, booking: Booking) -> Line:
    """An amount of a lot that is in order, as far as other jobs have not reserved it.

    Raises: as `_by_leave`.
    """
    promised = reserve.of_product(lot.product, moments.day_of(booking.at))
    others = promised.by_lot(but=_job_id(booking))[lot.id]
    line = Line(lot, remainders.of_lot(lot, lot.on_hand - others, asked))
    return _by_leave([line], promised, booking)[0] if line.amount <= lot.on_hand else line


def carry_out(planned: Planned, booking: Booking) -> list[Movement]:
    """Write what was planned into the ledger; warnings that arise are added to the plan's."""
    movements = []
    for line in planned.lines:
        if moments.day_of(booking.at) < line.lot.received_on:
            planned.warnings.append(
                f"Lot {lot_life.name_of(line.lot)} was received only after that."
            )
        if counted_since(line.lot.id, booking.at + 1):
            planned.warnings.append(
                f"Lot {lot_life.name_of(line.lot)} was counted after that: if the count saw it "
                "gone already, count it again."
            )
        movement = _take(line, planned.quantity, booking)
        movements.append(movement)
        if line.overridden:
            leave.overridden(
                line.overridden,
                booking.override or "",
                f"lot {lot_life.name_of(line.lot)}",
                now=booking.now,
                hand=booking.hand,
                lot_id=line.lot.id,
                movement_id=movement.id,
                batch_id=booking.batch,
                job_id=_job_id(booking),
            )
    return movements


def amount_of(product: Product, quantity: Given | str, pointer: str = "/quantity") -> int:
    """An asked amount in the product's stock units; `pointer` is where it stands."""
    if isinstance(quantity, str):
        raise Invalid(
            "'all' is of one lot.", advice="Name the lot, or give an amount.", pointer=pointer
        )
    amount = units.in_ledger(quantity, stuff_of(product), pointer)
    if amount <= 0:
        raise Invalid("Nothing is asked for.", advice="Give an amount.", pointer=pointer)
    return amount


def show(movements: list[Movement], warnings: list[str] | None = None) -> dict[str, Any]:
    """What was moved, for an answer."""
    return {
        "movements": show_movements(movements),
        "warnings": warnings or [],
    }


def show_movements(rows: Sequence[Movement]) -> list[MovementView]:
    """Lines of the ledger, counts with what became of them."""
    accepted = acceptances.of_lines(rows)
    return [show_movement(row, accepted.get(row.id)) for row in rows]


def show_movement(row: Movement, acceptance: Acceptance | None = None) -> MovementView:
    """A line of the ledger; `acceptance` is a lead's, of a count."""
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


def _check(
    kind: str,
    lot: int | None,
    product: str | None,
    job: str | None,
    reason: str | None,
    quantity: Given | str,
) -> None:
    if (lot is None) == (product is None):
        raise Invalid("Name a lot or a product, one of the two.", advice="Leave the other out.")
    if kind == "draw" and job is None:
        raise Invalid("A draw is to a job.", advice="Name the job that takes it.", pointer="/job")
    if kind == "scrap" and reason is None:
        raise Invalid("A scrap wants a reason.", advice="Say why.", pointer="/reason")


def _good_lots(stock: OnShelf, booking: Booking) -> tuple[list[Lot], list[str]]:
    """The lots that may be used on the day of the act, and a word on each that may not."""
    on, good, refused = moments.day_of(booking.at), [], {}
    for row in stock.rows:
        state = stock.state(row, on)
        if state in ("held", "expired") and booking.kind == "draw":
            refused[row] = state
        else:
            good.append(row)
    if refused and not good:
        _judge(next(iter(refused)), replace(booking, override=None))
    return good, [
        f"Passed over lot {lot_life.name_of(row)}: {state}." for row, state in refused.items()
    ]


def _job_id(booking: Booking) -> int | None:
    return booking.job.id if booking.job else None


def _picked(stock: OnShelf, amount: int, good: list[Lot], others: Mapping[int, int]) -> list[Line]:
    """Lots first-expired-first-out, without what others have reserved of each."""
    product = stock.product
    free = {row.id: row.on_hand - others.get(row.id, 0) for row in good}
    spare = remainders.spares(free, amount)
    shelved = [Shelved(r.id, stock.ends[r.id], free[r.id], spare.get(r.id, 0)) for r in good]
    picks = picking.pick(amount, shelved, measure=measure_of(product), what=product.code)
    rows = {row.id: row for row in good}
    return [Line(rows[p.lot], p.amount) for p in picks]


def _by_leave(lines: list[Line], promised: Reserved, booking: Booking) -> list[Line]:
    """The same lines where no other job gets less for them, or where that was overridden.

    A scrap is never refused: what is spoilt serves nobody.

    Raises:
        ReservedStock: other jobs would get less.
    """
    job = _job_id(booking)
    others = promised.by_lot(but=job)
    over = [line for line in lines if line.amount > line.lot.on_hand - others[line.lot.id]]
    harmed = promised.harmed_by(job, {line.lot.id: line.amount for line in lines}) if over else []
    if not harmed or booking.kind == "scrap":
        return lines
    numbers = list(numbers_of(harmed).values())
    if booking.override is None:
        raise ReservedStock(
            f"That much of {lines[0].lot.product.code} is not free: it is reserved for "
            f"{', '.join(numbers)}.",
            advice="Draw less, receive more, or have a lead override it with a reason.",
            jobs=numbers,
        )
    return [replace(e, overridden=ReservedStock.slug) if e in over else e for e in lines]


def _overridden_words(lines: list[Line]) -> list[str]:
    return [
        f"Lot {lot_life.name_of(line.lot)} was {line.overridden.split('-')[0]}: overridden."
        for line in lines
        if line.overridden
    ]


def _judge(lot: Lot, booking: Booking) -> str | None:
    """The slug of the refusal that was overridden, None where there is none; else refuses."""
    if booking.kind == "scrap":
        return None
    state = lot_life.state_of(lot, moments.day_of(booking.at))
    name = lot_life.name_of(lot)
    if state == "held":
        if booking.override:
            return HeldLot.slug
        raise HeldLot(
            f"Lot {name} is held: {lot.hold_reason}.",
            advice="Take another lot, or have a lead release it.",
            lot=lot.id,
        )
    if state == "expired":
        last = lot_life.last_day(lot)
        final = _why_final(lot.product)
        if booking.override and not final:
            return ExpiredLot.slug
        raise ExpiredLot(
            f"Lot {name} is out of date since {last}.",
            advice=final or "Take another lot, or have a lead extend it after a cup test.",
            lot=lot.id,
        )
    return None


def _why_final(product: Product) -> str:
    """Why nobody may override that a product is out of date, and what to do; else nothing."""
    if life_type_of(product) == "I":
        return (
            "Take another lot; this kind is never used after its date: isolate it, and "
            "dispose of it by its safety sheet."
        )
    if settings.rules().strict_dates:
        return "Take another lot: by the yard's rules no batch is used after its date."
    return ""


def _take(line: Line, quantity: Given | str, booking: Booking) -> Movement:
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
        job=booking.job.id if booking.job else None,
        batch=booking.batch,
        reason=booking.override if line.overridden else booking.reason,
        typed=quantity if isinstance(quantity, str) else quantity.text,
        density_mg_l=lot.product.density_mg_l,
    )
