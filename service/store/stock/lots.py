"""Lots: what there is of a product, container by container, and what happened to each."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, NamedTuple

from ...core.products import hazards
from .. import tables
from ..bays import Bay
from ..engine.rows import Reader, Value, insert, matching, query
from ..lookup import key_of
from ..products import Product
from ..yard.hands import Hand


class Lot(NamedTuple):
    """One container of a product; `on_hand` is in base units of the product's measure."""

    id: int
    product_id: int
    number: str
    container: str
    on_hand: int
    received_at: int
    received_on: date
    made_on: date | None
    expires_on: date | None
    opened_on: date | None
    bay_id: int | None
    held: bool
    hold_reason: str | None
    parent_id: int | None
    length_um: int | None
    width_um: int | None
    cost_minor: int | None
    cost_of: int | None
    cost_left_minor: int | None
    currency: str | None
    supplier: str | None
    version: int
    product: Product
    bay: Bay | None


class DatedLot(NamedTuple):
    """What tells a lot's state: all lots are read so, and few of them whole."""

    id: int
    product_id: int
    on_hand: int
    held: bool
    received_on: date
    made_on: date | None
    expires_on: date | None
    opened_on: date | None


class LotEvent(NamedTuple):
    """A lot moved, held, released, opened, dated or extended."""

    id: int
    lot_id: int
    kind: str
    at: int
    reason: str | None
    from_on: date | None
    until_on: date | None
    recorded_at: int
    who: str
    verified: bool
    bay: Bay | None


_LOTS = Reader(Lot, tables.Lot)
_DATED = Reader(DatedLot, tables.Lot)
_EVENTS = Reader(LotEvent, tables.LotEvent)

find_lot = _LOTS.by_id
lot = _LOTS.of_id
find_lots = _LOTS.by_ids


def find_container(product_id: int, number: str, container: str) -> Lot | None:
    """The one container of a product's lot number, or None."""
    rest = "WHERE lot.product_id = ? AND lot.number_key = ? AND lot.container = ?"
    return _LOTS.first(rest, product_id, key_of(number), container)


def page(
    after: int | None,
    limit: int,
    *,
    product_id: int | None = None,
    number: str | None = None,
    in_stock: bool = False,
) -> list[Lot]:
    """Lots by age, after the one with that id; of a product or a number, or not empty."""
    conditions: dict[str, Value] = {
        "lot.id > ?": after or 0,
        "lot.product_id = ?": product_id,
        "lot.number_key = ?": None if number is None else key_of(number),
    }
    where, values = matching(conditions, *(["lot.on_hand > 0"] if in_stock else []))
    return _LOTS.all(f"{where} ORDER BY lot.id LIMIT ?", *values, limit)


def stocked_lots_of(product_id: int) -> list[Lot]:
    """The lots of a product with something in them, in the order received."""
    return _LOTS.all("WHERE lot.product_id = ? AND lot.on_hand > 0 ORDER BY lot.id", product_id)


def stocked_lots_of_all(product_ids: Iterable[int]) -> list[Lot]:
    """As `stocked_lots_of`, of several products at once."""
    rest = "WHERE lot.product_id IN (?*) AND lot.on_hand > 0 ORDER BY lot.id"
    return _LOTS.all(rest, list(product_ids))


def stocked_dates() -> list[DatedLot]:
    """Every lot with something in it, in the order received."""
    stocked = _DATED.all("WHERE lot.on_hand > 0 ORDER BY lot.product_id, lot.id")  # as is indexed
    return sorted(stocked, key=lambda row: row.id)


def pieces_of(lot_id: int) -> list[Lot]:
    """The lots that were cut from a lot, such as offcuts brought back."""
    return _LOTS.all("WHERE lot.parent_id = ? ORDER BY lot.id", lot_id)


def last_lot_drawn(job_id: int, product_id: int) -> Lot | None:
    """The lot of a product that a job drew from last, or None."""
    rest = """
        JOIN movement ON movement.lot_id = lot.id
        WHERE movement.job_id = ? AND movement.kind = 'draw' AND lot.product_id = ?
        ORDER BY movement.id DESC
    """
    return _LOTS.first(rest, job_id, product_id)


