"""Stalled in the cold: it ends with heat and a check, and the clock runs on from there.

A layup in a barn that keeps 4 °C, where the sheet's clock stands still under 8 °C: after twelve
hours it is stalled.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import watch
from cureyard_service.acts.cure.change_layup import change_layup
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.wall import now as what_now
from cureyard_service.acts.yard import finding
from cureyard_service.core.words import shown

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, H

pytestmark = pytest.mark.usefixtures("books")


def laid(bay: str = "BARN") -> int:
    """A layup under film, just laid."""
    told = yard.laid(product="LAM", catalyst_percent=Decimal(2), bay=bay, cover="film")
    return int(told.id)


def look(layup: int, hours: float) -> LayupView:
    """As it stands so many hours on."""
    return show_layup(watch.watch(finding.layup(layup), int(NOW + hours * H)))


def carry(layup: int, bay: str, hours: float) -> None:
    """To another bay."""
    at = int(NOW + hours * H)
    change_layup(finding.layup(layup), bay=bay, now=at, hand=HAND)


def felt(layup: int, kind: str, hours: float, **seen: Any) -> LayupView:
    """What a hand saw of it so many hours on."""
    at = int(NOW + hours * H)
    return observe_layup(finding.layup(layup), kind=kind, now=at, hand=HAND, **seen)


def promised(told: LayupView) -> bool:
    """Whether its milestones are given again."""
    found = told.milestones
    return all(each.at is not None for each in (found.recoat_opens, found.sandable))


def words(layup: int, hours: float) -> str:
    """What 'now' says of it."""
    at = int(NOW + hours * H)
    (action,) = [a for a in what_now.what_now(at).actions if a.layup == layup]
    return shown(action.text, "metric")


@pytest.mark.parametrize(
    ("kind", "seen"), [("hardness", {"value": 30}), ("thumbnail", {}), ("solvent_wipe", {})]
)
def test_heat_and_a_check_end_it(kind: str, seen: dict[str, Any]) -> None:
    """Carried to a warm bay and checked there: it promises again, and says why."""
    layup = laid()
    assert "cold_stalled" in look(layup, 20).state
    carry(layup, "TENT", 20)
    warm = look(layup, 23)
    assert ("cold_stalled" in warm.state, promised(warm)) == (True, False)
    told = felt(layup, kind, 24, **seen)
    assert ("cold_stalled" in told.state, promised(told)) == (False, True)
    assert any("its clock runs on" in word for word in told.warnings)
    assert {"gelled", "sandable"} <= set(told.state)
    assert "Stalled" not in words(layup, 24.1)


def test_hard_in_the_cold_it_is_stalled_still() -> None:
    """Resin may be stiff with cold alone: a check there counts for nothing until it is warm."""
    layup = laid()
    told = felt(layup, "thumbnail", 20)
    assert {"cold_stalled", "sandable"} <= set(told.state)
    assert words(layup, 20.1).startswith("Stalled cold")
    carry(layup, "TENT", 21)
    assert "cold_stalled" in look(layup, 24).state
    assert "cold_stalled" not in felt(layup, "thumbnail", 25).state


@pytest.mark.parametrize(("celsius", "stalled"), [(5, True), (21, False)])
def test_the_bays_readings_are_heat_on_record(celsius: int, stalled: bool) -> None:
    """Heated where it lay: its thermometer counts, not what the barn is taken for."""
    layup = laid()
    heated = [
        {"at": int(NOW + hours * H), "temperature": yard.heat(f"{celsius} degC")}
        for hours in (20, 21, 22, 23, 24)
    ]
    read_bay.read_bay(bay="BARN", readings=heated, now=NOW + 24 * H, hand=HAND)
    assert ("cold_stalled" in felt(layup, "solvent_wipe", 24).state) is stalled


def test_until_then_it_never_says_wet() -> None:
    """Whatever hands say of it meanwhile, but that it is late."""
    layup = laid()
    for hours, kind in ((13, "blush"), (15, "not_gelled"), (17, "gelled"), (19, "no_transfer")):
        told = felt(layup, kind, hours)
        assert not {"wet", "gelling", "recoat_open"} & set(told.state), kind
        assert words(layup, hours).startswith("Stalled cold"), kind
        assert told.window is None


@pytest.mark.parametrize(("until", "opens"), [("11:15", None), ("12:15", 15 * H)])
def test_a_glove_in_a_stall_shows_no_earlier_opening(until: str, opens: float | None) -> None:
    """Warm until 11:15 it can't have opened; until 12:15 it may have: from the look on, it has.

    Its clock stands still from then on, so by the clock it opened while it was warm or never.
    """
    yard.add(bays=[makers.bay("COOL", "20 degC", "4 degC", day_until=until)])
    found = felt(laid("COOL"), "no_transfer", 15)
    assert "cold_stalled" in found.state
    told = found.milestones.recoat_opens
    assert told.at == (None if opens is None else NOW + opens)
    assert (told.basis, told.why) == (
        (None, "cold-stalled") if opens is None else ("observed", None)
    )
    before = felt(laid("COOL"), "no_transfer", 5).milestones.recoat_opens
    assert before.basis == "observed"
    assert before.at < NOW + 5 * H


@pytest.mark.parametrize(("hours", "suspect"), [(10, False), (16, True)])
def test_a_gel_felt_in_a_stall_does_not_end_suspicion(hours: float, suspect: bool) -> None:
    """Wet at 1.7 h, over twice its latest; in the cold from 2.5 h on, it stalls at 14.5."""
    yard.add(bays=[makers.bay("COOL", "20 degC", "4 degC", day_until="12:15")])
    layup = laid("COOL")
    assert "suspect" in felt(layup, "not_gelled", 1.7).state
    assert ("suspect" in felt(layup, "gelled", hours).state) is suspect


def test_found_wet_after_the_check_it_is_stalled_again() -> None:
    """The latest word counts."""
    layup = laid()
    carry(layup, "TENT", 20)
    felt(layup, "thumbnail", 24)
    assert "cold_stalled" in felt(layup, "not_gelled", 25).state


def test_hard_before_its_time_in_the_cold_ran_out() -> None:
    """It never stalls: it was hard by then."""
    layup = laid("TENT")
    felt(layup, "thumbnail", 3)
    carry(layup, "BARN", 4)
    told = look(layup, 30)
    assert "cold_stalled" not in told.state
    assert not any("runs on" in word for word in told.warnings)


def test_the_clock_stands_in_the_cold_and_runs_on_in_the_warm() -> None:
    """Its hours are those in the warm alone, before the cold and after it."""
    whole, broken = laid("TENT"), laid("TENT")
    opens = felt(whole, "hardness", 3, value=20).milestones.recoat_opens.at - NOW
    carry(broken, "BARN", 0.5)
    carry(broken, "TENT", 20.5)
    told = felt(broken, "hardness", 23, value=20)
    found = told.milestones.recoat_opens
    assert found.at - NOW == pytest.approx(opens + 20 * H, abs=60)


def test_a_hard_word_in_the_cold_long_before_its_time_lifts_no_stop() -> None:
    """Fewer than one in a thousand is hard by then: it may be stiff from cold alone."""
    layup = laid()
    assert "cold_stalled" in look(layup, 14).state
    felt(layup, "thumbnail", 1)
    assert "cold_stalled" in look(layup, 14).state
