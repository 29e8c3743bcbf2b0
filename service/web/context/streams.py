"""Streams of server-sent events (WHATWG HTML, 'Server-sent events'): how many, and their form.

Each open stream holds a thread of the server, so their number is limited to the threads that were
added for them. Each ends after a while, to let others in; receivers reconnect by themselves.
"""

from __future__ import annotations

from threading import BoundedSemaphore, Event
from typing import Any

from ..problems import StreamsFull

MEDIA_TYPE = "text/event-stream"
HEADERS = {"X-Accel-Buffering": "no"}
"""Without it nginx would hold events back until it had a few kilobytes."""
STREAM: dict[str, Any] = {
    "anyOf": [
        {
            "type": "object",
            "properties": {
                "id": {"type": "string"},
                "data": {"type": "string", "contentMediaType": "application/json"},
            },
            "required": ["id", "data"],
        },
        {"type": "string"},
    ]
}
"""JSON Schema of each event, or of their text: OpenAPI before 3.2 leaves open which is meant."""
MOST = 4
"""Streams that may be open at once."""
RETRY_MS = 5_000
"""After so long a receiver reconnects."""
FULL_RETRY_S = 60


class Streams:
    """The streams of one running service."""

    def __init__(self) -> None:
        self._free = BoundedSemaphore(MOST)
        self._ending = Event()

    def begin(self) -> None:
        """Take a place; `end` gives it back.

        Raises:
            StreamsFull: no place is free; it says after how many seconds to try again.
        """
        if not self._free.acquire(blocking=False):
            raise StreamsFull(
                f"All {MOST} streams are in use.",
                advice="Close one, or come back later.",
                retry_after_s=FULL_RETRY_S,
            )

    def end(self) -> None:
        """Give a place back."""
        self._free.release()

    def end_all(self) -> None:
        """End every stream: the service stops."""
        self._ending.set()

    def rest(self, seconds: float) -> bool:
        """Wait, and say whether the service goes on."""
        return not self._ending.wait(seconds)


def beginning(last: int) -> str:
    """The beginning of a stream: when to reconnect, and the number of the last event."""
    return f"retry: {RETRY_MS}\n\nid: {last}\n\n"


def event(number: int, data: str) -> str:
    """One event; `data` is a single line."""
    return f"id: {number}\ndata: {data}\n\n"


HEARTBEAT = ": still here\n\n"
"""A comment, so that neither side takes silence for the end."""
