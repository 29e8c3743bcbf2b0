"""Dose a pot: of what, by which lot, with which partner, in which air; nothing is drawn."""

from __future__ import annotations

import re
from datetime import time
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import bay as add_bay
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure.change_layup import change_layup
from cureyard_service.acts.estimates import pots
from cureyard_service.acts.estimates.needed import NeedList
from cureyard_service.acts.plan.chain import plan_chain
from cureyard_service.acts.pots.card import show_card
from cureyard_service.acts.pots.dose import DoseView, dose_pot
from cureyard_service.acts.stock import change_lot
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.words import shown
from peewee import Database

from ... import makers
from .. import by_hand
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H, heat, q, span

pytestmark = pytest.mark.usefixtures("books")


def dose(resin: str = "LAM", amount: str = "1 kg", now: int = NOW, **facts: Any) -> DoseView:
    """A dose at 20 °C, of the laminating resin at 2 %, unless it is said otherwise."""
    asked: dict[str, Any] = {"temperature": heat("20 degC")} | facts
    if resin == "LAM" and "target_gel" not in asked:
        asked.setdefault("catalyst_percent", Decimal(2))
    known = {name: value for name, value in asked.items() if value is not None}
    return dose_pot(resin=resin, amount=q(amount), now=now, **known)


def two_partners() -> None:
    """The laminating resin's and the epoxy's sheets hold with two partners each."""
    for code, role in (("KP50", "catalyst"), ("FAST", "hardener")):
        yard.add(products=[makers.product(code, role)])
    yard.revise("LAM", makers.sheet("PEROX", "KP50"))
    yard.revise("EPOX", makers.two_part_sheet("HARD", "FAST"))


HOURS = {"days": ["fri"], "begin": time(8), "finish": time(17)}
PLY = {"kind": "cure", "title": "Ply", "work": span("1 h")}
POTS = {"amount": q("1 kg"), "now": NOW, "spread": q("1 kg"), "spread_time": span("6 min"),
        "temperature": heat("20 degC")}  # fmt: skip


def plan(**step: Any) -> Any:
    """The plan of one step."""
    return plan_chain(now=NOW, bay="SHED", hours=HOURS, steps=[{**PLY, **step}])


ASKED: dict[str, Any] = {
    "dose": lambda: dose(),
    "dose of two parts": lambda: dose("EPOX", "0.4 kg"),
    "pot": lambda: yard.pot(),
    "pot of two parts": lambda: yard.pot("0.4 kg", resin="EPOX"),
    "layup": lambda: yard.laid(product="LAM", catalyst_percent=Decimal(2)),
    "layup of two parts": lambda: yard.laid(product="EPOX"),
    "plan": lambda: plan(product="LAM", catalyst_percent=Decimal(2)),
    "plan of two parts": lambda: plan(product="EPOX"),
    "pots": lambda: pots.run(resin="LAM", catalyst_percent=Decimal(2), **POTS),
    "pots of two parts": lambda: pots.run(resin="EPOX", **POTS),
}


@pytest.mark.parametrize("asked", ASKED)
def test_of_several_partners_one_must_be_named(books: Database, asked: str) -> None:
    """Never a pot without its catalyst: it would not cure. What was asked changes nothing."""
    two_partners()
    for product in ("LAM", "EPOX", "PEROX", "KP50", "HARD", "FAST"):
        yard.receive(product, "5 kg")
    before = yard.contents(books)
    with pytest.raises(errors.PartnerMissing) as refused:
        ASKED[asked]()
    names = ("HARD", "FAST") if "two parts" in asked else ("PEROX", "KP50")
    assert all(name in refused.value.advice for name in names)
    assert refused.value.pointer.endswith("/catalyst")
    assert refused.value.fields == {"partners": list(names)}
    assert yard.contents(books) == before


def test_a_named_partner_is_taken_and_the_only_one_by_itself() -> None:
    """One partner needs no name; of two the named one is weighed and drawn."""
    assert dose().catalyst.product == "PEROX"
    two_partners()
    yard.receive("LAM", "5 kg")
    bottle = yard.receive("KP50", "1 kg")
    assert dose(catalyst="kp50").catalyst.product == "KP50"
    assert yard.pot(catalyst="KP50").catalyst_lot == bottle.id
    assert yard.laid(product="EPOX", catalyst="FAST").catalyst == "FAST"


