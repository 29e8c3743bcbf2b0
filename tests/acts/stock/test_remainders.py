"""What was received can be drawn: whole, or in equal parts, in whatever units; and shows as typed.

Units by their definitions of 1959 (pound, foot) and the US gallon of 231 cubic inches.
"""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.jobs import need
from cureyard_service.acts.jobs.need import NeedsView
from cureyard_service.acts.products.stuff import stuff_of
from cureyard_service.acts.stock import count, draw, return_stock
from cureyard_service.acts.stock.lot import show_lot
from cureyard_service.acts.stock.movement import MovedView
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.amounts import quantities
from cureyard_service.store import tables
from cureyard_service.store.upkeep.proofs import prove
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from peewee import Database

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")


def take(quantity: str, **facts: Any) -> MovedView:
    """A draw to the job."""
    asked = {"kind": "draw", "job": "D-7", "now": NOW, "hand": HAND} | facts
    return draw.draw(quantity=q(quantity), **asked)


def wanted(job: str, quantity: str, product: str = "MICROS") -> NeedsView:
    """A need of a job."""
    asked = [{"product": product, "quantity": q(quantity)}]
    return need.add_needs(finding.job(job), wanted=asked, now=NOW, hand=HAND)


def amounts(told: MovedView) -> list[int]:
    """What each line took."""
    return [-line.quantity[0] for line in told.movements]


@pytest.mark.parametrize(
    ("product", "received", "times", "part"),
    [
        ("MICROS", "1 lb", 1, "1 lb"), ("MICROS", "16 lb", 16, "1 lb"),
        ("MICROS", "1 lb", 16, "1 oz"), ("MICROS", "1 lb", 3, "1/3 lb"),
        ("LAM", "5 gal", 5, "1 gal"), ("LAM", "4 qt", 4, "1 qt"), ("LAM", "1 gal", 128, "1 fl oz"),
        ("LAM", "1 gal", 4, "0.946352946 L"), ("MICROS", "2 lb", 2, "453.592 g"),
        ("MAT", "10 yd", 30, "1 ft"), ("MAT", "10 sq yd", 9, "10/9 sq yd"),
        ("PLY-4", "1 piece", 3, "1/3 piece"), ("PLY-4", "2 pieces", 7, "2/7 piece"),
    ],
)  # fmt: skip
def test_what_was_received_can_be_drawn(product: str, received: str, times: int, part: str) -> None:
    """The last draw takes what is left, and the lot is empty."""
    lot = yard.receive(product, received)
    for _ in range(times):
        told = take(part, lot=lot.id)
        assert told.movements[0].typed == part
    assert yard.on_hand(lot) == 0


UNITS = {
    "MICROS": ("g", "kg", "oz", "lb"),
    "LAM": ("g", "kg", "lb", "mL", "L", "gal", "qt", "fl oz"),
    "MAT": ("mm", "m", "ft", "yd", "sq ft", "m2"),
    "PLY-4": ("piece",),
}


@st.composite
def lots_and_parts(draw_: Any) -> tuple[str, str, str, int]:
    """A product, an amount as received, the unit that it is drawn in, in so many parts."""
    product = draw_(st.sampled_from(list(UNITS)))
    unit = draw_(st.sampled_from(UNITS[product]))
    least = 1 if unit not in ("g", "mm", "mL") else 100
    number = draw_(st.decimals(least, 60 * least, places=draw_(st.integers(0, 3))))
    return product, f"{number} {unit}", draw_(st.sampled_from(UNITS[product])), draw_(
        st.integers(1, 20)
    )  # fmt: skip


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=60
)
@given(lots_and_parts())
def test_any_amount_goes_out_in_equal_parts(
    books: Database, asked: tuple[str, str, str, int]
) -> None:
    """Whole, or in so many parts, in any unit: each about as great, and nothing is left."""
    product, received, unit, parts = asked
    with books.atomic() as trial:
        lot = yard.receive(product, received)
        whole = lot.on_hand
        stuff = stuff_of(lot.product)
        one = q(f"1 {unit}")
        per_unit = yard.in_stock(one, stuff)
        part = (yard.in_stock(q(received), stuff) / parts / per_unit).quantize(
            quantities.Decimal("1e-12")
        )
        taken = [amounts(take(f"{part} {unit}", lot=lot.id))[0] for _ in range(parts)]
        assert sum(taken) == whole
        assert yard.on_hand(lot) == 0
        assert max(taken) - min(taken) <= parts
        trial.rollback()


