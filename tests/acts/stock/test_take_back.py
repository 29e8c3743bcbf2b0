"""A hold and an opening by mistake: taken back by who may, and both stay on record."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.stock import change_lot, take_back
from cureyard_service.acts.yard import finding
from cureyard_service.core.errors import Invalid, NotAllowed
from cureyard_service.store import tables
from cureyard_service.store.stock.lots import Lot
from cureyard_service.store.yard.hands import Hand

from .. import sample_yard as yard
from ..sample_yard import NOW, H

pytestmark = pytest.mark.usefixtures("books")
RUI, ADA = Hand("Rui", verified=True), Hand("Ada", verified=True)
LEA = Hand("Lea", verified=True, role="lead")


@pytest.fixture
def lot() -> int:
    """A drum of resin."""
    return int(yard.receive("LAM", "20 kg").id)


def row(lot: int) -> Lot:
    """The drum as it is on record."""
    return finding.lot(lot)


def change(lot: int, hand: Hand = RUI, **facts: Any) -> None:
    """Something is done with the drum."""
    change_lot.change_lot(row(lot), now=NOW, hand=hand, **facts)


def test_a_hold_is_taken_back_by_its_hand(lot: int) -> None:
    """Within a day; the history and the logbook have both."""
    change(lot, held=True, reason="skin on top")
    shown = take_back.take_back_hold(row(lot), reason="not so", now=NOW + H, hand=RUI)
    assert (shown.held, shown.hold_reason) == (False, None)
    events = [(each.kind, each.reason) for each in tables.LotEvent.select().order_by("id")]
    assert events[-2:] == [("held", "skin on top"), ("released", "not so")]
    assert [each.kind for each in tables.LogbookEntry.select().order_by("id")][-2:] == [
        "held", "released"
    ]  # fmt: skip


@pytest.mark.parametrize(("hand", "hours"), [(ADA, 0), (RUI, 25)])
def test_what_is_not_a_hands_own_of_today_takes_a_lead(lot: int, hand: Hand, hours: int) -> None:
    """Of a hold and of an opening."""
    change(lot, held=True, reason="skin on top", opened_on=yard.day(0))
    later = NOW + hours * H
    for act in (take_back.take_back_hold, take_back.take_back_opening):
        with pytest.raises(NotAllowed):
            act(row(lot), reason="not so", now=later, hand=hand)
    assert (row(lot).held, row(lot).opened_on) == (True, yard.day(0))
    last = (take_back.last_hold(row(lot)), take_back.last_opening(row(lot)))
    assert not any(take_back.may_take_back(row(lot), each, later, hand) for each in last)
    assert all(take_back.may_take_back(row(lot), each, later, LEA) for each in last)
    for act in (take_back.take_back_hold, take_back.take_back_opening):
        act(row(lot), reason="not so", now=later, hand=LEA)
    assert (row(lot).held, row(lot).opened_on) == (False, None)


def test_a_corrected_day_comes_back(lot: int) -> None:
    """The opening before the correction counts again."""
    change(lot, opened_on=yard.day(-2))
    change(lot, LEA, opened_on=yard.day(-1))
    take_back.take_back_opening(row(lot), reason="not so", now=NOW, hand=LEA)
    assert row(lot).opened_on == yard.day(-2)
    take_back.take_back_opening(row(lot), reason="not so", now=NOW, hand=RUI)
    assert row(lot).opened_on is None


def test_nothing_is_taken_back_twice(lot: int) -> None:
    """Nor what never was."""
    for act in (take_back.take_back_hold, take_back.take_back_opening):
        with pytest.raises(Invalid):
            act(row(lot), reason="not so", now=NOW, hand=LEA)
    change(lot, opened_on=yard.day(0))
    take_back.take_back_opening(row(lot), reason="not so", now=NOW, hand=RUI)
    with pytest.raises(Invalid):
        take_back.take_back_opening(row(lot), reason="not so", now=NOW, hand=RUI)
