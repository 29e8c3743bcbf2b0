"""Watch a layup: what is known now, what was known then, and what a hand's word changes."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import bay as add_bay
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import watch
from cureyard_service.acts.cure.change_layup import change_layup
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.yard import finding
from cureyard_service.core.stock.cup_test import TAKEN_UP_WITHIN_S
from cureyard_service.core.words import shown

from ... import makers
from .. import by_hand
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")


def look(layup: int, now: int = NOW, as_known_at: int | None = None) -> LayupView:
    """A layup as it stands at a moment, or as it was told then."""
    return show_layup(watch.watch(finding.layup(layup), now, as_known_at))


def ready(now: int = NOW, **facts: Any) -> int:
    """A layup at 2 % that needs no stock; its id."""
    told = yard.laid(product="LAM", catalyst_percent=Decimal(2), now=now, **facts)
    return int(told.id)


def opens(layup: int, now: int = NOW, as_known_at: int | None = None) -> float:
    """When its recoat window opens, the middle of the band."""
    return float(look(layup, now, as_known_at).milestones.recoat_opens.at)


def log(celsius: float, since: int, until: int, now: int, bay: str = "SHED") -> None:
    """A logger's readings, one every half hour."""
    readings = [
        {"at": at, "temperature": yard.heat(f"{celsius} degC")}
        for at in range(since, until + 1, 30 * MIN)
    ]
    read_bay.read_bay(bay=bay, readings=readings, now=now, hand=HAND)


def test_a_late_reading_changes_what_is_known() -> None:
    """The shed was warmer than its pattern: the window opens sooner, and is measured."""
    layup = ready()
    assert look(layup).milestones.recoat_opens.basis == "assumed"
    log(30, NOW - H, NOW + 3 * H, now=NOW + 3 * H)
    found = look(layup, NOW + 3 * H).milestones.recoat_opens
    assert found.basis == "measured"
    assert NOW + H < found.at < NOW + 1.5 * H


def test_a_correction_changes_it_back() -> None:
    """A misread hour that is replaced leaves the forecast as if it had been read right."""
    layup, other = ready(), ready()
    log(20, NOW - H, NOW + 3 * H, now=NOW + 3 * H)
    right = opens(layup, NOW + 3 * H)
    wrong = {"at": NOW + H, "temperature": yard.heat("40 degC"), "replaces": True, "reason": "?"}
    read_bay.read_bay(bay="SHED", readings=[wrong], now=NOW + 3 * H, hand=HAND)
    assert opens(layup, NOW + 3 * H) < right - 5 * MIN
    again = wrong | {"temperature": yard.heat("20 degC"), "reason": "misread"}
    read_bay.read_bay(bay="SHED", readings=[again], now=NOW + 3 * H, hand=HAND)
    assert opens(layup, NOW + 3 * H) == opens(other, NOW + 3 * H) == right


def test_carried_to_a_warmer_bay() -> None:
    """It cures by the air that it was in: between all of it cool and all of it warm."""
    cool, warm, carried = ready(), ready(bay="TENT"), ready()
    row = finding.layup(carried)
    told = change_layup(row, bay="TENT", moved_at=NOW + H, now=NOW + H, hand=HAND)
    assert told.bay == "TENT"
    share = (opens(cool) - NOW) / (opens(warm) - NOW)
    assert opens(cool) == pytest.approx(NOW + 2 * H, abs=10)
    assert opens(carried) == pytest.approx(NOW + H + H / share, abs=30)


def test_carried_into_the_cold_it_stalls() -> None:
    """At 4 °C, under its floor, nothing later is promised."""
    layup = ready()
    row = finding.layup(layup)
    change_layup(row, bay="BARN", moved_at=NOW + 30 * MIN, now=NOW + H, hand=HAND)
    found = look(layup, NOW + 20 * H).milestones
    assert (found.recoat_opens.at, found.recoat_opens.why) == (None, "cold-stalled")
    assert (found.recoat_closes.at, found.recoat_closes.why) == (None, "in-trouble")
    told = look(layup, NOW + 20 * H)
    assert "cold_stalled" in told.state
    assert told.next.action == "heat"
    said = shown(told.next.text, "metric")
    assert re.search(r"hold at least 11 °C until \w{3} \d\d:\d\d, then check hardness", said)