def test_a_sheet_that_names_no_partner_doses_nothing() -> None:
    """A catalysed resin whose sheet names no catalyst: the answer says to enter one.

    What was mixed elsewhere and laid up is recorded, and planned with: nothing can be mistaken.
    """
    yard.revise("LAM", makers.sheet(**{"with": []}))
    with pytest.raises(errors.PartnerMissing, match="names none"):
        dose()
    assert yard.laid(product="LAM", catalyst_percent=Decimal(2)).catalyst is None
    assert plan(product="LAM", catalyst_percent=Decimal(2)).steps


def test_several_sheets_want_the_partner_s_name_too() -> None:
    """A sheet for each catalyst is the same question as one sheet for both."""
    yard.add(products=[makers.catalyst("KP50")])
    yard.revise("LAM", makers.sheet(), makers.sheet("KP50"))
    with pytest.raises(errors.PartnerMissing, match="several"):
        dose()


def test_needs_never_guess_a_partner() -> None:
    """An estimate is not refused for it: it lists the resin alone, and says whom to name."""
    two_partners()
    needed = NeedList()
    needed.mix(finding.product("LAM"), 1_000_000)
    assert [need.product for need in needed.needs] == ["LAM"]
    assert "PEROX" in needed.cautions[0]
    assert "KP50" in needed.cautions[0]


def test_what_is_one_part_is_ready_to_use() -> None:
    """Nothing is weighed into it, and the refusal says so."""
    ready = makers.one_part_sheet(milestones={"sandable": "4 h"})
    yard.add(products=[makers.product("PUTTY", "filler", cure=ready)])
    with pytest.raises(errors.Invalid, match="ready to use"):
        dose("PUTTY")
    assert yard.laid(product="PUTTY").catalyst is None


def test_a_dose_never_goes_by_a_held_lot_s_cup_test() -> None:
    """The slow drum would be poured first; held, it and its factor are left out.

    What its cup said of the pair stays: the next drum is taken to be a little slower as well.
    """
    bottle = yard.receive("PEROX", "1 kg")
    slow = yard.receive("LAM", "5 kg", made_on=yard.day(-100))
    yard.receive("LAM", "5 kg", made_on=yard.day(-10))
    test = yard.cup(slow, bottle, "24 min")
    assert dose().basis.factor_basis == f"cup test {test.id}"
    change_lot.change_lot(slow, held=True, reason="strings in it", now=NOW, hand=HAND)
    basis = dose().basis
    assert basis.factor_basis == "other cups of the pair"
    assert basis.factor == pytest.approx(by_hand.factors(24 / 20, others=1)[1], rel=0.01)


def weak_peroxide() -> None:
    """A sheet for 1 to 3 % of a 9 % peroxide, and beside that one another of 5 %."""
    for code, oxygen in (("KP90", 9), ("KP50", 5)):
        weak = makers.catalyst(code, active_oxygen_percent=oxygen, peroxide_type="MEKP")
        yard.add(products=[weak])
    yard.revise("LAM", makers.sheet("KP90", "KP50", active_oxygen_percent=9, peroxide_type="MEKP"))


def test_a_weak_peroxide_never_passes_4_percent(books: Database) -> None:
    """2.5 % of 9 % would be 4.5 % of 5 %: refused by dose, pot, plan and pots, naming the other."""
    weak_peroxide()
    for product in ("LAM", "KP50"):
        yard.receive(product, "5 kg")
    before = yard.contents(books)
    too_much = {"catalyst": "KP50", "catalyst_percent": Decimal("4.5")}
    for asked in (
        lambda: dose(**too_much),
        lambda: dose(catalyst="KP50", target_gel=span("15 min")),
        lambda: yard.pot(**too_much),
        lambda: plan(product="LAM", **too_much),
        lambda: pots.run(resin="LAM", **too_much, **POTS),
    ):
        with pytest.raises(errors.PeroxideLimit) as refused:
            asked()
        assert "active oxygen" in shown(refused.value.advice, "metric")
    assert yard.contents(books) == before
    with pytest.raises(errors.PeroxideLimit) as refused:
        dose(**too_much)
    assert "KP90" in shown(refused.value.advice, "metric")
    assert dose(catalyst="KP50", catalyst_percent=Decimal("3.6")).catalyst.mass == 36_000
    assert plan(product="LAM", catalyst="KP50", catalyst_percent=Decimal("3.6")).steps


