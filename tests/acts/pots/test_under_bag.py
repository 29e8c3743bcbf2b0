"""A pot that is too short for its bag is refused, and a lead has it mixed all the same."""

from __future__ import annotations

from decimal import Decimal

import pytest
from cureyard_service.acts.pots.card import show_card
from cureyard_service.acts.pots.dose import dose_pot
from cureyard_service.acts.yard import finding
from cureyard_service.acts.yard.overrides import list_overrides
from cureyard_service.core.errors import NotAllowed, PotTooShort
from cureyard_service.core.words import shown
from cureyard_service.store.yard.hands import Hand

from .. import sample_yard as yard
from ..sample_yard import MIN, NOW, q

pytestmark = pytest.mark.usefixtures("books")


def bag(minutes: float) -> dict[str, Decimal]:
    """A bag that takes so many minutes."""
    third = Decimal(minutes * MIN) / 3
    return {"laying": third, "bagging": third, "pumping": third}


def test_a_pot_too_short_for_its_bag_is_not_mixed() -> None:
    """Nothing is drawn; what there is and what it takes is told, and how to get more time."""
    drum, _ = yard.stocked()
    with pytest.raises(PotTooShort, match="bagging 7 min") as refused:
        yard.pot("1 kg", bag=bag(21))
    assert "less catalyst" in shown(refused.value.advice, "metric")
    assert yard.on_hand(drum) == 20_000_000


def test_one_that_lasts_is_mixed_and_nothing_is_said() -> None:
    """Up to its working time at worst, to the second."""
    yard.stocked()
    lasts = yard.pot("1 kg").pot.working_time
    card = yard.pot("1 kg", bag=bag(int(lasts) / MIN))
    assert card.too_quick is False
    assert not any("the bag takes" in shown(word, "metric") for word in card.warnings)
    with pytest.raises(PotTooShort):
        yard.pot("1 kg", bag=bag((int(lasts) + 3) / MIN))


def test_a_lead_overrides_and_the_card_says_so() -> None:
    """First of all, also years later; the reason stays on record with the pot."""
    yard.stocked()
    card = yard.pot("1 kg", bag=bag(21), override={"reason": "a small patch"})
    kept = show_card(finding.batch(card.id))
    for each in (card, kept):
        assert each.too_quick is True
        assert "the bag takes 21 min" in shown(each.warnings[0], "metric")
    (row,) = list_overrides(None, 9)
    assert (row.slug, row.batch, row.reason) == ("pot-too-short", card.id, "a small patch")


def test_an_override_that_nothing_needs_is_no_record() -> None:
    """The bag fits, so no refusal was set aside."""
    yard.stocked()
    yard.pot("1 kg", bag=bag(3), override={"reason": "in case"})
    assert list_overrides(None, 9) == []


def test_a_hand_can_not() -> None:
    """That takes a lead."""
    yard.stocked()
    hand = Hand("Nuno", verified=True)
    with pytest.raises(NotAllowed):
        yard.pot("1 kg", bag=bag(21), override={"reason": "x"}, hand=hand)


def test_a_dose_says_the_same_and_refuses_nothing() -> None:
    """It is only worked out."""
    yard.stocked()
    asked = {"resin": "LAM", "amount": q("1 kg"), "temperature": yard.heat("20 degC"),
             "catalyst_percent": Decimal(2), "now": NOW}  # fmt: skip
    short = dose_pot(**asked, bag=bag(21))
    assert short.too_quick is True
    assert "the bag takes 21 min" in shown(short.warnings[0], "metric")
    assert dose_pot(**asked, bag=bag(3)) == dose_pot(**asked)
