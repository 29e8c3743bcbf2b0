"""What takes a lead by what is asked: overriding, releasing, reaching far back, undoing.

OWASP API Security Top 10 (2023): API1 broken object level authorization (whose act it is), API3
broken object property level authorization (which fields take a lead).
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import lay_up
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.stock import change_lot, count, draw, return_stock, reverse
from cureyard_service.acts.stock import receive as receive_lot
from cureyard_service.acts.stock.lot import LotView
from cureyard_service.acts.yard import finding
from cureyard_service.acts.yard import logbook as read_logbook
from cureyard_service.core.amounts.quantities import SIZE, parse
from cureyard_service.core.errors import NotAllowed
from cureyard_service.store import tables
from cureyard_service.store.yard.hands import Hand
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, H, heat, q

pytestmark = pytest.mark.usefixtures("books")

RUI = Hand("Rui", verified=True)
"""A hand, as one is who was given no other role."""
LONG_AGO = NOW - 31 * DAY


def drawn(hand: Hand, now: int = NOW, **facts: Any) -> int:
    """A kilogram of resin drawn to a job; the line's id."""
    asked = {"product": "LAM", "job": "D-7", "quantity": q("1 kg")} | facts
    told = draw.draw(kind="draw", now=now, hand=hand, **asked)
    return int(told.movements[0].id)


def refused(act: Callable[[], object], books: Database) -> str:
    """What a refusal says whom to ask; nothing was changed by the act."""
    before = yard.contents(books)
    with pytest.raises(NotAllowed) as caught:
        act()
    assert yard.contents(books) == before
    return caught.value.advice


def test_a_hand_overrides_nothing(books: Database) -> None:
    """Expired, held, reserved, a build too thick: a reason alone does not do it."""
    old = yard.receive("LAM", "20 kg", made_on=yard.day(-200))
    yard.receive("PEROX", "1 kg")
    leave = {"reason": "the owner wants it"}
    acts: list[Callable[[], object]] = [
        lambda: drawn(RUI, product=None, lot=old.id, override=leave),
        lambda: yard.mix.mix(
            resin="LAM", amount=q("1 kg"), job="D-7", temperature=heat("20 degC"), now=NOW,
            catalyst_percent=Decimal(2), resin_lot=old.id, hand=RUI, override=leave,
        ),
        lambda: lay_up.lay_up(
            job="D-7", title="Plies", kind="laminate", bay="SHED", product="LAM", now=NOW,
            catalyst_percent=Decimal(2), thickness=parse("9 mm", SIZE), hand=RUI, override=leave,
        ),
    ]  # fmt: skip
    for act in acts:
        assert refused(act, books) == "Ask a lead or an admin."
    drawn(HAND, product=None, lot=old.id, override=leave)
    assert [row.slug for row in yard.overrides()] == ["expired-lot"]


def test_a_hand_holds_and_a_lead_releases(books: Database) -> None:
    """Whoever doubts a lot may stop it; letting it go again is a decision."""
    drum, _ = yard.stocked()
    change_lot.change_lot(drum, held=True, reason="smells wrong", now=NOW, hand=RUI)

    def release(hand: Hand) -> LotView:
        return change_lot.change_lot(
            finding.lot(drum.id), held=False, reason="it is fine", now=NOW, hand=hand
        )

    refused(lambda: release(RUI), books)
    assert release(HAND).held is False


def test_a_hand_opens_a_drum_once(books: Database) -> None:
    """A later day of opening would make its open life longer."""
    drum, _ = yard.stocked()
    change_lot.change_lot(drum, opened_on=yard.day(-9), now=NOW, hand=RUI)

    def opened(days: int, hand: Hand) -> object:
        return change_lot.change_lot(
            finding.lot(drum.id), opened_on=yard.day(days), now=NOW, hand=hand
        )

    refused(lambda: opened(0, RUI), books)
    opened(-9, RUI)
    opened(0, HAND)
    assert finding.lot(drum.id).opened_on == yard.day(0)


