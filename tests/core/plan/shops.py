"""Shops, layers and chains for the tests of the chain plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from cureyard_service.core.bays.pattern import BayPatterns, Pattern
from cureyard_service.core.bays.temperature import Trace, trace_of
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.errors import NoPlan
from cureyard_service.core.plan.chain import plan
from cureyard_service.core.plan.routes import Shop
from cureyard_service.core.plan.shop_hours import ShopHours, nights
from cureyard_service.core.plan.steps import Hold, Lay, Step, Wait, Work
from cureyard_service.core.products.cure_sheet import CureSheet
from hypothesis import strategies as st

from ..makers import EPOXY, MIN, POLYESTER, WAXED, kelvin, layer

ZONE = ZoneInfo("Europe/Lisbon")
MONDAY = datetime(2026, 3, 23, 8, tzinfo=ZONE).timestamp()
ALL_DAYS = frozenset(range(7))
PLAIN = replace(POLYESTER, surface="plain")


Way = tuple[float, int, float]
"""When it is done, how many abrades, how many seconds of night."""


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
        bay(day, night, start, days), Doubt.steady(uncertainty), hours.spans(start, end),
        nights(start, end + 86400, ZONE), start, slot, slots,
    )  # fmt: skip


def lay(
    title: str = "Ply", sheet: CureSheet = PLAIN, work: float = 60, abrade: float | None = 60
) -> Lay:
    """A layer that takes so many minutes to lay, and to abrade below."""
    grinding = None if abrade is None else abrade * MIN
    return Lay(title, layer(sheet, finished=work * MIN), grinding)


sheets = st.sampled_from([PLAIN, POLYESTER, EPOXY, WAXED])
lays = st.builds(
    lay, sheet=sheets, work=st.sampled_from([30, 60, 120]), abrade=st.sampled_from([None, 30, 60])
)
chains = st.lists(
    lays | lays | st.builds(Work, st.just("Sand"), st.sampled_from([1800.0, 7200.0]))
    | st.builds(Wait, st.just("Dry"), st.sampled_from([3600.0, 20000.0]))
    | st.builds(Hold, st.just("Survey"), st.sampled_from([MONDAY + 9000, MONDAY + 90000])),
    min_size=1, max_size=3,
)  # fmt: skip
shifts = st.builds(
    ShopHours,
    st.sampled_from([ALL_DAYS, frozenset({0, 2, 3})]),
    st.sampled_from([time(8), time(20), time(0)]),
    st.sampled_from([time(13), time(17), time(3), time(0)]),
    st.just(ZONE),
    st.sampled_from([frozenset(), frozenset({date(2026, 3, 24)})]),
)


def outcome(steps: Sequence[Step], where: Shop) -> Way | None:
    """What the plan says, or None where it refuses."""
    try:
        found = plan(steps, where)
    except NoPlan:
        return None
    return found.finish, found.abrades, found.night
