"""Cure sheets: a product's current ones, and every revision before them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from . import tables
from .engine.columns import LARGEST
from .engine.rows import Reader, insert, query, scalar
from .yard.hands import Hand


class CureSheet(NamedTuple):
    """One revision of one of a product's cure sheets; `body` is its JSON."""

    id: int
    product_id: int
    revision: int
    position: int
    body: str
    recorded_at: int
    who: str


_SHEETS = Reader(CureSheet, tables.CureSheet)

sheet = _SHEETS.of_id
sheets = _SHEETS.by_ids


def current_sheets(product_id: int, as_known_at: int = LARGEST) -> list[CureSheet]:
    """The sheets of a product's newest revision, in their places; none if it has none.

    Args:
        as_known_at: the newest of those that were recorded by then, epoch s.
    """
    return current_sheets_of([product_id], as_known_at)[product_id]


def current_sheets_of(
    product_ids: Sequence[int], as_known_at: int = LARGEST
) -> dict[int, list[CureSheet]]:
    """Product id → the sheets of its newest revision, in their places; as `current_sheets`."""
    rest = """
        WHERE cure_sheet.product_id IN (?*) AND cure_sheet.revision = (
            SELECT MAX(newest.revision) FROM cure_sheet AS newest
            WHERE newest.product_id = cure_sheet.product_id AND newest.recorded_at <= ?
        ) ORDER BY cure_sheet.position
    """
    found: dict[int, list[CureSheet]] = {product_id: [] for product_id in product_ids}
    for row in _SHEETS.all(rest, list(product_ids), as_known_at) if found else ():
        found[row.product_id].append(row)
    return found


def having_sheets(product_ids: Iterable[int]) -> set[int]:
    """Which of these products have a cure sheet."""
    sql = "SELECT DISTINCT product_id FROM cure_sheet WHERE product_id IN (?*)"
    return {product_id for (product_id,) in query(sql, list(product_ids))}


def latest_revision(product_id: int) -> int:
    """The number of a product's newest revision of its sheets; 0 before the first."""
    sql = "SELECT MAX(revision) FROM cure_sheet WHERE product_id = ?"
    return int(scalar(sql, product_id) or 0)


def revisions_of(product_id: int, after: int | None, limit: int) -> list[CureSheet]:
    """Sheets that a product ever had, the last recorded first, after the one with that id."""
    rest = "WHERE cure_sheet.product_id = ? AND cure_sheet.id < ? ORDER BY cure_sheet.id DESC"
    return _SHEETS.all(f"{rest} LIMIT ?", product_id, LARGEST if after is None else after, limit)


def keep(product_id: int, revision: int, position: int, body: str, *, now: int, hand: Hand) -> None:
    """Keep a sheet's JSON in its place in a revision."""
    insert(
        tables.CureSheet, product_id=product_id, revision=revision, position=position, body=body,
        **hand.signed(now),
    )  # fmt: skip