def test_a_cold_night_ahead_is_told_with_a_margin_and_until_when() -> None:
    """The floor is 8 °C and a night to come known to 3 K: hold 11 °C, from now until it is hard.

    A heater that is lit later is wanted for as much longer.
    """
    layup = ready(bay="BARN")

    def until(now: int) -> float:
        said = shown(look(layup, now).next.text, "metric")
        found = re.search(r"hold at least 11 °C until (\w{3}) (\d\d):(\d\d)\.$", said)
        assert found is not None, said
        days = ("Fri", "Sat", "Sun").index(found[1])
        return days * DAY + int(found[2]) * H + int(found[3]) * MIN

    assert until(NOW + 3 * H) == pytest.approx(until(NOW + H) + 2 * H, abs=15 * MIN)


def test_told_of_a_move_late() -> None:
    """Moved an hour ago, booked now: it counts from when it was carried."""
    late, at_once = ready(), ready()
    for layup, now in ((late, NOW + 3 * H), (at_once, NOW + H)):
        row = finding.layup(layup)
        change_layup(row, bay="TENT", moved_at=NOW + H, now=now, hand=HAND)
    assert opens(late, NOW + 3 * H) == opens(at_once, NOW + 3 * H)


def warmer_log(_: int) -> None:
    """A logger's file that is read in later."""
    log(30, NOW - H, NOW + 2 * H, now=NOW + 2 * H)


def another_pattern(_: int) -> None:
    """A pattern that is changed later."""
    add_bay.change_bay(
        finding.bay("SHED"), day=yard.heat("30 degC"), night=yard.heat("30 degC"),
        now=NOW + H, hand=HAND,
    )  # fmt: skip


def a_move(layup: int) -> None:
    """A move that is booked later, to before the moment asked for."""
    change_layup(finding.layup(layup), bay="TENT", moved_at=NOW + MIN, now=NOW + 2 * H, hand=HAND)


def a_gel(layup: int) -> None:
    """A gel that was seen, and is told later."""
    observe_layup(
        finding.layup(layup), kind="gelled", at=NOW + 15 * MIN, now=NOW + 2 * H, hand=HAND
    )


def a_cover(layup: int) -> None:
    """A cover that went on before the moment asked for, after it had gelled; both told later."""
    a_gel(layup)
    observe_layup(
        finding.layup(layup), kind="covered", at=NOW + 20 * MIN, now=NOW + 2 * H, hand=HAND
    )


def a_layer_on_top(layup: int) -> None:
    """A layer that went on before the moment asked for, after it had gelled; both told later."""
    a_gel(layup)
    ready(NOW + 2 * H, applied_at=NOW + 20 * MIN, over=layup)


@pytest.mark.parametrize(
    "later", [warmer_log, another_pattern, a_move, a_gel, a_cover, a_layer_on_top]
)
def test_what_was_told_can_be_told_again(later: Callable[[int], None]) -> None:
    """Whatever came to be known since, the answer of that moment is the same."""
    layup = ready()
    then = NOW + 30 * MIN
    told = look(layup, then)
    later(layup)
    now = NOW + 3 * H
    again = look(layup, now, as_known_at=then)
    assert replace(again, version=told.version) == told  # the version is of the row
    assert look(layup, now).milestones != told.milestones or look(layup, now).closed_at


def test_a_gel_that_was_seen_outranks_the_forecast() -> None:
    """It lies before it was seen, the forecast beside it, and what follows comes sooner.

    Nobody looked before, so it may have gelled well before: what follows moves by less.
    """
    layup = ready()
    forecast = look(layup).milestones
    told = observe_layup(
        finding.layup(layup), kind="gelled", at=NOW + 14 * MIN, now=NOW + H, hand=HAND
    )
    gel = told.milestones.gel
    assert gel.basis == "observed"
    assert NOW < gel.earliest < gel.at < gel.latest <= NOW + 14 * MIN
    assert gel.computed == forecast.gel.at
    assert "gelled" in told.state
    assert 0.7 * 2 * H < opens(layup, NOW + H) - NOW < 0.9 * 2 * H


def test_a_cup_that_gelled_speaks_for_the_part() -> None:
    """Until the part itself is touched: then the part does."""
    yard.stocked()
    pot = yard.pot().id
    layup = yard.laid(pot).id
    observe_pot(finding.batch(pot), kind="gelled", at=NOW + 16 * MIN, now=NOW + H, hand=HAND)
    gel = look(layup, NOW + H).milestones.gel
    assert (gel.basis, gel.at <= NOW + 16 * MIN) == ("observed", True)
    a_gel(layup)
    assert look(layup, NOW + 2 * H).milestones.gel.latest <= NOW + 15 * MIN


