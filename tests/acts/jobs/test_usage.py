"""What a job used: planned against drawn, cost by lot, the air it cured in, who did what."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.jobs import need, usage
from cureyard_service.acts.jobs.usage import DidView, UsageView
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.stock import change_lot, draw, extend_lot, return_stock, reverse
from cureyard_service.acts.stock.lot import MoneyView
from cureyard_service.acts.yard import finding
from cureyard_service.store.stock import lots as shelf

from .. import by_hand
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H, heat, q

pytestmark = pytest.mark.usefixtures("books")
COST = {"amount": Decimal(50), "currency": "EUR"}


def used(now: int = NOW) -> UsageView:
    """The job's page."""
    return usage.usage(finding.job("D-7"), now)


def take(kind: Any, quantity: str, **facts: Any) -> dict[str, Any]:
    """A draw or a scrap for the job."""
    asked = {"product": "MICROS", "job": "D-7", "now": NOW, "hand": HAND} | facts
    return draw.draw(kind=kind, quantity=q(quantity), **asked)


def test_planned_against_drawn_and_wasted() -> None:
    """By hand: 5 kg for 50.00; 2 kg drawn and 1 kg spilt cost 20.00 and 10.00."""
    lot = yard.receive("MICROS", "5 kg", cost=COST)
    wanted = [{"product": "MICROS", "quantity": q("3 kg")}]
    need.add_needs(finding.job("D-7"), wanted=wanted, now=NOW, hand=HAND)
    take("draw", "2 kg")
    take("scrap", "1 kg", reason="spilt")
    undone = take("draw", "1 kg").movements[0].id
    reverse.reverse(reverses=undone, reason="typed wrong", now=NOW, hand=HAND)
    (row,) = used().products
    assert [amount[0] for amount in (row.planned, row.drawn, row.wasted)] == [
        3_000_000,
        2_000_000,
        1_000_000,
    ]
    (of_lot,) = used().lots
    assert (of_lot.id, of_lot.used[0], of_lot.cost.amount) == (lot.id, 3_000_000, 30)
    assert used().totals == [MoneyView(30, "EUR")]
    assert used().people == [DidView("Ines", False, did, 1) for did in ("drew", "scrapped")]


def test_what_came_back_is_no_use_below_nothing() -> None:
    """By hand: 10 m at 50.00 drawn, an end of 4 m back, 1 m of it drawn again; a sheet's 0.4."""
    roll = yard.receive("MAT", "10 m", cost=COST)
    yard.receive("PLY-4", "2 pieces")
    bag = yard.receive("MICROS", "5 kg")
    for lot, amount, back in ((roll, "10 m", "4 m"), (bag, "2 kg", "0.5 kg")):
        take("draw", amount, product=None, lot=lot.id)
        return_stock.return_stock(
            quantity=q(back), job="D-7", lot=lot.id, at=NOW + H, now=NOW + H, hand=HAND
        )
    take("draw", "1 piece", product="PLY-4")
    return_stock.return_stock(
        quantity=q("0.4 piece"), job="D-7", product="PLY-4", now=NOW, hand=HAND,
        size={"length": Decimal(960_000), "width": Decimal(1_200_000)},
    )  # fmt: skip
    (end,) = shelf.pieces_of(roll.id)
    take("draw", "1 m", product=None, lot=end.id, at=NOW + 2 * H, now=NOW + 2 * H)
    told = used(NOW + 3 * H)
    amounts = {(row.product, row.container): row.used[0] for row in told.lots}
    assert amounts == {
        ("MAT", "1"): 6_000_000, ("MAT", "1.1"): 1_000_000, ("PLY-4", "1"): 600,
        ("MICROS", "1"): 1_500_000,
    }  # fmt: skip
    assert [(r.product, r.container, r.quantity[0], r.offcut)
            for r in told.returned] == [
        ("MAT", "1.1", 4_000_000, True), ("MICROS", "1", 500_000, False),
        ("PLY-4", "1.1", 400, True),
    ]  # fmt: skip
    assert {row.id: row.cost and row.cost.amount for row in told.lots} == {
        roll.id: 30, end.id: 5, bag.id: None, bag.id - 1: None,
    }  # fmt: skip
    assert told.totals == [MoneyView(35, "EUR")]
    rolled = next(row for row in told.lots if row.id == roll.id)
    assert (rolled.used_from, rolled.used_until) == (NOW, NOW)
    by_product = {row.product: row.drawn[0] for row in told.products}
    assert by_product == {"MAT": 7_000_000, "MICROS": 1_500_000, "PLY-4": 1000}


