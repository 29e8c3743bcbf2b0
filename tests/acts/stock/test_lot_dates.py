"""A lot's last day: given, assumed from receipt, or not known; given later; strict by class."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.jobs import trace as trace_lot
from cureyard_service.acts.jobs import used_lots
from cureyard_service.acts.pots.label import lot_label
from cureyard_service.acts.products import product as add_product
from cureyard_service.acts.stock import change_lot, draw, extend_lot, import_lots
from cureyard_service.acts.stock import receive as receive_lot
from cureyard_service.acts.stock.lot import LotWithWarningsView, show_lot
from cureyard_service.acts.stock.movement import MovedView
from cureyard_service.acts.wall import now as what_now
from cureyard_service.acts.yard import finding
from cureyard_service.acts.yard.settings import change_yard
from cureyard_service.core import errors
from cureyard_service.core.stock import lots
from cureyard_service.store import tables
from cureyard_service.store.yard.hands import Hand
from peewee import Database

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, q, span

pytestmark = pytest.mark.usefixtures("books")

FLOOR = Hand("Rui", verified=False, role="hand")


def shown(lot: tables.Lot, now: int = NOW) -> LotWithWarningsView:
    """A lot as it stands."""
    return show_lot(finding.lot(lot.id), now)


def dated(lot: tables.Lot, hand: Hand = FLOOR, **facts: Any) -> LotWithWarningsView:
    """A lot's dates, given later."""
    return change_lot.change_lot(finding.lot(lot.id), now=NOW, hand=hand, **facts)


def by_class() -> None:
    """The yard goes by a classification society's rules."""
    change_yard(now=NOW, hand=Hand("Keeper", verified=False, role="admin"), profile="class")


def taken(lot: tables.Lot, **facts: Any) -> MovedView:
    """A draw from a lot."""
    asked = {"kind": "draw", "quantity": q("10 g"), "job": "D-7", "now": NOW, "hand": HAND} | facts
    return draw.draw(lot=lot.id, **asked)


def test_a_peroxide_of_2020_is_out_of_date() -> None:
    """365 days from receipt at the latest: nobody draws it, nobody may override that."""
    old = yard.receive("PEROX", "1 kg", received_on=yard.day(-2000))
    told = shown(old)
    assert (told.state, told.expires_on) == ("expired", yard.day(-1635))
    assert (told.expires_basis, told.expires_note) == ("received_on", lots.ASSUMED)
    for override in (None, {"reason": "it looks good"}):
        with pytest.raises(errors.ExpiredLot):
            taken(old, override=override)


def test_lots_of_an_older_store_get_theirs_by_the_same_rule() -> None:
    """It is worked out when somebody looks: no row is another, whatever the store was made by."""
    lot = yard.receive("LAM", "20 kg")
    assert (lot.made_on, lot.expires_on) == (None, None)
    assert shown(lot).expires_on == yard.day(180)
    tables.Product.update(shelf_life_s=30 * DAY).where(tables.Product.code == "LAM").execute()
    assert shown(finding.lot(lot.id)).expires_on == yard.day(30)


def test_receiving_asks_for_the_date_that_is_missing() -> None:
    """In a warning that says how to give it; with a date there is nothing to ask."""
    for facts, asked in ({}, 1), ({"made_on": yard.day(-3)}, 0), ({"expires_on": yard.day(90)}, 0):
        told = receive_lot.receive_lot(
            product="LAM", number=f"A-{len(facts)}{asked}{sorted(facts)}", quantity=q("1 kg"),
            now=NOW, hand=FLOOR, **facts,
        )  # fmt: skip
        assert len(told.warnings) == asked
        assert (told.expires_note is not None) == bool(asked)


def test_it_is_asked_for_now_until_it_is_given() -> None:
    """Good lots in a list of their own; the rest say it where they stand."""
    first, second = yard.receive("LAM", "20 kg"), yard.receive("LAM", "20 kg")
    old = yard.receive("PEROX", "1 kg", received_on=yard.day(-400))
    yard.receive("MAT", "5 m")
    told = what_now.what_now(NOW).lots
    assert [lot.id for lot in told.undated] == [first.id, second.id]
    assert [(lot.id, lot.expires_note) for lot in told.expired] == [(old.id, lots.ASSUMED)]
    dated(first, expires_on=yard.day(100))
    dated(second, made_on=yard.day(-20))
    assert what_now.what_now(NOW).lots.undated == []
    assert [shown(lot).expires_on for lot in (first, second)] == [yard.day(100), yard.day(160)]
    assert [shown(lot).expires_basis for lot in (first, second)] == ["stated", "made_on"]


