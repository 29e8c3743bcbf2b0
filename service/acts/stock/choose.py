"""Choose the lots that a draw takes: the first to expire first, none that is out of date."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from ...core.amounts.quantities import Given
from ...core.errors import ExpiredLot, HeldLot, Invalid, NoSinglePiece, ReservedStock, ShortStock
from ...core.frozen import frozen
from ...core.stock import picking
from ...core.stock.picking import Shelved
from ...core.words import Text
from ...store.products import Product
from ...store.stock.jobs import Job, numbers_of
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..products.nature import life_type_of
from ..products.stuff import measure_of, stuff_of
from ..yard import conversions, moments, settings
from . import remainders, reserve
from .lot_life import OnShelf, last_day, on_shelf, state_of
from .lot_name import name_of
from .reserve import Reserved

ALL = "all"
"""The quantity that takes all of a lot."""


@frozen
class Booking:
    """Who takes stock, for what and when.

    Attributes:
        at, now: when it happened and when it is recorded, epoch s.
        override: a lead's reason to draw a lot that is otherwise refused.
    """

    kind: Literal["draw", "scrap"]
    at: int
    now: int
    hand: Hand
    job: Job | None = None
    batch: int | None = None
    reason: str | None = None
    override: str | None = None

    @property
    def job_id(self) -> int | None:
        """The job's id."""
        return self.job.id if self.job else None


@frozen
class Line:
    """An amount of one lot, in stock units.

    Attributes:
        overridden: the slug of the refusal that was overridden for it, if any.
    """

    lot: Lot
    amount: int
    overridden: str | None = None


@dataclass
class Chosen:
    """The lots to take from, in order, and the warnings about them.

    Attributes:
        quantity: as it was asked for.
        missed: the amount taken less the amount asked for, in stock units: not zero if the rest
            of a lot is taken (see `remainders`).
    """

    quantity: Given | str
    lines: list[Line]
    warnings: list[Text] = field(default_factory=list)
    missed: int = 0


def choose(product: Product, quantity: Given | str, booking: Booking) -> Chosen:
    """Choose lots of a product; expired and held lots are passed over, with a warning each.

    Raises:
        ShortStock, NoSinglePiece: there is not enough, or not in one piece. ReservedStock.
        ExpiredLot, HeldLot: all that there is would be passed over.
    """
    amount = amount_of(product, quantity)
    stock = on_shelf(product)
    good, warnings = _good_lots(stock, booking)
    reserved = reserve.of_stock(stock, moments.day_of(booking.at))
    try:
        lines = _picked(stock, amount, good, reserved.by_lot(but=booking.job_id))
    except (ShortStock, NoSinglePiece):
        lines = _picked(stock, amount, good, {})
        lines = _checked(lines, reserved, booking)
    return _chosen(quantity, amount, lines, warnings)


def choose_from(lot: Lot, quantity: Given | str, booking: Booking) -> Chosen:
    """Take from one lot.

    Raises:
        ExpiredLot, HeldLot: on the day of the act. ShortStock: it is empty. ReservedStock.
    """
    overridden = _refuse_state(lot, booking)
    asked = lot.on_hand if quantity == ALL else amount_of(lot.product, quantity)
    if lot.on_hand == 0:
        raise ShortStock(f"Lot {name_of(lot)} is empty.", advice="Take another lot.", lot=lot.id)
    if overridden is not None:
        lines = [Line(lot, remainders.of_lot(lot, lot.on_hand, asked), overridden)]
    else:
        lines = [_free(lot, asked, booking)]
    return _chosen(quantity, asked, lines, [])


def amount_of(product: Product, quantity: Given | str, pointer: str = "/quantity") -> int:
    """An amount in the product's stock units.

    Args:
        pointer: to the quantity in the request.
    """
    if isinstance(quantity, str):
        raise Invalid(
            "'all' is of one lot.", advice="Name the lot, or give an amount.", pointer=pointer
        )
    amount = conversions.in_ledger(quantity, stuff_of(product), pointer)
    if amount <= 0:
        raise Invalid("Nothing is asked for.", advice="Give an amount.", pointer=pointer)
    return amount


