"""The REST interface as a whole: its errors as problem documents, and its OpenAPI description."""

from __future__ import annotations

from threading import Lock

from flask import Flask, Response, jsonify, request
from werkzeug.exceptions import HTTPException
from werkzeug.routing import BaseConverter, IntegerConverter, Map

from ..core.errors import Refusal
from ..store.engine.faults import StoreUnusable
from . import fields
from .fields.schemas import JsonSchema
from .http import error_handlers
from .http.blueprint import Blueprint


class CodeInAddress(BaseConverter):
    """A code or number as a person gives it; anything else in its place is not found."""

    regex = fields.CODE


class IdInAddress(IntegerConverter):
    """A row's id, in at most 63 bits."""

    regex = r"[0-9]{1,19}"

    def __init__(self, url_map: Map) -> None:
        super().__init__(url_map, max=fields.LARGEST_INTEGER)


class Api:
    """The addresses of an application, its errors and its description.

    Describing takes longer than all the rest of starting, and the program starts for every
    command: so it is done when somebody first asks.
    """

    def __init__(self, app: Flask) -> None:
        self._app = app
        self._blueprints: list[Blueprint] = []
        self._document: JsonSchema | None = None
        self._describing = Lock()
        app.extensions["cureyard.api"] = self
        app.url_map.converters.update(code=CodeInAddress, id=IdInAddress)
        app.add_url_rule("/openapi.json", "openapi", self._show)
        app.register_error_handler(HTTPException, error_handlers.http)
        app.register_error_handler(Refusal, error_handlers.refused)
        app.register_error_handler(StoreUnusable, error_handlers.unusable)
        app.register_error_handler(Exception, error_handlers.fault)

    def add(self, blueprint: Blueprint) -> None:
        """Serve a noun's addresses."""
        self._app.register_blueprint(blueprint)
        self._blueprints.append(blueprint)

    def document(self) -> JsonSchema:
        """The OpenAPI document."""
        with self._describing:
            if self._document is None:
                from .openapi.document import describe  # late: few programs ask

                self._document = describe(self._app, self._blueprints)
            return self._document

    def _show(self) -> Response:
        response = jsonify(self.document())
        response.headers["Cache-Control"] = "no-cache"  # kept, and asked for again by its ETag
        response.add_etag()
        response.make_conditional(request)
        return response
