"""A way back for what is not stock: layups, what was noted, readings, jobs closed too early.

Nothing is erased: what a hand was told while it stood is told again by `as_known_at`.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.bays.take_back import TakenBackView, take_back_reading
from cureyard_service.acts.cure import gate_facts, lay_up, watch
from cureyard_service.acts.cure.change_layup import change_layup
from cureyard_service.acts.cure.lists import list_layups
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.cure.take_back import take_back_layup, take_back_seen
from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.jobs import usage
from cureyard_service.acts.pots.card import CardView
from cureyard_service.acts.pots.lists import list_batches
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.pots.take_back import take_back_pot_seen
from cureyard_service.acts.stock import draw, last_entry, reverse
from cureyard_service.acts.stock.movement import list_movements
from cureyard_service.acts.wall import calendar
from cureyard_service.acts.wall import now as what_now
from cureyard_service.acts.yard import finding, tokens
from cureyard_service.acts.yard import logbook as read_logbook
from cureyard_service.acts.yard.taken_back import WithdrawnView
from cureyard_service.core import errors
from cureyard_service.store import bays, tables
from cureyard_service.store.yard.hands import Hand
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H, heat, q

pytestmark = pytest.mark.usefixtures("books")

RUI = Hand("Rui", verified=True)
"""A hand, as one is who was given no other role."""
EVA = Hand("Eva", verified=True)
SLIP: dict[str, Any] = {"reason": "the wrong job", "now": NOW + H, "hand": HAND}


def laid(now: int = NOW, **facts: Any) -> int:
    """A layup that needs no stock; its id."""
    return int(yard.laid(product="LAM", catalyst_percent=Decimal(2), now=now, **facts).id)


def seen(layup: int, kind: str, now: int = NOW, hand: Hand = HAND, **facts: Any) -> int:
    """Something noted of a layup; the observation's id."""
    told = observe_layup(finding.layup(layup), kind=kind, now=now, hand=hand, **facts)
    return int(max(each.id for each in told.observations))


def look(layup: int, now: int = NOW, as_known_at: int | None = None) -> LayupView:
    """A layup as it stands at a moment, or as it was told then."""
    return show_layup(watch.watch(finding.layup(layup), now, as_known_at))


def watched() -> list[int]:
    """The layups that are looked after."""
    return [each.id for each in what_now.what_now(NOW + 2 * H).layups]


def not_laid(layup: int, **facts: Any) -> LayupView:
    """Say that a layup was not laid."""
    return take_back_layup(finding.layup(layup), **(SLIP | facts))


def unsaid(layup: int, observation: int, **facts: Any) -> LayupView:
    """Take back what was noted of a layup."""
    return take_back_seen(finding.layup(layup), observation, **(SLIP | facts))


def read(celsius: int, at: int = NOW, now: int = NOW, hand: Hand = HAND, **more: Any) -> int:
    """A reading of the shed; its id."""
    told = [{"at": at, "temperature": heat(f"{celsius} degC"), **more}]
    read_bay.read_bay(bay="SHED", readings=told, now=now, hand=hand)
    return int(tables.Reading.select().order_by(tables.Reading.id.desc()).get().id)


def shed(as_known_at: int | None = None) -> dict[int, float]:
    """What stands of the shed's readings: moment → °C."""
    rows = bays.readings(finding.bay("SHED").id, 0, NOW + 9 * DAY, as_known_at)
    return {row.at: row.temperature_mk / 1000 - 273.15 for row in rows}


def unread(reading: int, **facts: Any) -> TakenBackView:
    """Take back a reading of the shed."""
    return take_back_reading(finding.bay("SHED"), reading, **(SLIP | facts))


def test_a_layup_that_was_not_laid() -> None:
    """It is gone from where things are looked after and judged, and stays on record."""
    yard.stocked()
    pot = yard.pot().id
    layup = yard.laid(pot).id
    told = not_laid(layup)
    assert (told.state, told.next.action, told.window) == (["not_laid"], "none", None)
    assert {each.at for each in told.milestones.by_name().values()} == {None}
    assert told.withdrawn == WithdrawnView(NOW + H, "Ines", False, "the wrong job")
    assert watched() == []
    assert all(each.cancelled for each in calendar.calendar(NOW + H).events)
    assert gate_facts.last_layup(finding.job("D-7"), NOW + H) is None
    assert usage.usage(finding.job("D-7"), NOW + H).layups == []
    assert [row.id for row in list_layups(None, 9, NOW + H)] == [layup]
    assert "gelled" in look(layup, as_known_at=NOW + H - 1).state


