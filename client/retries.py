"""How often a request is sent again, and the pause before each try.

A request without an answer is sent again. That is safe for a POST only because every try
carries the same idempotency key, so that the store acts on it once.
"""

from __future__ import annotations

from types import TracebackType
from typing import Self

from urllib3.connectionpool import ConnectionPool
from urllib3.exceptions import MaxRetryError
from urllib3.response import BaseHTTPResponse
from urllib3.util.retry import Retry

LONGEST_PAUSE_S = 10
"""Longest Retry-After, in seconds, that a command waits for; after a longer one it ends."""


class ShortRetry(Retry):
    """Retries that obey Retry-After, unless it asks for a long pause."""

    def increment(
        self,
        method: str | None = None,
        url: str | None = None,
        response: BaseHTTPResponse | None = None,
        error: Exception | None = None,
        _pool: ConnectionPool | None = None,
        _stacktrace: TracebackType | None = None,
    ) -> Self:
        """Count one try; stop when the server asks for a long pause."""
        pause = self.get_retry_after(response) if response is not None else None
        if _pool is not None and (pause or 0) > LONGEST_PAUSE_S:
            raise MaxRetryError(_pool, url or "", error)
        return super().increment(method, url, response, error, _pool, _stacktrace)


def retries() -> ShortRetry:
    """Which requests are sent again, and how often.

    A PATCH is not: once it is done, its If-Match no longer holds.
    """
    return ShortRetry(
        total=3,
        read=1,
        redirect=0,
        status_forcelist=(429, 502, 503, 504),
        allowed_methods={"GET", "POST"},
        backoff_factor=0.2,
        backoff_max=5,
        raise_on_status=False,
    )
