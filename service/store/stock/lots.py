"""What the store holds: products, their lots, and what befell a lot."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from peewee import fn

from ...core.stock import cup_test
from ..engine.columns import LARGEST
from ..engine.queries import among, compiled, rows_of
from ..lookup import attach, by_id, key_of
from ..tables import Batch, CupTest, Lot, LotEvent, Movement, Product

USABLE_VERDICTS = ("use", "caution")
"""Of a cup test whose factor doses and milestones go by."""


def find_product(code: str) -> Product | None:
    """The product with a code, whatever its case, or None."""
    return Product.get_or_none(Product.code_key == key_of(code))


def find_lot(lot_id: int) -> Lot | None:
    """The lot with an id, or None."""
    return by_id(Lot, lot_id)


def find_container(product_id: int, number: str, container: str) -> Lot | None:
    """The one container of a product's lot number, or None."""
    return Lot.get_or_none(
        Lot.product == product_id, Lot.number_key == key_of(number), Lot.container == container
    )


def receipt_of(lot_id: int) -> Movement | None:
    """The line by which a lot came in, or None: an offcut came back by a return."""
    return Movement.get_or_none(Movement.lot == lot_id, Movement.kind == "receipt")


def stocked_lots_of(product_id: int) -> list[Lot]:
    """The lots of a product with something in them, in the order received."""
    return _stocked_lots_of(product_id)


@compiled
def _stocked_lots_of(product_id: Any) -> Any:
    return Lot.select().where(Lot.product == product_id, Lot.on_hand > 0).order_by(Lot.id)


def stocked_lots_of_all(product_ids: Iterable[int]) -> list[Lot]:
    """As `stocked_lots_of`, of several products at once."""
    rows = Lot.select().where(among(Lot.product, product_ids), Lot.on_hand > 0)
    return rows_of(rows.order_by(Lot.id))


def last_suppliers(product_ids: Iterable[int]) -> dict[int, str | None]:
    """Product id → who delivered the last lot of which that is known."""
    known = Lot.select(fn.MAX(Lot.id)).where(
        among(Lot.product, product_ids), Lot.supplier.is_null(False)
    )
    rows = Lot.select().where(Lot.id.in_(known.group_by(Lot.product)))
    return {row.product_id: row.supplier for row in rows}


def stocked_lots() -> list[Lot]:
    """Every lot with something in it, in the order received."""
    stocked = Lot.select().where(Lot.on_hand > 0).order_by(Lot.product, Lot.id)  # as is indexed
    return sorted(rows_of(stocked), key=lambda row: row.id)


def pieces_of(lot_id: int) -> list[Lot]:
    """The lots that were cut from a lot, such as offcuts brought back."""
    return list(Lot.select().where(Lot.parent == lot_id).order_by(Lot.id))


def events_of(lot_id: int, kind: str | None = None) -> list[LotEvent]:
    """What befell a lot (moved, held, released, opened, extended), oldest first."""
    events = LotEvent.select().where(LotEvent.lot == lot_id)
    if kind is not None:
        events = events.where(LotEvent.kind == kind)
    return list(events.order_by(LotEvent.at, LotEvent.id))


def extensions(lot_ids: Iterable[int]) -> dict[int, date]:
    """Lot id → the day that a lead extended its life to; lots never extended are left out."""
    found: dict[int, date] = {}
    for event in _extensions_of(list(lot_ids)):
        found[event.lot_id] = max(event.until_on, found.get(event.lot_id, event.until_on))
    return found


def extended_to(lot_id: int) -> date | None:
    """The day that a lead extended a lot's life to; None for one never extended."""
    return extensions([lot_id]).get(lot_id)


@compiled
def _extensions_of(lot_ids: Any) -> Any:
    return LotEvent.select().where(LotEvent.kind == "extended", among(LotEvent.lot, lot_ids))


def cup_test_at(lot_id: int, moment: int, as_known_at: int | None = None) -> CupTest | None:
    """The cup test that gives a lot's factor at a moment, or None: the last one counts.

    None as well when that one has lapsed, or its verdict lets nobody use the lot.

    Args:
        moment, as_known_at: epoch seconds; without the second, as known now.
    """
    known = LARGEST if as_known_at is None else as_known_at
    found = _cup_tests(lot_id, moment, moment - cup_test.LAPSES_AFTER_S, known)
    return next((test for test in found if test.verdict in USABLE_VERDICTS), None)


