"""Nothing goes on a layer that is not sound; in trouble it stays until somebody says what became.

The shed keeps 20 °C: the resin's cup gels in 20 min, and within 40 at the latest.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.cure import gates, lay_up, watch
from cureyard_service.acts.cure.change_layup import change_layup
from cureyard_service.acts.cure.lists import list_layups
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.cure.take_back import take_back_seen
from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.pots.take_back import take_back_pot_seen
from cureyard_service.acts.wall import calendar, wall
from cureyard_service.acts.wall import now as what_now
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.cure.signs import TROUBLE
from cureyard_service.core.words import shown
from cureyard_service.store import tables
from cureyard_service.store.yard.hands import Hand
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")

PLAIN_HAND = Hand("Rui", verified=False, role="hand")
BY_LEAVE = {"reason": "the surveyor wants it so"}


def laid(hours: float = 0, **facts: Any) -> int:
    """A layup that went on so many hours before now."""
    at = int(NOW - hours * H)
    asked = {"product": "LAM", "catalyst_percent": Decimal(2), "now": at} | facts
    return int(yard.laid(**asked).id)


def felt(layup: int, kind: str, now: int = NOW, **facts: Any) -> LayupView:
    """A layup, and what a hand saw of it."""
    return observe_layup(finding.layup(layup), kind=kind, now=now, **{"hand": HAND, **facts})


def look(layup: int, now: int = NOW, as_known_at: int | None = None) -> LayupView:
    """A layup as it stands at a moment, or as it was told then."""
    return show_layup(watch.watch(finding.layup(layup), now, as_known_at))


def suspect() -> int:
    """Wet at two hours, which is more than twice its latest."""
    layup = laid(3)
    felt(layup, "not_gelled", at=NOW - H)
    return layup


def late() -> int:
    """Wet a little after its latest."""
    layup = laid(1)
    felt(layup, "not_gelled", at=NOW)
    return layup


def wet() -> int:
    """Just laid."""
    return laid(0.05)


def may_be_wet() -> int:
    """At the hour of its gel, before the latest."""
    return laid(1 / 3)


def stalled() -> int:
    """A day in a barn of 4 °C."""
    return laid(24, bay="BARN")


def last_felt_wet() -> int:
    """Wet when it might be, and nobody felt it again in four hours."""
    layup = laid(5)
    felt(layup, "not_gelled", at=NOW - 5 * H + 5 * MIN)
    return layup


def called_gelled() -> int:
    """Gelled, said one hand; wet, said the next."""
    layup = laid(0.3)
    felt(layup, "gelled", at=NOW - 10 * MIN)
    felt(layup, "not_gelled", at=NOW - 5 * MIN)
    return layup


UNSOUND = [suspect, late, wet, may_be_wet, stalled, last_felt_wet, called_gelled]


@pytest.mark.parametrize("made", UNSOUND, ids=lambda made: made.__name__)
def test_nothing_goes_on_it(books: Database, made: Callable[[], int]) -> None:
    """Refused as it stands, nothing changed, and not by a hand's own leave."""
    lower = made()
    before = yard.contents(books)
    with pytest.raises(errors.UnsoundBelow, match=f"Layup {lower}") as refused:
        laid(over=lower)
    assert (refused.value.pointer, refused.value.fields["layup"]) == ("/over", lower)
    with pytest.raises(errors.UnsoundBelow):
        felt(lower, "covered")
    with pytest.raises(errors.NotAllowed):
        lay_up.lay_up(
            job="D-7", title="Over", kind="laminate", bay="SHED", product="LAM",
            catalyst_percent=Decimal(2), over=lower, now=NOW, hand=PLAIN_HAND, override=BY_LEAVE,
        )  # fmt: skip
    assert yard.contents(books) == before


def faces(layup: int, now: int) -> dict[str, bool]:
    """On which faces a layup is told of as one in trouble."""
    told = what_now.what_now(now)
    (action,) = [a.action for a in told.actions if a.layup == layup] or ["none"]
    row = finding.layup(layup)
    gate = next(g for g in gates.judge(row.job, now) if g.rule.gate == "sound-below")
    found = shown(gate.found, "metric")
    events = [e.name for e in calendar.calendar(now).events if e.layup == layup and not e.cancelled]
    seen = look(layup, now)
    return {
        "now": action in ("probe", "heat", "touch"),
        "wall": layup in {row.layup.id for row in wall.wall(now).rows if row.layup},
        "gates": (gate.verdict, f"(layup {layup})" in found) == ("stop", True),
        "curing": any(e.id == layup for e in list_layups(None, 50, now, curing=True)),
        "state": bool(TROUBLE & set(seen.state)),
        "no window": seen.window is None and "finished" not in seen.state,
        "calendar": events in (["probe"], ["heat"]),
    }


