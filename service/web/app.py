"""The whole service: the interface, its pages, the entrance and the calendar feeds."""

from __future__ import annotations

from collections.abc import Iterable

from flask import Flask, Response, request

from ..acts.wall import calendar
from ..acts.yard import feeds
from ..core.errors import NotFound
from ..store.engine.database import reading
from . import pages, resources
from .context.house import House, house
from .context.request import now
from .context.settings import Clock, Settings, wall_clock
from .files import calendar as calendar_file
from .http import entrance, pairing, peers
from .wiring import open_yard, wire


def create_app(
    settings: Settings,
    *,
    clock: Clock = wall_clock,
    behind_proxy: bool = False,
    trusted: Iterable[peers.Address] = (),
    on_lan: bool = False,
) -> Flask:
    """The service on its store, brought to this program's version.

    Args:
        settings: see `Settings`; the store that it names is made if it does not exist.
        clock: says what time it is.
        behind_proxy: whether one proxy passes every request on. Then its word counts for the
            address, the name and the scheme of a request, and everybody logs in.
        trusted: the addresses of that proxy; none where it runs on this machine.
        on_lan: whether other machines of the yard's network come in; then everybody logs in too.

    Raises:
        StoreUnusable: the store is of a newer program, in use elsewhere, or no store.
    """
    open_yard(settings, clock())
    app, api = wire(House(settings, clock, behind_proxy, on_lan), resources.everything())
    if behind_proxy:
        proxied = peers.Proxied(app.wsgi_app, frozenset(trusted))
        app.wsgi_app = proxied  # type: ignore[method-assign]  # where Flask wants a middleware
    pages.add(app, api)
    entrance.add(app)
    pairing.add(app)
    app.add_url_rule("/calendar/<secret>.ics", "feed", show_feed, methods=["GET"])
    return app


def show_feed(secret: str) -> Response:
    """The calendar that a phone subscribes to, by a feed's secret address.

    It needs no token, and the secret opens nothing else. A wrong secret is counted as a wrong
    token is. While nobody has to log in, feeds too answer this machine alone: see `guards`.

    Raises:
        NotFound: no feed has that secret, or it was revoked.
        SlowDown: too many wrong secrets came from that address.
    """
    with reading():
        row = feeds.recognised(secret)
        everything = request.args.get("all") == "true"
        if row is not None:
            return calendar_file.answer(calendar.of_feed(row, now(), everything=everything))
    house().failures.count(request.remote_addr or "")
    raise NotFound(
        "No calendar feed has that address, or it was revoked.",
        advice="Make another: cureyard calendar subscribe",
    )
