"""A product's cure sheets: kept by revision, found for a pair of resin and catalyst."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import lru_cache

from ...core.errors import Invalid, PartnerMissing, UnknownReference
from ...core.frozen import frozen
from ...core.products import cure_sheet, gel_law
from ...core.products.cure_sheet import CureSheet
from ...core.products.gel_law import GelLaw
from ...core.products.materials import CURING_ROLES
from ...store import cure_sheets as store_sheets
from ...store.engine.columns import LARGEST
from ...store.products import Product, find_product
from ...store.yard.hands import Hand
from ..yard import finding


@frozen
class Kept:
    """A sheet in the store: its row's id, its revision and its content."""

    id: int
    revision: int
    sheet: CureSheet


def keep(product: Product, sheets: list[CureSheet], now: int, hand: Hand) -> None:
    """Write a product's sheets as its next revision, which replaces the last one.

    Raises:
        Invalid: products of this role do not cure, or two sheets are for the same pair.
        UnknownReference: a partner is not in the catalogue.
    """
    if sheets and product.role not in CURING_ROLES:
        raise Invalid(
            f"A {product.role} has no cure sheet of its own.",
            advice="Put the sheet on the resin, coating, foam or adhesive.",
            pointer="/cure",
        )
    _check_partners(sheets)
    revision = store_sheets.latest_revision(product.id) + 1
    for position, sheet in enumerate(sheets):
        body = json.dumps(cure_sheet.as_plain(sheet))
        store_sheets.keep(product.id, revision, position, body, now=now, hand=hand)


def current(product_id: int, as_known_at: int = LARGEST) -> list[Kept]:
    """The sheets of a product's newest revision by a moment (epoch s), in order."""
    return [kept(row) for row in store_sheets.current_sheets(product_id, as_known_at)]


def partners(code: str) -> list[str]:
    """The codes of all that a product may be cured with; none of a product that is not there."""
    product = find_product(code)
    sheets = [] if product is None else current(product.id)
    return [partner for kept in sheets for partner in kept.sheet.partners]


def current_of(product_ids: Sequence[int]) -> dict[int, list[Kept]]:
    """Product id → the sheets of its newest revision; one query for all products."""
    rows = store_sheets.current_sheets_of(product_ids)
    return {product_id: [kept(row) for row in found] for product_id, found in rows.items()}


def _check_partners(sheets: list[CureSheet]) -> None:
    seen: set[str] = set()
    for sheet in sheets:
        for code in sheet.partners:
            if code.casefold() in seen:
                raise Invalid(
                    f"Two cure sheets name {code}.", advice="Keep one of them.", pointer="/cure"
                )
            seen.add(code.casefold())
            if find_product(code) is None:
                raise UnknownReference(
                    f"There is no product {code}.",
                    advice="Add the catalyst or hardener first, then the resin.",
                    pointer="/cure/with",
                )


def kept(row: store_sheets.CureSheet) -> Kept:
    """A row's sheet."""
    return Kept(row.id, row.revision, _read(row.body))


@lru_cache(maxsize=256)
def _read(body: str) -> CureSheet:
    """A sheet from its JSON. Kept in memory: many layups cure by the same sheet."""
    return cure_sheet.from_plain(json.loads(body))


def for_pair(product: Product, partner: str | None, as_known_at: int = LARGEST) -> Kept:
    """The one sheet of a product that is for a catalyst or hardener, by a moment (epoch s).

    Raises:
        CureSheetMissing, PartnerMissing: as `cure_sheet.sheet_for`.
    """
    sheets = current(product.id, as_known_at)
    chosen = cure_sheet.sheet_for([k.sheet for k in sheets], partner, product.code)
    return next(k for k in sheets if k.sheet is chosen)


def pair(
    product: Product,
    named: str | None,
    pointer: str = "/catalyst",
    *,
    weighed: bool = True,
) -> tuple[Kept, Product | None]:
    """A product's sheet, and its catalyst or hardener; no partner if it cures without one.

    Args:
        named: the partner's code; None takes the only one. pointer: to that code.
        weighed: as for `cure_sheet.partner_for`.

    Raises:
        CureSheetMissing, UnknownReference. PartnerMissing: the sheet has several, or none.
    """
    try:
        kept = for_pair(product, named)
        code = cure_sheet.partner_for(kept.sheet, named, product.code, weighed=weighed)
    except PartnerMissing as missing:
        missing.pointer = pointer
        raise
    return kept, finding.product(code, pointer) if code else None


def law_of(sheet: CureSheet) -> GelLaw:
    """The gel law of a sheet."""
    if not sheet.gel_points:
        return gel_law.undosed(sheet.reference_temperature)
    return gel_law.fit(sheet.gel_points)


def strength_of(sheet: CureSheet, catalyst: Product | None) -> float:
    """Active oxygen of a catalyst over that of the sheet's peroxide; 1 where it is not known."""
    if catalyst is None or not (sheet.active_oxygen and catalyst.active_oxygen_ppm):
        return 1.0
    if sheet.peroxide_type != catalyst.peroxide_type:
        return 1.0
    return float(catalyst.active_oxygen_ppm / 1e4 / sheet.active_oxygen)
