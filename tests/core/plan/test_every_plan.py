"""The chain plan against every plan there is, each looked at in turn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from math import inf

import numpy as np
from cureyard_service.core.cure.forecast import milestones
from cureyard_service.core.cure.recoat import window
from cureyard_service.core.plan.routes import Shop
from cureyard_service.core.plan.shop_hours import NIGHT, ShopHours
from cureyard_service.core.plan.steps import Hold, Lay, Step, Wait, Work
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ..makers import laid_at, stalled_at
from .shops import ALL_DAYS, ZONE, Way, chains, lay, outcome, shifts, shop


def by_hand(steps: Sequence[Step], where: Shop, hours: ShopHours) -> Way | None:
    """The best of all plans, each looked at: the definition, without any of the plan's code."""

    def night(begin: float, end: float) -> int:
        seconds = 0
        for k in range(round((end - begin) / 60)):
            clock = datetime.fromtimestamp(begin + 60 * k, ZONE).time()
            seconds += 60 if clock >= NIGHT[0] or clock < NIGHT[1] else 0
        return seconds

    def in_hours(begin: float, end: float) -> bool:
        for k in range(round((end - begin) / 60)):
            moment = datetime.fromtimestamp(begin + 60 * k, ZONE)
            clock = moment.time()
            day = moment.date()
            if hours.finish <= hours.begin and clock < hours.finish:
                day = date.fromordinal(day.toordinal() - 1)
            elif clock < hours.begin or hours.begin < hours.finish <= clock:
                return False
            if day.weekday() not in hours.days or day in hours.closed:
                return False
        return True

    def workable(step: Lay, moment: float) -> bool:
        sheet = step.layer.sheet
        slots = np.arange(0, step.length + where.slot, where.slot)
        felt = [where.trace.at(moment + s) for s in slots]
        low, high = sheet.apply_min or 0, sheet.temperature_max or inf
        stalled = stalled_at(laid_at(step.layer, moment), where.trace, where.doubt.measured)
        return all(low <= T <= high for T in felt) and stalled is None

    def ways(left: Sequence[Step], done: float, top: tuple[Lay, float] | None) -> Iterator[Way]:
        if not left:
            yield done, 0, 0
            return
        step, rest = left[0], left[1:]
        if isinstance(step, Wait):
            yield from ways(rest, done + step.length, top)
            return
        if isinstance(step, Hold):
            yield from ways(rest, max(done, step.until), top)
            return
        seen = None
        if top is not None:
            under = laid_at(top[0].layer, top[1])
            seen = milestones(under, where.trace, where.doubt)
            covered = milestones(replace(under, cover="film"), where.trace, where.doubt)[
                "sandable"
            ].latest
            hard = inf if covered is None else covered
        for moment in where.moments:
            begins = [(moment, 0)]
            if seen is not None and isinstance(step, Work):
                begins = [(moment, 0)] if moment >= hard - 1e-6 else []
            elif seen is not None and isinstance(step, Lay):
                bonded = window(seen)
                inside = (
                    bonded is not None
                    and bonded[0] - 1e-6 <= moment
                    and moment + step.length <= bonded[1] + 1e-6
                )
                begins = [(moment, 0)] if inside else []
                if step.abrade is not None and moment - step.abrade >= hard - 1e-6:
                    begins.append((moment - step.abrade, 1))
            for begin, abrades in begins:
                end = moment + step.length
                if begin < done - 1e-6 or not in_hours(begin, end):
                    continue
                if isinstance(step, Lay) and not workable(step, moment):
                    continue
                onto = (step, moment) if isinstance(step, Lay) else None
                for finish, more, dark in ways(rest, end, onto):
                    yield finish, more + abrades, dark + night(begin, end)

    return min(ways(steps, where.start, None), default=None)


@settings(max_examples=60)
@given(chains, shifts, st.sampled_from([(21, 16), (26, 22), (17, 8)]), st.sampled_from([0.0, 2.0]))
@example([lay(), lay(), lay()], ShopHours(ALL_DAYS, time(20), time(3), ZONE), (26, 22), 0.0)
@example([lay(work=30), lay(work=30)], ShopHours(ALL_DAYS, time(0), time(0), ZONE), (21, 16), 0.0)
def test_no_plan_is_better(
    steps: list[Step], hours: ShopHours, air: tuple[float, float], uncertainty: float
) -> None:
    """Of all begin times of two-hour slots over two days none finishes before, nor as early
    with fewer abrades, nor with less night work; where it refuses there is none at all."""
    where = shop(*air, hours=hours, uncertainty=uncertainty, slot=7200, slots=24)
    assert outcome(steps, where) == by_hand(steps, where, hours)
