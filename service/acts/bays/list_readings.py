"""A bay's readings in force, whole: for a spreadsheet."""

from __future__ import annotations

from typing import Any

from ...store import bays
from ...store.engine.columns import LARGEST
from ..yard import conversions as units


def list_readings(bay_id: int) -> list[dict[str, Any]]:
    """Every reading in force of a bay, oldest first: moment (epoch s), K, percent."""
    return [
        {
            "at": row.at,
            "temperature": units.kelvin(row.temperature_mk),
            "humidity_percent": units.percent(row.humidity_ppm),
        }
        for row in bays.readings(bay_id, 0, LARGEST)
    ]