def _chosen(quantity: Given | str, asked: int, lines: list[Line], warnings: list[Text]) -> Chosen:
    missed = sum(line.amount for line in lines) - asked
    if missed:
        warnings = [*warnings, remainders.words(missed, lines[-1].lot, lines[-1].amount)]
    overridden: list[Text] = [
        f"Lot {name_of(line.lot)} was {line.overridden.split('-')[0]}: overridden."
        for line in lines
        if line.overridden
    ]
    return Chosen(quantity, lines, warnings + overridden, missed)


def _free(lot: Lot, asked: int, booking: Booking) -> Line:
    """An amount of a lot in good state, as far as other jobs have not reserved it.

    Raises: as `_checked`.
    """
    reserved = reserve.of_product(lot.product, moments.day_of(booking.at))
    others = reserved.by_lot(but=booking.job_id)[lot.id]
    line = Line(lot, remainders.of_lot(lot, lot.on_hand - others, asked))
    return _checked([line], reserved, booking)[0] if line.amount <= lot.on_hand else line


def _good_lots(stock: OnShelf, booking: Booking) -> tuple[list[Lot], list[Text]]:
    """The lots that may be used on the day of the act, and a warning for each that may not."""
    on, good, refused = moments.day_of(booking.at), [], {}
    for row in stock.rows:
        state = stock.state(row, on)
        if state in ("held", "expired") and booking.kind == "draw":
            refused[row] = state
        else:
            good.append(row)
    if refused and not good:
        _refuse_state(next(iter(refused)), replace(booking, override=None))
    return good, [f"Passed over lot {name_of(row)}: {state}." for row, state in refused.items()]


def _picked(stock: OnShelf, amount: int, good: list[Lot], others: Mapping[int, int]) -> list[Line]:
    """Lots first-expired-first-out.

    Args:
        others: lot id → the amount that other jobs have reserved, which is left.
    """
    product = stock.product
    free = {row.id: row.on_hand - others.get(row.id, 0) for row in good}
    spare = remainders.spares(free, amount)
    shelved = [Shelved(r.id, stock.ends[r.id], free[r.id], spare.get(r.id, 0)) for r in good]
    picks = picking.pick(amount, shelved, measure=measure_of(product), what=product.code)
    rows = {row.id: row for row in good}
    return [Line(rows[p.lot], p.amount) for p in picks]


def _checked(lines: list[Line], reserved: Reserved, booking: Booking) -> list[Line]:
    """The same lines, if no other job gets less for them, or a lead overrides that.

    A scrap is never refused: spoilt stock is of no use to any job.

    Raises:
        ReservedStock: other jobs would get less.
    """
    job = booking.job_id
    others = reserved.by_lot(but=job)
    over = [line for line in lines if line.amount > line.lot.on_hand - others[line.lot.id]]
    harmed = reserved.harmed_by(job, {line.lot.id: line.amount for line in lines}) if over else []
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


def _refuse_state(lot: Lot, booking: Booking) -> str | None:
    """Refuse a draw of a held or expired lot.

    Returns:
        The slug of the refusal if it was overridden, else None.
    """
    if booking.kind == "scrap":
        return None
    state = state_of(lot, moments.day_of(booking.at))
    if state == "held":
        if booking.override:
            return HeldLot.slug
        raise HeldLot(
            f"Lot {name_of(lot)} is held: {lot.hold_reason}.",
            advice="Take another lot, or have a lead release it.",
            lot=lot.id,
        )
    if state == "expired":
        final = _why_final(lot.product)
        if booking.override and not final:
            return ExpiredLot.slug
        raise ExpiredLot(
            f"Lot {name_of(lot)} is out of date since {last_day(lot)}.",
            advice=final or "Take another lot, or have a lead extend it after a cup test.",
            lot=lot.id,
        )
    return None


def _why_final(product: Product) -> str:
    """What to do, if nobody may override that a product is out of date; else empty."""
    if life_type_of(product) == "I":
        return (
            "Take another lot; this kind is never used after its date: isolate it, and "
            "dispose of it by its safety sheet."
        )
    if settings.rules().strict_dates:
        return "Take another lot: by the yard's rules no batch is used after its date."
    return ""
