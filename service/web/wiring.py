"""What the service, whole or in part, is put together from: its store, and an application."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from flask import Flask
from flask.json.provider import DefaultJSONProvider

from ..acts.yard.settings import seed_yard
from ..store.engine.database import open_store
from ..store.upkeep.migrate import migrate_forward
from .api import Api
from .context.redacted import watch_over
from .context.request import House
from .context.settings import Settings
from .http import guards, headers, wording
from .http.blueprint import Blueprint
from .http.bodies import JSON_LIMIT, limit_body


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


def open_yard(settings: Settings, now: int) -> None:
    """Open the store that the settings name, brought to this program's version.

    It is made if it is not there.

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
    app.jinja_options = {"trim_blocks": True, "lstrip_blocks": True}
    app.url_map.merge_slashes = False  # one thing has one address, and a wrong one is a problem
    app.before_request(limit_body)
    app.before_request(guards.guard)
    app.after_request(headers.add)
    app.after_request(wording.settle)
    api = Api(app)
    for blueprint in blueprints:
        api.add(blueprint)
    watch_over("cureyard", "waitress", app.logger.name)
    return app, api
