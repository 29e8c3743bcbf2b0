"""The connections that are open, counted by the address that they come from.

A new connection is always taken. Where there are too many, one that is worth least is ended: of
the same address or, in all, of the address that has most. So neither a machine that opens many
shuts others out, nor one of its own programs another.
"""

from __future__ import annotations

import asyncio
from collections import Counter
from dataclasses import dataclass, field

from ..context.throttle import counted_by

MOST_EACH = 32
"""Of one address. A browser opens six."""
MOST = 240
"""In all. Each may need three of the thousand file handles that a process usually has."""


@dataclass(eq=False)
class Caller:
    """One connection.

    Attributes:
        address: where it comes from.
        asking: whether a whole request is still to come: silent, in its head, or in its body.
        moved: when something last went either way, by the event loop's clock.
        task: what serves it.
    """

    address: str
    moved: float
    asking: bool = True
    task: asyncio.Task[None] | None = field(default=None, repr=False)


class Crowd:
    """The open connections."""

    def __init__(self, most_each: int = MOST_EACH, most: int = MOST) -> None:
        self._most_each, self._most = most_each, most
        self._open: dict[Caller, str] = {}

    def add(self, caller: Caller) -> None:
        """Take a connection, and end another where there are too many."""
        key = counted_by(caller.address)
        mine = [each for each, at in self._open.items() if at == key]
        if len(mine) >= self._most_each:
            self._end_one(mine)
        elif len(self._open) >= self._most:
            self.make_room()
        self._open[caller] = key

    def make_room(self) -> None:
        """End one connection of the address that has most."""
        if self._open:
            ((most, _),) = Counter(self._open.values()).most_common(1)
            self._end_one([each for each, at in self._open.items() if at == most])

    def remove(self, caller: Caller) -> None:
        """Forget a connection that ended."""
        self._open.pop(caller, None)

    def tasks(self) -> set[asyncio.Task[None]]:
        """What serves the open connections."""
        return {each.task for each in self._open if each.task is not None}

    def _end_one(self, some: list[Caller]) -> None:
        """End the one that has asked nothing whole for longest or, if all have, the quietest."""
        worst = min(some, key=lambda each: (not each.asking, each.moved))
        self.remove(worst)
        if worst.task is not None:
            worst.task.cancel()