def last_suppliers(product_ids: Iterable[int]) -> dict[int, str | None]:
    """Product id → who delivered the last lot of which that is known."""
    sql = """
        SELECT product_id, supplier FROM lot WHERE id IN (
            SELECT MAX(id) FROM lot WHERE product_id IN (?*) AND supplier IS NOT NULL
            GROUP BY product_id
        )
    """
    return dict(query(sql, list(product_ids)))


def hazardous(bay_id: int | None = None) -> list[Lot]:
    """Lots with something in them that may be a peroxide's or feared by one; oldest first.

    More than are: `hazards.natures` tells which is what.

    Args:
        bay_id: only those that are in that bay.
    """
    roles = sorted(hazards.PEROXIDE_ROLES | hazards.PROMOTER_ROLES)
    chemistries = sorted(hazards.PEROXIDE_CHEMISTRIES | hazards.PROMOTER_CHEMISTRIES | {"acetone"})
    rest = f"""
        WHERE lot.on_hand > 0 AND (
            product.role IN ({", ".join("?" * len(roles))})
            OR product.chemistry IN ({", ".join("?" * len(chemistries))})
            OR product.effects LIKE '%promotes%'
            OR product.active_oxygen_ppm IS NOT NULL OR product.peroxide_type IS NOT NULL
        ) {"" if bay_id is None else f"AND lot.bay_id = {bay_id:d}"} ORDER BY lot.id
    """
    return _LOTS.all(rest, *roles, *chemistries)


def add(number: str, **columns: Any) -> Lot:
    """Add a lot with nothing in it yet; `columns` by their names."""
    return lot(insert(tables.Lot, number=number, number_key=key_of(number), **columns))


def change(lot_id: int, **columns: Any) -> None:
    """Set columns of a lot and raise its version."""
    changes = tables.Lot.update(version=tables.Lot.version + 1, **columns)
    changes.where(tables.Lot.id == lot_id).execute()


def set_quietly(lot_id: int, **columns: Any) -> None:
    """Set columns of a lot in the course of another act, which leaves its version."""
    tables.Lot.update(**columns).where(tables.Lot.id == lot_id).execute()


def add_event(lot_id: int, kind: str, *, at: int, now: int, hand: Hand, **columns: Any) -> None:
    """Record that something happened to a lot; `at` and `now` in epoch s."""
    insert(tables.LotEvent, lot_id=lot_id, kind=kind, at=at, **columns, **hand.signed(now))


def events_of(lot_id: int, kind: str | None = None) -> list[LotEvent]:
    """What happened to a lot (moved, held, released, opened, extended), oldest first."""
    where, values = matching({"lot_event.lot_id = ?": lot_id, "lot_event.kind = ?": kind})
    return _EVENTS.all(f"{where} ORDER BY lot_event.at, lot_event.id", *values)


def extensions(lot_ids: Iterable[int]) -> dict[int, date]:
    """Lot id → the day that a lead extended its life to; lots never extended are left out."""
    return {lot_id: max(day for _, day in told) for lot_id, told in _extended(lot_ids)}


def extended_to(lot_id: int) -> date | None:
    """The day that a lead extended a lot's life to; None for one never extended."""
    return extensions([lot_id]).get(lot_id)


def extended_when(lot_ids: Iterable[int]) -> dict[int, list[tuple[int, date]]]:
    """Lot id → (moment in epoch s, the day extended to) of each extension, oldest first."""
    wanted = list(lot_ids)
    return {lot_id: [] for lot_id in wanted} | dict(_extended(wanted))


def _extended(lot_ids: Iterable[int]) -> list[tuple[int, list[tuple[int, date]]]]:
    sql = """
        SELECT lot_id, at, until_on FROM lot_event
        WHERE kind = 'extended' AND lot_id IN (?*) ORDER BY at, id
    """
    found: dict[int, list[tuple[int, date]]] = {}
    for lot_id, at, until_on in query(sql, list(lot_ids)):
        found.setdefault(lot_id, []).append((at, date.fromisoformat(until_on)))
    return list(found.items())


def is_offcut(row: Lot) -> bool:
    """Whether a lot is a piece off a sheet, which nobody can take for a whole one."""
    return row.parent_id is not None and row.product.measure == "count"
