"""Which readings of a probe are believed.

85 degC is what a common digital sensor holds after its power was off, until it measures anew (its
maker's data sheet, from memory); that and a wire off give the same figure again and again.
"""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from cureyard_service.core.amounts.quantities import ZERO_C
from cureyard_service.core.bays.jumps import Said, judged

MINUTE = 60


def told(celsius: Iterable[float], every: int = MINUTE, jump: float = 3.0) -> list[Said]:
    """What becomes of a probe's readings, one after the other."""
    found: list[Said] = []
    for number, each in enumerate(celsius):
        sure = [said for said in found if said.doubt is None]
        found.append(
            judged(
                number * every,
                ZERO_C + each,
                before=found[-1] if found else None,
                believed=sure[-1] if sure else None,
                jump=jump,
            )
        )
    return found


def doubts(celsius: Iterable[float], every: int = MINUTE, jump: float = 3.0) -> list[str | None]:
    """The doubt of each."""
    return [said.doubt for said in told(celsius, every, jump)]


J, B, SURE = "jumped", "beyond", None


@pytest.mark.parametrize(
    ("celsius", "said"),
    [
        ([19.4, 19.5, 19.3], [SURE, SURE, SURE]),
        ([19, 22, 25], [SURE, SURE, SURE]),  # to the figure
        ([19, 22.1, 19], [SURE, J, SURE]),  # over it
        ([19, 35, 19, 35, 19], [SURE, J, SURE, J, SURE]),  # a loose wire
        ([19, 35, 35.5, 36], [SURE, J, SURE, SURE]),  # a heater beside it
        ([19, 5, 4, 4], [SURE, J, SURE, SURE]),  # a door
        ([19, 27, 34, 38, 40], [SURE, J, J, J, SURE]),  # quick, and then near itself
        ([19, 85, 85, 85, 19], [SURE, B, B, B, SURE]),
        ([115, 115, 19], [B, B, SURE]),  # the first reading that no shop can have
        ([-60, 19], [B, SURE]),
    ],
)
def test_minute_by_minute(celsius: list[float], said: list[str | None]) -> None:
    """At three kelvin in a minute."""
    assert doubts(celsius) == said


def test_a_post_cure_that_is_heated_step_by_step() -> None:
    """To 80 degC at a kelvin in two minutes, and down again: no reading is doubted."""
    up = [20 + n for n in range(61)]
    assert set(doubts([*up, *reversed(up)], every=2 * MINUTE)) == {None}


@pytest.mark.parametrize("every", [1, 5, 10, 20])
def test_the_same_again_within_seconds_confirms_nothing(every: int) -> None:
    """A device that had no answer sends it again: only half a minute at the level tells."""
    said = told([19, *[35] * 40], every)
    first = next(n for n, each in enumerate(said[1:], 1) if each.doubt is None)
    assert said[first].at - said[1].at >= 30
    assert said[first - 1].at - said[1].at < 30
    assert said[first].level_from == said[1].at


@pytest.mark.parametrize(("celsius", "believed"), [(34, True), (36, False)])
@pytest.mark.parametrize("pause", [5 * MINUTE, 60 * MINUTE, 3 * 86_400])
def test_after_a_pause(pause: int, celsius: float, believed: bool) -> None:
    """Five minutes' worth, however long the pause was."""
    assert (doubts([20, celsius], pause)[1] is None) == believed


def test_the_yards_own_figure() -> None:
    """A yard with a roaring heater says more."""
    assert doubts([19, 28], jump=3) == [SURE, J]
    assert doubts([19, 28], jump=10) == [SURE, SURE]
