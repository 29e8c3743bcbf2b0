"""A layup under a vacuum bag: what each face says of it, and a bag that comes off too soon."""

from __future__ import annotations

import re
from typing import Any

import pytest
from cureyard_service.acts.cure import acceptance, watch
from cureyard_service.acts.cure.leak_tests import record_leak_test
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.cure.take_back import take_back_seen
from cureyard_service.acts.wall.calendar import calendar
from cureyard_service.acts.wall.now import what_now
from cureyard_service.acts.yard import finding
from cureyard_service.core.amounts.hours import opening
from cureyard_service.core.errors import Invalid
from cureyard_service.core.words import shown

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")


def look(layup: int, now: int = NOW) -> LayupView:
    """A layup as it stands at a moment."""
    return show_layup(watch.watch(finding.layup(layup), now))


def say(layup: int, kind: str, now: int = NOW, **facts: Any) -> LayupView:
    """A hand's word on it."""
    return observe_layup(finding.layup(layup), kind=kind, now=now, hand=HAND, **facts)


@pytest.fixture
def bagged() -> int:
    """A layup under peel ply, whose bag has just come on."""
    laid = yard.laid(product="LAM", catalyst_percent=2, cover="peel_ply")
    say(laid.id, "bagged", NOW + 5 * MIN, pressure=85_000)
    return int(laid.id)


def hold(layup: int) -> float:
    """Until when to hold it, as a face shows it."""
    until = look(layup, NOW + 10 * MIN).milestones.sandable.latest
    assert until is not None
    return opening(until)


def test_it_is_held_until_it_is_surely_hard(bagged: int) -> None:
    """Then it is taken off: first in `do`, which every face shows, and in the next step."""
    seen = look(bagged, NOW + 10 * MIN)
    assert (seen.do.words, seen.do.at) == ("vacuum until", hold(bagged))
    assert seen.next.action == "wait"
    assert seen.bag is not None
    assert (seen.bag.since, seen.bag.pressure, seen.bag.off_at) == (NOW + 5 * MIN, 85_000, None)
    assert opening(seen.bag.hold_until or 0) == hold(bagged)
    late = look(bagged, int(hold(bagged)))
    assert late.do.words == "take the bag off"
    assert late.do.note == "bag_off"
    assert late.next.action == "touch"


def test_now_the_calendar_and_the_wall_say_the_same_hour(bagged: int) -> None:
    """The calendar until a hand takes it off, and then as cancelled."""
    at = NOW + 10 * MIN
    (row,) = what_now(at).layups
    assert (row.do.words, row.do.at) == ("vacuum until", hold(bagged))
    (event,) = [each for each in calendar(at).events if each.name == "bag_off"]
    assert (event.at, event.cancelled) == (hold(bagged), False)
    until = int(hold(bagged))
    say(bagged, "bag_off", until)
    (event,) = [each for each in calendar(until).events if each.name == "bag_off"]
    assert event.cancelled


def test_off_in_time_is_as_without_a_bag(bagged: int) -> None:
    """Nothing is told of it but when it was."""
    until = int(hold(bagged))
    told = say(bagged, "bag_off", until)
    assert told.warnings == look(bagged, until).warnings
    assert not any("bag came off" in shown(each, "metric") for each in told.warnings)
    assert told.bag is not None
    assert (told.bag.off_at, told.bag.hold_until) == (until, None)
    assert "vacuum" not in told.do.words


def test_off_too_soon_is_told_for_good(bagged: int) -> None:
    """With both hours, as it comes off and ever after; taken back it is on again."""
    told = say(bagged, "bag_off", NOW + 40 * MIN)
    wanted = re.compile(r"The bag came off at .*10:26, and should have been held until .*voids")
    for each in (told, look(bagged, NOW + 90 * H)):
        assert sum(wanted.search(shown(word, "metric")) is not None for word in each.warnings) == 1
    newest = max(each.id for each in told.observations)
    back = finding.layup(bagged)
    take_back_seen(back, newest, reason="not yet", now=NOW + 41 * MIN, hand=HAND)
    assert look(bagged, NOW + 42 * MIN).do.words == "vacuum until"


def test_a_hand_that_found_it_hard_before_is_enough(bagged: int) -> None:
    """A nail at the edge counts before the clock."""
    say(bagged, "thumbnail", NOW + 7 * H)
    assert look(bagged, NOW + 7 * H + 5 * MIN).do.words == "take the bag off"
    told = say(bagged, "bag_off", NOW + 7 * H + 5 * MIN)
    assert not any("bag came off" in shown(each, "metric") for each in told.warnings)


def test_a_window_that_shuts_is_told_beside_the_bag(bagged: int) -> None:
    """Hard, and its window shuts within the hour: off, and the next layer down by then."""
    say(bagged, "thumbnail", NOW + 5 * H)
    seen = look(bagged, NOW + 5 * H)
    assert seen.window is not None
    shuts = int(seen.window.closes)
    told = look(bagged, shuts - 40 * MIN).do
    assert (told.words, told.near, told.note) == ("bag off, layer by", "hour", "bag_off")
    assert told.at is not None
    assert told.at <= shuts


def test_a_bag_that_came_off_early_is_in_its_row(bagged: int) -> None:
    """Until the hour to which it should have been held."""
    say(bagged, "bag_off", NOW + 40 * MIN)
    assert look(bagged, NOW + 41 * MIN).do.words == "bag off early: see it"
    assert "bag" not in look(bagged, int(hold(bagged)) + H).do.words