def test_its_pot_was_not_laid_up() -> None:
    """So it may be said that it was never mixed, which is refused of one that was laid up."""
    yard.stocked()
    pot = finding.batch(yard.pot().id)
    layup = yard.laid(pot.id).id

    def never_mixed() -> object:
        return observe_pot(pot, kind="not_mixed", now=NOW + H, hand=HAND)

    with pytest.raises(errors.Invalid, match="went into a layup"):
        never_mixed()
    not_laid(layup)
    never_mixed()
    assert list_batches(None, 9)[0].state == "not_mixed"


def test_what_it_covered_is_watched_again() -> None:
    """As if nothing had been laid over it; and what was told meanwhile is told again."""
    lower = laid()
    upper = laid(now=NOW + H, over=lower)
    assert watched() == [upper]
    not_laid(upper, now=NOW + 2 * H)
    assert watched() == [lower]
    assert look(lower, NOW + 2 * H).closed_at is None
    assert look(lower, as_known_at=NOW + H + 1).closed_at == NOW + H
    assert look(lower, as_known_at=NOW + H - 1).closed_at is None


def test_what_else_covers_it_still_does() -> None:
    """Of two layers over one, the other one; and what a hand saw covered stays covered."""
    lower, seen_covered = laid(), laid()
    first, second = (laid(now=NOW + H, over=lower) for _ in range(2))
    seen(seen_covered, "covered", now=NOW + H)
    upper = laid(now=NOW + H, over=seen_covered)
    not_laid(first, now=NOW + 2 * H)
    not_laid(upper, now=NOW + 2 * H)
    assert watched() == [second]
    assert finding.layup(lower).closed_reason == f"covered by layup {second}"


def test_what_is_built_on_is_not_taken_back(books: Database) -> None:
    """A layer over it, or what hands saw of it, speaks for its having been laid."""
    lower, felt = laid(), laid()
    upper = laid(now=NOW + H, over=lower)
    gelled = seen(felt, "gelled", now=NOW + H)
    before = yard.contents(books)
    for layup, words in ((lower, f"Layup {upper} lies over"), (felt, "was observed since: gelled")):
        with pytest.raises(errors.Invalid, match=words):
            not_laid(layup)
    assert yard.contents(books) == before
    unsaid(felt, gelled)
    not_laid(felt)
    not_laid(upper)
    not_laid(lower)
    with pytest.raises(errors.AlreadyExists, match="before"):
        not_laid(lower)


def test_nothing_is_done_to_a_layup_that_was_not_laid(books: Database) -> None:
    """It is neither seen, nor changed, nor laid over, nor planned from."""
    layup = laid()
    not_laid(layup)
    before = yard.contents(books)
    row = finding.layup(layup)
    acts: tuple[Callable[[], object], ...] = (
        lambda: seen(layup, "gelled", now=NOW + H),
        lambda: change_layup(row, title="Other", now=NOW + H, hand=HAND),
        lambda: laid(now=NOW + H, over=layup),
    )
    for act in acts:
        with pytest.raises(errors.Invalid, match="was not laid"):
            act()
    assert yard.contents(books) == before


def test_what_was_noted_by_mistake() -> None:
    """The gel is forecast again; who said it, and who took it back, stand beside it."""
    layup = laid()
    forecast = look(layup).milestones.gel
    gelled = seen(layup, "gelled", now=NOW + H)
    assert look(layup).milestones.gel.basis == "observed"
    told = unsaid(layup, gelled)
    assert told.observations == []
    (kept,) = told.taken_back
    assert (kept.id, kept.kind, kept.withdrawn.reason) == (
        gelled, "gelled", "the wrong job",
    )  # fmt: skip
    assert look(layup).milestones.gel == forecast
    assert look(layup, as_known_at=NOW + H).taken_back != []
    with pytest.raises(errors.AlreadyExists):
        unsaid(layup, gelled)
    with pytest.raises(errors.NotFound):
        unsaid(laid(), gelled)


@pytest.mark.parametrize("kind", ["covered", "handed_over"])
def test_what_ended_the_watch_by_mistake(kind: str) -> None:
    """It is watched again; it was over for whoever asks what was known in between."""
    layup = laid()
    by_leave = {"override": {"reason": "a mock-up"}} if kind == "handed_over" else {}
    over = seen(layup, kind, now=NOW + H, note="all of it", **by_leave)
    assert watched() == []
    unsaid(layup, over, now=NOW + 2 * H)
    assert watched() == [layup]
    known = [look(layup, as_known_at=NOW + hours).closed_at for hours in (0, H, 2 * H)]
    assert known == [None, NOW + H, None]


