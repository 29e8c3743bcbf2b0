"""Mix a pot: dosed, drawn and recorded in one transaction, or nothing of it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.pots.card import show_batch, show_card
from cureyard_service.acts.pots.lists import list_batches
from cureyard_service.acts.stock import change_lot
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store import products as catalogue
from cureyard_service.store import tables
from peewee import Database

from ... import makers
from .. import by_hand
from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")


def test_a_pot_draws_what_it_tells_the_hand_to_weigh() -> None:
    """Resin and catalyst leave their lots to the milligram of the card, for the job."""
    drum, bottle = yard.stocked()
    card = yard.pot("1.5 kg")
    assert card.catalyst.mass == 30_000
    assert (yard.on_hand(drum), yard.on_hand(bottle)) == (18_500_000, 970_000)
    assert [(d.lot, d.quantity[0], d.job) for d in card.draws] == [
        (drum.id, -1_500_000, "D-7"), (bottle.id, -30_000, "D-7"),
    ]  # fmt: skip
    assert card.gel_at == pytest.approx(NOW + 20 * 60, abs=5)
    assert card.gel_at_earliest < card.gel_at < card.gel_at_latest


def test_the_first_pot_of_a_resin_a_day() -> None:
    """Counted by the yard's day and by the product, whichever lot it is from; not in lists."""
    yard.stocked()
    yesterday = yard.pot("100 g", now=NOW - 24 * 3600)
    assert yesterday.first_today is True
    first, second = yard.pot("100 g"), yard.pot("100 g")
    assert (first.first_today, second.first_today) == (True, False)
    assert show_card(finding.batch(first.id)).first_today is True
    assert [card.first_today for card in list_batches(None, 10)] == [None] * 3


def test_what_a_dose_rests_on_is_told_among_its_warnings() -> None:
    """Named again, for whoever shows warnings of this pot alone; nothing is left out."""
    yard.stocked()
    card = yard.pot("500 g", temperature=None, bay="TENT")
    assert len(card.basis_notes) == 1
    assert card.basis_notes[0] in card.warnings
    assert yard.pot("1 kg").basis_notes == []


def test_a_short_catalyst_undoes_all(books: Database) -> None:
    """No resin leaves the drum for a pot that can't be catalysed."""
    yard.receive("LAM", "20 kg")
    yard.receive("PEROX", "10 g")
    before = yard.contents(books)
    with pytest.raises(errors.ShortStock):
        yard.pot("1 kg")
    assert yard.contents(books) == before


def test_what_only_the_ledger_finds_short_undoes_all(books: Database) -> None:
    """Each line fits by itself, the third does not any more: the first two are undone."""
    yard.stocked()
    yard.receive("MICROS", "3 kg")
    before = yard.contents(books)
    with pytest.raises(errors.ShortStock):
        yard.pot("2 kg", fillers=[{"product": "MICROS", "quantity": q("2 kg")}] * 2)
    assert yard.contents(books) == before


def test_the_factor_of_a_cup_test_is_used() -> None:
    """A lot that took 24 min in the cup instead of 20 is a slow one, though less than that cup.

    Part of what one cup shows is its own scale and stirring, and the thermometer.
    """
    drum, bottle = yard.stocked()
    plain = yard.pot()
    test = yard.cup(drum, bottle, "24 min")
    card = yard.pot()
    (factor,) = by_hand.factors(24 / 20)
    assert 1.14 < factor < 1.16
    assert card.basis.factor == pytest.approx(factor, rel=0.01)
    assert card.basis.factor_basis == f"cup test {test.id}"
    assert card.gel.time == pytest.approx(factor * 20 * 60, rel=0.01)
    assert plain.basis.factor_basis == "assumed"
    assert finding.batch(card.id).cup_test_id == test.id


def test_a_wanted_gel_time_takes_the_factor_in() -> None:
    """A slow lot gets more catalyst for the same gel time."""
    drum, bottle = yard.stocked()
    plain = yard.pot(target_gel=yard.span("20 min"))
    yard.cup(drum, bottle, "24 min")
    card = yard.pot(target_gel=yard.span("20 min"))
    assert plain.catalyst.mass == pytest.approx(20_000, abs=100)
    (factor,) = by_hand.factors(24 / 20)
    assert card.catalyst.mass == pytest.approx(factor * 20_000, abs=300)
    assert card.limited_by is None


