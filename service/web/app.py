"""The service as a whole: the interface, its pages, the entrance and the feeds."""

from __future__ import annotations

from collections.abc import Iterable

from flask import Flask

from . import pages, resources
from .context.request import House
from .context.settings import Clock, Settings, wall_clock
from .http import entrance, peers
from .pages import feed
from .wiring import open_yard, wire


def create_app(
    settings: Settings,
    *,
    clock: Clock = wall_clock,
    behind_proxy: bool = False,
    trusted: Iterable[peers.Address] = (),
) -> Flask:
    """The service on its store, brought to this program's version.

    Args:
        settings: see `Settings`; the store that it names is made if it is not there.
        clock: says what moment it is.
        behind_proxy: whether one proxy passes every request on, and is believed when it says
            from which address and by which name and scheme it came. Then everybody logs in.
        trusted: the addresses of that proxy; none where it is on this machine.

    Raises:
        StoreUnusable: the store is of a newer program, in use elsewhere, or no store.
    """
    open_yard(settings, clock())
    app, api = wire(House(settings, clock, behind_proxy), resources.everything())
    if behind_proxy:
        proxied = peers.Proxied(app.wsgi_app, frozenset(trusted))
        app.wsgi_app = proxied  # type: ignore[method-assign]
    pages.add(app, api)
    entrance.add(app)
    feed.add(app)
    return app