def test_totals_are_per_currency_and_unknown_costs_are_told() -> None:
    """Nothing is converted, and a lot without a cost is in no total."""
    yard.receive("MICROS", "1 kg", cost=COST)
    yard.receive("WAX", "1 kg", cost={"amount": Decimal(8), "currency": "USD"})
    yard.receive("COBALT", "1 kg", number="C-1")
    for product in ("MICROS", "WAX", "COBALT"):
        take("draw", "1 kg", product=product)
    told = used()
    assert told.totals == [MoneyView(50, "EUR"), MoneyView(8, "USD")]
    assert told.warnings == ["Lot C-1 of COBALT has no cost: it is in no total."]


def test_the_air_that_a_layup_cured_in() -> None:
    """The shed stands at 20 °C by its pattern, so least, mean and most are that, assumed."""
    yard.stocked()
    laid = yard.laid(yard.pot().id)
    told = used(now=NOW + 3 * H)
    (row,) = told.layups
    cured = row.cured
    assert (row.id, cured.basis, cured.until) == (laid.id, "assumed", NOW + 3 * H)
    for kelvin in (cured.min, cured.mean, cured.max):
        assert kelvin == pytest.approx(293.15)
    assert [pot.who for pot in told.batches] == ["Ines"]
    assert {row.did for row in told.people} == {"mixed", "laid up"}
    assert used().layups[0].cured is None


def test_a_lot_is_judged_by_what_held_when_it_was_used() -> None:
    """Out of date by leave then, though extended since; opened later cut nothing short then."""
    drum = yard.receive("LAM", "20 kg", made_on=yard.day(-101), expires_on=yard.day(-1))
    yard.receive("PEROX", "1 kg")
    leave = {"reason": "a cup gelled in time"}
    take("draw", "1 kg", product=None, lot=drum.id, override=leave)
    (row,) = used().lots
    assert (row.in_date_then, row.good_until_then) == (False, yard.day(-1))
    assert [(o.slug, o.lot) for o in used().overrides] == [("expired-lot", drum.id)]
    cups = yard.cup(drum, finding.lot(2), "20 min", "21 min", now=NOW + H)
    extend_lot.extend_lot(
        finding.lot(drum.id), until_on=yard.day(5), reason="two cups", now=NOW + 2 * H, hand=HAND
    )  # fmt: skip
    change_lot.change_lot(finding.lot(drum.id), opened_on=yard.day(1), now=NOW + DAY, hand=HAND)
    (row,) = used(NOW + DAY).lots
    assert (row.in_date_then, row.good_until_then) == (False, yard.day(-1))
    assert row.expires_on == yard.day(5)
    assert [test.id for test in row.cup_tests] == [cups.id]


def test_a_pot_names_its_lots_its_factor_and_what_was_seen() -> None:
    """A cup of 22 min where the sheet has 20 makes its lot slower; 2 % of 1 kg is 20 g."""
    drum, bottle = yard.stocked()
    test = yard.cup(drum, bottle, "22 min")
    pot = finding.batch(yard.pot().id)
    observe_pot(pot, kind="gelled", at=NOW + 20 * MIN, now=NOW + H, hand=HAND)
    (row,) = used().batches
    assert (row.cup_test, row.catalyst) == (test.id, "PEROX")
    assert row.factor == pytest.approx(by_hand.factors(1.1)[0], abs=0.005)
    assert row.catalyst_mass == 20_000
    assert [(d.lot, d.quantity[0]) for d in row.draws] == [
        (drum.id, 1_000_000), (bottle.id, 20_000),
    ]  # fmt: skip
    assert [(seen.kind, seen.at) for seen in row.observations] == [("gelled", NOW + 20 * MIN)]


