"""A lot's dates, as its drum has them: check them, ask for them, and record them later."""

from __future__ import annotations

from datetime import date, timedelta

from ...core.bays.temperature import DAY_S
from ...core.errors import Invalid
from ...core.stock.lots import UNKNOWN
from ...store.stock import lots as shelf
from ...store.stock.lots import Lot
from ...store.yard import logbook
from ...store.yard.hands import Hand
from ..yard import settings
from .lot_history import record
from .lot_name import name_of


def check_order(made_on: date | None, expires_on: date | None, received_on: date) -> None:
    """Refuse dates that contradict each other.

    Raises: Invalid.
    """
    if made_on and made_on > received_on:
        raise Invalid(
            "The lot can't be received before it was made.",
            advice="Check both dates.",
            pointer="/made_on",
        )
    if made_on and expires_on and expires_on < made_on:
        raise Invalid(
            "The lot can't expire before it was made.",
            advice="Check both dates.",
            pointer="/expires_on",
        )


def check_given(product: str, note: str | None) -> None:
    """Refuse a delivery without its date, if the yard's rules are strict with dates.

    Args:
        product: its code. note: on the lot's last day, see `lots.note`.

    Raises: Invalid.
    """
    if note is not None and settings.rules().strict_dates:
        raise Invalid(
            f"By the yard's rules a delivery of {product} needs its date.",
            advice="Give the last day that the drum has, or the day it was made where "
            f"{product} has a shelf life; without either send it back.",
            pointer="/expires_on",
        )


def asking(note: str | None) -> list[str]:
    """The request to give a missing date, if a lot's note says that one is missing."""
    if note is None:
        return []
    if note == UNKNOWN:
        return [
            "No shelf life is known. Enter the drum's date as the lot's 'expires_on', or the "
            "product's 'shelf_life'."
        ]
    return ["No date was given. Read it on the drum, and enter it as the lot's 'expires_on'."]


def doubt(made_on: date | None, expires_on: date | None, shelf_life: int | None) -> list[str]:
    """A warning about a stated date that is later than the product's shelf life (s) allows."""
    if made_on is None or expires_on is None or shelf_life is None:
        return []
    by_life = made_on + timedelta(days=shelf_life // DAY_S)
    if expires_on <= by_life:
        return []
    return [
        f"Made on {made_on} it would last until {by_life} by the product's shelf life, and "
        f"{expires_on} was given: read the drum again."
    ]


def give(
    lot: Lot,
    *,
    made_on: date | None,
    expires_on: date | None,
    reason: str | None,
    now: int,
    hand: Hand,
) -> dict[str, date]:
    """Record a lot's dates, as its drum has them.

    Returns:
        The columns to change; none if the lot has these dates already.

    Raises:
        Invalid: contradicting dates, or a correction without a reason.
        NotAllowed: only a lead corrects a date that was given.
    """
    given = {"made_on": made_on, "expires_on": expires_on}
    changed = {name: day for name, day in given.items() if day and day != getattr(lot, name)}
    if not changed:
        return {}
    if shelf.extended_to(lot.id) is not None:
        raise Invalid(
            f"The life of lot {name_of(lot)} was extended by a test, which counts whatever its "
            "label says.",
            advice="If it is not good, hold it, and scrap it or test it again.",
            pointer="/expires_on",
        )
    check_order(
        changed.get("made_on", lot.made_on),
        changed.get("expires_on", lot.expires_on),
        lot.received_on,
    )
    corrected = [name for name in changed if getattr(lot, name)]
    if corrected:
        _correct(lot, corrected, changed, reason, now, hand)
    record(
        lot, "dated", now, hand, reason=reason,
        from_on=changed.get("made_on"), until_on=changed.get("expires_on"),
    )  # fmt: skip
    return changed


def _correct(
    lot: Lot,
    names: list[str],
    changed: dict[str, date],
    reason: str | None,
    now: int,
    hand: Hand,
) -> None:
    """Keep the dates that were given before, in the logbook."""
    hand.must_be("lead", "To correct a date that was given")
    if reason is None:
        raise Invalid(
            "Correcting a date needs a reason.", advice="Say what shows it.", pointer="/reason"
        )
    words = {"made_on": "made", "expires_on": "good until"}
    was = ", ".join(f"{words[name]} {changed[name]}, was {getattr(lot, name)}" for name in names)
    logbook.record("lot dated", f"lot {name_of(lot)}: {was}", reason=reason, now=now, hand=hand)
