"""Lots as text: what is free, and a last day that nobody gave."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from cureyard_client.rendering import now_all, products, stock
from cureyard_client.rendering.columns import View

VIEW = View(80, datetime(2026, 3, 4, 11, 20, tzinfo=UTC))


def lot(**facts: Any) -> dict[str, Any]:
    """A drum as the service shows it."""
    kept = {
        "id": 7, "product": "LAM-PE", "number": "B-2207", "container": "1", "state": "good",
        "on_hand": {"value": 10, "unit": "kg"}, "free": {"value": 10, "unit": "kg"},
        "reserved": {"value": 0, "unit": "kg"}, "expires_on": "2026-09-01",
        "expires_basis": "received_on",
        "expires_note": "assumed from receipt: read the date on the drum",
    }  # fmt: skip
    return kept | facts


def words(lines: list[str]) -> str:
    """Lines as one text, however they were broken."""
    return " ".join(" ".join(lines).split())


@pytest.mark.parametrize("width", [40, 80])
def test_an_assumed_day_is_said_to_be_one(width: int) -> None:
    """Where a lot is received or shown, in the list, and in what there is to do now."""
    view = View(width, VIEW.now)
    asked = "2026-09-01, assumed from receipt: read the date on the drum"
    assert asked in words(stock.shown(lot(), view))
    assert "2026-09-01 assumed" in words(stock.listed([lot()], view))
    now = {"order": [], "actions": [], "layups": [], "lots": {"undated": [lot()]}, "bays": []}
    told = now_all.shown(now, view)
    assert "Read the date on the drum" in told
    assert "2026-09-01, assumed from receipt" in words(told)
    assert "cureyard lot set LOT --expires-on DATE" in words(told)
    assert max(map(len, told)) <= width


def test_what_was_given_is_asked_no_more() -> None:
    """Neither marked nor in what there is to do."""
    given = lot(expires_basis="stated", expires_note=None)
    assert "assumed" not in words(stock.shown(given, VIEW) + stock.listed([given], VIEW))
    now = {"order": [], "actions": [], "layups": [], "lots": {"undated": []}, "bays": []}
    assert "drum" not in words(now_all.shown(now, VIEW))


def test_no_shelf_life_known() -> None:
    """It stands where the date would, and on the product in full."""
    endless = lot(expires_on=None, expires_basis="none", expires_note="no shelf life known")
    for lines in stock.shown(endless, VIEW), stock.listed([endless], VIEW):
        assert "no shelf life known" in words(lines)
    product = {"code": "X", "name": "x", "role": "resin", "warnings": ["No shelf life known: …"]}
    assert "! No shelf life known" in words(products.shown(product, VIEW))


@pytest.mark.parametrize("state", ["held", "expired"])
def test_nothing_is_free_of_what_may_not_be_drawn(state: str) -> None:
    """0 kg stands there, where an empty place would mean that all of it is."""
    shut = lot(state=state, free={"value": 0, "unit": "kg"})
    assert "free 0 kg" in words(stock.shown(shut, VIEW))
    assert "10 kg 0 kg" in words(stock.listed([shut], VIEW))
    assert "free" not in words(stock.shown(lot(), VIEW))


def test_who_gave_a_date() -> None:
    """As one of the things that happened to a lot."""
    event = {
        "kind": "dated", "at": "2026-03-04T10:00:00+00:00", "from_on": "2026-01-05",
        "until_on": "2026-09-01", "who": "Rui",
    }  # fmt: skip
    trace = {"lot": lot(), "events": [event], "jobs": [], "batches": [], "layups": [],
             "movements": [], "pieces": []}  # fmt: skip
    assert "made on 2026-01-05, good until 2026-09-01" in words(stock.traced(trace, VIEW))
