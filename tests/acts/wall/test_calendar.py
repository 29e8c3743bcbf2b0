"""The calendar's events: whose they are, what is left out, and a sequence that only rises."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import bay as add_bay
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure.change_layup import change_layup
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.wall import calendar
from cureyard_service.acts.wall.calendar import CalendarEventView
from cureyard_service.acts.yard import finding
from cureyard_service.acts.yard import settings as own
from cureyard_service.core.errors import NotFound
from cureyard_service.store.engine.database import db

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, H

pytestmark = pytest.mark.usefixtures("books")


def laid(**facts: Any) -> int:
    """A layup just laid."""
    usual = {"product": "LAM", "catalyst_percent": Decimal(2), "cover": "film"}
    return yard.laid(**usual | facts).id


def told_of(now: int = NOW, **whose: Any) -> dict[tuple[int, str], CalendarEventView]:
    """Every milestone's, by layup and name."""
    told = calendar.calendar(now, everything=True, **whose).events
    found = {(event.layup, event.name): event for event in told}
    assert len(found) == len(told)
    return found


def events(now: int = NOW, **whose: Any) -> dict[tuple[int, str], CalendarEventView]:
    """Those that no hand has answered."""
    return {key: each for key, each in told_of(now, **whose).items() if not each.cancelled}


def cancelled(now: int = NOW) -> set[tuple[int, str]]:
    """Those that a hand has answered."""
    return {key for key, each in told_of(now).items() if each.cancelled}


def test_a_days_events() -> None:
    """In order, with the alarm where it belongs, and nothing but times and titles."""
    number = laid()
    told = events()
    assert {name for _, name in told} == {
        "gel", "trim", "recoat_opens", "recoat_closes", "sandable",
    }  # fmt: skip
    assert [each.at for each in told.values()] == sorted(each.at for each in told.values())
    assert {each.title for each in told.values()} == {"Plies"}
    shuts = told[number, "recoat_closes"]
    assert shuts.at - shuts.alarm_at == 2 * H
    assert [each.alarm_at for each in told.values()].count(None) == 4
    assert {(each.craft, each.bay) for each in told.values()} == {("the dory Teal", "Shed")}
    usual = calendar.calendar(NOW).events
    assert [each.name for each in usual] == ["recoat_opens", "recoat_closes"]


def test_by_job_and_by_where_it_lies_now() -> None:
    """A layup carried on is in its new bay's calendar alone."""
    first, other = laid(), laid(job="S-1")
    assert {number for number, _ in events(job="S-1")} == {other}
    change_layup(finding.layup(first), bay="TENT", now=NOW, hand=HAND)
    assert {number for number, _ in events(bay="tent")} == {first}
    assert {number for number, _ in events(bay="SHED")} == {other}
    assert events(job="D-7", bay="SHED") == {}
    assert calendar.calendar(NOW, "D-7", "TENT").title == "Stem, Tent"
    assert calendar.calendar(NOW).title is None
    for unknown in ({"job": "X-9"}, {"bay": "ATTIC"}):
        with pytest.raises(NotFound):
            calendar.calendar(NOW, **unknown)


def test_what_is_covered_or_stalled() -> None:
    """Covered: nothing. Stalled in the cold: 'heat', at the moment that the cold began."""
    lower, cold = laid(now=NOW - 5 * H), laid(bay="BARN")
    laid(over=lower)
    told = events()
    assert lower not in {number for number, _ in told}
    gone = {name for number, name in cancelled() if number == lower}
    assert {"recoat_opens", "recoat_closes"} <= gone
    assert cancelled(NOW + calendar.CANCELLED_FOR_S + H).isdisjoint(
        {(lower, name) for name in gone}
    )
    assert [(name, each.at) for (number, name), each in told.items() if number == cold] == [
        ("heat", NOW - NOW % 300)
    ]


def test_what_a_hand_found_hard_has_not_stalled() -> None:
    """Carried to a warm bay and checked there: nothing is left to do about the cold."""
    cold = laid(bay="BARN")
    row = finding.layup(cold)
    observe_layup(row, kind="thumbnail", now=NOW + 30 * H, hand=HAND)
    assert (cold, "heat") in events(NOW + 30 * H)
    change_layup(row, bay="TENT", now=NOW + 31 * H, hand=HAND)
    observe_layup(row, kind="thumbnail", now=NOW + 33 * H, hand=HAND)
    told = events(NOW + 33 * H)
    assert (cold, "heat") not in told
    assert (cold, "heat") in cancelled(NOW + 33 * H)
    assert {(cold, "recoat_closes"), (cold, "sandable"), (cold, "touch")} & told.keys()


