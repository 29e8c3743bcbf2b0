"""How something was taken back, for an answer."""

from __future__ import annotations

from typing import Any

from ...store.yard.withdrawals import Withdrawal


def show_withdrawal(row: Withdrawal) -> dict[str, Any]:
    """How something was taken back: when, by whom and why."""
    return {"at": row.recorded_at, "who": row.who, "verified": row.verified, "reason": row.reason}
