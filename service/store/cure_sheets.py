"""Cure sheets: a product's current ones, and every revision before them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from peewee import fn

from .engine.queries import among, compiled
from .lookup import newest_first
from .tables import CureSheet


def current_sheets(product_id: int) -> list[CureSheet]:
    """The sheets of a product's newest revision, in their places; none if it has none."""
    return _current_sheets(product_id, product_id)


@compiled
def _current_sheets(product_id: Any, again: Any) -> Any:
    older: Any = CureSheet.alias()
    newest = older.select(fn.MAX(older.revision)).where(older.product == again)
    sheets = CureSheet.select().where(CureSheet.product == product_id, CureSheet.revision == newest)
    return sheets.order_by(CureSheet.position)


def current_sheets_of(product_ids: Sequence[int]) -> dict[int, list[CureSheet]]:
    """Product id → the sheets of its newest revision, in their places."""
    newest = (
        CureSheet.select(CureSheet.product, fn.MAX(CureSheet.revision).alias("revision"))
        .where(CureSheet.product.in_(list(product_ids)))
        .group_by(CureSheet.product)
    )
    revisions = {row.product_id: row.revision for row in newest}
    found: dict[int, list[CureSheet]] = {product_id: [] for product_id in product_ids}
    sheets = CureSheet.select().where(CureSheet.product.in_(list(product_ids)))
    for sheet in sheets.order_by(CureSheet.position):
        if sheet.revision == revisions[sheet.product_id]:
            found[sheet.product_id].append(sheet)
    return found


def having_sheets(product_ids: Iterable[int]) -> set[int]:
    """Which of these products have a cure sheet."""
    rows = CureSheet.select(CureSheet.product).where(among(CureSheet.product, product_ids))
    return {row.product_id for row in rows.distinct()}


def latest_revision(product_id: int) -> int:
    """The number of a product's newest revision of its sheets; 0 before the first."""
    newest = CureSheet.select(fn.MAX(CureSheet.revision)).where(CureSheet.product == product_id)
    return int(newest.scalar() or 0)


def revisions_of(product_id: int, after: int | None, limit: int) -> list[CureSheet]:
    """Sheets that a product ever had, the last recorded first, after the one with that id."""
    return list(newest_first(CureSheet, after, limit).where(CureSheet.product == product_id))