def replan(number: int) -> dict[str, Callable[[int], Any]]:
    """Everything that may move a milestone, each as of a moment."""

    def read(at: int) -> Any:
        rows = [{"at": at, "temperature": Decimal("293.15")}]
        return read_bay.read_bay(bay="SHED", readings=rows, now=at, hand=HAND)

    def see(kind: str) -> Callable[[int], Any]:
        return lambda at: observe_layup(finding.layup(number), kind=kind, now=at, hand=HAND)

    def change(**what: Any) -> Callable[[int], Any]:
        return lambda at: change_layup(finding.layup(number), now=at, hand=HAND, **what)

    return {
        "a reading": read,
        "a gel": see("gelled"),
        "a move": change(bay="TENT"),
        "a cover": change(cover="peel_ply"),
        "another title": change(title="Plies 1 to 3"),
        "a bay's pattern": lambda at: add_bay.change_bay(
            finding.bay("SHED"), now=at, hand=HAND, day=yard.heat("25 degC")
        ),
        "a bay's band": lambda at: add_bay.change_bay(
            finding.bay("SHED"), now=at, hand=HAND, uncertainty=Decimal(3)
        ),
        "how sure the yard wants to be": lambda at: own.change_yard(now=at, hand=HAND, sureness=99),
        "the yard's clock": lambda at: own.change_yard(now=at, hand=HAND, zone="Europe/Lisbon"),
    }


def test_the_sequence_rises_with_whatever_may_move_a_moment() -> None:
    """RFC 5545 3.8.7.4: raised with each revision; and it stands while nothing comes in."""
    number = laid()
    at = NOW
    for what, act in replan(number).items():
        at += 60
        before = {key: each.sequence for key, each in events(at).items()}
        act(at)
        after = {key: each.sequence for key, each in events(at).items()}
        assert before.keys() & after.keys(), what
        assert all(after[key] > before[key] for key in before.keys() & after.keys()), what
        assert {key: each.sequence for key, each in events(at + H).items()} == after


def test_a_cup_test_that_replaces_an_assumed_factor_raises_it() -> None:
    """The same days: moments move, so the sequence does."""
    resin, peroxide = yard.stocked()
    number = yard.laid(yard.pot().id).id
    before = events(NOW + H)[number, "recoat_opens"]
    yard.cup(resin, peroxide, "24 min", now=NOW + H)
    after = events(NOW + H)[number, "recoat_opens"]
    assert after.at > before.at
    assert after.sequence > before.sequence


def test_a_cup_test_of_another_lot_that_was_entered_late_raises_it() -> None:
    """It says something of the pair, and so of every lot of it."""
    yard.stocked()
    other, peroxide = yard.receive("LAM", "20 kg"), yard.receive("PEROX", "1 kg")
    number = yard.laid(yard.pot().id).id
    before = events(NOW + H)[number, "recoat_opens"]
    yard.cup(other, peroxide, "26 min", now=NOW + H, at=NOW - H)
    after = events(NOW + H)[number, "recoat_opens"]
    assert after.at > before.at
    assert after.sequence > before.sequence


def test_what_a_hand_answered_is_cancelled_with_its_uid_and_a_higher_sequence() -> None:
    """A look at the gel answers it, and covering, scraping off or taking back all of a layup's."""
    number = laid()
    before = told_of()
    observe_layup(finding.layup(number), kind="gelled", now=NOW + 1500, hand=HAND)
    after = told_of(NOW + 1500)
    assert after[number, "gel"].cancelled
    assert after[number, "gel"].sequence > before[number, "gel"].sequence
    assert not after[number, "recoat_opens"].cancelled
    observe_layup(finding.layup(number), kind="scraped_off", now=NOW + 3000, hand=HAND)
    gone = told_of(NOW + 3000)
    assert {key for key, each in gone.items() if each.cancelled} >= before.keys() - {
        (number, "gel")
    }
    assert all(each.cancelled and each.alarm_at is None for each in gone.values())
    assert all(each.sequence > after[key].sequence for key, each in gone.items() if key in after)


def test_each_yard_has_its_own_identity() -> None:
    """Layup 1 of another yard is another layup; a changed yard is the same."""
    mine = calendar.calendar(NOW).yard
    assert len(mine) == 32
    own.change_yard(now=NOW, hand=HAND, zone="Europe/Lisbon")
    assert calendar.calendar(NOW).yard == mine
    db.execute_sql("DELETE FROM yard")
    own.seed_yard(zone="UTC", units="metric", currency="EUR", address=None, now=NOW)
    assert calendar.calendar(NOW).yard not in ("", mine)
