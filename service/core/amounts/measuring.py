"""Amounts rounded to what a shop scale (mg) and a shop measure (µL) can show."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, floor


def gram_step(mass_mg: float) -> int:
    """The step of a shop scale, mg: 0.1 g under 100 g, then 1 g."""
    return 100 if mass_mg < 100_000 else 1000


def ml_step(volume_ul: float) -> int:
    """The step of a shop measure, µL: 0.1 mL under 20 mL, then 0.5 mL."""
    return 100 if volume_ul < 20_000 else 500


def nearest(exact: float, step: int) -> int:
    """An amount rounded to whole steps."""
    return round(exact / step) * step


def measured(
    exact: float, step_of: Callable[[float], int], whole: float, low: float, high: float
) -> int | None:
    """An amount rounded to what can be measured, but never outside its limits.

    Args:
        exact: mg or µL. step_of: `gram_step` or `ml_step`. low, high: percent of `whole`.

    Returns:
        The nearest step inside the limits, or None if no step lies inside them.
    """
    step = step_of(exact)
    steps = (nearest(exact, step), floor(exact / step) * step, ceil(exact / step) * step)
    return next((each for each in steps if low * whole <= 100 * each <= high * whole), None)
