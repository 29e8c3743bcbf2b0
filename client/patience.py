"""How often a request is sent again, and how long it is waited for in between.

A request that got no answer is tried again. For a POST that is safe only because its
idempotency key is made once and goes with every try, so the store acts on it once.
"""

from __future__ import annotations

from types import TracebackType
from typing import Self

from urllib3.connectionpool import ConnectionPool
from urllib3.exceptions import MaxRetryError
from urllib3.response import BaseHTTPResponse
from urllib3.util.retry import Retry

LONGEST_PAUSE_S = 10
"""Seconds that a server may ask a person to wait before the command gives up instead."""


class Patience(Retry):
    """Retries that honour Retry-After, unless it asks for longer than a person stands there."""

    def increment(
        self,
        method: str | None = None,
        url: str | None = None,
        response: BaseHTTPResponse | None = None,
        error: Exception | None = None,
        _pool: ConnectionPool | None = None,
        _stacktrace: TracebackType | None = None,
    ) -> Self:
        """Count one try; end them when the server asks for a long pause."""
        pause = self.get_retry_after(response) if response is not None else None
        if _pool is not None and (pause or 0) > LONGEST_PAUSE_S:
            raise MaxRetryError(_pool, url or "", error)
        return super().increment(method, url, response, error, _pool, _stacktrace)


def patience() -> Patience:
    """How often, and on what, a request is tried again.

    A PATCH is not: once it is done, its If-Match no longer holds.
    """
    return Patience(
        total=3,
        read=1,
        redirect=0,
        status_forcelist=(429, 502, 503, 504),
        allowed_methods={"GET", "POST"},
        backoff_factor=0.2,
        backoff_max=5,
        raise_on_status=False,
    )