def test_a_gel_far_from_its_forecast_makes_the_mix_suspect() -> None:
    """Wet long after its time is no cool shed; the hand hears it."""
    layup = ready()
    for kind, minutes in (("not_gelled", 70), ("gelled", 80)):
        told = seen(layup, kind, minutes)
    assert any("check the ratio" in str(word) for word in told.warnings)


def test_a_look_on_the_next_day_says_nothing_of_when_it_gelled() -> None:
    """Set for long, and nobody had looked, or looked in its time alone: no word on the mix."""
    for looks in ((("gelled", 20 * 60),), (("not_gelled", 10), ("gelled", 20 * 60))):
        layup = ready()
        for kind, minutes in looks:
            told = seen(layup, kind, minutes)
        assert told.warnings == []


@pytest.mark.parametrize(
    ("after", "taken"), [(MIN, True), (TAKEN_UP_WITHIN_S, True), (TAKEN_UP_WITHIN_S + 1, False)]
)
def test_a_cup_test_of_the_next_seven_days_replaces_the_assumed_factor(
    after: int, taken: bool
) -> None:
    """Flagged; a later one says nothing of this pot."""
    drum, bottle = yard.stocked()
    layup = yard.laid(yard.pot().id).id
    before = look(layup)
    now = NOW + 8 * DAY
    test = yard.cup(drum, bottle, "24 min", now=now, at=NOW + after)
    told = look(layup, now)
    flagged = [word for word in told.warnings if f"Cup test {test.id} of its lot" in word]
    assert bool(flagged) == taken
    gel, was = (each.milestones.gel.at - NOW for each in (told, before))
    assert gel == pytest.approx(was * (by_hand.factors(24 / 20)[0] if taken else 1), rel=0.01)
    assert look(layup, now, as_known_at=NOW).milestones == before.milestones


def test_each_pots_lot_may_be_tested_later() -> None:
    """Each test is of its own pot, the first mixed or the second; both are named.

    What one of them says of the pair holds for the other as well.
    """
    drum, bottle = yard.stocked()
    other = yard.receive("LAM", "20 kg")
    pots = [yard.pot(resin_lot=drum.id).id, yard.pot(resin_lot=other.id, now=NOW + MIN).id]
    layup = yard.laid(*pots, now=NOW + 2 * MIN).id
    known = NOW + 2 * DAY

    def gels() -> list[float]:
        """How long each takes to gel, in its sheet's 20 min."""
        told = look(layup, known).pots
        return [(pot.gel.at - pot.mixed_at) / (20 * MIN) for pot in told]

    assert gels() == pytest.approx([1, 1], rel=0.01)
    slow = yard.cup(other, bottle, "24 min", now=NOW + H)
    assert gels() == pytest.approx(by_hand.factors(1.2, others=1)[::-1], rel=0.01)
    slower = yard.cup(drum, bottle, "26 min", now=NOW + 2 * H)
    both = by_hand.factors(1.3, 1.2)
    assert gels() == pytest.approx(both, rel=0.01)
    bases = [pot.factor_basis for pot in look(layup, known).pots]
    assert bases == [f"cup test {slower.id}", f"cup test {slow.id}"]
    gel = look(layup, known).milestones.gel.at
    assert gel == pytest.approx(NOW + both[0] * 20 * MIN, abs=20)
    told = " ".join(look(layup, known).warnings)
    assert all(f"Cup test {test.id} of its lot" in told for test in (slow, slower))


def test_a_later_cup_counts_beside_the_one_that_was_known() -> None:
    """The pot was dosed by a test; another cup tomorrow counts as well, and is named."""
    drum, bottle = yard.stocked()
    yard.cup(drum, bottle, "22 min")
    layup = yard.laid(yard.pot().id).id
    before = look(layup).milestones
    test = yard.cup(drum, bottle, "25 min", now=NOW + DAY)
    told = look(layup, NOW + DAY)
    assert told.milestones.gel.at > before.gel.at
    assert any(f"Cup test {test.id} " in word for word in told.warnings)
    assert look(layup, NOW + DAY, as_known_at=NOW).milestones == before


def test_a_suspect_lots_test_gives_no_factor() -> None:
    """Twice too slow is held, and nobody plans by it."""
    drum, bottle = yard.stocked()
    layup = yard.laid(yard.pot().id).id
    before = look(layup).milestones
    assert yard.cup(drum, bottle, "40 min", now=NOW + H).verdict == "hold"
    assert finding.lot(drum.id).held
    assert look(layup, NOW + H).milestones == before


