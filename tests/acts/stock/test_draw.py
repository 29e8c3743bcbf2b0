"""Draw stock: first expired first out, never out of date or held, roll from one piece."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.stock import change_lot, draw
from cureyard_service.acts.stock.movement import MovedView
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")


def take(quantity: str, **facts: Any) -> MovedView:
    """A draw to the job; 'all' is itself."""
    asked = {"kind": "draw", "job": "D-7", "now": NOW, "hand": HAND} | facts
    return draw.draw(quantity=quantity if quantity == "all" else q(quantity), **asked)


def taken(told: MovedView) -> list[tuple[int, int]]:
    """Lot and amount of each line."""
    return [(line.lot, line.quantity[0]) for line in told.movements]


def hold(lot: Any, reason: str = "left in the sun") -> None:
    """Hold a lot."""
    change_lot.change_lot(lot, held=True, reason=reason, now=NOW, hand=HAND)


def test_first_expired_goes_first_out() -> None:
    """Not in the order of the deliveries, and on into the next lot where one does not do."""
    late = yard.receive("MICROS", "2 kg", expires_on=yard.day(90))
    soon = yard.receive("MICROS", "1 kg", expires_on=yard.day(30))
    never = yard.receive("MICROS", "5 kg")
    assert taken(take("0.4 kg", product="MICROS")) == [(soon.id, -400_000)]
    told = take("4 kg", product="MICROS")
    assert taken(told) == [(soon.id, -600_000), (late.id, -2_000_000), (never.id, -1_400_000)]
    assert told.warnings == []


def test_on_equal_dates_the_least_that_serves() -> None:
    """A rest is used up before a full drum is begun."""
    full = yard.receive("MICROS", "5 kg", expires_on=yard.day(30))
    rest = yard.receive("MICROS", "1 kg", expires_on=yard.day(30))
    assert taken(take("0.8 kg", product="MICROS")) == [(rest.id, -800_000)]
    assert taken(take("3 kg", product="MICROS")) == [(full.id, -3_000_000)]


def test_expired_and_held_lots_are_passed_over_aloud() -> None:
    """The hand hears which lot was not taken, and why."""
    old = yard.receive("MICROS", "1 kg", number="OLD", expires_on=yard.day(-1))
    held = yard.receive("MICROS", "1 kg", number="SUN", expires_on=yard.day(10))
    hold(held)
    good = yard.receive("MICROS", "1 kg", expires_on=yard.day(60))
    told = take("0.5 kg", product="MICROS")
    assert taken(told) == [(good.id, -500_000)]
    assert sorted(told.warnings) == [
        "Passed over lot OLD/1 (MICROS): expired.", "Passed over lot SUN/1 (MICROS): held.",
    ]  # fmt: skip
    with pytest.raises(errors.ShortStock):
        take("0.6 kg", product="MICROS")
    assert (yard.on_hand(old), yard.on_hand(held), yard.on_hand(good)) == (
        1_000_000, 1_000_000, 500_000,
    )  # fmt: skip


def test_nothing_but_bad_lots_says_why() -> None:
    """The refusal is of the lot, not of the amount."""
    yard.receive("MICROS", "1 kg", expires_on=yard.day(-1))
    with pytest.raises(errors.ExpiredLot, match="out of date"):
        take("0.5 kg", product="MICROS", override={"reason": "by lot only"})


def test_good_through_the_last_day() -> None:
    """On its last day it is drawn; the day after it is not."""
    lot = yard.receive("MICROS", "1 kg", expires_on=yard.day(0))
    assert taken(take("0.1 kg", lot=lot.id)) == [(lot.id, -100_000)]
    with pytest.raises(errors.ExpiredLot):
        take("0.1 kg", lot=lot.id, now=NOW + DAY)


def test_judged_on_the_acts_own_date() -> None:
    """What was drawn the day before yesterday, in date, may be booked today."""
    lot = yard.receive("MICROS", "1 kg", expires_on=yard.day(-1), received_on=yard.day(-9))
    with pytest.raises(errors.ExpiredLot):
        take("0.1 kg", lot=lot.id)
    told = take("0.1 kg", lot=lot.id, at=NOW - 2 * DAY)
    assert taken(told) == [(lot.id, -100_000)]
    assert told.warnings == []


def test_before_the_delivery_is_a_warning() -> None:
    """It is recorded, since it was done; the dates want a look."""
    lot = yard.receive("MICROS", "1 kg")
    (word,) = take("0.1 kg", lot=lot.id, at=NOW - 3 * DAY).warnings
    assert "received only after that" in word


def test_resin_may_be_overridden_and_peroxide_never() -> None:
    """Life type II with a reason on record; life type I not at all."""
    resin = yard.receive("LAM", "5 kg", expires_on=yard.day(-1))
    peroxide = yard.receive("PEROX", "1 kg", expires_on=yard.day(-1))
    reason = {"reason": "two cups in order"}
    told = take("1 kg", lot=resin.id, override=reason)
    with pytest.raises(errors.ExpiredLot) as refused:
        take("10 g", lot=peroxide.id, override=reason)
    assert "never used after its date" in refused.value.advice
    (row,) = yard.overrides()
    assert (row.slug, row.reason, row.lot_id) == ("expired-lot", "two cups in order", resin.id)
    assert (row.movement_id, row.job.number) == (told.movements[0].id, "D-7")
    assert told.movements[0].reason == "two cups in order"


def test_an_override_that_nothing_needed_leaves_no_trace() -> None:
    """A good lot is drawn as ever, whatever was said."""
    lot = yard.receive("LAM", "5 kg")
    told = take("1 kg", lot=lot.id, override={"reason": "to be sure"})
    assert told.warnings == []
    assert yard.overrides() == []


def test_all_of_a_lot_and_not_of_a_product() -> None:
    """What is left, to the milligram; of a product nobody can mean it."""
    lot = yard.receive("MICROS", "1.234567 kg")
    yard.receive("MICROS", "1 kg")
    assert taken(take("all", lot=lot.id)) == [(lot.id, -1_234_567)]
    with pytest.raises(errors.ShortStock, match="is empty"):
        take("all", lot=lot.id)
    with pytest.raises(errors.Invalid, match="is of one lot"):
        take("all", product="MICROS")


def test_a_roll_gives_one_piece() -> None:
    """Ten metres are not two ends of eight; the shortest roll that has it in one is cut."""
    first, second = yard.receive("MAT", "8 m"), yard.receive("MAT", "9 m")
    with pytest.raises(errors.NoSinglePiece):
        take("10 m", product="MAT")
    with pytest.raises(errors.ShortStock):
        take("18 m", product="MAT")
    assert taken(take("8.5 m", product="MAT")) == [(second.id, -8_500_000)]
    assert yard.on_hand(first) == 8_000_000


def test_mat_by_mass_is_a_length_of_its_width() -> None:
    """0.45 kg of 450 g/m² at 1.25 m is 0.8 m, one piece."""
    roll = yard.receive("MAT", "8 m")
    assert taken(take("0.45 kg", product="MAT")) == [(roll.id, -800_000)]


def test_volume_is_kept_as_mass() -> None:
    """Two litres at 1.1 kg/L; what was typed stays beside it."""
    drum = yard.receive("LAM", "20 kg")
    told = take("2 L", product="LAM")
    assert taken(told) == [(drum.id, -2_200_000)]
    assert told.movements[0].typed == "2 L"


def test_the_first_draw_opens_the_container() -> None:
    """From then its open life runs, where it has one: 60 days."""
    drum = yard.receive("LAM", "20 kg")
    take("1 kg", product="LAM", at=NOW - DAY)
    take("1 kg", product="LAM")
    opened = finding.lot(drum.id)
    assert opened.opened_on == yard.day(-1)
    with pytest.raises(errors.ExpiredLot):
        take("1 kg", product="LAM", now=NOW + 60 * DAY)


@pytest.mark.parametrize(
    ("facts", "refusal", "word"),
    [
        ({"product": "MICROS", "job": None}, errors.Invalid, "needs a job"),
        ({"product": "MICROS", "lot": 1}, errors.Invalid, "either a lot or a product"),
        ({}, errors.Invalid, "either a lot or a product"),
        ({"product": "MICROS", "job": "D-99"}, errors.UnknownReference, "no job D-99"),
        ({"product": "NONE"}, errors.UnknownReference, "no product NONE"),
        ({"lot": 99}, errors.UnknownReference, "no lot 99"),
        ({"product": "MICROS", "at": NOW + 301}, errors.Invalid, "in the future"),
        ({"product": "MICROS", "kind": "scrap"}, errors.Invalid, "reason"),
        ({"product": "PLY-4"}, errors.UnitMismatch, "by mass"),
    ],
)
def test_what_is_refused_changes_nothing(
    books: Database, facts: dict[str, Any], refusal: type[errors.Refusal], word: str
) -> None:
    """Each refusal says what is wrong, and every row is as it was."""
    yard.receive("MICROS", "1 kg")
    before = yard.contents(books)
    with pytest.raises(refusal, match=word):
        take("0.1 kg", **facts)
    assert yard.contents(books) == before


def test_a_closed_job_takes_nothing(books: Database) -> None:
    """What is booked late goes to an open job."""
    yard.receive("MICROS", "1 kg")
    open_job.change_job(finding.job("D-7"), state="closed", now=NOW, hand=HAND)
    before = yard.contents(books)
    with pytest.raises(errors.JobClosed):
        take("0.1 kg", product="MICROS")
    assert yard.contents(books) == before


def test_bad_stock_is_scrapped_without_an_override() -> None:
    """Expired first: that is what is scrapped. No job, no opening of the container."""
    old = yard.receive("LAM", "1 kg", expires_on=yard.day(-1))
    yard.receive("LAM", "1 kg", expires_on=yard.day(90))
    told = take("all", kind="scrap", lot=old.id, job=None, reason="gelled in the drum")
    assert taken(told) == [(old.id, -1_000_000)]
    assert told.movements[0].reason == "gelled in the drum"
    assert finding.lot(old.id).opened_on is None
    assert yard.overrides() == []
