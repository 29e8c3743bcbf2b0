"""Observe: 'not mixed' puts a pot back, 'lost' does not; a layup's signs follow the hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView
from cureyard_service.acts.pots.card import CardView
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.stock import count
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.upkeep import proofs
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW, H, q

pytestmark = pytest.mark.usefixtures("books")


def seen(pot: int, kind: str, now: int = NOW, **facts: Any) -> CardView:
    """An observation of a pot."""
    return observe_pot(finding.batch(pot), kind=kind, now=now, hand=HAND, **facts)


def felt(layup: int, kind: str, now: int = NOW, **facts: Any) -> LayupView:
    """An observation of a layup."""
    return observe_layup(finding.layup(layup), kind=kind, now=now, hand=HAND, **facts)


def laid(hours: float = 0) -> int:
    """A layup that went on so many hours ago."""
    at = int(NOW - hours * H)
    return int(yard.laid(product="LAM", catalyst_percent=Decimal(2), now=at).id)


def test_not_mixed_puts_everything_back(books: Database) -> None:
    """Resin, catalyst and filler, each to its lot; the lines stay beside their mirrors."""
    drum, bottle = yard.stocked()
    micros = yard.receive("MICROS", "1 kg")
    pot = yard.pot(fillers=[{"product": "MICROS", "quantity": q("50 g")}]).id
    told = seen(pot, "not_mixed", note="the tin was dropped")
    assert [yard.on_hand(lot) for lot in (drum, bottle, micros)] == [
        20_000_000, 1_000_000, 1_000_000,
    ]  # fmt: skip
    assert [line.kind for line in told.draws] == ["draw"] * 3 + ["reversal"] * 3
    assert {line.reason for line in told.draws[3:]} == {"the tin was dropped"}
    assert all(proof.ok for proof in proofs.prove(books))


def test_lost_stays_drawn() -> None:
    """It gelled in the bucket: the stock is gone."""
    drum, bottle = yard.stocked()
    pot = yard.pot().id
    seen(pot, "lost", note="gelled in the bucket")
    assert (yard.on_hand(drum), yard.on_hand(bottle)) == (19_000_000, 980_000)


def test_not_mixed_once(books: Database) -> None:
    """A second time there is nothing to put back."""
    yard.stocked()
    pot = yard.pot().id
    seen(pot, "not_mixed")
    before = yard.contents(books)
    with pytest.raises(errors.AlreadyExists):
        seen(pot, "not_mixed")
    assert yard.contents(books) == before


def test_what_was_laid_down_was_mixed(books: Database) -> None:
    """Its draws stay; the observation is not recorded either."""
    yard.stocked()
    pot = yard.pot().id
    yard.laid(pot)
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="so it was mixed"):
        seen(pot, "not_mixed")
    assert yard.contents(books) == before


def test_a_count_since_keeps_a_pot_from_being_undone(books: Database) -> None:
    """The drum was counted after it: all of the pot stays, not only its resin."""
    drum, _ = yard.stocked()
    pot = yard.pot().id
    count.count(lot=drum.id, quantity=q("19 kg"), now=NOW + MIN, hand=HAND)
    before = yard.contents(books)
    with pytest.raises(errors.CountedSince):
        seen(pot, "not_mixed", now=NOW + 2 * MIN)
    assert yard.contents(books) == before


@pytest.mark.parametrize("at", [NOW - 1, NOW + 2 * H])
def test_not_before_it_was_mixed_nor_in_time_to_come(books: Database, at: int) -> None:
    """A time that can't be is refused, and nothing is noted."""
    yard.stocked()
    pot = yard.pot().id
    before = yard.contents(books)
    with pytest.raises(errors.Invalid) as refused:
        seen(pot, "gelled", now=NOW + H, at=at)
    assert refused.value.pointer == "/at"
    assert yard.contents(books) == before


def test_still_wet_when_it_should_have_gelled() -> None:
    """Late past a film's latest, some 52 min; past twice that, suspect: probe it, do not cover it.

    By hand: the cup's 20 min × e^0.4, and √(0.139² + 0.25²) beside what 3 K of air may do.
    """
    layup = laid()
    assert "late" not in felt(layup, "not_gelled", now=NOW + 47 * MIN).state
    assert felt(layup, "not_gelled", now=NOW + 56 * MIN).state[:2] == ["wet", "late"]
    told = felt(layup, "not_gelled", now=NOW + 112 * MIN)
    assert {"wet", "late", "suspect"} <= set(told.state)
    assert told.next.action == "probe"
    assert "do not cover" in told.next.text


def test_a_glove_makes_a_forecast_a_fact() -> None:
    """On structure an open window wants a touch; after no transfer the next layer goes on."""
    at = NOW - 5 * H
    told = yard.laid(product="LAM", catalyst_percent=Decimal(2), job="S-1", now=at)
    first = observe_layup(
        finding.layup(told.id), kind="gelled", at=at + 20 * MIN, now=NOW, hand=HAND
    )
    assert first.next.action == "touch"
    assert felt(told.id, "no_transfer").next.action == "coat"


@pytest.mark.parametrize("kind", ["covered", "handed_over"])
def test_what_ends_the_watch(kind: str) -> None:
    """From then it is finished, and no job is kept open by it; the first ending counts."""
    layup = laid(5)
    for at in (NOW - 2 * H, NOW - 2 * H + MIN):  # so early that it is said twice
        felt(layup, "thumbnail", at=at)
    told = felt(layup, kind, at=NOW - H)
    assert (told.state, told.closed_at) == (["finished"], NOW - H)
    assert told.next.action == "none"
    assert felt(layup, "covered", now=NOW + H).closed_at == NOW - H


def test_a_hardness_has_its_value() -> None:
    """Without one it is no check; with one it is kept as it was read."""
    layup = laid(5)
    with pytest.raises(errors.Invalid, match="either a value or readings"):
        felt(layup, "hardness")
    felt(layup, "hardness", value=35)
    (row,) = tables.LayupObservation.select()
    assert (row.kind, row.value, row.who) == ("hardness", 35, "Ines")


def test_a_hardness_of_ten_readings() -> None:
    """Highest and lowest dropped, the rest averaged, rounded down; the readings stay on record."""
    layup = laid(5)
    taken = [41, 40, 36, 42, 41, 46, 40, 42, 41, 40]
    told = felt(layup, "hardness", readings=taken)
    assert (told.observations[0].value, told.observations[0].readings) == (40, taken)


@pytest.mark.parametrize(
    ("seen", "word"),
    [({"readings": [40] * 9}, "too few"), ({"readings": [40] * 10, "value": 40}, "either a value"),
     ({"kind": "blush", "readings": [40] * 10}, "Only a hardness")],
)  # fmt: skip
def test_readings_that_make_no_hardness(seen: dict[str, Any], word: str) -> None:
    """Too few, beside a value, or of something else: nothing is recorded."""
    layup = laid(5)
    with pytest.raises(errors.Invalid, match=word):
        felt(layup, **{"kind": "hardness", **seen})
    assert tables.LayupObservation.select().count() == 0


def test_sanded_is_sandable() -> None:
    """A hand that sanded it fine outranks a forecast that says later."""
    at = NOW - 7 * H
    layup = yard.laid(product="LAM", catalyst_percent=Decimal(2), cover="film", now=at).id
    before = felt(layup, "no_transfer")
    assert "sandable" not in before.state
    assert "sandable" in felt(layup, "sanded").state