def test_two_lots_of_resin_in_one_pot_warn() -> None:
    """A pot that empties one drum and opens the next says so."""
    yard.receive("LAM", "0.4 kg", made_on=yard.day(-20))
    yard.receive("LAM", "5 kg", made_on=yard.day(-10))
    yard.receive("PEROX", "1 kg")
    card = yard.pot("1 kg")
    assert [d.quantity[0] for d in card.draws][:2] == [-400_000, -600_000]
    assert any("Two lots of resin" in word for word in card.warnings)
    assert not any("Two lots" in word for word in yard.pot("1 kg").warnings)


@pytest.mark.parametrize("facts", [{"role": "promoter"}, {"role": "filler", "effects": "promotes"}])
def test_promoter_and_peroxide_never_in_one_step(books: Database, facts: dict[str, str]) -> None:
    """Whatever role the catalogue gives it, what promotes is stirred in on its own."""
    yard.stocked()
    effects = [facts["effects"]] if "effects" in facts else []
    yard.add(products=[makers.product("PROM", facts["role"], effects=effects)])
    yard.receive("PROM", "1 kg")
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="in one step"):
        yard.pot(fillers=[{"product": "PROM", "quantity": q("5 g")}])
    assert yard.contents(books) == before


def test_additives_count_as_resin_and_fillers_do_not() -> None:
    """Colour paste is catalysed with the resin; microballoons only make the gel less sure."""
    yard.stocked()
    yard.add(products=[makers.product("BLUE", "filler", effects=["pigments"])])
    blue, micros = yard.receive("BLUE", "1 kg"), yard.receive("MICROS", "1 kg")
    tinted = yard.pot("1 kg", fillers=[{"product": "BLUE", "quantity": q("100 g")}])
    filled = yard.pot("1 kg", fillers=[{"product": "MICROS", "quantity": q("100 g")}])
    plain = yard.pot("1 kg")
    assert (tinted.amount, tinted.catalyst.mass) == (1_100_000, 22_000)
    assert (filled.amount, filled.catalyst.mass) == (1_000_000, 20_000)
    assert (yard.on_hand(blue), yard.on_hand(micros)) == (900_000, 900_000)
    assert filled.gel.latest > plain.gel.latest
    assert any(word.startswith("Filled") for word in filled.warnings)


def test_an_additive_that_counts_as_resin_is_weighed(books: Database) -> None:
    """Two tins of colour have no mass that the percent could be of."""
    yard.stocked()
    with pytest.raises(errors.Invalid, match="the role sundry is not"):
        yard.add(products=[makers.product("INK", "sundry", effects=["pigments"])])
    yard.add(products=[makers.product("TINT", "sundry")])
    catalogue.change(finding.product("TINT").id, effects="pigments")  # before that was refused
    yard.receive("TINT", "5 pieces")
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="TINT"):
        yard.pot(fillers=[{"product": "TINT", "quantity": q("2 pieces")}])
    assert yard.contents(books) == before


def test_a_held_lot_is_refused_unless_overridden(books: Database) -> None:
    """The reason stays on record beside the pot, the line and the job that it was for."""
    drum, _ = yard.stocked()
    change_lot.change_lot(drum, held=True, reason="stood in the sun", now=NOW, hand=HAND)
    before = yard.contents(books)
    with pytest.raises(errors.HeldLot, match="stood in the sun"):
        yard.pot(resin_lot=drum.id)
    assert yard.contents(books) == before
    card = yard.pot(resin_lot=drum.id, override={"reason": "cup in order"})
    (row,) = yard.overrides()
    assert (row.slug, row.reason, row.who) == ("held-lot", "cup in order", "Ines")
    assert (row.lot_id, row.batch_id, row.movement_id) == (
        drum.id, card.id, card.draws[0].id,
    )  # fmt: skip
    assert row.job.number == "D-7"
    assert any("overridden" in word for word in card.warnings)


def test_peroxide_out_of_date_is_never_overridden() -> None:
    """Life type I ends for good, whatever reason is given."""
    yard.receive("LAM", "20 kg")
    old = yard.receive("PEROX", "1 kg", expires_on=yard.day(-1))
    with pytest.raises(errors.ExpiredLot, match="out of date"):
        yard.pot(catalyst_lot=old.id, override={"reason": "smells fine"})
    assert yard.on_hand(old) == 1_000_000
    assert yard.overrides() == []


def test_a_lot_of_another_product_is_refused() -> None:
    """A catalyst lot named as the resin is a slip, and pours nothing."""
    _, bottle = yard.stocked()
    with pytest.raises(errors.Invalid, match="PEROX, not LAM") as refused:
        yard.pot(resin_lot=bottle.id)
    assert refused.value.pointer == "/resin_lot"


