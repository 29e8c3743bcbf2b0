"""What a job used: planned against drawn, cost by lot, the air it cured in, who did what."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts import draw, finding, need, reverse, usage

from . import yard
from .yard import HAND, NOW, H, q

pytestmark = pytest.mark.usefixtures("books")
COST = {"amount": Decimal(50), "currency": "EUR"}


def used(now: int = NOW) -> dict[str, Any]:
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
    undone = take("draw", "1 kg")["movements"][0]["id"]
    reverse.reverse(reverses=undone, reason="typed wrong", now=NOW, hand=HAND)
    (row,) = used()["products"]
    assert [row[n][0] for n in ("planned", "drawn", "wasted")] == [3_000_000, 2_000_000, 1_000_000]
    (of_lot,) = used()["lots"]
    assert (of_lot["id"], of_lot["used"][0], of_lot["cost"]["amount"]) == (lot.id, 3_000_000, 30)
    assert used()["totals"] == [{"amount": 30, "currency": "EUR"}]
    assert used()["people"] == [
        {"who": "Ines", "did": "drew", "times": 1}, {"who": "Ines", "did": "scrapped", "times": 1},
    ]  # fmt: skip


def test_totals_are_per_currency_and_unknown_costs_are_told() -> None:
    """Nothing is converted, and a lot without a cost is in no total."""
    yard.receive("MICROS", "1 kg", cost=COST)
    yard.receive("WAX", "1 kg", cost={"amount": Decimal(8), "currency": "USD"})
    yard.receive("COBALT", "1 kg", number="C-1")
    for product in ("MICROS", "WAX", "COBALT"):
        take("draw", "1 kg", product=product)
    told = used()
    assert told["totals"] == [
        {"amount": 50, "currency": "EUR"}, {"amount": 8, "currency": "USD"},
    ]  # fmt: skip
    assert told["warnings"] == ["Lot C-1 of COBALT has no cost: it is in no total."]


def test_the_air_that_a_layup_cured_in() -> None:
    """The shed stands at 20 °C by its pattern, so least, mean and most are that, assumed."""
    yard.stocked()
    laid = yard.laid(yard.pot()["id"])
    told = used(now=NOW + 3 * H)
    (row,) = told["layups"]
    cured = row["cured"]
    assert (row["id"], cured["basis"], cured["until"]) == (laid["id"], "assumed", NOW + 3 * H)
    for name in ("min", "mean", "max"):
        assert cured[name] == pytest.approx(293.15)
    assert [pot["who"] for pot in told["batches"]] == ["Ines"]
    assert {row["did"] for row in told["people"]} == {"mixed", "laid up"}
    assert used()["layups"][0]["cured"] is None


def test_a_job_that_used_nothing() -> None:
    """An empty page is a page."""
    told = used()
    assert (told["products"], told["lots"], told["totals"], told["overrides"]) == ([], [], [], [])
