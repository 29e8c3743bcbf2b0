"""The chain plan against brute force, and its laws."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from math import inf

import numpy as np
import pytest
from cureyard_service.core.cure.milestones import milestones, window
from cureyard_service.core.errors import NoPlan
from cureyard_service.core.plan.chain import Plan, plan
from cureyard_service.core.plan.routes import Shop
from cureyard_service.core.plan.shop_hours import NIGHT, ShopHours
from cureyard_service.core.plan.steps import Ground, Hold, Lay, Step, Wait, Work
from cureyard_service.core.plan.why import BOUNDS
from cureyard_service.core.products.cure_sheet import StageTime
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from ..makers import EPOXY, HOUR, POLYESTER, WAXED, laid_at, stalled_at
from ..shop import ALL_DAYS, MONDAY, PLAIN, ZONE, lay, shop

Way = tuple[float, int, float]
"""When it is done, how many abrades, how many seconds of night."""


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
        stalled = stalled_at(laid_at(step.layer, moment), where.trace, where.uncertainty)
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
            seen = milestones(under, where.trace, where.uncertainty)
            covered = milestones(replace(under, cover="film"), where.trace, where.uncertainty)[
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


def outcome(steps: Sequence[Step], where: Shop) -> Way | None:
    """What the plan says, or None where it refuses."""
    try:
        found = plan(steps, where)
    except NoPlan:
        return None
    return found.finish, found.abrades, found.night


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


@settings(max_examples=60)
@given(chains, shifts, st.sampled_from([(21, 16), (26, 22), (17, 8)]))
def test_a_plan_keeps_its_rules(
    steps: list[Step], hours: ShopHours, air: tuple[float, float]
) -> None:
    """In its hours, one after another, each layer in the window below or abraded."""
    where = shop(*air, hours=hours)
    try:
        found = plan(steps, where)
    except NoPlan:
        assume(False)
    done, top = where.start, None
    for planned in found.steps:
        assert planned.begin >= done - 1e-6
        assert planned.bound in BOUNDS
        if isinstance(planned.step, Lay | Work):
            spans = where.spans
            assert any(a <= planned.begin and planned.end <= b for a, b in spans)
            assert planned.end - planned.begin == pytest.approx(
                planned.step.length + planned.abrade
            )
        if isinstance(planned.step, Lay) and top is not None and not planned.abrade:
            assert top[0] <= planned.lay + 1e-6
            assert planned.end <= top[1] + 1e-6
        if isinstance(planned.step, Lay):
            top = (planned.opens or inf, planned.closes or -inf)
        if isinstance(planned.step, Work):
            top = None
        done = planned.end
    assert done == found.finish


@settings(max_examples=40)
@given(st.lists(lays, min_size=1, max_size=5), st.integers(0, 3))
def test_more_hours_never_finish_later(steps: list[Lay], more: int) -> None:
    """A shop that opens earlier and shuts later can still do what it could before."""
    short = ShopHours(ALL_DAYS, time(8), time(17), ZONE)
    long = ShopHours(ALL_DAYS, time(8 - more), time(17 + more), ZONE)
    first, second = outcome(steps, shop(hours=short)), outcome(steps, shop(hours=long))
    if first is not None:
        assert second is not None
        assert second[0] <= first[0]


def found_in(where: Shop, *steps: Step, ground: Ground | None = None) -> Plan:
    """The plan of some steps."""
    return plan(steps, where, ground)


def local(moment: float) -> str:
    """A moment on the yard's clock."""
    return datetime.fromtimestamp(moment, ZONE).strftime("%a %H:%M")


def test_a_window_that_opens_at_night_is_met_by_beginning_later() -> None:
    """Epoxy on epoxy, one layer a day: the greedy start at eight would miss tomorrow's hours."""
    times = {"recoat_opens": 10 * HOUR, "recoat_closes": 40 * HOUR, "sandable": 30 * HOUR}
    slow = replace(
        PLAIN,
        stages=tuple((name, StageTime(time)) for name, time in times.items()),
        closes_after=20 * HOUR,
    )
    where = shop(20, 20, uncertainty=0.0)
    found = found_in(where, lay("First", slow), lay("Second", slow, abrade=None))
    first, second = found.steps
    assert first.opens is not None
    assert first.bound == "later-step"
    assert first.opens <= second.begin
    assert local(first.begin)[:3] == "Mon"
    assert local(second.begin) == "Tue 08:00"
    assert second.bound == "hours"


