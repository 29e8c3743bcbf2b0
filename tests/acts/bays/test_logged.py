"""A bay's own pattern: fourteen whole days of its log tell the air to come, hour by hour."""

from __future__ import annotations

from decimal import Decimal
from itertools import product
from math import sqrt
from statistics import stdev

import pytest
from cureyard_service.acts.bays import air
from cureyard_service.acts.bays import bay as add_bay
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import watch
from cureyard_service.acts.cure.show import show_layup
from cureyard_service.acts.yard import finding
from cureyard_service.store import bays
from cureyard_service.store.bays import Bay

from ... import makers
from ...putting import by_acts
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, H

pytestmark = pytest.mark.usefixtures("books")

MIDNIGHT = NOW - NOW % DAY
NOON = NOW - NOW % DAY + 12 * H
TOLD = 20.0
"""What the loft is taken to be until its log tells better, °C."""


def loft() -> Bay:
    """A bay that was added long ago."""
    by_acts(NOW - 200 * DAY, HAND, bays=[makers.bay("LOFT", f"{TOLD} degC")])
    return finding.bay("LOFT")


def by_hour(hour: int) -> float:
    """A day in the loft, °C: coldest at midnight."""
    return 12 + hour / 4


def log(days: int, off: tuple[float, ...] = (0.0,), hours: int = 24, ended: int = 0) -> None:
    """A logger's file of whole days until so many days ago; each so many kelvins off, in turn."""
    readings = [
        {
            "at": MIDNIGHT - (ended + back) * DAY + hour * H,
            "temperature": yard.heat(f"{by_hour(hour) + off[back % len(off)]} degC"),
        }
        for back, hour in product(range(1, days + 1), range(hours))
    ]
    read_bay.read_bay(bay="LOFT", readings=readings, now=NOW, hand=HAND)


def celsius(moment: int) -> float:
    """What the loft is taken to be at a moment."""
    return air.taken(finding.bay("LOFT"), moment).temperature - 273.15


@pytest.mark.parametrize(("days", "told"), [(14, False), (13, True)])
def test_fourteen_whole_days_tell_every_hour(days: int, told: bool) -> None:
    """A fortnight tells the noon and the night to come; a day less does not."""
    loft()
    log(days)
    for hour in (12, 18, 25):
        expected = TOLD if told else by_hour(hour % 24)
        assert celsius(MIDNIGHT + hour * H) == pytest.approx(expected, abs=0.01)


def test_days_with_gaps_do_not_count() -> None:
    """Twenty days of a logger that only ran by day are none."""
    loft()
    log(20, hours=17)
    assert celsius(NOON) == pytest.approx(TOLD)


def test_last_summer_s_log_says_nothing_of_this_winter() -> None:
    """The last thirty days count, not the thirty before the logger was taken down."""
    loft()
    log(20, ended=150)
    assert celsius(NOON) == pytest.approx(TOLD)


def test_what_a_hand_says_later_outranks_the_log() -> None:
    """A heater was put in: the log of before it says nothing of the nights to come."""
    loft()
    log(20)
    assert celsius(NOON) == pytest.approx(by_hour(12), abs=0.01)
    warm = yard.heat("25 degC")
    add_bay.change_bay(finding.bay("LOFT"), day=warm, night=warm, now=NOW, hand=HAND)
    assert celsius(NOON) == pytest.approx(25)


def test_what_the_log_tells_is_as_unsure_as_its_days_differ() -> None:
    """√3 times the standard deviation of their means; and never less than where it is measured."""
    bay = loft()
    assert (air.doubt(bay, NOW).measured, air.doubt(bay, NOW).ahead) == (2, 3)
    log(14, off=(-2.0, 2.0))
    off = [(-2.0, 2.0)[back % 2] for back in range(14)]
    assert air.doubt(bay, NOW).ahead == pytest.approx(sqrt(3) * stdev(off), rel=1e-3)
    by_acts(NOW - 60 * DAY, HAND, bays=[makers.bay("CALM", f"{TOLD} degC")])
    calm = [
        {"at": MIDNIGHT - back * DAY + hour * H, "temperature": yard.heat("19 degC")}
        for back, hour in product(range(1, 15), range(24))
    ]
    read_bay.read_bay(bay="CALM", readings=calm, now=NOW, hand=HAND)
    assert air.doubt(finding.bay("CALM"), NOW).ahead == 2
    told = {
        bay.code: (bay.ahead.basis, bay.ahead.uncertainty)
        for bay in add_bay.show_bays(bays.all_bays(), NOW)
    }
    assert told["CALM"] == ("log", 2)
    assert told["SHED"] == ("guessed", 3)
    assert told["LOFT"] == ("log", pytest.approx(sqrt(3) * stdev(off), rel=1e-3))


def test_a_log_that_was_read_in_later_was_not_known_before() -> None:
    """What was told last week is told again as it was."""
    bay = loft()
    log(20)
    assert air.Logs(NOW - DAY).at([bay.id], NOW) == {}
    assert set(air.Logs().at([bay.id], NOW)) == {bay.id}


def test_a_log_that_ended_long_ago_tells_nothing() -> None:
    """It is kept, and counts for the time when it was young."""
    bay = loft()
    log(20)
    logs = air.Logs()
    assert logs.at([bay.id], NOW + 40 * DAY) == {}
    assert set(logs.at([bay.id], NOW + 20 * DAY)) == {bay.id}


def test_what_was_told_before_the_log_came_is_told_again() -> None:
    """Its temperatures and its bands: as they were known then."""
    loft()
    then = NOW - 2 * H
    laid = yard.laid(product="LAM", catalyst_percent=Decimal(2), bay="LOFT", now=then)
    row = finding.layup(laid.id)
    told = show_layup(watch.watch(row, then + H)).milestones
    log(14, off=(-4.0, 4.0))
    assert show_layup(watch.watch(row, NOW)).milestones != told
    assert show_layup(watch.watch(row, NOW, as_known_at=then + H)).milestones == told


def test_a_layup_goes_by_the_log() -> None:
    """15 °C by the afternoon's log, not the 20 °C that it was taken to be: it opens later."""
    loft()
    log(14)
    told, by_hand = (
        yard.laid(product="LAM", catalyst_percent=Decimal(2), bay=bay).milestones.recoat_opens
        for bay in ("LOFT", "SHED")
    )
    assert by_hand.at - NOW == pytest.approx(2 * H, rel=0.01)
    assert 2.5 * H < told.at - NOW < 3.5 * H


def test_a_heater_that_goes_on_by_the_log_is_seen_before_anybody_reads_it() -> None:
    """20 °C from 07:00 to 19:00, else 12; read 12 at 06:50, laid at 06:57: it gels at 20 °C.

    By hand: 20 min at 20 °C, and 3 min at 12 °C are 1.75 of them, so 21.25 min.
    """
    loft()
    readings = [
        {"at": at, "temperature": yard.heat(f"{20 if 7 <= at % DAY // H < 19 else 12} degC")}
        for at in range(MIDNIGHT - 31 * DAY, MIDNIGHT + 7 * H, H // 2)
    ]
    last = {"at": MIDNIGHT + 6 * H + 50 * 60, "temperature": yard.heat("12 degC")}
    then = MIDNIGHT + 6 * H + 57 * 60
    read_bay.read_bay(bay="LOFT", readings=[*readings, last], now=then, hand=HAND)
    told = yard.laid(product="LAM", catalyst_percent=Decimal(2), bay="LOFT", now=then)
    assert told.milestones.gel.at - then == pytest.approx(21.25 * 60, abs=30)