@pytest.mark.parametrize("how", ["laid over", "observed as covered"])
@pytest.mark.parametrize("made", UNSOUND, ids=lambda made: made.__name__)
def test_covered_by_leave_it_stays_in_trouble(made: Callable[[], int], how: str) -> None:
    """On every face, a week on too; the leave is on record, by its slug."""
    lower = made()
    if how == "laid over":
        upper = laid(over=lower, override=BY_LEAVE)
    else:
        upper = lower
        felt(lower, "covered", override=BY_LEAVE)
    (row,) = yard.overrides()
    assert (row.slug, row.reason, row.layup_id) == ("unsound-below", BY_LEAVE["reason"], upper)
    for now in (NOW, NOW + 7 * 24 * H):
        assert faces(lower, now) == dict.fromkeys(faces(lower, now), True), now
    assert finding.layup(lower).closed_at is None


@pytest.mark.parametrize("word", ["scraped_off", "gelled", "hardness"])
@pytest.mark.parametrize("made", UNSOUND, ids=lambda made: made.__name__)
def test_until_somebody_says_what_became_of_it(made: Callable[[], int], word: str) -> None:
    """Then it is finished, as any that is covered; a stall in the cold wants heat besides."""
    lower = made()
    laid(over=lower, override=BY_LEAVE)
    seen = {"value": 40} if word == "hardness" else {}
    told = felt(lower, word, now=NOW + H, **seen)
    if word == "hardness":  # an early one is asked again
        told = felt(lower, word, now=NOW + H + 60, **seen)
    if made is stalled and word != "scraped_off":
        assert "cold_stalled" in told.state
        change_layup(finding.layup(lower), bay="SHED", now=NOW + 2 * H, hand=HAND)
        told = felt(lower, "solvent_wipe", now=NOW + 4 * H)
    assert (told.state, told.next.action) == (["finished"], "none")
    assert not faces(lower, NOW + 5 * H)["now"]
    assert lower not in [each.layup for each in what_now.what_now(NOW + 5 * H).actions]


def test_wet_again_after_it_was_covered() -> None:
    """A cover does not hide it: what oozes out beside the next layer opens its watch again."""
    lower = laid(5)
    laid(over=lower)
    assert look(lower).state == ["finished"]
    told = felt(lower, "not_gelled", now=NOW + H)
    assert {"wet", "late", "suspect", "unsettled"} <= set(told.state)
    assert faces(lower, NOW + H) == dict.fromkeys(faces(lower, NOW + H), True)
    assert felt(lower, "thumbnail", now=NOW + 2 * H).state == ["finished"]
    again = felt(lower, "not_gelled", now=NOW + 3 * H)
    assert "suspect" in again.state


def test_a_sound_layer_is_covered_as_ever() -> None:
    """In its window by the clock; and early, where a hand found it gelled."""
    for lower in (laid(5), laid(0.3)):
        if lower == 2:
            felt(lower, "gelled", at=NOW - MIN)
        laid(over=lower)
        assert look(lower).state == ["finished"]
    assert yard.overrides() == []


def test_it_is_judged_as_it_stood_when_it_was_covered() -> None:
    """Recorded a day late: wet then is refused, whatever it is by now; so is what was wet later."""
    lower = laid(24)
    felt(lower, "gelled", at=NOW - 20 * H)
    with pytest.raises(errors.UnsoundBelow, match="wet"):
        laid(over=lower, now=NOW, applied_at=NOW - 24 * H + 5 * MIN)
    laid(over=lower, now=NOW, applied_at=NOW - 19 * H)
    other = laid(24)
    felt(other, "not_gelled", at=NOW - 18 * H)
    with pytest.raises(errors.UnsoundBelow, match="after that"):
        laid(over=other, now=NOW, applied_at=NOW - 19 * H)


def test_recorded_late_after_it_was_carried_on() -> None:
    """What lies below was moved since: it is judged where it lay then, and no gate breaks off."""
    lower = laid(24)
    change_layup(
        finding.layup(lower), bay="TENT", moved_at=NOW - 10 * H, now=NOW - 10 * H, hand=HAND
    )
    laid(over=lower, now=NOW, applied_at=NOW - 15 * H)