def test_a_part_that_was_measured_is_surer_than_its_bay() -> None:
    """The bay's own two kelvin while it was measured, not the three of a bay to come."""
    by_air, by_touch = ready(), ready(surface_temperature=yard.heat("20 degC"))

    def width(layup: int) -> float:
        found = look(layup).milestones.recoat_opens
        return float(found.latest - found.earliest)

    assert width(by_touch) < width(by_air)


def seen(layup: int, kind: str, after: int, now: int | None = None) -> LayupView:
    """What a hand saw of the part so many minutes after it was laid, told then."""
    at = NOW + after * MIN
    return observe_layup(
        finding.layup(layup), kind=kind, at=at, now=at if now is None else now, hand=HAND
    )


def test_a_late_look_never_moves_a_closing_later() -> None:
    """Gel was forecast at 20 min and seen at 3 h: that says nothing, and it shuts as it did.

    The hand's word is on record all the same: the pot has gelled.
    """
    yard.stocked()
    layup = yard.laid(yard.pot().id).id
    before = look(layup).milestones
    told = seen(layup, "gelled", 180)
    found = told.milestones
    for edge in ("earliest", "at", "latest"):
        shut, was = (getattr(each.recoat_closes, edge) for each in (found, before))
        assert shut == pytest.approx(was, abs=1)
        assert getattr(found.gel, edge) == pytest.approx(getattr(before.gel, edge), abs=20)
    assert told.pots[0].state == "gelled"
    assert not any("times the forecast time" in str(word) for word in told.warnings)


def test_a_cup_that_gelled_fast_still_shuts_when_the_part_is_seen_late() -> None:
    """The cup at 14 min tells of a fast mix; a look at the part at 40 does not undo that.

    Between all that makes it fast and half of that: nobody looked before the 14 min.
    """
    yard.stocked()
    pot = yard.pot().id
    layup = yard.laid(pot).id
    observe_pot(finding.batch(pot), kind="gelled", at=NOW + 14 * MIN, now=NOW + 15 * MIN, hand=HAND)
    fast = look(layup).milestones.recoat_closes
    assert NOW + 12 * H < fast.at < NOW + 16 * H
    later = seen(layup, "gelled", 40).milestones.recoat_closes
    assert later.at == pytest.approx(fast.at, abs=MIN)


def filmed(**facts: Any) -> None:
    """The laminating resin with a sheet that says more."""
    yard.revise("LAM", makers.sheet(**facts))


