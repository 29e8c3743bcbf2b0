"""Cure sheets by their revision."""

from __future__ import annotations

from cureyard_service.store import cure_sheets as sheets
from peewee import Database

from . import sample_yard as yard


def test_the_newest_revision_is_the_current_one(store: Database) -> None:
    """With its sheets in their places; the older ones stay on record."""
    product = yard.add_product()
    assert (sheets.latest_revision(product.id), sheets.current_sheets(product.id)) == (0, [])
    old = yard.add_sheet(product, 1)
    second, first = yard.add_sheet(product, 2, position=1), yard.add_sheet(product, 2)
    assert yard.ids(sheets.current_sheets(product.id)) == yard.ids([first, second])
    assert yard.ids(sheets.revisions_of(product.id, None, 10)) == yard.ids([first, second, old])
    assert yard.ids(sheets.revisions_of(product.id, second.id, 10)) == [old.id]
