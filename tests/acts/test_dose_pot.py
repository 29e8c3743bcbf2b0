"""Dose a pot: of what, by which lot, with which partner, in which air; nothing is drawn."""

from __future__ import annotations

from datetime import time
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts import change_lot, dose_pot, finding
from cureyard_service.acts.add_product import add_product, change_product
from cureyard_service.acts.estimates import pots
from cureyard_service.acts.estimates.needed import Needed
from cureyard_service.acts.plan_chain import plan_chain
from cureyard_service.core import errors
from peewee import Database

from . import yard
from .yard import HAND, NOW, heat, q, span

pytestmark = pytest.mark.usefixtures("books")


def dose(resin: str = "LAM", amount: str = "1 kg", now: int = NOW, **facts: Any) -> dict[str, Any]:
    """A dose at 20 °C, of the laminating resin at 2 %, unless it is said otherwise."""
    asked: dict[str, Any] = {"temperature": heat("20 degC")} | facts
    if resin == "LAM" and "target_gel" not in asked:
        asked.setdefault("catalyst_percent", Decimal(2))
    known = {name: value for name, value in asked.items() if value is not None}
    return dose_pot.dose_pot(resin=resin, amount=q(amount), now=now, **known)


def two_partners() -> None:
    """The laminating resin's and the epoxy's sheets hold with two partners each."""
    for code, role in (("KP50", "catalyst"), ("FAST", "hardener")):
        add_product(code=code, name=code, role=role, now=NOW, hand=HAND)
    change_product(finding.product("LAM"), cure=[yard.sheet(partners=["PEROX", "KP50"])],
                   now=NOW, hand=HAND)  # fmt: skip
    epoxy = {
        "mix": {"kind": "two_part", "parts": [Decimal(100), Decimal(25)], "by": "mass"},
        "surface": "amine_blush", "partners": ["HARD", "FAST"],
        "gel_times": [yard.gel_time("20 degC", None, "40 min")],
        "milestones": {"recoat_opens": {"time": span("4 h")}},
    }  # fmt: skip
    change_product(finding.product("EPOX"), cure=[epoxy], now=NOW, hand=HAND)


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
    assert dose()["catalyst"]["product"] == "PEROX"
    two_partners()
    yard.receive("LAM", "5 kg")
    bottle = yard.receive("KP50", "1 kg")
    assert dose(catalyst="kp50")["catalyst"]["product"] == "KP50"
    assert yard.pot(catalyst="KP50")["catalyst_lot"] == bottle.id
    assert yard.laid(product="EPOX", catalyst="FAST")["catalyst"] == "FAST"


def test_a_sheet_that_names_no_partner_doses_nothing() -> None:
    """A catalysed resin whose sheet names no catalyst: the answer says to enter one."""
    change_product(finding.product("LAM"), cure=[yard.sheet(partners=[])], now=NOW, hand=HAND)
    with pytest.raises(errors.PartnerMissing, match="names none"):
        dose()


def test_several_sheets_want_the_partner_s_name_too() -> None:
    """A sheet for each catalyst is the same question as one sheet for both."""
    add_product(code="KP50", name="KP50", role="catalyst", now=NOW, hand=HAND)
    sheets = [yard.sheet(), yard.sheet(partners=["KP50"])]
    change_product(finding.product("LAM"), cure=sheets, now=NOW, hand=HAND)
    with pytest.raises(errors.PartnerMissing, match="several"):
        dose()


def test_needs_never_guess_a_partner() -> None:
    """An estimate is not refused for it: it lists the resin alone, and says whom to name."""
    two_partners()
    needed = Needed()
    needed.mix(finding.product("LAM"), 1_000_000)
    assert [need["product"] for need in needed.needs] == ["LAM"]
    assert "PEROX" in needed.cautions[0]
    assert "KP50" in needed.cautions[0]


def test_what_is_one_part_is_ready_to_use() -> None:
    """Nothing is weighed into it, and the refusal says so."""
    add_product(code="PUTTY", name="Putty", role="filler", now=NOW, hand=HAND, cure=[
        {"mix": {"kind": "one_part"}, "surface": "plain",
         "milestones": {"sandable": {"time": span("4 h")}}}
    ])  # fmt: skip
    with pytest.raises(errors.Invalid, match="ready to use"):
        dose("PUTTY")
    assert yard.laid(product="PUTTY")["catalyst"] is None


