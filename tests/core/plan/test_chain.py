"""The chain plan: its laws, and chains whose plan is known."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time
from math import inf

import pytest
from cureyard_service.core.errors import NoPlan
from cureyard_service.core.plan.chain import Plan, plan
from cureyard_service.core.plan.routes import Shop
from cureyard_service.core.plan.shop_hours import ShopHours
from cureyard_service.core.plan.steps import Ground, Hold, Lay, Step, Wait, Work
from cureyard_service.core.plan.why import BOUNDS
from cureyard_service.core.products.cure_sheet import StageTime
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ..makers import HOUR, WAXED
from .shops import ALL_DAYS, MONDAY, PLAIN, ZONE, chains, lay, lays, outcome, shifts, shop


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
    first, second = (
        outcome(steps, shop(hours=hours, slot=1800, slots=14 * 48)) for hours in (short, long)
    )
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


def test_three_layers_of_a_slow_window_fit_into_one_day() -> None:
    """Opens 3 h, closes 24 at 20 ± 0.5 °C, 07:00 to 19:00: two bonds, each at 97.5 %.

    The first is surely open 4.309 h after it was laid (log-normal, as the bands are).
    """
    times = {"recoat_opens": 3 * HOUR, "recoat_closes": 24 * HOUR}
    stages = tuple((name, StageTime(time)) for name, time in times.items())
    one = replace(PLAIN, stages=stages, gel_points=PLAIN.gel_points[2:3])
    where = shop(20, 20, uncertainty=0.5, hours=ShopHours(ALL_DAYS, time(7), time(19), ZONE))
    surer = replace(where, doubt=where.doubt.of_bonds(2))
    layers = [lay(f"Layer {n}", one, work=30, abrade=None) for n in range(3)]
    found = found_in(surer, *layers)
    assert [local(step.begin) for step in found.steps] == ["Mon 08:00", "Mon 13:00", "Mon 18:00"]
    first = found.steps[0]
    assert first.opens is not None
    assert first.opens - first.end == pytest.approx(4.309 * HOUR, rel=5e-4)


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
        ([Hold("Late", MONDAY + 30 * 86400), Work("Sand", HOUR)], shop(), "planned days end"),
    ],
)
def test_a_chain_that_can_t_be_planned_says_which_step_and_why(
    steps: list[Step], where: Shop, said: str
) -> None:
    """Too long for the hours, too cold, no window, too late."""
    with pytest.raises(NoPlan, match=said) as refused:
        plan(steps, where)
    assert refused.value.pointer == f"/steps/{len(steps) - 1}"
