"""What a hand entered last: of everything that it may take back, the newest that stands."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.bays.take_back import take_back_reading
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.take_back import take_back_layup, take_back_seen
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.pots.take_back import take_back_pot_seen
from cureyard_service.acts.stock import draw, last_entry, reverse
from cureyard_service.acts.stock.last_entry import EnteredMovementsView
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store.yard.hands import Hand
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, heat, q

pytestmark = pytest.mark.usefixtures("books")

RUI = Hand("Rui", verified=True)


def last(who: Hand | str = HAND) -> Any:
    """What was entered last, which there must be."""
    found = last_entry.last_entry(who).entry
    assert found is not None
    return found


def drawn(quantity: str, now: int = NOW, hand: Hand = HAND) -> list[int]:
    """Resin drawn to a job; the lines' ids."""
    told = draw.draw(
        kind="draw", product="LAM", job="D-7", quantity=q(quantity), now=now, hand=hand
    )
    return [line.id for line in told.movements]


def lines(entry: EnteredMovementsView) -> list[int]:
    """The ledger's lines of an entry."""
    return [line.id for line in entry.movements]


def test_step_by_step_back_to_the_beginning() -> None:
    """A pot, a layup, what was seen of both, a reading: each is the last, and then taken back."""
    yard.stocked()
    by: dict[str, Any] = {"reason": "a slip", "now": NOW + 9, "hand": HAND}
    pot = finding.batch(yard.pot(now=NOW + 1).id)
    layup = yard.laid(pot.id, now=NOW + 2).id
    observe_layup(finding.layup(layup), kind="blush", now=NOW + 3, hand=HAND)
    observe_pot(pot, kind="gelled", now=NOW + 4, hand=HAND)
    reading = {"at": NOW, "temperature": heat("20 degC")}
    read_bay.read_bay(bay="SHED", readings=[reading], now=NOW + 5, hand=HAND)

    found = last()
    assert (found.kind, found.bay, found.readings) == ("reading", "SHED", 1)
    take_back_reading(finding.bay("SHED"), found.reading, **by)
    found = last()
    assert (found.kind, found.batch, found.seen) == (
        "batch_observation", pot.id, "gelled",
    )  # fmt: skip
    take_back_pot_seen(pot, found.observation, **by)
    found = last()
    assert (found.kind, found.layup, found.seen) == ("layup_observation", layup, "blush")
    take_back_seen(finding.layup(layup), found.observation, **by)
    found = last()
    assert (found.kind, found.layup, found.title) == ("layup", layup, "Plies")
    take_back_layup(finding.layup(layup), **by)
    found = last()
    assert (found.kind, found.batch, len(lines(found))) == ("movement", pot.id, 2)
    observe_pot(pot, kind="not_mixed", now=NOW + 9, hand=HAND)
    assert [line.kind for line in last().movements] == ["receipt"]


def test_of_one_second_what_builds_on_the_other() -> None:
    """A pot and its layup at once: the layup is the later."""
    yard.stocked()
    layup = yard.laid(yard.pot().id).id
    assert (last().kind, last().layup) == ("layup", layup)


def test_one_draw_of_several_lots_is_undone_at_once_or_not_at_all(books: Database) -> None:
    """A draw that took from three drums is one act; a line that can't be undone keeps the rest."""
    for _ in range(3):
        yard.receive("LAM", "2 kg")
    early, spread = drawn("1 kg", now=NOW + 1), drawn("4.5 kg", now=NOW + 2)
    assert (len(early), len(spread)) == (1, 3)
    assert lines(last()) == spread
    told = reverse.reverse(reverses_all=spread[:1], reason="a slip", now=NOW + 3, hand=HAND)
    assert [line.reverses for line in told.movements] == spread[:1]
    assert lines(last()) == spread[1:]
    before = yard.contents(books)
    with pytest.raises(errors.AlreadyExists):
        reverse.reverse(
            reverses_all=[*spread[1:], spread[0]], reason="a slip", now=NOW + 4, hand=HAND
        )
    assert yard.contents(books) == before
    reverse.reverse(reverses_all=spread[1:], reason="a slip", now=NOW + 4, hand=HAND)
    assert lines(last()) == early


@pytest.mark.parametrize("named", [{}, {"reverses": 1, "reverses_all": [1]}])
def test_one_line_or_several(named: dict[str, Any]) -> None:
    """Neither, and both, are refused."""
    yard.receive("LAM", "2 kg")
    with pytest.raises(errors.Invalid, match="either"):
        reverse.reverse(reason="a slip", now=NOW, hand=HAND, **named)


def test_what_was_corrected_or_undone_by_others_is_not_the_last() -> None:
    """Else undoing would stop there for ever."""
    yard.receive("LAM", "9 kg", now=NOW)
    early, late = drawn("1 kg", NOW + 1, RUI), drawn("2 kg", NOW + 2, RUI)
    reverse.reverse(reverses=late[0], reason="not for that", now=NOW + 3, hand=HAND)
    for celsius, now, hand in ((20, NOW + 4, RUI), (21, NOW + 5, HAND)):
        reading = {"at": NOW, "temperature": heat(f"{celsius} degC"), "replaces": True}
        read_bay.read_bay(
            bay="SHED", readings=[reading | {"reason": "misread"}], now=now, hand=hand
        )
    assert lines(last(RUI)) == early


def test_of_whom() -> None:
    """One's own, or anybody's by name; of who did nothing there is nothing."""
    yard.laid(product="LAM", catalyst_percent=Decimal(2))
    assert last("Ines").kind == "layup"
    assert last_entry.last_entry(RUI).entry is None
    assert last_entry.last_entry(Hand("Ines", verified=True)).entry is None