def test_a_dose_never_goes_by_a_held_lot_s_cup_test() -> None:
    """The slow drum would be poured first; held, it and its factor are left out."""
    bottle = yard.receive("PEROX", "1 kg")
    slow = yard.receive("LAM", "5 kg", made_on=yard.day(-100))
    yard.receive("LAM", "5 kg", made_on=yard.day(-10))
    test = yard.cup(slow, bottle, "24 min")
    assert dose()["basis"]["factor_basis"] == f"cup test {test['id']}"
    change_lot.change_lot(slow, held=True, reason="strings in it", now=NOW, hand=HAND)
    basis = dose()["basis"]
    assert (basis["factor"], basis["factor_basis"]) == (1.0, "assumed")


def weak_peroxide() -> None:
    """A sheet for 1 to 3 % of a 9 % peroxide, and beside that one another of 5 %."""
    for code, oxygen in (("KP90", 9), ("KP50", 5)):
        add_product(
            code=code, name=code, role="catalyst", active_oxygen_percent=Decimal(oxygen),
            peroxide_type="MEKP", now=NOW, hand=HAND,
        )  # fmt: skip
    cure = yard.sheet(
        partners=["KP90", "KP50"], active_oxygen_percent=Decimal(9), peroxide_type="MEKP"
    )
    change_product(finding.product("LAM"), cure=[cure], now=NOW, hand=HAND)


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
        assert "active oxygen" in refused.value.advice
    assert yard.contents(books) == before
    with pytest.raises(errors.PeroxideLimit) as refused:
        dose(**too_much)
    assert "KP90" in refused.value.advice
    assert dose(catalyst="KP50", catalyst_percent=Decimal("3.6"))["catalyst"]["mass"] == 36_000
    assert plan(product="LAM", catalyst="KP50", catalyst_percent=Decimal("3.6"))["steps"]


def test_what_was_laid_down_with_too_much_peroxide_is_recorded_and_said() -> None:
    """The part is wet already: the layup stands, with a warning."""
    laid = yard.laid(product="LAM", catalyst_percent=Decimal(5))
    assert any("over 4 %" in word for word in laid["warnings"])
    assert not any("over 4 %" in word for word in yard.laid(
        product="LAM", catalyst_percent=Decimal(4))["warnings"])  # fmt: skip


def test_two_parts_are_never_told_less_catalyst() -> None:
    """A hot day's epoxy gels in the stirring: the slower hardener is named, the faster is not."""
    for code in ("SLOW", "QUICK"):
        add_product(code=code, name=code, role="hardener", now=NOW, hand=HAND)
    sheets = [
        {
            "mix": {"kind": "two_part", "parts": [Decimal(100), Decimal(25)], "by": "mass"},
            "surface": "amine_blush", "partners": [code],
            "gel_times": [yard.gel_time("20 degC", None, gel)],
            "milestones": {"recoat_opens": {"time": span("4 h")}},
        }
        for code, gel in (("HARD", "8 min"), ("SLOW", "90 min"), ("QUICK", "4 min"))
    ]  # fmt: skip
    change_product(finding.product("EPOX"), cure=sheets, now=NOW, hand=HAND)
    hot = {"catalyst": "HARD", "temperature": heat("32 degC")}
    told = dose("EPOX", "0.4 kg", **hot)
    (word,) = [word for word in told["warnings"] if "while it is stirred" in word]
    with pytest.raises(errors.OutsideLimits) as refused:
        pots.run(resin="EPOX", **{**POTS, **hot})
    for said in (word, refused.value.advice):
        assert "a cooler hour, a smaller pot, or a slower hardener: SLOW" in said
        assert "QUICK" not in said
        assert "catalyst" not in said


def test_a_sheet_without_a_greatest_pot_goes_by_the_resin_s_chemistry() -> None:
    """1 kg of polyester, 0.5 kg of epoxy mix; refused beyond with how to enter the sheet's own."""
    change_product(finding.product("LAM"), cure=[yard.sheet(pot_max=None)], now=NOW, hand=HAND)
    assert dose("LAM", "1 kg")["amount"] == 1_000_000
    assert dose("EPOX", "0.4 kg")["amount"] == 400_000
    for resin, amount in (("LAM", "1.001 kg"), ("EPOX", "0.401 kg")):
        with pytest.raises(errors.OutsideLimits, match="assumed for") as refused:
            dose(resin, amount)
        assert "--pot-max" in refused.value.advice
    several = pots.run(resin="LAM", catalyst_percent=Decimal(2), **{**POTS, "amount": q("3 kg")})
    assert (several["count"], several["greatest_pot"]) == (3, 1_000_000)
    assert any("assumed for polyester" in word for word in several["warnings"])
