"""Count a lot: what was there when it was counted is the truth."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.stock import count, draw, reverse
from cureyard_service.acts.stock.movement import MovedView, MovementView
from cureyard_service.core import errors
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, H, q

pytestmark = pytest.mark.usefixtures("books")


def counted(lot: Any, quantity: str, now: int = NOW, **facts: Any) -> MovementView:
    """A count of a lot; its one line."""
    told = count.count(lot=lot.id, quantity=q(quantity), now=now, hand=HAND, **facts)
    (line,) = told.movements
    return line


def take(quantity: str, at: int, now: int) -> MovedView:
    """A draw of resin."""
    return draw.draw(kind="draw", product="LAM", quantity=q(quantity), job="D-7", at=at,
                     now=now, hand=HAND)  # fmt: skip


@pytest.mark.parametrize(
    ("quantity", "difference"), [("18.4 kg", -1_600_000), ("20 kg", 0), ("21 kg", 1_000_000),
                                 ("0 kg", -20_000_000), ("10 L", -9_000_000)],
)  # fmt: skip
def test_the_ledger_gets_the_difference(quantity: str, difference: int) -> None:
    """Less, the same, more or nothing: what is there stands."""
    drum = yard.receive("LAM", "20 kg")
    line = counted(drum, quantity, now=NOW + H)
    assert line.quantity[0] == difference
    assert yard.on_hand(drum) == line.on_hand[0] == 20_000_000 + difference


def test_against_what_was_there_when_it_was_counted() -> None:
    """Counted at nine, drawn at ten, booked at eleven: the draw still counts."""
    drum = yard.receive("LAM", "20 kg", now=NOW - DAY)
    take("3 kg", at=NOW - H, now=NOW - H)
    line = counted(drum, "19 kg", counted_at=NOW - 2 * H)
    assert line.quantity[0] == -1_000_000
    assert yard.on_hand(drum) == 16_000_000


def test_a_draw_booked_late_was_there_before() -> None:
    """Drawn before the count, booked before it too, told as of its own time."""
    drum = yard.receive("LAM", "20 kg", now=NOW - DAY)
    take("3 kg", at=NOW - 3 * H, now=NOW)
    line = counted(drum, "17 kg", counted_at=NOW - 2 * H)
    assert line.quantity[0] == 0


def test_counts_follow_on_each_other() -> None:
    """A second count starts from the first, not from the delivery."""
    drum = yard.receive("LAM", "20 kg", now=NOW - DAY)
    counted(drum, "18 kg", now=NOW - 2 * H)
    assert counted(drum, "17.5 kg").quantity[0] == -500_000
    assert yard.on_hand(drum) == 17_500_000


def test_more_was_drawn_since_than_was_counted(books: Database) -> None:
    """Both can't be true: refused, and nothing is posted."""
    drum = yard.receive("LAM", "20 kg", now=NOW - DAY)
    take("3 kg", at=NOW - H, now=NOW - H)
    before = yard.contents(books)
    with pytest.raises(errors.ShortStock):
        counted(drum, "2 kg", counted_at=NOW - 2 * H)
    assert yard.contents(books) == before


def test_what_a_count_holds_is_not_undone() -> None:
    """A draw from before the count stays: its truth is in the count already."""
    drum = yard.receive("LAM", "20 kg", now=NOW - DAY)
    (line,) = take("3 kg", at=NOW - H, now=NOW - H).movements
    counted(drum, "16 kg")
    with pytest.raises(errors.CountedSince):
        reverse.reverse(reverses=line.id, reason="typed twice", now=NOW + 1, hand=HAND)
    assert yard.on_hand(drum) == 16_000_000


@pytest.mark.parametrize("counted_at", [NOW - DAY, NOW + H, NOW + 10 * 365 * DAY])
def test_not_counted_before_it_came_nor_in_time_to_come(books: Database, counted_at: int) -> None:
    """Before the delivery there was nothing to count: the drum would be there twice."""
    drum = yard.receive("LAM", "20 kg")
    before = yard.contents(books)
    with pytest.raises(errors.Invalid) as refused:
        counted(drum, "20 kg", counted_at=counted_at)
    assert refused.value.pointer == "/counted_at"
    assert yard.contents(books) == before


def test_an_older_count_does_not_undo_a_newer(books: Database) -> None:
    """Booked late, it would move what was counted since; at the same moment it corrects."""
    drum = yard.receive("LAM", "20 kg", now=NOW - DAY)
    counted(drum, "18 kg", counted_at=NOW - H)
    before = yard.contents(books)
    with pytest.raises(errors.CountedSince):
        counted(drum, "19 kg", counted_at=NOW - 2 * H)
    assert yard.contents(books) == before
    counted(drum, "18.2 kg", counted_at=NOW - H)
    assert yard.on_hand(drum) == 18_200_000


def test_a_draw_that_a_count_may_have_seen_is_warned_of() -> None:
    """Booked after the count, done before it: one of the two may hold it twice."""
    drum = yard.receive("LAM", "20 kg", now=NOW - DAY)
    counted(drum, "17 kg", counted_at=NOW - H)
    (word,) = take("3 kg", at=NOW - 2 * H, now=NOW).warnings
    assert "counted after that" in word
    assert take("1 kg", at=NOW, now=NOW).warnings == []


def test_of_a_lot_that_is_not_there(books: Database) -> None:
    """Counted kilograms of no lot, or pieces of a resin, change nothing."""
    drum = yard.receive("LAM", "20 kg")
    before = yard.contents(books)
    with pytest.raises(errors.UnknownReference):
        count.count(lot=99, quantity=q("1 kg"), now=NOW, hand=HAND)
    with pytest.raises(errors.UnitMismatch):
        counted(drum, "3 pieces")
    assert yard.contents(books) == before
