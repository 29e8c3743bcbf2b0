"""Trace a lot: every job, pot and layup that it went into, from the ledger's lines."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest
from cureyard_service.acts.jobs import trace
from cureyard_service.acts.jobs.trace import BoundView, TraceView
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.stock import change_lot, draw, return_stock, reverse
from cureyard_service.acts.yard import finding
from cureyard_service.core.amounts.views import View
from cureyard_service.store import tables

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")


def traced(lot: tables.Lot) -> TraceView:
    """A lot's trace."""
    return trace.trace_lot(finding.lot(lot.id), NOW)


def column(rows: Iterable[View], name: str = "id") -> list[Any]:
    """One column of a list."""
    return [getattr(row, name) for row in rows]


def test_through_pots_to_layups_and_crafts() -> None:
    """Both drums of one pot lead to it, and so does the catalyst; another pot's does not."""
    first = yard.receive("LAM", "0.4 kg", expires_on=yard.day(30))
    second = yard.receive("LAM", "5 kg", expires_on=yard.day(60))
    bottle = yard.receive("PEROX", "1 kg")
    both, own = yard.pot("1 kg"), yard.pot("1 kg", job="S-1")
    laid = yard.laid(both.id)
    assert column(traced(first).batches) == [both.id]
    assert column(traced(second).batches) == [both.id, own.id]
    assert column(traced(bottle).batches) == [both.id, own.id]
    for lot in (first, second, bottle):
        (layup,) = traced(lot).layups
        assert (layup.id, layup.craft, layup.who) == (
            laid.id, "the dory Teal", "Ines",
        )  # fmt: skip
    assert column(traced(first).jobs, "number") == ["D-7"]
    assert column(traced(second).jobs, "number") == ["D-7", "S-1"]


def test_what_was_undone_is_no_use_but_stays_on_record() -> None:
    """A reversed draw and a pot that was not mixed: their lines are shown, their job not."""
    drum, _ = yard.stocked()
    (line,) = draw.draw(kind="draw", lot=drum.id, quantity=q("1 kg"), job="S-1",
                        now=NOW, hand=HAND).movements  # fmt: skip
    reverse.reverse(reverses=line.id, reason="wrong drum", now=NOW, hand=HAND)
    pot = yard.pot().id
    observe_pot(finding.batch(pot), kind="not_mixed", now=NOW, hand=HAND)
    told = traced(drum)
    assert (told.jobs, told.batches, told.layups) == ([], [], [])
    assert column(told.movements, "kind") == [
        "receipt", "draw", "reversal", "draw", "reversal",
    ]  # fmt: skip


def test_pieces_and_what_happened_to_it() -> None:
    """Offcuts hang on their roll; moves, holds and releases are told in order."""
    roll = yard.receive("MAT", "30 m", bay="SHED")
    draw.draw(kind="draw", lot=roll.id, quantity=q("5 m"), job="D-7", now=NOW, hand=HAND)
    back = return_stock.return_stock(lot=roll.id, quantity=q("2 m"), job="D-7", now=NOW, hand=HAND)
    for change in ({"bay": "BARN"}, {"held": True, "reason": "damp"},
                   {"held": False, "reason": "dried"}):  # fmt: skip
        change_lot.change_lot(finding.lot(roll.id), now=NOW, hand=HAND, **change)
    told = traced(roll)
    assert column(told.pieces) == [back.movements[0].lot]
    assert column(told.events, "kind") == ["moved", "moved", "held", "released"]
    assert column(told.events[:2], "bay") == ["SHED", "BARN"]
    assert column(told.events, "reason")[2:] == ["damp", "dried"]
    piece = finding.lot(told.pieces[0].id)
    assert traced(piece).lot.parent == roll.id


def test_where_it_stood_how_warm_and_what_bounds_it() -> None:
    """By hand: a day in the shed at 20 °C, then the barn at 4 °C until it was used up.

    Where the empty bottle was put then is nobody's matter.
    """
    bottle = yard.receive("MICROS", "1 kg", bay="SHED", expires_on=yard.day(30))
    change_lot.change_lot(finding.lot(bottle.id), bay="BARN", now=NOW + DAY, hand=HAND)
    draw.draw(kind="draw", lot=bottle.id, quantity="all", job="D-7", now=NOW + 2 * DAY, hand=HAND)
    change_lot.change_lot(finding.lot(bottle.id), bay="TENT", now=NOW + 3 * DAY, hand=HAND)
    told = trace.trace_lot(finding.lot(bottle.id), NOW + 9 * DAY)
    assert [(stay.bay, stay.start, stay.until) for stay in told.stays] == [
        ("SHED", NOW, NOW + DAY), ("BARN", NOW + DAY, NOW + 2 * DAY),
    ]  # fmt: skip
    assert [stay.mean for stay in told.stays] == pytest.approx([293.15, 277.15])
    assert {stay.measured_percent for stay in told.stays} == {0}
    assert told.life == [BoundView("label", yard.day(30))]


def test_its_cup_tests_and_what_was_overridden_for_it() -> None:
    """Each with who and why."""
    drum = yard.receive("LAM", "20 kg", expires_on=yard.day(-1))
    bottle = yard.receive("PEROX", "1 kg")
    test = yard.cup(drum, bottle, "22 min")
    draw.draw(kind="draw", lot=drum.id, quantity=q("1 kg"), job="D-7", now=NOW, hand=HAND,
              override={"reason": "cups in order"})  # fmt: skip
    told = traced(drum)
    assert [cup.id for cup in told.cup_tests] == [test.id]
    assert told.cup_tests[0].factor == pytest.approx(1.1, abs=0.005)
    (override,) = told.overrides
    assert (override.slug, override.reason, override.job) == (
        "expired-lot", "cups in order", "D-7",
    )  # fmt: skip
