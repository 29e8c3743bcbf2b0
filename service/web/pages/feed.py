"""A calendar feed by its secret address: what a phone subscribes to.

It shows no token, and the secret is good for this and nothing else. A wrong one is counted as a
wrong token is. Where nobody has to log in, it too answers this machine alone: see `guards`.
"""

from __future__ import annotations

from flask import Flask, Response, request

from ...acts.wall import calendar
from ...acts.yard import feeds
from ...core.errors import NotFound
from ...store.engine.database import reading
from ..context.request import house, now
from ..files import calendar as calendar_file


def add(app: Flask) -> None:
    """Put the feeds into an application."""
    app.add_url_rule("/calendar/<secret>.ics", "feed", show, methods=["GET"])


def show(secret: str) -> Response:
    """The feed's calendar as of now.

    Raises: NotFound: no feed has that secret, or it was revoked. SlowDown. ForeignHost.
    """
    with reading():
        row = feeds.recognised(secret)
        if row is not None:
            return calendar_file.answer(calendar.of_feed(row, now()))
    house().failures.count(request.remote_addr or "")
    raise NotFound(
        "No calendar feed has that address, or it was revoked.",
        advice="Make another: cureyard calendar subscribe",
    )