def test_who_gave_it_stays_on_record() -> None:
    """Any hand gives a date; it stands in what happened to the lot, and on its label."""
    lot = yard.receive("LAM", "20 kg")
    assert lot_label(lot, NOW).note == lots.ASSUMED
    told = dated(lot, expires_on=yard.day(100), reason="read off the lid")
    assert told.version == lot.version + 1
    (event,) = trace_lot.trace_lot(finding.lot(lot.id), NOW).events
    assert (event.kind, event.until_on, event.who) == ("dated", yard.day(100), "Rui")
    assert event.reason == "read off the lid"
    label = lot_label(finding.lot(lot.id), NOW)
    assert (label.note, label.last_day) == (None, yard.day(100))


def test_a_date_that_was_given_is_corrected_by_a_lead(books: Database) -> None:
    """With a reason, and what it was before stays in the logbook; the same again is no change."""
    lot = yard.receive("PEROX", "1 kg", expires_on=yard.day(-1))
    before = yard.contents(books)
    with pytest.raises(errors.NotAllowed):
        dated(lot, expires_on=yard.day(300), reason="so it says")
    with pytest.raises(errors.Invalid, match="needs a reason"):
        dated(lot, HAND, expires_on=yard.day(300))
    assert yard.contents(books) == before
    dated(lot, expires_on=yard.day(-1))
    assert not tables.LotEvent.select().exists()
    dated(lot, HAND, expires_on=yard.day(300), reason="the month was misread")
    (entry,) = tables.LogbookEntry.select().where(tables.LogbookEntry.kind == "lot dated")
    assert entry.about.endswith(f"good until {yard.day(300)}, was {yard.day(-1)}")
    assert shown(lot).state == "good"


@pytest.mark.parametrize(
    ("facts", "pointer"),
    [
        ({"made_on": 1}, "/made_on"),
        ({"made_on": -5, "expires_on": -6}, "/expires_on"),
        ({"expires_on": -31}, "/expires_on"),
    ],
)
def test_dates_that_cannot_be(books: Database, facts: dict[str, int], pointer: str) -> None:
    """Against each other, and against what the lot has already."""
    given = {"made_on": yard.day(-30)} if "made_on" not in facts else {}
    lot = yard.receive("LAM", "20 kg", **given)
    before = yard.contents(books)
    with pytest.raises(errors.Invalid) as refused:
        dated(lot, **{name: yard.day(days) for name, days in facts.items()})
    assert refused.value.pointer == pointer
    assert yard.contents(books) == before


def test_an_assumed_day_is_not_extended() -> None:
    """First the drum is read: the life may be over for longer than anybody knows."""
    drum = yard.receive("LAM", "20 kg", received_on=yard.day(-181))
    bottle = yard.receive("PEROX", "1 kg", expires_on=yard.day(90))
    yard.cup(drum, bottle, "20 min", "21 min")
    asked = {"until_on": yard.day(10), "reason": "two cups", "now": NOW, "hand": HAND}
    with pytest.raises(errors.Invalid, match="assumed from its receipt"):
        extend_lot.extend_lot(finding.lot(drum.id), **asked)
    dated(drum, expires_on=yard.day(-3))
    assert extend_lot.extend_lot(finding.lot(drum.id), **asked).state == "soon"


def test_what_a_job_used_says_that_a_day_was_assumed() -> None:
    """A surveyor is not told a date that nobody read."""
    lot = yard.receive("LAM", "20 kg")
    taken(lot)
    (told,) = used_lots.show(list(tables.Movement.select().where(tables.Movement.kind == "draw")))
    assert (told.good_until_basis, told.in_date_then) == ("opened_on", True)  # 60 days
    dry = yard.receive("PEROX", "1 kg")
    taken(dry)
    (told,) = used_lots.show([tables.Movement.select().order_by(tables.Movement.id.desc()).get()])
    assert told.good_until_basis == "received_on"


def test_a_table_does_not_make_an_assumption_a_date() -> None:
    """What an export writes of an undated lot comes in undated; a stated day comes in stated."""
    row = {"product": "LAM", "quantity": q("5 kg"), "expires_on": yard.day(180)}
    for number, basis in ("X-1", "received_on"), ("X-2", "stated"):
        facts = row | {"number": number, "expires_basis": basis}
        import_lots.import_lot(facts, now=NOW, hand=HAND)
        assert import_lots.import_lot(facts, now=NOW, hand=HAND) is None
    assert [lot.expires_on for lot in tables.Lot.select().order_by(tables.Lot.id)] == [
        None, yard.day(180),
    ]  # fmt: skip


