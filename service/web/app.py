"""The service as a whole: the interface, its pages, the entrance and the feeds."""

from __future__ import annotations

from flask import Flask
from werkzeug.middleware.proxy_fix import ProxyFix

from . import entrance, feed, pages, resources
from .request import House
from .settings import Clock, Settings, wall_clock
from .wiring import open_yard, wire


def create_app(
    settings: Settings, *, clock: Clock = wall_clock, behind_proxy: bool = False
) -> Flask:
    """The service on its store, brought to this program's version.

    Args:
        settings: see `Settings`; the store that it names is made if it is not there.
        clock: says what moment it is.
        behind_proxy: whether one proxy passes every request on, and is believed when it says
            from which address and by which name and scheme it came. Then everybody logs in.

    Raises:
        StoreUnusable: the store is of a newer program, in use elsewhere, or no store.
    """
    open_yard(settings, clock())
    app, api = wire(House(settings, clock, behind_proxy), resources.everything())
    if behind_proxy:
        app.wsgi_app = ProxyFix(app.wsgi_app, x_host=1)  # type: ignore[method-assign]
    pages.add(app, api)
    entrance.add(app)
    feed.add(app)
    return app
