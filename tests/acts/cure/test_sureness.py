"""How sure a yard wants to be: the edges of every band go by it, the likely moments do not."""

from __future__ import annotations

from decimal import Decimal
from math import exp

import pytest
from cureyard_service.acts.cure import watch
from cureyard_service.acts.cure.budget import BudgetView, budget_of
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.pots.dose import dose_pot
from cureyard_service.acts.yard import finding
from cureyard_service.acts.yard.settings import change_yard

from .. import by_hand
from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")

AHEAD_K = 3.0
"""How well the air to come is known of a bay without a log, K."""


def look(layup: int) -> LayupView:
    """A layup as it stands."""
    return show_layup(watch.watch(finding.layup(layup), NOW))


def ready() -> int:
    """A layup at 2 % that needs no stock; its id."""
    return int(yard.laid(product="LAM", catalyst_percent=Decimal(2)).id)


def wants(sureness: int) -> None:
    """The yard wants to be so sure."""
    change_yard(sureness=sureness, now=NOW, hand=HAND)


@pytest.mark.parametrize("sureness", [90, 95, 99])
def test_edges_by_hand(sureness: int) -> None:
    """Gel, opening and closing in a bay that keeps 20 °C: all parts of the budget in quadrature."""
    wants(sureness)
    found = look(ready()).milestones
    for name, middle, later in (
        ("gel", 20 * MIN, False), ("recoat_opens", 2 * H, True), ("recoat_closes", 20 * H, True),
    ):  # fmt: skip
        told = found.by_name()[name]
        wide = exp(by_hand.EDGES[sureness] * by_hand.spread(AHEAD_K, later=later))
        assert told.at - NOW == pytest.approx(middle, rel=0.005)
        assert told.earliest - NOW == pytest.approx(middle / wide, rel=0.02)
        assert told.latest - NOW == pytest.approx(middle * wide, rel=0.02)


def test_who_wants_to_be_surer_has_less_of_a_window() -> None:
    """The sure window shrinks from both ends; the one for a hand's touch stays."""
    layup = ready()
    windows = []
    for sureness in (90, 95, 99):
        wants(sureness)
        told = look(layup)
        assert told.window is not None
        assert told.touch_window is not None
        windows.append((told.window, told.touch_window))
    (wide, touch), (usual, _), (narrow, same) = windows
    assert wide.opens < usual.opens < narrow.opens < narrow.closes < usual.closes < wide.closes
    assert touch == same
    assert touch.opens < narrow.opens
    assert narrow.closes < touch.closes


def test_a_pot_goes_by_it_too() -> None:
    """Less working time at worst; as much as before is likely."""
    asked = {
        "resin": "LAM", "amount": yard.q("1 kg"), "temperature": yard.heat("20 degC"),
        "catalyst_percent": Decimal(2), "mixing": Decimal(3 * MIN), "now": NOW,
    }  # fmt: skip
    told = dose_pot(**asked)
    assert told.working_time is not None
    assert told.working_time.at_worst == pytest.approx(0.6 * told.gel.earliest - 3 * MIN)
    assert told.working_time.likely == pytest.approx(0.6 * told.gel.time - 3 * MIN)
    wants(99)
    surer = dose_pot(**asked)
    assert surer.working_time is not None
    assert surer.working_time.at_worst < told.working_time.at_worst - MIN / 2
    assert surer.working_time.likely == pytest.approx(told.working_time.likely)


def budget(layup: int) -> dict[str, BudgetView]:
    """Why each moment of a layup is so unsure."""
    return {each.of: each for each in budget_of(watch.watch(finding.layup(layup), NOW))}


def test_the_shares_of_an_opening_by_hand() -> None:
    """Temperature and the stage itself are most of it; all shares are the whole."""
    yard.stocked()
    found = budget(yard.laid(yard.pot().id).id)
    assert set(found) == {"gel", "recoat_opens", "recoat_closes"}
    whole = by_hand.spread(AHEAD_K) ** 2
    heat = by_hand.A_KELVIN * AHEAD_K / 3**0.5
    shares = {each.part: each.percent for each in found["recoat_opens"].shares}
    for part, u in (
        ("temperature", heat), ("stage", by_hand.LATER), ("pair", by_hand.PAIR),
        ("lot", by_hand.LOT), ("pot", by_hand.POT),
    ):  # fmt: skip
        assert shares[part] == pytest.approx(100 * u**2 / whole, abs=3)
    for each in found.values():
        assert sum(share.percent for share in each.shares) == pytest.approx(100, abs=0.5)
        assert [s.percent for s in each.shares] == sorted(
            (s.percent for s in each.shares), reverse=True
        )
    assert "stage" not in {each.part for each in found["gel"].shares}


def test_what_would_help() -> None:
    """A checked thermometer and a cup test; one more cup of a lot that had two does little."""
    drum, bottle = yard.stocked()
    layup = yard.laid(yard.pot().id).id
    found = budget(layup)
    assert [each.measure for each in found["recoat_opens"].would_help] == ["temperature", "cup"]
    assert {each.measure for each in found["gel"].would_help} == {"temperature", "cup"}
    helps = {each.measure: each.percent for each in found["gel"].would_help}
    whole, checked = by_hand.spread(AHEAD_K, later=False), by_hand.spread(1.0, later=False)
    assert helps["temperature"] == pytest.approx(100 * (1 - checked / whole), abs=2)
    stated = budget(ready())["gel"]  # of no lot that could be tested
    assert [each.measure for each in stated.would_help] == ["temperature"]
    yard.cup(drum, bottle, "20 min", "20 min")
    tested = budget(yard.laid(yard.pot().id).id)["gel"]
    assert [each.measure for each in tested.would_help] == ["temperature"]


def test_a_pot_says_why_when_it_is_asked() -> None:
    """Where nobody asks it costs nothing; a resin that is measured well gains by a cup."""
    drum, _ = yard.stocked()
    asked = {
        "resin": "LAM", "amount": yard.q("1 kg"), "temperature": yard.heat("20 degC"),
        "catalyst_percent": Decimal(2), "now": NOW,
    }  # fmt: skip
    assert dose_pot(**asked).budget is None
    told = dose_pot(**asked, budget=True).budget
    assert told is not None
    assert told.of == "gel"
    assert sum(each.percent for each in told.shares) == pytest.approx(100, abs=0.5)
    assert {"temperature", "pair", "lot", "pot"} <= {each.part for each in told.shares}
    assert finding.lot(drum.id).on_hand == drum.on_hand
