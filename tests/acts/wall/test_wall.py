"""The wall's facts: trouble first, how near a window shuts, the stretch and the air of a ribbon."""

from __future__ import annotations

from datetime import time
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import watch
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.jobs import need
from cureyard_service.acts.plan import job_plan
from cureyard_service.acts.plan.chain import WEEKDAYS
from cureyard_service.acts.wall import ribbon, wall
from cureyard_service.acts.wall.wall import StripView
from cureyard_service.acts.yard import finding

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, H

pytestmark = pytest.mark.usefixtures("books")


def laid(hours: float, **facts: Any) -> int:
    """A layup of the laminating resin that went on so many hours ago."""
    at = int(NOW - hours * H)
    asked = {"product": "LAM", "catalyst_percent": Decimal(2), "now": at} | facts
    return yard.laid(**asked).id


def of(layup: int, now: int = NOW) -> StripView:
    """A layup as its page has it."""
    return wall.layup_page(finding.layup(layup), now)


def test_a_row_for_each_layup_and_pot() -> None:
    """Trouble first, whatever the order they were laid in; each layup's ribbon over one time."""
    wet, past, late = laid(0.1), laid(30), laid(1)
    observe_layup(finding.layup(late), kind="not_gelled", now=NOW, hand=HAND)
    yard.stocked()
    pot = yard.pot()
    told = wall.wall(NOW)
    named = [("pot", row.pot.id) if row.pot else ("layup", row.layup.id) for row in told.rows]
    assert named == [("layup", late), ("pot", pot.id), ("layup", wet), ("layup", past)]
    spans = {(ribbon.since, ribbon.until) for ribbon in told.ribbons.values()}
    assert spans == {(NOW - 200 * 60, NOW + 14 * H)}
    assert told.cures == 3


def test_where_nothing_cures_the_plans_say_what_is_next() -> None:
    """The first layers of today or later, with what the job lacks for them."""
    assert wall.wall(NOW).next_layers == []
    steps = [
        {"title": f"Ply {n}", "kind": "cure", "product": "LAM", "catalyst_percent": Decimal(2),
         "work": 2.0 * H}
        for n in range(3)
    ]  # fmt: skip
    hours = {"begin": time(0), "finish": time(0), "days": list(WEEKDAYS)}
    job_plan.keep_plan(
        finding.job("D-7"), now=NOW, hand=HAND, bay="SHED", steps=steps, hours=hours
    )  # fmt: skip
    need.add_needs(
        finding.job("D-7"), wanted=[{"product": "MAT", "quantity": yard.q("4 m")}],
        now=NOW, hand=HAND,
    )  # fmt: skip
    told = wall.wall(NOW).next_layers
    assert [(each.job, each.title) for each in told] == [("D-7", "Ply 0"), ("D-7", "Ply 1")]
    assert told[0].short.product == "MAT"
    laid(0.1)
    assert wall.wall(NOW).next_layers == []


def test_a_bay_too_cold_for_what_lies_in_it() -> None:
    """It says under what; a bay that is cold and empty does not matter."""
    assert {bay.under for bay in wall.wall(NOW).bays} == {None}
    laid(0.5, bay="BARN")
    reading = {"at": NOW - 60, "temperature": yard.heat("4 degC"), "humidity_percent": Decimal(58)}
    read_bay.read_bay(bay="BARN", readings=[reading], now=NOW, hand=HAND)
    told = {bay.air.code: bay for bay in wall.wall(NOW).bays}
    barn, shed = told["BARN"], told["SHED"]
    assert (barn.under, barn.humidity) == (pytest.approx(281.15), 58)
    assert (shed.under, shed.humidity) == (None, None)


def test_a_ribbon_reaches_to_what_is_worked_by() -> None:
    """From the start to the window's end; the cure, days off, once nothing else is ahead."""
    layup = laid(5)
    told = of(layup)
    assert told.ribbon.since == NOW - 5 * H
    assert told.ribbon.until == pytest.approx(told.milestones.recoat_closes.latest)
    assert told.ribbon.floor == pytest.approx(281.15)


def test_a_wet_ones_ribbon_reaches_to_the_next_layer() -> None:
    """Its gel is minutes off: beside a window of most of a day nobody would see it."""
    told = of(laid(0.1))
    assert told.ribbon.until == pytest.approx(told.milestones.recoat_opens.latest)


def test_a_ribbon_stays_near_now() -> None:
    """Of a layup that nobody covered for weeks it shows the last day and a day and a half."""
    told = of(laid(20 * 24)).ribbon
    assert told.since == NOW - ribbon.BACK_S
    assert NOW + ribbon.LEAST_AHEAD_S <= told.until <= NOW + ribbon.AHEAD_S


def test_a_layup_older_than_its_forecast_has_no_air() -> None:
    """Its forecast ends after two months; what has no air is still on the wall."""
    told = of(laid(1), NOW + 90 * 24 * H)
    assert told.ribbon.air == []


def test_the_air_is_read_and_then_taken_from_the_pattern() -> None:
    """Stretches without a gap, the measured ones where there are readings."""
    moments = range(NOW - 5 * H, NOW + 1, H // 2)
    readings = [{"at": at, "temperature": yard.heat("17 degC")} for at in moments]
    read_bay.read_bay(bay="SHED", readings=readings, now=NOW, hand=HAND)
    air = of(laid(5)).ribbon.air
    assert [run.measured for run in air] == [True, False]
    assert air[0].knots[-1] == air[1].knots[0]
    assert air[0].knots[0][1] == pytest.approx(290.15)
    assert air[1].knots[-1][1] == pytest.approx(293.15)


def test_a_loggers_minutes_are_thinned() -> None:
    """To what can be seen, from the first moment to the last."""
    moments = range(NOW - 5 * H, NOW + 1, 60)
    readings = [{"at": at, "temperature": yard.heat("17 degC")} for at in moments]
    read_bay.read_bay(bay="SHED", readings=readings, now=NOW, hand=HAND)
    told = of(laid(5)).ribbon
    measured, taken = told.air
    assert len(measured.knots) + len(taken.knots) == ribbon.STRETCHES + 2
    assert measured.knots[0][0] == told.since
    assert taken.knots[-1][0] == pytest.approx(told.until)


def test_a_finished_layups_ribbon_ends_with_its_watch() -> None:
    """Asked for later, it is of the time in which it was watched."""
    layup = laid(30)
    observe_layup(finding.layup(layup), kind="covered", at=NOW - 20 * H, now=NOW, hand=HAND)
    told = ribbon.show_ribbon(watch.watch(finding.layup(layup), NOW + 500 * H), NOW + 500 * H)
    assert told.until <= NOW - 20 * H + ribbon.AHEAD_S


def test_what_is_short_is_told() -> None:
    """As the list of what to buy has it."""
    wanted = [{"product": "MAT", "quantity": yard.q("4 m")}]
    need.add_needs(finding.job("D-7"), wanted=wanted, now=NOW, hand=HAND)
    (item,) = wall.wall(NOW).short
    assert (item.product, item.short[0]) == ("MAT", 4_000_000)


def test_a_sheet_has_its_pots() -> None:
    """With what was drawn for each."""
    yard.stocked()
    pot = yard.pot()
    row = finding.layup(yard.laid(pot.id).id)
    told = wall.layup_page(row, NOW)
    assert [each.id for each in told.cards] == [pot.id]
    assert len(told.cards[0].draws) == 2
    assert told.air_now.code == "SHED"
