"""Extend a lot's life: once, after a good cup test, by a quarter at most; never a peroxide's."""

from __future__ import annotations

from datetime import date, timedelta

from ...core.errors import ExpiredLot, Invalid
from ...core.stock import lots
from ...store.engine.database import writing
from ...store.stock.cup_tests import cup_test_at
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..products.nature import life_type_of
from ..yard import finding, moments, settings
from .lot import LotWithWarningsView, show_lot
from .lot_history import record
from .lot_life import life_of


def extend_lot(
    lot: Lot, *, until_on: date, reason: str, now: int, hand: Hand
) -> LotWithWarningsView:
    """Extend a lot's shelf life to a day.

    Raises:
        ExpiredLot: its life ends for good, or was extended before; or the yard's rules are
            strict with dates.
        Invalid: it has no given date, the day is too far, or it has no passing test of two cups
            from the last 30 days.
    """
    with writing():
        life = life_of(lot)
        last = lots.expires_on(life)
        _check_kind(lot, life.extended_to)
        _check_reach(life, last, until_on, moments.day_of(now))
        _check_tested(lot, now)
        record(lot, "extended", now, hand, reason=reason, from_on=last, until_on=until_on)
        return show_lot(finding.lot(lot.id), now)


def _check_kind(lot: Lot, extended: date | None) -> None:
    if life_type_of(lot.product) == "I":
        raise ExpiredLot(
            f"{lot.product.code} is of life type I: its life ends for good.",
            advice="Isolate it after its date, and dispose of it by its safety sheet.",
        )
    if settings.rules().strict_dates:
        raise ExpiredLot(
            "By the yard's rules no batch is used after its date: no life is extended.",
            advice="Scrap what is out of date; where the maker states another date in writing, a "
            "lead gives the lot that date.",
        )
    if extended is not None:
        raise ExpiredLot(
            f"The lot's life was extended before, to {extended}.",
            advice="A life is extended once: scrap what is left after that day.",
        )


def _check_reach(life: lots.Life, last: date | None, until: date, today: date) -> None:
    furthest = lots.longest_extension(life)
    if last is None or furthest is None:
        raise Invalid(
            "The lot has no date to extend.", advice="Nothing is needed.", pointer="/until_on"
        )
    if lots.is_assumed(life):
        raise Invalid(
            f"The lot has no date to extend: {last} is only assumed from its receipt.",
            advice="Read the date on the drum, and enter it first as the lot's 'expires_on'.",
            pointer="/until_on",
        )
    if furthest < today:
        raise ExpiredLot(
            f"The lot's life can be extended to {furthest} at most, and that is past.",
            advice="Scrap what is left, and dispose of it by its safety sheet.",
        )
    first = max(last + timedelta(days=1), today)
    if not first <= until <= furthest:
        raise Invalid(
            f"An extension must end after {last}, and by {furthest}: a quarter of the life later.",
            advice=f"Choose a day from {first} to {furthest}.",
            pointer="/until_on",
        )


def _check_tested(lot: Lot, now: int) -> None:
    test = cup_test_at(lot.id, now)
    if test is None or test.verdict != "use" or test.second_gel_s is None:
        day = moments.day_of(now)
        raise Invalid(
            f"On {day} the lot has no passing test of two cups from the last 30 days.",
            advice="Stir it, gel two cups, and record them; then extend it.",
        )
