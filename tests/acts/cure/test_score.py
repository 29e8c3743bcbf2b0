"""What a layup was told when it was laid, and how it came out by what hands saw."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.score import ScoreView, score_of
from cureyard_service.acts.cure.show import LayupView
from cureyard_service.acts.cure.take_back import take_back_layup
from cureyard_service.acts.yard import finding

from ... import makers
from .. import by_hand
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")


def ready(**facts: Any) -> LayupView:
    """A layup at 2 % that needs no stock: gel 20 min, opens after 2 h."""
    return yard.laid(product="LAM", catalyst_percent=Decimal(2), **facts)


def seen(layup: LayupView, kind: str, minutes: float) -> None:
    """What a hand saw so many minutes after it was laid."""
    at = int(NOW + minutes * MIN)
    observe_layup(finding.layup(layup.id), kind=kind, now=at, hand=HAND)


def score(now: int = NOW + DAY) -> ScoreView:
    """How the laminating resin's promises came out."""
    return score_of(finding.product("LAM"), now)


@pytest.mark.parametrize(
    ("looks", "outcomes"),
    [
        ([("gelled", 20)], {"gel": "kept"}),
        ([("gelled", 10)], {"gel": "early"}),
        ([("not_gelled", 35), ("gelled", 38)], {"gel": "late"}),
        ([("gelled", 90)], {}),  # it came at some time before: that tells nothing
        ([("not_gelled", 10)], {}),
        ([("gelled", 20), ("no_transfer", 110)], {"gel": "kept", "recoat_opens": "kept"}),
        ([("gelled", 18), ("no_transfer", 60)], {"gel": "kept", "recoat_opens": "early"}),
        ([("no_transfer", 300)], {}),
    ],
)
def test_a_look_tells_how_a_promise_came_out(
    looks: list[tuple[str, float]], outcomes: dict[str, str]
) -> None:
    """Against the band that was told when it was laid; what a look can't tell is not counted."""
    layup = ready()
    for kind, minutes in looks:
        seen(layup, kind, minutes)
    told = score()
    assert {each.stage: each.outcome for each in told.promises} == outcomes
    assert told.counted == len(outcomes)
    assert told.outside == sum(each != "kept" for each in outcomes.values())
    for each in told.promises:
        assert each.latest is not None
        assert each.earliest < each.likely < each.latest


def test_a_promise_is_kept_as_it_was_told() -> None:
    """A colder bay and a slower sheet change the forecast, not what was said."""
    layup = ready()
    told = layup.milestones.gel
    cold = [{"at": NOW + MIN, "temperature": yard.heat("12 degC")}]
    read_bay.read_bay(bay="SHED", readings=cold, now=NOW + MIN, hand=HAND)
    yard.revise("LAM", makers.sheet(gel_times=[makers.gel_time("20 degC", "60 min")]))
    seen(layup, "gelled", 20)
    (kept,) = score().promises
    assert (kept.earliest, kept.likely, kept.latest) == pytest.approx(
        (told.earliest - NOW, told.at - NOW, told.latest - NOW), abs=1
    )
    assert kept.seen == 20 * MIN


def test_promises_that_fail_too_often_are_said_so() -> None:
    """One of a few is chance; three early of three are not. What was not laid counts no more."""
    layups = [ready() for _ in range(3)]
    seen(layups[0], "gelled", 10)
    assert (score().outside, score().words) == (1, None)
    for layup in layups[1:]:
        seen(layup, "gelled", 10)
    told = score()
    assert (told.counted, told.outside) == (3, 3)
    assert told.expected == pytest.approx(0.3)
    assert told.words is not None
    assert told.words.startswith("Of the last 3 promises that a look tells of, 3 fell outside")


def test_what_was_not_laid_promised_nothing() -> None:
    """A layup that was entered by mistake is not scored."""
    layup = ready()
    take_back_layup(finding.layup(layup.id), reason="another job", now=NOW + H, hand=HAND)
    assert score().counted == 0


def test_a_pair_s_cups_say_how_it_gels() -> None:
    """All its lots together, as the next untested lot is taken; none without a cup."""
    drum, bottle = yard.stocked()
    assert score().pairs == []
    yard.cup(drum, bottle, "24 min")
    (pair,) = score(NOW).pairs
    assert (pair.catalyst, pair.cups) == ("PEROX", 1)
    assert pair.factor == pytest.approx(by_hand.factors(24 / 20, others=1)[1], rel=0.01)
    assert 8 < pair.spread_percent < 15