def test_what_was_laid_down_with_too_much_peroxide_is_recorded_and_said() -> None:
    """The part is wet already: the layup stands, with a warning."""
    laid = yard.laid(product="LAM", catalyst_percent=Decimal(5))
    assert any("over 4 %" in word for word in laid.warnings)
    assert not any("over 4 %" in word for word in yard.laid(
        product="LAM", catalyst_percent=Decimal(4)).warnings)  # fmt: skip


def test_two_parts_are_never_told_less_catalyst() -> None:
    """A hot day's epoxy gels in the stirring: the slower hardener is named, the faster is not."""
    yard.add(products=[makers.hardener("SLOW"), makers.hardener("QUICK")])
    sheets = [
        makers.two_part_sheet(code, gel_times=[makers.gel_time("20 degC", gel, None)])
        for code, gel in (("HARD", "8 min"), ("SLOW", "90 min"), ("QUICK", "4 min"))
    ]
    yard.revise("EPOX", *sheets)
    hot = {"catalyst": "HARD", "temperature": heat("32 degC")}
    told = dose("EPOX", "0.4 kg", **hot)
    (word,) = [word for word in told.warnings if "while it is stirred" in word]
    with pytest.raises(errors.OutsideLimits) as refused:
        pots.run(resin="EPOX", **{**POTS, **hot})
    for said in (word, refused.value.advice):
        assert "a cooler hour, a smaller pot, or a slower hardener: SLOW" in said
        assert "QUICK" not in said
        assert "catalyst" not in said


def test_a_sheet_without_a_greatest_pot_goes_by_the_resin_s_chemistry() -> None:
    """1 kg of polyester, 0.5 kg of epoxy mix; refused beyond with how to enter the sheet's own."""
    yard.revise("LAM", makers.sheet(pot_max=None))
    assert dose("LAM", "1 kg").amount == 1_000_000
    assert dose("EPOX", "0.4 kg").amount == 400_000
    for resin, amount in (("LAM", "1.001 kg"), ("EPOX", "0.401 kg")):
        with pytest.raises(errors.OutsideLimits, match="assumed for") as refused:
            dose(resin, amount)
        assert "'pot_max'" in shown(refused.value.advice, "metric")
    several = pots.run(resin="LAM", catalyst_percent=Decimal(2), **{**POTS, "amount": q("3 kg")})
    assert (several.count, several.greatest_pot) == (3, 1_000_000)
    assert any("assumed for polyester" in shown(word, "metric") for word in several.warnings)


def cold_shed(night: str = "4 degC") -> None:
    """The shed's nights go under the resin's 8 °C, from 19:00 on."""
    add_bay.change_bay(finding.bay("SHED"), night=heat(night), now=NOW - DAY, hand=HAND)


EVENING = NOW + 6 * H
"""15:46: the part is not hard by night."""


def test_the_resin_doses_and_the_bay_looks_ahead() -> None:
    """Both given: the dose is that of the resin's own 20 °C, and the night is told all the same."""
    cold_shed()
    alone = dose(now=EVENING)
    told = dose(now=EVENING, bay="SHED")
    assert (told.catalyst, told.gel) == (alone.catalyst, alone.gel)
    assert told.basis.temperature_basis == "given"
    assert told.basis.air.bay == "SHED"
    words = [shown(word, "metric") for word in told.warnings]
    assert not any("stands in" in word for word in words)
    (word,) = [word for word in words if "may go under" in word]
    assert word.startswith("SHED may go under 8 °C from Fri 19:00")


def test_heat_is_named_with_the_bay_s_uncertainty_and_until_when() -> None:
    """8 °C is the floor and a night to come known to 3 K: hold 11 °C, and until when."""
    cold_shed()
    words = [shown(word, "metric") for word in dose(now=EVENING, bay="SHED").warnings]
    (word,) = [word for word in words if "may go under" in word]
    assert re.search(r"hold at least 11 °C until \w{3} \d\d:\d\d\.$", word)
    assert "at least 8" not in word


def test_a_dose_without_a_bay_asks_for_it() -> None:
    """Three bays, and none is named: the night is looked at in none, and the answer says so."""
    told = dose(now=EVENING)
    assert told.basis.air is None
    assert any("name the bay as well" in word for word in told.advice)
    assert not any("name the bay" in word for word in dose(bay="SHED").advice)
    assert not any("name the bay" in word for word in dose("EPOX", "0.4 kg").advice)


