"""How many tables may be made at once: each holds a thread, and all share one processor's time."""

from __future__ import annotations

from threading import BoundedSemaphore

from ...core.errors import Busy

MOST = 2
"""Tables that may be made at once."""
RETRY_S = 5


class Turn:
    """The turn of one table; `over` may be called again."""

    def __init__(self, free: BoundedSemaphore) -> None:
        self._free: BoundedSemaphore | None = free

    def over(self) -> None:
        """Leave the turn to another."""
        free, self._free = self._free, None
        if free is not None:
            free.release()


class Exports:
    """The tables that one running service makes."""

    def __init__(self) -> None:
        self._free = BoundedSemaphore(MOST)

    def begin(self) -> Turn:
        """Take a turn.

        Raises:
            Busy: none is free; it says after how many seconds to try again.
        """
        if not self._free.acquire(blocking=False):
            raise Busy(
                f"{MOST} tables are being made already.",
                advice="Try again in a few seconds.",
                retry_after_s=RETRY_S,
            )
        return Turn(self._free)
