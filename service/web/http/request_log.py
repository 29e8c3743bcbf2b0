"""The service's log: a line a request, and in any case one for each wrong entrance and each fault.

A line names the request, its status, how long it took, its address without secrets, where it came
from, and whose token was shown: by its name, never by its secret. The query is left out.
"""

from __future__ import annotations

import logging
from time import perf_counter
from urllib.parse import quote

from flask import Flask, Response, g, request

from ..context.redacted import redacted
from ..context.request import request_id

log = logging.getLogger("cureyard")
FORMAT = "%(asctime)s %(levelname)s %(message)s"
WRONG_ENTRANCE = frozenset({401, 403, 429})
SECRET = {"feed": "/calendar/….ics", "pair": "/pair/…", "paired": "/pair/…"}
"""The endpoints whose addresses are secrets, and what is written instead."""


def set_up(*, every: bool) -> None:
    """Write the log to stderr; with `every`, each request is in it."""
    logging.basicConfig(level=logging.WARNING, format=FORMAT)
    log.setLevel(logging.INFO if every else logging.WARNING)


def add(app: Flask) -> None:
    """Log the requests of an application."""
    app.before_request(_begin)
    app.after_request(_end)
    functions = app.before_request_funcs[None]
    functions.insert(0, functions.pop())  # before a guard refuses it


def _begin() -> None:
    g.began = perf_counter()


def _end(response: Response) -> Response:
    status = response.status_code
    wrong = status in WRONG_ENTRANCE or (status == 404 and request.endpoint in SECRET)
    level = logging.ERROR if status >= 500 else logging.WARNING if wrong else logging.INFO
    if log.isEnabledFor(level):
        log.log(level, "%s", _line(status, (perf_counter() - g.began) * 1000))
    return response


def _line(status: int, took_ms: float) -> str:
    person = g.get("person")
    name = person.hand.name if person is not None and person.hand.verified else "nobody"
    return (
        f"{request_id()} {status} {took_ms:.0f} ms {quote(request.method)} {_path()} "
        f"from {request.remote_addr} by {name}"
    )


def _path() -> str:
    if request.endpoint in SECRET:
        return SECRET[request.endpoint]
    return quote(redacted(request.path), safe="/….:")
