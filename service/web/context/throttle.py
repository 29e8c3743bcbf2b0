"""Slow down wrong tokens, counted by the address that they come from.

A token can't be guessed; this keeps whoever tries from slowing the others. A right token is never
slowed down, however many wrong ones come from its address: several people, a bell and a screen
share an office's address. Each process counts for itself, and forgets when it ends.
"""

from __future__ import annotations

import ipaddress
import math
import time
from functools import cached_property
from typing import Any

from ..problems import SlowDown

MOST_A_MINUTE = 20


class Failures:
    """The wrong tokens of each address in the last minute."""

    def count(self, address: str) -> None:
        """Count a wrong token of an address.

        Raises:
            SlowDown: there were too many; it says after how many seconds to try another.
        """
        if self._limiter.hit(self._limit, counted_by(address)):
            return
        resets = self._limiter.get_window_stats(self._limit, counted_by(address)).reset_time
        raise SlowDown(
            "Too many wrong tokens came from your address.",
            advice="Send the right one, which is answered at once, or ask an admin for a new one; "
            "to try another, wait a minute.",
            retry_after_s=max(1, math.ceil(resets - time.time())),
        )

    @cached_property
    def _limiter(self) -> Any:
        from limits.storage import MemoryStorage  # late: most days no token is wrong
        from limits.strategies import MovingWindowRateLimiter

        return MovingWindowRateLimiter(MemoryStorage())

    @cached_property
    def _limit(self) -> Any:
        from limits import RateLimitItemPerMinute

        return RateLimitItemPerMinute(MOST_A_MINUTE)


def counted_by(address: str) -> str:
    """An address; of IPv6 its /64 network, since one machine may use all its addresses."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return address
    return str(ipaddress.ip_network((found, 64), strict=False)) if found.version == 6 else address
