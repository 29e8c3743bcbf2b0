"""How something was taken back; and nothing is taken back twice."""

from __future__ import annotations

from ...core.amounts.views import Moment, View
from ...core.errors import AlreadyExists
from ...core.frozen import frozen
from ...store.yard import withdrawals
from ...store.yard.withdrawals import Withdrawal


@frozen
class WithdrawnView(View):
    """How something was taken back."""

    at: Moment
    who: str
    verified: bool
    reason: str


def show_withdrawal(row: Withdrawal) -> WithdrawnView:
    """When something was taken back, by whom and why."""
    return WithdrawnView(row.recorded_at, row.who, row.verified, row.reason)


def refuse_twice(table: withdrawals.Table, row_id: int, name: str) -> None:
    """Refuse to take back a thing, of that name, that was taken back before.

    Raises: AlreadyExists.
    """
    if withdrawals.of_row(table, row_id) is not None:
        raise AlreadyExists(f"{name} was taken back before.", advice="Nothing is left to do.")
