"""Read a bay's temperature: one reading, or a logger's whole file, all or nothing."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, Literal

from ..core.errors import Invalid, ReadingDiffers, gather
from ..core.gel_law import ZERO_C
from ..store import bays, tables
from ..store.database import writing
from ..store.hands import Hand
from . import finding, moments, units

BELIEVABLE_K = (Decimal(repr(ZERO_C - 60)), Decimal(repr(ZERO_C + 120)))
"""Air in a shop, a store or a post-cure tent; beyond it a thermometer is broken."""

Outcome = Literal["recorded", "unchanged", "replaced"]


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
    """
    with writing():
        place = finding.bay(bay)
        gather(*(_fault(number, reading, now) for number, reading in enumerate(readings)))
        told = {"recorded": 0, "unchanged": 0, "replaced": 0}
        for number, reading in enumerate(readings):
            told[_read(place, number, reading, now, hand)] += 1
        return told


def show_reading(row: tables.Reading) -> dict[str, Any]:
    """A reading: moment, K, percent of relative humidity, and what it replaced."""
    return {
        "id": row.id,
        "at": row.at,
        "temperature": units.kelvin(row.temperature_mk),
        "humidity_percent": units.percent(row.humidity_ppm),
        "replaces": row.replaces_id,
        "reason": row.reason,
        "who": row.who,
        "recorded_at": row.recorded_at,
    }


def list_readings(bay_id: int, after: int | None, limit: int) -> list[dict[str, Any]]:
    """Every reading on record of a bay, the last recorded first; replaced ones too."""
    rows = tables.Reading.select().where(tables.Reading.bay == bay_id)
    if after is not None:
        rows = rows.where(tables.Reading.id < after)
    return [show_reading(row) for row in rows.order_by(tables.Reading.id.desc()).limit(limit)]


def _fault(number: int, reading: dict[str, Any], now: int) -> Invalid | None:
    pointer = f"/readings/{number}"
    low, high = BELIEVABLE_K
    if not low <= reading["temperature"] <= high:
        return Invalid(
            "No bay is that hot or cold.",
            advice="Check the number and its unit.",
            pointer=f"{pointer}/temperature",
        )
    try:
        moments.happened(reading["at"], now, f"{pointer}/at")
    except Invalid as refusal:
        return refusal
    return None


def _read(place: tables.Bay, number: int, reading: dict[str, Any], now: int, hand: Hand) -> Outcome:
    standing = bays.revisions(place.id, reading["at"])
    if not standing:
        _write(place, reading, None, now, hand)
        return "recorded"
    last = standing[-1]
    temperature = units.milli(reading["temperature"])
    humidity = units.ppm(reading.get("humidity_percent"))
    if (last.temperature_mk, last.humidity_ppm) == (temperature, humidity):
        return "unchanged"
    if not (reading.get("replaces") and reading.get("reason")):
        raise ReadingDiffers(
            f"{place.code} has another reading for {moments.clock(reading['at'])}.",
            advice="To correct it, send replaces: true and a reason; the old one stays on record.",
            pointer=f"/readings/{number}",
        )
    _write(place, reading, last.id, now, hand)
    return "replaced"


def _write(
    place: tables.Bay, reading: dict[str, Any], replaces: int | None, now: int, hand: Hand
) -> None:
    tables.Reading.create(
        bay=place.id,
        at=reading["at"],
        temperature_mk=units.milli(reading["temperature"]),
        humidity_ppm=units.ppm(reading.get("humidity_percent")),
        replaces=replaces,
        reason=reading.get("reason"),
        **hand.signed(now),
    )
