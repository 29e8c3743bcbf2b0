"""Sharing: a mix in several pots, each spread before it gels and none over the greatest pot.

One pair of hands stirs a pot, spreads it, and only then stirs the next. A pot of m mg at a
spreading rate of r mg/s is spread m/r seconds after it is stirred. That must lie within its
working time: a share of the earliest gel time, less the stirring (see `pot.timed`).
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil
from typing import Literal

from ..errors import Invalid, OutsideLimits
from ..frozen import frozen

MOST_POTS = 60
"""More pots than this in one go are more than a shift's work (common practice, no source)."""

LONGEST_S = 7 * 86_400
"""A mix that takes longer than a week to spread is not one mix."""

Working = Callable[[int, float], float]
"""Working time in s of a pot, by its resin (mg) and the moment of its mixing (epoch s)."""


@frozen
class Turn:
    """One pot: its resin in mg; mixed, spread from and until, epoch s; its working time in s."""

    resin: int
    mixed: float
    spread_from: float
    spread_until: float
    working: float

    @property
    def in_time(self) -> bool:
        """Whether it is spread within its working time."""
        return self.spread_until - self.spread_from <= self.working + 1e-6


@frozen
class Run:
    """The pots in their order, and the limit that sets their number: `pot_max`, `time` or None."""

    turns: tuple[Turn, ...]
    limited_by: Literal["pot_max", "time"] | None


def share(
    resin: int,
    rate: float,
    start: float,
    mixing: float,
    fits: Callable[[int], bool],
    working: Working,
    *,
    more_time: Callable[[], str],
) -> Run:
    """Share a mix in the fewest equal pots that are all spread in time.

    Args:
        resin: mg in all. rate: mg/s that the hands spread. start: of the first mixing, epoch s.
        mixing: s of stirring a pot. fits: whether a pot of so many mg is within the greatest pot.
        more_time: gives the advice on how to get more time before a mix gels.

    Raises:
        Invalid: no resin or no rate. OutsideLimits: it takes over `MOST_POTS` pots or a week, or
            a pot gels while it is stirred.
    """
    if resin <= 0 or rate <= 0 or mixing < 0:
        raise Invalid(
            "The amount and the rate of spreading must be over zero.",
            advice="Check both, and their units.",
        )
    least = next((n for n in range(1, MOST_POTS + 1) if fits(ceil(resin / n))), None)
    if least is None:
        raise _too_many("the greatest pot", more_time)
    for count in range(least, MOST_POTS + 1):
        turns = _turns(sizes(resin, count), rate, start, mixing, working)
        last = turns[-1]
        if last.in_time and last.spread_until - start <= LONGEST_S:
            return Run(tuple(turns), _limit(count, least))
        if last.working <= 0:
            raise OutsideLimits(
                "The pot would gel while it is stirred.",
                advice=f"For more time: {more_time()}.",
            )
    raise _too_many("the time there is before it gels", more_time)


def _limit(count: int, least: int) -> Literal["pot_max", "time"] | None:
    if count > least:
        return "time"
    return "pot_max" if count > 1 else None


def sizes(resin: int, count: int) -> list[int]:
    """The sizes of equal pots, in whole mg; the first ones take the remainder."""
    each, more = divmod(resin, count)
    return [each + 1] * more + [each] * (count - more)


def _turns(
    pots: list[int], rate: float, start: float, mixing: float, working: Working
) -> list[Turn]:
    """The pots one after another, up to the first that gels before it is spread."""
    turns: list[Turn] = []
    at = start
    for resin in pots:
        ready = at + mixing
        turns.append(Turn(resin, at, ready, ready + resin / rate, working(resin, at)))
        at = turns[-1].spread_until
        if not turns[-1].in_time:
            break
    return turns


def _too_many(what: str, more_time: Callable[[], str]) -> OutsideLimits:
    return OutsideLimits(
        f"By {what} it would take over {MOST_POTS} pots, or a week.",
        advice=f"Do it in several goes, or with more hands. For more time: {more_time()}.",
        most=MOST_POTS,
    )
