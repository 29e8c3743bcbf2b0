"""Read a bay's temperature: one reading, or a logger's whole file, all or nothing."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ...core.amounts.quantities import ZERO_C
from ...core.errors import Invalid, ReadingDiffers, gather
from ...store import bays
from ...store.bays import Bay, Reading
from ...store.engine.database import writing
from ...store.yard import withdrawals
from ...store.yard.hands import Hand
from ...store.yard.withdrawals import Withdrawal
from ..yard import conversions as units
from ..yard import finding, moments
from ..yard import permissions as leave
from ..yard.taken_back import show_withdrawal

BELIEVABLE_K = (Decimal(repr(ZERO_C - 60)), Decimal(repr(ZERO_C + 120)))
"""Air in a shop, a store or a post-cure tent; beyond it a thermometer is broken."""

AGAIN = "read again, after one was taken back"
"""Why a reading comes after another of its moment that does not count any more."""


def read_bay(*, bay: str, readings: list[dict[str, Any]], now: int, hand: Hand) -> dict[str, int]:
    """Record readings of a bay.

    Args:
        readings: each `at` (epoch s), `temperature` (K), and if known `humidity_percent`;
            `replaces` with a `reason` corrects one that differs.

    Returns:
        How many were recorded, unchanged (told before) and replaced.

    Raises:
        ReadingDiffers: another value stands for a moment, and it is not said to replace it.
        Invalid: a moment to come, or a temperature that no bay has.
        NotAllowed: a hand that corrects more than its own of a day.
    """
    with writing():
        place = finding.bay(bay)
        gather(*(_fault(number, reading, now) for number, reading in enumerate(readings)))
        fresh, told = _sorted_out(place, readings)
        _check_leave([replaces for _, replaces in fresh if replaces is not None], now, hand)
        ends = _taken_back(place, [reading["at"] for reading, _ in fresh])
        rows = [
            _row(place, reading, ends.get(reading["at"], replaces), now, hand)
            for reading, replaces in fresh
        ]
        bays.write_readings(rows)
        return told


def show_reading(row: Reading, taken: Withdrawal | None) -> dict[str, Any]:
    """A reading: moment, K, percent of relative humidity, what it replaced, how it was taken back.

    Args:
        taken: how it was taken back, or None.
    """
    return {
        "id": row.id,
        "at": row.at,
        "temperature": units.kelvin(row.temperature_mk),
        "humidity_percent": units.percent(row.humidity_ppm),
        "replaces": row.replaces_id,
        "reason": row.reason,
        "who": row.who,
        "recorded_at": row.recorded_at,
        "withdrawn": None if taken is None else show_withdrawal(taken),
    }


def list_readings(bay_id: int, after: int | None, limit: int) -> list[dict[str, Any]]:
    """Every reading on record of a bay, the last recorded first, whatever became of it."""
    rows = bays.entries(bay_id, after, limit)
    taken = withdrawals.of_rows("reading", [row.id for row in rows])
    return [show_reading(row, taken.get(row.id)) for row in rows]


def _fault(number: int, reading: dict[str, Any], now: int) -> Invalid | None:
    pointer = f"/readings/{number}"
    low, high = BELIEVABLE_K
    if not low <= reading["temperature"] <= high:
        return Invalid(
            "No bay is that hot or that cold.",
            advice="Check the number and its unit.",
            pointer=f"{pointer}/temperature",
        )
    try:
        moments.happened(reading["at"], now, f"{pointer}/at")
    except Invalid as refusal:
        return refusal
    return None


def _sorted_out(
    place: Bay, readings: list[dict[str, Any]]
) -> tuple[list[tuple[dict[str, Any], int | None]], dict[str, int]]:
    """The readings to write, each with the id of the one it replaces, and what became of all."""
    moments_told = [reading["at"] for reading in readings]
    rows = bays.readings(place.id, min(moments_told), max(moments_told))
    standing: dict[int, tuple[int | None, int, int | None]] = {
        row.at: (row.id, row.temperature_mk, row.humidity_ppm) for row in rows
    }
    fresh: list[tuple[dict[str, Any], int | None]] = []
    told = {"recorded": 0, "unchanged": 0, "replaced": 0}
    for number, reading in enumerate(readings):
        value = units.milli(reading["temperature"]), units.ppm(reading.get("humidity_percent"))
        before = standing.get(reading["at"])
        if before is None:
            fresh.append((reading, None))
            told["recorded"] += 1
            standing[reading["at"]] = (None, *value)
        elif before[1:] == value:
            told["unchanged"] += 1
        else:
            fresh.append((reading, _replaced(place, number, reading, before[0])))
            told["replaced"] += 1
            standing[reading["at"]] = (None, *value)
    return fresh, told


def _replaced(place: Bay, number: int, reading: dict[str, Any], standing: int | None) -> int:
    """The id of the reading that this one corrects, if it says that it does."""
    if standing is not None and reading.get("replaces") and reading.get("reason"):
        return standing
    where = "this request has" if standing is None else f"{place.code} has"
    raise ReadingDiffers(
        f"For {moments.noted(reading['at'])} {where} another reading.",
        advice="To correct it, send it with 'replaces' and a 'reason'; the old one stays on "
        "record.",
        pointer=f"/readings/{number}",
    )


def _check_leave(replaced: list[int], now: int, hand: Hand) -> None:
    if hand.is_at_least("lead"):
        return
    for row in bays.find_readings(replaced):
        leave.may_undo(row, now, hand)


def _taken_back(place: Bay, moments_told: list[int]) -> dict[int, int]:
    """Moment → the reading that a new one comes after, where one was taken back: a moment's
    readings are a chain.
    """
    return bays.taken_back(place.id, min(moments_told), max(moments_told)) if moments_told else {}


def _row(
    place: Bay, reading: dict[str, Any], replaces: int | None, now: int, hand: Hand
) -> dict[str, Any]:
    return {
        "bay_id": place.id,
        "at": reading["at"],
        "temperature_mk": units.milli(reading["temperature"]),
        "humidity_ppm": units.ppm(reading.get("humidity_percent")),
        "replaces_id": replaces,
        "reason": reading.get("reason") or (AGAIN if replaces else None),
        **hand.signed(now),
    }
