"""Pots that were mixed and not laid up: somebody has to say what became of each."""

from __future__ import annotations

from typing import Annotated

from ...core.amounts.hours import minute
from ...core.amounts.quantities import DOSE_MASS
from ...core.amounts.views import Closing, Code, Moment, Opening, View
from ...core.frozen import frozen
from ...core.products import cautions
from ...store.cure.pots import Batch, unlaid
from ..cure.do import DoView, by


@frozen
class UnlaidPotView(View):
    """A pot that nobody laid up, lost or saw gel."""

    id: int
    job: Code
    craft: str
    resin: Code
    amount: Annotated[int, DOSE_MASS]
    mixed_at: Moment
    work_until: Closing
    gel_at_latest: Opening | None
    do: DoView
    text: str
    cautions: list[str]


def pots(now: int) -> list[UnlaidPotView]:
    """Pots of open jobs that nobody laid up, lost or saw gel.

    Those that can still be spread come first, by how soon that is over; then the last mixed.
    """
    return sorted((_show(row, now) for row in unlaid()), key=lambda pot: _urgency(pot, now))


def _urgency(pot: UnlaidPotView, now: int) -> tuple[bool, float]:
    over = pot.work_until <= now
    return over, -pot.mixed_at if over else pot.work_until


def _show(row: Batch, now: int) -> UnlaidPotView:
    until = row.spread_by
    latest = None if row.gel_latest_s is None else row.mixed_at + row.gel_latest_s
    return UnlaidPotView(
        id=row.id,
        job=row.job.number,
        craft=row.job.craft,
        resin=row.resin_lot.product.code,
        amount=row.resin_mg,
        mixed_at=row.mixed_at,
        work_until=until,
        gel_at_latest=latest,
        do=_do(until, latest, now),
        text=_words(until, latest, now),
        cautions=[cautions.HOT_POT],
    )


def _do(until: int, latest: int | None, now: int) -> DoView:
    end = minute(until)
    if end > now:
        return by("spread by", end, now)
    if latest is None or now < latest:
        return DoView("spread no more", "wanted")
    return DoView("note: laid or lost?", "wanted")


def _words(until: int, latest: int | None, now: int) -> str:
    if now < until:
        return "Mixed and not laid up: spread it before its working time is over."
    if latest is None or now < latest:
        return (
            "Its working time is over: lay up no more of it. Note what became of it: laid up, "
            "gelled or lost."
        )
    return "It must have gelled by now: note what became of it: laid up, gelled or lost."
