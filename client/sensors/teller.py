"""Tells the service what was heard, in order, each reading once; what it can't take yet waits."""

from __future__ import annotations

import queue
import secrets
from collections.abc import Callable
from dataclasses import dataclass, field

from ..api import Answer, Api, at
from ..exits import Refused, Stopped, Unreached
from . import patience

MOST_WAITING = 10_000
"""Readings that wait for the service: a week of one each minute. Then the oldest is given up."""
_STOPS = frozenset({401, 403, 404})
"""Statuses that each next reading would meet too: the token, or the bay."""


@dataclass(frozen=True)
class Heard:
    """A reading as it was heard; its key lets it be sent again.

    Attributes:
        at: RFC 3339. temperature: with its unit. humidity: percent.
    """

    at: str
    temperature: str
    humidity: float | None = None
    key: str = field(default_factory=lambda: secrets.token_hex(16))


class Teller:
    """Readings on their way to the service. `hear` and `stop` may be called by any thread.

    Args:
        api: the service. bay: whose readings they are. say: tells a person.
        told: shows a reading with the service's answer.
    """

    def __init__(
        self,
        api: Api,
        bay: str,
        say: Callable[[str], None],
        told: Callable[[Heard, Answer], None],
        most: int = MOST_WAITING,
    ) -> None:
        self._api, self._path = api, at("bays", bay, "readings")
        self._say, self._told = say, told
        self._waiting: queue.Queue[Heard | Stopped] = queue.Queue(most)
        self._last_at = ""
        self._gave_up = self._too_often = False
        self._in_hand = 0

    def hear(self, heard: Heard) -> None:
        """Keep a reading until it is told; of two in one second the first."""
        if heard.at == self._last_at:
            if not self._too_often:
                self._say("Several readings came in a second: the first of each second counts.")
            self._too_often = True
            return
        self._last_at = heard.at
        self._put(heard)

    def stop(self, why: Stopped) -> None:
        """Have `tell` end, after what waits."""
        self._put(why)

    def waiting(self) -> int:
        """How many wait, with the one that is being told."""
        return self._waiting.qsize() + self._in_hand

    def tell(self) -> None:
        """Tell readings as they come, until interrupted.

        Raises: Stopped: the service takes none of these readings, or `stop` was called.
        """
        while True:
            heard = self._waiting.get()
            if isinstance(heard, Stopped):
                raise heard
            self._in_hand = 1
            try:
                self._told(heard, self._tell_one(heard))
            except Refused as refused:
                if refused.status in _STOPS or isinstance(refused, Unreached):
                    raise
                self._say(f"Passed over, {heard.temperature} of {heard.at}: {refused.message}")
            self._in_hand = 0

    def _tell_one(self, heard: Heard) -> Answer:
        reading = {"at": heard.at, "temperature": heard.temperature}
        if heard.humidity is not None:
            reading["humidity_percent"] = heard.humidity  # type: ignore[assignment]  # JSON
        body = {"readings": [reading], "probe": True}
        return patience.until_answered(
            lambda: self._api.post(self._path, body, key=heard.key), self._say
        )

    def _put(self, what: Heard | Stopped) -> None:
        while True:
            try:
                self._waiting.put_nowait(what)
            except queue.Full:
                self._give_up_oldest()
            else:
                return

    def _give_up_oldest(self) -> None:
        try:
            self._waiting.get_nowait()
        except queue.Empty:  # it was just told
            return
        if not self._gave_up:
            self._say(f"{self._waiting.maxsize} readings wait: the oldest are given up.")
        self._gave_up = True
