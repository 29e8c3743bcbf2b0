"""Streams of server-sent events (WHATWG HTML, 'Server-sent events'): how many, and their form.

Each open stream holds a thread of the server's, so there are only as many as threads were added
for them, and each ends after a while, which lets others in; whoever listens comes back by itself.
"""

from __future__ import annotations

from threading import BoundedSemaphore, Event

from ..problems import StreamsFull

MEDIA_TYPE = "text/event-stream"
HEADERS = {"X-Accel-Buffering": "no"}
"""nginx would keep events back until it had a few kilobytes of them."""
EVENT = {
    "type": "object",
    "properties": {
        "id": {"type": "string"},
        "data": {"type": "string", "contentMediaType": "application/json"},
    },
    "required": ["id", "data"],
}
"""JSON Schema of one event: OpenAPI before 3.2 describes each of a stream, not all its text."""
MOST = 4
"""Streams that are open at once."""
RETRY_MS = 5_000
"""After which a receiver comes back."""
FULL_RETRY_S = 60


class Streams:
    """The streams of one running service."""

    def __init__(self) -> None:
        self._free = BoundedSemaphore(MOST)
        self._ending = Event()

    def begin(self) -> None:
        """Take a place; `end` gives it back.

        Raises: StreamsFull, with the seconds after which there may be one.
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
        """Wait, and say whether to go on."""
        return not self._ending.wait(seconds)


def beginning(last: int) -> str:
    """What a stream begins with: when to come back, and from where to go on."""
    return f"retry: {RETRY_MS}\n\nid: {last}\n\n"


def event(number: int, data: str) -> str:
    """One event; `data` is a single line."""
    return f"id: {number}\ndata: {data}\n\n"


HEARTBEAT = ": still here\n\n"
"""A comment, so that neither side takes silence for an end."""