def test_a_two_part_pot_draws_both_parts_by_ratio() -> None:
    """100 : 25 by mass; a percent of one's own is refused."""
    resin, hardener = yard.receive("EPOX", "5 kg"), yard.receive("HARD", "2 kg")
    card = yard.pot("0.4 kg", resin="EPOX")
    assert card.catalyst.mass == 100_000
    assert (yard.on_hand(resin), yard.on_hand(hardener)) == (4_600_000, 1_900_000)
    with pytest.raises(errors.OutsideLimits):
        yard.pot("0.4 kg", resin="EPOX", catalyst_percent=Decimal(30))


def test_the_card_stays_what_the_hand_was_told() -> None:
    """A sheet that is revised later changes no card."""
    yard.stocked()
    card = yard.pot()
    yard.revise("LAM", makers.sheet(gel_times=[makers.gel_time("20 degC", "35 min")]))
    shown = show_batch(finding.batch(card.id))
    for name in ("gel", "catalyst", "basis", "gel_at", "cautions"):
        assert getattr(shown, name) == getattr(card, name)
    assert yard.pot().gel.time == pytest.approx(35 * 60, rel=0.01)


@pytest.mark.parametrize(
    ("facts", "refusal"),
    [
        ({"job": "D-99"}, errors.UnknownReference),
        ({"resin": "NONE"}, errors.UnknownReference),
        ({"fillers": [{"product": "NONE", "quantity": q("1 g")}]}, errors.UnknownReference),
        ({"catalyst_percent": Decimal("3.5")}, errors.OutsideLimits),
        ({"temperature": yard.heat("11 degC")}, errors.TooCold),
        ({"mixed_at": NOW + 3600}, errors.Invalid),
        ({"temperature": None}, errors.Invalid),
        ({"bay": "NONE"}, errors.UnknownReference),
        ({"catalyst": "HARD"}, errors.CureSheetMissing),
        ({"resin": "MICROS", "catalyst_percent": Decimal(2)}, errors.CureSheetMissing),
    ],
)
def test_what_is_refused_draws_nothing(
    books: Database, facts: dict[str, object], refusal: type[errors.Refusal]
) -> None:
    """Each refusal leaves the store row for row as it was."""
    yard.stocked()
    yard.receive("MICROS", "1 kg")
    before = yard.contents(books)
    with pytest.raises(refusal):
        yard.pot(**facts)
    assert yard.contents(books) == before
    assert yard.rows_of(tables.Batch) == 0


@pytest.mark.parametrize("stirred", ["LAM", "EPOX"])
def test_a_resin_is_no_filler(books: Database, stirred: str) -> None:
    """It would get no catalyst of its own, and pass the greatest pot."""
    yard.stocked()
    yard.receive("EPOX", "5 kg")
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="is no filler"):
        yard.pot("1 kg", fillers=[{"product": stirred, "quantity": q("2 kg")}])
    assert yard.contents(books) == before


def test_wax_and_styrene_by_the_sheet(books: Database) -> None:
    """None without a percent, in warm resin alone; wax in styrene is wax; nothing is drawn."""
    yard.stocked()
    yard.receive("WAX", "1 kg")
    sheet = makers.sheet(wax_percent_max=5)
    yard.add(
        products=[
            makers.resin("TOP", cure=sheet),
            makers.product("THIN", "filler", effects=["thins"]),
            makers.product("WAXED", "filler", effects=["waxes", "thins"]),
        ]
    )
    for code in ("TOP", "THIN", "WAXED"):
        yard.receive(code, "5 kg")
    warm = yard.heat("22 degC")

    def stirred(product: str, quantity: str, resin: str = "TOP", heat: Any = warm) -> Any:
        fillers = [{"product": product, "quantity": q(quantity)}]
        percent = {} if resin == "LAM" else {"catalyst_percent": Decimal(2)}
        return yard.pot(resin=resin, temperature=heat, fillers=fillers, **percent)

    before = yard.contents(books)
    with pytest.raises(errors.OutsideLimits, match="no percent of wax"):
        stirred("WAX", "50 g", "LAM")
    with pytest.raises(errors.OutsideLimits, match="no percent of styrene"):
        stirred("THIN", "50 g")
    with pytest.raises(errors.OutsideLimits, match=r"6\.00 % of wax"):
        stirred("WAX", "60 g")
    with pytest.raises(errors.TooCold):
        stirred("WAX", "50 g", heat=yard.heat("20 degC"))
    assert yard.contents(books) == before
    stirred("WAXED", "50 g")
