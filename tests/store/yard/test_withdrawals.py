"""What was taken back, of every table of which something is."""

from __future__ import annotations

from typing import get_args

import pytest
from cureyard_service.core.errors import AlreadyExists
from cureyard_service.store.engine.rows import exists, scalar
from cureyard_service.store.yard import withdrawals
from cureyard_service.store.yard.withdrawals import Table, Withdrawal
from peewee import Database

from .. import sample_yard as yard
from ..upkeep.test_guards import filled as filled


@pytest.mark.parametrize("table", get_args(Table))
def test_a_row_that_was_taken_back_is_told_once_and_for_all(filled: Database, table: Table) -> None:
    """By whom and why; it no longer stands, and is refused a second time."""
    kept = withdrawals.READERS[table].table
    row = scalar(f"SELECT {table}_id FROM {kept._meta.table_name} WHERE {table}_id IS NOT NULL")
    how = withdrawals.of_row(table, row)
    assert how is not None
    told = Withdrawal(
        how.id, row, "a slip", yard.SIGNED["recorded_at"], yard.SIGNED["who"],
        verified=yard.SIGNED["verified"],
    )  # fmt: skip
    assert how == told
    assert type(how.verified) is bool
    assert withdrawals.of_rows(table, [row, row + 99]) == {row: told}
    assert withdrawals.of_rows(table, [row], told.recorded_at - 1) == {}
    stands = f"SELECT 1 FROM {table} WHERE id = ? AND"
    assert not exists(f"{stands} {withdrawals.standing(table)}", row)
    assert exists(f"{stands} {withdrawals.standing(table, told.recorded_at - 1)}", row)
    with pytest.raises(AlreadyExists, match="The thing was taken back before"):
        withdrawals.refuse_twice(table, row, "The thing")
    withdrawals.refuse_twice(table, row + 99, "Another")