def test_the_chance_of_a_cold_night_is_told_and_kept_on_the_card() -> None:
    """8 °C is the floor, and 9 °C known to 3 K: (8 - 9 + 3) / 6 is a third."""
    yard.stocked()
    assert dose(bay="SHED").night is None
    cold_shed("9 degC")
    told = yard.pot(now=EVENING, bay="SHED")
    assert told.night is not None
    assert told.night.chance_percent == pytest.approx(100 / 3, abs=0.1)
    assert told.night.floor == pytest.approx(273.15 + 8)
    assert any("(chance: 33 %)" in shown(word, "metric") for word in told.warnings)
    assert show_card(finding.batch(told.id)).night == told.night


def test_a_job_whose_layups_lie_in_one_bay_has_its_night_looked_at() -> None:
    """The bay is taken and said; carried apart or covered, no bay is known any more."""
    cold_shed()
    yard.receive("LAM", "20 kg")
    yard.receive("PEROX", "1 kg")

    def told() -> tuple[str | None, bool, bool]:
        card = yard.pot(now=EVENING)
        air = card.basis.air
        return (
            air and air.bay,
            any("job D-7 lies there" in word for word in card.advice),
            any("may go under" in shown(word, "metric") for word in card.warnings),
        )

    assert told() == (None, False, False)
    first = yard.laid(product="LAM", catalyst_percent=Decimal(2), bay="TENT")
    assert told() == ("TENT", True, False)
    change_layup(finding.layup(first.id), bay="SHED", now=NOW, hand=HAND)
    assert told() == ("SHED", True, True)
    yard.laid(product="LAM", catalyst_percent=Decimal(2), bay="TENT")
    assert told() == (None, False, False)


def test_what_was_read_and_what_is_taken_are_both_told() -> None:
    """16.6 °C at 09:10, the pattern 12 °C: 35 min later it is on its way there, and assumed."""
    cold_barn_read()
    told = dose(temperature=None, bay="BARN", now=NOW, catalyst_percent=Decimal(2))
    air = told.basis.air
    assert (air.basis, air.read.at) == ("assumed", NOW - 35 * MIN)
    assert air.temperature < air.read.temperature == pytest.approx(289.75)
    words = [shown(word, "metric") for word in told.warnings]
    (word,) = [word for word in words if "stands in" in word]
    assert "BARN read 16.6 °C at 09:11, taken to be 12.9 °C now" in word


def test_a_refusal_by_an_assumed_temperature_says_to_read_the_bay() -> None:
    """An hour on it is taken to be too cold, which nobody measured; a reading settles it."""
    cold_barn_read()
    with pytest.raises(errors.TooCold) as refused:
        dose(temperature=None, bay="BARN", now=NOW + 30 * MIN)
    said = shown(refused.value.detail, "metric")
    assert "The temperature was not measured: BARN read 16.6 °C at 09:11, taken to be" in said
    assert "Read the bay and enter its 'readings'" in shown(refused.value.advice, "metric")
    with pytest.raises(errors.TooCold) as refused:
        dose(temperature=heat("9 degC"), bay="BARN")
    assert "was not measured" not in shown(refused.value.detail, "metric")
    reading = {"at": NOW + 30 * MIN, "temperature": heat("9 degC")}
    read_bay.read_bay(bay="BARN", readings=[reading], now=NOW + 30 * MIN, hand=HAND)
    with pytest.raises(errors.TooCold) as refused:
        dose(temperature=None, bay="BARN", now=NOW + 30 * MIN)
    assert "was not measured" not in shown(refused.value.detail, "metric")
    # Its 12 °C, the shed's 2 K and the 3 K that a resin may be from its air: √(2² + 3²) = 3.6.
    assert "at least 16 °C" in shown(refused.value.advice, "metric")


def cold_barn_read() -> None:
    """The barn, 4 °C by its pattern, was read at 16.6 °C 35 min ago."""
    reading = {"at": NOW - 35 * MIN, "temperature": heat("16.6 degC")}
    read_bay.read_bay(bay="BARN", readings=[reading], now=NOW, hand=HAND)


def test_pots_look_ahead_too() -> None:
    """The last pot of a run is the last to be hard: its night is told, by the bay or beside it."""
    cold_shed()
    asked = {**POTS, "now": EVENING, "resin": "LAM", "catalyst_percent": Decimal(2), "bay": "SHED"}
    for known in (asked, {**asked, "temperature": None}):
        told = pots.run(**known)
        assert any("may go under" in shown(word, "metric") for word in told.warnings)
    assert {pot.temperature for pot in pots.run(**asked).pots} == {293.15}