@pytest.mark.parametrize(
    ("product", "received", "system", "shown"),
    [
        ("MICROS", "2 lb", "us", 2), ("MICROS", "1 lb", "us", 1),
        ("MICROS", "2.2046 lb", "us", 2.2046), ("MICROS", "1.234567 kg", "metric", 1.234567),
        ("MAT", "50 yd", "us", 50), ("MAT", "12.3457 yd", "us", 12.3457),
        ("MAT", "5 m", "metric", 5), ("PLY-4", "3 pieces", "us", 3),
    ],
)  # fmt: skip
def test_it_shows_as_it_was_typed(product: str, received: str, system: Any, shown: float) -> None:
    """2 lb are 907 184.74 mg: kept as 907 185, and shown as 2 lb."""
    lot = yard.receive(product, received)
    assert quantities.show(*show_lot(lot, NOW).on_hand, system)["value"] == shown


def test_draws_round_to_the_nearest_both_ways() -> None:
    """1 lb is 453 592.37 mg and 1 oz 28 349.52: rounding up fails the first, down the second."""
    lot = yard.receive("MICROS", "10 kg")
    assert amounts(take("1 lb", lot=lot.id)) == [453_592]
    assert amounts(take("1 oz", product="MICROS")) == [28_350]
    assert amounts(take("1 oz", kind="scrap", job=None, reason="wet", lot=lot.id)) == [28_350]
    back = return_stock.return_stock(quantity=q("1 oz"), job="D-7", lot=lot.id, now=NOW, hand=HAND)
    assert amounts(back) == [-28_350]
    count.count(lot=lot.id, quantity=q("3 lb"), now=NOW, hand=HAND)
    assert yard.on_hand(lot) == 1_360_777
    assert wanted("D-7", "1 oz").needs[0].quantity[0] == 28_350
    assert yard.receive("MICROS", "1 oz").on_hand == 28_350
    yard.stocked()
    card = yard.pot("1 lb", fillers=[{"product": "MICROS", "quantity": q("1 oz")}])
    resin, _catalyst, filler = (-line.quantity[0] for line in card.draws)
    assert (resin, filler) == (453_592, 28_350)


def test_a_draw_may_miss_what_is_left_by_one_in_ten_thousand() -> None:
    """Of 2 kg 0.2 g, and it takes what is left and says so; the text stays as it was typed."""
    lot = yard.receive("MICROS", "2 kg")
    with pytest.raises(errors.ShortStock):
        take("2.0003 kg", lot=lot.id)
    told = take("2.0002 kg", lot=lot.id)
    assert amounts(told) == [2_000_000]
    assert told.movements[0].typed == "2.0002 kg"
    (word,) = told.warnings
    assert "What was left of lot" in word
    assert "0.2 g less than was asked for" in word
    assert tables.Movement.get_by_id(told.movements[0].id).typed == "2.0002 kg"


def test_a_draw_that_leaves_next_to_nothing_takes_it_too() -> None:
    """A drum is not kept, nor its date watched, for a tenth of a gram."""
    lot = yard.receive("MICROS", "2 kg")
    (word,) = take("1.9999 kg", product="MICROS").warnings
    assert "0.1 g more than was asked for" in word
    assert yard.on_hand(lot) == 0
    lot = yard.receive("MICROS", "2 kg")
    assert take("1.999 kg", product="MICROS").warnings == []
    assert yard.on_hand(lot) == 1_000_000 // 1000


def test_never_by_more_than_a_gram() -> None:
    """One in ten thousand of a 200 kg drum would be 20 g."""
    lot = yard.receive("LAM", "200 kg")
    with pytest.raises(errors.ShortStock):
        take("200.0011 kg", lot=lot.id)
    assert amounts(take("200.001 kg", lot=lot.id)) == [200_000_000]


def test_a_drum_is_not_opened_for_a_milligram() -> None:
    """What the first lacks for rounding does not come from the next."""
    first = yard.receive("LAM", "4 qt", expires_on=yard.day(30))
    second = yard.receive("LAM", "20 kg", expires_on=yard.day(60))
    for _ in range(4):
        take("1 qt", product="LAM")
    assert yard.on_hand(first) == 0
    assert finding.lot(second.id).opened_on is None


