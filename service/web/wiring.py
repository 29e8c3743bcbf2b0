"""The one place that puts the service together, whole or in part: its store and an application."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from flask import Flask, Response
from flask.json.provider import DefaultJSONProvider

from ..acts.yard.settings import seed_yard
from ..store.engine.database import open_store
from ..store.upkeep.migrate import migrate_forward
from .api import Api
from .context.house import House
from .context.reader import finalized, in_readers_units
from .context.redacted import watch_over
from .context.request import request_id
from .context.settings import Settings
from .http import guards
from .http.blueprint import Blueprint
from .http.bodies import JSON_LIMIT, limit_body

PAGE_POLICY = "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
DATA_POLICY = "default-src 'none'; frame-ancestors 'none'"


class PlainJson(DefaultJSONProvider):
    """JSON of plain values alone, its names in the order in which they were put in.

    A value without a plain form is a mistake of the program: a `Decimal` must have passed a
    field that says how it is shown.
    """

    sort_keys = False
    ensure_ascii = False
    compact = True

    @staticmethod
    def default(value: Any) -> Any:
        """Words with amounts as the reader sees them.

        Raises:
            TypeError: any other value that is not plain.
        """
        return in_readers_units(value)

    def dumps(self, obj: Any, **options: Any) -> str:
        """As the library's, without NaN and infinity, which JSON does not have."""
        return super().dumps(obj, allow_nan=False, **options)


def open_yard(settings: Settings, now: int) -> None:
    """Open the store that the settings name, and bring it to this program's version.

    A store that does not exist yet is made.

    Raises:
        StoreUnusable: the store is of a newer program, in use elsewhere, or no store.
    """
    migrate_forward(open_store(settings.database))
    seed_yard(
        zone=settings.zone,
        units=settings.units,
        currency=settings.currency,
        address=settings.address,
        now=now,
    )


def wire(house: House, blueprints: Iterable[Blueprint]) -> tuple[Flask, Api]:
    """An application with some of the interface, on the store that is open."""
    app = Flask(__package__, static_url_path="/static")
    app.extensions["cureyard"] = house
    app.config["MAX_CONTENT_LENGTH"] = JSON_LIMIT
    app.json = PlainJson(app)
    app.jinja_options = {"trim_blocks": True, "lstrip_blocks": True, "finalize": finalized}
    app.url_map.merge_slashes = False  # a thing has one address; `/v1//lots` is a mistake
    app.before_request(limit_body)
    app.before_request(guards.guard)
    app.after_request(add_security_headers)
    api = Api(app)
    for blueprint in blueprints:
        api.add(blueprint)
    watch_over("cureyard", "waitress", app.logger.name)
    return app, api


def add_security_headers(response: Response) -> Response:
    """Add the security headers and the request id to an answer."""
    page = response.mimetype == "text/html"
    response.headers.setdefault("Content-Security-Policy", PAGE_POLICY if page else DATA_POLICY)
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Referrer-Policy"] = "same-origin"
    response.headers.setdefault("Cache-Control", "no-store")
    response.headers["Request-Id"] = request_id()
    return response