def test_the_part_is_judged_by_the_films_time() -> None:
    """20 min in the cup and 60 in a film: wet at 50 is in time, gelled at 60 is as forecast."""
    cup, film = ready(), (filmed(film_gel="60 min"), ready())[1]
    assert "late" in seen(cup, "not_gelled", 60).state
    told = seen(film, "not_gelled", 60)
    assert not {"late", "suspect"} & set(told.state)
    latest = told.milestones.film.latest
    assert "late" in seen(film, "not_gelled", int(latest - NOW) // MIN + 1).state
    other = ready()
    found = seen(other, "gelled", 60)
    assert found.warnings == []
    # Gelled by the hour that was forecast, and when was not seen: rather sooner than later.
    assert NOW + 1.6 * H < opens(other) < NOW + 2 * H
    assert found.milestones.film.basis == "observed"


@pytest.mark.parametrize("minutes", [26, 33, 40])
def test_a_film_seen_wet_in_its_time_is_in_no_trouble(minutes: int) -> None:
    """20 min in the cup, to 27 at the latest there: a film may be wet for 48.

    It is left or touched, and keeps its window.
    """
    layup = ready()
    told = seen(layup, "not_gelled", minutes)
    assert not {"late", "suspect"} & set(told.state)
    assert told.window is not None
    assert told.warnings == []
    assert told.do.words in ("leave until", "touch it: gelled?")
    after = look(layup, NOW + 70 * MIN)
    assert (after.do.words, after.next.action) == ("touch it: gelled?", "touch")


def test_a_pots_cup_that_stays_wet_makes_its_pot_late() -> None:
    """The one whose cup was looked at, and so the layup; the other pot only waits."""
    yard.stocked()
    pots = [yard.pot().id, yard.pot().id]
    layup = yard.laid(*pots).id
    at = NOW + 70 * MIN
    observe_pot(finding.batch(pots[1]), kind="not_gelled", at=at, now=at, hand=HAND)
    told = look(layup, at)
    assert [pot.state for pot in told.pots] == ["forecast", "suspect"]
    assert {"late", "suspect"} <= set(told.state)
    observe_pot(finding.batch(pots[1]), kind="gelled", at=at + H, now=at + H, hand=HAND)
    (word,) = look(layup, at + H).warnings
    assert word.startswith(f"Pot {pots[1]} was seen gelled after 6.5 times")


@pytest.mark.parametrize("hours", [36, 48])
def test_a_sheet_of_so_many_hours_shuts_by_them(hours: int) -> None:
    """By the cure clock where it says so; where it says `closes_after`, that is said in words."""
    stages = {"recoat_opens": "2 h"}
    filmed(milestones=stages | {"recoat_closes": f"{hours} h"})
    found = look(ready()).milestones.recoat_closes
    assert found.at == pytest.approx(NOW + hours * H, rel=0, abs=3 * MIN)
    assert found.note is None
    filmed(milestones=stages, closes_after=f"{hours} h")
    found = look(ready()).milestones.recoat_closes
    assert found.at == NOW + hours * H
    assert found.note == f"Shut by the sheet's {hours} h after mixing, not by the cure clock."
    filmed(milestones=stages)
    found = look(ready()).milestones.recoat_closes
    assert (found.at, found.basis) == (NOW + 24 * H, "assumed")
    assert "24 h" in found.note


def test_a_surface_is_as_it_was_when_it_was_laid_on() -> None:
    """A warm part, and a pot mixed half an hour before it went on: nothing cools in the pot."""
    yard.stocked()
    early, *late = yard.pot().id, *(yard.pot(now=NOW + 30 * MIN).id for _ in range(2))
    warm = {
        "now": NOW + 30 * MIN, "applied_at": NOW + 30 * MIN,
        "surface_temperature": yard.heat("30 degC"),
    }  # fmt: skip
    both = [yard.laid(*pots, **warm).id for pots in (late, (early, late[0]))]
    together, apart = (watch.watch(finding.layup(each), NOW + 30 * MIN).found for each in both)
    assert apart["recoat_opens"].at == pytest.approx(together["recoat_opens"].at, abs=1)


def test_a_gel_between_two_looks_lies_between_them() -> None:
    """Wet at 22 min and gelled at 26: all of its band lies there, and the rest is surer."""
    layup, late_look = ready(), ready()
    seen(layup, "not_gelled", 22)
    told = seen(layup, "gelled", 26)
    gel = told.milestones.gel
    assert NOW + 22 * MIN <= gel.earliest < gel.at < gel.latest <= NOW + 26 * MIN
    assert gel.basis == "observed"
    opens, other = (
        each.milestones.recoat_opens for each in (told, seen(late_look, "gelled", 26))
    )  # fmt: skip
    assert opens.at > other.at
    spread, wider = ((each.latest - NOW) / (each.earliest - NOW) for each in (opens, other))
    assert spread < wider


def test_what_was_still_wet_gels_later() -> None:
    """Far past its time: whatever the clock said, it had not gelled by then."""
    gel = seen(ready(), "not_gelled", 70).milestones.gel
    if gel.at is not None:
        assert gel.earliest >= NOW + 70 * MIN
        assert gel.at >= NOW + 70 * MIN


def test_a_cup_that_gelled_at_last_is_no_longer_suspect() -> None:
    """Wet at 70 min, gelled at 130: the mix is odd, and said so; the cup is not wet any more."""
    yard.stocked()
    pot = yard.pot().id
    layup = yard.laid(pot).id
    for kind, minutes in (("not_gelled", 70), ("gelled", 130)):
        at = NOW + minutes * MIN
        observe_pot(finding.batch(pot), kind=kind, at=at, now=at, hand=HAND)
    told = look(layup, NOW + 130 * MIN)
    assert told.pots[0].state == "gelled"
    assert "suspect" not in told.state


def test_a_layup_is_told_alike_alone_and_among_others() -> None:
    """Worked out with others of its resin, to the tenth of a second: pages show the same."""
    ids = [ready(now=NOW + n * 7 * MIN, finished_at=NOW + n * 7 * MIN + n) for n in range(8)]
    seen(ids[0], "gelled", 18)
    now = NOW + 2 * H
    alone = [look(each, now) for each in ids]
    together = [
        show_layup(each) for each in watch.watch_all([finding.layup(each) for each in ids], now)
    ]
    for one, other in zip(alone, together, strict=True):
        for name in ("gel", "recoat_opens", "recoat_closes"):
            for edge in ("earliest", "at", "latest"):
                told, again = (
                    getattr(each.milestones.by_name()[name], edge) for each in (one, other)
                )
                assert told == pytest.approx(again, abs=0.1, rel=0)
        assert one.window is not None
        assert other.window is not None
        assert one.window.closes == pytest.approx(other.window.closes, abs=0.1, rel=0)