def test_what_another_job_has_reserved_is_not_taken_with_it() -> None:
    """The half gram that is left is promised; so is the other half of a pound."""
    lot = yard.receive("MICROS", "8 kg")
    wanted("S-1", "0.5 g")
    told = take("7.9995 kg", lot=lot.id)
    assert (amounts(told), told.warnings) == ([7_999_500], [])
    with pytest.raises(errors.ReservedStock):
        take("0.1 g", lot=lot.id)
    take("0.5 g", lot=lot.id, job="S-1")
    pound = yard.receive("MICROS", "1 lb")
    wanted("S-1", "8 oz")
    for part in range(8):
        words = take("1 oz", product="MICROS").warnings
        assert bool(words) == (part == 7)
    assert "What was free of lot" in words[0]
    assert yard.on_hand(pound) == show_lot(finding.lot(pound.id), NOW).reserved[0]
    assert yard.on_hand(pound) == 226_796


def test_needs_that_make_up_a_container_are_not_short() -> None:
    """Four jobs, or one, reserve a quart each of a gallon: 2 mg more than there are."""
    yard.receive("LAM", "1 gal")
    for job in ("D-7", "D-7", "S-1", "S-1"):
        told = wanted(job, "1 qt", "LAM")
    assert [row.short[0] for row in told.needs] == [0, 0]
    assert [row.short[0] for row in need.show_needs(finding.job("D-7"), NOW).needs] == [0, 0]


def test_a_need_drawn_in_parts_is_met() -> None:
    """Three thirds of a pound are 1 mg less than one; nothing stays reserved for that."""
    lot = yard.receive("MICROS", "50 lb")
    wanted("D-7", "1 lb")
    for _ in range(3):
        take("1/3 lb", lot=lot.id)
    assert yard.on_hand(lot) == 22_679_618 - 453_591
    (row,) = need.show_needs(finding.job("D-7"), NOW).needs
    assert (row.reserved[0], row.short[0]) == (0, 0)


def test_what_was_drawn_comes_back_in_parts(books: Database) -> None:
    """Sixteen ounces of a pound are 8 mg more than was drawn, and no more comes back."""
    lot = yard.receive("MICROS", "5 lb")
    take("1 lb", lot=lot.id)
    for _ in range(16):
        return_stock.return_stock(quantity=q("1 oz"), job="D-7", lot=lot.id, now=NOW, hand=HAND)
    assert yard.on_hand(lot) == 2_267_962
    with pytest.raises(errors.Invalid):
        return_stock.return_stock(quantity=q("1 g"), job="D-7", lot=lot.id, now=NOW, hand=HAND)
    assert all(proof.ok for proof in prove(books))


def test_a_refusal_says_how_much_there_is() -> None:
    """In words, not only in the numbers beside them."""
    lot = yard.receive("MICROS", "1.5 kg")
    with pytest.raises(
        errors.ShortStock, match=r"2 kg.* is asked for, and .*1\.5 kg.* may be drawn"
    ):
        take("2 kg", product="MICROS")
    with pytest.raises(errors.ShortStock, match=r"has less than that: .*1\.5 kg"):
        take("2 kg", lot=lot.id)
    yard.receive("MAT", "8 m")
    yard.receive("MAT", "6 m")
    with pytest.raises(errors.NoSinglePiece, match=r"10 m.* the longest is .*8 m"):
        take("10 m", product="MAT")


def test_a_pot_of_what_is_left_is_what_it_drew(books: Database) -> None:
    """Its row and the books say the same, fillers that count as resin among it."""
    yard.receive("LAM", "1 gal")
    yard.receive("PEROX", "1 lb")
    yard.receive("WAX", "1 lb")
    yard.revise("LAM", makers.sheet(wax_percent_max=20))
    warm = yard.heat("22 degC")
    for number in range(8):
        wax = [{"product": "WAX", "quantity": q("2 oz")}]
        card = yard.pot(
            "1/2 qt", fillers=wax, catalyst_percent=quantities.Decimal(2), temperature=warm
        )
        assert any("than was asked for" in word for word in card.warnings) == (number == 7)
    assert all(proof.ok for proof in prove(books))
    lam, _, wax_lot = tables.Lot.select().order_by(tables.Lot.id)
    assert (lam.on_hand, wax_lot.on_hand) == (0, 0)