def test_said_to_be_in_trouble_before_it_was_said_to_be_covered() -> None:
    """A cover that is told late, of when it was sound, takes nothing out of the lists."""
    layup = stalled()
    assert "cold_stalled" in look(layup).state
    felt(layup, "covered", at=NOW - 20 * H, override=BY_LEAVE)
    felt(layup, "handed_over", at=NOW - 19 * H, override=BY_LEAVE)
    assert "cold_stalled" in look(layup).state


def test_covered_wet_and_known_to_have_gelled_since() -> None:
    """Recorded late and by leave, when it had gelled long ago: nothing is left to be told."""
    lower = laid(24)
    felt(lower, "gelled", at=NOW - 20 * H)
    laid(over=lower, now=NOW, applied_at=NOW - 24 * H + 5 * MIN, override=BY_LEAVE)
    assert look(lower).state == ["finished"]


def test_both_refusals_are_told_at_once(books: Database) -> None:
    """Too thick with what is wet below: each by its slug; one leave for both, twice on record."""
    four = yard.units.parse("4 mm", yard.units.SIZE)
    lower = laid(1 / 3, thickness=four)
    before = yard.contents(books)
    with pytest.raises(errors.Refusals) as refused:
        laid(over=lower, thickness=four)
    assert [each.slug for each in refused.value.refusals] == ["outside-limits", "unsound-below"]
    assert yard.contents(books) == before
    laid(over=lower, thickness=four, override=BY_LEAVE)
    assert [row.slug for row in yard.overrides()] == ["outside-limits", "unsound-below"]


def test_a_closed_job_does_not_hide_it() -> None:
    """Its layups in trouble stay; the others end with it."""
    trouble, fine = suspect(), laid(5)
    open_job.change_job(
        finding.job("D-7"), state="closed", reason="craft was sold", now=NOW, hand=HAND
    )
    assert [a.layup for a in what_now.what_now(NOW).actions] == [trouble]
    assert look(fine).state == ["finished"]
    assert felt(trouble, "scraped_off", now=NOW + H).state == ["finished"]


def test_handed_over_in_trouble_it_stays_too() -> None:
    """Nobody said what became of it."""
    layup = suspect()
    felt(layup, "handed_over", override={"reason": "the owner insists"})
    assert "suspect" in look(layup).state


def test_nothing_is_laid_on_what_was_scraped_off() -> None:
    """It is gone: what lay below it counts, and that is said."""
    lower = suspect()
    felt(lower, "scraped_off")
    told = yard.laid(product="LAM", catalyst_percent=Decimal(2), over=lower)
    assert any("was scraped off" in word for word in told.warnings)


def test_what_was_told_of_it_can_be_told_again() -> None:
    """Covered by leave, settled, wet again: each moment's answer is what it was."""
    lower = wet()
    moments = [NOW + MIN, NOW + H, NOW + 2 * H, NOW + 3 * H]
    told = []

    def tell(at: int) -> None:
        told.append(look(lower, at))

    tell(moments[0])
    laid(over=lower, now=NOW + 2 * MIN, override=BY_LEAVE)
    tell(moments[1])
    felt(lower, "gelled", now=NOW + H + MIN)
    tell(moments[2])
    felt(lower, "not_gelled", now=NOW + 2 * H + MIN)
    tell(moments[3])
    felt(lower, "scraped_off", now=NOW + 4 * H)
    again = [look(lower, NOW + 5 * H, as_known_at=at) for at in moments]
    for then, now in zip(told, again, strict=True):
        assert (now.state, now.next, now.closed_at) == (
            then.state, then.next, then.closed_at,
        )  # fmt: skip


def test_a_plan_is_not_built_on_it() -> None:
    """Its clock says nothing that could be planned by."""
    with pytest.raises(errors.UnsoundBelow) as refused:
        watch.ground(finding.layup(suspect()), NOW)
    assert refused.value.pointer == "/after"


def test_what_hands_saw_stands_with_who_and_when() -> None:
    """In the answer, oldest first."""
    layup = laid(5)
    felt(layup, "gelled", at=NOW - 4 * H)
    told = felt(layup, "solvent_wipe", note="no colour on the rag")
    assert [(s.kind, s.at, s.who, s.note) for s in told.observations] == [
        ("gelled", NOW - 4 * H, "Ines", None),
        ("solvent_wipe", NOW, "Ines", "no colour on the rag"),
    ]
    assert tables.LayupObservation.select().count() == 2


