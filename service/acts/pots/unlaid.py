"""Pots that were mixed and not laid up: somebody has to say what became of each."""

from __future__ import annotations

import json
from typing import Any

from ...core.products import cautions
from ...store.cure.pots import Batch, unlaid


def pots(now: int) -> list[dict[str, Any]]:
    """Pots of open jobs that nobody laid up, lost or saw gel.

    Those that can still be spread come first, by how soon that is over; then the last mixed.

    Returns:
        Each with what is in it, until when it can be worked, when its cup gels, and what to do.
    """
    return sorted((_show(row, now) for row in unlaid()), key=lambda pot: _urgency(pot, now))


def _urgency(pot: dict[str, Any], now: int) -> tuple[bool, int]:
    over: bool = pot["work_until"] <= now
    return over, -pot["mixed_at"] if over else pot["work_until"]


def _show(row: Batch, now: int) -> dict[str, Any]:
    work = json.loads(row.answer)["pot"]["working_time"]
    until = row.mixed_at + int(work or 0)
    return {
        "id": row.id,
        "job": row.job.number,
        "craft": row.job.craft,
        "resin": row.resin_lot.product.code,
        "amount": row.resin_mg,
        "mixed_at": row.mixed_at,
        "work_until": until,
        "gel_at_latest": None if row.gel_latest_s is None else row.mixed_at + row.gel_latest_s,
        "text": _words(row, until, now),
        "cautions": [cautions.HOT_POT],
    }


def _words(row: Batch, until: int, now: int) -> str:
    if now < until:
        return "Mixed and not laid up: spread it before its working time is over."
    if row.gel_latest_s is None or now < row.mixed_at + row.gel_latest_s:
        return (
            "Its working time is over: lay up no more of it. Note what became of it: laid up, "
            "gelled or lost."
        )
    return "It must have gelled by now: note what became of it: laid up, gelled or lost."