def test_a_face_past_its_window_is_abraded_rather_than_waited_for() -> None:
    """Waxed fairing has no window: each next coat is abraded, and says so."""
    where = shop()
    found = found_in(where, lay("Coat 1", WAXED), lay("Coat 2", WAXED))
    assert [s.abrade for s in found.steps] == [0, 3600]
    assert found.abrades == 1
    with pytest.raises(NoPlan, match="no recoat window") as refused:
        found_in(where, lay("Coat 1", WAXED), lay("Coat 2", WAXED, abrade=None))
    assert refused.value.pointer == "/steps/1"
    assert "abrade" in refused.value.advice


def test_the_change_to_summer_time_shortens_the_night() -> None:
    """Sunday 29 March 2026 has 23 hours in Lisbon: eleven hours after Saturday 21:00 is 9:00."""
    start = datetime(2026, 3, 28, 20, tzinfo=ZONE).timestamp()
    hours = ShopHours(ALL_DAYS, time(0), time(0), ZONE)
    where = shop(hours=hours, start=start, slots=200)
    found = found_in(where, lay("Evening"), Wait("Stands", 11 * HOUR), Work("Sand", 600.0))
    assert local(found.steps[1].begin) == "Sat 21:00"
    assert local(found.steps[1].end) == "Sun 09:00"


def test_work_stays_out_of_the_night_where_that_costs_nothing() -> None:
    """A step that waits for an inspection anyway is done by day before it."""
    hours = ShopHours(ALL_DAYS, time(0), time(0), ZONE)
    start = datetime(2026, 3, 23, 23, tzinfo=ZONE).timestamp()
    where = shop(hours=hours, start=start)
    survey = Hold("Survey", start + 20 * HOUR)
    found = found_in(where, Work("Grind", 2 * HOUR), survey, Work("Clean", HOUR))
    assert found.night == 0
    assert local(found.steps[0].begin) == "Tue 05:00"
    assert found.steps[0].bound == "later-step"


def test_the_first_layer_goes_on_what_lies_there() -> None:
    """A layer already down: in its window, or abraded when it is hard."""
    where = shop()
    bonded = found_in(
        where, lay(), ground=Ground(MONDAY + 1.2 * HOUR, MONDAY + 5 * HOUR, MONDAY + 6 * HOUR)
    )
    assert local(bonded.steps[0].begin) == "Mon 09:15"
    assert bonded.steps[0].bound == "window"
    past = found_in(where, lay(), ground=Ground(inf, -inf, MONDAY + 2 * HOUR))
    assert local(past.steps[0].begin) == "Mon 10:00"
    assert local(past.steps[0].lay) == "Mon 11:00"
    assert past.steps[0].bound == "hard"


@pytest.mark.parametrize(
    ("steps", "where", "said"),
    [
        ([lay(work=600)], shop(), "hours have no stretch"),
        ([lay()], shop(10, 8), "too cold or too hot"),
        ([lay("Base", work=60), lay(work=500, abrade=None)], shop(), "recoat window"),
        ([lay(), Hold("Never", MONDAY + 300 * 86400), lay()], shop(), "recoat window"),
        ([Hold("Late", MONDAY + 30 * 86400), Work("Sand", HOUR)], shop(), "days that are planned"),
    ],
)
def test_a_chain_that_can_t_be_planned_says_which_step_and_why(
    steps: list[Step], where: Shop, said: str
) -> None:
    """Too long for the hours, too cold, no window, too late."""
    with pytest.raises(NoPlan, match=said) as refused:
        plan(steps, where)
    assert refused.value.pointer == f"/steps/{len(steps) - 1}"
