"""Where a service is put together, and nowhere else."""

from __future__ import annotations

from typing import Any

from flask import Flask
from flask.json.provider import DefaultJSONProvider
from werkzeug.middleware.proxy_fix import ProxyFix

from ..acts.yard import seed_yard
from ..store.database import open_store
from ..store.migrate import migrate_forward
from . import entrance, feed, guards, headers, pages, resources, wording
from .api import Api
from .bodies import JSON_LIMIT, limit_body
from .redacted import watch_over
from .request import House
from .settings import Clock, Settings, wall_clock


class PlainJson(DefaultJSONProvider):
    """JSON in the order that it was made, of plain values alone.

    What has no plain form is a mistake of ours: a `Decimal` must have passed a field that
    says how it is shown.
    """

    sort_keys = False
    ensure_ascii = False
    compact = True

    @staticmethod
    def default(value: Any) -> Any:
        """Refuse what is not plain.

        Raises:
            TypeError: always.
        """
        raise TypeError(f"{type(value).__name__} has no form in JSON")

    def dumps(self, obj: Any, **options: Any) -> str:
        """As the library's, without NaN and infinity, which JSON does not have."""
        return super().dumps(obj, allow_nan=False, **options)


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
    migrate_forward(open_store(settings.database))
    seed_yard(
        zone=settings.zone,
        units=settings.units,
        currency=settings.currency,
        address=settings.address,
        now=clock(),
    )
    app = Flask(__package__, static_url_path="/static")
    app.extensions["cureyard"] = House(settings, clock, behind_proxy)
    if behind_proxy:
        app.wsgi_app = ProxyFix(app.wsgi_app, x_host=1)  # type: ignore[method-assign]
    app.config["MAX_CONTENT_LENGTH"] = JSON_LIMIT
    app.json = PlainJson(app)
    app.jinja_options = {"trim_blocks": True, "lstrip_blocks": True}
    app.url_map.merge_slashes = False  # one thing has one address, and a wrong one is a problem
    app.before_request(limit_body)
    app.before_request(guards.guard)
    app.after_request(headers.add)
    app.after_request(wording.settle)
    api = Api(app)
    for blueprint in resources.BLUEPRINTS:
        api.register_blueprint(blueprint)
    pages.add(app, api)
    entrance.add(app)
    feed.add(app)
    watch_over("cureyard", "waitress", app.logger.name)
    return app