# What has no shelf life


@pytest.mark.parametrize(
    ("role", "facts", "asked"),
    [
        ("resin", {}, True),
        ("catalyst", {}, True),
        ("hardener", {}, True),
        ("promoter", {}, True),
        ("coating", {}, True),
        ("adhesive", {}, True),
        ("foam", {}, True),
        ("filler", {"cure": [yard.read_sheet(makers.sheet())]}, True),
        ("filler", {"effects": ["promotes"]}, True),
        ("filler", {}, False),
        ("reinforcement", {}, False),
        ("sundry", {"chemistry": "acetone"}, False),
        ("resin", {"shelf_life": span("90 d")}, False),
    ],
)
def test_what_cures_is_asked_for_its_shelf_life(
    role: str, facts: dict[str, Any], asked: bool
) -> None:
    """Once it is entered the product says so; its lots say that nobody knows how long they last."""
    told = add_product.add_product(code="NEW", name="New", role=role, now=NOW, hand=HAND, **facts)
    assert ["No shelf life is known" in word for word in told.warnings] == [True] * asked
    if role == "reinforcement":
        return
    lot = yard.receive("NEW", "1 piece" if role == "sundry" else "1 kg")
    note = lots.UNKNOWN if asked else (lots.ASSUMED if "shelf_life" in facts else None)
    assert shown(lot).expires_note == note
    assert lot_label(lot, NOW).note == note
    assert len(what_now.what_now(NOW).lots.undated) == (note is not None)
    change = {"shelf_life": span("90 d")}
    product = add_product.change_product(finding.product("NEW"), now=NOW, hand=HAND, **change)
    assert product.warnings == []


def test_its_own_date_answers_for_a_lot() -> None:
    """Where the drum has a date, that of the product is not wanted for it."""
    lot = yard.receive("HARD", "5 kg")
    assert shown(lot).expires_note == lots.UNKNOWN
    dated(lot, expires_on=yard.day(90))
    assert (shown(lot).expires_note, shown(lot).expires_on) == (None, yard.day(90))


# By a classification society's rules: no batch is used after its date (rules for GRP
# workmanship, 5.3.4; rules for FRP ships, part 13, 301.2)


def test_class_refuses_a_delivery_without_a_date(books: Database) -> None:
    """Of what goes off; a mat and a plywood come in as they are."""
    by_class()
    before = yard.contents(books)
    for product, facts in ("LAM", {}), ("HARD", {}), ("HARD", {"made_on": yard.day(-2)}):
        with pytest.raises(errors.Invalid, match="needs its date") as refused:
            yard.receive(product, "5 kg", **facts)
        assert refused.value.pointer == "/expires_on"
    assert yard.contents(books) == before
    for product, facts in (
        ("LAM", {"made_on": yard.day(-2)}), ("HARD", {"expires_on": yard.day(90)}), ("MICROS", {}),
    ):  # fmt: skip
        yard.receive(product, "5 kg", **facts)
    yard.receive("MAT", "5 m")
    yard.receive("PLY-4", "5 pieces")


def test_class_has_no_override_for_expired_resin(books: Database) -> None:
    """A hard stop, with a lead's reason or without, and no extension either."""
    drum = yard.receive("LAM", "20 kg", expires_on=yard.day(-1))
    good = yard.receive("PEROX", "1 kg", expires_on=yard.day(90))
    yard.cup(drum, good, "20 min", "21 min")
    reason = {"reason": "two cups"}
    taken(drum, override=reason)  # plain good practice: a lead may
    by_class()
    before = yard.contents(books)
    with pytest.raises(errors.ExpiredLot, match="out of date") as refused:
        taken(drum, override=reason)
    assert "override" not in refused.value.advice
    assert "extend" not in refused.value.advice
    with pytest.raises(errors.ExpiredLot):
        yard.pot(resin_lot=drum.id, override=reason)
    with pytest.raises(errors.ExpiredLot, match="no life is extended"):
        extend_lot.extend_lot(
            finding.lot(drum.id), until_on=yard.day(5), reason="cups", now=NOW, hand=HAND
        )
    assert yard.contents(books) == before


def test_an_extended_lot_keeps_its_test() -> None:
    """A date corrected later does not pass it over in silence: hold it, or test it anew."""
    lot, _peroxide = yard.stocked()
    tables.LotEvent.create(
        lot_id=lot.id, kind="extended", until_on=yard.day(400), at=NOW, **HAND.signed(NOW)
    )
    with pytest.raises(errors.Invalid, match="extended by a test"):
        yard.change(lot, expires_on=yard.day(10), reason="read again")
