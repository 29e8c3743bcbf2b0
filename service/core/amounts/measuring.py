"""What a shop scale and a shop measure can show: amounts rounded to it, in mg and µL."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, floor


def gram_step(mass_mg: float) -> int:
    """A shop scale: 0.1 g under 100 g, then 1 g."""
    return 100 if mass_mg < 100_000 else 1000


def ml_step(volume_ul: float) -> int:
    """A shop measure: 0.1 mL under 20 mL, then 0.5 mL."""
    return 100 if volume_ul < 20_000 else 500


def nearest(exact: float, step: int) -> int:
    """An amount in whole steps."""
    return round(exact / step) * step


def measured(
    exact: float, step_of: Callable[[float], int], whole: float, low: float, high: float
) -> int | None:
    """Round to what can be measured inside the limits (percent of `whole`); None if nothing is."""
    step = step_of(exact)
    ways = (nearest(exact, step), floor(exact / step) * step, ceil(exact / step) * step)
    return next((way for way in ways if low * whole <= 100 * way <= high * whole), None)
