"""Promoter first and by itself, recorded with its pot; refused on a resin that comes promoted.

Never in one step with peroxide: TM 38-410 / DLAM 4145.11, Storage and Handling of Hazardous
Materials. The rest is common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.jobs import trace as trace_lot
from cureyard_service.acts.pots.card import BatchView, show_card
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.pots.promoter import PromoterView
from cureyard_service.acts.products.product import change_product, show_product
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store import products as catalogue
from peewee import Database

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")

COBALT = {"product": "COBALT", "quantity": q("5 g")}


def comes(promoted: bool) -> None:
    """The catalogue says whether the resin comes promoted."""
    change_product(finding.product("LAM"), promoted=promoted, now=NOW, hand=HAND)
    assert show_product(finding.product("LAM")).promoted is promoted


def about_promoter(card: BatchView) -> list[str]:
    """The words of a card on it."""
    return [word for word in card.warnings if "promote" in word]


def test_it_is_drawn_and_stands_on_the_card_before_the_catalyst() -> None:
    """Of its own lot, between the resin and the peroxide, also when the card is shown later."""
    yard.stocked()
    comes(promoted=False)
    lot = yard.receive("COBALT", "1 kg")
    card = yard.pot(promoter=COBALT)
    assert card.promoter == PromoterView("COBALT", 5_000)
    assert [part.product for part in card.parts] == ["LAM", "COBALT", "PEROX"]
    assert yard.on_hand(lot) == 995_000
    assert about_promoter(card) == []
    later = show_card(finding.batch(card.id))
    assert later.promoter == card.promoter
    assert trace_lot.trace_lot(lot, NOW).batches[0].id == card.id
    observe_pot(finding.batch(card.id), kind="not_mixed", now=NOW, hand=HAND)
    assert yard.on_hand(lot) == 1_000_000


def test_a_promoted_resin_takes_none(books: Database) -> None:
    """It would gel in the hand: nothing is drawn."""
    yard.stocked()
    comes(promoted=True)
    yard.receive("COBALT", "1 kg")
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="comes promoted") as refused:
        yard.pot(promoter=COBALT)
    assert refused.value.pointer == "/promoter"
    assert yard.contents(books) == before


def test_what_nobody_said_is_asked_and_what_lacks_it_is_said() -> None:
    """Unknown: read the sheet. Unpromoted without promoter: it does not cure. Promoted: nothing."""
    yard.stocked()
    yard.receive("COBALT", "1 kg")
    assert about_promoter(yard.pot()) == []
    assert "does not say whether LAM comes promoted" in about_promoter(yard.pot(promoter=COBALT))[0]
    comes(promoted=False)
    assert "comes without promoter" in about_promoter(yard.pot())[0]
    comes(promoted=True)
    card = yard.pot()
    assert (about_promoter(card), card.promoter) == ([], None)


FLOUR = {"product": "MICROS", "quantity": q("5 g")}


@pytest.mark.parametrize(
    ("asked", "word", "pointer"),
    [
        ({"promoter": FLOUR}, "not a promoter", "/promoter/product"),
        ({"promoter": COBALT, "resin": "EPOX", "amount": "0.4 kg"}, "no peroxide", "/promoter"),
    ],
)
def test_what_is_no_promoter_or_takes_none(
    books: Database, asked: dict[str, Any], word: str, pointer: str
) -> None:
    """A filler promotes nothing, and an epoxy is cured by its hardener."""
    yard.stocked()
    for product in ("MICROS", "COBALT", "EPOX", "HARD"):
        yard.receive(product, "5 kg")
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match=word) as refused:
        yard.pot(**asked)
    assert refused.value.pointer == pointer
    assert yard.contents(books) == before


def test_among_the_fillers_it_is_still_refused() -> None:
    """In one step with peroxide it explodes; the advice says where it is recorded."""
    yard.stocked()
    yard.receive("COBALT", "1 kg")
    with pytest.raises(errors.Invalid, match="in one step") as refused:
        yard.pot(fillers=[COBALT])
    assert "'promoter'" in refused.value.advice


@pytest.mark.parametrize("effect", ["waxes", "thins", "pigments"])
def test_what_waxes_or_thins_is_no_promoter(books: Database, effect: str) -> None:
    """It would go round the sheet's percents; one that was entered before is refused at the pot."""
    yard.stocked()
    yard.add(products=[makers.product("WAXP", "promoter")])
    yard.receive("WAXP", "1 kg")
    with pytest.raises(errors.Invalid, match="can't be a promoter as well"):
        change_product(finding.product("WAXP"), effects=[effect], now=NOW, hand=HAND)
    catalogue.change(finding.product("WAXP").id, effects=effect)
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="does not go in as a promoter"):
        yard.pot(promoter={"product": "WAXP", "quantity": q("60 g")})
    assert yard.contents(books) == before
