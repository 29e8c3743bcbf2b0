"""Columns keep what they are given, or refuse it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from cureyard_service.store import tables
from cureyard_service.store.engine.columns import LARGEST
from hypothesis import given
from hypothesis import strategies as st
from peewee import Database

from ...bare import raw
from .. import sample_yard as yard


@given(st.integers(0, LARGEST))
def test_a_whole_number_comes_back_as_it_was(store: Database, number: int) -> None:
    """Every integer of 64 bits, to the last digit."""
    lot = yard.add_lot(length_um=max(1, number))
    assert tables.Lot.get_by_id(lot.id).length_um == max(1, number)


@pytest.mark.parametrize("number", [1.9, 2.0, Decimal(3), "4", True])
def test_what_is_no_whole_number_is_refused(store: Database, number: object) -> None:
    """Nothing is rounded or guessed on the way to the disk."""
    with pytest.raises(TypeError, match="length_um"):
        yard.add_lot(length_um=number)
    assert tables.Lot.select().count() == 0


def test_a_number_beyond_64_bits_is_refused(store: Database) -> None:
    """It would become a float."""
    with pytest.raises(OverflowError, match="length_um"):
        yard.add_lot(length_um=LARGEST + 1)


@pytest.mark.only_on("sqlite")
def test_the_database_itself_refuses_a_fraction(store: Database) -> None:
    """The tables are strict, so a bare connection can't bend them either."""
    lot = yard.add_lot()
    with raw(store) as bare, pytest.raises(Exception, match="REAL value in INTEGER"):
        bare.execute("UPDATE lot SET length_um = 1.5 WHERE id = ?", (lot.id,))


def test_a_flag_is_true_or_false(store: Database) -> None:
    """It comes back as a bool, and nothing else passes for one."""
    assert tables.Lot.get_by_id(yard.add_lot(held=True).id).held is True
    assert tables.Lot.select().where(tables.Lot.held == True).count() == 1  # noqa: E712
    with pytest.raises(TypeError, match="held"):
        yard.add_lot(held="no")


def test_a_date_is_a_date(store: Database) -> None:
    """Given as a date or its text, it comes back as a date and sorts as one."""
    lot = yard.add_lot(made_on=date(2025, 2, 28), expires_on="2026-02-28")
    kept = tables.Lot.get_by_id(lot.id)
    assert (kept.made_on, kept.expires_on) == (date(2025, 2, 28), date(2026, 2, 28))
    assert tables.Lot.get_or_none(tables.Lot.expires_on < date(2026, 3, 1)) == lot


def test_a_text_that_is_no_date_is_refused(store: Database) -> None:
    """There is no 30th of February."""
    with pytest.raises(ValueError, match="day"):
        yard.add_lot(made_on="2025-02-30")
