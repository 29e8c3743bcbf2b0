"""The REST interface as a whole: every error a problem document, and its OpenAPI description."""

from __future__ import annotations

from http import HTTPStatus
from threading import Lock
from typing import Any, cast

import flask_smorest
from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from flask import Flask, Response, jsonify
from flask_smorest.utils import prepare_response
from werkzeug.exceptions import HTTPException

from ..core.errors import Refusal
from ..store.engine.faults import StoreUnusable
from . import fields, problems, worked
from .fields.schemas import Answer
from .http import described, error_handlers
from .http.addresses import CodeInAddress, IdInAddress, described_code
from .openapi import links

CONFIG = {
    "API_TITLE": "Cureyard",
    "API_VERSION": "1",
    "OPENAPI_VERSION": "3.1.0",
    "OPENAPI_URL_PREFIX": "/",
}

INFO = {
    "description": "Materials by lot, catalyst doses and cure clocks of a small composite "
    "boat-repair yard. A quantity in a request is text with its unit. Once somebody has a token, "
    "each request shows one, in the header Authorization: Bearer.",
    "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
}


TOKEN = {"type": "http", "scheme": "bearer", "description": "A token that an admin made."}
"""How a program says who asks; not needed as long as no token was made."""


class FaultOut(Answer):
    """One of several faults in a request."""

    pointer = fields.Text(required=True)
    slug = fields.Text(required=True)
    detail = fields.Text(required=True)


class ProblemOut(Answer):
    """A refusal, as RFC 9457 problem details."""

    type = fields.Text(required=True)
    title = fields.Text(required=True)
    status = fields.Integer(required=True)
    detail = fields.Text(required=True)
    advice = fields.Text()
    pointer = fields.Text()
    errors = fields.List(fields.Nested(FaultOut))
    changed = fields.Flag(required=True, allow_none=True)


class Converter(OpenAPIConverter):
    """Describes schemas, with our own fields as they describe themselves."""

    def init_attribute_functions(self) -> None:
        """What is asked about each field; the last word holds."""
        super().init_attribute_functions()
        self.add_attribute_function(lambda _converter, field, ret: described.field(field, ret))


class Plugin(MarshmallowPlugin):
    """The library's, with our converter."""

    Converter = Converter


class Api(flask_smorest.Api):
    """flask-smorest's, with RFC 9457 problems and our own fields and addresses described."""

    ERROR_SCHEMA = ProblemOut

    def __init__(self, app: Flask) -> None:
        self._undescribed: list[Any] = []
        self._describing = Lock()
        app.config.update(CONFIG)
        app.url_map.converters.update(code=CodeInAddress, id=IdInAddress)
        told = {"marshmallow_plugin": Plugin(), "info": INFO, "security": [{"token": []}, {}]}
        super().__init__(app, spec_kwargs=told)
        self.spec.components.security_scheme("token", TOKEN)
        self.register_converter(CodeInAddress, described_code)

    def register_blueprint(self, blp: Any, **options: Any) -> None:
        """Put a noun's addresses in; they are described when somebody asks.

        Describing takes longer than all the rest of starting, and the program starts for
        every command.
        """
        self._app.extensions["flask-smorest"]["blp_name_to_api"][blp.name] = self
        self._app.register_blueprint(blp, **options)
        self._undescribed.append(blp)

    def document(self) -> dict[str, Any]:
        """The OpenAPI document."""
        with self._describing:
            while self._undescribed:
                blp = self._undescribed.pop(0)
                blp.register_views_in_doc(
                    self, self._app, self.spec, name=blp.name, parameters=None
                )
                self.spec.tag({"name": blp.name, "description": blp.description})
            document = cast(dict[str, Any], self.spec.to_dict())
            worked.put_into(document)
            links.put_into(document)
        return document

    def _openapi_json(self) -> Response:
        return jsonify(self.document())

    def _register_error_handlers(self) -> None:
        super()._register_error_handlers()
        self._app.register_error_handler(Refusal, error_handlers.refused)
        self._app.register_error_handler(StoreUnusable, error_handlers.unusable)
        self._app.register_error_handler(Exception, error_handlers.fault)

    def handle_http_exception(self, error: HTTPException) -> Response:
        """Answer what HTTP itself refuses as a problem, too."""
        return error_handlers.http(error)

    def _register_responses(self) -> None:
        """Describe the answer of each status that a problem has; the used ones are shown."""
        titles: dict[int, list[str]] = {}
        for problem in problems.TABLE.values():
            titles.setdefault(problem.status, []).append(problem.title)
        for status, told in titles.items():
            self._problem_response(HTTPStatus(status).name, "; ".join(told))
        self._problem_response("DEFAULT_ERROR", "Any other problem")

    def _register_etag_headers(self) -> None:
        """Ours are in `described`."""

    def _register_pagination_header(self) -> None:
        """Ours stands in the body: see `paging`."""

    def _problem_response(self, name: str, description: str) -> None:
        response = {"description": description, "schema": self.ERROR_SCHEMA}
        prepare_response(response, self.spec, problems.MEDIA_TYPE)
        self.spec.components.response(name, response, lazy=True)
