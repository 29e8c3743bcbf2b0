"""Whether a probe's reading is believed: air changes slowly, a broken probe does not.

A reading near the last believed one is believed. One that jumped is doubted until the probe has
stayed near its new level for `STAYS_S`. So a door or a heater is believed at the next reading; a
device that sends the same reading again, for want of an answer, confirms nothing. After a jump,
what no shop has is not believed however often it is said: a probe whose wire is off says 85 or
115 degC all day. A tent that is heated step by step gets there believed, and so does one whose
temperature a hand reads: a hand is always believed.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from ..amounts.quantities import ZERO_C
from ..frozen import frozen

Doubt = Literal["jumped", "beyond"]

JUMP_K = Decimal(3)
"""The most that the air of a shop changes in a minute, where the yard says nothing else (common
practice, no source)."""
LONGEST_S = 5 * 60
"""After a longer pause a reading may differ by no more than after this one (common practice, no
source): else a pause of an hour would let anything pass."""
STAYS_S = 30
"""How long a probe must stay near a new level (common practice, no source)."""
HAND_HOLDS_S = 30 * 60
"""So long after a hand read the bay a probe that jumped away from it is not believed, however often
it says so (common practice, no source)."""
SHOP_K = (ZERO_C - 40, ZERO_C + 60)
"""What the air of a shop can be without a step by step climb (common practice, no source)."""


@frozen
class Said:
    """A reading: moment, epoch s; temperature, K.

    Attributes:
        doubt: None where it is believed. level_from: since when the probe is near this level,
            epoch s; on a believed reading the beginning of the level that it confirms, or None.
    """

    at: int
    kelvins: float
    doubt: Doubt | None = None
    level_from: int | None = None


def judged(
    at: int,
    kelvins: float,
    *,
    before: Said | None,
    believed: Said | None,
    jump: float,
    hand_read_at: int | None = None,
) -> Said:
    """A new reading of a probe, judged by those before it.

    Args:
        before: the bay's last reading before it, believed or not. believed: the last believed one.
        jump: the most that it may change in a minute, K.
        hand_read_at: when a hand last read the bay before it, epoch s; None if never.
    """
    if believed is not None and _is_near(believed, at, kelvins, jump):
        return Said(at, kelvins)
    if not SHOP_K[0] <= kelvins <= SHOP_K[1]:
        return Said(at, kelvins, "beyond")
    if believed is None:
        return Said(at, kelvins)
    if before is not None and before.doubt == "jumped" and _is_near(before, at, kelvins, jump):
        since = before.at if before.level_from is None else before.level_from
        held = hand_read_at is not None and at - hand_read_at < HAND_HOLDS_S
        stayed = at - since >= STAYS_S and not held
        return Said(at, kelvins, None if stayed else "jumped", since)
    return Said(at, kelvins, "jumped", at)


def _is_near(other: Said, at: int, kelvins: float, jump: float) -> bool:
    """Whether so much can change in the time since another reading; a minute at least."""
    minutes = min(max(at - other.at, 60), LONGEST_S) / 60
    return abs(kelvins - other.kelvins) <= jump * minutes + 1e-9
