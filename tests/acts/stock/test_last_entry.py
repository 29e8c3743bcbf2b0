"""What a hand entered last: of everything that it may take back, the newest that stands."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, get_args

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.bays.take_back import take_back_reading
from cureyard_service.acts.cure import change_layup, leak_tests
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.take_back import take_back_layup, take_back_seen
from cureyard_service.acts.jobs import need
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.pots.take_back import take_back_pot_seen
from cureyard_service.acts.stock import change_lot, draw, last_entry, reverse
from cureyard_service.acts.stock.last_entry import EnteredMovementsView
from cureyard_service.acts.wetness import findings, meters, moisture, samples, surface
from cureyard_service.acts.wetness.taken_back import take_back
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.last_records import JobRecord, Kept
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


WITHOUT = {
    "reading", "layup", "layup_observation", "batch_observation", "movement", "photograph",
}  # fmt: skip
"""Kinds of which this file has a test above, or `test_photographs`."""
ENDS = {
    "withdrawal", "wetness_withdrawal", "leak_test_end", "layup_probe_end", "signature_end",
    "token_end", "feed_end", "phone_code_end",
}  # fmt: skip
"""A taking back is no entry to take back."""
WITH_OTHERS = {
    "batch", "layup_batch", "layup_earlier", "finding_photograph", "reached", "override",
    "logbook",
}  # fmt: skip
"""What is written beside something else that a hand entered."""
OF_ADMINS = {"token", "phone", "feed"}
"""Access and feeds, which have commands of their own."""


def test_every_table_that_a_hand_signs_is_thought_of() -> None:
    """A new kind of record is found by 'undo', or stands in one of the lists above."""
    signed = {table._meta.table_name for table in tables.Recorded.__subclasses__()}  # type: ignore[attr-defined]
    found = {*get_args(JobRecord), *get_args(Kept)}
    assert signed == found | WITHOUT | ENDS | WITH_OTHERS | OF_ADMINS


def test_each_record_of_a_job_is_the_last_and_then_taken_back() -> None:
    """Finding, reading, note, film, sample and leak test: whatever was entered last is offered,
    and after it is taken back, the one before."""
    job = finding.job("D-7")
    meters.add_meter(
        code="CAP", title="Meter", kind="capacitance", scale_from=0, scale_to=100,
        modes=[{"name": "deep", "measures": "points"}], now=NOW - 1, hand=RUI,
    )  # fmt: skip
    yard.receive("LAM", "2 kg", now=NOW)
    enter: dict[JobRecord, Any] = {
        "finding": lambda now: findings.record_finding(
            job, place="keel", side="port", kind="blister", length=9_000, width=9_000,
            found_by="by eye", now=now, hand=HAND),
        "moisture_reading": lambda now: moisture.read_moisture(
            job, place="keel", meter="CAP", mode="deep", placements=[9, 9, 9],
            surface_temperature=heat("15 degC"), now=now, hand=HAND),
        "surface_note": lambda now: surface.note_surface(job, kind="rain", now=now, hand=HAND),
        "film_test": lambda now: samples.record_film(
            job, place="keel", taped_at=NOW - 90_000, drops=False, now=now, hand=HAND),
        "weighed_sample": lambda now: samples.record_sample(
            job, place="keel", wet=2_000, dried=1_900, now=now, hand=HAND),
        "leak_test": lambda now: leak_tests.record_leak_test(
            job, place="bag", first=88_000, first_at=now - 600, second=87_900, now=now, hand=HAND),
    }  # fmt: skip
    assert set(enter) == set(get_args(JobRecord))
    kept = [(kind, do(NOW + n).id) for n, (kind, do) in enumerate(enter.items(), 1)]
    for kind, number in reversed(kept):
        found = last()
        assert (found.kind, found.record, found.job) == (kind, number, "D-7")
        by: dict[str, Any] = {"reason": "a slip", "now": NOW + 9, "hand": HAND}
        if kind == "leak_test":
            leak_tests.take_back_leak_test(job, number, **by)
        else:
            take_back(kind, job, number, **by)
    assert last().kind == "movement"


def test_what_can_not_be_taken_back_is_said_and_not_passed_over() -> None:
    """A hold, a need, a carried layup, a signature: older entries are not offered instead."""
    resin, _ = yard.stocked()
    layup = yard.laid(product="LAM", catalyst_percent=Decimal(2), now=NOW + 1).id
    change_layup.change_layup(finding.layup(layup), bay="TENT", now=NOW + 2, hand=HAND)
    assert (last().kind, last().of, last().seen) == ("layup_move", str(layup), "TENT")
    wanted = [{"product": "LAM", "quantity": q("1 kg")}]
    need.add_needs(finding.job("D-7"), wanted=wanted, now=NOW + 3, hand=HAND)
    assert (last().kind, last().of, last().seen) == ("need", "D-7", "LAM")
    change_lot.change_lot(finding.lot(resin.id), held=True, reason="sun", now=NOW + 4, hand=HAND)
    assert (last().kind, last().seen) == ("lot_event", "held")


def test_a_bay_of_a_receipt_is_no_entry_of_its_own() -> None:
    """Where a delivery was put goes back with it."""
    yard.receive("LAM", "2 kg", bay="SHED")
    (line,) = last().movements
    reverse.reverse(reverses=line.id, reason="a slip", now=NOW + 1, hand=HAND)
    assert last_entry.last_entry(HAND).entry is None or last().kind != "lot_event"