@compiled
def _cup_tests(lot_id: Any, until: Any, after: Any, known_at: Any) -> Any:
    """The last one in that time, as known at a moment."""
    tests = CupTest.select().where(
        CupTest.lot == lot_id,
        CupTest.at <= until,
        CupTest.at > after,
        CupTest.recorded_at <= known_at,
    )
    return tests.order_by(CupTest.at.desc(), CupTest.id.desc()).limit(1)


def cup_tests_after(pots: Sequence[Batch]) -> dict[int, CupTest]:
    """Pot's id → the first usable test soon enough after it to replace its assumed factor."""
    tests = CupTest.select().where(
        among(CupTest.lot, [pot.resin_lot_id for pot in pots]), CupTest.verdict.in_(USABLE_VERDICTS)
    )
    by_lot: dict[int, list[CupTest]] = {}
    for test in tests.order_by(CupTest.at, CupTest.id):
        by_lot.setdefault(test.lot_id, []).append(test)
    found = {}
    for pot in pots:
        until = pot.mixed_at + cup_test.TAKEN_UP_WITHIN_S
        soon = [t for t in by_lot.get(pot.resin_lot_id, ()) if pot.mixed_at < t.at <= until]
        if soon:
            found[pot.id] = soon[0]
    return found


def cup_tests_of(lot_ids: Iterable[int]) -> dict[int, list[CupTest]]:
    """Lot id → its cup tests, oldest first; usable or not."""
    found: dict[int, list[CupTest]] = {lot_id: [] for lot_id in lot_ids}
    tests = CupTest.select().where(among(CupTest.lot, found))
    for test in tests.order_by(CupTest.at, CupTest.id):
        found[test.lot_id].append(test)
    return found


def extended_when(lot_ids: Iterable[int]) -> dict[int, list[tuple[int, date]]]:
    """Lot id → (moment in epoch s, the day extended to) of each extension, oldest first."""
    found: dict[int, list[tuple[int, date]]] = {lot_id: [] for lot_id in lot_ids}
    events = LotEvent.select().where(LotEvent.kind == "extended", among(LotEvent.lot, found))
    for event in events.order_by(LotEvent.at, LotEvent.id):
        found[event.lot_id].append((event.at, event.until_on))
    return found


def draws_of_batch(batch_id: int) -> list[Movement]:
    """What was drawn for a pot, in the order it went in; reversals too."""
    return draws_of_batches([batch_id])[batch_id]


def draws_of_batches(batch_ids: Iterable[int]) -> dict[int, list[Movement]]:
    """What was drawn for each of some pots, in the order it went in; reversals too.

    Lines come with their lot, its product and the job.
    """
    found: dict[int, list[Movement]] = {batch: [] for batch in batch_ids}
    rows = rows_of(Movement.select().where(among(Movement.batch, found)).order_by(Movement.id))
    attach(rows, Movement.lot, Movement.job)
    attach([row.lot for row in rows], Lot.product)
    for row in rows:
        found[row.batch_id].append(row)
    return found


def lots_in_batches(batch_ids: Iterable[int]) -> dict[int, list[Lot]]:
    """Pot's id → the lots drawn for it, with their products, in the order they went in."""
    drawn = Movement.select().where(among(Movement.batch, batch_ids), Movement.kind == "draw")
    lines = rows_of(drawn.order_by(Movement.id))
    attach(lines, Movement.lot)
    attach([line.lot for line in lines], Lot.product)
    found: dict[int, list[Lot]] = {}
    for line in lines:
        found.setdefault(line.batch_id, []).append(line.lot)
    return found


def lines_of_lot(lot_id: int) -> list[Movement]:
    """A lot's movements, oldest first."""
    return list(Movement.select().where(Movement.lot == lot_id).order_by(Movement.id))


def count_lines(lot_ids: Iterable[int]) -> dict[int, int]:
    """Lot id → how many movements it has."""
    found = dict.fromkeys(lot_ids, 0)
    lines: Any = Movement.select(Movement.lot, fn.COUNT(Movement.id))
    lines = lines.where(among(Movement.lot, found)).group_by(Movement.lot)
    for lot_id, count in lines.tuples():
        found[lot_id] = count
    return found
