"""A peroxide is one whatever role it has: its life ends for good, and it stands apart."""

from __future__ import annotations

import pytest
from cureyard_service.acts.cure import gates
from cureyard_service.acts.pots.label import lot_label
from cureyard_service.acts.products import import_products
from cureyard_service.acts.products import product as add_product
from cureyard_service.acts.products.product import ProductView
from cureyard_service.acts.stock import draw, extend_lot
from cureyard_service.acts.stock.lot import show_lot
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.gates.judged import Judged
from cureyard_service.core.products import cautions
from cureyard_service.store import tables
from peewee import Database

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, q

PUTTY = makers.two_part_sheet(
    "BPO",
    mix={"kind": "two_part", "parts": [100, 2], "by": "mass"},
    surface="plain",
    gel_times=[makers.gel_time("20 degC", "5 min", None)],
    milestones={"sandable": "30 min"},
)


def product(code: str, role: str, **facts: object) -> ProductView:
    """A product added to the catalogue."""
    return add_product.add_product(code=code, name=code, role=role, now=NOW, hand=HAND, **facts)


@pytest.fixture(autouse=True)
def catalogue(books: Database) -> None:
    """A putty with its paste, a promoter sold as a filler, and acetone."""
    year = {"shelf_life": "365 d"}
    yard.add(products=[
        makers.hardener("BPO", chemistry="benzoyl_peroxide", **year),
        makers.product("PUTTY", "filler", chemistry="polyester", cure=PUTTY, **year),
        makers.product("QUICK", "filler", effects=["promotes"], **year),
        makers.product("WIPE", "sundry", chemistry="acetone"),
    ])  # fmt: skip


def apart() -> Judged:
    """The gate of what must stand apart."""
    judged = gates.judge(finding.job("D-7"), NOW)
    return next(each for each in judged if each.rule.gate == "stored-apart")


def test_the_paste_of_a_putty_ends_for_good(books: Database) -> None:
    """Type I: out of date it is not drawn by any override, nor mixed, nor extended."""
    assert add_product.show_product(finding.product("BPO")).life_type == "I"
    yard.receive("PUTTY", "5 kg", expires_on=yard.day(90))
    old = yard.receive("BPO", "100 g", expires_on=yard.day(-1))
    before = yard.contents(books)
    reason = {"reason": "it still smells right"}
    with pytest.raises(errors.ExpiredLot, match="out of date") as refused:
        draw.draw(kind="draw", lot=old.id, quantity=q("5 g"), job="D-7", now=NOW, hand=HAND,
                  override=reason)  # fmt: skip
    assert "dispose" in refused.value.advice
    with pytest.raises(errors.ExpiredLot):
        yard.pot("400 g", resin="PUTTY", catalyst="BPO", catalyst_lot=old.id, override=reason)
    with pytest.raises(errors.ExpiredLot, match="ends for good"):
        extend_lot.extend_lot(
            finding.lot(old.id), until_on=yard.day(20), reason="x", now=NOW, hand=HAND
        )
    assert yard.contents(books) == before


def test_a_store_from_before_is_judged_alike() -> None:
    """Type II in its rows, and extended in its history: it is a peroxide all the same."""
    tables.Product.update(life_type="II").where(tables.Product.code == "BPO").execute()
    old = yard.receive("BPO", "100 g", expires_on=yard.day(-1))
    tables.LotEvent.create(
        lot_id=old.id, kind="extended", at=NOW, from_on=yard.day(-1), until_on=yard.day(60),
        reason="cups", **HAND.signed(NOW),
    )  # fmt: skip
    told = show_lot(finding.lot(old.id), NOW)
    assert (told.state, told.expires_on) == ("expired", yard.day(-1))
    assert add_product.show_product(finding.product("BPO")).life_type == "I"


def test_nobody_makes_it_type_ii(books: Database) -> None:
    """Neither when it is entered nor later; what it says of itself comes in again."""
    before = yard.contents(books)
    for chemistry in ("benzoyl_peroxide", "isocyanate"):
        with pytest.raises(errors.Invalid) as refused:
            yard.add(products=[makers.hardener("X", chemistry=chemistry, life_type="II")])
        assert refused.value.pointer == "/life_type"
    with pytest.raises(errors.Invalid):
        add_product.change_product(finding.product("BPO"), life_type="II", now=NOW, hand=HAND)
    assert yard.contents(books) == before
    row = {"code": "BPO", "name": "BPO", "role": "hardener", "life_type": "I"}
    assert import_products.import_product(row, now=NOW, hand=HAND) is None


@pytest.mark.parametrize("enemy", ["COBALT", "QUICK", "WIPE"])
@pytest.mark.parametrize("peroxide", ["PEROX", "BPO"])
def test_it_stands_apart_from_what_it_fears(peroxide: str, enemy: str) -> None:
    """Promoter by role or by what it does, and acetone (TM 38-410): warned of, and a stop."""
    quantity = "2 pieces" if enemy == "WIPE" else "100 g"
    yard.receive(enemy, quantity, bay="BARN", expires_on=yard.day(90))
    lot = yard.receive(peroxide, "100 g", bay="SHED", expires_on=yard.day(90))
    assert apart().verdict == "pass"
    told = yard.change(lot, bay="BARN")
    assert ["never stored in one bay" in word for word in told.warnings] == [True]
    assert apart().verdict == "stop"
    assert "PEROXIDE" in lot_label(finding.lot(lot.id), NOW).caution


def test_peroxide_and_promoter_never_go_in_together(books: Database) -> None:
    """Into a putty by its ratio as into a resin by percent."""
    for name in ("PUTTY", "LAM", "EPOX"):
        yard.receive(name, "5 kg", expires_on=yard.day(90))
    for name in ("BPO", "PEROX", "QUICK", "HARD"):
        yard.receive(name, "1 kg", expires_on=yard.day(90))
    promoter = {"product": "QUICK", "quantity": q("1 g")}
    before = yard.contents(books)
    for resin, stirred in ("PUTTY", [promoter]), ("LAM", [promoter]):
        with pytest.raises(errors.Invalid, match="explode"):
            yard.pot("400 g", resin=resin, fillers=stirred)
    assert yard.contents(books) == before
    told = yard.pot("400 g", resin="PUTTY")
    assert set(cautions.PEROXIDE) <= set(told.cautions)


@pytest.mark.parametrize("resin", ["PUTTY", "LAM", "EPOX"])
@pytest.mark.parametrize("stirred", ["PEROX", "BPO", "HARD"])
def test_what_cures_is_no_filler(books: Database, resin: str, stirred: str) -> None:
    """A peroxide stirred in passes every limit of the dose, and into an amine it burns."""
    for name in ("PUTTY", "LAM", "EPOX"):
        yard.receive(name, "5 kg", expires_on=yard.day(90))
    for name in ("BPO", "PEROX", "HARD"):
        yard.receive(name, "1 kg", expires_on=yard.day(90))
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="never as a filler"):
        yard.pot("400 g", resin=resin, fillers=[{"product": stirred, "quantity": q("100 g")}])
    assert yard.contents(books) == before
