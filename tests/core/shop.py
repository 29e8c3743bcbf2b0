"""A shop and layers to plan for."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time
from zoneinfo import ZoneInfo

from cureyard_service.core.bays.temperature import BayPatterns, Pattern, Trace, trace_of
from cureyard_service.core.plan.routes import Shop
from cureyard_service.core.plan.shop_hours import ShopHours, nights
from cureyard_service.core.plan.steps import Lay
from cureyard_service.core.products.cure_sheet import CureSheet

from .makers import MIN, POLYESTER, kelvin, layer

ZONE = ZoneInfo("Europe/Lisbon")
MONDAY = datetime(2026, 3, 23, 8, tzinfo=ZONE).timestamp()
ALL_DAYS = frozenset(range(7))
PLAIN = replace(POLYESTER, surface="plain")


def bay(day: float, night: float, start: float, days: float) -> Trace:
    """A bay's pattern, day from 7 to 18."""
    pattern = Pattern(kelvin(day), kelvin(night), time(7), time(18))
    return trace_of([], [], BayPatterns([(0.0, pattern)], ZONE), start, start + days * 86400, 7200)


def shop(
    day: float = 21,
    night: float = 16,
    *,
    hours: ShopHours | None = None,
    uncertainty: float = 1.0,
    slot: float = 900,
    slots: int = 14 * 96,
    start: float = MONDAY,
) -> Shop:
    """A shop from Monday 23 March 2026, 8:00 in Lisbon, a week before summer time."""
    hours = hours or ShopHours(ALL_DAYS, time(8), time(17), ZONE)
    end = start + slot * slots
    days = (end - start) / 86400 + 12
    return Shop(
        bay(day, night, start, days), uncertainty, hours.spans(start, end),
        nights(start, end + 86400, ZONE), start, slot, slots,
    )  # fmt: skip


def lay(
    title: str = "Ply", sheet: CureSheet = PLAIN, work: float = 60, abrade: float | None = 60
) -> Lay:
    """A layer that takes so many minutes to lay, and to abrade below."""
    grinding = None if abrade is None else abrade * MIN
    return Lay(title, layer(sheet, finished=work * MIN), grinding)
