"""The leak test of a bag, before resin is in it and with the pump shut off.

A dry bag is pumped down, the valve to the pump is shut, and the vacuum is read twice. Both figures
are those of an aircraft maintenance manual (TM 1-1500-204-23-11, vacuum integrity test, (g)): at
least 20 inHg, and a loss of at most 1 inHg a minute. Pressures are in Pa below the air.
"""

from __future__ import annotations

from ..amounts.sentences import pressure
from ..errors import Invalid
from ..frozen import frozen
from ..words import Text, joined, say

LEAST_VACUUM_PA = 67_700
MOST_LOSS_PA = 3_400
"""In a minute."""
MOST_VACUUM_PA = 100_000
"""More than a pump pulls below the air: who reads so much has a gauge of absolute pressure."""
LEAST_TIME_S, MOST_TIME_S = 5 * 60, 15 * 60
"""The longest: common practice, no source. A bag that empties fast hides it in a long mean."""
RULE = say(
    "A bag passes with at least {} below the air and a loss of at most {} a minute, dry and with "
    "the valve to the pump shut (TM 1-1500-204-23-11, vacuum integrity test).",
    pressure(LEAST_VACUUM_PA),
    pressure(MOST_LOSS_PA),
)
SMALL_BAG = (
    "The same leak empties a small bag sooner than a large one: a small bag may fail by a leak "
    "that a large one hides."
)


@frozen
class Leak:
    """What a leak test found: `loss` in Pa a minute, whether it passed, and why in words."""

    loss: float
    passed: bool
    words: Text


def judge(first: int, second: int, seconds: int) -> Leak:
    """Judge the two pressures of a leak test, Pa below the air, so many seconds apart.

    Raises: Invalid: too soon after each other, or too late; the vacuum rose.
    """
    if seconds < LEAST_TIME_S:
        raise Invalid(
            "The two pressures are less than 5 minutes apart: a slow leak does not show.",
            advice="Leave the valve shut, and read the gauge again after 5 minutes or more.",
            pointer="/second_at",
        )
    if seconds > MOST_TIME_S:
        raise Invalid(
            "The two pressures are more than 15 minutes apart: that hides a fast leak.",
            advice="Pump it down again, and read the gauge 5 to 15 minutes later.",
            pointer="/second_at",
        )
    if second > first:
        raise Invalid(
            say(
                "The vacuum rose, from {} to {} below the air: the pump is on.",
                pressure(first),
                pressure(second),
            ),
            advice="Shut the valve between the pump and the bag, and test again.",
            pointer="/second",
        )
    loss = (first - second) * 60 / seconds
    lacks = _lacks(first, loss)
    lost = say("It loses {} a minute, from {} below the air.", pressure(loss, 1), pressure(first))
    if not lacks:
        return Leak(loss, True, say("Tight enough. {}", lost))
    return Leak(loss, False, joined(" ", ["Not tight enough.", lost, *lacks]))


def _lacks(first: int, loss: float) -> list[Text]:
    lacks: list[Text] = []
    if first < LEAST_VACUUM_PA:
        lacks.append(say("It must begin at {} below the air or more.", pressure(LEAST_VACUUM_PA)))
    if loss > MOST_LOSS_PA:
        lacks.append(
            say(
                "It may lose {} a minute: find the leak along the tape, at pleats and fittings.",
                pressure(MOST_LOSS_PA, 1),
            )
        )
    return lacks


def below_air(given: int, air: int | None) -> int:
    """A pressure as it is kept, Pa below the air.

    Args:
        given: below the air; or absolute, where the `air`'s own pressure is told.

    Raises: Invalid: it is over the air's, or more than a pump pulls.
    """
    if air is None:
        if given > MOST_VACUUM_PA:
            raise Invalid(
                say("No pump pulls {} below the air.", pressure(given)),
                advice="If the gauge shows absolute pressure, say so and give the air's own.",
            )
        return given
    if given > air:
        raise Invalid(
            "That is more than the air's own pressure, so it is no vacuum.",
            advice="Give both as absolute pressures, or leave the air's out and give what the "
            "gauge shows below the air.",
        )
    return air - given