def test_a_pot_that_was_not_mixed_is_not_on_the_page() -> None:
    """Nor what it would have drawn."""
    yard.stocked()
    pot = finding.batch(yard.pot().id)
    observe_pot(pot, kind="not_mixed", now=NOW, hand=HAND)
    told = used()
    assert (told.batches, told.lots, told.people) == ([], [], [])


def test_how_much_of_a_cure_was_measured() -> None:
    """By hand: hourly readings over three of six hours are half of it."""
    yard.stocked()
    yard.laid(yard.pot().id)
    rows = [{"at": NOW + n * H, "temperature": heat("21 degC")} for n in range(4)]
    read_bay.read_bay(bay="SHED", readings=rows, now=NOW + 4 * H, hand=HAND)
    (row,) = used(NOW + 6 * H).layups
    assert (row.cured.basis, row.cured.measured_percent) == ("mixed", 50)


def test_how_humid_it_was_when_it_was_laid() -> None:
    """The last measured in its bay, as corrected; none from longer ago than the bay's gap."""
    yard.stocked()
    for hours, percent, more in (
        (-1, 55, {}), (-0.5, 80, {}), (-0.5, 62, {"replaces": True, "reason": "misread"}),
        (0.5, 90, {}),
    ):  # fmt: skip
        told = {"at": NOW + round(hours * H), "temperature": heat("20 degC"),
                "humidity_percent": Decimal(percent)}  # fmt: skip
        read_bay.read_bay(bay="SHED", readings=[told | more], now=NOW + H, hand=HAND)
    yard.laid(yard.pot().id)
    late = NOW + 6 * H
    yard.laid(yard.pot(now=late).id, now=late)
    yard.laid(yard.pot(now=late).id, now=late, bay="TENT")
    assert [row.humidity_percent for row in used(late).layups] == [62, None, None]


@pytest.mark.parametrize(
    ("hours", "stand", "wanted"),
    [(1, "before", "wait"), (5, "open", None), (22, "past", "grind to dull")],
)
def test_what_a_layer_was_laid_on(hours: float, stand: str, wanted: str | None) -> None:
    """Its window is 2 to 20 h: before, in it and past, and what that wanted first."""
    yard.stocked()
    lower = yard.laid(yard.pot().id)
    at = NOW + round(hours * H)
    upper = yard.laid(yard.pot(now=at).id, now=at, over=lower.id)
    bonds = {row.id: row.bond for row in used(at + H).layups}
    assert bonds[lower.id] is None
    bond = bonds[upper.id]
    assert (bond.layup, bond.stand, bond.sanded_at) == (lower.id, stand, None)
    assert (bond.wanted or [None])[-1] == wanted


def test_abrading_that_was_noted_stands_beside_the_layer_above() -> None:
    """Noted of the lower one, before the upper went on."""
    yard.stocked()
    lower = yard.laid(yard.pot().id)
    row = finding.layup(lower.id)
    observe_layup(row, kind="sanded", at=NOW + 24 * H, now=NOW + 25 * H, hand=HAND)
    upper = yard.laid(yard.pot(now=NOW + 26 * H).id, now=NOW + 26 * H, over=lower.id)
    bonds = {each.id: each.bond for each in used(NOW + 26 * H).layups}
    assert bonds[upper.id].sanded_at == NOW + 24 * H


def test_a_job_that_used_nothing() -> None:
    """An empty page is a page."""
    told = used()
    assert (told.products, told.lots, told.totals, told.overrides) == ([], [], [], [])
    assert (told.structural, told.state, told.authority) == ("no", "open", None)
    assert told.cautions == ["The maker's data and safety sheets rule."]