def test_far_back_is_for_a_lead(books: Database) -> None:
    """Thirty days are a month's paper; beyond it somebody else looks at it too."""
    yard.receive("LAM", "20 kg", now=NOW - 40 * DAY, received_on=yard.day(-40))
    yard.receive("PEROX", "1 kg", now=NOW - 40 * DAY, received_on=yard.day(-40))
    line = drawn(HAND, now=NOW - 35 * DAY)
    lot = tables.Movement.get_by_id(line).lot
    pot = yard.pot(now=NOW - 33 * DAY).id
    layup = yard.laid(pot, now=NOW - 33 * DAY).id

    def acts(hand: Hand, at: int) -> list[Callable[[], object]]:
        signed: dict[str, Any] = {"now": NOW, "hand": hand}
        return [
            lambda: drawn(hand, at=at),
            lambda: return_stock.return_stock(
                quantity=q("10 g"), job="D-7", lot=lot.id, at=at, **signed
            ),
            lambda: yard.mix.mix(
                resin="LAM", amount=q("1 kg"), job="D-7", temperature=heat("20 degC"),
                catalyst_percent=Decimal(2), mixed_at=at, **signed,
            ),
            lambda: lay_up.lay_up(
                job="D-7", title="Plies", kind="laminate", bay="SHED", product="LAM",
                catalyst_percent=Decimal(2), applied_at=at, **signed,
            ),
            lambda: observe_layup(finding.layup(layup), kind="gelled", at=at, **signed),
            lambda: count.count(lot=lot.id, quantity=q("9 kg"), counted_at=at, **signed),
        ]  # fmt: skip

    for act in acts(RUI, LONG_AGO):
        assert "lead" in refused(act, books)
    for act in [*acts(RUI, NOW - 29 * DAY), *acts(HAND, LONG_AGO)[:-1]]:
        act()


def test_a_loggers_readings_reach_back_as_far_as_they_go() -> None:
    """A year of hourly readings is no back-dated act."""
    told = [{"at": NOW - 300 * DAY, "temperature": heat("12 degC")}]
    assert read_bay.read_bay(bay="SHED", readings=told, now=NOW, hand=RUI).recorded == 1


def test_a_hand_undoes_its_own_of_a_day(books: Database) -> None:
    """Not another's, not its own of yesterday's yesterday; a lead undoes any."""
    yard.stocked()
    own, late, others = drawn(RUI), drawn(RUI), drawn(HAND)
    unproven = drawn(Hand("Rui", verified=False))

    def undo(line: int, hand: Hand, now: int = NOW + H) -> object:
        return reverse.reverse(reverses=line, reason="the wrong drum", now=now, hand=hand)

    undo(own, RUI, NOW + 24 * H)
    for line, now in ((late, NOW + 24 * H + 1), (others, NOW + H), (unproven, NOW + H)):
        assert "lead" in refused(lambda line=line, now=now: undo(line, RUI, now), books)
    for line in (late, others, unproven):
        undo(line, HAND, NOW + 3 * DAY)


def test_a_pot_not_mixed_is_undone_by_the_same_rule(books: Database) -> None:
    """It puts stock back, so it is an undoing."""
    yard.stocked()
    pot = finding.batch(yard.pot().id)

    def never_mixed(hand: Hand) -> object:
        return observe_pot(pot, kind="not_mixed", now=NOW, hand=hand)

    refused(lambda: never_mixed(RUI), books)
    never_mixed(HAND)


def test_a_reading_is_corrected_by_the_same_rule(books: Database) -> None:
    """A hand mends what it typed wrong itself; what others read is a lead's to correct."""

    def read(celsius: int, hand: Hand, now: int = NOW, **more: Any) -> object:
        reading = {"at": NOW, "temperature": heat(f"{celsius} degC"), **more}
        return read_bay.read_bay(bay="SHED", readings=[reading], now=now, hand=hand)

    mend: dict[str, Any] = {"replaces": True, "reason": "read it upside down"}
    read(91, RUI)
    read(19, RUI, NOW + H, **mend)
    refused(lambda: read(20, Hand("Eva", verified=True), NOW + H, **mend), books)
    refused(lambda: read(20, RUI, NOW + 2 * DAY, **mend), books)
    read(20, HAND, NOW + 2 * DAY, **mend)


def test_what_was_decided_stands_in_the_logbook() -> None:
    """Holds, releases and overrides, newest first, each with its reason and who."""
    drum, _ = yard.stocked()
    change_lot.change_lot(drum, held=True, reason="smells wrong", now=NOW, hand=RUI)
    drawn(HAND, product=None, lot=drum.id, override={"reason": "for a mould plug"})
    change_lot.change_lot(
        finding.lot(drum.id), held=False, reason="two cups in order", now=NOW + H, hand=HAND
    )
    name = f"lot {drum.number}/1 (LAM)"
    told = read_logbook.read_logbook(None, 10)
    assert [(each.kind, each.about, each.reason, each.who) for each in told] == [
        ("released", name, "two cups in order", "Ines"),
        ("overridden", f"held-lot: {name}", "for a mould plug", "Ines"),
        ("held", name, "smells wrong", "Rui"),
    ]
    assert [each.id for each in read_logbook.read_logbook(told[0].id, 1)] == [told[1].id]


def test_a_hand_receives_nothing_of_long_ago(books: Database) -> None:
    """A delivery is booked within 30 days; what came before that, a lead takes over."""

    def received(days: int, hand: Hand) -> None:
        receive_lot.receive_lot(
            product="LAM", number=f"L{days}", quantity=q("1 kg"), received_on=yard.day(-days),
            now=NOW, hand=hand,
        )  # fmt: skip

    received(30, RUI)
    assert "lead" in refused(lambda: received(31, RUI), books)
    received(31, HAND)
