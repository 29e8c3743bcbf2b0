"""Estimate the dew point: nothing is kept."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ...core.bays import dew_point as air_sums


def dew_point(
    *, air: Decimal, humidity_percent: Decimal, surface: Decimal | None = None
) -> dict[str, Any]:
    """Dew point, the least surface temperature to coat at, and a verdict; all in K.

    Raises: as `air.dew_point`.
    """
    dew = air_sums.dew_point(float(air), float(humidity_percent))
    caution = None if surface is None else air_sums.dew_caution(float(surface), dew)
    return {
        "dew_point": dew,
        "least_surface": dew + air_sums.LEAST_SPREAD_K,
        "verdict": "unknown" if surface is None else "wait" if caution else "coat",
        "cautions": [caution] if caution else [],
    }
