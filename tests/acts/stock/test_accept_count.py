"""A count acts at once; that its difference is to stand is a lead's word, beside it."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.stock import count, draw, reverse
from cureyard_service.acts.stock.movement import MovementView, list_movements
from cureyard_service.acts.yard import logbook as read_logbook
from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.yard.hands import Hand
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")

RUI = Hand("Rui", verified=True)
INES = Hand("Ines", verified=True, role="lead")


def counted(lot: tables.Lot, quantity: str, hand: Hand = RUI) -> MovementView:
    """A count; its line as it is told."""
    (line,) = count.count(lot=lot.id, quantity=q(quantity), now=NOW, hand=hand).movements
    return line


def waiting() -> list[int]:
    """The lines that wait for a lead."""
    return [line.id for line in list_movements(None, 50, waiting=True)]


def accept(line: int, **facts: Any) -> MovementView:
    """A count accepted, by a lead unless it is said otherwise."""
    return count.accept_count(line, **{"now": NOW, "hand": INES} | facts)


def test_a_hands_count_acts_at_once_and_waits() -> None:
    """The drum has what was counted, and the count is among those that wait, until accepted."""
    drum = yard.receive("LAM", "20 kg")
    line = counted(drum, "18 kg")
    assert (line.accepted, line.accepted_by) == (False, None)
    assert yard.on_hand(drum) == 18_000_000
    assert waiting() == [line.id]
    told = accept(line.id, note="a leak")
    assert (told.accepted, told.accepted_by, told.who) == (True, "Ines", "Rui")
    assert waiting() == []
    assert yard.on_hand(drum) == 18_000_000
    listed = {each.id: each for each in list_movements(None, 50)}
    assert listed[line.id].accepted_by == "Ines"


def test_it_stands_in_the_logbook() -> None:
    """Who accepted which count of which lot, and why."""
    drum = yard.receive("LAM", "20 kg")
    line = counted(drum, "18 kg")
    accept(line.id, note="a leak")
    (entry,) = read_logbook.read_logbook(None, 5)
    assert (entry.kind, entry.reason, entry.who) == ("count accepted", "a leak", "Ines")
    assert drum.number in entry.about
    assert str(line.id) in entry.about


def test_who_needs_no_word() -> None:
    """A lead's own count is accepted by that; one that found what the books had wants none."""
    drum = yard.receive("LAM", "20 kg")
    assert counted(drum, "19 kg", INES).accepted is True
    assert counted(drum, "19 kg").accepted is None
    taken = draw.draw(kind="draw", product="LAM", quantity=q("1 kg"), job="D-7", now=NOW, hand=RUI)
    assert taken.movements[0].accepted is None
    assert waiting() == []


def test_what_was_undone_waits_no_more() -> None:
    """The hand that counted wrong takes it back; there is nothing left to accept."""
    line = counted(yard.receive("LAM", "20 kg"), "18 kg")
    reverse.reverse(reverses=line.id, reason="wrong drum", now=NOW, hand=RUI)
    assert waiting() == []
    with pytest.raises(errors.Invalid, match="undone"):
        accept(line.id)


def test_what_can_not_be_accepted(books: Database) -> None:
    """A draw, no line at all, a count of no difference, one accepted before: no row is another."""
    drum = yard.receive("LAM", "20 kg")
    same, less = counted(drum, "20 kg"), counted(drum, "18 kg")
    accept(less.id)
    receipt = tables.Movement.get(tables.Movement.kind == "receipt").id
    before = yard.contents(books)
    for line, refusal in (
        (999, errors.NotFound), (2**70, errors.NotFound),
        (receipt, errors.Invalid), (same.id, errors.Invalid), (less.id, errors.AlreadyExists),
    ):  # fmt: skip
        with pytest.raises(refusal):
            accept(line)
    assert yard.contents(books) == before


def test_what_waits_is_listed_by_lot_and_in_pages() -> None:
    """The newest first, from where a page ended, of one lot or of all."""
    drums = [yard.receive("LAM", "20 kg") for _ in range(3)]
    lines = [counted(drum, "18 kg").id for drum in drums]
    assert waiting() == lines[::-1]
    (one,) = list_movements(lines[2], 1, waiting=True)
    assert one.id == lines[1]
    (own,) = list_movements(None, 9, waiting=True, lot=drums[0].id)
    assert own.id == lines[0]


def test_counted_by_who_is_both() -> None:
    """Without a login the one at the machine is everything: nothing waits."""
    assert counted(yard.receive("LAM", "20 kg"), "18 kg", HAND).accepted is True