def test_what_was_noted_of_a_pot() -> None:
    """A pot called lost goes into work; one that was not mixed is mixed anew."""
    yard.stocked()
    pot = finding.batch(yard.pot().id)

    def noted(kind: str) -> int:
        told = observe_pot(pot, kind=kind, now=NOW, hand=HAND)
        return int(told.observations[-1].id)

    def unnoted(observation: int) -> CardView:
        return take_back_pot_seen(pot, observation, **SLIP)

    lost = noted("lost")
    with pytest.raises(errors.Invalid, match="lost"):
        yard.laid(pot.id)
    assert unnoted(lost).state == "mixed"
    layup = yard.laid(pot.id).id
    forecast = look(layup).milestones.gel
    gelled = noted("gelled")
    assert look(layup).milestones.gel != forecast
    unnoted(gelled)
    assert look(layup).milestones.gel == forecast
    not_laid(layup)
    never = noted("not_mixed")
    with pytest.raises(errors.Invalid, match="went back into stock"):
        unnoted(never)


def test_a_reading_on_the_wrong_bay() -> None:
    """The bay is as if nobody had read it; the same moment can be read again."""
    wrong = read(31)
    forecast = look(laid()).milestones.gel
    assert unread(wrong) == TakenBackView(1)
    assert shed() == {}
    assert look(laid()).milestones.gel != forecast
    assert shed(as_known_at=NOW + H - 1) == {NOW: pytest.approx(31)}
    read(20, now=NOW + 2 * H)
    assert shed() == {NOW: pytest.approx(20)}
    told = read_bay.list_readings(finding.bay("SHED").id, None, 9)
    assert [each.withdrawn is None for each in told] == [True, False]


def test_a_correction_taken_back_lets_the_first_stand() -> None:
    """And what was corrected since is not taken back under it."""
    first = read(19)
    mend = {"replaces": True, "reason": "read it upside down"}
    second = read(61, now=NOW + 1, **mend)
    with pytest.raises(errors.Invalid, match="corrected since"):
        unread(first)
    unread(second)
    assert shed() == {NOW: pytest.approx(19)}
    read(18, now=NOW + 2 * H, **mend)
    assert shed() == {NOW: pytest.approx(18)}
    with pytest.raises(errors.NotFound):
        take_back_reading(finding.bay("TENT"), first, **SLIP)


def test_a_loggers_file_on_the_wrong_bay() -> None:
    """All that came with it goes; what others read stays."""
    read(17, at=NOW - 2 * H)
    readings = [{"at": NOW - n, "temperature": heat("30 degC")} for n in range(5)]
    read_bay.read_bay(bay="SHED", readings=readings, now=NOW + 5, hand=HAND)
    last = last_entry.last_entry(HAND).entry
    assert last is not None
    assert (last.kind, last.bay, last.readings) == ("reading", "SHED", 5)
    assert unread(last.reading, whole_entry=True) == TakenBackView(5)
    assert shed() == {NOW - 2 * H: pytest.approx(17)}


@settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(steps=st.lists(st.tuples(st.booleans(), st.integers(10, 30)), min_size=1, max_size=8))
def test_a_moments_readings_are_a_pile(books: Database, steps: list[tuple[bool, int]]) -> None:
    """Each new one lies on top, and whoever takes the top one back finds the one below."""
    at = NOW + int(tables.Reading.select().count())  # each example has a moment of its own
    pile: list[tuple[int, int]] = []
    for number, (adds, celsius) in enumerate(steps):
        signed = NOW + DAY + number
        if adds and (not pile or pile[-1][1] != celsius):
            pile.append((read(celsius, at=at, now=signed, replaces=True, reason="so"), celsius))
        elif pile:
            unread(pile.pop()[0], now=signed)
        stands = {} if not pile else {at: pytest.approx(pile[-1][1])}
        assert {moment: heat for moment, heat in shed().items() if moment == at} == stands
    for reading, _ in reversed(pile):
        unread(reading, now=NOW + 2 * DAY)


