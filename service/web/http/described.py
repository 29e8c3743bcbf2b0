"""What all operations have in common in the OpenAPI document.

Headers, the query's units and the refusals that any resource may answer with are the same
everywhere, so they are written once here, from each method's access.
"""

from __future__ import annotations

from http import HTTPStatus
from typing import Any

from apispec import BasePlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from flask import Flask
from werkzeug.routing import Rule

from ..context import people
from ..context.request import SYSTEMS
from ..fields import Described
from ..fields.schemas import JsonSchema, Query
from . import keys
from .access import Access, access_of
from .bodies import IMAGE, IMAGES

UNITS: JsonSchema = {
    "in": "query",
    "name": "units",
    "schema": {"type": "string", "enum": list(SYSTEMS)},
    "description": "The units of quantities in the answer; without it, the yard's own.",
}
HAND: JsonSchema = {
    "in": "header",
    "name": people.HEADER,
    "schema": {"type": "string", "minLength": 1, "examples": ["In%C3%AAs"]},
    "description": "The name of who acts, percent-encoded, while nobody has to log in; it is "
    "recorded.",
}
KEY: JsonSchema = {
    "in": "header",
    "name": keys.HEADER,
    "schema": {"type": "string", "pattern": "^[!-~]{1,200}$"},
    "description": "Names this one request, so that sending it again does it once.",
}
VERSION: JsonSchema = {
    "in": "header",
    "name": "If-Match",
    "required": True,
    "schema": {"type": "string", "pattern": "[!-~]", "examples": ['"3"', "*"]},
    "description": "The ETag that the thing was read with, or * for any version.",
}
LOCATION: JsonSchema = {
    "schema": {"type": "string"},
    "description": "The address of the thing that was made, if it has one.",
}


class Common(BasePlugin):
    """Adds to each operation its common headers, its query and its refusals."""

    def __init__(self, app: Flask) -> None:
        self._app = app

    def operation_helper(
        self,
        path: str | None = None,
        operations: JsonSchema | None = None,
        *,
        rule: Rule | None = None,
        **_kwargs: Any,
    ) -> None:
        """Complete the operations at an address; apispec calls this for each."""
        view: Any = self._app.view_functions[rule.endpoint] if rule else None
        for method, operation in (operations or {}).items():
            access = access_of(getattr(view.view_class, method))
            if access is not None:
                _complete(operation, access)


def _complete(operation: JsonSchema, access: Access) -> None:
    operation.setdefault("parameters", []).extend(_parameters(access))
    if access.role is None:
        operation["security"] = []
    if access.pictures:
        content = {kind: {"schema": dict(IMAGE)} for kind in IMAGES}
        operation["requestBody"] = {"required": True, "content": content}
    bodies = operation.get("requestBody", {}).get("content", {})
    if access.tables:
        bodies["text/csv"] = {"schema": {"type": "string"}}
    bodies.update({kind: {"schema": dict(shape)} for kind, shape in access.texts.items()})
    responses = operation["responses"]
    if 201 in responses:
        responses[201].setdefault("headers", {})["Location"] = LOCATION
    for status in _refusals(access, has_body=bool(bodies)):
        responses.setdefault(status, HTTPStatus(status).name)


def field(
    _converter: OpenAPIConverter, field: object, *, ret: JsonSchema, **_kwargs: Any
) -> JsonSchema:
    """The description of a field of our own, over `ret`, which was guessed from its class."""
    if not isinstance(field, Described):
        return {}
    told = field.described_over(ret)
    if isinstance(field.root, Query):  # a query has no null: what is not said is left out
        if ret.get("default") is None:
            ret.pop("default", None)
    elif field.allow_none and told.keys() & {"$ref", "enum"}:
        told = {"anyOf": [told, {"type": "null"}]}
    elif field.allow_none and isinstance(told.get("type"), str):
        told["type"] = [told["type"], "null"]
    given = {n: v for n, v in field.metadata.items() if n in ("description", "examples")}
    return told | given


def _parameters(access: Access) -> list[JsonSchema]:
    asked = [UNITS] if "units" in access.query else []
    if access.writes:
        asked.append(HAND)
    if access.keyed:
        asked.append(KEY)
    if access.versioned:
        asked.append(VERSION)
    return asked


def _refusals(access: Access, *, has_body: bool) -> list[int]:
    found = [403, 404, 422, 503]
    if access.role is not None:
        found += [401, 429]
    if has_body:
        found += [400, 413, 415]
    if access.writes:
        found += [409, 507]
    if access.versioned:
        found += [412, 428]
    return sorted(found)
