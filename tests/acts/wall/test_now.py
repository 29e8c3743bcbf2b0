"""What to do now: a window about to shut first, trouble next, waiting last."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.bays.air_taken import ReadView
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.jobs import need
from cureyard_service.acts.stock import change_lot, draw
from cureyard_service.acts.wall.now import what_now
from cureyard_service.acts.yard import finding
from cureyard_service.core.cure.turns import CLOSING_SOON_S

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")


def laid(hours: float, **facts: Any) -> int:
    """A layup that went on so many hours ago."""
    at = int(NOW - hours * H)
    asked = {"product": "LAM", "catalyst_percent": Decimal(2)} | facts
    return yard.laid(now=at, **asked).id


def test_actions_by_urgency() -> None:
    """Whatever the order they were laid up in."""
    wet = laid(0.1)
    past, perhaps = laid(21), laid(16)
    open_ = laid(5)
    cold = laid(20, bay="BARN")
    late = laid(3)
    observe_layup(finding.layup(late), kind="not_gelled", now=NOW, hand=HAND)
    closing = laid(12.5)
    touch = laid(5.1, job="S-1")
    told = what_now(NOW).actions
    assert [(each.layup, each.action) for each in told] == [
        (closing, "coat"), (late, "probe"), (cold, "heat"), (open_, "coat"), (touch, "touch"),
        (perhaps, "touch"), (past, "prepare"), (wet, "wait"),
    ]  # fmt: skip
    assert [each.closing for each in told] == [True] + [False] * 7
    assert told[0].at - NOW <= CLOSING_SOON_S


def test_of_two_that_shut_the_first_to_shut() -> None:
    """Among alike actions the nearer moment comes first."""
    later, sooner = laid(12.4), laid(13.2)
    told = what_now(NOW).actions
    assert [each.layup for each in told] == [sooner, later]


def test_a_window_too_uncertain_to_give_does_not_shut_soon() -> None:
    """Its moment is that of trying it with a glove, and leaves what shuts its place in front."""
    times = {"recoat_opens": "2 h", "recoat_closes": "3 h"}
    yard.add(products=[makers.resin("NARROW", cure=makers.sheet(milestones=times))])
    unsure, closing = laid(2.3, product="NARROW"), laid(12.5)
    told = what_now(NOW).actions
    assert [(each.layup, each.closing) for each in told] == [
        (closing, True), (unsure, False),
    ]  # fmt: skip
    assert told[1].text.startswith("The window is short: touch it with a glove")


def test_what_is_finished_is_not_told() -> None:
    """Covered is done; what was laid on it is what there is to do."""
    lower = laid(5)
    upper = laid(0, over=lower)
    told = what_now(NOW)
    assert [each.layup for each in told.actions] == [upper]
    assert [each.id for each in told.layups] == [upper]


def test_lots_to_see_to() -> None:
    """Expired, soon and held ones that still hold something; good and empty ones not."""
    expired = yard.receive("MICROS", "1 kg", expires_on=yard.day(-1))
    soon = yard.receive("MICROS", "1 kg", made_on=yard.day(-300), expires_on=yard.day(5))
    held = yard.receive("LAM", "1 kg")
    change_lot.change_lot(held, held=True, reason="lumps", now=NOW, hand=HAND)
    yard.receive("MICROS", "1 kg", expires_on=yard.day(90))
    gone = yard.receive("MICROS", "1 kg", expires_on=yard.day(-2))
    draw.draw(kind="scrap", lot=gone.id, quantity="all", reason="old", now=NOW, hand=HAND)
    told = what_now(NOW).lots
    assert {state: [lot.id for lot in lots] for state, lots in vars(told).items()} == {
        "expired": [expired.id], "soon": [soon.id], "held": [held.id], "undated": [],
    }  # fmt: skip


def test_jobs_say_what_they_lack() -> None:
    """Open ones alone; a product that is there is not lacking."""
    yard.receive("LAM", "1 kg")
    need.add_needs(
        finding.job("D-7"),
        wanted=[{"product": "MICROS", "quantity": yard.q("2 kg")},
                {"product": "LAM", "quantity": yard.q("1 kg")}],
        now=NOW, hand=HAND,
    )  # fmt: skip
    told = {job.number: job.short for job in what_now(NOW).jobs}
    assert told["D-7"] == ["MICROS"]
    assert told["S-1"] == []


def test_bays_say_what_they_rest_on() -> None:
    """What nobody measured is assumed, however fresh the last reading, which is told beside it."""
    for bay, at in (("SHED", NOW - H), ("TENT", NOW - 5 * H)):
        reading = {"at": at, "temperature": yard.heat("17 degC")}
        read_bay.read_bay(bay=bay, readings=[reading], now=NOW, hand=HAND)
    bays = {bay.code: bay for bay in what_now(NOW).bays}
    assert {code: (bay.basis, bay.at) for code, bay in bays.items()} == {
        "SHED": ("assumed", NOW - H), "TENT": ("assumed", None), "BARN": ("assumed", None),
    }  # fmt: skip
    assert bays["TENT"].temperature == pytest.approx(303.15)
    assert bays["SHED"].temperature == pytest.approx(291.65)  # half way to its 20 °C
    assert bays["SHED"].read == ReadView(290.15, NOW - H)
    assert bays["TENT"].read is None


def test_what_was_just_read_is_measured() -> None:
    """Who reads the bay and then doses is not told to read it: for ten minutes it is as read."""
    read(NOW)
    for age in (1, MIN, 10 * MIN):
        shed = next(b for b in what_now(NOW + age).bays if b.code == "SHED")
        assert (shed.basis, shed.temperature) == ("measured", 290.15)


@pytest.mark.parametrize("age", [11 * MIN, 35 * MIN, 2 * H])
def test_air_is_assumed_at_every_age_of_the_last_reading(age: int) -> None:
    """Measured as it is read, and between two readings; further from the last it is taken."""

    def basis(now: int) -> Any:
        return {b.code: b.basis for b in what_now(now).bays}["SHED"]

    read(NOW)
    assert (basis(NOW), basis(NOW + age)) == ("measured", "assumed")
    read(NOW + 2 * age)
    bridged = 2 * age <= 2 * H
    assert basis(NOW + age) == ("measured" if bridged else "assumed")


def read(at: int) -> None:
    """A reading in the shed."""
    reading = {"at": at, "temperature": yard.heat("17 degC")}
    read_bay.read_bay(bay="SHED", readings=[reading], now=at, hand=HAND)