def test_a_job_closed_too_early() -> None:
    """What its closing ended is watched again, what ended before is not; the logbook has it."""
    curing, covered = laid(), laid()
    seen(covered, "gelled", now=NOW + 50 * MIN)
    seen(covered, "covered", now=NOW + 50 * MIN)
    job = finding.job("D-7")
    open_job.change_job(job, state="closed", reason="done?", now=NOW + H, hand=HAND)
    assert watched() == []
    told = open_job.change_job(
        finding.job("D-7"), state="open", reason="the keel", now=NOW + 2 * H, hand=HAND
    )
    assert (told.state, told.closed_at, told.close_reason) == ("open", None, None)
    assert watched() == [curing]
    known = [look(curing, as_known_at=NOW + hours).closed_at for hours in (0, H, 2 * H)]
    assert known == [None, NOW + H, None]
    newest = read_logbook.read_logbook(None, 1)[0]
    assert (newest.kind, newest.about, newest.reason) == (
        "job reopened", "job D-7", "the keel",
    )  # fmt: skip
    yard.receive("MAT", "3 m")
    yard.laid(product="LAM", catalyst_percent=Decimal(2), now=NOW + 2 * H)


def test_words_that_were_changed_are_known_as_they_were() -> None:
    """Title, cover and when it was finished: each as it was told at the time."""
    layup = laid()
    before = look(layup)

    def changed(hours: int, **facts: Any) -> None:
        change_layup(finding.layup(layup), now=NOW + hours * H, hand=HAND, **facts)

    changed(1, cover="film")
    changed(2, title="Plies 1-3", finished_at=NOW + H)
    changed(3, bay="TENT")
    names = ("title", "cover", "finished_at")
    known = [
        tuple(getattr(look(layup, as_known_at=NOW + hours * H), name) for name in names)
        for hours in (0, 1, 2, 3)
    ]
    last = ("Plies 1-3", "film", NOW + H)
    assert known == [("Plies", "none", NOW), ("Plies", "film", NOW), last, last]
    then = look(layup, as_known_at=NOW)
    assert then.milestones == before.milestones
    assert then.milestones.sandable != look(layup).milestones.sandable


def test_who_takes_back_what() -> None:
    """A hand its own within a day, a lead anybody's; and so for all four."""
    yard.stocked()
    pot = finding.batch(
        yard.mix.mix(
            resin="LAM", amount=q("1 kg"), job="D-7", temperature=heat("20 degC"),
            catalyst_percent=Decimal(2), now=NOW, hand=RUI,
        ).id
    )  # fmt: skip
    asked: dict[str, Any] = {
        "job": "D-7", "title": "Plies", "kind": "laminate", "bay": "SHED", "product": "LAM",
        "catalyst_percent": Decimal(2),
    }  # fmt: skip
    layup = lay_up.lay_up(now=NOW, hand=RUI, **asked).id
    other = lay_up.lay_up(now=NOW, hand=RUI, **asked).id
    gelled = seen(other, "gelled", hand=RUI)
    lost = observe_pot(pot, kind="lost", now=NOW, hand=RUI).observations[0].id
    reading = read(20, hand=RUI)

    def acts(now: int, hand: Hand) -> list[Callable[[], object]]:
        by: dict[str, Any] = {"reason": "a slip", "now": now, "hand": hand}
        return [
            lambda: not_laid(layup, **by),
            lambda: unsaid(other, gelled, **by),
            lambda: take_back_pot_seen(pot, lost, **by),
            lambda: unread(reading, **by),
        ]

    for act in acts(NOW + H, EVA) + acts(NOW + DAY + 1, RUI):
        with pytest.raises(errors.NotAllowed, match="lead"):
            act()
    mine, others = acts(NOW + DAY, RUI), acts(NOW + 9 * DAY, HAND)
    for act in (*mine[:2], *others[2:]):
        act()


def test_what_a_hand_did_before_the_first_token_is_its_own() -> None:
    """Names could only be given then; a name that is only given now proves nothing."""
    bare = Hand("Rui", verified=False)
    yard.receive("MAT", "9 m")

    def drawn(now: int, hand: Hand) -> int:
        told = draw.draw(
            kind="draw", product="MAT", job="D-7", quantity=q("1 m"), now=now, hand=hand
        )
        return int(told.movements[0].id)

    early = drawn(NOW, bare)
    tokens.add_token(name="Rui", role="hand", now=NOW + 1, hand=HAND)
    late = drawn(NOW + 2, bare)
    (mine,) = list_movements(None, 9, by=RUI)
    assert mine.id == early
    with pytest.raises(errors.NotAllowed):
        reverse.reverse(reverses=late, reason="a slip", now=NOW + H, hand=RUI)
    reverse.reverse(reverses=early, reason="a slip", now=NOW + H, hand=RUI)
