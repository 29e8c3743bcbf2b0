"""The REST interface as a whole: its errors as problem documents, and its OpenAPI description."""

from __future__ import annotations

from http import HTTPStatus
from threading import Lock
from typing import cast

import flask_smorest
from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from flask import Flask, Response, jsonify, request
from flask_smorest.spec.plugins import FlaskPlugin
from werkzeug.exceptions import HTTPException
from werkzeug.routing import BaseConverter, IntegerConverter, Map

from ..core.errors import Refusal
from ..store.engine.faults import StoreUnusable
from . import fields, problems, worked
from .fields.schemas import Answer, JsonSchema
from .http import described, error_handlers
from .http.blueprint import Blueprint
from .openapi import links, meanings, names, vocabularies

INFO = {
    "description": "Materials by lot, catalyst doses and cure clocks of a small composite "
    "boat-repair yard. A quantity in a request is text with its unit. Once a token exists, every "
    "request needs one, in the header Authorization: Bearer.",
    "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
}


TOKEN = {"type": "http", "scheme": "bearer", "description": "A token that an admin made."}
"""How a program shows who asks; not needed until a token exists."""


class FaultOut(Answer):
    """One of several faults in a request."""

    pointer = fields.Text(required=True)
    slug = fields.Text(required=True)
    detail = fields.Text(required=True)


class ProblemOut(Answer):
    """A refusal, as RFC 9457 problem details."""

    type = fields.Text(required=True)
    slug = fields.Text(required=True)
    title = fields.Text(required=True)
    status = fields.Integer(required=True)
    detail = fields.Text(required=True)
    advice = fields.Text()
    pointer = fields.Text()
    errors = fields.List(fields.Nested(FaultOut))
    changed = fields.Flag(required=True, allow_none=True)


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
                self._document = self._described()
            return self._document

    def _show(self) -> Response:
        response = jsonify(self.document())
        response.headers["Cache-Control"] = "no-cache"  # kept, and asked for again by its ETag
        response.add_etag()
        response.make_conditional(request)
        return response

    def _described(self) -> JsonSchema:
        addresses, shapes = FlaskPlugin(), MarshmallowPlugin()
        plugins = (addresses, shapes, described.Common(self._app))
        spec = APISpec("Cureyard", "1", "3.1.0", plugins, info=INFO, security=[{"token": []}, {}])
        addresses.register_converter(CodeInAddress, described_code)
        converter = cast(OpenAPIConverter, shapes.converter)  # there once a spec has the plugin
        converter.add_attribute_function(described.field)
        spec.components.security_scheme("token", TOKEN)
        spec.components.schema("Quantity", fields.QUANTITY)
        _describe_problems(spec)
        for each in self._blueprints:
            # Of an `api` it reads two constants, which are the library's own.
            each.register_views_in_doc(
                flask_smorest.Api, self._app, spec, name=each.name, parameters=None
            )
            spec.tag({"name": each.name, "description": each.description})
        document: JsonSchema = spec.to_dict()
        worked.put_into(document)
        links.put_into(document)
        names.put_into(document)
        meanings.put_into(document)
        vocabularies.put_into(document)
        return document


def described_code(_converter: BaseConverter) -> JsonSchema:
    """JSON Schema of a code in an address."""
    return {"type": "string", "pattern": f"^{fields.CODE}$"}


def _describe_problems(spec: APISpec) -> None:
    """Describe the answer of each status that a problem has; only the used ones are shown."""
    titles: dict[str, list[str]] = {}
    for problem in problems.TABLE.values():
        titles.setdefault(HTTPStatus(problem.status).name, []).append(problem.title)
    told = {name: "; ".join(each) for name, each in titles.items()}
    told["DEFAULT_ERROR"] = "Any other problem"
    for name, description in told.items():
        content = {problems.MEDIA_TYPE: {"schema": ProblemOut}}
        response = {"description": description, "content": content}
        spec.components.response(name, response, lazy=True)
