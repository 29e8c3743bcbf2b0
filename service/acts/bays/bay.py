"""Add a bay, change it, and show it: a place with its own temperature."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time
from decimal import Decimal
from typing import Any

from ...core.errors import AlreadyExists
from ...store import bays
from ...store.bays import Bay, BayPattern, Reading
from ...store.engine.database import writing
from ...store.yard.hands import Hand
from ..yard import conversions as units
from ..yard import finding

DEFAULT_UNCERTAINTY_K = Decimal(2)
DEFAULT_GAP_S = Decimal(7200)


def add_bay(
    *,
    code: str,
    title: str,
    day: Decimal,
    night: Decimal,
    day_from: time,
    day_until: time,
    uncertainty: Decimal = DEFAULT_UNCERTAINTY_K,
    gap_max: Decimal = DEFAULT_GAP_S,
    now: int,
    hand: Hand,
) -> dict[str, Any]:
    """Add a bay with its day/night pattern; temperatures in K, times local.

    Raises:
        AlreadyExists: the code is taken.
    """
    with writing():
        if bays.find_bay(code):
            raise AlreadyExists(
                f"There is a bay {code} already.", advice="Choose another code.", pointer="/code"
            )
        row = bays.add(
            code,
            title=title,
            uncertainty_mk=units.milli(uncertainty),
            gap_max_s=int(gap_max),
            made_at=now,
        )
        _set_pattern(row, day, night, day_from, day_until, at=now, now=now, hand=hand)
        return show_bay(row)


def change_bay(
    row: Bay,
    *,
    now: int,
    hand: Hand,
    title: str | None = None,
    uncertainty: Decimal | None = None,
    gap_max: Decimal | None = None,
    day: Decimal | None = None,
    night: Decimal | None = None,
    day_from: time | None = None,
    day_until: time | None = None,
) -> dict[str, Any]:
    """Change a bay. A new pattern holds from now on; what was told before keeps the old one."""
    with writing():
        changes: dict[str, Any] = {
            "title": title,
            "uncertainty_mk": None if uncertainty is None else units.milli(uncertainty),
            "gap_max_s": None if gap_max is None else int(gap_max),
        }
        known = {name: value for name, value in changes.items() if value is not None}
        bays.change(row.id, **known)
        if any(part is not None for part in (day, night, day_from, day_until)):
            old = bays.patterns(row.id)[-1]
            _set_pattern(
                row,
                units.kelvin(old.day_mk) if day is None else day,
                units.kelvin(old.night_mk) if night is None else night,
                time.fromisoformat(old.day_from) if day_from is None else day_from,
                time.fromisoformat(old.day_until) if day_until is None else day_until,
                at=now,
                now=now,
                hand=hand,
            )
        return show_bay(finding.bay(row.code))


def show_bay(row: Bay) -> dict[str, Any]:
    """A bay with its pattern and its latest reading; temperatures in K."""
    return show_bays([row])[0]


def show_bays(rows: Sequence[Bay]) -> list[dict[str, Any]]:
    """As `show_bay`, of some bays: in as few queries as of one."""
    ids = [row.id for row in rows]
    patterns, latest = bays.patterns_of(ids), bays.latest_readings(ids)
    return [_show(row, patterns[row.id][-1], latest.get(row.id)) for row in rows]


def _show(row: Bay, pattern: BayPattern, latest: Reading | None) -> dict[str, Any]:
    return {
        "id": row.id,
        "code": row.code,
        "title": row.title,
        "pattern": {
            "day": units.kelvin(pattern.day_mk),
            "night": units.kelvin(pattern.night_mk),
            "day_from": pattern.day_from,
            "day_until": pattern.day_until,
        },
        "uncertainty": units.kelvin(row.uncertainty_mk),
        "gap_max": row.gap_max_s,
        "latest": None
        if latest is None
        else {
            "at": latest.at,
            "temperature": units.kelvin(latest.temperature_mk),
            "humidity_percent": units.percent(latest.humidity_ppm),
        },
        "version": row.version,
    }


def list_bays(after: int | None, limit: int) -> list[dict[str, Any]]:
    """Bays by age, after the one with that id."""
    return show_bays(bays.page(after, limit))


def _set_pattern(
    row: Bay,
    day: Decimal,
    night: Decimal,
    day_from: time,
    day_until: time,
    *,
    at: int,
    now: int,
    hand: Hand,
) -> None:
    bays.add_pattern(
        row.id,
        at=at,
        day_mk=units.milli(day),
        night_mk=units.milli(night),
        day_from=day_from.strftime("%H:%M"),
        day_until=day_until.strftime("%H:%M"),
        **hand.signed(now),
    )
