"""The dew point of the air, and whether a surface is far enough above it to be coated."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from ..amounts.quantities import TEMPERATURE, ZERO_C
from ..amounts.sentences import warmth
from ..amounts.views import View
from ..errors import Invalid
from ..frozen import frozen
from ..words import Text, say

MAGNUS_A, MAGNUS_B = 17.625, 243.04
"""Magnus constants over water; b in °C (Alduchov & Eskridge, J. Appl. Meteor. 35:601-609, 1996)."""

LEAST_SPREAD_K = 3.0
"""Least distance of a surface above the dew point (ISO 8502-4; ISO 12944-7)."""


@frozen
class DewPointView(View):
    """The dew point, and what it means for the surface."""

    dew_point: Annotated[float, TEMPERATURE]
    least_surface: Annotated[float, TEMPERATURE]
    verdict: Literal["coat", "wait", "unknown"]
    cautions: list[Text]


def judge(air: float, humidity_percent: float, surface: float | None = None) -> DewPointView:
    """The dew point, the least surface temperature to coat at, and a verdict on a surface; all K.

    Raises: as `dew_point`.
    """
    dew = dew_point(air, humidity_percent)
    caution = None if surface is None else dew_caution(surface, dew)
    return DewPointView(
        dew_point=dew,
        least_surface=dew + LEAST_SPREAD_K,
        verdict="unknown" if surface is None else "wait" if caution else "coat",
        cautions=[caution] if caution else [],
    )


def dew_point(air: float, humidity_percent: float) -> float:
    """Dew point in K of air at `air` K and a relative humidity in percent.

    Td = b g / (a - g), g = a T/(b + T) + ln(RH/100), T and Td in °C.

    Raises:
        Invalid: a humidity not over 0 and up to 100.
    """
    if not 0 < humidity_percent <= 100:
        raise Invalid(
            f"A relative humidity of {humidity_percent:g} % is not possible.",
            advice="Give it over 0 and up to 100.",
        )
    T = air - ZERO_C
    g = MAGNUS_A * T / (MAGNUS_B + T) + math.log(humidity_percent / 100)
    return MAGNUS_B * g / (MAGNUS_A - g) + ZERO_C


def dew_caution(surface: float, dew: float) -> Text | None:
    """The caution for a surface (K) that is too near the dew point (K), or None."""
    spread = surface - dew
    if spread >= LEAST_SPREAD_K:
        return None
    return say(
        "The surface is {} above the dew point, and wants {}: moisture on it spoils the bond. "
        "Warm the part or dry the air.",
        warmth(max(spread, 0)),
        warmth(LEAST_SPREAD_K),
    )