def test_what_lies_on_a_layer_comes_off_with_it() -> None:
    """Nothing more is promised of it, and nobody is told to wait for its window."""
    lower = laid(3)
    felt(lower, "gelled")
    middle = laid(over=lower)
    upper = laid(over=middle, override=BY_LEAVE)
    felt(lower, "scraped_off", now=NOW + H)
    for layer in (middle, upper):
        told = look(layer, NOW + H)
        assert (told.state, told.window) == (["finished"], None)
        assert "came off with layup" in told.observations[-1].note
        assert {m.why for m in told.milestones.by_name().values()} == {"scraped-off"}
        with pytest.raises(errors.Invalid, match="was scraped off"):
            felt(layer, "sanded", now=NOW + H)
    assert what_now.what_now(NOW + H).layups == []
    slip = {"reason": "another part", "now": NOW + H, "hand": HAND}
    off = {layer: look(layer, NOW + H).observations[-1].id for layer in (lower, middle)}
    with pytest.raises(errors.Invalid, match="came off with"):
        take_back_seen(finding.layup(middle), off[middle], **slip)
    take_back_seen(finding.layup(lower), off[lower], **slip)
    listed = {layup.id for layup in what_now.what_now(NOW + H).layups}
    assert {middle, upper} <= listed


def test_a_needle_that_sinks_in_settles_nothing() -> None:
    """Barcol 1 of a suspect layer is no hardness: nothing goes on it yet."""
    lower = suspect()
    felt(lower, "hardness", value=1)
    with pytest.raises(errors.UnsoundBelow):
        laid(over=lower)


def of_a_pot(at: int = NOW - 3 * H) -> tuple[tables.Batch, int]:
    """A pot and what it was laid up as."""
    yard.receive("LAM", "20 kg", now=at)
    yard.receive("PEROX", "1 kg", now=at)
    pot = yard.pot(now=at).id
    return tables.Batch.get_by_id(pot), int(yard.laid(pot, now=at).id)


def cup(pot: tables.Batch, kind: str, now: int) -> int:
    """What a hand saw of the rest in the cup."""
    told = observe_pot(pot, kind=kind, now=now, hand=HAND)
    return int(told.observations[-1].id)


def test_a_cup_found_wet_brings_back_what_was_covered() -> None:
    """A pot's word counts for the layups that it went into, also when they had ended."""
    other, base = of_a_pot()
    felt(base, "covered", now=NOW - 2 * H, override=BY_LEAVE)
    cup(other, "gelled", NOW - 2 * H + MIN)
    assert look(base).state == ["finished"]
    wet = cup(other, "not_gelled", NOW)
    assert {"late", "suspect"} & set(look(base).state)
    assert base in {layup.id for layup in what_now.what_now(NOW).layups}
    events = calendar.calendar(NOW).events
    assert {event.name for event in events if event.layup == base} == {"probe"}
    take_back_pot_seen(other, wet, reason="another cup", now=NOW, hand=HAND)
    assert look(base).state == ["finished"]


def test_a_pot_laid_after_it_must_have_gelled_is_unsound_until_a_hand_says() -> None:
    """It is told first of all, and nothing goes on it."""
    yard.stocked()
    layup = int(yard.laid(yard.pot().id, now=NOW + 3 * H).id)
    (action,) = what_now.what_now(NOW + 4 * H).actions
    assert action.action == "probe"
    assert "must have gelled by" in action.text
    with pytest.raises(errors.UnsoundBelow, match="must have gelled before"):
        laid(over=layup, now=NOW + 4 * H)
    felt(layup, "gelled", now=NOW + 4 * H)  # that is what was feared
    with pytest.raises(errors.UnsoundBelow, match="must have gelled before"):
        laid(over=layup, now=NOW + 4 * H)
    for minutes in (0, 10):  # two hours after laying a nail is asked again
        felt(layup, "thumbnail", now=NOW + 5 * H + minutes * 60)
    laid(over=layup, now=NOW + 5 * H + 10 * 60)


def test_a_layer_laid_bare_again_is_watched_again() -> None:
    """What lay on it was scraped off alone."""
    lower = laid(3)
    felt(lower, "gelled")
    upper = laid(over=lower)
    assert look(lower).state == ["finished"]
    felt(upper, "scraped_off", now=NOW + H)
    assert "finished" not in look(lower, NOW + H).state
