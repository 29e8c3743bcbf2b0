"""How something was taken back."""

from __future__ import annotations

from ...core.amounts.views import Moment, View
from ...core.frozen import frozen
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