def test_trouble_goes_first(bagged: int) -> None:
    """A layup that does not gel is a lead's, bag or not; no hour is promised."""
    seen = say(bagged, "not_gelled", NOW + 9 * H)
    assert seen.do.words == "do not cover: ask a lead"
    assert seen.bag is not None
    assert seen.bag.hold_until is None


@pytest.mark.parametrize("cover", [None, "none", "film", "peel_ply"])
def test_a_bag_keeps_the_air_out_whatever_lies_under_it(cover: str | None) -> None:
    """So the face cures, and the vacuum is held until then; without a bag it stays tacky."""
    laid = yard.laid(product="LAM", catalyst_percent=2, cover=cover)
    under = yard.laid(product="LAM", catalyst_percent=2, cover="film")
    say(laid.id, "bagged", NOW + 5 * MIN)
    say(under.id, "bagged", NOW + 5 * MIN)
    seen, same = (look(each.id, NOW + 10 * MIN) for each in (laid, under))
    assert seen.bag is not None
    assert same.bag is not None
    assert seen.bag.hold_until == same.bag.hold_until == seen.milestones.sandable.latest
    bare = yard.laid(product="LAM", catalyst_percent=2)
    assert look(bare.id, NOW + 10 * MIN).milestones.sandable.why == "tacky-surface"


def test_what_can_not_be_is_refused(bagged: int) -> None:
    """Off what is not on; a pressure of no bag or no vacuum; an absolute one without the air's."""
    for kind, facts, pointer in (
        ("gelled", {"pressure": 85_000}, "/pressure"),
        ("bagged", {"absolute": True, "pressure": 9_000}, "/air_pressure"),
        ("bagged", {"air_pressure": 101_300, "pressure": 9_000}, "/absolute"),
        ("bagged", {"pressure": 0}, "/pressure"),
        ("bagged", {"air_pressure": 101_300, "pressure": 101_300, "absolute": True}, "/pressure"),
    ):
        with pytest.raises(Invalid) as refused:
            say(bagged, kind, NOW + 50 * MIN, **facts)
        assert refused.value.pointer == pointer
    say(bagged, "bag_off", NOW + 50 * MIN)
    with pytest.raises(Invalid, match="not under a bag"):
        say(bagged, "bag_off", NOW + 55 * MIN)


def test_a_deep_vacuum_on_polyester_has_its_caution() -> None:
    """While the bag is on; told as absolute it is the same."""
    yard.add(products=[makers.resin("PE", chemistry="polyester")])
    laid = yard.laid(product="PE", catalyst_percent=2)
    deep = {"pressure": 9_000, "absolute": True, "air_pressure": 101_300}
    told = say(laid.id, "bagged", NOW + 5 * MIN, **deep)
    assert told.bag is not None
    assert told.bag.pressure == 92_300
    assert any("styrene may boil" in shown(each, "metric") for each in told.cautions)
    again = say(laid.id, "bagged", NOW + 9 * MIN, pressure=80_000)
    assert not any("styrene" in shown(each, "metric") for each in again.cautions)
    assert again.bag is not None
    assert again.bag.since == NOW + 5 * MIN


def test_an_early_release_is_told_whatever_comes_after(bagged: int) -> None:
    """Another bag does not heal it, and a lead has to name it to sign the job."""
    say(bagged, "bag_off", NOW + 20 * MIN)
    say(bagged, "bagged", NOW + 40 * MIN)
    told = say(bagged, "bag_off", NOW + 41 * MIN)
    assert any("came off at" in shown(each, "metric") for each in told.warnings)
    watched = [watch.watch(finding.layup(bagged), NOW + 42 * MIN)]
    (accepted,) = acceptance.of_layups(watched, NOW + 42 * MIN)
    assert any("came off at" in shown(each, "metric") for each in accepted.lacks)


def test_a_bag_that_leaks_is_told_as_it_goes_on(bagged: int) -> None:
    """The last test of each bag of the job counts; one that passed since says nothing."""
    job = finding.layup(bagged).job
    facts = {"place": "port cheek", "first_at": NOW, "second_at": NOW + 5 * MIN, "hand": HAND}
    record_leak_test(job, first=85_000, second=20_000, now=NOW + 6 * MIN, **facts)
    told = say(bagged, "bagged", NOW + 7 * MIN, pressure=60_000)
    assert any("leak test of port cheek" in shown(each, "metric") for each in told.warnings)
    assert any("look for the leak" in shown(each, "metric") for each in told.cautions)
    record_leak_test(job, first=85_000, second=84_000, now=NOW + 8 * MIN, **facts)
    told = say(bagged, "bagged", NOW + 9 * MIN, pressure=85_000)
    assert not any("leak" in shown(each, "metric") for each in (*told.warnings, *told.cautions))


@pytest.mark.parametrize("pressure", [100_001, 110_000])
def test_more_than_a_pump_pulls_is_an_absolute_gauge(bagged: int, pressure: int) -> None:
    """1013 hPa 'below the air' is what a gauge shows on a bag that nobody pumped."""
    with pytest.raises(Invalid, match="No pump pulls"):
        say(bagged, "bagged", NOW + 6 * MIN, pressure=pressure)
